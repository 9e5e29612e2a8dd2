"""How long a conductor stands a fault: worked examples, limits, and what holds for every conductor."""

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.parts.insulation import HeatLoss, computed_k, heat_loss, withstand
from proposal.sources import Citation
from proposal.studies.fuses.equations import (
    HOLDS_TO_S,
    adiabatic_a,
    area_needed_mm2,
    non_adiabatic_factor,
    stands_s,
)

with (Path(__file__).parents[1] / "truth" / "worked_examples.csv").open(encoding="utf-8", newline="") as stream:
    WORKED = {row["id"]: row for row in csv.DictReader(stream)}
IEC60949_CONSTANT = 225.669
"""The constant of copper that the worked example names; the table's formula rounds it to 226."""


def expected(row_id: str) -> float:
    assert WORKED[row_id]["status"] != "from memory"
    return float(WORKED[row_id]["expected"])


def test_w30_w31_k_of_copper() -> None:
    # IEC 60364-5-54, BS 7671 table 54.3
    assert computed_k(90.0, 250.0) == pytest.approx(expected("W30"), abs=0.1)
    assert computed_k(70.0, 160.0) == pytest.approx(expected("W31"), abs=0.2)
    assert withstand(90, "xlpe", 95.0).k_a_root_s_per_mm2 == float(WORKED["W30"]["printed_in_source"])
    assert withstand(70, "pvc", 95.0).k_a_root_s_per_mm2 == float(WORKED["W31"]["printed_in_source"])


def test_w32_95_mm2_for_a_second() -> None:
    # IEC 60949, worked example: 13.6 kA, with its own constant of copper
    k = computed_k(90.0, 250.0) * IEC60949_CONSTANT / 226.0
    assert adiabatic_a(k, 95.0, 1.0) == pytest.approx(expected("W32"), rel=5e-3)
    assert adiabatic_a(143.0, 95.0, 1.0) == pytest.approx(expected("W32"), rel=5e-3)


def test_w34_6_mm2_for_a_tenth_of_a_second() -> None:
    # IEC 60364-4-43, formula
    assert adiabatic_a(115.0, 6.0, 0.1) == pytest.approx(expected("W34"), rel=1e-3)


def test_w35_35_mm2_at_2271_a() -> None:
    # IEC 60364-4-43, formula
    assert stands_s(115.0, 35.0, 2271.0) == pytest.approx(expected("W35"), rel=1e-3)


def test_nothing_flows_so_it_stands_without_end() -> None:
    assert stands_s(115.0, 6.0, 0.0) == math.inf


AMPS = st.floats(1.0, 5e4)
AREA = st.floats(0.5, 400.0)
K = st.floats(60.0, 150.0)


@given(K, AREA, AMPS)
def test_area_and_time_undo_each_other(k: float, area_mm2: float, amps: float) -> None:
    seconds = stands_s(k, area_mm2, amps)
    assert area_needed_mm2(k, amps, seconds) == pytest.approx(area_mm2, rel=1e-9)
    assert adiabatic_a(k, area_mm2, seconds) == pytest.approx(amps, rel=1e-9)


@given(K, AREA, AMPS)
def test_twice_the_area_stands_four_times_as_long(k: float, area_mm2: float, amps: float) -> None:
    assert stands_s(k, 2.0 * area_mm2, amps) == pytest.approx(4.0 * stands_s(k, area_mm2, amps), rel=1e-9)


@given(st.sampled_from(("pvc", "xlpe", "rubber")), AREA, st.floats(1e-3, HOLDS_TO_S))
def test_heat_that_leaves_never_lowers_what_is_allowed(compound: str, area_mm2: float, seconds: float) -> None:
    loss = heat_loss(compound)
    assert loss is not None
    assert non_adiabatic_factor(loss, area_mm2, seconds) >= 1.0
    # thinner conductors lose more of their heat
    assert non_adiabatic_factor(loss, area_mm2, seconds) >= non_adiabatic_factor(loss, 2.0 * area_mm2, seconds)


def test_the_factor_by_hand_and_not_beyond_its_range() -> None:
    # sqrt(1 + 0.4·sqrt(4) + 0.1·4) = sqrt(2.2)
    loss = HeatLoss(0.4, 0.1, Citation("arithmetic", "", "definition"))
    assert non_adiabatic_factor(loss, 1.0, 4.0) == pytest.approx(math.sqrt(2.2))
    assert non_adiabatic_factor(loss, 1.0, HOLDS_TO_S) > 1.0
    assert non_adiabatic_factor(loss, 1.0, HOLDS_TO_S * 1.001) == 1.0
