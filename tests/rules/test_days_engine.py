"""Checks 63, 64, 69 and 70: the engine in the days."""

from dataclasses import replace

import pytest

from proposal.studies.behaviour.result import Cranking, StartOnDay

STARTER, ALTERNATOR = "engine", "sources.alternator"
KNOWN = {"engine.minimum_v": 9.0}
"""What the engine needs; on the test boat it has that easily with full batteries."""


def row(after, verdict, volts, day=2.0, fed_by="own_bank", minimum_v=9.0):
    return Cranking(after, day, fed_by, 5.0, volts, minimum_v, None, verdict)


def cranks(days, *rows, spec=KNOWN):
    return days.put("shared", spec, cranking=rows)


# --- 63 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("verdict", "outcome"), [("fails", "fires"), ("uncertain", "undecided"), ("starts", None)])
def test_start_after_an_ordinary_day(bench, days, verdict, outcome):
    found = bench.found(cranks(days, row("summer", verdict, 8.4)), "engine_fails_in_use")
    assert [(f.item, f.outcome) for f in found] == ([(STARTER, outcome)] if outcome else [])
    for finding in found:
        values = finding.values
        assert (values["during"], values["starter_v"], values["limit_v"]) == ("Summer", 8.4, 9.0)
        assert values["lacking_v"] == pytest.approx(0.6)
        assert values.get("find_out") == ("start_margin" if outcome == "undecided" else None)


@pytest.mark.parametrize(
    ("after", "day", "fires"), [("no_charge", 2.0, True), ("no_charge", 2.1, False), ("neglect", 1.0, False)]
)
def test_only_the_days_that_are_wanted_count(bench, days, after, day, fires):
    """Two days without charge are wanted; being left alone is for check 64."""
    found = bench.found(cranks(days, row(after, "fails", 7.0, day)), "engine_fails_in_use")
    assert len(found) == fires


def test_what_relays_join_leaves_it_open_and_a_hand_is_told_of(bench, days):
    own = row("summer", "fails", 7.0)
    joined = bench.only(
        cranks(days, own, row("summer", "starts", 10.0, fed_by="joined")), "engine_fails_in_use", STARTER
    )
    assert (joined.outcome, joined.values["find_out"], joined.values["joined_v"]) == ("undecided", "start_joined", 10.0)
    by_hand = row("summer", "starts", 10.0, fed_by="emergency")
    finding = bench.only(cranks(days, own, by_hand), "engine_fails_in_use", STARTER)
    assert (finding.outcome, finding.values["emergency_v"]) == ("fires", 10.0)
    fails_too = replace(by_hand, verdict="uncertain")
    assert bench.only(cranks(days, own, fails_too), "engine_fails_in_use", STARTER).values["emergency_v"] is None


def test_worst_of_several_runs_is_told(bench, days):
    rows = (row("summer", "uncertain", 9.1), row("no_charge", "fails", None), row("winter", "fails", 8.0))
    finding = bench.only(cranks(days, *rows), "engine_fails_in_use", STARTER)
    assert (finding.values["during"], finding.values["starter_v"]) == ("no_charge", None)
    assert finding.values["lacking_v"] is None
    assert bench.tested(cranks(days, *rows), "engine_fails_in_use") == 3


def test_figure_that_is_wanting_is_asked_for(bench, days):
    unknown = bench.only(
        cranks(days, row("summer", "uncertain", 8.4, minimum_v=None), spec={}), "engine_fails_in_use", STARTER
    )
    assert (unknown.values["find_out"], unknown.values["limit_v"]) == ("minimum_cranking_voltage", 8.0)


def test_what_fails_with_full_batteries_is_for_check_52(bench, days):
    evidence = cranks(days, row("summer", "fails", 8.4), spec={"engine.minimum_v": 12.5})
    assert [f.outcome for f in bench.found(evidence, "starter_voltage_low")] == ["fires"]
    assert bench.found(evidence, "engine_fails_in_use") == []


# --- 64 --------------------------------------------------------------------------------------------------------------


def on_day(day, verdict, volts, fed_by="own_bank"):
    return StartOnDay(day, volts, 9.0, None, verdict, fed_by)


def left(days, *starts, for_days=28.0, **changed):
    spec = {**KNOWN, "system.unattended_days": for_days}
    return days.neglect("shared", spec, starts=starts, starts_until_days=7.0, left_on="loads.fridge", **changed)


STARTS = (on_day(0.0, "starts", 10.8), on_day(7.0, "starts", 10.0), on_day(14.0, "uncertain", 9.1))


@pytest.mark.parametrize(("for_days", "outcome"), [(13.9, None), (14.0, "undecided"), (21.0, "fires")])
def test_left_alone_with_a_load_on(bench, days, for_days, outcome):
    evidence = left(days, *STARTS, on_day(21.0, "fails", 6.0), for_days=for_days)
    found = bench.found(evidence, "engine_fails_after_neglect")
    assert [(f.item, f.outcome) for f in found] == ([(STARTER, outcome)] if outcome else [])
    for finding in found:
        values = finding.values
        assert (values["first_item"], values["until_days"], values["left_days"]) == ("loads.fridge", 7.0, for_days)
        assert values["fails_days"] == (21.0 if outcome == "fires" else 14.0)


def test_only_its_own_battery_counts(bench, days):
    by_hand = (on_day(21.0, "fails", 6.0), on_day(21.0, "starts", 10.0, "emergency"))
    assert len(bench.found(left(days, *by_hand), "engine_fails_after_neglect")) == 1
    assert bench.found(left(days, on_day(21.0, "fails", 6.0, "emergency")), "engine_fails_after_neglect") == []


def test_how_long_she_is_left_is_asked_where_it_matters(bench, days):
    finding = bench.only(left(days, on_day(21.0, "fails", 6.0), for_days=None), "engine_fails_after_neglect", STARTER)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "left_alone")
    assert bench.found(left(days, on_day(21.0, "starts", 10.0), for_days=None), "engine_fails_after_neglect") == []


def test_first_bank_that_was_empty_is_told(bench, days):
    emptied = days.calm("shared").neglect.emptied
    emptied = (replace(emptied[0], days=9.0), replace(emptied[1], days=4.0))
    evidence = left(days, on_day(21.0, "fails", 6.0), emptied=emptied)
    values = bench.only(evidence, "engine_fails_after_neglect", STARTER).values
    assert (values["bank"], values["empty_days"]) == (emptied[1].bank, 4.0)


# --- 69 --------------------------------------------------------------------------------------------------------------


def recharge(days, mean_share, hot_a=50.0, hours_h=3.0, limited=True, option="shared"):
    spec = {"sources.alternator.hot_a": hot_a, "sources.alternator.limited": limited}
    rows = tuple(
        replace(r, mean_share=mean_share, hours_h=hours_h, hottest_c=101.0)
        for r in days.calm(option).recharge
        if r.source == ALTERNATOR
    )
    return days.put(option, spec, recharge=rows)


@pytest.mark.parametrize(("mean_share", "fires"), [(0.625, False), (0.63, True)])
def test_alternator_that_works_hot(bench, days, mean_share, fires):
    """80 A on its nameplate, 50 A when hot."""
    found = bench.found(recharge(days, mean_share), "alternator_hot_for_hours")
    assert [(f.item, f.outcome) for f in found] == ([(ALTERNATOR, "fires")] if fires else [])
    for finding in found:
        values = finding.values
        assert values["current_a"] == pytest.approx(50.4)
        assert (values["limit_a"], values["hours_h"], values["hottest_c"]) == (50.0, 3.0, 101.0)


@pytest.mark.parametrize(("mean_share", "outcome"), [(0.5, None), (0.51, "undecided")])
def test_half_the_nameplate_where_nobody_knows(bench, days, mean_share, outcome):
    found = bench.found(recharge(days, mean_share, hot_a=None), "alternator_hot_for_hours")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])
    assert [f.values["find_out"] for f in found] == (["hot_current"] if outcome else [])


@pytest.mark.parametrize(("hours_h", "fires"), [(1.0, False), (1.1, True), (None, True)])
def test_less_than_an_hour_is_no_matter(bench, days, hours_h, fires):
    """None: not full in the 24 hours that were followed."""
    assert len(bench.found(recharge(days, 0.7, hours_h=hours_h), "alternator_hot_for_hours")) == fires


def test_lithium_without_a_limit_is_for_check_30(bench, days):
    assert bench.found(recharge(days, 0.9, limited=False), "alternator_hot_for_hours") == []
    assert len(bench.found(recharge(days, 0.9, limited=False, option="vented"), "alternator_hot_for_hours")) == 1


# --- 70 --------------------------------------------------------------------------------------------------------------


def engine(days, hours_h, accepted_h=1.5, **spec):
    calm = days.calm("shared")
    made = tuple(replace(day, engine_h=hours_h) for day in calm.days)
    years = replace(calm.years, step_error=(("engine_h", 0.02),))
    return days.put("shared", {"system.engine_h_per_day": accepted_h, **spec}, days=made, years=years)


@pytest.mark.parametrize(("hours_h", "outcome"), [(1.5, None), (1.53, "undecided"), (1.54, "fires")])
def test_engine_hours_beyond_what_is_accepted(bench, days, hours_h, outcome):
    """The coarser step's error is 2 %: 1.53 h may be 1.4994 h."""
    found = bench.found(engine(days, hours_h), "engine_hours_beyond")
    assert [(f.item, f.outcome) for f in found] == ([("engine", outcome)] if outcome else [])
    assert [f.values.get("find_out") for f in found if outcome == "undecided"] == ["engine_log"] * len(
        [f for f in found if outcome == "undecided"]
    )


def test_so_much_array_makes_up_the_hours_too_many(bench, days):
    """An hour at 40 A and 14.2 V, in 5 h of full sun of which 0.75 arrive."""
    values = bench.only(engine(days, 2.5), "engine_hours_beyond", "engine").values
    assert values["lacking_wh"] == pytest.approx(40.0 * 14.2)
    assert values["more_w"] == pytest.approx(40.0 * 14.2 / (5.0 * 0.75))


def test_engine_that_runs_every_day_anyway_is_no_matter(bench, days):
    assert bench.tested(engine(days, 5.0, **{"system.engine_runs": "every_day"}), "engine_hours_beyond") == 0
    assert bench.tested(engine(days, 5.0, **{"vessel.kind": "camper"}), "engine_hours_beyond") == 0
    assert bench.tested(engine(days, 5.0), "engine_hours_beyond") == 1


# --- all -------------------------------------------------------------------------------------------------------------

COUNTS = {
    "engine_fails_in_use": 1, "engine_fails_after_neglect": 1, "alternator_hot_for_hours": 1, "engine_hours_beyond": 1,
}  # fmt: skip


@pytest.mark.parametrize("check", COUNTS)
def test_calm_days_and_no_days(bench, days, check):
    calm = days.put("dedicated", KNOWN)
    assert (bench.found(calm, check), bench.tested(calm, check)) == ([], COUNTS[check])
    assert bench.tested(bench.option("dedicated"), check) == 0


def test_doubtful_run_is_told_before_one_that_starts(bench, days):
    rows = (row("winter", "starts", 9.0), row("summer", "uncertain", 9.1), row("no_charge", "starts", 8.9))
    finding = bench.only(cranks(days, *rows), "engine_fails_in_use", STARTER)
    assert (finding.outcome, finding.values["during"]) == ("undecided", "Summer")


def test_emergency_start_after_another_run_is_no_help(bench, days):
    rows = (row("summer", "fails", 7.0), row("no_charge", "starts", 10.0, fed_by="emergency"))
    assert bench.only(cranks(days, *rows), "engine_fails_in_use", STARTER).values["emergency_v"] is None


def test_without_sun_or_array_no_array_is_proposed(bench, days):
    dark = {"climate.seasons.summer.sun_h": 0.0}
    values = bench.only(engine(days, 2.5, **dark), "engine_hours_beyond", "engine").values
    assert (values["more_w"], values["lacking_wh"]) == (None, pytest.approx(40.0 * 14.2))
