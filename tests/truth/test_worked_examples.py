"""Published worked examples: id, method and source of each stand in worked_examples.csv beside this file.

Those of rule families and parts stand with their own tests (W20, W21, W24, W28, W43, W79; W36, W38, W39, W48,
W55, W59), with the rows whose status is "from memory" apart.
"""

import csv
from pathlib import Path

import pytest

from proposal.codes import family
from proposal.codes.conductors import stranded_resistance_20c_ohm_per_m
from proposal.studies.energy.equations import charge_hours, load_wh_per_day
from proposal.studies.network.equations import conductor_ohm, constant_power_v
from proposal.units import awg_area_mm2, awg_diameter_mm, parse_size

HERE = Path(__file__).parent
with (HERE / "worked_examples.csv").open(encoding="utf-8", newline="") as stream:
    ROWS = {row["id"]: row for row in csv.DictReader(stream)}
TINNED_LAY = 1.02
"""The allowance for stranding and lay that a solid wire's table does not have."""


def expected(row_id: str) -> float:
    assert ROWS[row_id]["status"] != "from memory"
    return float(ROWS[row_id]["expected"])


def test_w01_diameter_of_10_awg():
    # ASTM B258
    assert awg_diameter_mm(10) == pytest.approx(expected("W01"), rel=1e-4)


def test_w02_area_of_10_awg():
    # ASTM B258
    assert awg_area_mm2(10) == pytest.approx(expected("W02"), rel=1e-3)


def test_w03_area_of_4_0_awg():
    # ASTM B258; NEC chapter 9 table 8
    assert parse_size("4/0 AWG").area_mm2 == pytest.approx(expected("W03"), rel=1e-3)


def test_w04_three_sizes_double_the_area():
    # ASTM B258
    assert awg_area_mm2(7) / awg_area_mm2(10) == pytest.approx(expected("W04"), rel=1e-5)


def test_w06_resistance_of_10_awg_per_1000_feet():
    # NBS Handbook 100, solid copper; ours is stranded and has its stated allowance besides
    per_m = stranded_resistance_20c_ohm_per_m(parse_size("10 AWG")).value
    assert per_m / TINNED_LAY * 304.8 == pytest.approx(expected("W06"), rel=5e-4)


def test_w09_resistance_of_35_mm2_at_30_c():
    # IEC 60228:2004 table 3 and its temperature correction
    assert conductor_ohm(0.554e-3, 1000.0, 30.0) == pytest.approx(expected("W09"), rel=2e-4)


def test_w17_drop_over_a_loop_of_ten_metres():
    # IEC 60228: 2.5 mm² class 5 has 7.98 ohm per km; 10 A
    assert 10.0 * conductor_ohm(7.98e-3, 10.0, 20.0) == pytest.approx(expected("W17"), rel=1e-9)


def test_w63_a_held_coil_and_a_latching_one_over_a_day():
    # seller pages: 0.45 A against 0.5 mA
    held, latching = (float(x) for x in ROWS["W63"]["expected"].split(";"))
    assert load_wh_per_day(0.45 * 12.0, 24.0, 1.0, 0.0) / 12.0 == pytest.approx(held)
    assert load_wh_per_day(0.0, 0.0, 1.0, 0.0005 * 12.0) / 12.0 == pytest.approx(latching)


def test_w72_an_idle_inverter_over_a_day():
    # inverter test page: 10 W at 12 V
    assert load_wh_per_day(0.0, 0.0, 1.0, 10.0) / 12.0 == pytest.approx(expected("W72"))


def test_w73_energy_of_one_crank():
    # charger maker's note: 650 A for a quarter of a second; t = Q/(eta·I) turned round
    hours = charge_hours(expected("W73"), 650.0, 1.0)
    assert hours is not None
    assert hours * 3600.0 == pytest.approx(0.25, rel=1e-2)


def test_w74_a_day_of_autopilot_and_a_night_of_light():
    # public trade page
    pilot, light = (float(x) for x in ROWS["W74"]["expected"].split(";"))
    assert load_wh_per_day(1.5 * 12.0, 24.0, 1.0, 0.0) / 12.0 == pytest.approx(pilot)
    assert load_wh_per_day(6.0, 10.0, 1.0, 0.0) / 12.0 == pytest.approx(light)


@pytest.mark.parametrize(("interrupt_a", "passes"), [(1000.0, False), (2000.0, False), (6000.0, True), (20000.0, True)])
def test_w77_which_classes_may_guard_a_flooded_bank_of_800_cca(interrupt_a, passes):
    # ABYC interrupt table against ISO 8820-3, -5 scopes
    least = family("us_boats").minimum_interrupt_a(800.0, main=True)
    assert least is not None
    assert (interrupt_a >= least.value) is passes


def test_constant_power_has_no_voltage_past_maximum_power():
    # circuit theory: none above E²/4R
    emf_v, ohm = 12.0, 0.1
    most_w = emf_v * emf_v / (4.0 * ohm)
    assert constant_power_v(emf_v, ohm, most_w) == pytest.approx(emf_v / 2.0)
    assert constant_power_v(emf_v, ohm, most_w * (1.0 + 1e-9)) is None
    v = constant_power_v(emf_v, ohm, 100.0)
    assert v is not None
    assert v * (emf_v - v) / ohm == pytest.approx(100.0)
