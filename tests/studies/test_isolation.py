"""The switching plan: its order over generated circuits, and its figures by hand."""

from __future__ import annotations

import math
from collections.abc import Iterable

import pytest

from proposal.circuit.model import Circuit
from proposal.studies.isolation.equations import precharge_a, precharge_s
from proposal.studies.isolation.result import Step
from proposal.studies.isolation.study import switching_plan
from tests.generate import CELLS, Built, cell, designed, seeded
from tests.rules.conftest import Bench

EACH = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)
PHASES = ("before", "stop", "part", "prove", "disconnect", "hold", "reconnect", "join", "start")


def plan(built: Built) -> tuple[Circuit, tuple[Step, ...]]:
    made = designed(built)
    return made.circuit, switching_plan(built.spec, made.circuit, built.catalogue, built.family, made.flow, {})


def places(steps: Iterable[Step], *codes: str) -> dict[str, int]:
    """Where each item is first handled by one of some codes."""
    found: dict[str, int] = {}
    for number, step in enumerate(steps):
        if step.code in codes:
            for item in step.items[:1]:
                found.setdefault(item, number)
    return found


def check_order(circuit: Circuit, steps: tuple[Step, ...]) -> None:
    stopped = {item: n for n, s in enumerate(steps) if s.code.startswith("stop_") for item in s.items}
    offs, positives = places(steps, "negative_off"), places(steps, "positive_off")
    ons, negatives = places(steps, "positive_on"), places(steps, "negative_on")
    banks = {b.key for b in circuit.banks}
    assert set(offs) == set(positives) == set(ons) == set(negatives) == banks
    assert {s.key for s in circuit.sources} | {c.key for c in circuit.converters} == set(stopped)
    first_off = min(offs.values())
    assert all(number < first_off for number in stopped.values())
    for bank in banks:
        assert offs[bank] < positives[bank] < ons[bank] < negatives[bank]
    assert sorted(banks, key=offs.__getitem__) == sorted(banks, key=lambda b: -ons[b])
    opened = {item: n for n, s in enumerate(steps) if s.code in ("open_switch", "open_contactor") for item in s.items}
    assert all(number < first_off for number in opened.values())
    last_on = max(negatives.values())
    closed = places(steps, "close_switch", "close_switch_engine", "first_join", "first_join_unknown")
    assert all(number > last_on for number in closed.values())
    assert {d.key for d in circuit.devices if d.kind == "switch" and not d.key.endswith("emergency")} <= set(closed)
    started = {item: n for n, s in enumerate(steps) if s.phase == "start" for item in s.items}
    for source in circuit.sources:
        assert started[source.key] > max(closed.values(), default=last_on)
    assert [PHASES.index(s.phase) for s in steps] == sorted(PHASES.index(s.phase) for s in steps)


@EACH
def test_sources_first_negative_first_and_back_in_reverse(built: Built) -> None:
    check_order(*plan(built))


@pytest.mark.parametrize("seed", range(12))
def test_the_order_holds_for_generated_circuits(seed: int) -> None:
    for built in seeded(seed, most_loads=8):
        check_order(*plan(built))


@EACH
def test_what_must_stay_alive_is_fed_before_its_battery_comes_off(built: Built) -> None:
    circuit, steps = plan(built)
    alive = [x for x in circuit.loads if x.always_on]
    fed = [n for n, s in enumerate(steps) if s.code in ("feed_alive", "feed_pump")]
    assert len(fed) == (1 if alive else 0)
    if not alive:
        return
    (at,) = fed
    assert set(steps[at].items) == {x.key for x in alive}
    assert steps[at].values["current_a"] == pytest.approx(sum(x.current_a for x in alive))
    assert steps[at + 1].code == "negative_off"
    assert max(places(steps, "negative_off").values()) == at + 1
    assert [s.code for s in steps].index("alive_again") > at


@EACH
def test_nothing_is_called_dead_that_the_network_feeds(built: Built) -> None:
    """A bus is dead where no bank reaches it with all switches open: in the positive pole nothing leads to one."""
    circuit, steps = plan(built)
    shut = {d.key for d in circuit.devices if d.kind in ("switch", "contactor", "vsr")}
    beside: dict[str, set[str]] = {}
    for branch in circuit.branches:
        if branch.pole == "positive" and branch.key not in shut:
            beside.setdefault(branch.from_node, set()).add(branch.to_node)
            beside.setdefault(branch.to_node, set()).add(branch.from_node)
    live, ahead = {b.positive for b in circuit.batteries}, [b.positive for b in circuit.batteries]
    while ahead:
        for node in beside.get(ahead.pop(), set()) - live:
            live.add(node)
            ahead.append(node)
    for step in steps:
        if step.code == "dead":
            assert circuit.bus[step.items[0]].positive not in live
        if step.code == "still_live":
            assert circuit.bus[step.items[0]].positive in live
            assert step.values["voltage_v"] > 0.8 * circuit.system_v


@EACH
def test_every_figure_is_finite_and_every_step_is_its_own(built: Built) -> None:
    _, steps = plan(built)
    for step in steps:
        for value in step.values.values():
            assert not isinstance(value, float) or (math.isfinite(value) and value >= 0.0)
    assert len({(s.phase, s.code, s.items) for s in steps}) == len(steps)


def test_precharge_by_hand() -> None:
    """10 Ω and 10 mF: five time constants of 0.1 s; 12.73 V drive 1.273 A at first."""
    assert precharge_s(10.0, 0.01) == pytest.approx(0.5)
    assert precharge_a(12.73, 10.0) == pytest.approx(1.273)
    assert math.exp(-precharge_s(10.0, 0.01) / (10.0 * 0.01)) < 0.01


def of(boat: Bench, option: str, spec: dict[str, object] | None = None, prices: dict[str, object] | None = None,
       allowed: dict[str, float] | None = None) -> tuple[Step, ...]:  # fmt: skip
    evidence = boat.option(option, spec, prices)
    return switching_plan(
        evidence.spec, evidence.circuit, evidence.catalogue, evidence.family, evidence.design.flow, allowed or {}
    )


@pytest.fixture(scope="module")
def boat() -> Bench:
    return Bench()


def test_across_an_open_contactor_by_hand(boat: Bench) -> None:
    """At nine tenths: four cells of 3.3218 V against AGM between 12.85 V (full) and 12.55 V (three quarters)."""
    agm_v = 12.55 + (0.90 - 0.75) / 0.25 * (12.85 - 12.55)
    (step,) = [s for s in of(boat, "shared") if s.code.startswith("prove_open")]
    assert step.code == "prove_open"
    assert step.values["difference_v"] == pytest.approx(4 * 3.3218 - agm_v, abs=1e-3)


def test_the_emergency_switch_is_seen_open_before_the_relay_is_measured(boat: Bench) -> None:
    steps = of(boat, "dedicated")
    codes = [s.code for s in steps]
    at = codes.index("emergency_open")
    assert steps[at].items == ("links.vsr.emergency",)
    relays = [n for n, s in enumerate(steps) if s.code.startswith("prove_open") and s.items == ("links.vsr.relay",)]
    assert relays
    assert at < min(relays)
    assert "emergency_open" not in [s.code for s in of(boat, "vented")]


def test_two_equal_sides_prove_nothing(boat: Bench) -> None:
    """House and starter battery of one chemistry rest at one voltage."""
    codes = [s.code for s in of(boat, "vented")]
    assert "prove_open_offset" in codes
    assert "prove_open" not in codes


def test_an_array_without_a_switch_is_covered(boat: Bench) -> None:
    assert "stop_solar" in [s.code for s in of(boat, "one")]
    assert "stop_solar_switch" in [s.code for s in of(boat, "one", {"sources.solar.array_switch": True})]


def test_precharge_only_where_it_is_needed(boat: Bench) -> None:
    plain = {"inverter_1000.capacitance_f": 0.01}
    (step,) = [s for s in of(boat, "one", None, plain) if s.code == "precharge"]
    assert (step.values["resistor_ohms"], step.values["time_s"]) == (10.0, pytest.approx(0.5))
    assert "precharge" not in [s.code for s in of(boat, "one", None, {"inverter_1000.precharges": True})]
    assert "precharge" not in [s.code for s in of(boat, "one", {"loads.inverter.precharge": True})]
    (unknown,) = [s for s in of(boat, "one") if s.code == "precharge"]
    assert unknown.values["time_s"] is None


def test_first_join_takes_the_smaller_of_what_it_bears_and_what_is_set(boat: Bench) -> None:
    """The boat's controller is set to 0.1 V."""
    key = "banks.lithium.contactor"
    for allowed, wanted in ((0.5, 0.1), (0.05, 0.05)):
        (step,) = [s for s in of(boat, "shared", allowed={key: allowed}) if s.code == "first_join"]
        assert step.values["difference_v"] == wanted
    (relay,) = [s for s in of(boat, "vented") if s.code.startswith("first_join")]
    assert relay.code == "first_join_unknown"


def test_two_banks_that_share_no_pole_have_a_plan_all_the_same(boat: Bench) -> None:
    """Nothing links start and house: each battery still has its own rested voltage."""
    steps = of(boat, "composed", {"OPTION.composition.links": {}})
    rests = {s.items[0]: s.values["rest_v"] for s in steps if s.code == "negative_off"}
    assert set(rests) == {"banks.house", "banks.starter"}
    assert all(12.4 < volts < 12.9 for volts in rests.values())


def test_a_bus_with_no_switch_before_it_is_live_even_where_it_shares_no_pole(boat: Bench) -> None:
    spec = {"OPTION.composition.links": {}, "OPTION.banks.starter.switch": False}
    live = {s.items[0]: s.values["voltage_v"] for s in of(boat, "composed", spec) if s.code == "still_live"}
    assert live["buses.start"] == pytest.approx(12.57, abs=0.1)


@EACH
def test_strings_are_made_even_where_a_bank_has_several(built: Built) -> None:
    circuit, steps = plan(built)
    even = {item for s in steps if s.code == "strings_even" for item in s.items}
    assert even == {b.key for b in circuit.banks if len(b.strings) > 1}


@EACH
def test_without_anything_that_stays_every_conductor_is_new(built: Built) -> None:
    circuit, steps = plan(built)
    (replaced,) = [s for s in steps if s.code == "replaced"]
    assert not [s for s in steps if s.code == "stays"]
    assert replaced.values["conductors_count"] == len(circuit.conductors) > 0


def test_the_capacitors_are_filled_once_and_before_the_first_switch_to_their_bus(boat: Bench) -> None:
    steps = of(boat, "vented")
    (gently,) = [n for n, s in enumerate(steps) if s.code == "precharge"]
    assert steps[gently].items == ("loads.inverter",)
    assert gently < places(steps, "close_switch")["banks.house.switch"]
