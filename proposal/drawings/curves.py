"""Panels of a timeline: curves over time in one frame, thin lines for thresholds, each named at its end."""

from collections.abc import Iterable, Sequence
from math import isfinite
from typing import Literal

from proposal.drawings.axes import Scale, apart
from proposal.drawings.primitives import Ink, Item, Point, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, fit, width_mm, wrap
from proposal.frozen import frozen

WIDTH_MM = 172.0
"""What a page of A4 has between its margins: printed there, letters keep their size."""
LEFT_MM, PLOT_MM, END_MM = 1.0, 31.0, 117.0
"""Left edge of the words, and both ends of every time axis."""
NAME_MM = 18.5
"""Where words beside an axis with figures end."""
LINE_MM, PITCH_MM = 3.1, 3.5
"""From line to line of a name, and from one name of one line to the next."""
SAID_MM = 127.5
_LEAD_MM, _SAMPLE_MM = 120.5, 126.0
_TITLE_MM = 2.6
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
    """One line: (time, value) by rising time; values that are no number leave a gap; `said` stands by its name."""

    key: str
    name: str
    said: str
    points: tuple[tuple[float, float], ...]
    look: Look

    @property
    def words(self) -> tuple[str, ...]:
        """Name and what is said, on one line where there is the room."""
        line = f"{self.name} {self.said}"
        return (line,) if width_mm(line, SMALLEST_MM) <= WIDTH_MM - 0.5 - SAID_MM else (self.name, self.said)


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
    floor_mm: float = 14.0
    """What it takes in any case."""

    @property
    def least_mm(self) -> float:
        """Height that its labels need."""
        lines = sum(len(c.words) - 1 for c in self.curves)
        return max(self.floor_mm, PITCH_MM * (len(self.curves) + len(self.limits)) + LINE_MM * lines)

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
    ends = [_Name(scale.at(limit.value), (limit.words,), _LIMIT, limit.key, ()) for limit in panel.limits]
    for limit in panel.limits:
        y = scale.at(limit.value)
        line = (_LIMIT.wire(((time.start_mm, y), (time.end_mm, y))),)
        items.append(Item("limit", limit.key, title=limit.words, wires=line, data=(("value", f"{limit.value:.6g}"),)))
    named = [*ends]
    for curve in panel.curves:
        wires = tuple(
            curve.look.wire(thinned([(time.at(t), scale.at(v)) for t, v in run])) for run in runs(curve)
        )  # fmt: skip
        last = next((v for _, v in reversed(curve.points) if isfinite(v)), None)
        if last is None:
            continue
        named.append(_Name(scale.at(last), curve.words, curve.look, curve.key, wires))
    named.sort(key=lambda n: (n.y, n.key))
    places = apart([(n.y, n.tall) for n in named], top, max(bottom, top + sum(n.tall for n in named)), 0.0)
    for name, start in zip(named, places, strict=True):
        items += name.items(start)
    return items


@frozen
class _Name:
    """What stands at the end of a line: the height at which it ends, words, the look of a sample, the line itself."""

    y: float
    words: tuple[str, ...]
    look: Look
    key: str
    wires: tuple[Wire, ...]

    @property
    def tall(self) -> float:
        """Height that its words take."""
        return PITCH_MM + LINE_MM * (len(self.words) - 1)

    def items(self, start: float) -> Iterable[Item]:
        """The line, and its name with a sample, from a height downwards."""
        at = start + self.tall / 2
        lead = Wire(((END_MM, self.y), (_LEAD_MM, at)), 0.18, "faint")
        sample = self.look.wire(((_LEAD_MM, at), (_SAMPLE_MM, at)))
        if self.wires:
            yield Item("curve", self.key, title=" ".join(self.words), wires=self.wires)
        yield Item("name", wires=(lead, sample), texts=beside(self.words, start), data=(("of", self.key),))


def beside(words: Sequence[str], top: float, bold: int = 0) -> tuple[Text, ...]:
    """Words to the right of the plot, the first line's room beginning at `top`; so many lines are bold."""
    first = top + PITCH_MM / 2 + 0.36 * SMALLEST_MM
    room = WIDTH_MM - 0.5 - SAID_MM
    return tuple(
        Text(SAID_MM, first + n * LINE_MM, fit(line, room, SMALLEST_MM, n < bold), SMALLEST_MM, n < bold)
        for n, line in enumerate(words)
        if line
    )


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
    lines = wrap(panel.title, NAME_MM - LEFT_MM, _TITLE_MM, 3, True)
    texts += [Text(LEFT_MM, top + 2.2 + n * LINE_MM, line, _TITLE_MM, True) for n, line in enumerate(lines)]
    taken = top + LINE_MM * len(lines)
    if panel.signs is not None:
        gap = PITCH_MM
        sides = [(w, y) for w, y, shown in (
            (panel.signs[0], (top + scale.at(0.0)) / 2, scale.high > 1e-9),
            (panel.signs[1], (bottom + scale.at(0.0)) / 2, scale.low < -1e-9),
        ) if shown]  # fmt: skip
        for (words, _), start in zip(sides, apart([(y, gap) for _, y in sides], taken, bottom, 0.0), strict=True):
            at = start + gap / 2 + 0.36 * SMALLEST_MM
            texts.append(Text(LEFT_MM, at, fit(words, NAME_MM - LEFT_MM, SMALLEST_MM), SMALLEST_MM))
    return Item(
        "axes",
        wires=tuple(wires),
        texts=tuple(texts),
        data=(("low", f"{scale.low:.6g}"), ("high", f"{scale.high:.6g}")),
    )
