"""Which tests a vessel is asked for, one fact changed at a time, and the figures that are no more than I·R."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from proposal.results.commissioning import expected_rows
from proposal.results.record_model import TestRow as Row
from proposal.rules.finding import Evidence
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.commissioning import means, study
from proposal.studies.joins.study import first_currents
from proposal.studies.ladder.result import Ladder
from proposal.studies.network.assemble import device_ohm
from tests.generate import designed, project


@pytest.fixture(scope="module")
def marram() -> dict[str, Evidence]:
    """Marram's options as designed."""
    found = {}
    for built in project("marram"):
        made = designed(built)
        joins = first_currents(made.circuit, built.family)
        found[built.spec.option_id] = Evidence(made, built.spec, built.family, joins, built.catalogue)
    return found


@pytest.fixture(scope="module")
def dedicated(marram: dict[str, Evidence]) -> Evidence:
    return marram["dedicated"]


def rows(evidence: Evidence) -> dict[tuple[str, str, str], Row]:
    return {(r.test, r.item, r.end): r for r in expected_rows(evidence, {})}


def with_option(evidence: Evidence, **changed: Any) -> Evidence:
    laid = evidence.spec
    return replace(evidence, spec=replace(laid, option=laid.option.model_copy(update=changed)))


def with_vessel(evidence: Evidence, **changed: Any) -> Evidence:
    spec = evidence.spec.spec
    vessel = spec.vessel.model_copy(update=changed)
    laid: EffectiveSpec = replace(evidence.spec, spec=spec.model_copy(update={"vessel": vessel}))
    return replace(evidence, spec=laid)


def test_emergency_off_is_tested_where_there_is_one(dedicated: Evidence) -> None:
    assert ("emergency_off", "", "") in rows(dedicated)
    assert ("emergency_off", "", "") not in rows(with_option(dedicated, emergency_off=None))


def test_a_metal_hull_is_tested_and_a_plastic_one_may_be(dedicated: Evidence) -> None:
    assert not rows(dedicated)["insulation", "", ""].asked
    row = rows(with_vessel(dedicated, hull="metal"))["insulation", "", ""]
    assert row.asked
    assert (row.low, row.high, row.unit) == (10_000.0, None, "ohm")
    assert not rows(with_vessel(dedicated, hull="metal", kind="camper"))["insulation", "", ""].asked


def test_batteries_are_pulled_at_where_they_travel(dedicated: Evidence) -> None:
    assert rows(dedicated)["battery_moves", "banks.lead", ""].high == 0.01
    assert ("battery_moves", "banks.lead", "") not in rows(with_vessel(dedicated, kind="cabin"))


def test_outlets_are_tested_where_something_feeds_them(dedicated: Evidence) -> None:
    """Marram has an inverter, so that there are outlets even where no shore power is aboard."""
    assert ("polarity", "", "") in rows(with_vessel(dedicated, mains_aboard=False))
    without = replace(
        dedicated.circuit, loads=tuple(replace(x, inverter_id=None) for x in dedicated.circuit.loads), memo={}
    )
    spec = with_vessel(dedicated, mains_aboard=False).spec
    found = {e.test for e in means.means(spec, without, Ladder((), (), {}), ())}
    assert "polarity" not in found
    assert "polarity" in {e.test for e in means.means(dedicated.spec, without, Ladder((), (), {}), ())}


def test_stops_without_a_stated_voltage_are_passed_or_not(dedicated: Evidence) -> None:
    found = {e.test: e for e in means.means(dedicated.spec, dedicated.circuit, Ladder((), (), {}), ())}
    for test in ("stops_high", "stops_low"):
        assert (found[test].unit, found[test].basis, found[test].expected) == ("", "works", None)
        assert found[test].item == "banks.lithium"


def test_stops_are_those_of_the_contactor_before_those_of_the_management(dedicated: Evidence) -> None:
    """The controller is set to 14.4 V and 12 V; the batteries' own management acts beyond."""
    found = rows(dedicated)
    assert found["stops_high", "banks.lithium", ""].expected == 14.4
    assert found["stops_low", "banks.lithium", ""].expected == 12.0
    assert (found["stops_high", "banks.lithium", ""].low, found["stops_high", "banks.lithium", ""].high) == (
        pytest.approx(14.3), pytest.approx(14.5),
    )  # fmt: skip


def test_an_alarm_is_tested_where_one_is_stated(dedicated: Evidence) -> None:
    assert {item for test, item, _ in rows(dedicated) if test == "alarm"} == {"banks.lithium", "loads.bilge_alarm"}
    assert dedicated.spec.option.contactor is not None
    quiet = dedicated.spec.option.contactor.model_copy(update={"warns_before": False})
    silent = rows(with_option(dedicated, contactor=quiet))
    assert {item for test, item, _ in silent if test == "alarm"} == {"loads.bilge_alarm"}


def test_what_must_stay_on_is_tried_with_each_thing_off(dedicated: Evidence) -> None:
    kept = {x.key for x in dedicated.circuit.loads if x.always_on and x.critical}
    assert kept == {"loads.bilge_pump", "loads.bilge_alarm"}
    for test in ("pump_main_off", "pump_lithium_off"):
        assert {item for name, item, _ in rows(dedicated) if name == test} == kept


def test_the_load_that_comes_nearest_to_its_limit_is_measured_too(dedicated: Evidence) -> None:
    """Of those that nobody would measure for safety, only the one with the largest share of its limit."""
    drops = {k: d.drop_v / d.limit_v for k, d in dedicated.design.drops.items() if k.startswith("loads.") and d.limit_v}
    nearest = max(drops, key=lambda key: drops[key])
    plain = {x.key for x in dedicated.circuit.loads if not (x.critical or x.always_on or x.high_current)}
    asked = {item for (test, item, _), row in rows(dedicated).items() if test == "load_drop" and row.asked}
    assert asked & plain == {nearest} & plain
    assert (asked | plain) == {x.key for x in dedicated.circuit.loads}
    looser = {k: replace(d, limit_v=100.0) for k, d in dedicated.design.drops.items()}
    looser["loads.fans"] = replace(looser["loads.fans"], limit_v=0.001)
    other = replace(dedicated, design=replace(dedicated.design, drops=looser))
    asked = {item for (test, item, _), row in rows(other).items() if test == "load_drop" and row.asked}
    assert asked & plain == {"loads.fans"}


def test_a_device_is_expected_to_lose_its_resistance_times_its_current(dedicated: Evidence) -> None:
    found = [row for row in rows(dedicated).values() if row.test == "device_drop"]
    assert {row.basis for row in found} == {"contact", "fuse"}
    for row in found:
        device = dedicated.circuit.device[row.item]
        at_a = dedicated.design.flow.demands[row.item].current_a
        assert row.expected_at_a == at_a
        assert row.expected == pytest.approx(at_a * device_ohm(device), rel=1e-12)
        wanted = at_a * 0.0005 if device.kind != "fuse" else 1.2 * row.expected
        assert row.high == pytest.approx(wanted, rel=1e-12)
        assert row.low is None


def test_heavy_devices_of_banks_and_links_are_measured_and_no_others(dedicated: Evidence) -> None:
    """The fuse of a load is in that load's drop; a starter's switch in the leg; an emergency switch is open."""
    found = {row.item for row in rows(dedicated).values() if row.test == "device_drop"}
    for device in dedicated.circuit.devices:
        rating_a = getattr(device.part, "rating_a", 0.0)
        heavy = rating_a >= study.HEAVY_A and device.kind not in ("shunt",)
        if device.key in found:
            assert heavy, device.key
        elif heavy and device.kind == "fuse":
            assert not device.circuit.startswith(("banks.", "links.")), device.key
        elif heavy:
            assert device.key in ("links.vsr.emergency", "engine.switch"), device.key


def test_a_meter_is_read_at_the_most_that_lasts(dedicated: Evidence) -> None:
    row = rows(dedicated)["shunt", "banks.lithium.shunt", ""]
    assert row.expected == row.expected_at_a == dedicated.design.flow.demands["banks.lithium.shunt"].current_a
    assert row.high == pytest.approx(1.01 * row.expected)


def test_batteries_share_a_fifth_of_their_capacity_an_hour(dedicated: Evidence) -> None:
    """Two of 230 Ah: 0.2 · 460 = 92 A together, 46 A each as they are wired alike."""
    row = rows(dedicated)["sharing", "banks.lithium.s1", ""]
    assert row.expected_at_a == pytest.approx(92.0)
    assert row.expected == pytest.approx(46.0, rel=1e-6)
    assert (row.low, row.high) == (pytest.approx(0.9 * 46.0, rel=1e-6), pytest.approx(1.1 * 46.0, rel=1e-6))


def test_the_drain_is_that_of_the_schedule(dedicated: Evidence) -> None:
    row = rows(dedicated)["standing_drain", "", ""]
    assert row.expected == dedicated.energy.standing_drain_a
    assert (row.low, row.high) == (pytest.approx(row.expected - 0.01), pytest.approx(row.expected + 0.01))


def test_a_relay_waits_as_stated_give_or_take_a_fifth_and_a_second(dedicated: Evidence) -> None:
    spec = dedicated.spec.option.vsr
    assert spec is not None
    stated = type(spec).model_validate(
        {**{k: v for k, v in spec.model_dump(by_alias=True).items() if v is None or k in ("route", "senses")},
         "delay": "10 s"}
    )  # fmt: skip
    row = rows(with_option(dedicated, vsr=stated))["relay_delay", "links.vsr.relay", ""]
    assert (row.expected, row.low, row.high, row.wanting) == (10.0, 7.0, 13.0, "")


def test_senses_are_those_that_measure_a_battery(dedicated: Evidence) -> None:
    found = {item for test, item, _ in rows(dedicated) if test == "sense"}
    assert found == {
        "banks.lithium.controller", "banks.lithium.shunt", "links.vsr.relay", "sources.solar", "sources.alternator",
        "sources.shore",
    }  # fmt: skip


def test_a_dc_dc_charger_that_senses_its_battery_is_held_against_a_meter() -> None:
    (built, *_) = project("frostbit")
    made = designed(built)
    evidence = Evidence(made, built.spec, built.family, first_currents(made.circuit, built.family), built.catalogue)
    link = built.spec.option.dc_dc
    assert link is not None
    assert ("sense", "links.dc_dc", "") in rows(evidence)
    blind = link.model_copy(update={"senses": "terminals"})
    assert ("sense", "links.dc_dc", "") not in rows(with_option(evidence, dc_dc=blind))


def test_limits_are_told_with_their_unit(dedicated: Evidence) -> None:
    found = rows(dedicated)
    assert found["sense", "sources.solar", ""].values == {"limit_v": 0.05}
    assert found["joint_rise", "banks.lead", ""].values == {"limit_kelvin": 10.0}
    assert found["battery_moves", "banks.lead", ""].values == {"limit_m": 0.01}
    assert found["insulation", "", ""].values == {"limit_ohm": 10_000.0}


def test_a_drop_says_from_which_battery_it_is_measured(dedicated: Evidence) -> None:
    found = rows(dedicated)
    assert found["load_drop", "loads.windlass", ""].values == {"battery": "banks.starter.s1"}
    assert str(found["load_drop", "loads.bilge_pump", ""].values["battery"]).startswith("banks.lithium.")


def test_legs_of_the_starter_lose_what_the_solution_says(dedicated: Evidence) -> None:
    volts = dedicated.design.flow.solutions["cranking"].voltage_v
    battery = dedicated.circuit.battery["banks.starter.s1"]
    starter = dedicated.circuit.starter
    assert starter is not None
    positive, negative = (rows(dedicated)["cranking_drop", "engine", end] for end in ("positive", "negative"))
    assert positive.expected == pytest.approx(volts[battery.positive] - volts[starter.positive])
    assert negative.expected == pytest.approx(volts[starter.negative] - volts[battery.negative])
    assert positive.high == negative.high == 0.3
    at_it = rows(dedicated)["starter_voltage", "engine", ""]
    assert at_it.expected == pytest.approx(dedicated.design.flow.solutions["cranking"].port_v["engine"])
    assert at_it.low == starter.minimum_v


def test_joints_are_looked_at_where_much_flows(dedicated: Evidence) -> None:
    found = {item for test, item, _ in rows(dedicated) if test == "joint_rise"}
    assert found == {
        "banks.lead", "banks.lithium", "banks.starter", "loads.inverter", "loads.windlass", "sources.alternator"
    }  # fmt: skip
