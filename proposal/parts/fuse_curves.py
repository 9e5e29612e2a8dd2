"""Time-current curves of fuses and breakers: when one may melt at the earliest, and has surely cleared at the latest.

A maker's curve in the price book goes before the gates of the class, which are multiples of the rating.
"""

from __future__ import annotations

import functools
import math
from bisect import bisect_left
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

from proposal.frozen import frozen
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import FusePart

_CARRIED = "carry"
_EDGE = 1e-12


@frozen
class Gate:
    """What is known at one current: it melts no sooner than ``melts_after_s``, has cleared by ``clears_before_s``.

    None: nothing is said. Infinite ``melts_after_s``: it carries this current without end.
    """

    current_a: float
    melts_after_s: float | None
    clears_before_s: float | None


@frozen
class TimeCurve:
    """Gates with rising current, straight lines between them in log-log, constant I²t beyond the last.

    Constant I²t is what a fuse-link does where no heat has time to leave it (physics); a real one is faster there
    than the line from a slow gate says, so clearing is on the safe side and melting is not: ``beyond_gates`` marks it.
    """

    gates: tuple[Gate, ...]
    citation: Citation
    from_maker: bool

    @property
    def remembered(self) -> bool:
        """Whether it rests on a value from memory, on which alone no verdict stands."""
        return self.citation.status == "from memory"

    @cached_property
    def tells_melting(self) -> bool:
        """Whether any gate says how long it stands a current that it does not carry for ever."""
        return any(math.isfinite(seconds) for _, seconds in self._melting)

    @cached_property
    def tells_clearing(self) -> bool:
        """Whether any gate says when it has cleared."""
        return bool(self._clearing)

    @cached_property
    def carried_a(self) -> float:
        """The largest current [A] that it carries for as long as its first melting gate says; 0: nothing is said."""
        return self._melting[0][0] if self._melting else 0.0

    def melting_s(self, current_a: float) -> float:
        """The earliest that it may melt at ``current_a`` [A], in s.

        Infinite below the carried current. 0 above it where no gate tells: then nothing is known that it stands.
        """
        points = self._melting
        if not points or current_a < points[0][0] * (1.0 - _EDGE):
            return math.inf if points else 0.0
        if current_a <= points[0][0] * (1.0 + _EDGE):
            return points[0][1]
        return self._melting_line.at(current_a) if self.tells_melting else 0.0

    def clearing_s(self, current_a: float) -> float:
        """The time in s by which it has surely cleared ``current_a`` [A]; infinite where no gate says so."""
        points = self._clearing
        if not points or current_a < points[0][0] * (1.0 - _EDGE):
            return math.inf
        return self._clearing_line.at(current_a)

    def melting_a(self, time_s: float) -> float | None:
        """The smallest current [A] that may melt it within ``time_s``; None where no gate tells."""
        return _reached(self._melting, time_s) if self.tells_melting else None

    def clearing_a(self, time_s: float) -> float | None:
        """The smallest current [A] that it surely clears within ``time_s``; None where no gate tells."""
        return _reached(self._clearing, time_s) if self._clearing else None

    def beyond_gates(self, current_a: float) -> bool:
        """Whether an answer at ``current_a`` [A] rests on constant I²t beyond the last gate."""
        return not self.gates or current_a > self.gates[-1].current_a * (1.0 + _EDGE)

    @cached_property
    def _melting(self) -> tuple[tuple[float, float], ...]:
        return tuple((g.current_a, g.melts_after_s) for g in self.gates if g.melts_after_s is not None)

    @cached_property
    def _melting_line(self) -> _Line:
        return _Line(self._melting)

    @cached_property
    def _clearing_line(self) -> _Line:
        return _Line(self._clearing)

    @cached_property
    def _clearing(self) -> tuple[tuple[float, float], ...]:
        return tuple((g.current_a, g.clears_before_s) for g in self.gates if g.clears_before_s is not None)


@functools.lru_cache(maxsize=1024)
def time_curve(part: FusePart) -> TimeCurve | None:
    """The part's own curve, else that of its class at its rating, else None: nothing is known."""
    if part.curve:
        gates = tuple(Gate(point.current_a, point.melts_after_s, point.clears_before_s) for point in part.curve)
        return TimeCurve(gates, Citation("maker_sheets", part.source or "as the price book states it", "corroborated"),
                         from_maker=True)  # fmt: skip
    found = _of_class(part.fuse_class, part.rating_a)
    if found is None:
        return None
    scaled = tuple(replace(gate, current_a=gate.current_a * part.rating_a) for gate in found.gates)
    return TimeCurve(scaled, found.citation, from_maker=False)


@functools.cache
def _of_class(fuse_class: str, rating_a: float) -> TimeCurve | None:
    """The gates of a class in multiples of the rating, from the rows whose span of ratings holds ``rating_a``."""
    fitting = [
        row
        for row in rows("fuse_time_limits")
        if row["fuse_class"] == fuse_class and float(row["above_A"]) < rating_a <= float(row["to_A"])
    ]
    if not fitting:
        return None
    gates = tuple(
        Gate(float(row["multiple_of_rating"]), _seconds(row["min_s"]), _seconds(row["max_s"])) for row in fitting
    )
    surest_last = ("from memory", "common practice", "corroborated", "definition")
    weakest = min(fitting, key=lambda row: surest_last.index(row["status"]))
    return TimeCurve(tuple(sorted(gates, key=lambda gate: gate.current_a)), row_citation(weakest), from_maker=False)


def _seconds(cell: str) -> float | None:
    """A cell of the table: a number, without end, or nothing that it tells (a pointer to another table)."""
    if cell == _CARRIED:
        return math.inf
    try:
        return float(cell)
    except ValueError:
        return None


class _Line:
    """Time over current through some points: log-log between them, constant I²t beyond the last.

    From a point that is carried without end up to the next, the next one's time: more is not known.
    """

    def __init__(self, points: tuple[tuple[float, float], ...]) -> None:
        self._last = points[-1]
        self._edges = [high_a * (1.0 + _EDGE) for high_a, _ in points[1:]]
        self._pieces = [
            (low_a, low_s, math.log(high_a / low_a), high_s / low_s, high_s)
            for (low_a, low_s), (high_a, high_s) in pairwise(points)
        ]

    def at(self, current_a: float) -> float:
        """The time [s] at a current at or above the first point."""
        number = bisect_left(self._edges, current_a)
        if number == len(self._edges):
            last_a, last_s = self._last
            return last_s * (last_a / current_a) ** 2
        low_a, low_s, span, ratio, high_s = self._pieces[number]
        if math.isinf(low_s) and current_a > low_a * (1.0 + _EDGE):
            return high_s
        share = math.log(current_a / low_a) / span
        return low_s * math.pow(ratio, min(max(share, 0.0), 1.0))


def _reached(points: tuple[tuple[float, float], ...], time_s: float) -> float:
    """The smallest current whose time is ``time_s`` or less: `_Line.at` turned round."""
    if time_s >= points[0][1]:
        return points[0][0]
    for (low_a, low_s), (high_a, high_s) in pairwise(points):
        if time_s >= high_s:
            if math.isinf(low_s) or low_s == high_s:
                return low_a
            return low_a * math.pow(high_a / low_a, math.log(time_s / low_s) / math.log(high_s / low_s))
    last_a, last_s = points[-1]
    return last_a * math.sqrt(last_s / time_s)
