"""Checks 27, 28 and 29: lead banks never full, in frost and in heat."""

import pytest

LEAD, STARTER = "banks.lead", "banks.starter"
SUNNY = {"climate.seasons.summer.sun_h": 12.0, "sources.solar.power_w": 1000.0}
"""Enough to fill any bank within a few days."""


def set_to(volts, compensation=0.0, **more):
    """All sources at a voltage and compensation."""
    spec = {f"sources.{name}.charge_v": volts for name in ("solar", "alternator", "shore")}
    spec |= {f"sources.{name}.compensation_v_per_k": compensation for name in ("solar", "alternator", "shore")}
    return {**SUNNY, **spec, **more}


def box(**degrees):
    return {f"climate.places.box.{name}": value for name, value in degrees.items()}


# --- 27 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("volts", "fires"), [(14.195, False), (14.185, True)])
def test_voltage_at_its_own_posts(bench, volts, fires):
    """At 25 °C: 14.2 V, true to 50 mV; some 40 mV are lost on the way."""
    found = bench.found(bench.option("one", set_to(volts, **box(usual_c=25.0))), "lead_never_full")
    assert [f.item for f in found] == ([LEAD] if fires else [])
    for finding in found:
        values = finding.values
        assert (finding.outcome, values["cause"], values["charge_v"]) == ("fires", "voltage", 14.185)
        assert values["limit_v"] == pytest.approx(14.15)
        assert values["voltage_v"] == pytest.approx(14.185 - values["lost_v"])
        assert 0.03 < values["lost_v"] < 0.05
        mended = set_to(values["set_v"], **box(usual_c=25.0))
        assert bench.found(bench.option("one", mended), "lead_never_full") == []


def test_drop_on_the_way_is_counted(bench):
    """A thin, long way to the bank takes away what the setting gives."""
    spec = set_to(14.2, **box(usual_c=25.0), **{"routes.lead.length_m": 40.0})
    evidence = bench.option("one", {**spec, "OPTION.pins": {"banks.lead": "6 AWG"}})
    (finding,) = bench.found(evidence, "lead_never_full")
    assert finding.values["lost_v"] > 0.05


@pytest.mark.parametrize(("compensation", "outcome"), [(0.0, "fires"), (None, "undecided"), (-0.024, None)])
def test_cold_bank_wants_more_voltage(bench, compensation, outcome):
    """At 5 °C 14.2 V is 0.48 V too little: −4 mV a cell and kelvin."""
    found = bench.found(bench.option("one", set_to(14.2, compensation, **box(usual_c=5.0))), "lead_never_full")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])
    for finding in found:
        assert finding.values["limit_v"] == pytest.approx(14.15 + 0.48)
        assert finding.values["per_kelvin_v"] == pytest.approx(-0.024)
        if outcome == "undecided":
            assert finding.values["find_out"] == "compensation"


def test_compensation_that_could_not_mend_it_is_not_asked_for(bench):
    (finding,) = bench.found(bench.option("one", set_to(13.8, None, **box(usual_c=5.0))), "lead_never_full")
    assert finding.outcome == "fires"


@pytest.mark.parametrize(("cuts_above_v", "limit_v"), [(14.6, 14.4), (15.2, None), (None, None)])
def test_lithium_that_is_joined_may_not_bear_what_the_lead_wants(bench, cuts_above_v, limit_v):
    """At 5 °C lead wants 14.63 V and what is lost on the way; lithium that cuts at 14.6 V should see 14.4 V at most."""
    evidence = bench.option("shared", set_to(14.2, **box(usual_c=5.0)), {"lithium_230.cuts_above_v": cuts_above_v})
    finding = bench.only(evidence, "lead_never_full", LEAD)
    assert finding.values["lithium_limit_v"] == (limit_v if limit_v is None else pytest.approx(limit_v))


def test_bank_that_nothing_charges(bench):
    """The DC-DC charger of this option feeds the house; with the alternator on the house, nothing feeds the starter."""
    evidence = bench.option("converter", {**set_to(14.2, **box(usual_c=25.0)), "sources.alternator.side": "house"})
    finding = bench.only(evidence, "lead_never_full", STARTER)
    assert finding.values["cause"] == "no_source"
    assert bench.tested(evidence, "lead_never_full") == 1
    assert bench.tested(bench.option("dedicated"), "lead_never_full") == 2


def season(bench, power_w, days=180.0, **more):
    """One bank of 3 × 110 Ah, of which half is used; sun for two hours."""
    spec = set_to(14.4, **box(usual_c=25.0))
    spec |= {"sources.solar.power_w": power_w, "climate.seasons.summer.sun_h": 2.0}
    return bench.option("one", {**spec, "climate.seasons.summer.days": days, **more})


def test_season_without_surplus_never_fills_it(bench):
    evidence = season(bench, 300.0)
    (finding,) = bench.found(evidence, "lead_never_full")
    values = finding.values
    (day,) = evidence.energy.days
    assert (values["cause"], values["empty_days"], values["limit_days"]) == ("energy", 180.0, 14.0)
    assert values["lacking_wh"] == pytest.approx(day.use_wh + day.loss_wh - 0.75 * 300 * 2)
    assert values["surplus_wh"] is None
    # the longest of alternator and charger is not what is proposed
    assert values["hours_h"] == min(c.hours_h for c in evidence.energy.charging if c.source != "sources.solar")


def test_surplus_that_just_fills_it_in_a_fortnight(bench):
    """What is usable over 14 days, on top of use and loss, divided by what one watt of array gives a day."""
    evidence = season(bench, 300.0)
    (day,), (bank,) = evidence.energy.days, evidence.energy.banks
    enough_w = (day.use_wh + day.loss_wh + bank.usable_wh / 14.0) / (0.75 * 2.0)
    assert bench.found(season(bench, enough_w + 0.1), "lead_never_full") == []
    (finding,) = bench.found(season(bench, enough_w - 0.1), "lead_never_full")
    assert finding.values["empty_days"] == pytest.approx(14.0, abs=0.05)
    assert finding.values["surplus_wh"] == pytest.approx(bank.usable_wh / 14.0, rel=0.01)
    assert finding.values["lacking_wh"] is None


def test_short_season_and_accepted_engine_time_answer_it(bench):
    assert bench.found(season(bench, 300.0, days=14.0), "lead_never_full") == []
    assert bench.found(season(bench, 300.0, **{"system.engine_h_per_day": 5.0}), "lead_never_full") == []


def test_an_hour_of_engine_makes_up_what_the_alternator_gives_in_it(bench):
    """40 A for long at 14.4 V."""
    without = bench.found(season(bench, 300.0), "lead_never_full")[0].values["lacking_wh"]
    (finding,) = bench.found(season(bench, 300.0, **{"system.engine_h_per_day": 1.0}), "lead_never_full")
    assert finding.values["lacking_wh"] == pytest.approx(without - 40.0 * 14.4)


def test_starter_battery_is_soon_full_again(bench):
    evidence = bench.option("vented", {**set_to(14.4, **box(usual_c=25.0)), "sources.solar.power_w": 10.0})
    assert {f.item for f in bench.found(evidence, "lead_never_full")} == {"banks.house"}


def test_absorption_by_the_clock(bench):
    """0.42 · 330 Ah / I, from memory: it stays undecided. A source without a clock answers it."""
    clock = {f"sources.{name}.absorption_h": 0.5 for name in ("solar", "alternator", "shore")}
    spec = set_to(14.4, **box(usual_c=25.0))
    (finding,) = bench.found(bench.option("one", {**spec, **clock}), "lead_never_full")
    values = finding.values
    assert (finding.outcome, values["find_out"]) == ("undecided", "lead_absorption_time")
    assert finding.citation.status == "from memory"
    assert values["needed_h"] == pytest.approx(0.42 * 330.0 / values["current_a"])
    enough = dict.fromkeys(clock, values["needed_h"])
    assert bench.found(bench.option("one", {**spec, **enough}), "lead_never_full") == []
    del clock["sources.shore.absorption_h"]
    assert bench.found(bench.option("one", {**spec, **clock}), "lead_never_full") == []


# --- 28 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("coldest_c", "fires"), [(-20.0, False), (-20.1, True)])
def test_half_empty_bank_in_frost(bench, coldest_c, fires):
    """Half empty its acid freezes at −25 °C; 5 K are kept from it."""
    found = bench.found(bench.option("one", box(coldest_c=coldest_c)), "lead_freezes")
    assert [f.item for f in found] == ([LEAD] if fires else [])
    for finding in found:
        values = finding.values
        assert (finding.outcome, values["lowest_share"]) == ("fires", 0.5)
        assert (values["freezes_c"], values["limit_c"]) == (-25.0, -20.0)
        assert 0.5 < values["needed_share"] < 0.51


def test_starter_battery_is_kept_fuller(bench):
    evidence = bench.option("vented", box(coldest_c=-30.0))
    assert [f.item for f in bench.found(evidence, "lead_freezes")] == ["banks.house"]
    assert bench.tested(evidence, "lead_freezes") == 2


def test_lithium_does_not_freeze(bench):
    assert bench.tested(bench.option("converter"), "lead_freezes") == 1


# --- 29 --------------------------------------------------------------------------------------------------------------


def hot(bench, volts, compensation=0.0, charge_v=14.4, hottest_c=45.0, **more):
    spec = {**set_to(volts, compensation), **box(hottest_c=hottest_c), **more}
    return bench.option("one", spec, {"agm_110.charge_v": charge_v})


@pytest.mark.parametrize(("volts", "fires"), [(14.12, False), (14.121, True), (14.4, True)])
def test_fixed_voltage_in_the_heat(bench, volts, fires):
    """A fixed 14.4 V at 45 °C is 0.48 V high (worked examples W50 and W51 of the compensation)."""
    found = bench.found(hot(bench, volts), "lead_overheats")
    assert [f.item for f in found] == ([LEAD] if fires else [])
    for finding in found:
        values = finding.values
        assert finding.outcome == "fires"
        assert values["right_v"] == pytest.approx(13.92)
        assert values["excess_v"] == pytest.approx(volts - 13.92)
        assert values["allowed_v"] == pytest.approx(14.12)


def test_compensation_answers_it_and_an_unknown_one_leaves_it_open(bench):
    assert bench.found(hot(bench, 14.4, -0.024), "lead_overheats") == []
    (finding,) = bench.found(hot(bench, 14.4, None), "lead_overheats")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "compensation")


def test_usual_charge_voltage_from_memory_decides_nothing(bench):
    """Nobody states this battery's charge voltage; for AGM 14.7 V at most is remembered."""
    (finding,) = bench.found(hot(bench, 14.6, charge_v=None), "lead_overheats")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "lead_charge_voltage")
    assert finding.citation.status == "from memory"


def test_cool_place_asks_for_nothing(bench):
    assert bench.found(hot(bench, 14.6, hottest_c=10.0), "lead_overheats") == []
    assert bench.tested(bench.option("dedicated"), "lead_overheats") == 2
