"""Code notes: which topics of a family the computation tests, and which go onto the test sheet."""

from __future__ import annotations

import functools

from proposal.codes.family import CodeNote
from proposal.codes.rows import Row, rows
from proposal.sources import Citation


@functools.cache
def code_notes(family_id: str) -> tuple[CodeNote, ...]:
    """All notes of a family in the order of its table; ids are ``family.topic``."""
    return tuple(_note(family_id, row) for row in rows(f"{family_id}_notes"))


def _note(family_id: str, row: Row) -> CodeNote:
    cells = row.cells
    return CodeNote(
        id=f"{family_id}.{cells['id']}",
        topic=cells["topic"],
        clause=cells["clause"],
        text=cells["text"],
        citation=Citation(cells["source"], cells["clause"], row.status),
        checks=tuple(cells["checks"].split()),
    )
