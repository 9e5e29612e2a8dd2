"""The lines of a time-current chart: melting and clearing, their band, harm to a conductor, faults and starts."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from proposal.drawings.axes import Frame
from proposal.drawings.primitives import Ink, Item, Point, Wire
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.results.model import CurveGate

FASTEST_S, SLOWEST_S = 1e-3, 1e4
HARM_UP_TO_S = 5.0
"""The adiabatic equation holds to 5 s (IEC 60364-4-43)."""
MARK_MM = 1.0


@frozen
class Line:
    """(current, time) from slow to fast; the last piece is `beyond` where constant I²t carries on past the gates."""

    points: tuple[tuple[float, float], ...]
    beyond: bool

    @property
    def first_a(self) -> float:
        """The current at which it comes from above into the chart."""
        return self.points[0][0]


def line_of(curve: "Iterable[CurveGate]", *, melts: bool, share: float = 1.0) -> Line | None:
    """Melting or clearing by the gates that tell it, straight up from the first, to the fastest time that is shown.

    Currents are divided by `share`, the part of the chart's current that flows through this fuse.
    """
    gates = [(g.current_a / share, g.melts_after_s if melts else g.clears_before_s) for g in curve]
    points = [(amps, seconds) for amps, seconds in gates if seconds is not None]
    if not points:
        return None
    first, last = points[0], points[-1]
    if first[1] < SLOWEST_S:
        points.insert(0, (first[0], SLOWEST_S))
    beyond = last[1] > FASTEST_S
    if beyond:
        points.append((last[0] * (last[1] / FASTEST_S) ** 0.5, FASTEST_S))
    return Line(tuple(points), beyond)


def drawn(frame: Frame, line: Line, width_mm: float, ink: Ink, *, mark_beyond: bool = True) -> tuple[Wire, ...]:
    """A line within the frame; what lies beyond its gates dashed."""
    wires = []
    places = [frame.at(*point) for point in line.points]
    for number, (a, b) in enumerate(pairwise(places), start=2):
        piece = frame.inside(a, b)
        if piece is not None:
            dashed = mark_beyond and line.beyond and number == len(places)
            wires.append(Wire(piece, width_mm, ink, dashed=dashed))
    return tuple(wires)


def band(frame: Frame, curve: "Sequence[CurveGate]") -> list[Item]:
    """From melting to clearing: the area where both are known, and both lines."""
    melting, clearing = line_of(curve, melts=True), line_of(curve, melts=False)
    items = []
    if melting is not None and clearing is not None:
        outline = cut([frame.at(*p) for p in (*melting.points, *reversed(clearing.points))], frame)
        if len(outline) > 2:
            items.append(Item("band", wires=(Wire((*outline, outline[0]), 0.0, "band", fill="band"),)))
    for kind, line, width in (("melting", melting, 0.3), ("clearing", clearing, 0.6)):
        if line is not None:
            items.append(Item(kind, wires=drawn(frame, line, width, "curve")))
    return items


def cut(outline: list[Point], frame: Frame) -> list[Point]:
    """A polygon cut to the frame's four sides, one after the other (Sutherland and Hodgman)."""
    x, y = frame.x, frame.y
    for axis, edge, sign in ((0, x.start_mm, 1.0), (0, x.end_mm, -1.0), (1, y.end_mm, 1.0), (1, y.start_mm, -1.0)):
        kept: list[Point] = []
        for a, b in zip(outline, [*outline[1:], *outline[:1]], strict=True):
            a_in, b_in = (sign * (p[axis] - edge) >= 0.0 for p in (a, b))
            if a_in:
                kept.append(a)
            if a_in != b_in:
                share = (edge - a[axis]) / (b[axis] - a[axis])
                kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
        outline = kept
    return outline


def neighbour(frame: Frame, designation: str, curve: "Sequence[CurveGate]", share: float) -> Item:
    """Thin grey: when a fuse in series melts and clears, at the currents of the chart's own."""
    lines = [line_of(curve, melts=melts, share=share) for melts in (True, False)]
    wires = [wire for line in lines if line for wire in drawn(frame, line, 0.22, "faint", mark_beyond=False)]
    return Item("neighbour", wires=tuple(wires), data=(("designation", designation),))


def harm(frame: Frame, i2t_a2s: float) -> Item:
    """t = (k·S)²/I² [A²·s over A²] up to 5 s: where a conductor comes to harm."""
    slow, fast = (frame.at((i2t_a2s / seconds) ** 0.5, seconds) for seconds in (HARM_UP_TO_S, FASTEST_S))
    piece = frame.inside(slow, fast)
    return Item("harm", wires=(Wire(piece, 0.7, "harm", dashed=True),) if piece is not None else ())


def must_pass(frame: Frame, current_a: float, duration_s: float) -> Item:
    """A start or inrush that must not melt the fuse: a filled diamond."""
    x, y = frame.at(current_a, min(max(duration_s, FASTEST_S), SLOWEST_S))
    if not frame.holds((x, y)):
        return Item("pass")
    points = ((x, y - MARK_MM), (x + MARK_MM, y), (x, y + MARK_MM), (x - MARK_MM, y), (x, y - MARK_MM))
    return Item("pass", wires=(Wire(points, 0.2, "symbol", fill="symbol"),))
