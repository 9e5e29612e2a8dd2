"""Ampacity tables: printed cells by size and temperature class, and over them what the installer's own edition says."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from proposal.codes.conductors import TableSize, other_size_note, table_size
from proposal.codes.family import Bought
from proposal.codes.rows import rows
from proposal.sources import Citation, Status
from proposal.units import ConductorSize


class Cell(NamedTuple):
    """One printed ampacity [A] and how sure we are of it; ``edition`` names the installer's own where it is theirs."""

    ampacity_a: float
    status: Status
    edition: str = ""


class Printed(NamedTuple):
    """What a table answers: ampacity [A] at its own ambient, the column's class [°C], and what it rests on."""

    ampacity_a: float
    class_c: int
    citations: tuple[Citation, ...]


@dataclass(frozen=True, eq=False)
class AmpacityTable:
    """A family's table. Cells that the installer entered from a bought edition stand in place of the printed ones."""

    name: str
    source: str
    clause: str
    ladder: tuple[ConductorSize, ...]
    bought: Bought | None = None

    @functools.cached_property
    def cells(self) -> Mapping[str, Mapping[int, Cell]]:
        """Cells by size label, then by class [°C], classes ascending."""
        found: dict[str, dict[int, Cell]] = {}
        for row in rows(self.name):
            size = found.setdefault(row.cells["size"], {})
            size[int(row.cells["class_c"])] = Cell(row.number("ampacity_a"), row.status)
        if self.bought is not None:
            for (label, class_c), ampacity_a in self.bought.cells.items():
                found.setdefault(label, {})[class_c] = Cell(ampacity_a, "corroborated", self.bought.edition)
        return {label: dict(sorted(columns.items())) for label, columns in found.items()}

    def column_c(self, size: ConductorSize, insulation_c: float) -> int:
        """The column for any insulation: the highest class [°C] not above it that the row has, else its lowest."""
        classes_c = self.cells[size.label]
        return max((known for known in classes_c if known <= insulation_c), default=min(classes_c))

    def printed(self, size: ConductorSize, insulation_c: float) -> Printed:
        """The ampacity [A] of any size in any insulation class [°C], at the table's own ambient.

        A size that is not in the table has the row of the next thinner one, what is thinner than all a share of the
        thinnest by area; a class that is not there has the column of the next lower one.
        """
        row = table_size(size, self.ladder)
        class_c = self.column_c(row.size, insulation_c)
        cell = self.cells[row.size.label][class_c]
        citations = [self._cited(cell, class_c)]
        if not row.exact:
            citations.append(other_size_note(size, row))
        return Printed(cell.ampacity_a * row.share, class_c, tuple(citations))

    def row_of(self, size: ConductorSize) -> TableSize:
        """The row that stands for a size."""
        return table_size(size, self.ladder)

    def _cited(self, cell: Cell, class_c: int) -> Citation:
        if cell.edition:
            clause = f"{class_c} °C column of {cell.edition}, as the installer entered it in installer.yaml"
            return Citation(self.source, clause, cell.status)
        return Citation(self.source, f"{self.clause}, {class_c} °C column", cell.status)
