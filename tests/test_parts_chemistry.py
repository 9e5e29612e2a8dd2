"""What a chemistry tells about a battery, against worked examples and published tables."""

import csv
import typing
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.parts import chemistry
from proposal.spec.pricebook import BatteryPart, Chemistry

CHEMISTRIES: tuple[Chemistry, ...] = typing.get_args(Chemistry)
LEAD = tuple(kind for kind in CHEMISTRIES if kind != "lithium")
TRUTH = Path(__file__).parent / "truth" / "worked_examples.csv"


def expected(example: str) -> float:
    """The value that the published worked example prints."""
    with TRUTH.open(encoding="utf-8", newline="") as stream:
        return next(float(row["expected"]) for row in csv.DictReader(stream) if row["id"] == example)


def battery(kind: Chemistry, voltage_v: float, capacity_ah: float, **more: str) -> BatteryPart:
    return BatteryPart.model_validate(
        {
            "kind": "battery",
            "title": "B",
            "chemistry": kind,
            "voltage": f"{voltage_v} V",
            "capacity": f"{capacity_ah} Ah",
            **more,
        }
    )


# --- worked examples, each with its source ---------------------------------------------------------------------------


def test_fault_of_a_string_of_cells() -> None:
    # W36, a breaker maker's DC guide: 110 cells of 0.5 mohm, 240 V
    assert chemistry.battery_fault_a(240, 110 * 0.0005) == pytest.approx(expected("W36"), rel=2e-3)


def test_from_memory_least_fault_current_from_a_cranking_rating() -> None:
    # W38, SAE J537 definition: 650 A at -18 °C, 12.6 V falling to 7.2 V
    least_a = chemistry.CRANKING_OPEN_V / chemistry.resistance_from_cranking_ohm(650)
    assert least_a == pytest.approx(expected("W38"), rel=1e-3)


def test_fault_of_batteries_in_series_and_parallel() -> None:
    # W39, reasoning of ABYC E-11: six 6 V batteries of 2400 A each as a 12 V bank: three strings of two
    found = chemistry.short_circuit_a(battery("flooded", 6, 225, short_circuit="2400 A"), series=2, parallel=3)
    assert found.current_a == pytest.approx(expected("W39"), rel=1e-12)
    assert not found.assumed


def test_charge_of_a_rested_flooded_battery() -> None:
    # W48, BCI state-of-charge table: 12.35 V
    assert 100 * chemistry.charge_share("flooded", 12.35, 6) == pytest.approx(expected("W48"), abs=0.1)


def test_energy_of_a_bank() -> None:
    # W55, by definition: 280 Ah, 12.8 V, 80 % usable
    assert chemistry.usable_wh(battery("lithium", 12.8, 280)) == pytest.approx(expected("W55"), rel=1e-12)


def test_resting_voltage_of_a_lithium_pack() -> None:
    # W59, published lithium iron phosphate example cell: four at half charge
    assert chemistry.ocv_v("lithium", 0.5, 4) == pytest.approx(expected("W59"), abs=0.005)


# --- resting voltage -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("share", "rest_v"), [(1.0, 12.65), (0.75, 12.45), (0.5, 12.24), (0.25, 12.06), (0.0, 11.89)]
)  # BCI state-of-charge table, 26.7 °C, rested
def test_flooded_rests_as_the_published_table_says(share: float, rest_v: float) -> None:
    assert chemistry.ocv_v("flooded", share, 6) == pytest.approx(rest_v, abs=1e-9)
    assert chemistry.charge_share("flooded", rest_v, 6) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize("kind", CHEMISTRIES)
@given(shares=st.lists(st.floats(0, 1), min_size=2, max_size=2, unique=True))
def test_more_charge_is_never_less_voltage(kind: Chemistry, shares: list[float]) -> None:
    low, high = sorted(shares)
    assert chemistry.ocv_v(kind, low, 4) <= chemistry.ocv_v(kind, high, 4)


@pytest.mark.parametrize("kind", CHEMISTRIES)
@given(share=st.floats(0, 1), cells=st.integers(1, 24))
def test_charge_from_voltage_undoes_voltage_from_charge(kind: Chemistry, share: float, cells: int) -> None:
    assert chemistry.charge_share(kind, chemistry.ocv_v(kind, share, cells), cells) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize("kind", CHEMISTRIES)
def test_voltage_is_held_outside_empty_and_full(kind: Chemistry) -> None:
    assert chemistry.ocv_v(kind, 1.2, 6) == chemistry.ocv_v(kind, 1.0, 6)
    assert chemistry.ocv_v(kind, -0.2, 6) == chemistry.ocv_v(kind, 0.0, 6)
    assert chemistry.charge_share(kind, 99.0, 6) == 1.0
    assert chemistry.charge_share(kind, 0.0, 6) == 0.0


@pytest.mark.parametrize(
    ("kind", "voltage_v", "cells"),
    [("agm", 12, 6), ("flooded", 6, 3), ("flooded", 2, 1), ("gel", 24, 12), ("lithium", 12.8, 4), ("lithium", 12, 4),
     ("lithium", 25.6, 8), ("lithium", 51.2, 16), ("lithium", 3.2, 1)],
)  # fmt: skip
def test_cells_follow_from_the_nominal_voltage(kind: Chemistry, voltage_v: float, cells: int) -> None:
    assert chemistry.cell_count(battery(kind, voltage_v, 100)) == cells


def test_full_and_empty_of_one_battery() -> None:
    six = battery("flooded", 6, 225)
    assert chemistry.full_rest_v(six) == pytest.approx(12.65 / 2)
    assert chemistry.empty_rest_v(six) == pytest.approx(11.89 / 2)
    # a full lithium pack rests well below its charging voltage of 14.2 V, and above a full lead battery
    assert 12.85 < chemistry.full_rest_v(battery("lithium", 12.8, 100)) < 14.0


# --- capacity --------------------------------------------------------------------------------------------------------


def test_lead_capacity_is_the_inverse_of_the_cell_size_factor() -> None:
    # cell-size factors 1.19 at 10 °C and 1.30 at 4.4 °C, public trade table after IEEE 485
    for kind in LEAD:
        assert chemistry.temperature_capacity_share(kind, 25) == pytest.approx(1)
        assert chemistry.temperature_capacity_share(kind, 10) == pytest.approx(1 / 1.19)
        assert chemistry.temperature_capacity_share(kind, 7.2) == pytest.approx(1 / 1.25)
        assert chemistry.temperature_capacity_share(kind, 60) == pytest.approx(1 / 0.85)


def test_lead_capacity_goes_on_falling_below_the_table() -> None:
    # simplified table, base 26.7 °C: 1.59 at -6.7 °C; by 0.98 it is 1.56 on base 25 °C, ours may err by 5 %
    assert 1 / chemistry.temperature_capacity_share("agm", -6.7) == pytest.approx(1.59 * 0.98, rel=0.05)
    assert chemistry.temperature_capacity_share("agm", -25) < chemistry.temperature_capacity_share("agm", -18) < 0.6


def test_lithium_capacity_in_the_cold() -> None:
    # vendor article, low-rate discharge: 80 % at 0 °C, 70 % at -20 °C
    assert chemistry.temperature_capacity_share("lithium", 0) == pytest.approx(0.80)
    assert chemistry.temperature_capacity_share("lithium", -20) == pytest.approx(0.70)
    assert chemistry.temperature_capacity_share("lithium", 45) == 1
    assert chemistry.temperature_capacity_share("lithium", -40) == pytest.approx(0.60)


@pytest.mark.parametrize("kind", CHEMISTRIES)
@given(colder_c=st.floats(-40, 60), by_k=st.floats(0, 100))
def test_warmer_never_holds_less_nor_resists_more(kind: Chemistry, colder_c: float, by_k: float) -> None:
    cold, warm = colder_c, colder_c + by_k
    assert 0 < chemistry.temperature_capacity_share(kind, cold) <= chemistry.temperature_capacity_share(kind, warm)
    assert chemistry.cold_resistance_factor(kind, cold) >= chemistry.cold_resistance_factor(kind, warm) >= 1


def test_lead_resistance_in_the_cold_from_the_cranking_capacity() -> None:
    # US Army TM 9-8000: cranking capacity at -18 °C is 40 % of that when warm
    for kind in LEAD:
        assert chemistry.cold_resistance_factor(kind, -18) == pytest.approx(1 / 0.40)
        assert chemistry.cold_resistance_factor(kind, 25) == 1
        assert chemistry.cold_resistance_factor(kind, 3.5) == pytest.approx(1.75)  # half-way


@pytest.mark.parametrize(
    ("kind", "lowest", "highest"),
    [("flooded", 1.20, 1.30), ("agm", 1.05, 1.15), ("gel", 1.10, 1.20), ("lithium", 1.01, 1.05)],
)  # ranges on public trade pages
def test_peukert_lies_within_the_published_range(kind: Chemistry, lowest: float, highest: float) -> None:
    assert lowest < chemistry.peukert(kind) < highest


def test_charge_efficiency() -> None:
    # lead: two makers' articles, about 1.2 Ah in for 1 Ah out; lithium: 0.92 to 0.98
    assert chemistry.charge_efficiency("agm") == pytest.approx(1 / 1.2, abs=0.02)
    assert 0.92 < chemistry.charge_efficiency("lithium") < 0.98


# --- resistance and fault current ------------------------------------------------------------------------------------


def test_assumed_resistance_scales_with_capacity_and_cells() -> None:
    one = chemistry.assumed_resistance_ohm(battery("agm", 12, 100))
    assert (one.for_fault_ohm, one.for_drop_ohm) == pytest.approx((0.003, 0.005))
    large = chemistry.assumed_resistance_ohm(battery("agm", 6, 400))
    assert (large.for_fault_ohm, large.for_drop_ohm) == pytest.approx((0.003 / 8, 0.005 / 8))


def test_assumed_fault_current_of_agm_is_25_to_42_times_its_capacity() -> None:
    # 12.6 V over 3 to 5 mohm for 100 Ah is 25 to 42 x Ah; the page that says "below 20 x Ah" understates.
    # Nine tenths of the resistance hold a fault back (IEC 61660-1, from memory)
    found = chemistry.short_circuit_a(battery("agm", 12, 200), series=1)
    assert 25 * 200 < found.current_a <= 12.85 / (0.9 * 0.003) * 2 + 1e-6
    assert found.assumed
    assert found.citation.status == "from memory"


def test_the_makers_figures_win() -> None:
    stated = chemistry.battery_resistance(battery("agm", 12, 100, resistance="4 mohm", short_circuit="2500 A"))
    assert stated.for_fault_ohm == pytest.approx(12.85 / 2500)
    assert stated.for_drop_ohm == pytest.approx(0.004)
    assert not stated.fault_assumed
    assert not stated.drop_assumed
    from_ohm = chemistry.short_circuit_a(battery("agm", 12, 100, resistance="4 mohm"), series=4)
    assert from_ohm.current_a == pytest.approx(12.85 / (0.9 * 0.004))  # 0.9: IEC 61660-1, from memory
    assert not from_ohm.assumed


def test_a_short_circuit_figure_alone_leaves_the_drop_assumed_and_never_lower() -> None:
    found = chemistry.battery_resistance(battery("agm", 12, 100, short_circuit="1000 A"))
    assert not found.fault_assumed
    assert found.drop_assumed
    assert found.for_drop_ohm == found.for_fault_ohm == pytest.approx(12.85 / 1000)


@given(cranking_a=st.integers(50, 2000), capacity_ah=st.integers(20, 300))
def test_a_cranking_rating_is_a_least_and_never_a_highest_fault_current(cranking_a: int, capacity_ah: int) -> None:
    with_rating = chemistry.short_circuit_a(battery("flooded", 12, capacity_ah, cranking=f"{cranking_a} A"), series=1)
    without = chemistry.short_circuit_a(battery("flooded", 12, capacity_ah), series=1)
    least_a = chemistry.CRANKING_OPEN_V / chemistry.resistance_from_cranking_ohm(cranking_a)
    assert with_rating.current_a >= without.current_a
    assert with_rating.current_a > least_a
    assert with_rating.assumed


@given(
    kind=st.sampled_from(CHEMISTRIES),
    capacity_ah=st.integers(1, 2000),
    more=st.fixed_dictionaries(
        {},
        optional={
            "cranking": st.integers(50, 2000).map("{} A".format),
            "resistance": st.integers(1, 50).map("{} mohm".format),
            "short_circuit": st.integers(100, 20000).map("{} A".format),
        },
    ),
)
def test_an_assumed_drop_is_never_kinder_than_the_fault(
    kind: Chemistry, capacity_ah: int, more: dict[str, str]
) -> None:
    found = chemistry.battery_resistance(battery(kind, 12, capacity_ah, **more))
    assert found.for_fault_ohm > 0
    assert found.for_drop_ohm >= found.for_fault_ohm or not found.drop_assumed


# --- where it comes from ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", CHEMISTRIES)
@pytest.mark.parametrize("quantity", typing.get_args(chemistry.Quantity))
def test_every_quantity_of_every_chemistry_has_its_citation(quantity: chemistry.Quantity, kind: Chemistry) -> None:
    assert str(chemistry.citation(quantity, kind))


def test_the_least_sure_row_decides_how_sure_a_quantity_is() -> None:
    assert chemistry.citation("rest_voltage", "flooded").source == "bci"
    assert chemistry.citation("rest_voltage", "flooded").status == "corroborated"
    assert chemistry.citation("rest_voltage", "agm").status == "from memory"
    assert chemistry.citation("rest_voltage", "lithium").status == "corroborated"
    assert chemistry.citation("full_rest_voltage", "lithium").status == "from memory"
    assert chemistry.citation("temperature_capacity", "agm").status == "from memory"
    assert chemistry.citation("cold_resistance", "agm").source == "tm9_8000"
    assert chemistry.citation("cold_resistance", "lithium").status == "common practice"
    assert chemistry.citation("usable_share", "gel").source == "common_practice"
