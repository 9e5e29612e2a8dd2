"""The storyboard: the single-line drawing at an instant, with live currents, voltages, charge, relays as they stand.

All scenes of an option share one layout, measured with the longest words that any of them has.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.arrange import Area, compose, place
from proposal.drawings.boxes import Style
from proposal.drawings.gather import LOADS, Gathered
from proposal.drawings.live import IDLE_A, Live
from proposal.drawings.pages import BAND_GAP_MM, Band, Page, Size, paginate
from proposal.drawings.primitives import Ink, Item, Point, Text, Wire
from proposal.drawings.scene_words import RELAYS, SceneMeasure, SceneWords
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.single_line import in_order
from proposal.drawings.symbols import closed
from proposal.drawings.text import clean, fit, width_mm

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import OptionResult
    from proposal.studies.behaviour.result import Day

STYLES = (
    Style(3.8, "none"), Style(3.8, "all"), Style(3.4, "none"), Style(3.4, "all"), Style(3.0, "all"), Style(2.7, "all"),
    Style(2.5, "all"),
)  # fmt: skip
_TOP_MM, _FOOT_MM, _EDGE_MM = 9.0, 7.0, 3.0
_WIDEST_MM = 390.0
_PAGE_MM = (166.0, 210.0)
"""Width and height that a drawing has on a page of text."""
_UNBOUND_MM = 1e6
_LETTER_MM = 3.0
"""The smallest letter within a symbol."""
_DEAD_V = 1.0
_TITLE_MM = 4.2
_ARROW_MM, _HALF_MM = 3.0, 1.15


def storyboard(circuit: "Circuit", option: "OptionResult", days: "Sequence[Day]", sheet: SheetInfo) -> dict[str, bytes]:
    """A drawing of each scene by file name, `<prefix>-scene-<season>-<n>.svg`, n from 1 on in each day.

    Parameters: circuit, whose items are drawn; option, for their designations; days, whose scenes they are; sheet,
    words and the option's colour. Raises KeyError if `sheet.labels` lacks a word.
    """
    scenes = [(day, n, Live(circuit, scene)) for day in days for n, scene in enumerate(day.scenes, 1)]
    if not scenes:
        return {}
    small = Gathered(circuit)
    words = SceneWords(circuit, option, sheet, [live for _, _, live in scenes], small.loads)
    items, size, letters = _layout(small, words)
    files = {}
    for day, number, live in scenes:
        name = f"{emit.safe_id(sheet.prefix)}-scene-{emit.safe_id(day.season)}-{number}"
        drawn = [_as_in(item, live, words, small) for item in items]
        title = words.title(live)
        files[f"{name}.svg"] = emit.svg(
            [_heading(title, sheet, size), *_legend(sheet, size, letters), *drawn],
            prefix=name,
            size_mm=size,
            title=f"{clean(sheet.title)} · {title}",
            description=words.description(title, live),
            accent=sheet.accent,
            language=sheet.language,
        )
    return files


def _layout(small: Gathered, words: SceneWords) -> tuple[list[Item], tuple[float, float], float]:
    """Items of the layout, the page's size, and that of its letters."""
    planned = small.plan
    measures = [SceneMeasure(words, style) for style in STYLES]

    def size(style: int, band: Band) -> tuple[float, float]:
        composed = compose(measures[style], band.roots, band.ties)
        return composed.width, composed.height(1.0)

    whole = Band(list(planned.roots), list(planned.ties))
    page, width, needed = _page(whole, size)
    width = max(width, _legend_mm(words.info, STYLES[page.style].size_mm))
    measure = measures[page.style]
    measure.pages = {bar.band: 1 for band in page.bands for bar in band.roots}
    area = Area(_EDGE_MM, _TOP_MM, width, needed)
    bands = [compose(measure, band.roots, band.ties, loose=True, area=area) for band in page.bands]
    items = in_order(place(bands, words, area))
    letters = measure.style.size_mm
    return items, (area.width + 2 * _EDGE_MM, _TOP_MM + area.height + _FOOT_MM), letters


def _page(whole: Band, size: Size) -> tuple[Page, float, float]:
    """Everything on one page, and its width and height.

    In one band the letters that are largest when it is made to fit a page of text; where that is wider than the widest
    page, the smallest letters in as many bands as it takes.
    """
    best: tuple[Page, float, float] | None = None
    largest = 0.0
    for number, style in enumerate(STYLES):
        width, height = size(number, whole)
        printed = min(style.size_mm, _LETTER_MM) * min(1.0, _PAGE_MM[0] / width, _PAGE_MM[1] / height)
        if width <= _WIDEST_MM and printed > largest + 1e-6:
            best, largest = (Page(number, [whole.copy()]), width, height), printed
    if best is not None:
        return best
    last = len(STYLES) - 1
    with suppress(ValueError):
        page, *more = paginate(whole, size, (last,), (last,), (_WIDEST_MM, _UNBOUND_MM))
        if not more:
            needed = sum(size(last, band)[1] for band in page.bands) + BAND_GAP_MM * (len(page.bands) - 1)
            return page, _WIDEST_MM, needed
    return Page(last, [whole.copy()]), *size(last, whole)


def _as_in(item: Item, live: Live, words: SceneWords, small: Gathered) -> Item:
    """An item of the layout as it is in a scene."""
    kind, key = item.kind, item.key
    for measured, figure in words.figures(item, live):
        item = _said(item, measured, figure)
    if kind == "conductor":
        item = _flowing(item, live, small)
    elif kind == LOADS:
        lines = words.load_lines(key, live)
        texts = tuple(replace(text, text=line) for text, line in zip(item.texts, lines, strict=True))
        idle = not any(live.load_a(k) > IDLE_A for k in small.loads[key])
        item = replace(item, key=f"{key}.loads", texts=texts, title=" · ".join(lines), ink=_ink(idle))
    elif kind in RELAYS and item.symbol is not None:
        shut = not live.is_open(key)
        item = replace(item, symbol=closed(item.symbol) if shut else item.symbol, ink=_ink(not shut))
    elif kind == "battery":
        bank = live.circuit.battery[key].bank
        item = replace(item, ink=_ink(abs(live.bank_a.get(bank, 1.0)) <= IDLE_A))
    elif kind in ("fuse", "source", "dc_dc"):
        item = replace(item, ink=_ink(not (live.converts(key) if kind == "dc_dc" else live.flows(key))))
    elif kind == "bus" and live.volts.get(key, 99.0) < _DEAD_V:
        item = replace(item, wires=tuple(replace(w, ink="pale", dashed=True) for w in item.wires))
    return item


def _ink(idle: bool) -> Ink:
    return "faint" if idle else "symbol"


def _said(item: Item, measured: str, figure: str) -> Item:
    """The item with another figure in place of the one that it was measured with."""
    texts = []
    for text in item.texts:
        before, found, after = text.text.rpartition(measured)
        line = before + figure + after if found and (not after or item.kind == "bus") else text.text
        line = line if figure else line.replace(" ·  · ", " · ").removesuffix(" · ")
        if line:
            texts.append(replace(text, text=line))
    return replace(item, texts=tuple(texts), title=" · ".join(t.text for t in texts))


def _flowing(item: Item, live: Live, small: Gathered) -> Item:
    """A conductor with an arrow on it the way that its current flows; pale and broken where there is none."""
    if not live.flows(item.key):
        return replace(item, wires=tuple(replace(w, ink="pale", dashed=True) for w in item.wires))
    (wire,) = item.wires
    forward = (live.current_a[item.key] > 0.0) == (item.pins[0][0] == small.start[item.key])
    points = wire.points
    k = max(range(len(points) - 1), key=lambda n: (hypot(*_way(points[n], points[n + 1])), -n))
    a, b = points[k], points[k + 1]
    dx, dy = _way(a, b)
    length = hypot(dx, dy)
    ux, uy = dx / length, dy / length
    near, far = ((a[0] + ux * d, a[1] + uy * d) for d in ((length - _ARROW_MM) / 2, (length + _ARROW_MM) / 2))
    tail, tip = (near, far) if forward else (far, near)
    sides = ((tail[0] - uy * _HALF_MM, tail[1] + ux * _HALF_MM), (tail[0] + uy * _HALF_MM, tail[1] - ux * _HALF_MM))
    arrow = Wire((sides[0], tip, sides[1], sides[0]), 0.2, wire.ink, fill=wire.ink)
    first, second = replace(wire, points=(*points[: k + 1], near)), replace(wire, points=(far, *points[k + 1 :]))
    return replace(item, wires=(first, arrow, second), data=(*item.data, ("amps", f"{live.current_a[item.key]:.6g}")))


def _way(a: Point, b: Point) -> Point:
    return b[0] - a[0], b[1] - a[1]


def _heading(title: str, sheet: SheetInfo, size: tuple[float, float]) -> Item:
    """What the state is, and on the right which option it is."""
    shown = fit(title, 0.5 * size[0], _TITLE_MM, True)
    left = 2 * _EDGE_MM + width_mm(shown, _TITLE_MM, True)
    option = fit(clean(sheet.title), size[0] - _EDGE_MM - left - 4.0, _LETTER_MM)
    at = size[0] - _EDGE_MM - width_mm(option, _LETTER_MM)
    texts = (Text(_EDGE_MM, 6.0, shown, _TITLE_MM, True, "accent"), Text(at, 6.0, option, _LETTER_MM))
    return Item("heading", texts=texts)


def _legend_mm(sheet: SheetInfo, letters: float) -> float:
    """Width that the legend needs, and a title beside the option's name."""
    return max(120.0, sum(18.0 + width_mm(sheet.word(key), letters) for key in ("scene_live_is", "scene_idle_is")))


def _legend(sheet: SheetInfo, size: tuple[float, float], letters: float) -> list[Item]:
    """A line with current and one without."""
    y, x = size[1] - 2.6, _EDGE_MM
    tail, tip = x + 3.5, x + 3.5 + _ARROW_MM
    live = (
        Wire(((x, y), (tail, y)), 0.6, "positive"),
        Wire(((tail, y - _HALF_MM), (tip, y), (tail, y + _HALF_MM), (tail, y - _HALF_MM)), 0.2, "positive",
             fill="positive"),
        Wire(((tip, y), (x + 10.0, y)), 0.6, "positive"),
    )  # fmt: skip
    items: list[Item] = []
    for key, wires in (
        ("scene_live_is", live),
        ("scene_idle_is", (Wire(((0.0, y), (10.0, y)), 0.6, "pale", dashed=True),)),
    ):
        words = sheet.word(key)
        moved = wires if not items else tuple(replace(w, points=tuple((x + a, b) for a, b in w.points)) for w in wires)
        items.append(Item("legend", wires=moved, texts=(Text(x + 12.0, y + 0.36 * letters, words, letters),)))
        x += 18.0 + width_mm(words, letters)
    return items
