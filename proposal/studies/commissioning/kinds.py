"""The table of tests: for each its unit, its tolerance with source, and the checks that rest on it."""

from __future__ import annotations

import csv
import functools
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Literal, cast

from proposal.frozen import frozen
from proposal.sources import Citation, Status
from proposal.spec.record import TestName
from proposal.studies.commissioning.result import Unit

_TABLE = Path(__file__).parent / "tables" / "tests.csv"


@frozen
class TestKind:
    """One row: tolerances in `unit`, `share` of the expected figure and `plus` besides; `limit`: a bound by itself.

    `per_12v`: plus and limit are for 12 V and grow with the system's voltage. `least_share`: least part of the stated
    current at which a reading still tells something. `figure`: whether it has one. `takes_wanted`: whether the maker's
    figure may be stated with a reading. `danger`: a check of a danger is among `checks`, their numbers.
    """

    test: TestName
    unit: Unit
    share: float
    plus: float
    limit: float
    per_12v: bool
    least_share: float
    figure: Literal["needed", "optional", "none"]
    takes_wanted: bool
    danger: bool
    checks: tuple[int, ...]
    citation: Citation


@functools.cache
def test_kinds() -> Mapping[TestName, TestKind]:
    """All tests by name, in the order of the table. Source and status stand in each row."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        kinds = [_kind(cells) for cells in csv.DictReader(file)]
    return MappingProxyType({kind.test: kind for kind in kinds})


def _kind(cells: Mapping[str, str]) -> TestKind:
    def number(column: str) -> float:
        return float(cells[column] or 0.0)

    return TestKind(
        cast(TestName, cells["test"]),
        cast(Unit, cells["unit"]),
        number("share"),
        number("plus"),
        number("limit"),
        cells["per_12v"] == "yes",
        number("least_share"),
        cast(Literal["needed", "optional", "none"], cells["figure"]),
        cells["wanted"] == "yes",
        cells["danger"] == "yes",
        tuple(int(check) for check in cells["checks"].split(";")),
        Citation(cells["source"], cells["clause"], cast(Status, cells["status"])),
    )
