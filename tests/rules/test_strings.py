"""Checks 22, 23, 25 and 26: batteries of one bank."""

from dataclasses import replace

import pytest

from proposal.units import parse_size

LEAD = "banks.lead"


def lead(bench, **changes):
    return bench.option("one", {f"OPTION.banks.lead.{name}": value for name, value in changes.items()})


def in_series(bench, battery="lithium_230", prices=None, **changes):
    """Two batteries in series at 24 V."""
    spec = {"system.voltage_v": 24.0, "OPTION.banks.lead.battery": battery, "OPTION.banks.lead.series": 2}
    spec |= {"OPTION.banks.lead.parallel": 1}
    spec |= {f"OPTION.banks.lead.{name}": value for name, value in changes.items()}
    return bench.option("one", spec, {f"lithium_230.{name}": value for name, value in (prices or {}).items()})


# --- 23 --------------------------------------------------------------------------------------------------------------


def test_nothing_is_known_of_three_batteries(bench):
    evidence = bench.option("one")
    finding = bench.only(evidence, "batteries_joined_unequal", LEAD)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "rest_voltages")
    assert finding.values["battery_count"] == 3
    assert bench.tested(evidence, "batteries_joined_unequal") == 1


@pytest.mark.parametrize("changes", [{"equalised": True}, {"stays": True}, {"parallel": 1}])
def test_equalised_batteries_those_that_stay_and_a_single_one_are_not_asked_about(bench, changes):
    assert bench.found(lead(bench, **changes), "batteries_joined_unequal") == []


@pytest.mark.parametrize(("high_v", "fires"), [(12.699, False), (12.701, True)])
def test_a_tenth_of_a_volt_apart(bench, high_v, fires):
    found = bench.found(lead(bench, rest_voltages_v=(12.6, 12.65, high_v)), "batteries_joined_unequal")
    assert [f.item for f in found] == ([LEAD] if fires else [])
    for finding in found:
        values = finding.values
        assert (finding.outcome, values["cause"], values["limit_v"]) == ("fires", "parallel", 0.1)
        # two batteries of 3.8 mΩ and four short leads
        assert values["current_a"] * values["resistance_ohm"] == pytest.approx(0.101)
        assert values["resistance_ohm"] > 2 * 3.8e-3
        assert 0.05 < values["apart_share"] < 0.15


def test_measured_voltages_of_equalised_batteries_are_those_before(bench):
    found = bench.found(lead(bench, rest_voltages_v=(12.2, 12.9), equalised=True), "batteries_joined_unequal")
    assert found == []


def test_in_series_no_current_flows_between_them(bench):
    evidence = in_series(bench, rest_voltages_v=(13.1, 13.3))
    finding = bench.only(evidence, "batteries_joined_unequal", LEAD)
    assert finding.values["cause"] == "series"
    assert "current_a" not in finding.values
    assert finding.values["apart_share"] > 0.3, "a lithium battery's voltage tells little"


# --- 25 --------------------------------------------------------------------------------------------------------------


def test_load_from_the_middle_of_a_bank(bench):
    evidence = in_series(bench, "agm_110")
    assert bench.found(evidence, "tapped_mid_bank") == []
    assert bench.tested(evidence, "tapped_mid_bank") == len(evidence.circuit.loads)
    tapped = bench.option(
        "one",
        {
            "system.voltage_v": 24.0, "OPTION.banks.lead.series": 2, "OPTION.banks.lead.parallel": 1,
            "loads.radio.tapped": True,
        },
    )  # fmt: skip
    finding = bench.only(tapped, "tapped_mid_bank", "loads.radio")
    values = finding.values
    assert (finding.outcome, values["bank"], values["current_a"], values["power_w"]) == ("fires", LEAD, 5.0, 60.0)
    assert values["uneven_ah"] == pytest.approx(5.0 * 4.0)


def test_a_tapped_load_that_states_power_draws_it_at_half_the_voltage(bench):
    spec = {"system.voltage_v": 24.0, "OPTION.banks.lead.series": 2, "loads.fridge.tapped": True}
    (finding,) = bench.found(bench.option("one", spec), "tapped_mid_bank")
    assert finding.values["current_a"] == pytest.approx(5.0)
    assert finding.values["uneven_ah"] == pytest.approx(5.0 * 24 * 0.5)


def test_a_balancer_leaves_it_undecided(bench):
    spec = {"system.voltage_v": 24.0, "OPTION.banks.lead.series": 2, "loads.radio.tapped": True}
    (finding,) = bench.found(bench.option("one", {**spec, "OPTION.banks.lead.balanced": True}), "tapped_mid_bank")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "balancer_current")


def test_a_bank_without_a_middle_is_not_asked_about(bench):
    assert bench.tested(bench.option("one", {"loads.radio.tapped": True}), "tapped_mid_bank") == 0


# --- 26 --------------------------------------------------------------------------------------------------------------

LEAVE = {"series_max": 2, "switch_max_v": 31.0}


def test_series_with_leave_balanced_and_with_a_strong_switch(bench):
    evidence = in_series(bench, prices=LEAVE, balanced=True)
    assert bench.found(evidence, "series_not_allowed") == []
    assert bench.tested(evidence, "series_not_allowed") == 1


@pytest.mark.parametrize(
    ("prices", "balanced", "cause"),
    [
        ({**LEAVE, "series_max": 1}, True, "leave"),
        (LEAVE, False, "balancing"),
        ({**LEAVE, "switch_max_v": 30.99}, True, "switch"),
    ],
)
def test_series_that_is_not_allowed(bench, prices, balanced, cause):
    """24 V systems reach 31 V, the window of ISO 10133."""
    (finding,) = bench.found(in_series(bench, prices=prices, balanced=balanced), "series_not_allowed")
    assert (finding.outcome, finding.item, finding.values["cause"]) == ("fires", LEAD, cause)
    if cause == "switch":
        assert (finding.values["voltage_v"], finding.values["limit_v"]) == (31.0, 30.99)


def test_series_of_which_nothing_is_known_is_one_undecided_point(bench):
    (finding,) = bench.found(in_series(bench), "series_not_allowed")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "series_facts")


def test_what_is_known_to_be_wrong_is_said_before_what_is_not_known(bench):
    (finding,) = bench.found(in_series(bench, balanced=False), "series_not_allowed")
    assert finding.values["cause"] == "balancing"


def test_lead_in_series_and_single_lithium_are_not_asked_about(bench):
    assert bench.tested(in_series(bench, "agm_110"), "series_not_allowed") == 0
    assert bench.tested(bench.option("shared"), "series_not_allowed") == 0


# --- 22 --------------------------------------------------------------------------------------------------------------


def chain(bench, take_off, count=4, battery="lithium_230", links_m=0.3, pin="2 AWG", **changes):
    """The bank of the first option as a chain, its links pinned."""
    evidence = lead(
        bench, joined="chain", take_off=take_off, parallel=count, battery=battery, links_m=links_m, **changes
    )
    links = {f"banks.lead.s{n}": pin for n in range(2, count + 1)}
    pins = {"OPTION.pins": links, "OPTION.banks.lead.joined": "chain", "OPTION.banks.lead.take_off": take_off}
    pins |= {"OPTION.banks.lead.parallel": count, "OPTION.banks.lead.battery": battery}
    pins |= {"OPTION.banks.lead.links_m": links_m}
    return bench.option("one", pins) if pin else evidence


def test_batteries_on_a_bus_of_their_own_share_evenly(bench):
    evidence = bench.option("one")
    assert bench.tested(evidence, "parallel_paths_uneven") == 1
    assert bench.found(evidence, "parallel_paths_uneven") == []


def test_a_single_battery_shares_with_none(bench):
    assert bench.tested(lead(bench, parallel=1), "parallel_paths_uneven") == 0


def test_a_long_chain_tapped_at_one_end_fires_and_both_ends_mend_it(bench):
    finding = bench.only(chain(bench, "same_end"), "parallel_paths_uneven", LEAD)
    values = finding.values
    assert (finding.outcome, values["cause"], values["battery"]) == ("fires", "same_end", f"{LEAD}.s1")
    assert values["spread_share"] > 0.1 >= values["both_ends_share"]
    assert values["most_share"] > 0.25 == values["even_share"]
    assert bench.found(chain(bench, "both_ends"), "parallel_paths_uneven") == []


def test_links_of_the_size_that_is_named_pass(bench):
    thin = bench.only(chain(bench, "both_ends", count=6, links_m=0.5, pin="6 AWG"), "parallel_paths_uneven", LEAD)
    assert thin.values["cause"] == "links"
    mended = chain(bench, "both_ends", count=6, links_m=0.5, pin=thin.values["size"])
    assert bench.found(mended, "parallel_paths_uneven") == []


def test_where_no_link_is_large_enough_only_a_bus_helps(bench):
    finding = bench.only(chain(bench, "both_ends", count=24, links_m=1.5, pin="4 AWG"), "parallel_paths_uneven", LEAD)
    assert finding.values["cause"] == "own_bus"


def test_within_a_tenth_it_passes_by_a_hair(bench):
    """Two batteries, links at one end: R_2/mean − 1 = R_l/(R_b + R_l), fires from a ninth of the battery's own on."""
    battery = bench.option("one").catalogue.battery("lithium_230")
    ohm_per_m = bench.option("one").family.resistance_20c_ohm_per_m(parse_size("2 AWG")).value
    edge_m = battery.resistance_ohm / 9.0 / ohm_per_m
    below, beyond = (chain(bench, "same_end", count=2, links_m=share * edge_m) for share in (0.999, 1.001))
    assert bench.found(below, "parallel_paths_uneven") == []
    assert bench.only(beyond, "parallel_paths_uneven", LEAD).values["spread_share"] == pytest.approx(0.1, rel=1e-2)


def test_with_an_assumed_resistance_a_doubtful_spread_is_undecided(bench):
    """Half of what is assumed would double the spread, twice as much would halve it."""
    prices = {"lithium_230.resistance_ohm": None}
    spec = {"OPTION.banks.lead.joined": "chain", "OPTION.banks.lead.take_off": "same_end"}
    spec |= {"OPTION.banks.lead.battery": "lithium_230", "OPTION.banks.lead.parallel": 3}
    spec |= {"OPTION.pins": {f"banks.lead.s{n}": "6 AWG" for n in (2, 3)}, "OPTION.banks.lead.links_m": 0.4}
    finding = bench.only(bench.option("one", spec, prices), "parallel_paths_uneven", LEAD)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "battery_resistance")


@pytest.mark.parametrize(
    ("spread", "outcome"), [(0.0499, None), (0.0501, "undecided"), (0.1999, "undecided"), (0.2001, "fires")]
)
def test_an_assumed_resistance_may_be_half_or_twice_as_much(bench, spread, outcome):
    prices = {"lithium_230.resistance_ohm": None}
    evidence = bench.option("one", {"OPTION.banks.lead.battery": "lithium_230"}, prices)
    (found,) = evidence.sharing
    vars(evidence)["sharing"] = (replace(found, spread=spread),)
    assert [f.outcome for f in bench.found(evidence, "parallel_paths_uneven")] == ([outcome] if outcome else [])
