"""The numbers of a day's events above its timeline, each with a line down to its time."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from proposal.drawings.axes import Scale, apart, room
from proposal.drawings.curves import LEFT_MM, PLOT_MM, WIDTH_MM
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, width_mm
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.studies.behaviour.result import Event

STRIP_MM = 11.0
"""Height that they take above the panels."""
_PILL_MM = 4.6


@frozen
class Mark:
    """Numbers of events that share one mark, where they stand, and whether one of them was decided by too little."""

    first: int
    last: int
    x: float
    uncertain: bool

    @property
    def words(self) -> str:
        """`4`, or `4–6`."""
        return str(self.first) if self.first == self.last else f"{self.first}–{self.last}"

    @property
    def width_mm(self) -> float:
        """Width of its pill."""
        return max(_PILL_MM, width_mm(self.words, SMALLEST_MM) + 2.4)


def event_marks(events: "Sequence[Event]", time: Scale, bottom: float, sheet: SheetInfo) -> list[Item]:
    """Numbers of the events above the panels, each with a line down to its time; dashed where it was uncertain.

    Where they do not fit side by side, neighbours nearest in time share a mark.
    """
    order = sorted(range(len(events)), key=lambda n: (events[n].time_s, n))
    marks = [Mark(n + 1, n + 1, time.at(events[n].time_s), events[n].uncertain) for n in order]
    gap, start, end = 0.8, PLOT_MM - 8.0, WIDTH_MM - LEFT_MM
    while len(marks) > 1 and room((m.width_mm for m in marks), gap) > end - start:
        k = min(range(len(marks) - 1), key=lambda n: (marks[n + 1].x - marks[n].x, n))
        a, b = marks[k], marks[k + 1]
        merged = Mark(min(a.first, b.first), max(a.last, b.last), (a.x + b.x) / 2, a.uncertain or b.uncertain)
        marks[k : k + 2] = [merged]
    middle, top = 1.0 + _PILL_MM / 2, STRIP_MM
    items = []
    lefts = apart([(m.x, m.width_mm) for m in marks], start, end, gap)
    for mark, left in zip(marks, lefts, strict=True):
        at = left + mark.width_mm / 2
        lead = Wire(((at, middle + _PILL_MM / 2), (mark.x, top)), 0.18, "faint")
        down = Wire(((mark.x, top), (mark.x, bottom)), 0.22, "faint", dotted=True)
        words = Text(
            at - width_mm(mark.words, SMALLEST_MM) / 2, middle + 0.36 * SMALLEST_MM, mark.words, SMALLEST_MM
        )  # fmt: skip
        hour = sheet.word("timeline_event", numbers=mark.words)
        pill = _pill(left, middle, mark)
        items.append(Item("event", f"event.{mark.first}", title=hour, wires=(lead, down, pill), texts=(words,)))
    return items


def _pill(left: float, middle: float, mark: Mark) -> Wire:
    """The outline of a mark: a circle, drawn out where its numbers need it."""
    radius = _PILL_MM / 2
    half = mark.width_mm / 2 - radius
    centre = left + mark.width_mm / 2
    turn = [(0.0, 1.0), (0.38, 0.92), (0.71, 0.71), (0.92, 0.38), (1.0, 0.0), (0.92, -0.38), (0.71, -0.71),
            (0.38, -0.92), (0.0, -1.0)]  # fmt: skip
    right = [(centre + half + radius * x, middle - radius * y) for x, y in turn]
    outline = (*right, *((2 * centre - x, y) for x, y in reversed(right)), right[0])
    return Wire(outline, 0.3, "symbol", dashed=mark.uncertain, fill="paper")
