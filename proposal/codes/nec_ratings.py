"""Standard ratings of fuses and breakers, for rules that allow the next one above an ampacity."""

from __future__ import annotations

import bisect
import functools

from proposal.codes.family import Sourced
from proposal.codes.rows import rows
from proposal.sources import Citation

_ROUNDING = 1e-9


@functools.cache
def _ratings() -> tuple[Sourced, ...]:
    table = sorted(rows("nec_standard_ratings"), key=lambda row: row.number("rating_a"))
    return tuple(
        Sourced(row.number("rating_a"), Citation("nec", "240.6(A), standard ratings", row.status)) for row in table
    )


def next_standard_rating_a(ampacity_a: float) -> Sourced:
    """Smallest standard rating in A that is not below ``ampacity_a`` [A]; above the list the ampacity itself.

    Source: NEC 240.6(A); 240.4(C) lets nothing be rounded up above 800 A.
    """
    ratings = _ratings()
    step = bisect.bisect_left(ratings, ampacity_a * (1 - _ROUNDING), key=lambda rating: rating.value)
    if step < len(ratings):
        return ratings[step]
    return Sourced(ampacity_a, Citation("nec", "240.4(C), above 800 A no rounding up", "from memory"))
