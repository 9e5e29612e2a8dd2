"""Measures the pieces of a single-line sheet at one style. What was measured is kept, since sheets are tried out."""

from proposal.drawings.boxes import (
    COIL_MM,
    CONTROLLER_MM,
    LABEL_GAP_MM,
    TOP_MM,
    BarBox,
    ColumnBox,
    EndBox,
    Lettered,
    ReturnBox,
    SatelliteBox,
    StepBox,
    Style,
    TieBox,
)
from proposal.drawings.lettering import Lettering, Lines
from proposal.drawings.marks import PAD_MM, SHIFT_MM, cloud_mm
from proposal.drawings.negative import Return
from proposal.drawings.net import Step
from proposal.drawings.primitives import Symbol
from proposal.drawings.symbols import end, series
from proposal.drawings.text import SMALLEST_MM, fit, wrap
from proposal.drawings.topology import Bar, Column, Satellite, Tie

_WIDEST_LABEL_MM = 42.0
_WIDEST_NAME_MM = 64.0
"""Both at the smallest text size."""


class Measure:
    """Pieces of one option at one style."""

    def __init__(self, lettering: Lettering, returns: dict[str, Return], style: Style) -> None:
        self.lettering = lettering
        self.returns = returns
        self.style = style
        circuit = lettering.circuit
        self._load = {e.key: e for e in circuit.loads}
        self._source_kind = {s.key: s.kind for s in circuit.sources}
        self._columns: dict[int, ColumnBox] = {}
        self.pages: dict[int, int] = {}
        """Page by band, once that is known; until then the longest words are measured."""

    def shift(self, key: str) -> float:
        """By how much a mark moves the words of an item; 0 without one."""
        return SHIFT_MM if key in self.lettering.marks else 0.0

    def _label(self, key: str, lines: tuple[Lettered, ...]) -> tuple[float, float]:
        """Width and height of a label, with its cloud where it is marked."""
        wide, high = self.style.widest_mm(lines), self.style.block_mm(len(lines))
        shift = self.shift(key)
        return (shift + wide + PAD_MM, cloud_mm(high)) if shift else (wide, high)

    def name_mm(self, bar: Bar) -> float:
        """Height of a bar's name."""
        high = self.style.block_mm(1)
        return cloud_mm(high) if self.shift(bar.key) else high

    def _lettered(self, lines: tuple[str, ...], *, bold_first: bool) -> tuple[Lettered, ...]:
        size = self.style.size_mm
        bold = [bold_first and i == 0 for i in range(len(lines))]
        room = _WIDEST_LABEL_MM * size / SMALLEST_MM
        return tuple(Lettered(fit(t, room, size, b), b) for t, b in zip(lines, bold, strict=True))

    def _wrapped(self, text: str, room_mm: float, lines: int) -> tuple[str, ...]:
        return wrap(text, room_mm * self.style.size_mm / SMALLEST_MM, self.style.size_mm, lines) if text else ()

    def step(self, step: Step, *, driven: bool = False, narrow: bool | None = None) -> StepBox:
        """A conductor or device of a column; `narrow` where its label is broken into more lines."""
        if narrow is None:
            narrow = self.style.narrow == "all"
        if step.kind == "conductor":
            return self._conductor(step, narrow=narrow)
        symbol = series("driven_contactor" if driven else step.kind, 10.0, 5.0)
        said = self.lettering.converter(step.key) if step.kind == "dc_dc" else self.lettering.device(step.key)
        lines = self._device_lines(said, narrow=narrow)
        offset = symbol.right_mm + LABEL_GAP_MM
        wide, high = self._label(step.key, lines)
        length = max(11.0, high + 3.0)
        shift = self.shift(step.key)
        box = StepBox(step, length, length / 2, lines, offset + shift, symbol.left_mm, offset + wide, driven)
        box.shift = shift
        box.beside = tuple(self.step(s) for s in step.beside)
        for other in box.beside:
            box.left += other.right + other.left + 4.0
            box.length = max(box.length, other.length + 4.0)
        box.middle = box.length / 2
        return box

    def _device_lines(self, said: Lines, *, narrow: bool) -> tuple[Lettered, ...]:
        values = said.values
        title = self._wrapped(said.title, 30.0, 2)
        if narrow and said.designation:
            return self._lettered((said.designation, *title, *values), bold_first=True)
        first = " · ".join(text for text in (said.designation, *values[:1]) if text)
        return self._lettered(tuple(t for t in (first, *title, *values[1:]) if t), bold_first=bool(first))

    def _conductor(self, step: Step, *, narrow: bool) -> StepBox:
        texts = self.lettering.conductor(step.key)
        if narrow:
            texts = tuple(piece for text in texts for piece in _broken(text))
        lines = self._lettered(texts, bold_first=False)
        wide, high = self._label(step.key, lines)
        length = high + 3.6
        offset, shift = LABEL_GAP_MM + 0.4, self.shift(step.key)
        return StepBox(step, length, length / 2, lines, offset + shift, 0.6, offset + wide, shift=shift)

    def _end(self, column: Column) -> EndBox | None:
        kind, key = column.end.kind, column.end.key
        if kind == "bar":
            return None
        if kind == "battery":
            said = self.lettering.battery(key)
            first = " · ".join(t for t in (said.designation, said.values[0]) if t)
            lines = self._lettered((first, said.values[1], *self._wrapped(said.title, 27.0, 2)), bold_first=True)
            return self._beside(end("battery"), lines, key)
        if kind == "source":
            return self._beside(end(self._source_kind[key]), self._said(self.lettering.source(key), 27.0, 2), key)
        if kind == "controller":
            return self._beside(end("controller"), self._controller(key))
        return self._hanging(kind, key)

    def _hanging(self, kind: str, key: str) -> EndBox:
        """An end with its label below."""
        if kind in ("to", "from"):
            words = self.lettering.info.word(f"{kind}_bar", bar=self.lettering.bar_at(key))
            lines = self._lettered(self._wrapped(words, 22.0, 3), bold_first=False)
            return self._below(end("reference" if kind == "to" else "arriving"), lines)
        if kind == "open":
            return self._below(end("open"), ())
        said = self.lettering.starter() if kind == "starter" else self.lettering.load(key)
        narrow = self.style.narrow == "all" or (self.style.narrow == "loads" and kind == "load")
        return self._below(end(self._symbol(kind, key)), self._said(said, 18.0 if narrow else 25.0, 3), key)

    def _symbol(self, kind: str, key: str) -> str:
        if kind == "starter":
            return "starter"
        load = self._load[key]
        return "inverter" if load.inverter_id is not None else "motor" if load.inrush_a else "load"

    def _said(self, said: Lines, room_mm: float, lines: int) -> tuple[Lettered, ...]:
        first = " · ".join(t for t in (said.designation, *said.values[:1]) if t)
        return self._lettered((first, *self._wrapped(said.title, room_mm, lines)), bold_first=bool(said.designation))

    def _controller(self, key: str) -> tuple[Lettered, ...]:
        words = self._wrapped(self.lettering.info.word("controller"), 20.0, 2)
        designation = self.lettering.designation(key)
        return self._lettered((designation, *words) if designation else words, bold_first=bool(designation))

    def _beside(self, symbol: Symbol, lines: tuple[Lettered, ...], key: str = "") -> EndBox:
        wide, high = self._label(key, lines)
        depth = max(symbol.length_mm, high + 1.0)
        right = symbol.right_mm + LABEL_GAP_MM + wide
        return EndBox(symbol, lines, False, depth, symbol.left_mm, right, self.shift(key))

    def _below(self, symbol: Symbol, lines: tuple[Lettered, ...], key: str = "") -> EndBox:
        wide, high = self._label(key, lines)
        depth = symbol.length_mm + (high + 1.6 if lines else 0.0)
        right = max(symbol.right_mm, wide - symbol.left_mm)
        return EndBox(symbol, lines, True, depth, symbol.left_mm, right, self.shift(key))

    def column(self, column: Column) -> ColumnBox:
        """A column with all below it; measured once, but what hangs from its child bar is read anew."""
        box = self._columns.get(column.uid)
        if box is None:
            box = self._columns[column.uid] = self._new_column(column)
        box.column = column
        if column.bar is not None:
            box.child = self.bar(column.bar)
        return box

    def _new_column(self, column: Column) -> ColumnBox:
        driven = {s.contactor for s in column.satellites}
        narrow = self.style.narrow == "all" or (self.style.narrow == "loads" and column.end.kind in ("load", "source"))
        steps = [self.step(s, driven=s.key in driven, narrow=narrow) for s in column.steps]
        ending = self._end(column)
        box = ColumnBox(column, steps, ending, None, [], None, 1.0, 1.0)
        pieces: list[StepBox | EndBox] = [*steps, *([ending] if ending else [])]
        box.core_left = max([1.0, *(p.left for p in pieces)])
        box.core_right = max([1.0, *(p.right for p in pieces)])
        if column.bar is not None and steps:
            steps[-1].tail = self.name_mm(column.bar) + 1.8
            steps[-1].length += steps[-1].tail
        box.satellites = [self._satellite(s, box) for s in column.satellites]
        if column.end.kind == "battery" and column.end.key in self.returns:
            box.back = self._back(self.returns[column.end.key])
            box.core_right = max(box.core_right, box.back.right)
        return box

    def _back(self, back: Return) -> ReturnBox:
        steps = [self.step(s) for s in back.steps]
        words = self.lettering.info.word("negative_of", bar=self.lettering.bar(back.bus)) if back.bus and steps else ""
        mark = self._lettered(self._wrapped(words, 36.0, 2), bold_first=False)
        return ReturnBox(steps, mark, max([0.0, *(s.right for s in steps), self.style.widest_mm(mark) - 4.2]))

    def _satellite(self, satellite: Satellite, box: ColumnBox) -> SatelliteBox:
        """The contactor's leads grow until the controller's own leads fit above and below it."""
        supply = [self.step(s) for s in satellite.supply]
        senses = [self.step(s) for s in satellite.senses]
        lines = self._controller(satellite.key)
        steps, nodes = box.steps, box.column.nodes()
        at = next(i for i, s in enumerate(steps) if s.step.key == satellite.contactor)
        contactor = steps[at]
        first = nodes.index(satellite.supply_from)
        last = len(nodes) - 1 - nodes[::-1].index(satellite.senses_from)
        above = sum(s.length for s in steps[first:at]) + contactor.middle
        below = contactor.length - contactor.middle + sum(s.length for s in steps[at + 1 : last])
        half = CONTROLLER_MM / 2
        grow = max(0.0, max(sum(s.length for s in supply), 4.0) + half - above)
        contactor.length += grow
        contactor.middle += grow
        label = 2.6 + self._label(contactor.step.key, contactor.lines)[1] + 1.2
        need = max(sum(s.length for s in senses), 4.0) + half - below
        contactor.length += max(0.0, need, label - (contactor.length - contactor.middle))
        own = half + LABEL_GAP_MM + self.style.widest_mm(lines)
        right = max([own, *(s.right for s in (*supply, *senses))])
        left = max([half + COIL_MM + 0.5, *(s.left for s in (*supply, *senses))])
        return SatelliteBox(satellite, supply, senses, lines, left, right)

    def bar(self, bar: Bar) -> BarBox:
        """A bar with all that hangs from it."""
        text = self.lettering.bar_label(bar.key) if bar.key else self.lettering.joint(bar)
        text = fit(text, _WIDEST_NAME_MM * self.style.size_mm / SMALLEST_MM, self.style.size_mm, True)
        if bar.from_band:
            text = self._elsewhere("continued_above", "continued_from", bar.from_band, bar.band, bar=text)
        name = Lettered(text, True)
        ends: tuple[Lettered, ...] = ()
        if bar.to_band:
            words = self._elsewhere("continues_below", "continues_on", bar.to_band, bar.band)
            ends = self._lettered(self._wrapped(words, 16.0, 2), bold_first=False)
        back = self.returns.get(bar.key)
        trunk = self._back(back) if back is not None and back.steps else None
        if trunk is not None and bar.from_band:
            words = self.lettering.info.word("negative_of", bar=self.lettering.bar(bar.key))
            mark = self._lettered(self._wrapped(words, 36.0, 2), bold_first=False)
            trunk = ReturnBox([], mark, self.style.widest_mm(mark))
        down, up = [self.column(c) for c in bar.down], [self.column(c) for c in bar.up]
        name_width = self._label(bar.key, (name,))[0]
        box = BarBox(bar, name, name_width, down, up, trunk, ends, self.style.widest_mm(ends))
        box.shift = self.shift(bar.key)
        return box

    def _elsewhere(self, here: str, there: str, band: int, own: int, **values: str) -> str:
        """Words for a bar that goes on in another band: on this sheet, or on another one."""
        info = self.lettering.info
        near = info.word(here, **values)
        if not self.pages:
            return max(near, info.word(there, sheet="99", **values), key=len)
        page = self.pages[band]
        return near if page == self.pages[own] else info.word(there, sheet=str(page), **values)

    def tie(self, tie: Tie) -> TieBox:
        """An arch: the relay (or what stands nearest the middle) on top, the rest on the legs."""
        count = len(tie.steps)

        def rank(i: int) -> tuple[int, float]:
            kinds = {"vsr": 0, "dc_dc": 0, "contactor": 1, "switch": 2, "conductor": 3}
            return kinds.get(tie.steps[i].kind, 4), abs(i - (count - 1) / 2)

        k = min(range(count), key=rank)
        left = [self.step(s) for s in tie.steps[:k]]
        right = [self.step(s.turned()) for s in reversed(tie.steps[k + 1 :])]
        top = self.step(tie.steps[k])
        if top.step.kind == "dc_dc" and left:
            left[-1].tail = series("dc_dc", 10.0, 5.0).right_mm
            left[-1].length += left[-1].tail
        words = self._label(top.step.key, top.lines)[0]
        top.offset = {"conductor": 0.0, "dc_dc": 5.5}.get(top.step.kind, 4.2)
        top_width = words + 4.0 if top.step.kind == "conductor" else TOP_MM + max(6.0, top.offset + words + 2.0)
        above = self.over(top)
        for other in top.beside:
            other.offset = 4.2
            above += 3.0 + self.over(other)
            labels = max(self._label(other.step.key, other.lines)[0], words)
            top_width = max(top_width, TOP_MM + other.offset + labels + 2.0)
        return TieBox(tie, (left, right), top, top_width, above, TOP_MM + top.offset + words)

    def over(self, box: StepBox) -> float:
        """Room above a step that lies level: its symbol or its label."""
        symbol = 0.6 if box.step.kind == "conductor" else series(box.step.kind, 10.0, 5.0).left_mm
        return max(symbol, self._label(box.step.key, box.lines)[1] + 1.6)


def _broken(text: str) -> tuple[str, ...]:
    """A size label in two lines: `2/0 AWG` and `(67.4 mm²)`."""
    head, bracket, rest = text.partition(" (")
    return (head, "(" + rest) if bracket else (text,)
