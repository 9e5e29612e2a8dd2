"""Standard ratings of fuses and breakers, for rules that allow the next one above an ampacity."""

from __future__ import annotations

from proposal.codes.family import Sourced
from proposal.codes.rows import rows
from proposal.sources import Citation

_ROUNDING = 1e-9


def next_standard_rating_a(ampacity_a: float) -> Sourced:
    """Smallest standard rating in A that is not below ``ampacity_a`` [A]; above the list the ampacity itself.

    Source: NEC 240.6(A); 240.4(C) lets nothing be rounded up above 800 A.
    """
    for row in rows("nec_standard_ratings"):
        if row.number("rating_a") >= ampacity_a * (1 - _ROUNDING):
            return Sourced(row.number("rating_a"), Citation("nec", "240.6(A), standard ratings", row.status))
    return Sourced(ampacity_a, Citation("nec", "240.4(C), above 800 A no rounding up", "from memory"))
