"""Checks 16, 27, 28 and 38 where the days are known: they decide, and the values say so."""

from dataclasses import replace

import pytest

from proposal.studies.behaviour.result import Emptied, Trouble

LEAD, LITHIUM, STARTER, SOLAR, SHORE = "banks.lead", "banks.lithium", "banks.starter", "sources.solar", "sources.shore"

# --- 16 --------------------------------------------------------------------------------------------------------------

LEFT = "system.unattended_days"


def alone(days, emptied_days, lowest_share, left_days=28.0, left_on="loads.bilge_pump", option="one", **spec):
    """The bilge pump stays on anyway; followed for 28 days."""
    made = days.calm(option).neglect
    emptied = tuple(Emptied(e.bank, emptied_days, lowest_share, 11.0) for e in made.emptied)
    return days.neglect(option, {LEFT: left_days, **spec}, emptied=emptied, left_on=left_on)


@pytest.mark.parametrize(
    ("emptied_days", "lowest_share", "fires"), [(20.0, 0.0, True), (None, 0.49, True), (None, 0.5, False)]
)
def test_days_decide_what_standing_drain_does(bench, days, emptied_days, lowest_share, fires):
    """Half of lead may be used. Without the days 28 of them are far from too long: it lasts 80."""
    assert bench.found(bench.option("one", {LEFT: 28.0}), "standing_drain_high") == []
    found = bench.found(alone(days, emptied_days, lowest_share), "standing_drain_high")
    assert [(f.item, f.outcome) for f in found] == ([(LEAD, "fires")] if fires else [])
    for finding in found:
        assert (finding.values["by"], finding.values["left_days"]) == ("simulated", 28.0)
        if emptied_days is not None:
            assert finding.values["lasts_days"] == emptied_days


def test_days_take_back_what_a_sum_of_currents_says(bench, days):
    """A fridge that stays on: 30 W for 28 days are more than 165 Ah; the days say that it is not so."""
    spec = {"loads.fridge.away": True}
    assert len(bench.found(bench.option("one", {LEFT: 28.0, **spec}), "standing_drain_high")) == 1
    assert bench.found(alone(days, None, 0.6, **spec), "standing_drain_high") == []


def test_load_that_is_forgotten_says_only_what_it_leaves(bench, days):
    """Emptied by a load that is not meant to stay on: what stays on is judged as without the days."""
    assert bench.found(alone(days, 3.0, 0.0, left_on="loads.lights"), "standing_drain_high") == []
    spec = {"loads.fridge.away": True}
    found = bench.found(alone(days, 3.0, 0.0, left_on="loads.lights", **spec), "standing_drain_high")
    assert ["by" in f.values for f in found] == [False]
    # kept even so: nothing is said
    assert bench.found(alone(days, None, 0.6, left_on="loads.lights", **spec), "standing_drain_high") == []


def test_one_of_two_that_are_joined_is_enough(bench, days):
    evidence = alone(days, 20.0, 0.0, option="shared")
    rows = tuple(
        replace(e, days=None, lowest_share=0.6) if e.bank == LEAD else e for e in evidence.behaviour.neglect.emptied
    )
    kept = replace(evidence, behaviour=replace(
        evidence.behaviour, neglect=replace(evidence.behaviour.neglect, emptied=rows)
    ))  # fmt: skip
    assert len(bench.found(evidence, "standing_drain_high")) == 1
    assert bench.found(kept, "standing_drain_high") == []


@pytest.mark.parametrize(("left_days", "simulated"), [(28.0, True), (28.1, False)])
def test_days_are_not_asked_beyond_what_was_followed(bench, days, left_days, simulated):
    found = bench.found(alone(days, 20.0, 0.0, left_days), "standing_drain_high")
    assert [f.values.get("by") for f in found] == (["simulated"] if simulated else [])


@pytest.mark.parametrize(("emptied_days", "fires"), [(20.0, True), (20.1, False), (None, False)])
def test_shorter_absence_than_was_followed(bench, days, emptied_days, fires):
    assert len(bench.found(alone(days, emptied_days, 0.0, 20.0), "standing_drain_high")) == fires


# --- 27 --------------------------------------------------------------------------------------------------------------

SUNNY = {"climate.seasons.summer.sun_h": 12.0, "sources.solar.power_w": 1000.0, "climate.places.box.usual_c": 25.0}


def charged(volts):
    """All sources at a voltage that is right at 25 °C or is not."""
    names = ("solar", "alternator", "shore")
    return {
        **SUNNY, **{f"sources.{n}.charge_v": volts for n in names},
        **{f"sources.{n}.compensation_v_per_k": 0.0 for n in names},
    }  # fmt: skip


@pytest.mark.parametrize(("longest_days", "fires"), [(14.0, False), (14.1, True)])
@pytest.mark.parametrize(("volts", "cause"), [(13.8, "voltage"), (14.4, "days")])
def test_days_decide_whether_lead_is_filled(bench, days, longest_days, fires, volts, cause):
    """With 13.8 V it fires without the days, with 14.4 V it does not; their cause is kept where they agree."""
    assert len(bench.found(bench.option("one", charged(volts)), "lead_never_full")) == (cause == "voltage")
    evidence = days.lead("one", charged(volts), longest_without_full_days=longest_days, full_charges_per_month=2.5)
    found = bench.found(evidence, "lead_never_full")
    assert [(f.outcome, f.values["cause"]) for f in found] == ([("fires", cause)] if fires else [])
    for finding in found:
        assert finding.values["by"] == "simulated"
        assert (finding.values["longest_days"], finding.values["full_per_month"]) == (14.1, 2.5)


def test_days_do_not_answer_what_nobody_states(bench, days):
    """Whether the chargers compensate decides here, and the days can only assume it."""
    spec = {**charged(14.2), "climate.places.box.usual_c": 5.0}
    spec |= {f"sources.{name}.compensation_v_per_k": None for name in ("solar", "alternator", "shore")}
    (finding,) = bench.found(days.lead("one", spec, longest_without_full_days=60.0), "lead_never_full")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "compensation")
    assert bench.found(days.lead("one", spec, longest_without_full_days=6.0), "lead_never_full") == []


def test_bank_of_which_the_days_say_nothing_stays_as_it_was(bench, days):
    evidence = days.put("one", charged(13.8), year=replace(days.calm("one").year, lead=()))
    (finding,) = bench.found(evidence, "lead_never_full")
    assert "by" not in finding.values


# --- 28 --------------------------------------------------------------------------------------------------------------


def frost(days, year_share, left_share, coldest_c=-20.1):
    spec = {"climate.places.box.coldest_c": coldest_c}
    evidence = days.lead("one", spec, lowest_share=year_share)
    rows = tuple(replace(e, lowest_share=left_share) for e in evidence.behaviour.neglect.emptied)
    neglect = replace(evidence.behaviour.neglect, emptied=rows)
    return replace(evidence, behaviour=replace(evidence.behaviour, neglect=neglect))


@pytest.mark.parametrize(
    ("year_share", "left_share", "cause"), [(0.5, 0.9, "year"), (0.9, 0.5, "neglect"), (0.51, 0.51, None)]
)
def test_acid_freezes_at_the_lowest_charge_of_the_days(bench, days, year_share, left_share, cause):
    """Half empty it freezes at −25 °C, 5 K are kept from it; a little fuller it does not."""
    found = bench.found(frost(days, year_share, left_share), "lead_freezes")
    assert [(f.item, f.outcome) for f in found] == ([(LEAD, "fires")] if cause else [])
    for finding in found:
        values = finding.values
        assert (values["cause"], values["by"], values["lowest_share"]) == (cause, "simulated", 0.5)
        assert (values["freezes_c"], values["limit_c"]) == (-25.0, -20.0)


def test_days_decide_against_the_usable_share(bench, days):
    """Without the days it counts as used down to a half, and freezes."""
    spec = {"climate.places.box.coldest_c": -20.1}
    (plain,) = bench.found(bench.option("one", spec), "lead_freezes")
    assert "by" not in plain.values
    assert bench.found(frost(days, 0.8, 0.8), "lead_freezes") == []


def test_less_than_nothing_is_empty(bench, days):
    """The study lets an emptied bank fall a little below nothing."""
    (finding,) = bench.found(frost(days, 0.5, -0.03), "lead_freezes")
    assert finding.values["lowest_share"] == 0.0


def test_without_a_time_alone_the_year_decides(bench, days):
    evidence = frost(days, 0.8, 0.1)
    evidence = replace(evidence, behaviour=replace(evidence.behaviour, neglect=None))
    assert bench.found(evidence, "lead_freezes") == []


# --- 38 --------------------------------------------------------------------------------------------------------------

LOGIC = {
    f"sources.{source}.{name}": value
    for source in ("solar", "shore", "alternator")
    for name, value in (("tail_a", 4.0), ("restarts_below_v", 13.1), ("absorption_h", None))
}


def fooled(days, code, item=SOLAR, spec=LOGIC, care=None, run="summer", **values):
    evidence = days.trouble("shared", code, item, spec, run=run, **values)
    year = evidence.behaviour.year
    lead = tuple(replace(c, **(care or {})) for c in year.lead)
    return replace(evidence, behaviour=replace(evidence.behaviour, year=replace(year, lead=lead)))


def test_days_take_back_what_currents_say(bench, days):
    """The loads of the test boat draw more than 4 A on average; no charger's absorption was held by it."""
    assert {f.values["cause"] for f in bench.found(bench.option("shared", LOGIC), "charger_fooled")} >= {"loads"}
    calm = days.put("shared", LOGIC)
    assert (bench.found(calm, "charger_fooled"), bench.tested(calm, "charger_fooled")) == ([], 3)


@pytest.mark.parametrize(("held_h", "fires"), [(6.0, False), (6.1, True)])
def test_absorption_held_by_loads(bench, days, held_h, fires):
    found = bench.found(fooled(days, "absorption_held", held_h=held_h, loads_a=9.0), "charger_fooled")
    assert [(f.item, f.outcome) for f in found] == ([(SOLAR, "fires")] if fires else [])
    for finding in found:
        values = finding.values
        assert (values["cause"], values["by"], values["load_a"]) == ("held", "simulated", 9.0)
        assert values["tail_to_a"] == pytest.approx(9.0 + 0.02 * (220 + 460))


@pytest.mark.parametrize(("longest_days", "fires"), [(14.0, False), (14.1, True)])
def test_absorption_cut_short_matters_where_the_lead_is_not_filled(bench, days, longest_days, fires):
    care = {"longest_without_full_days": longest_days}
    evidence = fooled(days, "absorption_cut_short", SHORE, care=care, after_h=0.4, relay="banks.lithium.contactor")
    found = bench.found(evidence, "charger_fooled")
    assert [(f.item, f.values["cause"]) for f in found] == ([(SHORE, "cut_short")] if fires else [])
    for finding in found:
        assert (finding.values["bank"], finding.values["after_h"]) == (LEAD, 0.4)
        assert finding.values["lead_a"] == pytest.approx(4.4)


def test_charger_that_never_begins_anew(bench, days):
    dark = fooled(days, "charger_never_restarts", SHORE, restart_v=12.5, lowest_v=12.34, lowest_share=0.3)
    assert bench.found(dark, "charger_fooled") == []  # where all was dark no setting is to blame
    evidence = fooled(days, "charger_never_restarts", SHORE, restart_v=12.5, lowest_v=12.9, lowest_share=0.3)
    (finding,) = bench.found(evidence, "charger_fooled")
    values = finding.values
    assert (finding.item, values["cause"], values["bank"]) == (SHORE, "waits", LITHIUM)
    assert (values["restarts_below_v"], values["lowest_v"], values["lowest_share"]) == (12.5, 12.9, 0.3)
    assert 12.9 < values["set_to_v"] < 13.3  # half full


def test_charger_of_lead_alone_is_looked_at_too(bench, days):
    spec = {key: value for key, value in LOGIC.items() if "alternator" not in key}
    troubles = (Trouble("charger_never_restarts", SHORE, "summer", 0.0, {"restart_v": 12.0}),)
    evidence = days.put("vented", spec, troubles=troubles)
    (finding,) = bench.found(evidence, "charger_fooled")
    assert (finding.item, finding.values["bank"]) == (SHORE, "banks.house")
    assert 12.3 < finding.values["set_to_v"] < 12.7  # four fifths full
    assert bench.tested(evidence, "charger_fooled") == 3


def test_logic_that_nobody_states_stays_one_question(bench, days):
    evidence = fooled(days, "absorption_held", spec=None, held_h=9.0, loads_a=9.0)
    found = bench.found(evidence, "charger_fooled")
    assert {(f.item, f.outcome, f.values["find_out"]) for f in found} == {
        (SOLAR, "undecided", "charge_logic"), (SHORE, "undecided", "charge_logic"),
    }  # fmt: skip


@pytest.mark.parametrize("run", ["neglect", "no_charge"])
def test_what_happens_outside_ordinary_use_fools_nothing(bench, days, run):
    evidence = fooled(days, "absorption_held", run=run, held_h=9.0, loads_a=9.0)
    assert bench.found(evidence, "charger_fooled") == []


def test_logic_is_stated_by_a_tail_or_a_clock_and_by_where_it_begins_anew(bench, days):
    for unstated, open_point in (("tail_a", True), ("restarts_below_v", True), ("absorption_h", False)):
        spec = {**LOGIC, f"sources.solar.{unstated}": None}
        evidence = fooled(days, "absorption_held", spec=spec, held_h=9.0, loads_a=9.0)
        (finding,) = bench.found(evidence, "charger_fooled")
        assert finding.outcome == ("undecided" if open_point else "fires"), unstated
    by_clock = {**LOGIC, "sources.solar.tail_a": None, "sources.solar.absorption_h": 2.0}
    evidence = fooled(days, "absorption_held", spec=by_clock, held_h=9.0, loads_a=9.0)
    assert [f.outcome for f in bench.found(evidence, "charger_fooled")] == ["fires"]


def test_unstated_logic_of_a_charger_of_lead_is_asked_for_only_where_something_was_seen(bench, days):
    assert bench.found(days.put("vented"), "charger_fooled") == []
    troubles = (Trouble("charger_never_restarts", SHORE, "summer", 0.0, {"restart_v": 12.0}),)
    (finding,) = bench.found(days.put("vented", troubles=troubles), "charger_fooled")
    assert (finding.outcome, finding.values["bank"]) == ("undecided", "banks.house")
