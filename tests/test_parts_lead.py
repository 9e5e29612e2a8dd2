"""Charging lead, its gas and its frost, against published figures."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.parts.lead import (
    charge_that_freezes_at,
    charge_voltage,
    compensated_v,
    freezing_c,
    freezing_citation,
    gas_ma_per_ah,
    opening_cm2,
    vent_m3_per_h,
)
from proposal.spec.pricebook import BatteryPart

TRUTH = Path(__file__).parent / "truth" / "worked_examples.csv"
EXAMPLES = {row["id"]: row for row in csv.DictReader(TRUTH.read_text().splitlines())}


def battery(chemistry, voltage_v=12.0, charge_v=None):
    return BatteryPart.model_construct(
        kind="battery", chemistry=chemistry, voltage_v=voltage_v, capacity_ah=100.0, charge_v=charge_v
    )


def test_compensation_of_a_worked_example():
    """W50: 14.4 V at 25 °C, −4 mV per cell and kelvin, at 5 °C."""
    assert compensated_v(14.4, 6, 5.0) == pytest.approx(float(EXAMPLES["W50"]["expected"]))


def test_compensation_at_the_low_end_of_its_range_is_above_ours_in_the_heat():
    """W51: 2.30 V a cell with −3 mV/K is 2.27 V at 35 °C; the middle of the range asks 10 mV less."""
    assert compensated_v(2.30, 1, 35.0) == pytest.approx(float(EXAMPLES["W51"]["expected"]) - 0.010)
    assert compensated_v(14.4, 6, 45.0) == pytest.approx(14.4 - 0.48)
    assert compensated_v(14.4, 6, 25.0) == 14.4


MANUAL = (Path(__file__).parent / "truth" / "freezing_by_density.csv").read_text().splitlines()
MANUAL_F = {float(row["density"]): float(row["freezes_f"]) for row in csv.DictReader(MANUAL)}
"""Freezing point by density of the acid; the density by charge is a battery maker's."""


@pytest.mark.parametrize(("charge", "density"), [(1.0, 1.265), (0.75, 1.225), (0.5, 1.190), (0.25, 1.155), (0.0, 1.12)])
def test_freezing_points_against_a_manual(charge, density):
    """Linear between the manual's densities, within 1.5 K of the table."""
    below = max(d for d in MANUAL_F if d <= density)
    over = min(d for d in MANUAL_F if d >= density)
    share = 0.0 if over == below else (density - below) / (over - below)
    manual_f = MANUAL_F[below] + share * (MANUAL_F[over] - MANUAL_F[below])
    assert freezing_c(charge) == pytest.approx((manual_f - 32.0) / 1.8, abs=1.5)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_fuller_battery_freezes_later(one, other):
    low, high = sorted((one, other))
    assert freezing_c(high) <= freezing_c(low)


@given(st.floats(-58.0, -11.0))
def test_the_charge_that_freezes_at_a_temperature_freezes_there(temperature_c):
    assert freezing_c(charge_that_freezes_at(temperature_c)) == pytest.approx(temperature_c, abs=1e-9)


def test_frost_beyond_the_table():
    assert charge_that_freezes_at(-70.0) == 1.0
    assert charge_that_freezes_at(0.0) == 0.0
    assert freezing_citation().status == "corroborated"


def test_charge_voltages():
    assert charge_voltage(battery("flooded", charge_v=14.1))[0] == 14.1
    value, cited = charge_voltage(battery("flooded"))
    assert (value, cited.status) == (pytest.approx(14.8), "corroborated")
    assert charge_voltage(battery("flooded", 6.0))[0] == pytest.approx(7.4)
    assert charge_voltage(battery("gel"))[1].status == "from memory"


@pytest.mark.parametrize(("chemistry", "gas_ma"), [("flooded", 20.0), ("agm", 8.0), ("gel", 8.0)])
def test_air_and_openings(chemistry, gas_ma):
    """Public pages on EN 62485-2: 20 and 8 mA/Ah at boost; Q = 0.05·n·I·C/1000, A = 28·Q."""
    air = vent_m3_per_h(6, gas_ma_per_ah(chemistry), 200.0)
    assert air == pytest.approx(0.05 * 6 * gas_ma * 0.2)
    assert opening_cm2(air) == pytest.approx(28.0 * air)
