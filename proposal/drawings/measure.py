"""How much room each piece of a single-line sheet needs: steps, ends, satellites, columns, bars and ties, in mm.

Everything hangs: a column runs from its bar away (downwards, or mirrored upwards), labels to the right of its axis.
"""

from dataclasses import dataclass, field

from proposal.drawings.lettering import Lettering, Lines
from proposal.drawings.negative import Return
from proposal.drawings.primitives import Symbol
from proposal.drawings.symbols import end, series
from proposal.drawings.text import ASCENT, DESCENT, LINE, fit, width_mm, wrap
from proposal.drawings.topology import Bar, Column, Satellite, Step, Tie

LABEL_GAP_MM = 1.4
CONTROLLER_MM = 10.0
COIL_MM = 5.0
_WIDEST_LABEL_MM = 42.0


@dataclass(frozen=True, slots=True)
class Style:
    """Text size and whether labels are broken into more and shorter lines."""

    size_mm: float
    narrow: bool

    @property
    def pitch_mm(self) -> float:
        """Distance of two lines."""
        return self.size_mm * LINE

    def block_mm(self, lines: int) -> float:
        """Height of so many lines."""
        return (lines - 1) * self.pitch_mm + self.size_mm * (ASCENT + DESCENT) if lines else 0.0

    def widest_mm(self, lines: "tuple[Lettered, ...]") -> float:
        """Width of the widest line."""
        return max((width_mm(line.text, self.size_mm, line.bold) for line in lines), default=0.0)


@dataclass(frozen=True, slots=True)
class Lettered:
    """A line of a label."""

    text: str
    bold: bool = False


@dataclass(slots=True)
class StepBox:
    """A step with its natural length, where its body stands in it, its label, and its extents beside the axis."""

    step: Step
    length: float
    middle: float
    lines: tuple[Lettered, ...]
    offset: float
    left: float
    right: float
    driven: bool = False
    tail: float = 0.0
    beside: tuple["StepBox", ...] = ()


@dataclass(slots=True)
class EndBox:
    """An end device: symbol, label, and whether the label stands below it or beside."""

    symbol: Symbol
    lines: tuple[Lettered, ...]
    below: bool
    depth: float
    left: float
    right: float


@dataclass(slots=True)
class SatelliteBox:
    """A controller: leads from above and below, its axis `shift` to the right of its column's."""

    satellite: Satellite
    supply: list[StepBox]
    senses: list[StepBox]
    lines: tuple[Lettered, ...]
    shift: float


@dataclass(slots=True)
class ReturnBox:
    """The negative chain below a battery, or below a bank's negative bar."""

    steps: list[StepBox]
    mark: tuple[Lettered, ...]


@dataclass(slots=True)
class ColumnBox:
    """A column: extents left and right of its axis."""

    column: Column
    steps: list[StepBox]
    end: EndBox | None
    child: "BarBox | None"
    satellites: list[SatelliteBox]
    back: ReturnBox | None
    left: float
    right: float
    x: float = 0.0
    target: float = 0.0

    @property
    def length(self) -> float:
        """Natural length of its steps."""
        return sum(s.length for s in self.steps)


@dataclass(slots=True)
class BarBox:
    """A bar with its columns. `feed` is where its own feeder stands, from the bar's left."""

    bar: Bar
    name: Lettered
    down: list[ColumnBox]
    up: list[ColumnBox]
    trunk: ReturnBox | None = None
    feed: float = 0.0
    width: float = 0.0
    name_at: float = 0.0
    negative_y: float = 0.0
    x0: float = 0.0
    x1: float = 0.0
    y: float = 0.0


@dataclass(slots=True)
class TieBox:
    """A tie as an arch over two neighbouring bars: legs and what stands on top."""

    tie: Tie
    legs: tuple[list[StepBox], list[StepBox]]
    top: StepBox
    top_width: float
    above: float
    x: tuple[float, float] = field(default=(0.0, 0.0))
    y: float = 0.0

    @property
    def height(self) -> float:
        """Natural height of the longer leg."""
        return max(sum(s.length for s in leg) for leg in self.legs)


class Measure:
    """Measures the pieces of one option at one style."""

    def __init__(self, lettering: Lettering, returns: dict[str, Return], style: Style, gap_mm: float = 2.5) -> None:
        self.lettering = lettering
        self.returns = returns
        self.style = style
        self.gap = gap_mm
        circuit = lettering.circuit
        self.load = {e.key: e for e in circuit.loads}
        self.source_kind = {s.key: s.kind for s in circuit.sources}

    def _lettered(self, lines: tuple[str, ...], bold_first: bool) -> tuple[Lettered, ...]:
        size = self.style.size_mm
        return tuple(
            Lettered(fit(text, _WIDEST_LABEL_MM, size, bold_first and i == 0), bold_first and i == 0)
            for i, text in enumerate(lines)
        )

    def step(self, step: Step, driven: bool = False) -> StepBox:
        """A conductor or device of a column."""
        if step.kind == "conductor":
            return self._conductor(step)
        kind = "driven_contactor" if driven else step.kind
        symbol = series(kind, 10.0, 5.0)
        said = self.lettering.converter(step.key) if step.kind == "dc_dc" else self.lettering.device(step.key)
        lines = self._device_lines(said)
        offset = symbol.right_mm + LABEL_GAP_MM
        length = max(11.0, self.style.block_mm(len(lines)) + 3.0)
        right = offset + self.style.widest_mm(lines)
        box = StepBox(step, length, length / 2, lines, offset, symbol.left_mm, right, driven)
        box.beside = tuple(self.step(s) for s in step.beside)
        for other in box.beside:
            box.left += other.right + other.left + self.gap
            box.length = max(box.length, other.length + 4.0)
        box.middle = box.length / 2
        return box

    def _device_lines(self, said: Lines) -> tuple[Lettered, ...]:
        values = said.values
        first = (said.designation, *values[:1]) if said.designation else values[:1]
        joined = " · ".join(first)
        rest = (*self._wrapped(said.title, 30.0, 2), *values[1:])
        lines = (joined, *rest) if joined else rest
        if self.style.narrow and said.designation and values:
            lines = (said.designation, *rest[: len(rest) - len(values[1:])], *values)
        return self._lettered(lines, bold_first=True)

    def _conductor(self, step: Step) -> StepBox:
        texts = self.lettering.conductor(step.key)
        if self.style.narrow:
            texts = tuple(piece for text in texts for piece in _broken(text))
        lines = self._lettered(texts, bold_first=False)
        length = self.style.block_mm(len(lines)) + 3.6
        right = LABEL_GAP_MM + 0.4 + self.style.widest_mm(lines)
        return StepBox(step, length, length / 2, lines, LABEL_GAP_MM + 0.4, 0.6, right)

    def _wrapped(self, text: str, room_mm: float, lines: int) -> tuple[str, ...]:
        return wrap(text, room_mm * self.style.size_mm / 2.5, self.style.size_mm, lines) if text else ()

    def end(self, column: Column) -> EndBox | None:
        """What the column ends at; None for a bar."""
        kind, key = column.end.kind, column.end.key
        if kind == "bar":
            return None
        if kind in ("reference", "open", "starter", "load"):
            return self._hanging(kind, key)
        if kind == "battery":
            said = self.lettering.battery(key)
            first = " · ".join(t for t in (said.designation, said.values[0]) if t)
            lines = self._lettered((first, said.values[1], *self._wrapped(said.title, 27.0, 2)), bold_first=True)
            return self._beside(end("battery"), lines)
        if kind == "source":
            said = self.lettering.source(key)
            return self._beside(end(self.source_kind[key]), self._said(said, 27.0))
        text = self.lettering.designation(key) or self.lettering.info.word("controller")
        return self._beside(end("controller"), self._lettered((text,), bold_first=True))

    def _hanging(self, kind: str, key: str) -> EndBox:
        """An end device with its label below."""
        if kind == "reference":
            bar = self.lettering.bar_at(key)
            words = self.lettering.info.word("to_bar", bar=bar)
            lines = self._lettered(self._wrapped(words, 22.0, 3), bold_first=False)
            return self._below(end("reference"), lines)
        if kind == "open":
            return self._below(end("open"), ())
        said = self.lettering.starter() if kind == "starter" else self.lettering.load(key)
        room = 18.0 if self.style.narrow else 25.0
        return self._below(end(self._symbol(kind, key)), self._said(said, room, 3))

    def _symbol(self, kind: str, key: str) -> str:
        if kind == "starter":
            return "starter"
        load = self.load[key]
        if load.inverter_id is not None:
            return "inverter"
        return "motor" if load.inrush_a else "load"

    def _said(self, said: Lines, room_mm: float, lines: int = 2) -> tuple[Lettered, ...]:
        first = " · ".join(t for t in (said.designation, *said.values[:1]) if t)
        return self._lettered((first, *self._wrapped(said.title, room_mm, lines)), bold_first=True)

    def _beside(self, symbol: Symbol, lines: tuple[Lettered, ...]) -> EndBox:
        depth = max(symbol.length_mm, self.style.block_mm(len(lines)) + 1.0)
        right = symbol.right_mm + LABEL_GAP_MM + self.style.widest_mm(lines)
        return EndBox(symbol, lines, False, depth, symbol.left_mm, right)

    def _below(self, symbol: Symbol, lines: tuple[Lettered, ...]) -> EndBox:
        depth = symbol.length_mm + (self.style.block_mm(len(lines)) + 1.6 if lines else 0.0)
        right = max(symbol.right_mm, self.style.widest_mm(lines) - symbol.left_mm)
        return EndBox(symbol, lines, True, depth, symbol.left_mm, right)

    def column(self, column: Column) -> ColumnBox:
        """A column with all below it."""
        driven = {s.contactor for s in column.satellites}
        steps = [self.step(s, s.key in driven) for s in column.steps]
        ending = self.end(column)
        box = ColumnBox(column, steps, ending, None, [], None, 0.0, 0.0)
        box.left = max([s.left for s in steps] + ([ending.left] if ending else []), default=1.0)
        box.right = max([s.right for s in steps] + ([ending.right] if ending else []), default=1.0)
        for satellite in column.satellites:
            box.satellites.append(self._satellite(satellite, box))
        if column.end.kind == "battery" and column.end.key in self.returns:
            box.back = self._back(self.returns[column.end.key])
            box.right = max([box.right, *(s.right for s in box.back.steps)])
            box.right = max(box.right, self.style.widest_mm(box.back.mark) - 4.2)
        if column.bar is not None:
            self._child(box, self.bar(column.bar))
        return box

    def _child(self, box: ColumnBox, child: BarBox) -> None:
        box.child = child
        extra = self.style.block_mm(1) + 1.8
        box.steps[-1].length += extra
        box.steps[-1].tail = extra
        taps = [s.shift for s in box.satellites if s.satellite.senses_from == child.bar.node]
        child.name_at = (max(taps) if taps else 0.0) + 1.8
        box.left = max(box.left, child.feed)
        named = child.name_at + width_mm(child.name.text, self.style.size_mm, True)
        box.right = max(box.right, child.width - child.feed, named)
        if child.trunk is not None:
            box.right = max([box.right, *(s.right for s in child.trunk.steps)])
            box.right = max(box.right, self.style.widest_mm(child.trunk.mark) - 4.2)

    def _back(self, back: Return) -> ReturnBox:
        steps = [self.step(s) for s in back.steps]
        words = self.lettering.info.word("negative_of", bar=self.lettering.bar(back.bus)) if back.bus else ""
        lines = self._lettered(self._wrapped(words, 30.0, 2), bold_first=False)
        return ReturnBox(steps, lines if back.steps else ())

    def _satellite(self, satellite: Satellite, box: ColumnBox) -> SatelliteBox:
        """Beside the column; the contactor's leads grow until the controller's leads fit above and below it."""
        supply = [self.step(s) for s in satellite.supply]
        senses = [self.step(s) for s in satellite.senses]
        text = self.lettering.designation(satellite.key) or self.lettering.info.word("controller")
        lines = self._lettered(self._wrapped(text, 24.0, 2), bold_first=True)
        steps = box.steps
        at = next(i for i, s in enumerate(steps) if s.step.key == satellite.contactor)
        nodes = box.column.nodes()
        contactor = steps[at]
        first = nodes.index(satellite.supply_from)
        last = len(nodes) - 1 - nodes[::-1].index(satellite.senses_from)
        above = sum(s.length for s in steps[first:at]) + contactor.middle
        below = contactor.length - contactor.middle + sum(s.length for s in steps[at + 1 : last])
        half = CONTROLLER_MM / 2
        need_above = max(sum(s.length for s in supply), 4.0) + half
        need_below = max(sum(s.length for s in senses), 4.0) + half
        grow = max(0.0, need_above - above)
        contactor.length += grow
        contactor.middle += grow
        below_label = 2.6 + self.style.block_mm(len(contactor.lines)) + 1.2
        contactor.length += max(0.0, need_below - below, below_label - (contactor.length - contactor.middle))
        shift = box.right + self.gap + COIL_MM + CONTROLLER_MM / 2 + 0.5
        rights = [s.right for s in (*supply, *senses)]
        box.right = shift + max([*rights, CONTROLLER_MM / 2 + LABEL_GAP_MM + self.style.widest_mm(lines)])
        return SatelliteBox(satellite, supply, senses, lines, shift)

    def bar(self, bar: Bar) -> BarBox:
        """A bar with all that hangs from it."""
        down = [self.column(c) for c in bar.down]
        up = [self.column(c) for c in bar.up]
        text = self.lettering.bar(bar.key)
        if bar.from_sheet:
            text = self.lettering.info.word("continued_from", bar=text, sheet=str(bar.from_sheet))
        box = BarBox(bar, Lettered(fit(text, 70.0, self.style.size_mm, True), True), down, up)
        back = self.returns.get(bar.key)
        if back is not None and back.steps:
            box.trunk = self._back(back)
        self._spread(box)
        return box

    def _spread(self, box: BarBox) -> None:
        """Columns side by side: x of each from the bar's left, the bar's width, and where its feeder comes in."""
        x = 0.0
        for column in box.down:
            column.x = x + column.left
            x += column.left + column.right + self.gap
        box.width = max(0.0, x - self.gap) + self.continued_width(box)
        if box.down:
            axes = [column.x for column in box.down]
            box.feed = (axes[0] + axes[-1]) / 2 if box.bar.kind == "bank" and len(axes) > 1 else axes[0]

    def continued_width(self, box: BarBox) -> float:
        """Room at a bar's end for `continues on sheet n`."""
        return self.style.widest_mm(self.continued_lines(box)) + self.gap if box.bar.to_sheet else 0.0

    def continued_lines(self, box: BarBox) -> tuple[Lettered, ...]:
        """The words at the end of a bar that goes on elsewhere."""
        if not box.bar.to_sheet:
            return ()
        words = self.lettering.info.word("continues_on", sheet=str(box.bar.to_sheet))
        return self._lettered(self._wrapped(words, 16.0, 2), bold_first=False)

    def tie(self, tie: Tie) -> TieBox:
        """An arch: the relay (or what stands nearest the middle) on top, the rest on the legs."""
        count = len(tie.steps)

        def rank(i: int) -> tuple[int, float]:
            kinds = {"vsr": 0, "dc_dc": 0, "contactor": 1, "switch": 2, "conductor": 3}
            return kinds.get(tie.steps[i].kind, 4), abs(i - (count - 1) / 2)

        k = min(range(count), key=rank)
        left = [self.step(s) for s in tie.steps[:k]]
        right = [self.step(Step(s.kind, s.key, s.far, s.near)) for s in reversed(tie.steps[k + 1 :])]
        top = self.step(tie.steps[k])
        symbol_left = 0.6 if top.step.kind == "conductor" else series(top.step.kind, 10.0, 5.0).left_mm
        words = self.style.widest_mm(top.lines)
        clear = {"conductor": 0.0, "dc_dc": 5.5}.get(top.step.kind, 4.2)
        top.offset = clear
        top_width = words + 4.0 if top.step.kind == "conductor" else 2 * max(7.0, 3.0 + words / 2)
        above = max(symbol_left, self.style.block_mm(len(top.lines)) + 1.6)
        for other in top.beside:
            lines = self.style.block_mm(len(other.lines)) + 1.6
            above += 3.0 + max(series(other.step.kind, 10.0, 5.0).left_mm, lines)
            top_width = max(top_width, 2 * max(7.0, 5.5 + self.style.widest_mm(other.lines)))
        return TieBox(tie, (left, right), top, top_width, above)


def _broken(text: str) -> tuple[str, ...]:
    """A size label in two lines: `2/0 AWG` and `(67.4 mm²)`."""
    head, bracket, rest = text.partition(" (")
    return (head, "(" + rest) if bracket else (text,)
