"""Tables of batteries and fuses as CSV, each row with its source and status; copied from the trade's published data."""

from __future__ import annotations

import csv
import functools
from importlib import resources
from typing import cast

from proposal.sources import Citation, Status


@functools.cache
def rows(name: str, quantity: str = "") -> tuple[dict[str, str], ...]:
    """The rows of ``name``.csv, a cell by its column heading; only those of one ``quantity`` where it is given."""
    text = resources.files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    found = csv.DictReader(text.splitlines())
    return tuple(row for row in found if not quantity or row["quantity"] == quantity)


def row_citation(row: dict[str, str]) -> Citation:
    """Where a row stands. Raises KeyError when its source is not in the bibliography."""
    undocumented = row["source_id"] in ("memory", "common_practice")
    return Citation(row["source_id"], "" if undocumented else row["source"], cast(Status, row["status"]))
