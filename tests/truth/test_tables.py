"""Every row that the rule families use, asked through their public face, against the printed tables.

The copies beside this file carry source and status of each row. What is marked "from memory" is asserted apart.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import get_args

import pytest

from proposal.codes import FAMILIES, family
from proposal.codes.nec_ratings import next_standard_rating_a
from proposal.codes.rows import by_column, rows
from proposal.sources import Status
from proposal.units import AWG_SIZES, MM2_SIZES, ConductorSize, parse_size

HERE = Path(__file__).parent
TABLES = Path(__file__).parents[2] / "proposal" / "codes" / "tables"
US = family("us_boats")
NEC = family("nec_cabins")
US_CLASSES = (60, 75, 80, 90, 105, 125, 200)
STATUSES = set(get_args(Status))


def printed(name: str, **where: str) -> list[dict[str, str]]:
    """Rows of a printed table, those only whose columns read as asked."""
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if all(row[column] == text for column, text in where.items())]


def factors(name: str) -> dict[str, dict[str, str]]:
    return {row["condition"]: row for row in printed("correction_factors", family=name)}


# --- 33 CFR 183.425 Table 5 and its notes ----------------------------------------------------------------------------


@pytest.mark.parametrize("row", printed("ampacity_33cfr183_table5"), ids=lambda row: row["awg"])
def test_33cfr_table_5(row: dict[str, str]) -> None:
    size = parse_size(f"{row['awg']} AWG")
    for class_c in US_CLASSES:
        found = US.ampacity(size, class_c, 30, False, 1)
        assert found.ampacity_a == found.table_a == float(row[f"t{class_c}"])
        assert [citation.status for citation in found.citations] == [row["status"]]


@pytest.mark.parametrize("row", printed("ampacity_abyc_105c"), ids=lambda row: row["awg"])
def test_abyc_105_degree_rows(row: dict[str, str]) -> None:
    """A second printing of the 105 °C column, with engine space, bundles and fuse cap worked out by its author."""
    size = parse_size(f"{row['awg']} AWG")
    outside = US.ampacity(size, 105, 30, False, 1)
    assert outside.ampacity_a == float(row["outside"])
    assert US.ampacity(size, 105, 50, True, 1).ampacity_a == pytest.approx(float(row["inside_engine_space"]), abs=0.006)
    assert US.fuse_window(1, outside.ampacity_a, 24).largest_a == float(row["max_ocpd_150pct_outside"])
    for lowest, highest, column in ((3, 3, "bundle3"), (4, 6, "bundle4_6"), (7, 24, "bundle7_24")):
        for count in (lowest, highest):
            for engine, prefix in ((False, ""), (True, "inside_")):
                found = US.ampacity(size, 105, 30, engine, count, system_v=48)
                # the author cut inside values to two places in some rows
                assert found.ampacity_a == pytest.approx(float(row[prefix + column]), abs=0.011)
    for count in (25, 400):
        found = US.ampacity(size, 105, 30, False, count, system_v=48)
        assert found.ampacity_a == pytest.approx(float(row["bundle25plus"]), abs=0.006)
    assert US.ampacity(size, 105, 30, False, 2, system_v=48).ampacity_a == float(row["outside"])


def engine_space_factor_as_printed(class_c: int) -> str:
    """Its status."""
    row = factors("engine_space_33CFR_ABYC")[f"insulation {class_c} C, ambient 30->50 C"]
    found = US.ampacity(parse_size("1/0 AWG"), class_c, 50, True, 1)
    assert found.temperature_factor == float(row["factor"])
    assert found.citations[-1].status == row["status"]
    if class_c < 200:  # the square-root rule cannot give the 1.0 that is remembered for 200 °C
        assert found.temperature_factor == pytest.approx(math.sqrt((class_c - 50) / (class_c - 30)), rel=0.01)
    return row["status"]


def test_33cfr_engine_space_factor_of_105_degrees() -> None:
    assert engine_space_factor_as_printed(105) == "corroborated"


@pytest.mark.parametrize("class_c", [class_c for class_c in US_CLASSES if class_c != 105])
def test_from_memory_33cfr_engine_space_factors(class_c: int) -> None:
    assert engine_space_factor_as_printed(class_c) == "from memory"


def test_33cfr_bundle_rows() -> None:
    wanted = [float(row["factor"]) for row in printed("correction_factors", family="bundle_AC_33CFR_ABYC")]
    size = parse_size("4 AWG")
    found = [US.ampacity(size, 75, 30, False, count, system_v=48) for count in (3, 5, 24, 25)]
    assert [ampacity.bundle_factor for ampacity in found] == wanted
    assert {ampacity.citations[-1].status for ampacity in found} == {"corroborated"}


# --- ABYC, breaking capacity -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "cranking_a"),
    [("650 or less", 650), ("651-1100", 651), ("651-1100", 1100), ("over 1100", 1101)],
)
def test_abyc_interrupt_table(words: str, cranking_a: float) -> None:
    (row,) = printed("aic_abyc", cca_total=words)
    for main, column in ((True, "main_A"), (False, "branch_A")):
        found = US.minimum_interrupt_a(cranking_a, main)
        assert found is not None
        assert found.value == float(row[column])
        assert found.citation.status == row["status"]


# --- NEC -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", printed("ampacity_nec310_16"), ids=lambda row: row["awg"])
def test_nec_table_310_16(row: dict[str, str]) -> None:
    """Each column through the family: 60 and 75 °C at 30 °C, the 90 °C one where heat and company make it decide."""
    size = parse_size(f"{row['awg']} AWG")
    small_a = {"14": 15.0, "12": 20.0, "10": 30.0}.get(row["awg"], math.inf)
    for class_c in (60, 75):
        assert NEC.ampacity(size, class_c, 30, False, 2).ampacity_a == min(float(row[f"t{class_c}"]), small_a)
        # ten together carry half, below what the terminals or a small conductor's fuse allow
        half = NEC.ampacity(size, class_c, 30, False, 10)
        assert half.ampacity_a == half.table_a * 0.5 == float(row[f"t{class_c}"]) * 0.5
        assert half.citations[0].status == row["status"]
    bundled = NEC.ampacity(size, 90, 60, False, 10)
    assert bundled.table_a == float(row["t90"])
    assert bundled.ampacity_a == pytest.approx(float(row["t90"]) * 0.71 * 0.5)
    assert bundled.citations[0].status == row["status"]


@pytest.mark.parametrize("class_c", [75, 90])
@pytest.mark.parametrize("to_c", [35, 40, 45, 50, 55, 60])
def test_nec_ambient_factors_from_memory(class_c: int, to_c: int) -> None:
    """From memory in the reference; the square-root rule of the same handbook bears each out within one per cent."""
    row = factors(f"ambient_NEC_{class_c}")[f"conductor {class_c} C, upper end of 5 K band {to_c} C (base 30 C)"]
    # grouped, so that the terminals do not decide
    for place_c in (to_c - 4.5, to_c):
        found = NEC.ampacity(parse_size("2/0 AWG"), class_c, place_c, False, 10)
        assert found.temperature_factor == float(row["factor"])
        assert row["status"] == "from memory"
        assert any(citation.status == row["status"] for citation in found.citations)
    assert float(row["factor"]) == pytest.approx(math.sqrt((class_c - to_c) / (class_c - 30)), rel=0.01)


@pytest.mark.parametrize("class_c", [75, 90])
def test_nec_ambient_table_ends_at_60_degrees(class_c: int) -> None:
    found = NEC.ampacity(parse_size("2/0 AWG"), class_c, 60.5, False, 10)
    assert found.temperature_factor == pytest.approx(math.sqrt((class_c - 60.5) / (class_c - 30)), rel=1e-12)
    assert "arithmetic" in {citation.source for citation in found.citations}


def test_nec_terminals_do_not_show_where_they_do_not_decide() -> None:
    found = NEC.ampacity(parse_size("4 AWG"), 75, 30, False, 2)
    assert [citation.clause for citation in found.citations] == ["Table 310.16, 75 °C column"]


@pytest.mark.parametrize(
    ("words", "counts"),
    [
        ("4-6", (4, 6)),
        ("7-9", (7, 9)),
        ("10-20", (10, 20)),
        ("21-30", (21, 30)),
        ("31-40", (31, 40)),
        ("41+", (41, 90)),
    ],
)
def test_nec_bundle_rows(words: str, counts: tuple[int, int]) -> None:
    row = factors("bundle_NEC")[f"{words} conductors"]
    for count in counts:
        found = NEC.ampacity(parse_size("2/0 AWG"), 75, 30, False, count)
        assert found.bundle_factor == float(row["factor"])
        assert found.citations[-1].status == row["status"]
    assert NEC.ampacity(parse_size("2/0 AWG"), 75, 30, False, 3).bundle_factor == 1


def test_nec_standard_ratings_from_memory() -> None:
    """NEC 240.6(A): the list is remembered, so it is asserted apart."""
    remembered = [1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250,
                  300, 350, 400, 450, 500, 600, 700, 800]  # fmt: skip
    below = [0, *remembered]
    for smaller_a, rating_a in zip(below, remembered, strict=False):
        assert next_standard_rating_a(rating_a).value == rating_a
        assert next_standard_rating_a(smaller_a + 0.1).value == rating_a
        assert next_standard_rating_a(rating_a).citation.status == "from memory"
    assert next_standard_rating_a(801).value == 801


def stranded(status: str) -> pytest.MarkDecorator:
    found = printed("nec_ch9_table8", stranding="stranded", status=status)
    return pytest.mark.parametrize("row", found, ids=[row["awg"] for row in found])


def stranded_resistance_as_printed(row: dict[str, str]) -> None:
    found = NEC.resistance_20c_ohm_per_m(parse_size(f"{row['awg']} AWG"))
    assert found.value * 1000 * (1 + 0.00393 * 55) == pytest.approx(float(row["ohm_per_km_75C"]), rel=1e-12)
    assert found.citation.status == row["status"]
    # the same row as the code prints it, per 1000 ft
    assert found.value * 304.8 * (1 + 0.00393 * 55) == pytest.approx(float(row["ohm_per_kft_75C"]), rel=2e-4)


@stranded("corroborated")
def test_nec_chapter_9_table_8(row: dict[str, str]) -> None:
    stranded_resistance_as_printed(row)


@stranded("from memory")
def test_from_memory_nec_chapter_9_table_8(row: dict[str, str]) -> None:
    stranded_resistance_as_printed(row)


@pytest.mark.parametrize("row", printed("nec_ch9_table8", stranding="solid"), ids=lambda row: row["awg"])
def test_stranded_rows_from_memory_stand_two_per_cent_above_the_solid_ones(row: dict[str, str]) -> None:
    """The solid rows are corroborated; 2 % is the usual addition for concentric strands."""
    ours = NEC.resistance_20c_ohm_per_m(parse_size(f"{row['awg']} AWG")).value * 1000 * (1 + 0.00393 * 55)
    assert ours / float(row["ohm_per_km_75C"]) == pytest.approx(1.02, abs=0.01)


# --- conductors of both ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", printed("awg"), ids=lambda row: row["awg"])
def test_us_resistance_is_the_solid_column_and_two_per_cent(row: dict[str, str]) -> None:
    """ASTM B258 area and IACS resistivity, printed per km and per 1000 ft."""
    ours = US.resistance_20c_ohm_per_m(parse_size(f"{row['awg']} AWG")).value
    assert ours * 1000 == pytest.approx(1.02 * float(row["r20_ohm_per_km_solid"]), rel=5e-5)
    assert ours * 304.8 == pytest.approx(1.02 * float(row["r20_ohm_per_kft_solid"]), rel=2e-4)


@pytest.mark.parametrize("row", printed("iec60228"), ids=lambda row: row["mm2"])
def test_iec_60228_class_5(row: dict[str, str]) -> None:
    size = parse_size(f"{row['mm2']} mm2")
    for known in FAMILIES.values():
        found = known.resistance_20c_ohm_per_m(size)
        assert found.value * 1000 == pytest.approx(float(row["class5_plain_ohm_per_km"]), rel=1e-12)
        assert (found.citation.source, found.citation.status) == ("iec60228", row["status"])
        effective = float(row["class5_plain_effective_rho_ohm_mm2_per_m"])
        assert found.value * size.area_mm2 == pytest.approx(effective, rel=3e-3)


@pytest.mark.parametrize("size", MM2_SIZES, ids=str)
def test_metric_sizes_take_the_next_thinner_gauge(size: ConductorSize) -> None:
    """By area: 70 mm² lies between 2/0 (67.4) and 3/0 (85.0); what is thinner than the first row is scaled by area."""
    thinner = [gauge for gauge in US.sizes if gauge.area_mm2 <= size.area_mm2]
    found = US.ampacity(size, 105, 30, False, 1)
    if thinner:
        assert found.ampacity_a == US.ampacity(thinner[-1], 105, 30, False, 1).ampacity_a
    else:
        assert found.ampacity_a == pytest.approx(20 * size.area_mm2 / AWG_SIZES[0].area_mm2)
    assert "not in the table" in found.citations[1].clause
    assert ("by area" in found.citations[1].clause) == (not thinner)


@pytest.mark.parametrize("label", ["18 AWG", "16 AWG", "0.75 mm2", "1.5 mm2"])
def test_what_is_thinner_than_the_nec_table_is_scaled_by_area(label: str) -> None:
    size = parse_size(label)
    share = size.area_mm2 / parse_size("14 AWG").area_mm2
    assert share < 1
    small = NEC.ampacity(size, 75, 30, False, 2)  # 240.4(D) for 14 AWG, 15 A, in proportion
    assert small.ampacity_a == pytest.approx(15 * share)
    assert "240.4(D)" in small.citations[-1].clause
    assert small.citations[-1].status == "from memory"
    many = NEC.ampacity(size, 75, 30, False, 10)
    assert many.ampacity_a == pytest.approx(20 * share * 0.5)
    assert "14 AWG taken" in many.citations[1].clause


# --- the files -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(TABLES.glob("*.csv")), ids=lambda path: path.stem)
def test_every_row_has_its_source_and_a_known_status(path: Path) -> None:
    table = rows(path.stem)
    assert table
    for row in table:
        assert row.cells["source"]
        assert row.status in STATUSES
        assert None not in row.cells  # no cell too many
        assert None not in row.cells.values()  # none too few


def test_tables_cover_the_ladders_exactly() -> None:
    for known in FAMILIES.values():
        assert {row.cells["size"] for row in rows(f"{known.id}_ampacity")} == {size.label for size in known.sizes}
    assert set(by_column("nec_resistance", "awg")) == {size.label.removesuffix(" AWG") for size in NEC.sizes}
    assert set(by_column("iec60228_class5", "mm2")) == {size.label.removesuffix(" mm²") for size in MM2_SIZES}


def test_worked_examples_are_whole() -> None:
    examples = printed("worked_examples")
    assert len(examples) == len({row["id"] for row in examples}) >= 50
    for row in examples:
        assert row["source"]
        assert row["status"] in STATUSES
