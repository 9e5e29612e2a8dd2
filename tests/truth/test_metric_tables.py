"""Every row of the metric families' tables, asked through their public face, against the printed ones.

The copies beside this file carry source and status of each row. What is marked "from memory" is asserted apart.
"""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import pytest

from proposal.codes import FAMILIES, family
from proposal.codes.conductors import square_root_factor
from proposal.codes.rows import rows
from proposal.units import parse_size

HERE = Path(__file__).parent
ISO = family("iso_boats")
EU = family("eu_vehicles")
BRITISH = family("british")


def printed(name: str, **where: str) -> list[dict[str, str]]:
    """Rows of a printed table, those only whose columns read as asked."""
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if all(row[column] == text for column, text in where.items())]


# --- ISO 13297 Table A.1, all of it from memory ----------------------------------------------------------------------


@pytest.mark.parametrize("row", printed("ampacity_iso13297"), ids=lambda row: row["mm2"])
def test_iso_table_from_memory(row: dict[str, str]) -> None:
    size = parse_size(f"{row['mm2']} mm2")
    assert row["status"] == "from memory"
    for column in ("t60", "t70", "t85_90", "t105", "t125", "t200"):
        for class_c in map(int, column.removeprefix("t").split("_")):
            found = ISO.ampacity(size, class_c, 30, False, 1)
            assert found.ampacity_a == found.table_a == float(row[column])
            assert [citation.status for citation in found.citations] == [row["status"]]


def test_iso_table_is_covered_exactly() -> None:
    assert [size.label for size in ISO.sizes] == [f"{row['mm2']} mm²" for row in printed("ampacity_iso13297")]


@pytest.mark.parametrize("row", printed("correction_factors", family="engine_space_ISO"), ids=lambda r: r["condition"])
def test_iso_engine_space_factors_from_memory(row: dict[str, str]) -> None:
    assert row["status"] == "from memory"
    words = re.match(r"insulation ([0-9-]+) C", row["condition"])
    assert words is not None
    for class_c in map(int, words[1].split("-")):
        found = ISO.ampacity(parse_size("35 mm2"), class_c, 50, True, 1)
        assert found.temperature_factor == float(row["factor"])
        assert found.citations[-1].status == row["status"]


@pytest.mark.parametrize(("words", "counts"), [("4-6", (4, 6)), ("7-24", (7, 24)), ("25+", (25, 90))])
def test_iso_bundle_rows_from_memory(words: str, counts: tuple[int, int]) -> None:
    (row,) = printed("correction_factors", family="bundle_ISO", condition=f"{words} conductors")
    for count in counts:
        found = ISO.ampacity(parse_size("35 mm2"), 105, 30, False, count)
        assert found.bundle_factor == float(row["factor"])
        assert found.citations[-1].status == row["status"] == "from memory"
    assert ISO.ampacity(parse_size("35 mm2"), 105, 30, False, 3).bundle_factor == 1


# --- IEC 60364-5-52 --------------------------------------------------------------------------------------------------

IEC_TABLE = "ampacity_iec60364_5_52_b2_pvc3"


@pytest.mark.parametrize("row", printed(IEC_TABLE), ids=lambda row: row["mm2"])
def test_iec_table_b52_4(row: dict[str, str]) -> None:
    """30 °C as printed; at other temperatures the author multiplied by the factor and rounded to whole amperes."""
    size = parse_size(f"{row['mm2']} mm2")
    found = EU.ampacity(size, 70, 30, False, 2)
    assert found.ampacity_a == found.table_a == float(row["amb30C_A"])
    assert [citation.status for citation in found.citations] == [row["status"]] == ["corroborated"]
    for place_c in (40, 45, 50, 55):
        warm = EU.ampacity(size, 70, place_c, False, 2)
        assert warm.ampacity_a == pytest.approx(float(row[f"amb{place_c}C_A"]), abs=0.5)
        assert warm.citations[-1].status == "corroborated"


def test_w25_four_square_millimetres_at_40_degrees() -> None:
    (row,) = [r for r in printed("worked_examples") if r["id"] == "W25"]
    found = EU.ampacity(parse_size("4 mm2"), 70, 40, False, 2)
    assert math.floor(found.ampacity_a) == float(row["expected"])
    assert found.ampacity_a == pytest.approx(27 * 0.87)


def test_iec_rows_outside_the_reference_are_from_memory() -> None:
    """IEC 60364-5-52 Table B.52.4, method B2, as remembered; none of them is corroborated."""
    remembered = {"1.5 mm²": 15, "2.5 mm²": 20, "150 mm²": 225, "185 mm²": 255, "240 mm²": 297}
    known = {f"{row['mm2']} mm²" for row in printed(IEC_TABLE)}
    assert {size.label for size in EU.sizes} == known | set(remembered)
    for label, ampacity_a in remembered.items():
        found = EU.ampacity(parse_size(label), 70, 30, False, 2)
        assert found.ampacity_a == ampacity_a
        assert found.citations[0].status == "from memory"


@pytest.mark.parametrize("place_c", [40, 45, 50, 55])
@pytest.mark.parametrize("known", [EU, BRITISH], ids=lambda known: known.id)
def test_iec_ambient_factors(known, place_c: int) -> None:  # type: ignore[no-untyped-def]
    condition = f"ambient {place_c} C (base 30 C)"
    (row,) = printed("correction_factors", family="ambient_IEC60364_PVC70", condition=condition)
    found = known.ampacity(parse_size("25 mm2"), 70, place_c, False, 2)
    assert found.temperature_factor == float(row["factor"])
    assert found.citations[-1].status == row["status"] == "corroborated"


CIRCUITS = tuple(int(row["condition"].split()[0]) for row in printed("correction_factors", family="bundle_IEC60364"))


@pytest.mark.parametrize("circuits", CIRCUITS)
@pytest.mark.parametrize("known", [EU, BRITISH], ids=lambda known: known.id)
def test_iec_grouping_from_memory_goes_by_circuits(known, circuits: int) -> None:  # type: ignore[no-untyped-def]
    """Two conductors of a bundle make one circuit; an odd one counts as one of its own."""
    condition = f"{circuits} circuits bunched, enclosed"
    (row,) = printed("correction_factors", family="bundle_IEC60364", condition=condition)
    for conductors in (2 * circuits - 1, 2 * circuits):
        found = known.ampacity(parse_size("25 mm2"), 70, 30, False, conductors)
        assert found.bundle_factor == float(row["factor"])
        assert found.citations[-1].status == row["status"] == "from memory"
        assert f"{conductors} conductors make {circuits} circuits" in found.citations[-1].clause


def test_iec_grouping_between_and_beyond_its_rows_errs_to_the_safe_side() -> None:
    size = parse_size("25 mm2")
    assert EU.ampacity(size, 70, 30, False, 2).bundle_factor == 1
    assert EU.ampacity(size, 70, 30, False, 14).bundle_factor == 0.5  # 7 circuits: the row for 9
    many = EU.ampacity(size, 70, 30, False, 90)  # 45 circuits, by own arithmetic from the row for 20
    assert many.bundle_factor == pytest.approx(0.38 * math.sqrt(20 / 45))
    assert "root" in many.citations[-1].clause


# --- BS 7671 ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", printed("ampacity_bs7671_4e1a"), ids=lambda row: row["mm2"])
def test_bs_table_4e1a_method_b(row: dict[str, str]) -> None:
    size = parse_size(f"{row['mm2']} mm2")
    for insulation_c in (90, 105):
        found = BRITISH.ampacity(size, insulation_c, 30, False, 2)
        assert found.ampacity_a == found.table_a == float(row["method_B"])
        assert [citation.status for citation in found.citations] == [row["status"]] == ["corroborated"]
    # the other printed methods bear it out: in insulation less, clipped direct or in free air more
    assert float(row["method_A"]) < found.ampacity_a < float(row["method_C"])
    assert not row["method_F"] or float(row["method_F"]) > found.ampacity_a


def test_bs_rows_from_memory() -> None:
    """Table 4D1A, method B, and Table 4E1A above 95 mm², as remembered."""
    large = {"120": 354, "150": 393, "185": 449, "240": 528}
    pvc = {"1": 13.5, "1.5": 17.5, "2.5": 24, "4": 32, "6": 41, "10": 57, "16": 76, "25": 101, "35": 125, "50": 151,
           "70": 192, "95": 232, "120": 269, "150": 300, "185": 341, "240": 400}  # fmt: skip
    for insulation_c, remembered in ((90, large), (70, pvc)):
        for mm2, ampacity_a in remembered.items():
            found = BRITISH.ampacity(parse_size(f"{mm2} mm2"), insulation_c, 30, False, 2)
            assert found.ampacity_a == ampacity_a
            assert found.citations[0].status == "from memory"
    assert {size.label for size in BRITISH.sizes} == {f"{mm2} mm²" for mm2 in pvc}


# --- the square-root rule --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "row",
    [r for r in printed("correction_factors") if r["sqrt_rule_check"]],
    ids=lambda r: f"{r['family']} {r['condition']}",
)
def test_square_root_rule_against_every_printed_factor(row: dict[str, str]) -> None:
    """sqrt((T_ins − T_place)/(T_ins − T_base)), to the last printed digit and a half; 200 °C is remembered as 1.0."""
    temperatures = [float(word) for word in re.findall(r"\d+", row["condition"])]
    if row["family"].startswith("engine_space"):
        class_c, base_c, place_c = temperatures[0], 30.0, temperatures[2]
    elif row["family"].startswith("ambient_IEC60364"):
        class_c, (place_c, base_c) = 70.0, temperatures
    elif "5 K band" in row["condition"]:
        class_c, _, place_c, base_c = temperatures
    else:
        class_c, place_c, base_c = temperatures
    by_rule = math.sqrt((class_c - place_c) / (class_c - base_c))
    assert by_rule == pytest.approx(float(row["sqrt_rule_check"]), abs=6e-4)
    if class_c < 200:
        assert by_rule == pytest.approx(float(row["factor"]), abs=0.0075)


@pytest.mark.parametrize("class_c", [60, 70, 85, 90])
def test_the_rule_of_the_program_against_shipboard_factors(class_c: int) -> None:
    """IEC 60092, corroborated: two of its factors divided make one that a base of 45 °C does not touch."""
    table = {}
    for row in printed("correction_factors", family=f"ambient_IEC60092_{class_c}"):
        assert row["status"] == "corroborated"
        table[float(re.findall(r"\d+", row["condition"])[1])] = float(row["factor"])
    for place_c, factor in table.items():
        for other_c, other in table.items():
            ours = square_root_factor(class_c, class_c, place_c) / square_root_factor(class_c, class_c, other_c)
            # each printed figure is rounded by up to 0.005, and 1.10 stands for 1.106 at 90 °C
            assert ours == pytest.approx(factor / other, rel=0.0065 / factor + 0.0065 / other)


ASKED = {
    "engine_space_33CFR_ABYC", "engine_space_ISO", "bundle_AC_33CFR_ABYC", "bundle_ISO", "bundle_NEC",
    "ambient_IEC60364_PVC70", "ambient_IEC60092_60", "ambient_IEC60092_70", "ambient_IEC60092_85",
    "ambient_IEC60092_90", "ambient_NEC_75", "ambient_NEC_90", "bundle_IEC60364",
}  # fmt: skip
"""Factors that a test here or in `test_tables.py` asks a family, or the square-root rule, for."""


def test_no_factor_of_the_table_is_left_out() -> None:
    every = {row["family"] for row in printed("correction_factors")}
    assert every - ASKED == {"bundle_DC"}
    (row,) = printed("correction_factors", family="bundle_DC")
    assert not row["factor"]  # "no bundling reduction in 33 CFR" below 50 V: a rule without a figure
    us = family("us_boats")
    assert us.ampacity(parse_size("4 AWG"), 105, 30, False, 40, system_v=24).bundle_factor == 1


# --- the files -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_tables_rise_with_size_and_class(known) -> None:  # type: ignore[no-untyped-def]
    table = {
        (row.cells["size"], int(row.cells["class_c"])): row.number("ampacity_a") for row in rows(f"{known.id}_ampacity")
    }
    classes_c = sorted({class_c for _, class_c in table})
    for class_c in classes_c:
        column = [table[size.label, class_c] for size in known.sizes]
        assert column == sorted(column)
        assert len(set(column)) == len(column)
    for size in known.sizes:
        row = [table[size.label, class_c] for class_c in classes_c]
        assert row == sorted(row)
