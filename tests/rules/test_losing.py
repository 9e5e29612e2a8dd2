"""Checks 31 and 34: alternators and solar controllers that lose their battery."""

import pytest

ALTERNATOR, SOLAR = "sources.alternator", "sources.solar"


def fixed(bench, option, **spec):
    return bench.option(option, {f"sources.{key.replace('__', '.')}": value for key, value in spec.items()})


# --- 31 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("bears", "outcome"), [(False, "fires"), (None, "undecided"), (True, None)])
def test_an_alternator_whose_only_battery_can_be_switched_off(bench, bears, outcome):
    """Its start bus has the starter battery alone, behind a hand switch."""
    found = bench.found(fixed(bench, "converter", alternator__surge_protected=bears), "alternator_loses_battery")
    assert [(f.item, f.outcome) for f in found] == ([(ALTERNATOR, outcome)] if outcome else [])
    for finding in found:
        values = finding.values
        assert (values["cause"], values["event"], values["first_item"]) == (
            "no_battery", "switch", "banks.starter.switch",
        )  # fmt: skip


def test_what_opens_by_itself_is_named_before_what_a_hand_opens(bench):
    """The alternator on a house of lithium alone: its management leaves it without a battery."""
    spec = {"sources.alternator.side": "house", "sources.alternator.surge_protected": False}
    finding = bench.only(bench.option("converter", spec), "alternator_loses_battery", ALTERNATOR)
    assert (finding.values["event"], finding.values["first_item"]) == ("management", "banks.lithium")


@pytest.mark.parametrize("option", ["shared", "dedicated", "vented"])
def test_an_alternator_that_keeps_a_battery_whatever_opens(bench, option):
    assert bench.found(fixed(bench, option, alternator__surge_protected=False), "alternator_loses_battery") == []
    assert bench.tested(bench.option(option), "alternator_loses_battery") == 1


@pytest.mark.parametrize(("above_ohm", "fires"), [(-1e-4, False), (1e-4, True)])
def test_lead_that_is_left_must_hold_the_voltage_down(bench, above_ohm, fires):
    """Lead of so much resistance that 14.2 V + I·R is 15.5 V, give or take: worked from what the check itself says."""
    plain = bench.option("shared")
    loss = next(x for x in plain.switching.losses if x.source == ALTERNATOR and x.item == "banks.lithium.contactor")
    allowed_ohm = (15.5 - 14.2) / loss.current_a
    spare_ohm = 2.0 * (allowed_ohm - loss.resistance_ohm + above_ohm)  # two strings in parallel
    evidence = bench.option("shared", {}, {"agm_110.resistance_ohm": 0.0038 + spare_ohm})
    made = {c.key: c.size for c in evidence.circuit.conductors}
    assert made == {c.key: c.size for c in plain.circuit.conductors}, "nothing else may have changed"
    found = bench.found(evidence, "alternator_loses_battery")
    assert [f.values["cause"] for f in found] == (["rises"] if fires else [])
    for finding in found:
        assert finding.values["resistance_allowed_ohm"] == pytest.approx(allowed_ohm, rel=1e-3)
        assert finding.values["voltage_v"] > finding.values["limit_v"] == 15.5


# --- 34 --------------------------------------------------------------------------------------------------------------


def controller(bench, option, bears, **spec):
    changes = {f"sources.solar.{name}": value for name, value in spec.items()}
    return bench.option(option, changes, {"solar_100_50.survives_without_battery": bears})


@pytest.mark.parametrize(("bears", "outcome"), [(False, "fires"), (None, "undecided"), (True, None)])
def test_a_controller_on_lithium_alone(bench, bears, outcome):
    found = bench.found(controller(bench, "converter", bears), "solar_loses_battery")
    assert [(f.item, f.outcome, f.values["event"]) for f in found] == (
        [(SOLAR, outcome, "management")] if outcome else []
    )
    for finding in found:
        assert finding.values["first_item"] == "banks.lithium"


@pytest.mark.parametrize(("switch", "fires"), [(True, False), (False, True), (None, True)])
def test_where_only_a_hand_can_do_it_a_switch_in_the_array_is_enough(bench, switch, fires):
    found = bench.found(controller(bench, "one", False, array_switch=switch), "solar_loses_battery")
    assert [f.values["cause"] for f in found] == (["by_hand"] if fires else [])


def test_a_switch_in_the_array_does_not_help_against_the_management_system(bench):
    finding = bench.only(controller(bench, "converter", False, array_switch=True), "solar_loses_battery", SOLAR)
    assert finding.values["cause"] == "itself"


def test_lead_beside_the_lithium_keeps_the_controller_fed(bench):
    assert bench.found(controller(bench, "shared", False), "solar_loses_battery") == []
    assert bench.tested(bench.option("shared"), "solar_loses_battery") == 1
