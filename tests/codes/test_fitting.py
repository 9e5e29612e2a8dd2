"""Limits of fitting against the digest of rules: each figure and its status as it stands there."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from proposal.codes import FAMILIES
from proposal.codes.fitting import certain_limit, fitting_limit
from proposal.codes.rows import rows

TRUTH = Path(__file__).parents[1] / "truth" / "rules_digest.csv"
INCH_M, FOOT_OF_12_M = 0.0254, 12 * 0.0254

with TRUTH.open(encoding="utf-8", newline="") as _file:
    DIGEST = list(csv.DictReader(_file))


def digest(document: str, topic: str) -> dict[str, str]:
    (row,) = [r for r in DIGEST if r["document"].startswith(document) and r["topic"] == topic]
    return row


@pytest.mark.parametrize(
    ("family", "limit", "document", "topic", "written", "value"),
    [
        ("us_boats", "battery_moves_m", "33 CFR 183", "battery movement", r"at most 1 in ", INCH_M),
        ("iso_boats", "battery_moves_m", "ISO 10133", "battery", r"at most 10 mm ", 0.010),
        ("us_boats", "fuel_part_m", "33 CFR 183", "battery place", r"within 12 in ", FOOT_OF_12_M),
        ("iso_boats", "fuel_part_m", "ISO 10133", "fuel clearance", r"within 300 mm ", 0.300),
        ("iso_boats", "support_gap_m", "ISO 10133", "supports", r"every 450 mm", 0.450),
        ("iso_boats", "battery_lead_gap_m", "ISO 10133", "battery leads", r"300 mm spacing", 0.300),
        ("us_boats", "lugs_per_stud", "ABYC E-10", "terminals", r"at most four lugs a stud", 4),
        ("british", "inlet_residual_a", "BS 7671 / IEE", "mains side of caravan", r"30 mA residual", 0.030),
        ("eu_vehicles", "inlet_residual_a", "BS 7671 / IEE", "mains side of caravan", r"30 mA residual", 0.030),
    ],
)
def test_a_limit_is_that_of_the_digest(
    family: str, limit: str, document: str, topic: str, written: str, value: float
) -> None:
    row = digest(document, topic)
    assert re.search(written, row["requirement_own_words"])
    found = fitting_limit(family, limit)  # type: ignore[arg-type]  # the texts of the table above
    assert found is not None
    assert found.value == pytest.approx(value)
    assert found.citation.status == row["status"]


def test_every_family_has_what_every_check_asks_for() -> None:
    for family in FAMILIES:
        for limit in ("battery_moves_m", "fuel_part_m", "support_gap_m", "battery_lead_gap_m", "lugs_per_stud"):
            assert certain_limit(family, limit).value > 0  # type: ignore[arg-type]


def test_a_family_that_the_table_does_not_name_gets_the_general_row() -> None:
    assert certain_limit("another", "battery_moves_m").citation.status == "common practice"
    assert fitting_limit("another", "inlet_residual_a") is None
    with pytest.raises(KeyError, match="inlet_residual_a"):
        certain_limit("another", "inlet_residual_a")


def test_the_table_names_only_families_that_exist_each_limit_once() -> None:
    pairs = [(row.cells["limit"], row.cells["family"]) for row in rows("fitting_limits")]
    assert len(pairs) == len(set(pairs))
    assert {family for _, family in pairs} - {""} <= set(FAMILIES)
