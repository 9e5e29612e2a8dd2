"""Rows of a timeline with states: relays, stages of chargers, what lasts until when. Told by height and pattern."""

from collections.abc import Iterator, Sequence
from typing import Literal

from proposal.drawings.axes import Scale
from proposal.drawings.curves import LEFT_MM, LINE_MM, SAID_MM, WIDTH_MM, beside
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, fit, width_mm, wrap
from proposal.frozen import frozen

State = Literal["off", "open", "closed", "full", "absorption", "float", "surely", "perhaps"]
ROW_MM, BAR_MM, GAP_MM = 5.2, 4.0, 1.2
_HATCH_MM = 0.9
_LETTER_ROOM_MM = 1.6
"""Beside a word within a bar, to each side."""
STAGES: tuple[State, ...] = ("off", "full", "absorption", "float")


@frozen
class Stretch:
    """A state from one time to another; `words` stand within it where there is room."""

    start: float
    end: float
    state: State
    words: str = ""


@frozen
class Band:
    """A row: its name, its stretches, what is said below its name; before the first of a group, the group's name."""

    key: str
    name: str
    stretches: tuple[Stretch, ...]
    said: str = ""
    bold: bool = False
    group: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """Its name, over two lines where it needs them, and what is said."""
        name = wrap(self.name, WIDTH_MM - 0.5 - SAID_MM, SMALLEST_MM, 2, self.bold) if self.name else ()
        return (*name, *((self.said,) if self.said else ()))

    @property
    def tall(self) -> float:
        """Height of the row."""
        return max(ROW_MM, LINE_MM * len(self.lines) + GAP_MM)


def tops(bands: Sequence[Band], top: float) -> list[float]:
    """Where each row begins, and where the last one ends."""
    made = [top]
    for band in bands:
        made.append(made[-1] + band.tall)
    return made


def stretches(
    values: Sequence[float], sample_s: float, states: Sequence[State], words: Sequence[str]
) -> tuple[Stretch, ...]:
    """Equal values in a row as one stretch; a value is the place of its state in `states`."""
    made: list[Stretch] = []
    begin = 0
    whole = [min(len(states) - 1, max(0, round(v))) for v in values]
    for number in range(1, len(whole) + 1):
        if number == len(whole) or whole[number] != whole[begin]:
            which = whole[begin]
            made.append(Stretch(begin * sample_s, number * sample_s, states[which], words[which]))
            begin = number
    return tuple(made)


def band_items(bands: Sequence[Band], time: Scale, top: float) -> list[Item]:
    """Rows one below the other, the first from `top`."""
    return [_band(band, time, y) for band, y in zip(bands, tops(bands, top), strict=False)]


def _band(band: Band, time: Scale, top: float) -> Item:
    wires: list[Wire] = []
    texts: list[Text] = []
    base = top + BAR_MM
    for stretch in band.stretches:
        x0, x1 = (min(max(time.at(t), time.start_mm), time.end_mm) for t in (stretch.start, stretch.end))
        if x1 - x0 < 0.02:
            continue
        wide = width_mm(stretch.words, SMALLEST_MM)
        words = stretch.words if stretch.words and x1 - x0 >= wide + 2 * _LETTER_ROOM_MM else ""
        at = (x0 + x1 - wide) / 2
        wires += bar(stretch.state, x0, x1, top, (at - 0.5, at + wide + 0.5) if words else None)
        if words:
            texts.append(Text(at, base - (1.75 if stretch.state == "float" else 1.25), words, SMALLEST_MM))
    texts += beside(band.lines, top, len(band.lines) - bool(band.said) if band.bold else 0)
    if band.group:
        group = fit(band.group, time.start_mm - 2.0 - LEFT_MM, SMALLEST_MM, True)
        texts.append(Text(LEFT_MM, base - 1.05, group, SMALLEST_MM, True))
    title = " · ".join(t for t in (band.name, band.said) if t)
    return Item("band", band.key, title=title, wires=tuple(wires), texts=tuple(texts))


def bar(state: State, x0: float, x1: float, top: float, free: tuple[float, float] | None = None) -> Iterator[Wire]:
    """A state between two places: how high it stands and how it is filled; `free` is kept free of hatching."""
    base = top + BAR_MM
    if state in ("off", "open"):
        yield Wire(((x0, base), (x1, base)), 0.25, "faint", dashed=state == "off")
        return
    if state == "float":
        yield _box(x0, base - 0.9, x1, base, fill=True)
        return
    high = 3.5 if state == "absorption" else BAR_MM
    solid = state in ("closed", "full", "surely")
    if state == "full":
        yield _box(x0, base - high, x1, base, fill=True)
        yield Wire(((x0, base - high), (x1, base - high)), 0.7, "symbol")
        return
    yield _box(x0, base - high, x1, base, fill=solid)
    if not solid:
        count = int((x1 - x0) / _HATCH_MM)
        for number in range(1, count + 1):
            x = x0 + number * _HATCH_MM
            if x < x1 - 0.2 and (free is None or not free[0] < x < free[1]):
                yield Wire(((x, base - high), (x, base)), 0.18, "symbol")


def _box(x0: float, y0: float, x1: float, y1: float, *, fill: bool) -> Wire:
    points = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
    return Wire(points, 0.25, "symbol", fill="band" if fill else None)


def legend_items(states: Sequence[tuple[State, str]], y: float, sheet: SheetInfo, x: float = LEFT_MM) -> list[Item]:
    """What each state looks like, in rows whose bars stand on `y` and below."""
    items = []
    for state, key in states:
        words = sheet.word(key)
        if x > LEFT_MM and x + 9.0 + width_mm(words, SMALLEST_MM) > WIDTH_MM:
            x, y = LEFT_MM, y + ROW_MM
        text = Text(x + 8.5, y - 1.05, words, SMALLEST_MM)
        items.append(Item("legend", wires=tuple(bar(state, x, x + 7.0, y - BAR_MM)), texts=(text,)))
        x += 12.5 + width_mm(words, SMALLEST_MM)
    return items
