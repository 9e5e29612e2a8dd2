"""Check 47: the bilge pump's fuse, a blocked rotor, its reserve, and the high-water alarm."""

import pytest

from proposal.rules.pumps import feeding
from proposal.spec.pricebook import CurvePoint

PUMP, FUSE = "loads.bilge_pump", "loads.bilge_pump.fuse"
NAMED = {
    "loads.bilge_pump.serves": "bilge_pump",
    "loads.radio.serves": "high_water_alarm",
    "loads.bilge_pump.maker_fuse_a": 10.0,
    "loads.bilge_pump.locked_rotor_a": 30.0,
}


def curve(*points):
    """A maker's curve: (A, melts after s, clears before s)."""
    return tuple(CurvePoint.model_construct(current_a=a, melts_after_s=m, clears_before_s=c) for a, m, c in points)


KNOWN = curve((11.0, 360_000.0, 720_000.0), (20.0, 1.0, 60.0), (60.0, 0.02, 0.1))


def pumped(bench, option="shared", fuse=None, **changed):
    spec = {**NAMED, **{f"loads.bilge_pump.{name}": value for name, value in changed.items()}}
    evidence = bench.option(option, spec)
    return bench.fit(evidence, FUSE, **{"rating_a": 10.0, "curve": KNOWN, **(fuse or {})})


def causes(bench, evidence):
    return [(f.item, f.outcome, f.values["cause"]) for f in bench.found(evidence, "bilge_pump_at_risk")]


def test_pump_with_all_it_needs_passes(bench):
    assert causes(bench, pumped(bench)) == []
    assert bench.tested(pumped(bench), "bilge_pump_at_risk") == 1


def test_boat_whose_always_on_loads_have_no_purpose_is_asked_once(bench):
    assert causes(bench, bench.option("shared")) == [(PUMP, "undecided", "unnamed")]
    assert causes(bench, bench.option("shared", {"vessel.kind": "cabin"})) == []
    assert causes(bench, bench.option("shared", {"loads.bilge_pump.always_on": False})) == []


@pytest.mark.parametrize(("rating_a", "fires"), [(10.0, False), (10.1, True)])
def test_fuse_above_what_the_maker_allows(bench, rating_a, fires):
    found = bench.found(pumped(bench, fuse={"rating_a": rating_a}), "bilge_pump_at_risk")
    assert [f.values["cause"] for f in found] == (["fuse_large"] if fires else [])
    for finding in found:
        assert (finding.item, finding.values["rating_a"], finding.values["limit_a"]) == (FUSE, 10.1, 10.0)


def test_makers_figures_that_nobody_states_are_undecided(bench):
    assert causes(bench, pumped(bench, maker_fuse_a=None)) == [(FUSE, "undecided", "fuse_large")]
    assert causes(bench, pumped(bench, locked_rotor_a=None)) == [(FUSE, "undecided", "blocked")]


@pytest.mark.parametrize(("blocked_a", "fires"), [(11.0, False), (10.99, True), (10.0, True)])
def test_blocked_rotor_opens_the_fuse_by_its_makers_curve(bench, blocked_a, fires):
    found = bench.found(pumped(bench, locked_rotor_a=blocked_a), "bilge_pump_at_risk")
    assert [(f.outcome, f.values["cause"]) for f in found] == ([("fires", "blocked")] if fires else [])
    for finding in found:
        assert finding.values["clears_above_a"] == 11.0
        # the remedy put back: a fuse of that size, its curve scaled with it, just clears the blocked rotor
        assert finding.values["largest_a"] * 11.0 / 10.0 == pytest.approx(blocked_a)


def test_no_fuse_opens_at_its_rating_whatever_is_known_of_it(bench):
    evidence = pumped(bench, locked_rotor_a=9.9, fuse={"curve": (), "fuse_class": "class_t"})
    assert causes(bench, evidence) == [(FUSE, "fires", "blocked")]


@pytest.mark.parametrize("fuse_class", ["class_t", "blade", "no_such_class"])
def test_class_without_a_curve_or_with_one_from_memory_decides_nothing(bench, fuse_class):
    evidence = pumped(bench, fuse={"curve": (), "fuse_class": fuse_class})
    (finding,) = bench.found(evidence, "bilge_pump_at_risk")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "fuse_curve")


def test_pumps_whose_fuses_are_alike_are_one_point(bench):
    spec = {**NAMED, "loads.lights.serves": "bilge_pump", "loads.lights.locked_rotor_a": 90.0}
    spec["loads.lights.maker_fuse_a"] = 100.0
    evidence = bench.option("shared", spec)
    one = evidence.circuit.device[FUSE].part.model_copy(update={"rating_a": 10.0})
    alike = bench.fit_part(bench.fit_part(evidence, FUSE, one), "loads.lights.fuse", one)
    found = [f for f in bench.found(alike, "bilge_pump_at_risk") if f.outcome == "undecided"]
    assert [(f.item, f.values["find_out"]) for f in found] == [(FUSE, "fuse_curve")]
    other = bench.fit(alike, "loads.lights.fuse", title="Another fuse")
    found = [f for f in bench.found(other, "bilge_pump_at_risk") if f.outcome == "undecided"]
    assert [f.item for f in found] == [FUSE, "loads.lights.fuse"]


def test_boat_without_a_high_water_alarm(bench):
    evidence = bench.fit(
        bench.option("shared", {**NAMED, "loads.radio.serves": None}), FUSE, rating_a=10.0, curve=KNOWN
    )
    assert causes(bench, evidence) == [(PUMP, "fires", "no_alarm")]


def reserve(bench, hours_h):
    return bench.found(pumped(bench, hours_h=hours_h), "bilge_pump_at_risk")


def test_reserve_of_the_bank_that_feeds_it(bench):
    """Two lead batteries of 110 Ah, half of it usable, at 5 °C; the pump alone stays on, 5 A at 12 V."""
    evidence = pumped(bench)
    (bank,) = feeding(evidence, evidence.circuit.loads[0].positive)
    assert bank.key == "banks.lead"  # the contactor towards the lithium counts as open
    usable_wh = next(b.usable_wh for b in evidence.energy.banks if b.bank == "banks.lead")
    enough_h = usable_wh / (2.0 * 60.0)  # hours of running a day at which it lasts 48 h
    assert 0 < enough_h < 24
    assert reserve(bench, enough_h) == []
    (finding,) = reserve(bench, enough_h * 1.001)
    values = finding.values
    assert (finding.item, values["cause"], values["bank"], values["limit_h"]) == (PUMP, "reserve", "banks.lead", 48.0)
    assert values["reserve_h"] == pytest.approx(48.0 / 1.001)
    assert values["day_wh"] == pytest.approx(usable_wh / 2.0 * 1.001)
    assert values["capacity_ah"] == 220.0
    assert values["capacity_needed_ah"] == pytest.approx(220.0 * 1.001)


def test_other_loads_that_stay_on_the_same_bank_shorten_it(bench):
    alone = reserve(bench, 20.0)[0].values
    spec = {**NAMED, "loads.bilge_pump.hours_h": 20.0, "loads.lights.always_on": True}
    evidence = bench.fit(bench.option("shared", spec), FUSE, rating_a=10.0, curve=KNOWN)
    both = next(f for f in bench.found(evidence, "bilge_pump_at_risk") if f.values["cause"] == "reserve").values
    assert both["day_wh"] == pytest.approx(alone["day_wh"] + 4.0 * 12.0 * 4.0)
    assert both["reserve_h"] < alone["reserve_h"]
