"""The voltage ladder of an option: a row for each setting on one axis of volts, with its tolerance, cold and hot."""

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.ladder_rows import Row, rows_of
from proposal.drawings.primitives import Item, Stroke, Symbol, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import LINE, clean, fit, width_mm
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.results.model import OptionResult

WIDTH_MM = 262.0
_LEFT, _PLOT_X, _PLOT_MM, _MARK_X, _SAID_X = 2.0, 86.0, 104.0, 194.0, 199.0
_SIZE, _HEAD_SIZE = 3.0, 3.2
_TOP, _ROW, _HEAD, _FOOT = 9.0, 5.0, 6.2, 14.0
_HIGHEST_MM = 150.0
"""Of the rows on one sheet: what a landscape page has room for."""
_TRIANGLE = Symbol(
    "overlap", (Stroke(((0.0, -1.5), (3.0, -1.5), (1.5, 1.4), (0.0, -1.5)), 0.3, filled=True),), 3.0, 1.5, 1.5
)


@frozen
class Axis:
    """Volts along the sheet: from `low_v` at the left end of the plot to `high_v`, a mark each `step_v`."""

    low_v: float
    high_v: float
    step_v: float

    def x(self, volts: float) -> float:
        """Where a voltage stands [mm]."""
        return _PLOT_X + _PLOT_MM * (volts - self.low_v) / (self.high_v - self.low_v)


def voltage_ladder(option: "OptionResult", sheet: SheetInfo, names: Mapping[str, str]) -> dict[str, bytes]:
    """Sheets of the ladder by file name, `<prefix>-ladder.svg` and, where one does not hold it, `…-2.svg`.

    Parameters: option, from which every voltage comes; sheet, words and the option's colour; names, how each item is
    called. Nothing where the option has no rungs. Raises KeyError if `sheet.labels` lacks a word.
    """
    rows = rows_of(option, sheet, names)
    if not rows:
        return {}
    axis = axis_of([row for row in rows if row.marks])
    pages = list(_pages(rows))
    prefix = emit.safe_id(sheet.prefix)
    files = {}
    for number, page in enumerate(pages, 1):
        suffix = "" if number == 1 else f"-{number}"
        items, height = _sheet(page, axis, sheet)
        files[f"{prefix}-ladder{suffix}.svg"] = emit.svg(
            items,
            prefix=f"{prefix}-ladder{suffix}",
            size_mm=(WIDTH_MM, height),
            title=clean(f"{sheet.title} {number}/{len(pages)}"),
            description=_description(rows, axis, sheet),
            accent=sheet.accent,
            language=sheet.language,
        )
    return files


def axis_of(rows: Sequence[Row]) -> Axis:
    """Whole steps around all that is drawn, half a step of room at either end."""
    low_v = min(mark.low_v for row in rows for mark in row.marks)
    high_v = max(mark.high_v for row in rows for mark in row.marks)
    step_v = next((s for s in (0.5, 1.0, 2.0, 5.0, 10.0) if (high_v - low_v) / s <= 7.0), 20.0)
    return Axis(floor(low_v / step_v - 0.25) * step_v, ceil(high_v / step_v + 0.25) * step_v, step_v)


def _pages(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Rows by sheet; a heading stays with the row that follows it."""
    page: list[Row] = []
    used = 0.0
    for number, row in enumerate(rows):
        needed = _tall(row) + (_tall(rows[number + 1]) if row.heading and number + 1 < len(rows) else 0.0)
        if page and used + needed > _HIGHEST_MM:
            yield page
            page, used = [], 0.0
        page.append(row)
        used += _tall(row)
    yield page


def _tall(row: Row) -> float:
    return _HEAD if row.heading else _ROW + _SIZE * LINE * (len(row.said) - 1)


def _sheet(rows: Sequence[Row], axis: Axis, sheet: SheetInfo) -> tuple[list[Item], float]:
    bottom = _TOP + sum(map(_tall, rows))
    items = [_grid(axis, bottom, sheet)]
    y = _TOP
    for row in rows:
        items.append(_heading(row, y) if row.heading else _row(row, y, axis))
        if row.overlaps:
            items.append(Item("overlap", symbol=_TRIANGLE, at=(_MARK_X - 3.6, y + _ROW / 2)))
        y += _tall(row)
    return [*items, *_legend(bottom + 8.5, sheet)], bottom + _FOOT


def _grid(axis: Axis, bottom: float, sheet: SheetInfo) -> Item:
    """Lines at every step through the plot, and their voltages above and below it."""
    wires, texts = [], []
    for number in range(round((axis.high_v - axis.low_v) / axis.step_v) + 1):
        volts = axis.low_v + number * axis.step_v
        x = axis.x(volts)
        wires.append(Wire(((x, _TOP - 1.0), (x, bottom)), 0.15, "faint"))
        value = f"{volts:.1f}".removesuffix(".0").replace(".", sheet.labels["decimal_mark"])
        words = sheet.word("volt", value=value)
        wide = width_mm(words, 2.6)
        texts += [Text(x - wide / 2, at, words, 2.6) for at in (_TOP - 2.4, bottom + 3.6)]
    return Item("axis", wires=tuple(wires), texts=tuple(texts))


def _heading(row: Row, y: float) -> Item:
    base = y + _HEAD - 1.6
    room = _PLOT_X - _LEFT - 3.0
    text = Text(_LEFT, base, fit(row.heading, room, _HEAD_SIZE, True), _HEAD_SIZE, True, "accent")
    return Item("heading", texts=(text,))


def _row(row: Row, y: float, axis: Axis) -> Item:
    """Label, bar and figures of one row; a thick bar for its tolerance, a thin one from cold to hot, a tick as set."""
    middle = y + _ROW / 2
    wires = []
    for mark in row.marks:
        x0, x1 = axis.x(mark.low_v), axis.x(mark.high_v)
        if mark.ends_v is not None:
            a, b = sorted((axis.x(mark.ends_v[0]), axis.x(mark.ends_v[1])))
            wires.append(Wire(((a, middle), (b, middle)), 0.5, "accent"))
            wires += [Wire(((x, middle - 1.0), (x, middle + 1.0)), 0.4, "accent") for x in (a, b)]
        elif mark.joined_v is not None:
            wires.append(Wire(((axis.x(mark.value_v), middle), (axis.x(mark.joined_v), middle)), 0.9, "faint"))
        if mark.tolerance_v > 0.0:
            x0, x1 = axis.x(mark.value_v - mark.tolerance_v), axis.x(mark.value_v + mark.tolerance_v)
            wires.append(Wire(((x0, middle), (x1, middle)), 2.4, "accent"))
        x = axis.x(mark.value_v)
        wires.append(Wire(((x, middle - 1.9), (x, middle + 1.9)), 0.55, "symbol"))
    label = Text(_LEFT + 2.0, middle + 0.36 * _SIZE, _label(row), _SIZE)
    said = [
        Text(
            _SAID_X, middle + 0.36 * _SIZE + n * _SIZE * LINE, fit(line, WIDTH_MM - _SAID_X - 1.0, _SIZE, row.bold(n)),
            _SIZE, row.bold(n),
        )
        for n, line in enumerate(row.said)
    ]  # fmt: skip
    data = tuple(("volts", f"{mark.value_v:.4f}") for mark in row.marks[:1])
    return Item("rung", row.key, title=row.title, wires=tuple(wires), texts=(label, *said), data=data)


def _label(row: Row) -> str:
    """The setting in full; of the title as much as there is room for."""
    room = _PLOT_X - _LEFT - 5.0
    tail = f": {row.setting}" if row.setting else ""
    return fit(row.title, max(10.0, room - width_mm(tail, _SIZE)), _SIZE) + tail


def _legend(y: float, sheet: SheetInfo) -> list[Item]:
    """What bars and ticks mean, each with a sample."""
    samples = (
        ("ladder_set", (Wire(((3.0, y - 1.9), (3.0, y + 1.9)), 0.55, "symbol"),)),
        ("ladder_tolerance", (Wire(((0.0, y), (6.0, y)), 2.4, "accent"),)),
        ("ladder_heat", (
            Wire(((0.0, y), (6.0, y)), 0.5, "accent"), Wire(((0.0, y - 1.0), (0.0, y + 1.0)), 0.4, "accent"),
            Wire(((6.0, y - 1.0), (6.0, y + 1.0)), 0.4, "accent"),
        )),
        ("ladder_rest", (Wire(((0.0, y), (6.0, y)), 0.9, "faint"),)),
    )  # fmt: skip
    items, x = [], _LEFT
    for key, wires in samples:
        words = sheet.word(key)
        moved = tuple(Wire(tuple((x + a, b) for a, b in w.points), w.width_mm, w.ink) for w in wires)
        items.append(Item("legend", wires=moved, texts=(Text(x + 8.0, y + 0.36 * 2.6, words, 2.6),)))
        x += 14.0 + width_mm(words, 2.6)
    return items


def _description(rows: Sequence[Row], axis: Axis, sheet: SheetInfo) -> str:
    """What it shows, and whether two settings overlap."""
    count = len({number for row in rows for number in row.overlaps})
    finding = sheet.word("ladder_overlaps", count=str(count)) if count else sheet.word("ladder_clear")
    low, high = (sheet.word("volt", value=f"{v:g}") for v in (axis.low_v, axis.high_v))
    drawn = sum(1 for row in rows if row.marks)
    return sheet.word("ladder_description", count=str(drawn), low=low, high=high, finding=finding)
