"""Published anchors of what is taken where the survey or a maker is silent, and of loads and makers' cable tables.

Sources and statuses stand in the copies beside this file: relays.csv, loads.csv, aic_abyc.csv, library_checks.csv. What
is marked "from memory" is asserted apart. Rows that nothing here uses are listed with the reason.
"""

import math

import pytest

from proposal.circuit.assumed import (
    INRUSH_OVER_CRANKING,
    LOWEST_SHARE_OF_NOMINAL,
    RELAY_THRESHOLDS_12V,
    STARTER_INRUSH_S,
    STARTER_INRUSH_SOURCE,
)
from proposal.circuit.model import SeriesDevice
from proposal.circuit.thresholds import threshold_v
from proposal.codes import family
from proposal.codes.conductors import solid_resistance_20c_ohm_per_m
from proposal.parts.chemistry import ocv_v
from proposal.rules.cutting import E13_REMOTE
from proposal.spec.pricebook import InverterPart, RelayPart
from proposal.studies.energy.equations import charge_hours, load_wh_per_day
from proposal.studies.network.equations import conductor_ohm
from proposal.units import awg_diameter_mm, parse_size
from proposal.units.sizes import MM2_PER_CMIL
from tests.truth.reference import Row, bounds, one, printed

US = family("us_boats")
ISO = family("iso_boats")
FOOT_M = 0.3048


def ohm(size: str, loop_m: float) -> float:
    """Of a class 5 conductor there and back at 20 °C."""
    return conductor_ohm(ISO.resistance_20c_ohm_per_m(parse_size(size)).value, loop_m, 20.0)


# --- relays.csv ------------------------------------------------------------------------------------------------------


def relay(quantity: str) -> Row:
    return one("relays", quantity=quantity)


def assumed_v(name: str, system_v: float) -> float:
    """What a relay of which nobody states anything is taken to act at."""
    volts, guessed = threshold_v(
        SeriesDevice("links.vsr.relay", "links.vsr", "vsr", "positive", "a", "b"), name, system_v
    )
    assert guessed
    return volts


RELAYS_USED = {
    "VSR close voltage, 12 V": "the lowest of the published voltages is taken",
    "VSR open voltage, 12 V": "taken",
    "VSR close voltage, 24 V": "twice that at 12 V, as taken",
    "monostable coil, 80 A split-charge relay": "W63",
    "bistable (latching) hold current": "W63, W64",
    "fail-safe note": "W64",
    "ABYC E-13 2025 remote disconnect": "what a check of emergency switches rests on",
    "UL 1107 intermittent rating": "five minutes, as a relay's part states it",
    "cranking rating (maker defined)": "ten seconds, as a relay's part states it",
}
RELAYS_NOT_USED = {
    "VSR open voltage alternative": "on no seller's page; the other is taken",
    "VSR own current": "what it takes is stated by its part, or nothing is reckoned",
    "combiner two-level logic, 24 V": "no relay with delays yet",
    "start isolation": "stated by the survey, or nothing is decided",
    "dual sensing": "stated by the survey, or by its data sheet",
    "bistable pulse": "of the controller that drives it, not of these studies",
    "latching driver": "of the controller that drives it, not of these studies",
    "economised monostable contactor": "what it takes is stated by its part",
    "UL 1107 continuous rating": "the rating itself is the maker's",
    "main switch asked by a marine diesel maker (13 hp class)": "what one maker asks, no default",
    "ignition protection": "a matter of the fitting, told in words",
    "fan-out delay": "no relay with delays yet",
}


def test_every_anchor_of_relays_is_used_or_has_its_reason():
    assert [r["quantity"] for r in printed("relays") if r["quantity"] not in RELAYS_USED] == list(RELAYS_NOT_USED)
    assert {r["quantity"] for r in printed("relays")} == set(RELAYS_USED) | set(RELAYS_NOT_USED)
    assert {relay(name)["status"] for name in RELAYS_USED} == {"corroborated"}


def test_assumed_thresholds_of_a_voltage_sensitive_relay():
    closing = [float(word) for word in relay("VSR close voltage, 12 V")["value"].split(" / ")]
    # the lowest: what joins earliest lets the most happen
    assert assumed_v("joins_v", 12.0) == RELAY_THRESHOLDS_12V["joins_v"] == min(closing)
    assert assumed_v("releases_v", 12.0) == float(relay("VSR open voltage, 12 V")["value"])


def test_thresholds_double_with_the_system():
    """27.4 V at 24 V is twice the highest of those at 12 V, as ours is twice the lowest."""
    highest_v = float(relay("VSR close voltage, 12 V")["value"].split(" / ")[-1])
    twice = float(relay("VSR close voltage, 24 V")["value"]) / highest_v
    assert assumed_v("joins_v", 24.0) == pytest.approx(twice * assumed_v("joins_v", 12.0))


def test_ratings_for_minutes_and_seconds_are_those_of_the_published_tests():
    assert relay("UL 1107 intermittent rating")["value"].startswith("5 min")
    assert "five_minutes_a" in RelayPart.model_fields
    assert "10 s" in relay("cranking rating (maker defined)")["value"]
    assert RelayPart.model_fields["cranking_a"].description == "Ten seconds"


def test_remote_switch_of_a_contactor_is_as_sure_as_its_row():
    row = relay("ABYC E-13 2025 remote disconnect")
    assert (E13_REMOTE.source, E13_REMOTE.status) == ("abyc_e13", row["status"])


# --- aic_abyc.csv: what its last rows ask beyond the table of test_tables --------------------------------------------


def test_above_the_table_of_breaking_capacity_the_makers_figure_is_asked_for():
    row = one("aic_abyc", cca_total="over 2200")
    least, within = US.minimum_interrupt_a(2201.0, True), US.minimum_interrupt_a(2200.0, True)
    assert least is not None
    assert within is not None
    assert least.citation.status == row["status"]
    assert "battery maker's short-circuit current" in least.citation.clause
    assert "battery maker's short-circuit current" not in within.citation.clause
    assert row["main_A"].startswith("battery maker short-circuit rating")


def test_each_battery_of_a_large_parallel_bank_has_its_own_device():
    row = one("aic_abyc", cca_total="parallel bank")
    limit = US.device_per_battery_above_ah()
    assert limit is not None
    assert row["capacity"] == f"over {limit.value:.0f} Ah"
    assert limit.citation.status == row["status"]


def test_every_row_of_breaking_capacity_is_asserted():
    """Of other chemistries it asks nothing; the fault study decides, by the maker's figure (rules.devices)."""
    told = {"650 or less", "651-1100", "over 1100", "over 2200", "parallel bank"}
    assert {row["cca_total"] for row in printed("aic_abyc")} == told | {"non flooded chemistries"}


# --- loads.csv -------------------------------------------------------------------------------------------------------


def load(name: str) -> Row:
    return one("loads", load=name)


def test_a_navigation_light_over_a_night():
    row = load("6 W nav light")
    assert load_wh_per_day(6.0, 10.0, 1.0, 0.0) / 12.0 == pytest.approx(5.0)
    assert (row["value"], row["note"]) == ("0.5", "10 h -> 5 Ah")


def test_an_autopilot_over_a_day():
    amps = float(load("autopilot")["value"].split()[0])
    assert load_wh_per_day(amps * 12.0, 24.0, 1.0, 0.0) / 12.0 == pytest.approx(36.0)
    assert "36 Ah" in load("autopilot")["note"]


def test_an_idle_inverter_over_a_day():
    assert load_wh_per_day(0.0, 0.0, 1.0, 10.0) / 12.0 == pytest.approx(float(load("inverter idle 10 W")["value"]))


def test_breakers_of_two_windlasses_stand_above_their_currents_as_our_fuses_do():
    row = load("windlass 400 W / 600 W")
    for words in row["value"].split(" / "):
        current_a, breaker_a = (float(word.strip(" (").split(" A")[0]) for word in words.split("("))
        window = US.fuse_window(current_a, 1000.0, 12.0)
        assert window.smallest_a <= breaker_a < 1.05 * window.smallest_a


def test_a_windlass_at_the_end_of_46_feet():
    """83 A through 46 ft in all: 4 AWG keeps to a tenth of 12 V, and two sizes less do not."""
    row = load("windlass, 46 ft loop, 83 A")
    assert row["value"] == "4 AWG sufficient at 10 %"
    limit_v = US.drop_limit(critical=False).value * 12.0
    for label, enough in (("4 AWG", True), ("6 AWG", False)):
        per_m = US.resistance_20c_ohm_per_m(parse_size(label)).value
        assert (83.0 * conductor_ohm(per_m, 46.0 * FOOT_M, 20.0) <= limit_v) is enough


def test_cable_table_of_a_windlass():
    """Its maker's longest loops for 10, 16 and 25 mm² lose a tenth of 12 V, to one hundredth, by our copper."""
    words = load("windlass 700 W cable")["value"]
    assert words.startswith("10 mm2 to 10 m, 16 to 18 m, 25 to 24 m")
    for size, loop_m in (("10 mm2", 10.0), ("16 mm2", 18.0), ("25 mm2", 24.0)):
        assert 700.0 / 12.0 * ohm(size, loop_m) / 12.0 == pytest.approx(0.10, abs=0.01)


def test_starter_cables_of_an_engine_maker_all_have_one_resistance():
    """Their longest loops are one milliohm, to 2 %: what the table of IEC 60228 makes of five sizes."""
    words = load("starter cable, same classes, total loop length")["value"].split(" (")[0].replace("mm2 ", "")
    pairs = [part.split("<=") for part in words.replace(" m", "").replace(" <=", "<=").split(", ")]
    assert [size for size, _ in pairs] == ["25", "35", "50", "70", "95"]
    for size, loop_m in pairs:
        assert ohm(f"{size} mm2", float(loop_m)) == pytest.approx(1.0e-3, rel=0.02)


def test_alternator_cables_of_an_engine_maker_all_have_one_resistance():
    """Two milliohms less 3.5 %, to 1.5 %."""
    words = load("alternator-battery cable, same engines")["value"].replace("mm2 ", "")
    pairs = [part.split("<=") for part in words.replace(" m", "").replace(" <=", "<=").split(", ")]
    assert [size for size, _ in pairs] == ["25", "35", "50", "70"]
    for size, loop_m in pairs:
        assert ohm(f"{size} mm2", float(loop_m)) == pytest.approx(1.93e-3, rel=0.015)


def test_charge_of_a_quarter_second_of_cranking():
    words = load("genset 15 L diesel")["value"]
    assert words == "650 A crank; 0.25 s crank = 0.045 Ah"
    hours = charge_hours(0.045, 650.0, 1.0)
    assert hours is not None
    assert hours * 3600.0 == pytest.approx(0.25, rel=0.01)


def test_length_of_the_first_current_of_a_starter():
    row = load("cranking profile")
    assert row["value"].startswith(f"inrush about {STARTER_INRUSH_S} s spike")
    assert STARTER_INRUSH_SOURCE.status == row["status"] == "corroborated"


def test_from_memory_first_current_of_a_starter_over_that_of_cranking():
    row = load("small diesel cranking")
    assert row["status"] == "from memory"
    inrush, cranking = (bounds(part.split()[0]) for part in row["value"].split(", "))
    assert inrush[0] / cranking[1] <= INRUSH_OVER_CRANKING <= inrush[1] / cranking[0]
    assert inrush[0] / cranking[0] == pytest.approx(INRUSH_OVER_CRANKING)


def test_efficiency_of_an_inverter_and_what_it_then_takes():
    """0.90 by design; 2 kW at the lowest voltage that it works at is within what the trade expects."""
    efficiency = InverterPart.model_fields["efficiency"].default
    assert load("inverter efficiency")["value"].startswith(f"{efficiency:.2f} design")
    least_a, most_a = bounds(load("2 kW inverter full load")["value"])
    assert least_a <= 2000.0 / efficiency / (12.0 * LOWEST_SHARE_OF_NOMINAL) <= most_a


LOADS_USED = {
    "6 W nav light", "autopilot", "inverter idle 10 W", "windlass 400 W / 600 W", "windlass, 46 ft loop, 83 A",
    "windlass 700 W cable", "starter cable, same classes, total loop length", "alternator-battery cable, same engines",
    "genset 15 L diesel", "cranking profile", "small diesel cranking", "inverter efficiency", "2 kW inverter full load",
}  # fmt: skip
LOADS_NOT_USED = {
    "LED nav/anchor light", "12 V compressor fridge", "chart plotter", "radar (dome)", "VHF", "fresh-water pump",
    "diesel heater", "daily total, one 12 V cruising yacht", "windlass", "bow thruster",
    "marine diesel start battery, 13 hp / 2-3 cyl classes", "starter rule of thumb", "inverter idle",
    "inverter idle, 2 kW class",
}  # fmt: skip
"""Typical loads: a survey states its own, and nothing is assumed for it."""


def test_every_load_is_asserted_or_has_its_reason():
    assert not LOADS_USED & LOADS_NOT_USED
    assert {row["load"] for row in printed("loads")} == LOADS_USED | LOADS_NOT_USED


# --- library_checks.csv: what open libraries say of the same figures -------------------------------------------------


def test_area_of_circular_mils_by_a_library_of_units():
    one_mm2, large_mm2 = (float(x) for x in one("library_checks", library="pint")["expected"].split(";"))
    assert pytest.approx(one_mm2, rel=1e-6) == MM2_PER_CMIL
    assert pytest.approx(large_mm2, rel=1e-6) == 211600 * MM2_PER_CMIL
    assert parse_size("4/0 AWG").area_mm2 == pytest.approx(large_mm2, rel=1e-4)


def test_diameters_of_gauges_by_a_library_of_pipes():
    row = one("library_checks", library="fluids")
    printed_mm = [float(word) for word in row["expected"].removesuffix(" mm").split(", ")]
    gauges = (18, 10, 4, 2, 0, -1, -2, -3)
    for gauge, diameter_mm in zip(gauges, printed_mm, strict=True):
        assert awg_diameter_mm(gauge) == pytest.approx(diameter_mm, rel=5e-4)


def test_resistance_of_a_wire_by_a_library_of_electrics():
    row = one("library_checks", library="electricpy")
    assert "length=10, diameter=2.588e-3" in row["call"]
    found = 10.0 * solid_resistance_20c_ohm_per_m(math.pi / 4.0 * 2.588**2)
    assert found == pytest.approx(float(row["expected"]), rel=1e-9)


def test_lithium_by_an_example_cell():
    volts = [float(word) for word in one("library_checks", library="bpx")["expected"].removesuffix(" V").split(" / ")]
    for share, pack_v in zip((0.1, 0.2, 0.5, 0.8, 0.9), volts, strict=True):
        assert ocv_v("lithium", share, 4) == pytest.approx(pack_v, abs=0.005)


LIBRARIES_NOT_USED = {
    "pandapower": "cables of networks of 120 mm² and more in another class of strand",
    "ngspice (Debian)": "its own circuits; meshes are solved again in test_meshed",
}


def test_every_library_check_is_asserted_or_has_its_reason():
    used = {"pint", "fluids", "electricpy", "bpx", "pvlib", "pybamm"}  # the last two: test_sky, test_cell_reference
    assert {row["library"] for row in printed("library_checks")} == used | set(LIBRARIES_NOT_USED)
