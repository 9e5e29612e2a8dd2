"""What the families in mm² do where no table helps: heat, better insulation, limits and floors."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.codes import FAMILIES, family
from proposal.codes.family import RuleFamily
from proposal.units import AWG_SIZES, MM2_SIZES, SAE_SIZES, ConductorSize, parse_size
from proposal.units.sizes import MM2_PER_CMIL

ISO, EU, BRITISH = (family(name) for name in ("iso_boats", "eu_vehicles", "british"))
SIZE = parse_size("25 mm2")

families = st.sampled_from(tuple(FAMILIES.values()))
sizes = st.sampled_from((*AWG_SIZES, *MM2_SIZES, *SAE_SIZES))


def factor(known: RuleFamily, insulation_c: int, place_c: float, *, engine: bool = False) -> float:
    return known.ampacity(SIZE, insulation_c, place_c, engine, 2).temperature_factor


# --- heat ------------------------------------------------------------------------------------------------------------


def test_between_two_rows_the_square_root_rule_is_held_between_them() -> None:
    """IEC 60364-5-52 Table B.52.14, 70 °C: 0.87 at 40 °C and 0.79 at 45 °C."""
    assert factor(EU, 70, 35) == pytest.approx(math.sqrt(35 / 40))
    assert factor(EU, 70, 42) == pytest.approx(math.sqrt(28 / 40))
    assert factor(EU, 70, 44.99) == pytest.approx(math.sqrt(25.01 / 40))
    assert factor(EU, 70, 40.01) == pytest.approx(math.sqrt(29.99 / 40))
    assert factor(EU, 70, 54.9) == pytest.approx(math.sqrt(15.1 / 40))
    assert factor(EU, 70, 50) == 0.71  # as printed, where the rule gives 0.707
    assert factor(EU, 70, 50.01) == pytest.approx(math.sqrt(19.99 / 40))


def test_beyond_the_rows_the_rule_goes_on_downwards() -> None:
    assert factor(EU, 70, 55.5) == pytest.approx(math.sqrt(14.5 / 40))
    assert factor(EU, 70, 55.01) <= 0.61  # the last printed row, above which heat must not help
    assert factor(EU, 70, 60) == pytest.approx(0.5)
    assert factor(EU, 70, 70) == 0


@pytest.mark.parametrize("insulation_c", [90, 105])
def test_better_insulation_than_the_column_bears_a_hotter_place(insulation_c: int) -> None:
    """Own arithmetic: the 70 °C column's current heats by 40 K; what the insulation bears above the place counts."""
    free_c = insulation_c - 40
    assert factor(EU, insulation_c, free_c) == 1
    assert factor(EU, insulation_c, free_c + 10) == pytest.approx(math.sqrt(30 / 40))
    assert factor(EU, insulation_c, insulation_c) == 0
    found = EU.ampacity(SIZE, insulation_c, free_c + 10, False, 2)
    assert found.table_a == 80
    assert f"insulation {insulation_c} °C" in found.citations[-1].clause


def test_worse_insulation_than_the_column_carries_less_everywhere() -> None:
    """60 °C insulation under a table that begins at 70 °C."""
    assert factor(EU, 60, 30) == pytest.approx(math.sqrt(30 / 40))
    assert factor(EU, 60, 40) == pytest.approx(math.sqrt(20 / 40))


def test_british_insulation_of_105_degrees_has_the_90_degree_column() -> None:
    found = BRITISH.ampacity(SIZE, 105, 60, False, 2)
    assert found.table_a == 133
    assert found.temperature_factor == pytest.approx(math.sqrt(45 / 60))
    assert factor(BRITISH, 90, 60) == pytest.approx(math.sqrt(30 / 60))


def test_iso_engine_space() -> None:
    """The note's factor to 50 °C, the square-root rule in a hotter space and for a class without a row."""
    assert factor(ISO, 105, 20, engine=True) == 0.86
    assert factor(ISO, 105, 60, engine=True) == pytest.approx(math.sqrt(45 / 75))
    assert factor(ISO, 60, 20, engine=True) == pytest.approx(math.sqrt(10 / 30))
    assert factor(ISO, 60, 20) == 1


# --- limits and floors -----------------------------------------------------------------------------------------------


def test_limits_of_the_metric_families() -> None:
    assert [ISO.drop_limit(critical).value for critical in (True, False)] == [0.03, 0.10]
    assert ISO.drop_limit(True).citation.source == "iso10133"
    for known in (EU, BRITISH):
        assert [known.drop_limit(critical).value for critical in (True, False)] == [0.03, 0.05]
        assert "advice" in known.drop_limit(True).citation.clause
        assert known.drop_limit(True).citation.status == "from memory"
        assert [known.minimum_size(sheathed).size.label for sheathed in (False, True)] == ["1.5 mm²"] * 2
        assert [known.fuse_distance_m(True, sheathed).value for sheathed in (False, True)] == [0.3, 1.8]
    assert [ISO.minimum_size(sheathed).size.label for sheathed in (False, True)] == ["1 mm²", "0.75 mm²"]
    assert [ISO.fuse_distance_m(True, sheathed).value for sheathed in (False, True)] == [0.2, 1.8]
    assert ISO.fuse_distance_m(False, True).citation.status == "corroborated"  # 12.3 (2020), a charge source
    assert ISO.fuse_distance_m(False, False).citation.status == "from memory"


@pytest.mark.parametrize("known", [ISO, EU, BRITISH], ids=lambda known: known.id)
def test_fuses_are_no_larger_than_what_the_conductor_carries(known: RuleFamily) -> None:
    """ISO 13297 and IEC 60364-4-43, 433.1, both from memory: In ≤ Iz at every voltage."""
    for volts in (12.0, 24.0, 48.0):
        window = known.fuse_window(100.0, 150.0, volts)
        assert (window.smallest_a, window.largest_a) == (125.0, 150.0)
        assert window.citation.status == "from memory"
        assert window.smallest_citation is not None


def test_only_us_boats_ask_for_a_device_per_battery_and_go_by_cranking_ratings() -> None:
    for known in FAMILIES.values():
        assert (known.device_per_battery_above_ah() is not None) == (known.id == "us_boats")
        assert (known.minimum_interrupt_a(800, True) is not None) == (known.id == "us_boats")


def test_what_each_family_says_of_a_conductor_that_only_cranks() -> None:
    """33 CFR 183.455 has the exception, the directive leaves the engine's start out; elsewhere it is practice."""
    found = {name: known.cranking_exempt() for name, known in FAMILIES.items()}
    assert all(rule.exempt for rule in found.values())
    status = {name: rule.citation.status for name, rule in found.items()}
    assert status == {"us_boats": "corroborated", "iso_boats": "corroborated", "nec_cabins": "common practice",
                      "eu_vehicles": "common practice", "british": "common practice"}  # fmt: skip
    assert found["us_boats"].citation.source == "cfr183"
    assert found["iso_boats"].citation.source == "rcd"


# --- what holds for everything ---------------------------------------------------------------------------------------


@given(families, sizes, st.integers(50, 220), st.floats(-40, 240), st.booleans(), st.integers(1, 70))
def test_what_is_certain_is_never_less_than_what_counts(
    known: RuleFamily, size: ConductorSize, insulation_c: int, place_c: float, engine: bool, count: int
) -> None:
    found = known.ampacity(size, insulation_c, place_c, engine, count, system_v=48.0)
    assert found.certain_a is not None
    assert found.certain_a >= found.ampacity_a * (1 - 1e-12)
    assert found.over(found.ampacity_a + 0.1) in (*found.citations, found.certain_citation)
    assert found.over(found.certain_a + 0.1).status != "from memory"
    if all(citation.status != "from memory" for citation in found.citations):
        assert found.certain_a == pytest.approx(found.ampacity_a, rel=1e-12)


@given(families, sizes, sizes)
def test_more_copper_never_carries_less_whatever_its_standard(
    known: RuleFamily, one: ConductorSize, other: ConductorSize
) -> None:
    small, large = sorted((one, other))
    less, more = (known.ampacity(size, 90, 30, False, 2).ampacity_a for size in (small, large))
    assert less <= more * (1 + 1e-12)


@given(families, sizes, st.integers(50, 220), st.floats(30, 240), st.floats(0.001, 20))
def test_heat_never_helps(
    known: RuleFamily, size: ConductorSize, insulation_c: int, place_c: float, more_k: float
) -> None:
    cool, hot = (known.ampacity(size, insulation_c, at_c, False, 2).ampacity_a for at_c in (place_c, place_c + more_k))
    assert hot <= cool * (1 + 1e-12)


# --- worked examples -------------------------------------------------------------------------------------------------

with (Path(__file__).parents[1] / "truth" / "worked_examples.csv").open(encoding="utf-8", newline="") as _file:
    WORKED = {row["id"]: row for row in csv.DictReader(_file)}


def test_w05_a_square_millimetre_in_circular_mils() -> None:
    """By definition: a circular mil is a circle of 0.0254 mm."""
    cmil_per_mm2 = 1 / MM2_PER_CMIL
    # printed to two places, so no nearer than half of the last one
    assert cmil_per_mm2 == pytest.approx(float(WORKED["W05"]["expected"]), abs=0.005)
    by_definition = 1 / (math.pi / 4 * 0.0254**2)
    assert cmil_per_mm2 == pytest.approx(by_definition, rel=1e-6)


def test_w15_an_iso_drop_takes_four_square_millimetres() -> None:
    """ISO 10133 Annex C, corroborated: S = 0.0164 · I · L / ΔU asks for 2.92 mm²; our real copper for the same size."""
    current_a, loop_m, allowed_v = 10.0, 6.4, ISO.drop_limit(True).value * 12.0
    assert allowed_v == pytest.approx(0.36)
    area_mm2 = 0.0164 * current_a * loop_m / allowed_v
    assert area_mm2 == pytest.approx(float(WORKED["W15"]["expected"]), rel=1e-3)
    by_formula = next(size for size in ISO.sizes if size.area_mm2 >= area_mm2)
    ours = next(
        size for size in ISO.sizes if current_a * loop_m * ISO.resistance_20c_ohm_per_m(size).value <= allowed_v
    )
    assert by_formula.label == ours.label == "4 mm²"
    assert "next size 4 mm2" in WORKED["W15"]["printed_in_source"]


# --- I2 ≤ 1.45 Iz ----------------------------------------------------------------------------------------------------

with (Path(__file__).parents[1] / "truth" / "fuse_time_limits.csv").open(encoding="utf-8", newline="") as _file:
    GATES = list(csv.DictReader(_file))


def test_fuses_that_fit_in_rating_open_below_1_45_times_it() -> None:
    """IEC 60364-4-43, 433.1: with In ≤ Iz, I2 ≤ 1.45 Iz holds for classes that open for certain at 1.45 In or less.

    Gates of ISO 8820 and UL 248, from memory in the reference. Class T above 600 A is the one that opens at 1.5 only.
    """
    opens: dict[str, float] = {}
    for gate in GATES:
        if gate["max_s"].replace(".", "").isdigit() and float(gate["max_s"]) <= 4 * 3600:
            opens[gate["class"]] = min(opens.get(gate["class"], math.inf), float(gate["multiple_of_rating"]))
    late = {name for name, multiple in opens.items() if multiple > 1.45}
    assert late == {"Class T 601-1200 A"}
    assert len(opens) >= 10
    for known in (EU, BRITISH):
        assert "1.45 times their rating" in known.fuse_window(10, 20, 12).citation.clause


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_a_clause_tells_the_figure_that_is_taken(known: RuleFamily) -> None:
    for critical in (True, False):
        limit = known.drop_limit(critical)
        assert f"{100 * limit.value:.0f} %" in limit.citation.clause
