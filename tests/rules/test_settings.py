"""Checks 33, 36 and 37: what charge sources are set to."""

import pytest

SOLAR, SHORE, ALTERNATOR = "sources.solar", "sources.shore", "sources.alternator"


def sources(**changes):
    return {
        f"sources.{source}.{name}": value
        for name, value in changes.items()
        for source in ("solar", "shore", "alternator")
    }


# --- 33 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("bears_v", "fires"), [(14.2, False), (14.19, True)])
def test_device_on_a_bus_that_charging_drives_up(bench, bears_v, fires):
    evidence = bench.option("one", {"loads.radio.voltage_max_v": bears_v})
    found = bench.found(evidence, "bus_voltage_high")
    assert [f.item for f in found] == (["loads.radio"] if fires else [])
    for finding in found:
        values = finding.values
        assert (finding.outcome, values["cause"], values["voltage_v"], values["set_to_v"]) == (
            "fires", "charge", 14.2, 14.19,
        )  # fmt: skip


def test_equalising_is_higher_than_absorption(bench):
    evidence = bench.option("one", {"sources.shore.equalise_v": 15.4, "loads.radio.voltage_max_v": 15.0})
    (finding,) = bench.found(evidence, "bus_voltage_high")
    assert (finding.values["cause"], finding.values["source"], finding.values["voltage_v"]) == ("equalise", SHORE, 15.4)
    lower = bench.option("one", {"sources.shore.equalise_v": 14.0, "loads.radio.voltage_max_v": 15.0})
    assert bench.found(lower, "bus_voltage_high") == []


@pytest.mark.parametrize(("coldest_c", "fires"), [(-5.0, False), (-5.5, True)])
def test_compensation_adds_in_the_cold(bench, coldest_c, fires):
    """14.28 V and 24 mV for each kelvin below 25 °C: 15.0 V at −5 °C."""
    spec = {
        "sources.shore.charge_v": 14.28, "sources.shore.compensation_v_per_k": -0.024,
        "climate.places.box.coldest_c": coldest_c, "loads.radio.voltage_max_v": 15.0,
    }  # fmt: skip
    found = bench.found(bench.option("one", spec), "bus_voltage_high")
    assert [f.values["cause"] for f in found] == (["compensation"] if fires else [])
    for finding in found:
        values = finding.values
        assert values["added_v"] == pytest.approx(0.732)
        assert values["set_to_v"] + values["added_v"] == pytest.approx(15.0)


def test_inverter_bears_what_its_sheet_says(bench):
    spec = {"sources.shore.equalise_v": 15.3}
    evidence = bench.option("one", spec, {"inverter_1000.input_max_v": 15.2})
    assert [f.item for f in bench.found(evidence, "bus_voltage_high")] == ["loads.inverter"]
    assert bench.found(bench.option("one", spec, {"inverter_1000.input_max_v": 15.3}), "bus_voltage_high") == []


def test_input_of_a_dc_dc_charger_is_a_device_too(bench):
    spec = {"sources.alternator.equalise_v": 15.3}
    evidence = bench.option("converter", spec, {"dc_dc_30.input_max_v": 15.2})
    assert [f.item for f in bench.found(evidence, "bus_voltage_high")] == ["links.dc_dc"]


def test_what_nobody_states_is_asked_only_above_the_usual_window(bench):
    """15.5 V: the window of ISO 10133; one question for each source."""
    assert bench.found(bench.option("one", {"sources.shore.equalise_v": 15.5}), "bus_voltage_high") == []
    evidence = bench.option("one", {"sources.shore.equalise_v": 15.6})
    (finding,) = bench.found(evidence, "bus_voltage_high")
    assert (finding.item, finding.outcome, finding.values["find_out"]) == (SHORE, "undecided", "highest_voltages")
    assert finding.values["device_count"] == len(evidence.circuit.loads)
    assert bench.tested(evidence, "bus_voltage_high") > len(evidence.circuit.loads)
    assert finding.citation.source == "iso10133"


@pytest.mark.parametrize(("bears_v", "fires"), [(15.8, False), (15.79, True), (15.4, False)])
def test_relay_that_bears_the_window_and_not_the_equalising(bench, bears_v, fires):
    """One that does not even bear 15.5 V is for check 6."""
    evidence = bench.option("vented", {"sources.shore.equalise_v": 15.8}, {"vsr_200.voltage_max_v": bears_v})
    found = bench.found(evidence, "bus_voltage_high", "links.vsr.relay")
    assert bool(found) is fires
    assert bool(bench.found(evidence, "device_voltage_low", "links.vsr.relay")) is (bears_v < 15.5)


# --- 36 --------------------------------------------------------------------------------------------------------------


def joined(bench, cuts_above_v=14.6, **spec):
    """Lithium behind its contactor beside lead; 0 mV/K unless a test says otherwise."""
    spec = {**sources(compensation_v_per_k=0.0), **spec}
    return bench.option("shared", spec, {"lithium_230.cuts_above_v": cuts_above_v})


@pytest.mark.parametrize(("equalise_v", "fires"), [(14.4, False), (14.41, True)])
def test_equalising_near_the_trip_of_lithium(bench, equalise_v, fires):
    evidence = joined(bench, **{"sources.shore.equalise_v": equalise_v})
    found = bench.found(evidence, "equalise_trips_lithium")
    assert [f.item for f in found] == (["banks.lithium"] if fires else [])
    for finding in found:
        values = finding.values
        assert (values["cause"], values["source"], values["trip_v"]) == ("equalise", SHORE, 14.6)
        assert values["limit_v"] == values["set_to_v"] == pytest.approx(14.4)
    assert bench.tested(evidence, "equalise_trips_lithium") == 3


def test_contactor_locked_open_answers_equalising_but_not_the_cold(bench):
    lock = {"OPTION.contactor.locked_while_equalising": True}
    assert bench.found(joined(bench, **{"sources.shore.equalise_v": 15.4}, **lock), "equalise_trips_lithium") == []
    cold = {"sources.shore.equalise_v": 15.4, "sources.shore.compensation_v_per_k": -0.024}
    (finding,) = bench.found(joined(bench, **cold, **lock), "equalise_trips_lithium")
    assert finding.values["cause"] == "compensation"
    assert finding.values["voltage_v"] == pytest.approx(14.2 + 0.48)


@pytest.mark.parametrize(("coldest_c", "outcome"), [(20.0, None), (5.0, "undecided")])
def test_compensation_that_nobody_states(bench, coldest_c, outcome):
    """A usual one adds 0.12 V at 20 °C and 0.48 V at 5 °C to 14.2 V."""
    spec = {"sources.shore.compensation_v_per_k": None, "climate.places.box.coldest_c": coldest_c}
    found = bench.found(joined(bench, **spec), "equalise_trips_lithium")
    assert [(f.outcome, f.values["find_out"]) for f in found] == ([(outcome, "compensation")] if outcome else [])


def test_trip_that_nobody_states_is_asked_where_something_drives_the_bus_up(bench):
    assert bench.found(joined(bench, None), "equalise_trips_lithium") == []
    (finding,) = bench.found(joined(bench, None, **{"sources.shore.equalise_v": 15.0}), "equalise_trips_lithium")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "management_voltages")


# --- 37 --------------------------------------------------------------------------------------------------------------


def advice(bench, option="one", **spec):
    return bench.found(bench.option(option, {**sources(senses="battery"), **spec}), "charge_voltages_apart")


@pytest.mark.parametrize(("charge_v", "fires"), [(14.3, False), (14.31, True)])
def test_sources_of_one_side_set_apart(bench, charge_v, fires):
    found = advice(bench, **{"sources.shore.charge_v": charge_v})
    assert [(f.values["cause"], f.values["source"]) for f in found] == ([("apart", SHORE)] if fires else [])
    for finding in found:
        assert finding.severity == "advice"
        assert finding.values["difference_v"] == pytest.approx(0.11)


def test_sides_that_a_converter_keeps_apart_are_not_compared(bench):
    evidence = bench.option("converter", {**sources(senses="battery"), "sources.alternator.charge_v": 14.6})
    apart = [f for f in bench.found(evidence, "charge_voltages_apart") if f.values["cause"] == "apart"]
    assert apart == []
    assert bench.tested(evidence, "charge_voltages_apart") == 4


def lossy(bench, senses, others, length_m=12.0):
    """A shore charger a long way off on thin cable."""
    spec = {**sources(senses=others), "sources.shore.senses": senses, "routes.shore.length_m": length_m}
    return bench.option("one", {**spec, "OPTION.pins": {"sources.shore": "6 AWG"}})


@pytest.mark.parametrize(("senses", "outcome"), [("terminals", "fires"), (None, "undecided"), ("battery", None)])
def test_charge_voltage_lost_on_the_way(bench, senses, outcome):
    evidence = lossy(bench, senses, "terminals")
    found = bench.found(evidence, "charge_voltages_apart", SHORE)
    assert [(f.outcome, f.values["cause"]) for f in found] == ([(outcome, "drop")] if outcome else [])
    for finding in found:
        values = finding.values
        solution = evidence.design.flow.solutions["charging"]
        posts_v = min(solution.port_v[b.key] for b in evidence.circuit.batteries)
        assert values["lost_v"] == pytest.approx(solution.port_v[SHORE] - posts_v)
        assert values["lost_v"] > 0.2
        assert values["limit_v"] == 0.2


def test_where_it_measures_matters_more_beside_one_that_measures_at_the_battery(bench):
    evidence = lossy(bench, "terminals", "battery")
    (finding,) = bench.found(evidence, "charge_voltages_apart")
    assert (finding.item, finding.values["cause"], finding.values["limit_v"]) == (SHORE, "sensing", 0.1)


def test_shorter_cable_mends_it(bench):
    """The length that is advised, put back: the way then takes what is allowed. Fuses take nothing here.

    With less lost the charger gives more and its cable gets warmer, which takes back up to a tenth.
    """
    sizes = (1, 3, 5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300)
    fuses = {f"fuse_{n}.resistance_ohm": 1e-6 for n in sizes}
    spec = {**sources(senses="terminals"), "routes.lead.length_m": 0.3}
    spec["OPTION.pins"] = {"sources.shore": "8 AWG", "banks.lead": "4/0 AWG"}
    far = bench.option("one", {**spec, "routes.shore.length_m": 12.0}, fuses)
    finding = bench.only(far, "charge_voltages_apart", SHORE)
    length_m = finding.values["length_m"]
    assert 1.0 < length_m < 12.0
    spec["OPTION.pins"] = bench.pins(far)
    near = bench.option("one", {**spec, "routes.shore.length_m": 0.9 * length_m}, fuses)
    assert bench.found(near, "charge_voltages_apart", SHORE) == []
    longer = bench.option("one", {**spec, "routes.shore.length_m": 1.1 * length_m}, fuses)
    assert bench.found(longer, "charge_voltages_apart", SHORE) != []
