"""Checks 56, 59, 61 and 62: relays in the days."""

from dataclasses import replace

import pytest

CONTACTOR, VSR, ALTERNATOR = "banks.lithium.contactor", "links.vsr.relay", "sources.alternator"
STATED = {"OPTION.contactor.holds_s": 20.0}

# --- 56 --------------------------------------------------------------------------------------------------------------


def chatter(days, item=CONTACTOR, spec=STATED, count=7, within_s=300.0, **more):
    return days.trouble("dedicated", "chatter", item, spec, count=count, within_s=within_s, **more)


@pytest.mark.parametrize(
    ("count", "within_s", "fires"), [(5, 300.0, True), (4, 300.0, False), (5, 2400.0, True), (5, 2401.0, False)]
)
def test_more_than_four_in_a_row_are_chatter(bench, days, count, within_s, fires):
    """Ten minutes apart on average: five switchings have four gaps."""
    found = bench.found(chatter(days, count=count, within_s=within_s), "relay_chatters")
    assert [(f.item, f.outcome) for f in found] == ([(CONTACTOR, "fires")] if fires else [])


def test_hold_off_and_time_are_told(bench, days):
    values = bench.only(chatter(days, within_s=300.0), "relay_chatters", CONTACTOR).values
    assert (values["switch_count"], values["hold_to_s"], values["release_to_v"]) == (7, 300.0, None)
    assert (values["during"], values["clock_s"], values["day_count"]) == ("Summer", 66600.0, None)
    # a hold-off as long as it went on, or of ten minutes, leaves no chatter
    assert bench.only(chatter(days, count=7, within_s=3000.0), "relay_chatters", CONTACTOR).values["hold_to_s"] == 600.0


def test_relay_releases_lower_by_twice_what_sensors_leave_open(bench, days):
    """Releases at 12.8 V; 2 · 0.15 V."""
    finding = bench.only(chatter(days, VSR), "relay_chatters", VSR)
    assert finding.outcome == "fires"
    assert finding.values["release_to_v"] == pytest.approx(12.5)


def test_hold_off_that_is_assumed_leaves_it_open(bench, days):
    (finding,) = bench.found(chatter(days, spec=None), "relay_chatters")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "hold_off")


def test_worst_of_several_runs_is_told_once_with_its_day(bench, days):
    evidence = chatter(days)
    (one,) = evidence.behaviour.troubles
    more = replace(one, run="neglect", time_s=3 * 86400.0 + 60.0, values={**one.values, "count": 9})
    evidence = replace(evidence, behaviour=replace(evidence.behaviour, troubles=(one, more, one)))
    values = bench.only(evidence, "relay_chatters", CONTACTOR).values
    assert (values["switch_count"], values["during"], values["day_count"], values["clock_s"]) == (9, "neglect", 4, 60.0)


# --- 59 --------------------------------------------------------------------------------------------------------------


NEARLY = {**STATED, "OPTION.contactor.lithium_above_v": 0.1}


def missed(days, spec=STATED, difference_v=0.3, **more):
    return days.trouble("shared", "join_missed", CONTACTOR, spec, difference_v=difference_v, rule_v=0.1, **more)


@pytest.mark.parametrize(("difference_v", "outcome"), [(0.251, "fires"), (0.249, "undecided")])
def test_lithium_missed_at_dusk(bench, days, difference_v, outcome):
    """A rule of 0.1 V, and 0.15 V that sensors leave open."""
    finding = bench.only(missed(days, NEARLY, difference_v), "join_missed", CONTACTOR)
    assert (finding.outcome, finding.values["bank"]) == (outcome, "banks.lithium")
    if outcome == "fires":
        assert finding.values["cause"] == "rule"
        assert finding.values["set_to_v"] == 0.15
    else:
        assert finding.values["find_out"] == "join_watched"


@pytest.mark.parametrize(("holds_s", "outcome", "find_out"), [(20.0, "fires", None), (None, "undecided", "hold_off")])
def test_hold_off_that_outlasts_the_fall(bench, days, holds_s, outcome, find_out):
    """Without a rule of "nearly equal" only the hold-off can be to blame."""
    finding = bench.only(missed(days, {"OPTION.contactor.holds_s": holds_s}, falls_s=9.0), "join_missed", CONTACTOR)
    values = finding.values
    assert (finding.outcome, values["cause"], values["holds_s"], values["falls_s"]) == (outcome, "hold", holds_s, 9.0)
    assert values.get("find_out") == find_out


def test_wider_rule_stays_and_a_bank_stands_for_its_contactor(bench, days):
    evidence = days.trouble("shared", "join_missed", "banks.lithium", STATED, difference_v=0.9, rule_v=0.4)
    assert bench.only(evidence, "join_missed", CONTACTOR).values["set_to_v"] == 0.4


# --- 61 --------------------------------------------------------------------------------------------------------------


BARE = {"sources.alternator.surge_protected": False}


@pytest.mark.parametrize(
    ("peak_v", "outcome"), [(16.16, "fires"), (16.14, "undecided"), (15.86, "undecided"), (15.84, None), (None, None)]
)
def test_source_that_lost_its_battery(bench, days, peak_v, outcome):
    """What is connected bears 16 V; 0.15 V are open. It is the alternator whose field takes its time to die."""
    values = {"peak_v": peak_v, "limit_v": 16.0}
    found = bench.found(days.trouble("shared", "source_stranded", "sources.solar", BARE, **values), "source_stranded")
    assert [(f.item, f.outcome) for f in found] == ([(ALTERNATOR, outcome)] if outcome else [])


def test_surge_protector_leaves_it_open(bench, days):
    spec = {"sources.alternator.surge_protected": True}
    evidence = days.trouble("shared", "source_stranded", ALTERNATOR, spec, peak_v=20.0, limit_v=16.0)
    (finding,) = bench.found(evidence, "source_stranded")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "stranded_peak")


def test_what_happens_with_nobody_there_is_no_ordinary_use(bench, days):
    values = {"peak_v": 20.0, "limit_v": 16.0}
    evidence = days.trouble("shared", "source_stranded", ALTERNATOR, run="neglect", **values)
    assert bench.found(evidence, "source_stranded") == []


# --- 62 --------------------------------------------------------------------------------------------------------------


def seen(evidence, item, quantity):
    traces = [t for day in evidence.behaviour.days for t in day.traces]
    return [v for t in traces if (t.item, t.quantity) == (item, quantity) for v in t.values]


def test_relay_that_never_joins(bench, days):
    """It senses the side of the starter battery, on which the alternator is."""
    evidence = days.trouble("dedicated", "never_joins", VSR, days=1.0)
    finding = bench.only(evidence, "relay_never_switches", VSR)
    values, highest_v = finding.values, max(seen(evidence, "banks.starter", "voltage_v"))
    assert (finding.outcome, values["cause"], values["joins_v"]) == ("fires", "joins", 13.7)
    assert values["highest_v"] == highest_v
    assert values["set_to_v"] == pytest.approx(highest_v - 0.15)


@pytest.mark.parametrize(("given_a", "fires"), [(0.99, False), (1.0, True)])
def test_side_that_nothing_charges_need_not_be_joined(bench, days, given_a, fires):
    """No engine on an ordinary day: the relay has no reason to join."""
    evidence = days.trouble("dedicated", "never_joins", VSR, days=1.0)
    (day,) = evidence.behaviour.days
    traces = [
        replace(t, values=(given_a,)) if (t.item, t.quantity) == (ALTERNATOR, "current_a") else t for t in day.traces
    ]
    made = (replace(day, traces=tuple(traces)),)
    evidence = replace(evidence, behaviour=replace(evidence.behaviour, days=made))
    assert len(bench.found(evidence, "relay_never_switches")) == fires


@pytest.mark.parametrize(("code", "item"), [("never_joins", VSR), ("never_parts", VSR)])
def test_what_it_does_in_another_season_is_enough(bench, days, code, item):
    evidence = days.trouble("dedicated", code, item, days=1.0)
    (day,) = evidence.behaviour.days
    more = replace(evidence.behaviour, days=(day, replace(day, season="winter")))
    assert len(bench.found(evidence, "relay_never_switches")) == 1
    assert bench.found(replace(evidence, behaviour=more), "relay_never_switches") == []


def test_relay_that_never_parts(bench, days):
    evidence = days.trouble("dedicated", "never_parts", VSR, days=1.0)
    values = bench.only(evidence, "relay_never_switches", VSR).values
    assert (values["cause"], values["releases_v"]) == ("parts", 12.8)
    assert values["set_to_v"] == pytest.approx(min(seen(evidence, "banks.starter", "voltage_v")) + 0.15)


@pytest.mark.parametrize("code", ["never_joins", "never_parts"])
def test_assumed_thresholds_leave_it_open(bench, days, code):
    prices = {"vsr_200.joins_v": None, "vsr_200.releases_v": None}
    evidence = days.trouble("vented", code, VSR, None, prices, days=1.0)
    finding = bench.only(evidence, "relay_never_switches", VSR)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "relay_thresholds")


def test_contactor_need_not_part_but_must_join(bench, days):
    assert bench.found(days.trouble("shared", "never_parts", CONTACTOR, days=1.0), "relay_never_switches") == []
    finding = bench.only(days.trouble("shared", "never_joins", CONTACTOR), "relay_never_switches", CONTACTOR)
    assert (finding.outcome, finding.values["set_to_v"]) == ("fires", None)


# --- all -------------------------------------------------------------------------------------------------------------

COUNTS = {"relay_chatters": 2, "join_missed": 1, "source_stranded": 3, "relay_never_switches": 2}


@pytest.mark.parametrize("check", COUNTS)
def test_calm_days_and_no_days(bench, days, check):
    calm = days.put("dedicated")
    assert (bench.found(calm, check), bench.tested(calm, check)) == ([], COUNTS[check])
    assert bench.tested(bench.option("dedicated"), check) == 0


def test_rule_of_the_spec_stands_for_one_that_is_not_told(bench, days):
    """0.1 V are in the spec of the test boat."""
    evidence = days.trouble("shared", "join_missed", CONTACTOR, NEARLY, difference_v=0.26)
    values = bench.only(evidence, "join_missed", CONTACTOR).values
    assert (values["rule_v"], values["set_to_v"]) == (0.1, 0.15)


@pytest.mark.parametrize(("option", "told"), [("shared", 1), ("converter", 0)])
def test_source_with_no_battery_left_is_for_checks_31_and_34(bench, days, option, told):
    """Lithium parted, in one option lead is left beside the alternator, in the other nothing beside the array."""
    spec = BARE if option == "shared" else {**BARE, "sources.alternator.side": "house"}
    evidence = days.trouble(option, "source_stranded", "sources.solar", spec, peak_v=100.0, limit_v=15.5)
    assert len(bench.found(evidence, "source_stranded")) == told
    alone = [loss for loss in evidence.switching.losses if not loss.left]
    assert bool(alone) == (not told)
