"""Outlines of bands that bend: from one height to another, and round corners."""

from collections.abc import Sequence
from math import cos, pi, sin

from proposal.drawings.primitives import Point

_CURVED, _ROUND = 14, 9
"""Pieces of a bend and of a rounded corner."""


def bend(
    start: float, end: float, left_top: float, right_top: float, wide: float, reach: tuple[float, float]
) -> tuple[Point, ...]:
    """A band from one height to another between `start` and `end`, level outside up to `reach`; as high everywhere."""
    top: list[Point] = [(reach[0], left_top)]
    for n in range(_CURVED + 1):
        t = n / _CURVED
        rise = t * t * (3.0 - 2.0 * t)
        top.append((start + t * (end - start), left_top + rise * (right_top - left_top)))
    top.append((reach[1], right_top))
    return (*top, *((x, y + wide) for x, y in reversed(top)), top[0])


def corners(points: Sequence[Point], radius: float) -> list[Point]:
    """A line through points with its corners, all of them right angles, rounded."""
    made = [points[0]]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        ins, outs = _unit(corner, before), _unit(corner, after)
        room = min(radius, abs(before[0] - corner[0]) + abs(before[1] - corner[1]))
        room = min(room, abs(after[0] - corner[0]) + abs(after[1] - corner[1]))
        centre = (corner[0] + room * (ins[0] + outs[0]), corner[1] + room * (ins[1] + outs[1]))
        for n in range(_ROUND + 1):
            t = n / _ROUND * pi / 2
            c, s = cos(t), sin(t)
            made.append((centre[0] - room * (outs[0] * c + ins[0] * s), centre[1] - room * (outs[1] * c + ins[1] * s)))
    return [*made, points[-1]]


def _unit(a: Point, b: Point) -> Point:
    far = abs(b[0] - a[0]) + abs(b[1] - a[1]) or 1.0
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far


def rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    """The outline of a box with its sides level and upright."""
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
