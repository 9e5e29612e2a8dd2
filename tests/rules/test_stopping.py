"""Checks 32, 38 and 40: charging lithium."""

import pytest

SOLAR, SHORE, ALTERNATOR = "sources.solar", "sources.shore", "sources.alternator"


def each(**changes):
    return {
        f"sources.{source}.{name}": value
        for name, value in changes.items()
        for source in ("solar", "shore", "alternator")
    }


def stopping(bench, by="management", cuts_above_v=14.6, **spec):
    times = {
        "sources.alternator.stops_within_s": 0.5,
        "sources.alternator.decay_s": 0.5,
        "OPTION.contactor.waits_s": 1.0,
    }
    made = {**times, **each(stopped_by=by, compensation_v_per_k=0.0), **spec}
    return bench.option("shared", made, {"lithium_230.cuts_above_v": cuts_above_v})


# --- 32 --------------------------------------------------------------------------------------------------------------


def test_sources_that_the_management_stops(bench):
    evidence = stopping(bench)
    assert bench.found(evidence, "source_not_stopped") == []
    assert bench.tested(evidence, "source_not_stopped") == 3


@pytest.mark.parametrize(("by", "outcome"), [("nothing", "fires"), (None, "undecided")])
def test_source_that_nothing_stops(bench, by, outcome):
    found = bench.found(stopping(bench, **{"sources.solar.stopped_by": by}), "source_not_stopped")
    assert [(f.item, f.outcome, f.values["cause"]) for f in found] == [(SOLAR, outcome, "nothing")]
    assert found[0].values["bank"] == "banks.lithium"


@pytest.mark.parametrize(("charge_v", "fires"), [(14.4, False), (14.41, True)])
def test_source_that_heeds_only_its_own_voltage(bench, charge_v, fires):
    """0.2 V below the 14.6 V at which the management cuts."""
    evidence = stopping(bench, **{"sources.solar.stopped_by": "own_sensing", "sources.solar.charge_v": charge_v})
    found = bench.found(evidence, "source_not_stopped")
    assert [(f.item, f.values["cause"]) for f in found] == ([(SOLAR, "own_sensing")] if fires else [])
    for finding in found:
        assert (finding.values["voltage_v"], finding.values["limit_v"]) == (14.41, pytest.approx(14.4))


def test_what_equalises_goes_above_its_own_absorption(bench):
    spec = {"sources.solar.stopped_by": "own_sensing", "sources.solar.equalise_v": 15.2}
    (finding,) = bench.found(stopping(bench, **spec), "source_not_stopped")
    assert finding.values["voltage_v"] == 15.2


def test_own_voltage_against_a_limit_that_nobody_states(bench):
    found = bench.found(stopping(bench, "own_sensing", None), "source_not_stopped")
    assert [(f.outcome, f.values["find_out"]) for f in found] == [("undecided", "management_voltages")] * 3


@pytest.mark.parametrize(("waits_s", "outcome"), [(1.0, None), (0.99, "fires"), (None, "undecided")])
def test_field_of_an_alternator_needs_its_time(bench, waits_s, outcome):
    found = bench.found(stopping(bench, **{"OPTION.contactor.waits_s": waits_s}), "source_not_stopped")
    assert [(f.item, f.outcome, f.values["cause"]) for f in found] == (
        [(ALTERNATOR, outcome, "late")] if outcome else []
    )
    for finding in found:
        if outcome == "fires":
            assert (finding.values["time_s"], finding.values["limit_s"]) == (1.0, 0.99)


def test_lead_alone_stops_nothing(bench):
    assert bench.tested(bench.option("one"), "source_not_stopped") == 0


def test_dc_dc_charger_into_lithium_is_a_source(bench):
    evidence = bench.option("converter", each(stopped_by="management"))
    (finding,) = bench.found(evidence, "source_not_stopped")
    assert (finding.item, finding.outcome) == ("links.dc_dc", "undecided")
    link = evidence.spec.option.dc_dc.model_copy(update={"stopped_by": "nothing"})
    fixed = bench.option("converter", {**each(stopped_by="management"), "OPTION.dc_dc": link})
    assert bench.only(fixed, "source_not_stopped", "links.dc_dc").outcome == "fires"


# --- 38 --------------------------------------------------------------------------------------------------------------

STATED = each(absorption_h=2.0, restarts_below_v=13.1)


def fooled(bench, item=None, option="shared", **spec):
    return bench.found(bench.option(option, {**STATED, **spec}), "charger_fooled", item)


def test_chargers_that_end_by_time_and_begin_anew(bench):
    assert fooled(bench) == []
    assert bench.tested(bench.option("shared"), "charger_fooled") == 3


def test_logic_that_nobody_states_is_one_question_for_each_charger(bench):
    found = bench.found(bench.option("shared"), "charger_fooled")
    assert [(f.item, f.outcome, f.values["find_out"]) for f in found] == [
        (SOLAR, "undecided", "charge_logic"), (SHORE, "undecided", "charge_logic"),
    ]  # fmt: skip


def mean_a(bench):
    return sum(x.mean_a for x in bench.option("shared").circuit.loads if not x.high_current)


@pytest.mark.parametrize(("more_a", "fires"), [(0.01, False), (-0.01, True)])
def test_loads_hold_absorption(bench, more_a, fires):
    tail_a = mean_a(bench) + more_a
    found = fooled(bench, **{"sources.shore.tail_a": tail_a, "sources.shore.absorption_h": None})
    assert [(f.item, f.values["cause"]) for f in found] == ([(SHORE, "loads")] if fires else [])
    for finding in found:
        values = finding.values
        assert values["load_a"] == pytest.approx(mean_a(bench))
        assert values["tail_to_a"] == pytest.approx(mean_a(bench) + 0.02 * (220 + 460))


def test_a_clock_ends_absorption_whatever_the_loads_draw(bench):
    assert fooled(bench, **{"sources.shore.tail_a": 0.1}) == []


@pytest.mark.parametrize(("opens_v", "tail_a", "fires"), [(14.2, 4.5, True), (14.2, 4.4, False), (14.21, 4.5, False)])
def test_lithium_that_leaves_during_absorption(bench, opens_v, tail_a, fires):
    """220 Ah of lead are full at 4.4 A; the contactor opens at or below the 14.2 V of absorption."""
    spec = {"sources.shore.tail_a": tail_a, "OPTION.contactor.opens_above_v": opens_v}
    found = fooled(bench, **spec)
    assert [(f.item, f.values["cause"]) for f in found] == ([(SHORE, "opening")] if fires else [])
    for finding in found:
        assert finding.values["lead_a"] == pytest.approx(4.4)


def test_tolerance_of_the_controller_counts(bench):
    spec = {
        "sources.shore.tail_a": 9.0, "OPTION.contactor.opens_above_v": 14.25, "OPTION.contactor.tolerance_v": 0.05,
    }  # fmt: skip
    assert [f.values["cause"] for f in fooled(bench, **spec)] == ["opening"]


@pytest.mark.parametrize(("again_v", "fires"), [(13.0, False), (12.5, True)])
def test_charger_that_does_not_begin_anew(bench, again_v, fires):
    found = fooled(bench, **{"sources.shore.restarts_below_v": again_v})
    assert [(f.item, f.values["cause"]) for f in found] == ([(SHORE, "restart")] if fires else [])
    for finding in found:
        values = finding.values
        assert values["left_share"] < values["reserve_share"] == pytest.approx(0.2)
        assert fooled(bench, **{"sources.shore.restarts_below_v": values["set_to_v"]}) == []


def test_lead_alone_fools_nothing(bench):
    assert bench.tested(bench.option("vented"), "charger_fooled") == 0


# --- 40 --------------------------------------------------------------------------------------------------------------


def cold(bench, coldest_c, **battery):
    prices = {f"lithium_230.{name}": value for name, value in battery.items()}
    return bench.option("shared", {"climate.places.box.coldest_c": coldest_c}, prices)


@pytest.mark.parametrize(("coldest_c", "fires"), [(5.0, False), (4.9, True)])
def test_lithium_in_the_cold(bench, coldest_c, fires):
    found = bench.found(cold(bench, coldest_c, stops_cold=False), "lithium_charged_cold")
    assert [(f.item, f.outcome) for f in found] == ([("banks.lithium", "fires")] if fires else [])
    for finding in found:
        assert (finding.values["coldest_c"], finding.values["limit_c"]) == (4.9, 5.0)


def test_maker_may_ask_for_more(bench):
    (finding,) = bench.found(cold(bench, 5.0, stops_cold=False, coldest_charge_c=8.0), "lithium_charged_cold")
    assert finding.values["limit_c"] == 8.0
    assert bench.found(cold(bench, 5.0, stops_cold=False, coldest_charge_c=0.0), "lithium_charged_cold") == []


@pytest.mark.parametrize("battery", [{"heated": True}, {"stops_cold": True}])
def test_heater_or_cut_off_answers_it(bench, battery):
    assert bench.found(cold(bench, -20.0, **battery), "lithium_charged_cold") == []


def test_cut_off_that_nobody_states(bench):
    (finding,) = bench.found(cold(bench, -20.0), "lithium_charged_cold")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "cold_cut_off")
    assert bench.tested(bench.option("shared"), "lithium_charged_cold") == 1
