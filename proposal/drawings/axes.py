"""Axes of a chart: where a value stands in mm, which ticks it has, and what of a line lies inside."""

from collections.abc import Iterable
from math import ceil, floor, log10

from proposal.drawings.primitives import Point
from proposal.frozen import frozen

_STEPS = (1.0, 2.0, 5.0)
_NEAR = 1e-9


def step_below(value: float) -> float:
    """The largest of 1, 2 and 5 times a power of ten that is not above a value."""
    power = 10.0 ** floor(log10(value) + _NEAR)
    return max(s * power for s in _STEPS if s * power <= value * (1.0 + _NEAR))


def step_above(value: float) -> float:
    """The smallest of 1, 2 and 5 times a power of ten that is not below a value."""
    power = 10.0 ** floor(log10(value) + _NEAR)
    return min(s * power for s in (*_STEPS, 10.0) if s * power >= value * (1.0 - _NEAR))


@frozen
class LogScale:
    """Values from `low` to `high` along a line from `start_mm` to `end_mm`."""

    low: float
    high: float
    start_mm: float
    end_mm: float

    def at(self, value: float) -> float:
        """Where a value stands, in mm; outside the ends for values outside."""
        share = log10(value / self.low) / log10(self.high / self.low)
        return self.start_mm + share * (self.end_mm - self.start_mm)

    @property
    def decade_mm(self) -> float:
        """Length of a factor of ten."""
        return abs(self.end_mm - self.start_mm) / log10(self.high / self.low)

    def ticks(self, steps: Iterable[float] = (1.0,)) -> tuple[float, ...]:
        """The given steps of every power of ten, rising, both ends included."""
        first, last = floor(log10(self.low)) - 1, floor(log10(self.high)) + 1
        values = (s * 10.0**power for power in range(first, last + 1) for s in steps)
        return tuple(v for v in values if self.low * (1.0 - _NEAR) <= v <= self.high * (1.0 + _NEAR))


@frozen
class Scale:
    """Values from `low` to `high` along a line from `start_mm` to `end_mm`, in proportion; a mark each `step`."""

    low: float
    high: float
    start_mm: float
    end_mm: float
    step: float

    @classmethod
    def around(cls, low: float, high: float, ends_mm: tuple[float, float], most: int) -> "Scale":
        """Whole steps around two values, at most about so many, from `ends_mm[0]` to `ends_mm[1]`."""
        step = step_above(max(high - low, 1e-6 * max(abs(low), abs(high)), 1e-9) / max(1, most))
        first, last = floor(low / step + _NEAR), ceil(high / step - _NEAR)
        return cls(first * step, max(last, first + 1) * step, *ends_mm, step)

    def at(self, value: float) -> float:
        """Where a value stands, in mm."""
        return self.start_mm + (value - self.low) / (self.high - self.low) * (self.end_mm - self.start_mm)

    def ticks(self) -> tuple[float, ...]:
        """Every step, rising, both ends included."""
        count = floor((self.high - self.low) / self.step + 1e-6)
        return tuple(self.low + number * self.step for number in range(count + 1))


@frozen
class Frame:
    """Both scales of a chart: current to the right, time upwards (y of the page falls)."""

    x: LogScale
    y: LogScale

    def at(self, current: float, time: float) -> Point:
        """Where a point stands on the page."""
        return self.x.at(current), self.y.at(time)

    def holds(self, point: Point) -> bool:
        """Whether a place lies within the frame."""
        top, bottom = self.y.end_mm, self.y.start_mm
        return self.x.start_mm <= point[0] <= self.x.end_mm and top <= point[1] <= bottom

    def inside(self, a: Point, b: Point) -> tuple[Point, Point] | None:
        """The part of a straight line on the page that lies within the frame; None where it misses."""
        enter, leave = 0.0, 1.0
        dx, dy = b[0] - a[0], b[1] - a[1]
        for way, room in (
            (-dx, a[0] - self.x.start_mm), (dx, self.x.end_mm - a[0]),
            (-dy, a[1] - self.y.end_mm), (dy, self.y.start_mm - a[1]),
        ):  # fmt: skip
            if abs(way) < _NEAR:
                if room < 0.0:
                    return None
            elif way < 0.0:
                enter = max(enter, room / way)
            else:
                leave = min(leave, room / way)
        if enter >= leave:
            return None
        return (a[0] + enter * dx, a[1] + enter * dy), (a[0] + leave * dx, a[1] + leave * dy)


def apart(wanted: Iterable[tuple[float, float]], start_mm: float, end_mm: float, gap_mm: float) -> list[float]:
    """Left ends of labels on one line, none over another, each as near to its place as may be.

    Parameters: (middle, width) of each in rising order of middle; the line's ends. Labels that do not fit together at
    all run over the end: ask `room` first.
    """
    labels = list(wanted)
    left: list[float] = []
    for middle, width in labels:
        edge = left[-1] + labels[len(left) - 1][1] + gap_mm if left else start_mm
        left.append(max(middle - width / 2.0, edge))
    limit = end_mm
    for number in range(len(labels) - 1, -1, -1):
        left[number] = min(left[number], limit - labels[number][1])
        limit = left[number] - gap_mm
    return left


def room(widths: Iterable[float], gap_mm: float) -> float:
    """Length that labels take side by side."""
    all_of_them = list(widths)
    return sum(all_of_them) + gap_mm * max(0, len(all_of_them) - 1)
