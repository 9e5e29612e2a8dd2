"""Limits of fitting that no conductor depends on: how far a battery may move, how far apart clips may be."""

from __future__ import annotations

import functools
from typing import Literal

from proposal.codes.family import Sourced
from proposal.codes.rows import rows
from proposal.sources import Citation

FittingLimit = Literal[
    "battery_moves_m", "fuel_part_m", "support_gap_m", "battery_lead_gap_m", "lugs_per_stud", "inlet_residual_a"
]


@functools.cache
def fitting_limit(family_id: str, limit: FittingLimit) -> Sourced | None:
    """A limit in the unit of its name: the family's own row, else that for every family; None where there is neither.

    Source: `tables/fitting_limits.csv`, source and status in each row.
    """
    found = {row.cells["family"]: row for row in rows("fitting_limits") if row.cells["limit"] == limit}
    row = found.get(family_id, found.get(""))
    if row is None:
        return None
    return Sourced(row.number("value"), Citation(row.cells["source"], row.cells["clause"], row.status))


def certain_limit(family_id: str, limit: FittingLimit) -> Sourced:
    """A limit that every family has. Raises KeyError where the table has no row for it."""
    found = fitting_limit(family_id, limit)
    if found is None:
        raise KeyError(f"no {limit} for {family_id}")
    return found
