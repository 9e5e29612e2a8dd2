"""The voltage ladder by hand."""

import pytest

from proposal.parts.chemistry import citation
from proposal.studies.ladder.equations import compensated_v
from proposal.studies.ladder.study import voltage_ladder
from tests.rules.conftest import Bench


@pytest.fixture(scope="module")
def boat() -> Bench:
    return Bench()


def ladder(boat: Bench, option: str, spec: dict[str, object]):  # type: ignore[no-untyped-def]
    evidence = boat.option(option, spec)
    return voltage_ladder(evidence.spec, evidence.circuit, evidence.catalogue)


def test_compensation_follows_the_published_voltages_of_a_cell() -> None:
    """2.30 V a cell at 25 °C, 2.27 V at 35 °C, 2.33 V at 15 °C (public trade page, −3 mV a cell and kelvin)."""
    for temperature_c, cell_v in ((15.0, 2.33), (25.0, 2.30), (35.0, 2.27)):
        assert compensated_v(6 * 2.30, 6 * -0.003, temperature_c) == pytest.approx(6 * cell_v)


def test_a_source_moves_with_the_place_of_the_batteries(boat: Bench) -> None:
    """14.2 V, −24 mV/K, box from 5 to 30 °C: 14.68 and 14.08 V; 0.05 V either way beyond. The deck does not count."""
    found = ladder(boat, "shared", {"sources.solar.compensation_v_per_k": -0.024, "sources.solar.float_v": 13.5})
    rung = found.of("sources.solar", "absorption")
    assert (rung.cold_v, rung.hot_v) == (pytest.approx(14.68), pytest.approx(14.08))
    assert (rung.low_v, rung.high_v) == (pytest.approx(14.03), pytest.approx(14.73))
    assert rung.tolerance_assumed
    held = found.of("sources.solar", "float")
    assert (held.cold_v, held.hot_v) == (pytest.approx(13.98), pytest.approx(13.38))


def test_without_compensation_nothing_moves(boat: Bench) -> None:
    for spec in ({}, {"sources.solar.compensation_v_per_k": 0.0}):
        rung = ladder(boat, "shared", spec).of("sources.solar", "absorption")
        assert (rung.low_v, rung.high_v, rung.cold_v) == (pytest.approx(14.15), pytest.approx(14.25), None)


def test_banks_rest_where_their_tables_say(boat: Bench) -> None:
    """Flooded by the BCI table: 12.65 V full, 12.24 V half. Four lithium cells half full: 13.112 V (published cell)."""
    vented = ladder(boat, "vented", {})
    assert vented.of("banks.house", "rest_full").value_v == pytest.approx(12.65)
    assert vented.of("banks.house", "rest_half").value_v == pytest.approx(12.24)
    assert vented.of("banks.house", "rest_full").citation.status == "corroborated"
    shared = ladder(boat, "shared", {})
    assert shared.of("banks.lithium", "rest_half").value_v == pytest.approx(4 * 3.2781)
    # the cell's curve says nothing of a rested full cell: that is the trade's value, and cited apart for lead alone
    assert shared.of("banks.lithium", "rest_full").citation == citation("rest_voltage", "lithium")
    assert citation("rest_voltage", "lithium") != citation("full_rest_voltage", "lithium")
    assert shared.of("banks.lead", "rest_full").citation.status == "from memory"


def test_what_is_stated_stands_and_what_is_not_is_named(boat: Bench) -> None:
    spec = {"OPTION.contactor.opens_above_v": 14.4, "OPTION.contactor.tolerance_v": 0.03}
    found = ladder(boat, "shared", spec)
    rung = found.of("banks.lithium.contactor", "opens_above")
    assert (rung.value_v, rung.tolerance_v, rung.tolerance_assumed) == (14.4, 0.03, False)
    missing = {(u.item, u.setting) for u in found.unstated}
    assert ("banks.lithium.contactor", "opens_below") in missing
    assert ("banks.lithium.contactor", "opens_above") not in missing
    assert found.joins_below_v == {"banks.lithium.contactor": 0.1}


def test_every_rung_lies_between_its_ends(boat: Bench) -> None:
    for option in boat.project.spec.value.options:
        for rung in ladder(boat, option, {"sources.shore.compensation_v_per_k": -0.02}).rungs:
            assert rung.low_v <= rung.value_v <= rung.high_v
            assert rung.tolerance_v >= 0.0


def test_loads_bear_and_give_up_where_they_say(boat: Bench) -> None:
    spec = {"loads.lights.voltage_max_v": 15.0, "loads.fridge.cuts_out_v": 10.4, "loads.inverter.cuts_out_v": 11.5}
    found = ladder(boat, "one", spec)
    assert found.of("loads.lights", "bears").value_v == 15.0
    assert found.of("loads.fridge", "input_min").value_v == 10.4
    assert found.of("loads.inverter", "input_min").value_v == 11.5
    assert ("loads.inverter", "input_max") in {(u.item, u.setting) for u in found.unstated}
    assert ("loads.inverter", "input_min") not in {(u.item, u.setting) for u in found.unstated}


def test_what_is_set_on_an_inverter_goes_before_what_its_sheet_says(boat: Bench) -> None:
    sheet = {"inverter_1000.input_min_v": 10.5, "inverter_1000.input_max_v": 16.5}
    for cuts_out_v, wanted in ((None, 10.5), (11.8, 11.8)):
        evidence = boat.option("one", {"loads.inverter.cuts_out_v": cuts_out_v}, sheet)
        found = voltage_ladder(evidence.spec, evidence.circuit, evidence.catalogue)
        assert found.of("loads.inverter", "input_min").value_v == wanted
        assert found.of("loads.inverter", "input_max").value_v == 16.5


def test_a_management_counts_for_the_whole_string(boat: Bench) -> None:
    evidence = boat.option("converter", {}, {"lithium_230.cuts_above_v": 14.6, "lithium_230.cuts_below_v": 10.0})
    found = voltage_ladder(evidence.spec, evidence.circuit, evidence.catalogue)
    rung = found.of("banks.lithium", "cuts_above")
    assert (rung.value_v, rung.low_v, rung.high_v) == (14.6, pytest.approx(14.5), pytest.approx(14.7))
    assert found.of("banks.lithium", "cuts_below").value_v == 10.0
    assert found.of("banks.starter", "cuts_below") is None
