"""Published worked examples: id, method and source of each stand in worked_examples.csv beside this file.

Some stand with the tests of what they are about; test_whole_reference finds each of them. Rows whose status is "from
memory" have their own tests, which say so in their names.
"""

import csv
from pathlib import Path

import pytest

from proposal.codes import family
from proposal.codes.conductors import stranded_resistance_20c_ohm_per_m
from proposal.rules.solar import IRRADIANCE_FACTOR
from proposal.studies.energy.equations import charge_hours, load_wh_per_day
from proposal.studies.network.equations import conductor_ohm, constant_power_v
from proposal.studies.network.reduced import reduce_network, thevenin
from proposal.studies.network.result import Emf, Network, Resistor
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


def test_from_memory_w54_a_duty_cycle_in_ampere_hours():
    # IEEE 485, style of its Annex A, from memory: current by minutes
    assert ROWS["W54"]["status"] == "from memory"
    duty = ((320.0, 1), (100.0, 29), (280.0, 30), (200.0, 60), (40.0, 59), (120.0, 1))
    assert [f"{int(amps)}" in ROWS["W54"]["inputs"] for amps, _ in duty] == [True] * 6
    total_wh = sum(load_wh_per_day(amps * 12.0, minutes / 60.0, 1.0, 0.0) for amps, minutes in duty)
    assert total_wh / 12.0 == pytest.approx(float(ROWS["W54"]["expected"]), abs=0.1)


def test_from_memory_w71_the_current_that_a_conductor_of_an_array_is_laid_for():
    # NEC 690.8(A)(1) and (B), from memory: 1.25 for the brightest days, and 1.25 for a current of hours
    assert ROWS["W71"]["status"] == "from memory"
    window = family("nec_cabins").fuse_window(IRRADIANCE_FACTOR * 9.0, 100.0, 24.0)
    assert window.smallest_a == pytest.approx(float(ROWS["W71"]["expected"]), abs=1e-3)
    assert window.smallest_citation is not None
    assert window.smallest_citation.status == "from memory"


CIRCULAR_MIL_MM2 = 5.067075e-4
"""Area of a circle of a thousandth of an inch (definition)."""
FOOT_M = 0.3048


def resistivity_ohm_mm2_per_m(temperature_c: float) -> float:
    """Of solid copper as our conductors have it, the allowance for stranding taken out."""
    size = parse_size("10 AWG")
    per_m = stranded_resistance_20c_ohm_per_m(size).value / TINNED_LAY
    return conductor_ohm(per_m, 1.0, temperature_c) * size.area_mm2


def test_w18_the_trade_constant_is_copper_at_29_degrees():
    # algebra: K = 10.75 ohm circular mil per foot
    assert resistivity_ohm_mm2_per_m(29.3) == pytest.approx(expected("W18"), rel=1e-4)


@pytest.mark.parametrize(("row_id", "share"), [("W11", 0.03), ("W12", 0.10)])
def test_w11_w12_area_for_a_drop(row_id, share):
    # ABYC E-11 formula CM = 10.75·I·L/E: 10 A, 21 ft there and back, 12 V; ours from resistance at 29.3 °C
    loop_m, allowed_v = 21.0 * FOOT_M, share * 12.0
    area_mm2 = resistivity_ohm_mm2_per_m(29.3) * loop_m * 10.0 / allowed_v
    assert area_mm2 / CIRCULAR_MIL_MM2 == pytest.approx(expected(row_id), rel=1e-3)


def test_w14_a_row_of_the_drop_table():
    # ABYC E-11 3 % table, marine seller reprint: 12 V, 10 ft in all, even sizes; by our stranded conductor at 30 °C
    asked_a = (5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100)
    even = [parse_size(f"{n} AWG") for n in (18, 16, 14, 12, 10, 8, 6, 4, 2)]
    found = []
    for amps in asked_a:
        for size in even:
            ohm = conductor_ohm(stranded_resistance_20c_ohm_per_m(size).value, 10.0 * FOOT_M, 30.0)
            if amps * ohm <= 0.03 * 12.0:
                found.append(size.label.removesuffix(" AWG"))
                break
    assert found == ROWS["W14"]["expected"].split()


def test_w19_twice_the_voltage_asks_a_quarter_of_the_area():
    # algebra: half the current, twice the volts allowed
    def area(volts: float) -> float:
        limit_v = family("us_boats").drop_limit(critical=True).value * volts
        return conductor_ohm(1.0, 10.0, 20.0) * (240.0 / volts) / limit_v

    assert area(24.0) / area(12.0) == pytest.approx(expected("W19"), rel=1e-12)


def test_w76_a_navigation_light_at_the_floor_of_its_family():
    # ISO 10133 annex C by its own constant; 20 m of 1 mm², the floor of single conductors there, loses less than 3 %
    area_mm2 = 0.0164 * 1.0 * 20.0 / (0.03 * 24.0)
    assert area_mm2 == pytest.approx(float(ROWS["W76"]["expected"].split()[0]), rel=1e-3)
    per_m = stranded_resistance_20c_ohm_per_m(parse_size("1 mm2")).value
    assert 1.0 * conductor_ohm(per_m, 20.0, 20.0) < 0.03 * 24.0
    # at the area that the formula gives, real stranded copper would lose more: its constant is that of colder copper
    assert 1.0 * conductor_ohm(per_m / area_mm2, 20.0, 20.0) > 0.03 * 24.0


def fault_a(emf_v: float, battery_ohm: float, conductor_m: float) -> float:
    """A battery shorted at the end of 35 mm² class 2 (IEC 60228: 0.524 ohm per km) of a length there and back."""
    wire = Resistor("wire", "plus", "far", conductor_ohm(0.524e-3, conductor_m, 20.0), 20.0)
    network = Network("", "20", "minus", ("minus", "plus", "far"), (), (wire,),
                      (Emf("b", "plus", "minus", emf_v, battery_ohm),), (), ())  # fmt: skip
    volts, ohm = thevenin(reduce_network(network), "far", "minus")
    return volts / ohm


def test_from_memory_w40_w41_short_circuit_of_a_battery_through_a_conductor():
    # IEC 61660-1, battery clause, from memory: E_B = 1.05·U_n; peak with 0.9·R_B, quasi-steady 0.95 of the full loop
    assert {ROWS[row_id]["status"] for row_id in ("W40", "W41")} == {"from memory"}
    peak_a, steady_a = (float(ROWS[row_id]["expected"]) for row_id in ("W40", "W41"))
    assert fault_a(1.05 * 12.0, 0.9 * 0.005, 2.0) == pytest.approx(peak_a, rel=1e-3)
    assert 0.95 * fault_a(1.05 * 12.0, 0.005, 2.0) == pytest.approx(steady_a, rel=1e-3)


def test_w36_w39_faults_at_the_posts_through_the_network():
    # W36, breaker maker's DC guide: 110 cells of 0.5 milliohm, 240 V; W39, reasoning of ABYC E-11: three strings of two
    network = Network(
        "", "20", "minus", ("minus", "plus"), (), (), (Emf("b", "plus", "minus", 240.0, 110 * 5e-4),), (), ()
    )
    volts, ohm = thevenin(reduce_network(network), "plus", "minus")
    assert volts / ohm == pytest.approx(expected("W36"), rel=2e-3)
    strings = tuple(Emf(f"s{n}", "plus", "minus", 12.6, 2 * 6.3 / 2400.0) for n in range(3))
    network = Network("", "20", "minus", ("minus", "plus"), (), (), strings, (), ())
    volts, ohm = thevenin(reduce_network(network), "plus", "minus")
    assert volts / ohm == pytest.approx(expected("W39"), rel=1e-12)


def test_constant_power_has_no_voltage_past_maximum_power():
    # circuit theory: none above E²/4R
    emf_v, ohm = 12.0, 0.1
    most_w = emf_v * emf_v / (4.0 * ohm)
    assert constant_power_v(emf_v, ohm, most_w) == pytest.approx(emf_v / 2.0)
    assert constant_power_v(emf_v, ohm, most_w * (1.0 + 1e-9)) is None
    v = constant_power_v(emf_v, ohm, 100.0)
    assert v is not None
    assert v * (emf_v - v) / ohm == pytest.approx(100.0)
