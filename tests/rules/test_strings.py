"""Checks 23, 25 and 26: batteries of one bank."""

import pytest

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
