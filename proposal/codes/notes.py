"""Code notes: a family's topics, and under which circumstances each applies."""

from __future__ import annotations

import functools
from typing import cast, get_args

from proposal.codes.family import Basis, Circumstance, CodeNote, VesselKind
from proposal.codes.rows import Row, rows
from proposal.sources import Citation


@functools.cache
def code_notes(family_id: str) -> tuple[CodeNote, ...]:
    """All notes of a family in the order of its table; ids are ``family.topic``.

    Raises ValueError for a word under ``when`` that is neither a kind of vessel nor a circumstance.
    """
    return tuple(_note(family_id, row) for row in rows(f"{family_id}_notes"))


def _note(family_id: str, row: Row) -> CodeNote:
    cells = row.cells
    words = cells["when"].split()
    kinds = tuple(cast(VesselKind, word) for word in words if word in get_args(VesselKind))
    when = tuple(cast(Circumstance, word) for word in words if word in get_args(Circumstance))
    if len(kinds) + len(when) != len(words):
        raise ValueError(f"{family_id}.{cells['id']}: {cells['when']!r} is no circumstance")
    return CodeNote(
        id=f"{family_id}.{cells['id']}",
        topic=cells["topic"],
        clause=cells["clause"],
        text=cells["text"],
        citation=Citation(cells["source"], cells["clause"], row.status),
        checks=tuple(cells["checks"].split()),
        kinds=kinds,
        when=when,
        basis=cast(Basis, cells["basis"]),
    )
