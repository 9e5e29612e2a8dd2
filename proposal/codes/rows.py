"""The tables of the rule families: small CSV files beside this module, read when first asked for."""

from __future__ import annotations

import csv
import functools
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple, cast

from proposal.sources import Status

_FOLDER = Path(__file__).parent / "tables"


class Row(NamedTuple):
    """One row of a table: its ``cells`` as text by column, and the ``status`` of our reading of it."""

    cells: Mapping[str, str]
    status: Status

    def number(self, column: str) -> float:
        """The number in ``column``, in the unit that the column's name says."""
        return float(self.cells[column])


@functools.cache
def rows(table: str) -> tuple[Row, ...]:
    """All rows of ``table`` in the order of the file."""
    with (_FOLDER / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(Row(MappingProxyType(cells), cast(Status, cells["status"])) for cells in csv.DictReader(file))


@functools.cache
def by_column(table: str, column: str) -> Mapping[str, Row]:
    """The rows of ``table`` by their text in ``column``."""
    return MappingProxyType({row.cells[column]: row for row in rows(table)})


def factor_from_count(table: str, count: int) -> Row | None:
    """The row of a grouping table that ``count`` conductors fall under; None when they are too few for a reduction."""
    reached = [row for row in rows(table) if count >= row.number("from_count")]
    return reached[-1] if reached else None
