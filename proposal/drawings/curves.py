"""Panels of a timeline: curves over time in one frame, thin lines for thresholds, each named at its end."""

from collections.abc import Iterable, Sequence
from math import isfinite
from typing import Literal

from proposal.drawings.axes import Scale, apart
from proposal.drawings.primitives import Ink, Item, Point, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, fit, width_mm
from proposal.frozen import frozen

WIDTH_MM = 272.0
LEFT_MM, PLOT_MM, END_MM = 2.0, 50.0, 200.0
"""Left edge of the words, and both ends of every time axis."""
NAME_MM = 38.0
"""Room for words beside an axis with figures; beside a row without any it goes on to the axis."""
PITCH_MM = 3.5
_LEAD_MM, _SAMPLE_MM, _SAID_MM = 205.0, 211.5, 213.0
_TITLE_MM = 2.8
_NEAR_MM = 0.04
"""So far may a thinned curve lie from its samples, up or down."""


@frozen
class Look:
    """How a line is told from the others: never by colour alone."""

    ink: Ink
    width_mm: float
    pattern: Literal["solid", "dashed", "chained", "dotted"] = "solid"

    def wire(self, points: tuple[Point, ...]) -> Wire:
        """A line that looks so."""
        return Wire(
            points, self.width_mm, self.ink, dashed=self.pattern == "dashed", dotted=self.pattern == "dotted",
            chained=self.pattern == "chained",
        )  # fmt: skip


LOOKS = (
    Look("curve", 0.75), Look("amber", 0.7, "dashed"), Look("plum", 0.6, "chained"), Look("leaf", 0.75, "dotted"),
    Look("symbol", 0.45, "dashed"), Look("curve", 0.45, "chained"), Look("amber", 0.55, "dotted"), Look("plum", 0.4),
    Look("leaf", 0.55, "dashed"), Look("symbol", 0.6, "dotted"), Look("faint", 0.6, "chained"), Look("harm", 0.35),
)  # fmt: skip
"""In the order in which items ask for one; after the last they begin again."""
THIN = Look("symbol", 0.3)
_LIMIT = Look("faint", 0.22, "dashed")


@frozen
class Curve:
    """One line: (time, value) by rising time, values that are no number leave a gap; `said` stands behind its name."""

    key: str
    name: str
    said: str
    points: tuple[tuple[float, float], ...]
    look: Look


@frozen
class Limit:
    """A thin level line at a value, with what it is."""

    key: str
    words: str
    value: float


@frozen
class Panel:
    """Curves in one frame. `signs`: words above and below nought. `tick` is a label key with {value}."""

    title: str
    curves: tuple[Curve, ...]
    limits: tuple[Limit, ...] = ()
    tick: str = "volt"
    signs: tuple[str, str] | None = None
    ends: tuple[float, float] | None = None
    """Least and greatest value that the axis shows in any case."""
    share: float = 1.0
    """Of the height that there is, against the other panels."""

    @property
    def least_mm(self) -> float:
        """Height that its labels need."""
        return max(14.0, PITCH_MM * (len(self.curves) + len(self.limits)))

    def scale(self, top: float, bottom: float) -> Scale:
        """Its values between two heights on the page."""
        values = [v for c in self.curves for _, v in c.points if isfinite(v)]
        values += [limit.value for limit in self.limits]
        values += self.ends or ()
        low, high = min(values, default=0.0), max(values, default=1.0)
        return Scale.around(low, high, (bottom, top), max(2, int((bottom - top) / 6.0)))


def number_text(value: float, digits: int, sheet: SheetInfo) -> str:
    """A number with so many decimals; nothing is ever minus nought."""
    text = f"{value:.{digits}f}"
    text = text.removeprefix("-") if not text.strip("-0.") else text
    return text.replace(".", sheet.labels["decimal_mark"]).replace("-", "\N{MINUS SIGN}")


def digits_of(step: float) -> int:
    """Decimals that tell two ticks apart."""
    return next((n for n in range(4) if abs(step * 10**n - round(step * 10**n)) < 1e-6), 4)


def thinned(points: Sequence[Point], near_mm: float = _NEAR_MM) -> tuple[Point, ...]:
    """A curve with fewer points, none of those left out further than `near_mm` above or below it.

    Parameters: places in mm by rising x. From each kept point a cone is narrowed by those that follow; where one lies
    outside, the one before it is kept.
    """
    if len(points) < 3:
        return tuple(points)
    kept = [points[0]]
    anchor, last = points[0], points[0]
    low, high = float("-inf"), float("inf")
    for point in points[1:]:
        dx = point[0] - anchor[0]
        slope = (point[1] - anchor[1]) / dx if dx > 0.0 else float("nan")
        if last is not anchor and not low <= slope <= high:
            kept.append(last)
            anchor, low, high = last, float("-inf"), float("inf")
            dx = point[0] - anchor[0]
        if dx > 0.0:
            rise = point[1] - anchor[1]
            low, high = max(low, (rise - near_mm) / dx), min(high, (rise + near_mm) / dx)
        last = point
    return (*kept, last)


def runs(curve: Curve) -> Iterable[list[tuple[float, float]]]:
    """The stretches of a curve without a gap."""
    run: list[tuple[float, float]] = []
    for time, value in curve.points:
        if isfinite(value):
            run.append((time, value))
        elif run:
            yield run
            run = []
    if run:
        yield run


def panel_items(panel: Panel, time: Scale, top: float, bottom: float, sheet: SheetInfo) -> list[Item]:
    """A panel between two heights: frame, lines at the ticks, thresholds, curves, and their names at the right."""
    scale = panel.scale(top, bottom)
    items = [_frame(panel, scale, time, top, bottom, sheet)]
    ends = [(scale.at(limit.value), limit.words, _LIMIT, limit.key, ()) for limit in panel.limits]
    for limit in panel.limits:
        y = scale.at(limit.value)
        line = (_LIMIT.wire(((time.start_mm, y), (time.end_mm, y))),)
        items.append(Item("limit", limit.key, title=limit.words, wires=line, data=(("value", f"{limit.value:.6g}"),)))
    named: list[tuple[float, str, Look, str, tuple[Wire, ...]]] = [*ends]
    for curve in panel.curves:
        wires = tuple(
            curve.look.wire(thinned([(time.at(t), scale.at(v)) for t, v in run])) for run in runs(curve)
        )  # fmt: skip
        last = next((v for _, v in reversed(curve.points) if isfinite(v)), None)
        if last is None:
            continue
        room = WIDTH_MM - 1.5 - _SAID_MM - width_mm(f" {curve.said}", SMALLEST_MM)
        words = f"{fit(curve.name, room, SMALLEST_MM)} {curve.said}"
        named.append((scale.at(last), words, curve.look, curve.key, wires))
    named.sort(key=lambda n: (n[0], n[3]))
    places = apart([(n[0], PITCH_MM) for n in named], top, max(bottom, top + PITCH_MM * len(named)), 0.0)
    for (y, words, look, key, wires), start in zip(named, places, strict=True):
        at = start + PITCH_MM / 2
        lead = Wire(((END_MM, y), (_LEAD_MM, at)), 0.18, "faint")
        text = Text(_SAID_MM, at + 0.36 * SMALLEST_MM, fit(words, WIDTH_MM - 0.5 - _SAID_MM, SMALLEST_MM), SMALLEST_MM)
        name = Item("name", wires=(lead, look.wire(((_LEAD_MM, at), (_SAMPLE_MM, at)))), texts=(text,),
                    data=(("of", key),))  # fmt: skip
        if wires:
            items.append(Item("curve", key, title=words, wires=wires))
        items.append(name)
    return items


def _frame(panel: Panel, scale: Scale, time: Scale, top: float, bottom: float, sheet: SheetInfo) -> Item:
    """Border, level lines at the ticks with their values, the panel's title, and what is meant by the signs."""
    wires, texts = [], []
    digits = digits_of(scale.step)
    for tick in scale.ticks():
        y = scale.at(tick)
        nought = panel.signs is not None and abs(tick) < 1e-9
        wires.append(
            Wire(((time.start_mm, y), (time.end_mm, y)), 0.3 if nought else 0.18, "faint" if nought else "grid")
        )
        words = sheet.word(panel.tick, value=number_text(abs(tick) if panel.signs else tick, digits, sheet))
        left = time.start_mm - 1.6 - width_mm(words, SMALLEST_MM)
        texts.append(Text(left, y + 0.36 * SMALLEST_MM, words, SMALLEST_MM))
    a, b = time.start_mm, time.end_mm
    wires.append(Wire(((a, top), (b, top), (b, bottom), (a, bottom), (a, top)), 0.25, "frame"))
    taken = top
    texts.append(Text(LEFT_MM, taken + 2.4, fit(panel.title, NAME_MM - LEFT_MM, _TITLE_MM, True), _TITLE_MM, True))
    if panel.signs is not None:
        gap = PITCH_MM
        sides = [(w, y) for w, y, shown in (
            (panel.signs[0], (top + scale.at(0.0)) / 2, scale.high > 1e-9),
            (panel.signs[1], (bottom + scale.at(0.0)) / 2, scale.low < -1e-9),
        ) if shown]  # fmt: skip
        for (words, _), start in zip(sides, apart([(y, gap) for _, y in sides], top + 4.0, bottom, 0.0), strict=True):
            at = start + gap / 2 + 0.36 * SMALLEST_MM
            texts.append(Text(LEFT_MM, at, fit(words, NAME_MM - LEFT_MM, SMALLEST_MM), SMALLEST_MM))
    return Item(
        "axes",
        wires=tuple(wires),
        texts=tuple(texts),
        data=(("low", f"{scale.low:.6g}"), ("high", f"{scale.high:.6g}")),
    )
