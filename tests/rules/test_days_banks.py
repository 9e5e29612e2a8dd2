"""Checks 58, 60, 67, 68 and 71: batteries in the days."""

from dataclasses import replace

import pytest

LITHIUM, LEAD, HOUSE = "banks.lithium", "banks.lead", "banks.house"

# --- 58 --------------------------------------------------------------------------------------------------------------

FULL, NEVER = 3, 0


def filled(days, *months, charge_v=14.2, maker_v=None):
    """Full charges of the lithium bank by month, some repeated to make twelve."""
    counts = tuple(months) + (FULL,) * (12 - len(months))
    spec = {f"sources.{name}.charge_v": charge_v for name in ("solar", "alternator", "shore")}
    year = days.calm("shared").year
    monthly = tuple((bank, counts if bank == LITHIUM else ones) for bank, ones in year.monthly_full)
    return days.put("shared", spec, {"lithium_230.charge_v": maker_v}, year=replace(year, monthly_full=monthly))


@pytest.mark.parametrize(
    ("months", "whole"), [((1,), 0), ((NEVER,), 1), ((NEVER, 1, NEVER, NEVER), 2), ((NEVER, *(FULL,) * 10, NEVER), 2)]
)
def test_lithium_that_sees_no_full_charge_for_a_month(bench, days, months, whole):
    """The turn of the year is no end of it."""
    found = bench.found(filled(days, *months), "bank_never_full")
    assert [(f.item, f.outcome) for f in found] == ([(LITHIUM, "fires")] if whole else [])
    for finding in found:
        assert finding.values["longest_days"] == pytest.approx(whole * 365.0 / 12.0)


def test_lithium_that_is_never_full_in_a_year(bench, days):
    (finding,) = bench.found(filled(days, *(NEVER,) * 12), "bank_never_full")
    assert finding.values["longest_days"] == pytest.approx(365.0)


@pytest.mark.parametrize(
    ("charge_v", "maker_v", "outcome", "cause", "set_to_v"),
    [
        (13.6, None, "fires", "voltage", 14.0),  # 3.4 V a cell fills nothing
        (13.7, None, "undecided", "voltage", 14.0),  # between 3.4 and 3.5 V the maker must say
        (14.0, None, "fires", "energy", 14.0),
        (14.0, 14.2, "fires", "voltage", 14.2),
        (13.8, 13.8, "fires", "energy", 13.8),
    ],
)
def test_voltage_or_energy(bench, days, charge_v, maker_v, outcome, cause, set_to_v):
    finding = bench.only(filled(days, NEVER, charge_v=charge_v, maker_v=maker_v), "bank_never_full", LITHIUM)
    assert (finding.outcome, finding.values["cause"], finding.values["charge_v"]) == (outcome, cause, charge_v)
    assert finding.values["set_to_v"] == pytest.approx(set_to_v)
    assert finding.values.get("find_out") == ("lithium_charge_voltage" if outcome == "undecided" else None)


def test_too_little_energy_is_told_once(bench, days):
    """Lead beside it that goes without a full charge as well draws check 27; too little voltage is told of both."""
    for charge_v, told in ((14.2, 0), (13.5, 1)):
        evidence = filled(days, NEVER, charge_v=charge_v)
        lead = tuple(replace(c, longest_without_full_days=60.0) for c in evidence.behaviour.year.lead)
        poor = replace(evidence.behaviour, year=replace(evidence.behaviour.year, lead=lead))
        assert len(bench.found(evidence, "bank_never_full")) == 1
        assert len(bench.found(replace(evidence, behaviour=poor), "bank_never_full")) == told


# --- 60 --------------------------------------------------------------------------------------------------------------


def opens(days, cause="cell_high", voltage_v=14.2, run="summer", cut_offs=0, **battery):
    prices = {f"lithium_230.{name}": value for name, value in battery.items()}
    values = {"cause": cause, "voltage_v": voltage_v}
    evidence = days.trouble("shared", "management_opens", LITHIUM, None, prices, run=run, **values)
    year = evidence.behaviour.year
    counted = replace(year, lithium=tuple(replace(c, cut_offs=cut_offs) for c in year.lithium))
    return replace(evidence, behaviour=replace(evidence.behaviour, year=counted))


@pytest.mark.parametrize(("spread_v", "outcome"), [(0.05, "fires"), (None, "undecided")])
def test_highest_cell_decides_only_where_the_spread_is_stated(bench, days, spread_v, outcome):
    finding = bench.only(opens(days, cell_spread_v=spread_v), "management_opens", LITHIUM)
    values = finding.values
    assert (finding.outcome, values["cause"]) == (outcome, "cell_high")
    assert values["set_to_v"] == pytest.approx(14.0)
    assert values.get("find_out") == ("cell_spread" if outcome == "undecided" else None)


@pytest.mark.parametrize(("voltage_v", "outcome"), [(14.45, "fires"), (14.44, "undecided")])
def test_all_cells_together_near_the_limit_need_no_spread(bench, days, voltage_v, outcome):
    """It cuts at 14.6 V; 0.15 V are open."""
    evidence = opens(days, voltage_v=voltage_v, cuts_above_v=14.6)
    assert bench.only(evidence, "management_opens", LITHIUM).outcome == outcome


def test_each_cause_has_its_remedy(bench, days):
    low = bench.only(opens(days, "cell_low", 12.0, cut_offs=3), "management_opens", LITHIUM)
    assert (low.outcome, low.values["cause"], low.values["set_to_v"]) == ("fires", "cell_low", pytest.approx(12.15))
    assert low.values["cut_off_count"] == 3
    cold = bench.only(opens(days, "cold", None), "management_opens", LITHIUM)
    assert (cold.values["cause"], cold.values["coldest_c"]) == ("cold", 5.0)
    high = bench.only(opens(days, "current", discharge_max_a=100.0), "management_opens", LITHIUM)
    assert (high.values["cause"], high.values["limit_a"]) == ("current", 200.0)
    unknown = bench.only(opens(days, "current", discharge_max_a=None), "management_opens", LITHIUM)
    assert unknown.values["limit_a"] is None


@pytest.mark.parametrize("run", ["no_charge", "neglect"])
def test_empty_after_days_without_charge_is_no_ordinary_use(bench, days, run):
    assert bench.found(opens(days, "cell_low", 12.0, run), "management_opens") == []


# --- 67 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("a_month", "outcome"), [(4.0, None), (3.99, "undecided"), (3.5, "undecided"), (3.49, "fires")]
)
def test_lead_that_is_seldom_full(bench, days, a_month, outcome):
    """Half a charge a month is less than years differ."""
    found = bench.found(days.lead("shared", full_charges_per_month=a_month), "lead_poorly_kept")
    assert [(f.item, f.outcome) for f in found] == ([(LEAD, outcome)] if outcome else [])
    for finding in found:
        assert (finding.values["cause"], finding.values["fewest_count"]) == ("seldom", 3)
        assert finding.values.get("find_out") == ("full_charges" if outcome == "undecided" else None)


@pytest.mark.parametrize(("share", "fires"), [(0.1, False), (0.101, True)])
def test_sulphation_of_a_year(bench, days, share, fires):
    found = bench.found(days.lead("shared", sulphated_share=share), "lead_poorly_kept")
    assert [(f.outcome, f.values["cause"]) for f in found] == ([("fires", "sulphated")] if fires else [])


def test_more_than_a_fortnight_is_for_another_check(bench, days):
    evidence = days.lead("shared", full_charges_per_month=1.0, longest_without_full_days=14.1)
    assert bench.found(evidence, "lead_poorly_kept") == []
    assert bench.found(evidence, "lead_never_full") != []


# --- 68 --------------------------------------------------------------------------------------------------------------

FLOATS = {f"sources.{name}.float_v": 13.7 for name in ("solar", "alternator", "shore")}


def held_high(days, hours_h, spec):
    year = days.calm("shared").year
    lithium = tuple(replace(care, high_warm_h=hours_h) for care in year.lithium)
    return days.put("shared", spec, year=replace(year, lithium=lithium))


@pytest.mark.parametrize(("hours_h", "fires"), [(1000.0, False), (1001.0, True)])
def test_lithium_held_high_and_warm(bench, days, hours_h, fires):
    """Above 3.4 V a cell; 0.15 V below that it is not."""
    found = bench.found(held_high(days, hours_h, FLOATS), "lithium_held_high")
    assert [f.outcome for f in found] == (["fires"] if fires else [])
    for finding in found:
        assert (finding.values["float_v"], finding.values["voltage_v"]) == (13.7, pytest.approx(13.6))
        assert finding.values["float_to_v"] == pytest.approx(13.45)


@pytest.mark.parametrize(("shore_v", "outcome"), [(13.61, "fires"), (13.6, "undecided"), (None, "undecided")])
def test_a_float_that_nobody_states_is_asked_for_unless_a_stated_one_does_it(bench, days, shore_v, outcome):
    spec = {"sources.shore.float_v": shore_v}
    assert bench.only(held_high(days, 2000.0, spec), "lithium_held_high", LITHIUM).outcome == outcome


# --- 71 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("water_l", "fires"), [(4.86, False), (4.87, True)])
def test_vented_bank_wants_water(bench, days, water_l, fires):
    """1.5 ml for each of six cells and 540 Ah: 4.86 l."""
    found = [f for f in bench.found(days.lead("vented", water_l=water_l), "water_to_top") if f.item == HOUSE]
    assert [f.outcome for f in found] == (["fires"] if fires else [])
    for finding in found:
        assert finding.values["reserve_l"] == pytest.approx(4.86)
        assert finding.values["lasts_days"] == pytest.approx(365.0 * 4.86 / 4.87)


def test_sealed_banks_are_not_topped_up(bench, days):
    assert bench.tested(days.lead("shared", water_l=99.0), "water_to_top") == 0
    assert bench.tested(days.put("vented"), "water_to_top") == 2


# --- all -------------------------------------------------------------------------------------------------------------

COUNTS = {"bank_never_full": 1, "management_opens": 1, "lead_poorly_kept": 2, "lithium_held_high": 1, "water_to_top": 1}


@pytest.mark.parametrize("check", COUNTS)
def test_calm_days_and_no_days(bench, days, check):
    calm = days.put("dedicated")
    assert (bench.found(calm, check), bench.tested(calm, check)) == ([], COUNTS[check])
    assert bench.tested(bench.option("dedicated"), check) == 0


def test_first_time_of_several_is_told(bench, days):
    evidence = opens(days, cell_spread_v=0.05)
    (one,) = evidence.behaviour.troubles
    later = replace(one, time_s=one.time_s + 3600.0)
    both = replace(evidence, behaviour=replace(evidence.behaviour, troubles=(later, one)))
    assert bench.only(both, "management_opens", LITHIUM).values["clock_s"] == one.time_s
