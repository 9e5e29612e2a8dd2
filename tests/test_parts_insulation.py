"""k of insulated copper against the printed table; its copy in tests/truth carries source and status of each row."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from proposal.parts.insulation import COPPER_A_ROOT_S_PER_MM2, computed_k, heat_loss, withstand

with (Path(__file__).parent / "truth" / "adiabatic_k.csv").open(encoding="utf-8", newline="") as stream:
    ROWS = tuple(csv.DictReader(stream))
ASKED = {
    "PVC 70 C, S<=300 mm2": (70, "pvc", 300.0),
    "PVC 70 C, S>300 mm2": (70, "pvc", 300.1),
    "PVC 90 C, S<=300": (90, "pvc", 16.0),
    "PVC 90 C, S>300": (90, "pvc", 400.0),
    "XLPE/EPR 90 C": (90, "xlpe", 16.0),
    "rubber 60 C": (60, "rubber", 16.0),
    "rubber 85 C": (85, "rubber", 16.0),
    "silicone 180 C": (180, "silicone", 16.0),
    "105 C insulation, 250 C limit assumed": (105, "xlpe", 16.0),
    "105 C insulation, 160 C limit assumed": (105, "pvc", 16.0),
}


def test_every_row_of_the_printed_table_is_asked():
    assert {row["insulation"] for row in ROWS} == set(ASKED)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["insulation"])
def test_k_is_that_of_the_printed_table(row):
    found = withstand(*ASKED[row["insulation"]])
    assert found.k_a_root_s_per_mm2 == float(row["k_table"] or row["k_computed"])
    assert found.citation.status == row["status"]
    assert found.stated


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["insulation"])
def test_the_formula_gives_the_table_within_its_rounding(row):
    found = computed_k(float(row["theta_i_C"]), float(row["theta_f_C"]))
    assert found == pytest.approx(float(row["k_computed"]), abs=0.05)


def test_a_compound_that_nobody_states_counts_as_the_one_that_stands_less():
    assert withstand(90, None, 16.0).k_a_root_s_per_mm2 == 100.0
    assert withstand(105, None, 16.0).k_a_root_s_per_mm2 == 87.57
    assert not withstand(90, None, 16.0).stated
    # no PVC is sold for 125 °C, no cross-linked insulation for 200 °C
    assert withstand(125, None, 16.0).compound == "xlpe"
    assert withstand(200, None, 16.0).compound == "silicone"


@pytest.mark.parametrize(("insulation_c", "compound"), [(105, "pvc"), (106, "xlpe"), (150, "xlpe"), (151, "silicone")])
def test_which_compounds_a_class_is_sold_in(insulation_c, compound):
    assert withstand(insulation_c, None, 16.0).compound == compound


@pytest.mark.parametrize(("area_mm2", "end_c"), [(300.0, 160.0), (300.1, 140.0)])
def test_thick_pvc_ends_a_fault_cooler(area_mm2, end_c):
    """As in the table's rows above 300 mm², for a class that it does not hold."""
    assert withstand(80, "pvc", area_mm2).k_a_root_s_per_mm2 == computed_k(80.0, end_c)
    assert withstand(80, "xlpe", area_mm2).k_a_root_s_per_mm2 == computed_k(80.0, 250.0)


@pytest.mark.parametrize("insulation_c", [60, 75, 80, 125, 200])
def test_a_class_without_a_row_is_computed_and_called_practice(insulation_c):
    found = withstand(insulation_c, None, 10.0)
    assert found.citation.status == "common practice"
    end_c = {60: 160.0, 75: 160.0, 80: 160.0, 125: 250.0, 200: 350.0}[insulation_c]
    by_hand = COPPER_A_ROOT_S_PER_MM2 * math.sqrt(math.log((end_c + 234.5) / (insulation_c + 234.5)))
    assert found.k_a_root_s_per_mm2 == pytest.approx(by_hand, rel=1e-12)


def test_a_hotter_class_of_one_compound_stands_less():
    found = [withstand(c, "pvc", 10.0).k_a_root_s_per_mm2 for c in (60, 70, 75, 80, 90, 105)]
    assert found == sorted(found, reverse=True)


def test_no_rise_allowed_is_no_k():
    assert computed_k(160.0, 160.0) == 0.0
    assert computed_k(200.0, 160.0) == 0.0


def test_constants_of_the_heat_that_leaves_are_from_memory():
    for compound in ("pvc", "xlpe", "rubber"):
        found = heat_loss(compound)
        assert found is not None
        assert found.citation.status == "from memory"
        assert found.citation.source == "iec60949"
    assert heat_loss("silicone") is None
