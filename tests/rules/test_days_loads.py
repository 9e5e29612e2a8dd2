"""Checks 57, 65 and 66: loads that collapse or go dark in the days."""

from dataclasses import replace

import pytest

from proposal.studies.behaviour.result import Dark

FRIDGE, RADIO, LIGHTS = "loads.fridge", "loads.radio", "loads.lights"

# --- 57 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("run", "at_h", "fires"),
    [
        ("summer", 3.0, True),
        ("year", 4000.0, True),
        ("no_charge", 47.9, True),  # two days are wanted
        ("no_charge", 48.0, False),
        ("neglect", 1.0, False),
    ],
)
def test_load_that_collapses_in_use_or_before_the_wanted_days_end(bench, days, run, at_h, fires):
    evidence = days.trouble("shared", "collapse", FRIDGE, run=run, at_h=at_h, voltage_v=10.9, power_w=60.0)
    found = bench.found(evidence, "load_collapses")
    assert [(f.item, f.outcome) for f in found] == ([(FRIDGE, "fires")] if fires else [])
    for finding in found:
        assert (finding.values["power_w"], finding.values["voltage_v"]) == (60.0, 10.9)
        assert finding.values["set_to_v"] == pytest.approx(11.05)


def test_lowest_of_several_collapses_is_told(bench, days):
    evidence = days.trouble("shared", "collapse", FRIDGE, voltage_v=10.9, power_w=60.0)
    (one,) = evidence.behaviour.troubles
    lower = replace(one, run="year", values={"voltage_v": 10.1, "power_w": 60.0})
    both = replace(evidence, behaviour=replace(evidence.behaviour, troubles=(one, lower)))
    values = bench.only(both, "load_collapses", FRIDGE).values
    assert (values["voltage_v"], values["during"]) == (10.1, "year")


# --- 65 and 66 -------------------------------------------------------------------------------------------------------


def dark(days, first_days, critical_days, uncertain_days=0.3, spec=None):
    """Lights go first, the radio is critical."""
    order = [
        Dark(key, at * 86400.0, critical, 11.5)
        for key, at, critical in ((LIGHTS, first_days, False), (RADIO, critical_days, True))
        if at is not None
    ]
    made = replace(
        days.calm("shared").no_charge, first_dark_days=first_days, critical_dark_days=critical_days,
        uncertain_days=uncertain_days, order=tuple(order),
    )  # fmt: skip
    return days.put("shared", spec, no_charge=made)


@pytest.mark.parametrize(
    ("dark_days", "outcome"), [(1.69, "fires"), (1.71, "undecided"), (2.29, "undecided"), (2.31, None), (None, None)]
)
def test_days_that_are_wanted(bench, days, dark_days, outcome):
    """Two days are wanted, 0.3 days are open."""
    for check, item, evidence in (
        ("critical_dark_early", RADIO, dark(days, 9.0, dark_days)),
        ("house_dark_early", LIGHTS, dark(days, dark_days, 9.0)),
    ):
        found = bench.found(evidence, check)
        assert [(f.item, f.outcome) for f in found] == ([(item, outcome)] if outcome else [])
        for finding in found:
            assert finding.values.get("find_out") == ("bank_capacity" if outcome == "undecided" else None)


def test_so_much_more_charge_lasts_the_wanted_days(bench, days):
    values = bench.only(dark(days, 9.0, 1.6), "critical_dark_early", RADIO).values
    usable_ah = sum(held.usable_ah for held in days.put("shared").energy.banks)
    assert values["usable_ah"] == pytest.approx(usable_ah)
    assert values["more_ah"] == pytest.approx(usable_ah * 0.25)
    assert (values["dark_days"], values["wanted_days"], values["voltage_v"]) == (1.6, 2.0, 11.5)
    # fewer days wanted mend it too
    less = {"system.wanted_days": 1.3}
    assert bench.found(dark(days, 9.0, 1.6, spec=less), "critical_dark_early") == []


def test_starter_battery_does_not_count_as_charge_for_the_house(bench, days):
    made = replace(days.calm("dedicated").no_charge, critical_dark_days=1.0)
    evidence = days.put("dedicated", no_charge=made)
    (finding,) = bench.found(evidence, "critical_dark_early")
    held = {b.bank: b.usable_ah for b in evidence.energy.banks}
    assert finding.values["usable_ah"] == pytest.approx(held["banks.lead"] + held["banks.lithium"])


@pytest.mark.parametrize(("first_days", "checks"), [(1.0, 2), (1.2, 1), (None, 1)])
def test_what_goes_dark_with_or_after_the_needed_is_not_told_twice(bench, days, first_days, checks):
    evidence = dark(days, first_days, 1.2)
    told = [bench.found(evidence, check) for check in ("critical_dark_early", "house_dark_early")]
    assert sum(len(found) for found in told) == checks


# --- all -------------------------------------------------------------------------------------------------------------

COUNTS = {"load_collapses": 2, "critical_dark_early": 2, "house_dark_early": 4}


@pytest.mark.parametrize("check", COUNTS)
def test_calm_days_and_no_days(bench, days, check):
    calm = days.put("dedicated")
    assert (bench.found(calm, check), bench.tested(calm, check)) == ([], COUNTS[check])
    assert bench.tested(bench.option("dedicated"), check) == 0
