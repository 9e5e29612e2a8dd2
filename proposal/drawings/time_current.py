"""Time-current chart of a fuse: when it opens, when its conductor comes to harm, what it must let pass, what it sees.

Both axes are logarithmic. Fuses that differ only in what a chart does not show share one, drawn for the hardest case.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.axes import Frame, LogScale, apart, room, step_above, step_below
from proposal.drawings.primitives import Ink, Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, clean, fit, width_mm
from proposal.drawings.time_lines import FASTEST_S, SLOWEST_S, band, harm, line_of, must_pass, neighbour
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.results.model import CurveGate, GuardedResult, ProtectionResult

WIDTH_MM, HEIGHT_MM = 84.0, 66.0
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 14.0, 82.0, 13.0, 60.5
MOST_NEIGHBOURS = 4
_TITLE_MM, _TITLE_Y = 3.0, 3.8
_LABEL_X, _LABEL_Y, _GAP_MM = 10.5, 8.6, 1.8


@frozen
class Neighbour:
    """A fuse in series; `share`: what part of the chart's current flows through it."""

    designation: str
    curve: "tuple[CurveGate, ...]"
    share: float


@frozen
class Chart:
    """What one chart shows: fuses that are alike, and their neighbours."""

    fuses: "tuple[ProtectionResult, ...]"
    neighbours: tuple[Neighbour, ...]

    @property
    def hardest(self) -> "ProtectionResult":
        """The one that sees the least fault current."""
        return min(self.fuses, key=lambda f: f.least_fault_a if f.least_fault_a is not None else float("inf"))

    @property
    def curve(self) -> "tuple[CurveGate, ...]":
        """Their gates."""
        return self.hardest.curve

    @property
    def least_a(self) -> float | None:
        """The least fault current that any of them sees."""
        return min((f.least_fault_a for f in self.fuses if f.least_fault_a is not None), default=None)

    @property
    def highest_a(self) -> float:
        """The highest prospective fault current of any of them."""
        return max(f.fault_max_a for f in self.fuses)

    @property
    def i2t_a2s(self) -> float | None:
        """(k·S·I_f/I)² [A²·s] of the weakest conductor that they guard; the fuse carries I_f of its fault current I."""
        return min((_i2t_a2s(g) for f in self.fuses for g in f.guarded), default=None)


def charts_of(rows: "Sequence[ProtectionResult]") -> tuple[Chart, ...]:
    """The charts of an option's fuses, in their order.

    Outermost fuses of one part share one that stand behind the same others, before equally strong conductors, and
    alike on every demand.
    """
    found: dict[object, list[ProtectionResult]] = {}
    for row in rows:
        strength = tuple(sorted({round(g.k_a_root_s_per_mm2 * g.area_mm2, 6) for g in row.guarded}))
        before = tuple(sorted(n.fuse for n in row.upstream))
        alike = row.part_id is not None and bool(before) and not row.downstream
        stands = tuple((r.demand, r.outcome) for r in row.rulings)
        found.setdefault((row.part_id, strength, before, stands) if alike else row.key, []).append(row)
    by_key = {row.key: row for row in rows}
    return tuple(_chart(group, by_key) for group in found.values())


def _i2t_a2s(guarded: "GuardedResult") -> float:
    share = 1.0
    if guarded.through_fuse_a is not None and guarded.least_fault_a:
        share = guarded.through_fuse_a / guarded.least_fault_a
    return (guarded.k_a_root_s_per_mm2 * guarded.area_mm2 * share) ** 2


def _chart(group: "list[ProtectionResult]", by_key: "dict[str, ProtectionResult]") -> Chart:
    """With at most four neighbours: those nearer to the batteries first, of those further out the largest."""
    before = [(n.fuse, n.current_share) for n in group[0].upstream]
    behind = [(n.fuse, 1.0 / n.current_share) for n in group[0].downstream if n.current_share > 0.0]
    behind.sort(key=lambda pair: -(by_key[pair[0]].rating_a or 0.0) if pair[0] in by_key else 0.0)
    found = ((by_key[fuse], share) for fuse, share in (*before, *behind) if fuse in by_key and share > 0.0)
    near = [Neighbour(clean(other.designation), other.curve, share) for other, share in found if other.curve]
    return Chart(tuple(group), tuple(near[:MOST_NEIGHBOURS]))


def chart_name(prefix: str, number: int) -> str:
    """File name of an option's chart, counted from 1."""
    return f"{emit.safe_id(prefix)}-curve-{number}.svg"


def time_current(chart: Chart, sheet: SheetInfo, name: str, description: str) -> bytes:
    """One chart as SVG.

    Parameters: chart; sheet, words and the option's colour; name, its file name; description, what it shows in words.
    Raises KeyError if `sheet.labels` lacks a word.
    """
    frame = frame_of(chart)
    items = [_axes(frame, sheet), *band(frame, chart.curve)]
    items += [neighbour(frame, n.designation, n.curve, n.share) for n in chart.neighbours]
    if chart.i2t_a2s is not None:
        items.append(harm(frame, chart.i2t_a2s))
    items += _marks(frame, chart, sheet)
    items += [must_pass(frame, m.current_a, m.duration_s) for f in chart.fuses for m in f.must_pass]
    items.append(_title(chart, sheet))
    return emit.svg(
        [item for item in items if item.wires or item.texts],
        prefix=name.removesuffix(".svg"),
        size_mm=(WIDTH_MM, HEIGHT_MM),
        title=clean(", ".join(f.designation for f in chart.fuses)),
        description=description,
        accent=sheet.accent,
        language=sheet.language,
    )


def frame_of(chart: Chart) -> Frame:
    """Currents from below the rating to above the breaking capacity; times always the same, so that charts compare."""
    first = chart.hardest
    rating_a = first.rating_a or 0.0
    shown = [rating_a, chart.least_a or 0.0, chart.highest_a, first.interrupt_a or 0.0]
    shown += [m.current_a for f in chart.fuses for m in f.must_pass]
    left = step_below(max(min((0.8 * amps for amps in shown if amps > 0.0), default=1.0), 0.01))
    right = step_above(max(1.2 * max(shown), 10.0 * rating_a, 10.0 * left))
    return Frame(LogScale(left, right, LEFT_MM, RIGHT_MM), LogScale(FASTEST_S, SLOWEST_S, BOTTOM_MM, TOP_MM))


def amps_text(amps: float, sheet: SheetInfo) -> str:
    """A current in A, from 1000 A in kA, with three digits at most below the point."""
    word, value = ("kiloampere", amps / 1000.0) if amps >= 999.5 else ("ampere", amps)
    return sheet.word(word, value=_three(value, sheet))


def seconds_text(seconds: float, sheet: SheetInfo) -> str:
    """A time in s, below a second in ms."""
    word, value = ("millisecond", seconds * 1000.0) if seconds < 0.9995 else ("second", seconds)
    return sheet.word(word, value=_three(value, sheet))


def _three(value: float, sheet: SheetInfo) -> str:
    digits = 2 if value < 9.995 else 1 if value < 99.95 else 0
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace(".", sheet.labels["decimal_mark"])


def _axes(frame: Frame, sheet: SheetInfo) -> Item:
    """Frame, lines at the powers of ten, ticks and what they stand for."""
    x, y = frame.x, frame.y
    wires = [Wire(((x.at(a), TOP_MM), (x.at(a), BOTTOM_MM)), 0.18, "grid") for a in x.ticks()]
    wires += [Wire(((LEFT_MM, y.at(s)), (RIGHT_MM, y.at(s))), 0.18, "grid") for s in y.ticks()]
    corners = ((LEFT_MM, TOP_MM), (RIGHT_MM, TOP_MM), (RIGHT_MM, BOTTOM_MM), (LEFT_MM, BOTTOM_MM), (LEFT_MM, TOP_MM))
    wires.append(Wire(corners, 0.3, "frame"))
    texts = []
    taken_mm = 0.0
    for amps in x.ticks((1.0, 2.0, 5.0) if x.decade_mm > 26.0 else (1.0,)):
        words, at = amps_text(amps, sheet), x.at(amps)
        width = width_mm(words, SMALLEST_MM)
        left = min(at - width / 2.0, WIDTH_MM - 0.5 - width)
        wires.append(Wire(((at, BOTTOM_MM), (at, BOTTOM_MM + 0.9)), 0.3, "frame"))
        if left > taken_mm:
            texts.append(Text(left, BOTTOM_MM + 4.0, words, SMALLEST_MM))
            taken_mm = left + width + _GAP_MM
    for seconds in y.ticks():
        words, at = seconds_text(seconds, sheet), y.at(seconds)
        left = LEFT_MM - 1.6 - width_mm(words, SMALLEST_MM)
        texts.append(Text(left, at + 0.36 * SMALLEST_MM, words, SMALLEST_MM))
        wires.append(Wire(((LEFT_MM - 0.9, at), (LEFT_MM, at)), 0.3, "frame"))
    return Item("axes", wires=tuple(wires), texts=tuple(texts))


def _marks(frame: Frame, chart: Chart, sheet: SheetInfo) -> list[Item]:
    """Least and highest fault and breaking capacity, each with its value above the frame, and the neighbours' names."""
    marks: list[tuple[float, str, str, Wire | None]] = []
    upright = (
        ("least", chart.least_a, 0.3, False), ("highest", chart.highest_a, 0.7, False),
        ("breaking", chart.hardest.interrupt_a, 0.7, True),
    )  # fmt: skip
    for kind, amps, width, dotted in upright:
        if amps:
            x = frame.x.at(amps)
            wire = Wire(((x, TOP_MM), (x, BOTTOM_MM)), width, "symbol", dotted=dotted)
            marks.append((x, kind, sheet.word(f"chart_{kind}", value=amps_text(amps, sheet)), wire))
    spare = WIDTH_MM - 0.5 - _LABEL_X - room((width_mm(words, SMALLEST_MM) for _, _, words, _ in marks), _GAP_MM)
    for near in chart.neighbours:
        line = line_of(near.curve, melts=True, share=near.share) or line_of(near.curve, melts=False, share=near.share)
        needs = width_mm(near.designation, SMALLEST_MM) + _GAP_MM
        if line is not None and LEFT_MM <= frame.x.at(line.first_a) <= RIGHT_MM and needs <= spare:
            marks.append((frame.x.at(line.first_a), "name", near.designation, None))
            spare -= needs
    marks.sort(key=lambda mark: mark[:3])
    widths = [width_mm(words, SMALLEST_MM) for _, _, words, _ in marks]
    left = apart([(m[0], w) for m, w in zip(marks, widths, strict=True)], _LABEL_X, WIDTH_MM - 0.5, _GAP_MM)
    items = []
    for (x, kind, words, upright_wire), start, width in zip(marks, left, widths, strict=True):
        ink: Ink = "faint" if kind == "name" else "text"
        lead = Wire(((start + width / 2.0, _LABEL_Y + 1.1), (x, TOP_MM)), 0.18, "faint")
        wires = (lead,) if upright_wire is None else (lead, upright_wire)
        items.append(Item(kind, wires=wires, texts=(Text(start, _LABEL_Y, words, SMALLEST_MM, ink=ink),)))
    return items


def _title(chart: Chart, sheet: SheetInfo) -> Item:
    """Designations, then the part."""
    names = fit(clean(", ".join(f.designation for f in chart.fuses)), WIDTH_MM * 0.5, _TITLE_MM, True)
    part = clean(chart.hardest.part_title) or sheet.word("chart_no_part")
    left = 3.5 + width_mm(names, _TITLE_MM, True)
    said = part if chart.curve else sheet.word("chart_no_curve", part=part)
    shown = fit(said, WIDTH_MM - 1.0 - left, SMALLEST_MM)
    return Item("title", texts=(Text(1.0, _TITLE_Y, names, _TITLE_MM, True), Text(left, _TITLE_Y, shown, SMALLEST_MM)))
