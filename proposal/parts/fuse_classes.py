"""Classes of fuses and breakers as published: what a fuse of a class can be expected to do at most."""

from __future__ import annotations

import functools

from proposal.frozen import frozen
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import FusePart


@frozen
class FuseClass:
    """One published row of a class: ratings from ``lowest_a`` to ``highest_a``, ``interrupt_a`` at ``voltage_v``."""

    fuse_class: str
    title: str
    lowest_a: float
    highest_a: float
    voltage_v: float
    interrupt_a: float
    citation: Citation


@functools.cache
def fuse_classes() -> tuple[FuseClass, ...]:
    """Every published row, in the order of the table."""
    return tuple(
        FuseClass(
            fuse_class,
            row["class"],
            float(row["lowest_A"]),
            float(row["highest_A"]),
            float(row["dc_voltage_V"]),
            float(row["interrupt_A"]),
            row_citation(row),
        )
        for row in rows("fuse_classes")
        for fuse_class in row["fuse_class"].split()
    )


def published(part: FusePart) -> FuseClass | None:
    """The row that speaks for ``part``: of its class and rating, the lowest published voltage that reaches the part's.

    Where the part is rated above every published voltage, the highest. None for a class that is not in the table.
    """
    fitting = [
        found
        for found in fuse_classes()
        if found.fuse_class == part.fuse_class and found.lowest_a <= part.rating_a <= found.highest_a
    ]
    if not fitting:
        return None
    reaching = [found for found in fitting if found.voltage_v >= part.voltage_max_v]
    if reaching:
        return min(reaching, key=lambda found: found.voltage_v)
    return max(fitting, key=lambda found: found.voltage_v)
