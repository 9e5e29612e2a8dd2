"""Checks 72 and 73: what is dark in a year of ordinary weather."""

from dataclasses import replace

import pytest

from proposal.studies.behaviour.result import Spread, Trouble

LITHIUM = "banks.lithium"


def year(days, critical_h=0.0, dark_h=0.0, critical_median_h=None, median_h=None, option="shared", spec=None):
    """The middle of the seeded years is this year, where nothing else is said."""
    calm = days.calm(option)
    medians = {
        "critical_dark_h": critical_h if critical_median_h is None else critical_median_h,
        "dark_h": dark_h if median_h is None else median_h,
    }
    spreads = tuple(
        Spread(quantity, "", (0.0,) * 10 + (middle_h,) + (9999.0,) * 10) for quantity, middle_h in medians.items()
    )
    made = replace(calm.year, critical_dark_h=critical_h, dark_h=dark_h, nights_low=7)
    return days.put(option, spec, year=made, years=replace(calm.years, spreads=spreads))


@pytest.mark.parametrize(
    ("this_h", "median_h", "outcome"),
    [(0.0, 0.0, None), (0.1, 0.1, "fires"), (0.1, 0.0, "undecided"), (0.0, 0.1, "undecided")],
)
def test_nothing_critical_may_be_dark(bench, days, this_h, median_h, outcome):
    found = bench.found(year(days, this_h, critical_median_h=median_h), "critical_dark_in_year")
    assert [(f.item, f.outcome) for f in found] == ([(LITHIUM, outcome)] if outcome else [])
    for finding in found:
        values = finding.values
        assert (values["dark_h"], values["median_h"], values["low_count"]) == (this_h, median_h, 7)
        assert values.get("find_out") == ("dark_log" if outcome == "undecided" else None)


@pytest.mark.parametrize(
    ("this_h", "median_h", "outcome"),
    [(24.0, 24.0, None), (24.1, 24.1, "fires"), (24.1, 24.0, "undecided"), (24.0, 24.1, "undecided")],
)
def test_other_loads_may_be_dark_for_a_day(bench, days, this_h, median_h, outcome):
    found = bench.found(year(days, dark_h=this_h, median_h=median_h), "house_dark_in_year")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])


@pytest.mark.parametrize(("critical_median_h", "house"), [(5.0, 0), (0.0, 1)])
def test_what_is_critical_says_enough(bench, days, critical_median_h, house):
    evidence = year(days, 5.0, 100.0, critical_median_h)
    assert len(bench.found(evidence, "critical_dark_in_year")) == 1
    assert len(bench.found(evidence, "house_dark_in_year")) == house


def test_what_lacks_a_day_is_made_up_by_array_or_engine(bench, days):
    """Array: 5 h of full sun of which 0.75 arrive, a fifth of it shaded. Engine: 40 A for long at 14.2 V."""
    spec = {"sources.solar.power_w": 50.0, "sources.solar.shading": 0.2, "system.engine_h_per_day": 0.5}
    evidence = year(days, 5.0, spec=spec)
    (day,), (finding,) = evidence.energy.days, bench.found(evidence, "critical_dark_in_year")
    values = finding.values
    lacking_wh = day.use_wh + day.loss_wh - day.free_wh - 0.5 * 40.0 * 14.2
    assert lacking_wh > 0.0
    assert (values["lacking_wh"], values["during"]) == (pytest.approx(lacking_wh), "Summer")
    assert values["more_w"] == pytest.approx(lacking_wh / (5.0 * 0.75 * 0.8))
    assert values["more_h"] == pytest.approx(lacking_wh / (40.0 * 14.2))


def test_where_nothing_lacks_on_average_nothing_is_proposed(bench, days):
    spec = {"sources.solar.power_w": 5000.0}
    (finding,) = bench.found(year(days, 5.0, spec=spec), "critical_dark_in_year")
    assert [finding.values[name] for name in ("lacking_wh", "more_w", "more_h")] == [None, None, None]


def test_starter_battery_is_not_the_house(bench, days):
    (finding,) = bench.found(year(days, 5.0, option="vented"), "critical_dark_in_year")
    assert finding.item == "banks.house"


def test_want_of_charge_is_told_once(bench, days):
    """Lithium that is empty for it and never full for it is no finding of its own; other causes are."""
    evidence = year(days, 0.0, 100.0)
    monthly = tuple((bank, (0,) * 12) for bank, _ in evidence.behaviour.year.monthly_full)
    for dark_h, told in ((100.0, 0), (24.0, 1)):
        for cause, count in (("cell_low", told), ("cold", 1)):
            made = replace(
                evidence.behaviour, year=replace(evidence.behaviour.year, dark_h=dark_h, monthly_full=monthly),
                troubles=(Trouble("management_opens", LITHIUM, "summer", 0.0, {"cause": cause, "voltage_v": 12.0}),),
            )  # fmt: skip
            shown = replace(evidence, behaviour=made)
            assert len(bench.found(shown, "management_opens")) == count
            assert len(bench.found(shown, "bank_never_full")) == told


COUNTS = {"critical_dark_in_year": 2, "house_dark_in_year": 4}


@pytest.mark.parametrize("check", COUNTS)
def test_calm_days_and_no_days(bench, days, check):
    calm = days.put("dedicated")
    assert (bench.found(calm, check), bench.tested(calm, check)) == ([], COUNTS[check])
    assert bench.tested(bench.option("dedicated"), check) == 0
