"""The storyboard: the single-line drawing at an instant, with live currents, voltages, charge, relays as they stand.

All scenes of an option share one layout, measured with the longest words that any of them has.
"""

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.arrange import Area, compose, place
from proposal.drawings.boxes import Style
from proposal.drawings.curves import number_text
from proposal.drawings.lettering import Lettering, Lines
from proposal.drawings.live import IDLE_A, Live
from proposal.drawings.measure import Measure
from proposal.drawings.negative import returns
from proposal.drawings.pages import BAND_GAP_MM, Band, Page, Size, paginate
from proposal.drawings.primitives import Ink, Item, Point, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.single_line import in_order
from proposal.drawings.symbols import closed
from proposal.drawings.text import SMALLEST_MM, clean, fit, width_mm
from proposal.drawings.topology import plan

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import OptionResult
    from proposal.studies.behaviour.result import Day

STYLES = (
    Style(3.8, "none"), Style(3.8, "all"), Style(3.4, "none"), Style(3.4, "all"), Style(3.0, "all"), Style(2.7, "all"),
    Style(2.5, "all"),
)  # fmt: skip
_TOP_MM, _FOOT_MM, _EDGE_MM = 11.0, 9.0, 3.0
_ROOMS = ((266.0, 138.0), (390.0, 225.0))
"""Width and height that a drawing has on a landscape page of A4, and of A3."""
_UNBOUND_MM = 1e6
_LETTER_MM = 3.0
"""The smallest letter within a symbol."""
_DEAD_V = 1.0
_TITLE_MM = 4.2
_ARROW_MM, _HALF_MM = 3.0, 1.15
_STATES = ("night", "morning", "charging", "full", "dusk", "engine")
_RELAYS = ("contactor", "vsr", "switch")
_WIDEST_BAR_MM = 48.0


def storyboard(circuit: "Circuit", option: "OptionResult", days: "Sequence[Day]", sheet: SheetInfo) -> dict[str, bytes]:
    """A drawing of each scene by file name, `<prefix>-scene-<season>-<n>.svg`, n from 1 on in each day.

    Parameters: circuit, whose items are drawn; option, for their designations; days, whose scenes they are; sheet,
    words and the option's colour. Raises KeyError if `sheet.labels` lacks a word.
    """
    scenes = [(day, n, Live(circuit, scene)) for day in days for n, scene in enumerate(day.scenes, 1)]
    if not scenes:
        return {}
    words = _Words(circuit, option, sheet, [live for _, _, live in scenes])
    items, size, letters = _layout(circuit, words)
    files = {}
    for day, number, live in scenes:
        name = f"{emit.safe_id(sheet.prefix)}-scene-{emit.safe_id(day.season)}-{number}"
        drawn = [_as_in(item, live, words) for item in items]
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


class _Words(Lettering):
    """What stands beside each item; while the layout is measured, the longest that any scene says.

    Every figure stands at the end of its line, so that another can be put in its place.
    """

    def __init__(self, circuit: "Circuit", option: "OptionResult", sheet: SheetInfo, scenes: Sequence[Live]) -> None:
        super().__init__(circuit, option, sheet)
        self.scenes = scenes
        self.states = (sheet.word("scene_open"), sheet.word("scene_closed"))
        self.longest: dict[str, str] = {}
        """By item, the figure that the layout was measured with."""

    def _kept(self, key: str, figures: Iterable[str]) -> str:
        words = max(figures, key=lambda w: (width_mm(w, SMALLEST_MM, True), w), default="")
        if words:
            self.longest[key] = words
        return words

    def current(self, key: str, live: Live) -> str:
        """The current of a branch without its sign, empty where it is idle."""
        amps = abs(live.current_a.get(key, 0.0))
        return (
            self.info.word("ampere", value=number_text(amps, 0 if amps >= 99.95 else 1, self.info))
            if live.flows(key)
            else ""
        )

    def charge(self, key: str, live: Live) -> str:
        """The charge of the bank to which a string belongs."""
        share = live.share.get(self.circuit.battery[key].bank)
        return "" if share is None else self.info.word("percent", value=number_text(100.0 * share, 0, self.info))

    def volts(self, key: str, live: Live) -> str:
        """The voltage of a bus."""
        volts = live.volts.get(key)
        return "" if volts is None else self.info.word("volt", value=number_text(volts, 2, self.info))

    def state(self, key: str, live: Live) -> str:
        """Open or closed."""
        return self.states[not live.is_open(key)]

    def figure(self, item: Item, live: Live) -> str:
        """What stands at the end of an item's line in a scene."""
        if item.kind == "conductor":
            return self.current(item.key, live)
        if item.kind == "battery":
            return self.charge(item.key, live)
        if item.kind == "bus":
            return self.volts(item.key, live)
        return self.state(item.key, live)

    def conductor(self, key: str) -> tuple[str, ...]:
        """Its current."""
        words = self._kept(key, [self.current(key, live) for live in self.scenes])
        return (words,) if words else ()

    def device(self, key: str) -> Lines:
        """Its designation; of what opens, whether it is open."""
        d = self.devices.get(key)
        designation = clean(d.designation) if d is not None else ""
        own = self.circuit.device.get(key)
        if own is None or own.kind not in _RELAYS:
            return Lines(designation, "", ())
        return Lines(designation, "", (self._kept(key, self.states),))

    def load(self, key: str) -> Lines:
        """Designation and title."""
        return replace(super().load(key), values=())

    def source(self, key: str) -> Lines:
        """Designation and title."""
        return replace(super().source(key), values=())

    def converter(self, key: str) -> Lines:
        """Designation and title."""
        return replace(super().converter(key), values=())

    def starter(self) -> Lines:
        """Designation and title."""
        return replace(super().starter(), values=())

    def battery(self, key: str) -> Lines:
        """Designation and title of the bank, how full it is, its chemistry."""
        own = super().battery(key)
        charge = self._kept(key, [self.charge(key, live) for live in self.scenes])
        return replace(own, values=(charge, self.info.word(self.circuit.battery[key].part.chemistry)))

    def bar_label(self, key: str) -> str:
        """Designation, title and voltage."""
        name = fit(self.bar(key), _WIDEST_BAR_MM, SMALLEST_MM, True)
        volts = self._kept(key, [self.volts(key, live) for live in self.scenes])
        return " · ".join(text for text in (name, volts) if text)

    def title(self, live: Live) -> str:
        """Time of day and what the scene is about."""
        minutes = round(live.scene.time_s / 60.0) % 1440
        time = self.info.word("scene_time", hour=f"{minutes // 60:02d}", minute=f"{minutes % 60:02d}")
        code = live.scene.code if live.scene.code in _STATES else "other"
        return self.info.word("scene_title", time=time, state=self.info.word(f"scene_{code}"))

    def description(self, title: str, live: Live) -> str:
        """The scene in words: relays, currents of sources and banks, voltages, charge."""

        def amps(value: float) -> str:
            return self.info.word("ampere", value=number_text(value, 1, self.info))

        sources = "; ".join(f"{clean(s.title)} {amps(live.current_a.get(s.key, 0.0))}" for s in self.circuit.sources)
        banks = []
        for bank in self.circuit.banks:
            a = live.bank_a.get(bank.key, 0.0)
            way = self.info.word("scene_gives" if a >= 0.0 else "scene_takes", value=amps(abs(a)))
            banks.append(" ".join(t for t in (clean(bank.title), self.charge(bank.strings[0], live), way) if t))
        relays = [f"{self.designation(d.key)} {self.state(d.key, live)}" for d in self.circuit.devices
                  if d.kind in ("contactor", "vsr")]  # fmt: skip
        buses = [f"{self.bar(b.key)} {v}" for b in self.circuit.buses if (v := self.volts(b.key, live))]
        return self.info.word(
            "scene_description", title=title, sources=sources, banks="; ".join(banks), relays="; ".join(relays),
            buses="; ".join(buses), loads=amps(live.scene.loads_a),
        )  # fmt: skip


def _layout(circuit: "Circuit", words: _Words) -> tuple[list[Item], tuple[float, float], float]:
    """Items of the layout, the page's size, and that of its letters."""
    planned = plan(circuit)
    backs = returns(circuit, planned)
    measures = [Measure(words, backs, style) for style in STYLES]

    def size(style: int, band: Band) -> tuple[float, float]:
        composed = compose(measures[style], band.roots, band.ties)
        return composed.width, composed.height(1.0)

    whole = Band(list(planned.roots), list(planned.ties))
    page, width, needed = _page(whole, size)
    measure = measures[page.style]
    measure.pages = {bar.band: 1 for band in page.bands for bar in band.roots}
    area = Area(_EDGE_MM, _TOP_MM, width, needed)
    bands = [compose(measure, band.roots, band.ties, loose=True, area=area) for band in page.bands]
    items = in_order(place(bands, words, area))
    letters = measure.style.size_mm
    return items, (area.width + 2 * _EDGE_MM, _TOP_MM + area.height + _FOOT_MM), letters


def _page(whole: Band, size: Size) -> tuple[Page, float, float]:
    """Everything on one page, and its width and height.

    Of those whose letters are printed large enough, when what is too high is made to fit, the one with the largest
    letters for its width, as a screen shows it; where there is none, the one that is printed largest.
    """
    best: tuple[Page, float, float] | None = None
    merit = (False, 0.0)
    for width, height in _ROOMS:
        for number, style in enumerate(STYLES):
            with suppress(ValueError):
                page, *more = paginate(whole, size, (number,), (number,), (width, _UNBOUND_MM))
                if more:
                    continue
                needed = sum(size(number, band)[1] for band in page.bands) + BAND_GAP_MM * (len(page.bands) - 1)
                printed = min(style.size_mm, _LETTER_MM) * min(1.0, height / needed)
                enough = printed >= SMALLEST_MM
                own = (enough, style.size_mm / width if enough else printed)
                if own > merit:
                    best, merit = (page, width, needed), own
    if best is not None:
        return best
    last = len(STYLES) - 1
    return Page(last, [whole.copy()]), *size(last, whole)


def _as_in(item: Item, live: Live, words: _Words) -> Item:
    """An item of the layout as it is in a scene."""
    kind, key = item.kind, item.key
    if key in words.longest and (kind in ("conductor", "battery", "bus") or kind in _RELAYS):
        item = _said(item, words.longest[key], words.figure(item, live))
    if kind == "conductor":
        return _flowing(item, live)
    if kind in _RELAYS and item.symbol is not None:
        shut = not live.is_open(key)
        return replace(item, symbol=closed(item.symbol) if shut else item.symbol, ink=_ink(live.idle(key) or not shut))
    if kind == "battery":
        bank = live.circuit.battery[key].bank
        return replace(item, ink=_ink(abs(live.bank_a.get(bank, 1.0)) <= IDLE_A))
    if kind in ("fuse", "shunt", "load", "source", "dc_dc", "starter"):
        return replace(item, ink=_ink(live.idle(key) or kind == "starter"))
    if kind == "bus" and live.volts.get(key, 99.0) < _DEAD_V:
        return replace(item, wires=tuple(replace(w, ink="pale", dashed=True) for w in item.wires))
    return item


def _ink(idle: bool) -> Ink:
    return "faint" if idle else "symbol"


def _said(item: Item, measured: str, figure: str) -> Item:
    """The item with another figure in place of the one that it was measured with."""
    texts = []
    for text in item.texts:
        before, found, after = text.text.rpartition(measured)
        line = before + figure + after if found else text.text
        line = line if figure else line.replace(" ·  · ", " · ").removesuffix(" · ")
        if line:
            texts.append(replace(text, text=line))
    return replace(item, texts=tuple(texts), title=" · ".join(t.text for t in texts))


def _flowing(item: Item, live: Live) -> Item:
    """A conductor with an arrow on it the way that its current flows; pale and broken where there is none."""
    if not live.flows(item.key):
        idle = live.idle(item.key)
        return replace(item, wires=tuple(replace(w, ink="pale", dashed=True) for w in item.wires)) if idle else item
    (wire,) = item.wires
    forward = (live.current_a[item.key] > 0.0) == (item.pins[0][0] == live.circuit.conductor[item.key].from_node)
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


def _legend(sheet: SheetInfo, size: tuple[float, float], letters: float) -> list[Item]:
    """A line with current and one without."""
    y, x = size[1] - 3.5, _EDGE_MM
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
