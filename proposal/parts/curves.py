"""Straight lines between published points."""

from __future__ import annotations

import bisect
from collections.abc import Iterable

from proposal.frozen import frozen


@frozen
class Curve:
    """Points with rising ``xs``; between them a straight line."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]

    @classmethod
    def of(cls, points: Iterable[tuple[float, float]]) -> Curve:
        """Order the points by x."""
        xs, ys = zip(*sorted(points), strict=True)
        return cls(xs, ys)

    def held(self, x: float) -> float:
        """The value at ``x``, held at both ends."""
        if x <= self.xs[0]:
            return self.ys[0]
        if x >= self.xs[-1]:
            return self.ys[-1]
        return self._line(bisect.bisect_right(self.xs, x), x)

    def on_below(self, x: float) -> float:
        """The value at ``x``, carried on along the first two points below them and held above the last."""
        return self._line(1, x) if x < self.xs[0] else self.held(x)

    def turned(self) -> Curve:
        """x against y, for a curve whose ``ys`` rise too."""
        return Curve(self.ys, self.xs)

    def _line(self, right: int, x: float) -> float:
        share = (x - self.xs[right - 1]) / (self.xs[right] - self.xs[right - 1])
        return self.ys[right - 1] + share * (self.ys[right] - self.ys[right - 1])
