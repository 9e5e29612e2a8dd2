"""Check 55: settings that stand in each other's way."""

import pytest

CHECK = "settings_overlap"
CONTACTOR, LITHIUM = "banks.lithium.contactor", "banks.lithium"
SET = {
    "OPTION.contactor.opens_above_v": 14.45, "OPTION.contactor.opens_below_v": 12.0,
    "OPTION.contactor.tolerance_v": 0.1, "loads.inverter.cuts_out_v": 12.2,
}  # fmt: skip
MANAGED = {"lithium_230.cuts_above_v": 14.6, "lithium_230.cuts_below_v": 10.0}


def found(bench, option="shared", spec=None, prices=None, item=None, outcome="fires"):
    evidence = bench.option(option, {**(SET if option in ("shared", "dedicated") else {}), **(spec or {})},
                            {**MANAGED, **(prices or {})})  # fmt: skip
    return {f.values["cause"]: f.values for f in bench.found(evidence, CHECK, item) if f.outcome == outcome}


def test_settings_of_practice_leave_room(bench):
    """14.2 + 0.05 V of charging < 14.45 − 0.1 V < 14.45 + 0.1 V > 14.6 − 0.1 V would not do: the cut is at 14.7 V."""
    assert found(bench, prices={"lithium_230.cuts_above_v": 14.7}) == {}


@pytest.mark.parametrize(("opens_v", "fires"), [(14.35, False), (14.34, True)])
def test_contactor_opens_above_what_charging_reaches(bench, opens_v, fires):
    """14.2 + 0.05 V against U − 0.1 V."""
    causes = found(bench, spec={"OPTION.contactor.opens_above_v": opens_v})
    assert ("opens_in_charge" in causes) == fires
    if fires:
        values = causes["opens_in_charge"]
        assert values["margin_v"] == pytest.approx(-0.01)
        assert values["set_to_v"] == pytest.approx(14.35)
        assert values["charge_to_v"] == pytest.approx(14.19)
        again = found(bench, spec={"OPTION.contactor.opens_above_v": values["set_to_v"]})
        assert "opens_in_charge" not in again


@pytest.mark.parametrize(("cuts_v", "fires"), [(14.65, False), (14.64, True)])
def test_contactor_opens_before_the_management(bench, cuts_v, fires):
    """14.45 + 0.1 V against U − 0.1 V."""
    causes = found(bench, prices={"lithium_230.cuts_above_v": cuts_v})
    assert ("opens_after_management" in causes) == fires
    if fires:
        assert causes["opens_after_management"]["set_to_v"] == pytest.approx(14.44)


@pytest.mark.parametrize(("cuts_v", "fires"), [(11.8, False), (11.81, True)])
def test_contactor_opens_before_an_empty_battery_does(bench, cuts_v, fires):
    """U + 0.1 V against 12.0 − 0.1 V."""
    causes = found(bench, prices={"lithium_230.cuts_below_v": cuts_v, "lithium_230.cuts_above_v": 14.7})
    assert ("opens_below_management" in causes) == fires
    if fires:
        assert causes["opens_below_management"]["set_to_v"] == pytest.approx(12.01)


def test_contactor_opens_with_much_left(bench):
    """Four cells at 20 % rest at 12.918 V: 12.8 + 0.1 V is below, 12.85 + 0.1 V above."""
    fine = {"OPTION.contactor.opens_below_v": 12.8, "loads.inverter.cuts_out_v": 12.9}
    early = {"OPTION.contactor.opens_below_v": 12.85, "loads.inverter.cuts_out_v": 12.9}
    assert "opens_too_early" not in found(bench, spec=fine)
    values = found(bench, spec=early)["opens_too_early"]
    assert values["upper_v"] == pytest.approx(12.918, abs=0.001)
    assert 0.2 < values["left_share"] < 0.3
    assert "opens_too_early" not in found(bench, spec={**fine, "OPTION.contactor.opens_below_v": values["set_to_v"]})


def test_contactor_opens_on_a_full_battery(bench):
    """Full lithium rests at 13.336 V."""
    spec = {"OPTION.contactor.opens_above_v": 13.42}
    assert found(bench, spec=spec)["opens_at_rest"]["set_to_v"] == pytest.approx(13.436, abs=0.001)
    assert "opens_at_rest" not in found(bench, spec={"OPTION.contactor.opens_above_v": 13.44})


def test_contactor_without_a_window(bench):
    spec = {"OPTION.contactor.opens_above_v": 12.15}
    assert "window_empty" in found(bench, spec=spec)
    assert "window_empty" not in found(bench, spec={"OPTION.contactor.opens_above_v": 12.21})


@pytest.mark.parametrize(("cuts_v", "fires"), [(14.35, False), (14.34, True)])
def test_charging_trips_a_management_without_a_contactor(bench, cuts_v, fires):
    causes = found(bench, "converter", {"loads.inverter.cuts_out_v": 12.2}, {"lithium_230.cuts_above_v": cuts_v})
    assert ("trips_management" in causes) == fires
    if fires:
        assert causes["trips_management"]["charge_to_v"] == pytest.approx(14.19)


@pytest.mark.parametrize(
    ("cause", "fine", "wrong"),
    [
        ("float_above_absorption", {"float_v": 14.2}, {"float_v": 14.3}),
        ("equalise_below_absorption", {"equalise_v": 14.2}, {"equalise_v": 14.1}),
        (
            "restarts_in_float",
            {"float_v": 13.5, "restarts_below_v": 13.45},
            {"float_v": 13.5, "restarts_below_v": 13.46},
        ),
        ("float_above_hold", {"float_v": 13.85}, {"float_v": 13.86}),
    ],
)
def test_a_sources_own_settings(bench, cause, fine, wrong):
    def spec(settings):
        return {f"sources.solar.{name}": value for name, value in settings.items()}

    assert cause not in found(bench, spec=spec(fine), item="sources.solar")
    assert cause in found(bench, spec=spec(wrong), item="sources.solar")


def test_float_between_what_is_sure_and_what_is_remembered_is_undecided(bench):
    spec = {"sources.solar.float_v": 13.7}
    assert "float_above_hold" not in found(bench, spec=spec)
    (values,) = found(bench, spec=spec, outcome="undecided").values()
    assert (values["cause"], values["find_out"], values["set_to_v"]) == (
        "float_above_hold", "lithium_float", pytest.approx(13.55),
    )  # fmt: skip
    assert found(bench, spec={"sources.solar.float_v": 13.55}, outcome="undecided") == {}


@pytest.mark.parametrize(("float_v", "fires"), [(12.70, False), (12.69, True)])
def test_float_holds_lead_above_its_resting_voltage(bench, float_v, fires):
    """Flooded: 12.65 V full; for AGM the figure is from memory and decides nothing."""
    spec = {f"sources.{name}.float_v": float_v for name in ("solar", "alternator", "shore")}
    causes = found(bench, "vented", {**spec, "sources.alternator.float_v": None})
    assert ("float_below_rest" in causes) == fires
    lead = found(bench, spec={**spec, "sources.solar.float_v": 12.6}, outcome="undecided")
    assert lead["float_below_rest"]["find_out"] == "resting_voltage"


def test_relay_that_one_source_does_not_reach(bench):
    """13.7 + 0.05 V against U − 0.05 V; with −24 mV/K at 30 °C a source falls by 0.12 V."""
    sides = {"sources.solar.charge_v": 13.80}
    assert "joins_above_charge" not in found(bench, "dedicated", {**sides, "OPTION.vsr.senses": "both"})
    hot = {**sides, "sources.solar.compensation_v_per_k": -0.024, "OPTION.vsr.senses": "both"}
    values = found(bench, "dedicated", hot)["joins_above_charge"]
    assert values["source"] == "sources.solar"
    assert values["reaches_v"] == pytest.approx(13.68)
    assert values["set_to_v"] == pytest.approx(13.58)
    assert "joins_above_charge" not in found(bench, "dedicated", {**hot, "OPTION.vsr.senses": "start"})
    assert "joins_above_charge" not in found(bench, "dedicated", {**hot, "OPTION.vsr.joins_v": values["set_to_v"]})


@pytest.mark.parametrize(("float_v", "fires"), [(12.90, False), (12.89, True)])
def test_relay_is_held_by_the_float(bench, float_v, fires):
    """12.8 + 0.05 V against U − 0.05 V."""
    causes = found(bench, "dedicated", {"sources.alternator.float_v": float_v})
    assert ("releases_at_float" in causes) == fires


def test_inverter_gives_up_before_the_lithium_is_cut_off(bench):
    """The contactor opens below 12.0 − 0.1 V; at full load the inverter stands that much lower than the posts."""
    values = found(bench, spec={"loads.inverter.cuts_out_v": 10.5})["inverter_outlasts"]
    assert values["set_to_v"] == pytest.approx(12.1)
    edge_v = 11.9 - values["drop_v"]
    assert values["drop_v"] > 0.05
    assert "inverter_outlasts" not in found(bench, spec={"loads.inverter.cuts_out_v": edge_v + 0.001})
    assert "inverter_outlasts" in found(bench, spec={"loads.inverter.cuts_out_v": edge_v - 0.001})


def test_inverter_gives_up_with_much_left(bench):
    assert "inverter_stops_early" in found(bench, spec={"loads.inverter.cuts_out_v": 12.93})
    assert "inverter_stops_early" not in found(bench, spec={"loads.inverter.cuts_out_v": 12.91})


def test_what_nobody_states_is_asked_for_once(bench):
    plain = bench.option("shared")
    asked = [(f.item, f.values["find_out"]) for f in bench.found(plain, CHECK) if f.outcome == "undecided"]
    assert (CONTACTOR, "controller_settings") in asked
    assert len(asked) == len(set(asked))


def test_it_counts_what_it_looks_at(bench):
    """A contactor, the lithium's management, three sources, an inverter; with a relay one more; no lithium, fewer."""
    assert bench.tested(bench.option("shared"), CHECK) == 6
    assert bench.tested(bench.option("dedicated"), CHECK) == 7
    assert bench.tested(bench.option("one"), CHECK) == 4


def test_a_relay_that_senses_one_side_answers_to_its_sources_alone(bench):
    """Solar and shore charge the house, the alternator the start side; joins at 13.7 + 0.05 V."""
    weak_house = {"sources.solar.charge_v": 13.75}
    for senses, fires in (("house", True), ("start", False), ("both", True)):
        causes = found(bench, "dedicated", {**weak_house, "OPTION.vsr.senses": senses})
        assert ("joins_above_charge" in causes) == fires, senses


def test_a_relay_that_nothing_makes_join_is_left_to_the_check_of_relays(bench):
    low = {f"sources.{name}.charge_v": 13.6 for name in ("solar", "alternator", "shore")}
    assert "joins_above_charge" not in found(bench, "dedicated", low)


def test_thresholds_that_nobody_states_are_not_compared(bench):
    spec = {"OPTION.vsr.part": "vsr_plain", "sources.solar.charge_v": 12.9, "sources.solar.float_v": 12.7}
    causes = found(bench, "vented", spec)
    assert not {"joins_above_charge", "releases_at_float"} & set(causes)


def test_the_inverter_is_asked_about_only_where_lithium_may_be_cut_off(bench):
    asked = {
        option: {f.values["find_out"] for f in bench.found(bench.option(option), CHECK) if f.outcome == "undecided"}
        for option in ("one", "converter")
    }
    assert asked["one"] == set()
    assert asked["converter"] == {"inverter_cut_out", "management_voltages"}


def test_what_a_remembered_resting_voltage_says_of_an_inverter_is_undecided(bench):
    """AGM at 20 % rests at 11.94 V from memory, flooded at 12.026 V by the published table."""
    spec = {"loads.inverter.cuts_out_v": 12.1}
    assert "inverter_stops_early" in found(bench, "one", spec, outcome="undecided")
    assert "inverter_stops_early" not in found(bench, "one", spec)
    assert "inverter_stops_early" in found(bench, "vented", spec)
    assert "inverter_stops_early" not in found(bench, "vented", {"loads.inverter.cuts_out_v": 12.0})


def test_a_management_behind_a_contactor_that_opens_first_is_not_reproached(bench):
    """Charging at 14.25 V at most is above 14.3 − 0.1 V, but the contactor is there to open before it."""
    prices = {"lithium_230.cuts_above_v": 14.3}
    assert "trips_management" not in found(bench, prices=prices)
    assert "trips_management" in found(bench, spec={"OPTION.contactor.opens_above_v": None}, prices=prices)


def test_every_number_of_a_pair_is_told(bench):
    values = found(bench, spec={"OPTION.contactor.opens_above_v": 14.2})["opens_in_charge"]
    assert (values["lower_v"], values["lower_tolerance_v"]) == (14.2, pytest.approx(0.05))
    assert (values["upper_item"], values["upper_v"], values["upper_tolerance_v"]) == (CONTACTOR, 14.2, 0.1)
    assert values["margin_v"] == pytest.approx((14.2 - 0.1) - (14.2 + 0.05))
