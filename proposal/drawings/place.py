"""From measured boxes to items on the page: every x and y of a single-line sheet is set here."""

from dataclasses import dataclass, field

from proposal.drawings.boxes import (
    COIL_MM,
    CONTROLLER_MM,
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
from proposal.drawings.lettering import Lettering
from proposal.drawings.marks import cloud_mm
from proposal.drawings.primitives import Ink, Item, Point, Text, Wire
from proposal.drawings.symbols import battery, end, series
from proposal.drawings.text import ASCENT, DESCENT

BAR_WIDTH_MM = 1.5
_HEAVY_MM2, _MIDDLE_MM2 = 35.0, 10.0


@dataclass(slots=True)
class Canvas:
    """Items of a sheet as they are placed, the style they are lettered in, and the stretch of all lengths."""

    lettering: Lettering
    style: Style
    stretch: float
    items: list[Item] = field(default_factory=list)
    centres: dict[str, float] = field(default_factory=dict)
    bars: set[tuple[str, float]] = field(default_factory=set)

    def lines(self, lines: tuple[Lettered, ...], x: float, top: float) -> tuple[Text, ...]:
        """A block of lines whose first line's box starts at `top`."""
        size, pitch = self.style.size_mm, self.style.pitch_mm
        return tuple(
            Text(x, top + ASCENT * size + i * pitch, line.text, size, line.bold) for i, line in enumerate(lines)
        )

    def centred(self, lines: tuple[Lettered, ...], x: float, y: float) -> tuple[Text, ...]:
        """A block of lines centred on `y`."""
        return self.lines(lines, x, y - self.style.block_mm(len(lines)) / 2)

    def clear(self, shift: float, lines: int) -> float:
        """How far a label stands within its cloud; 0 where it has none."""
        high = self.style.block_mm(lines)
        return (cloud_mm(high) - high) / 2 if shift else 0.0

    def wire_width(self, key: str) -> float:
        """Heavy conductors are drawn heavier."""
        area = self.lettering.area_mm2(key)
        return 0.9 if area >= _HEAVY_MM2 else 0.6 if area >= _MIDDLE_MM2 else 0.35

    def lengths(self, steps: list[StepBox], room: float) -> list[float]:
        """Lengths of the steps so that they fill the room: what is left over goes to the conductors."""
        lengths = [s.length * self.stretch for s in steps]
        spare = room - sum(lengths)
        takers = [i for i, s in enumerate(steps) if s.step.kind == "conductor"] or list(range(len(steps)))
        for i in takers:
            lengths[i] += spare / len(takers)
        return lengths

    def run(self, steps: list[StepBox], x: float, y: float, target: float, ink: Ink = "positive") -> dict[str, float]:
        """Place steps along a vertical axis from y to target; returns the y of every node on the way."""
        at = {steps[0].step.near: y} if steps else {}
        sign = 1.0 if target >= y else -1.0
        for box, length in zip(steps, self.lengths(steps, abs(target - y)), strict=True):
            far = y + sign * length
            self.vertical(box, x, y, far, ink)
            at[box.step.far] = far
            y = far
        return at

    def vertical(self, box: StepBox, x: float, y: float, far: float, ink: Ink) -> None:
        """One step on a vertical axis."""
        step, key = box.step, box.step.key
        tail = box.tail * self.stretch * (1.0 if far > y else -1.0)
        centre = (y + far - tail) / 2
        if box.driven:
            centre = y + box.middle * self.stretch + (far - y - box.length * self.stretch) / 2
        pins = ((step.near, x, y), (step.far, x, far))
        texts = self.centred(box.lines, x + box.offset, centre)
        title = " · ".join(line.text for line in box.lines)
        designation = self.lettering.designation(key)
        if step.kind == "conductor":
            wire = Wire(((x, y), (x, far)), self.wire_width(key), ink)
            self.items.append(Item("conductor", key, designation, title, wires=(wire,), texts=texts, pins=pins))
            return
        self.centres[key] = centre
        low, high = max(y, far), min(y, far)
        kind = "driven_contactor" if box.driven else step.kind
        symbol = series(kind, round(low - high, 4), round(low - centre, 4))
        axis = x - series(step.kind, 10.0, 5.0).left_mm - 2.0
        for other in box.beside:
            axis -= other.right
            self.joint(step.near, (x, y), (axis, y))
            self.joint(step.far, (x, far), (axis, far))
            self.vertical(other, axis, y, far, ink)
            axis -= other.left + 2.0
        if box.driven:
            texts = self.lines(box.lines, x + box.offset, centre + 2.6 + self.clear(box.shift, len(box.lines)))
        self.items.append(Item(step.kind, key, designation, title, symbol, (x, low), 90.0, texts=texts, pins=pins))

    def device_end(self, box: ColumnBox, ending: EndBox, x: float, y: float, sign: float) -> None:
        """The end device of a column."""
        column = box.column
        kind, key = column.end.kind, column.end.key
        pins: tuple[tuple[str, float, float], ...] = ((column.end.node, x, y),)
        symbol = ending.symbol
        if kind == "battery":
            symbol = battery(ending.depth)
            negative = self.lettering.circuit.battery[key].negative
            pins = (*pins, (negative, x, y + sign * ending.depth))
        if ending.below:
            top = y + sign * (symbol.length_mm + 1.4) + self.clear(ending.shift, len(ending.lines))
            texts = self.lines(ending.lines, x - ending.left + ending.shift, top)
        else:
            beside = x + ending.symbol.right_mm + 1.4 + ending.shift
            texts = self.centred(ending.lines, beside, y + sign * ending.depth / 2)
        title = " · ".join(line.text for line in ending.lines)
        data = (("symbol", symbol.name),)
        shown = "" if kind in ("to", "from", "open") else key
        self.items.append(
            Item(kind, shown, self.lettering.designation(shown), title, symbol, (x, y), 90.0 if sign < 0 else -90.0,
                 texts=texts, pins=pins, data=data)
        )  # fmt: skip

    def satellite(self, box: SatelliteBox, x: float, at: dict[str, float]) -> None:
        """A controller beside its contactor: feed from above, sense from below, and the coil that it drives."""
        centre = self.centres[box.satellite.contactor]
        axis = x + box.shift
        half = CONTROLLER_MM / 2
        for steps, tapped, pin, edge in (
            (box.supply, box.satellite.supply_from, box.satellite.pins[0], centre - half),
            (box.senses, box.satellite.senses_from, box.satellite.pins[1], centre + half),
        ):
            y = at[tapped]
            if (tapped, round(y, 3)) not in self.bars:
                self.joint(tapped, (x, y), (axis, y))
            if steps:
                self.run(steps, axis, y, edge)
            else:
                self.joint(pin, (axis, y), (axis, edge))
        texts = self.centred(box.lines, axis + half + 1.4, centre)
        title = " · ".join(line.text for line in box.lines)
        key = box.satellite.key
        coil_left = axis - half - COIL_MM
        coil = Wire(_loop(coil_left, centre - 1.5, axis - half, centre + 1.5), 0.35)
        link = Wire(((x - 1.2, centre), (coil_left, centre)), 0.25, dashed=True)
        pins = ((box.satellite.pins[0], axis, centre - half), (box.satellite.pins[1], axis, centre + half))
        self.items.append(
            Item("controller", key, self.lettering.designation(key), title, end("controller"), (axis, centre - half),
                 -90.0, wires=(coil, link), texts=texts, pins=pins, data=(("symbol", "controller"),))
        )  # fmt: skip

    def bar(self, box: BarBox, name_x: float) -> None:
        """A bus bar with its name above it."""
        bar = box.bar
        y = box.y
        self.bars.add((bar.node, round(y, 3)))
        size = self.style.size_mm
        texts: tuple[Text, ...] = ()
        if box.name.text:
            base = y - BAR_WIDTH_MM / 2 - 1.0 - DESCENT * size - self.clear(box.shift, 1)
            texts = (Text(name_x + box.shift, base, box.name.text, size, True),)
        wire = Wire(((box.x0, y), (box.x1, y)), BAR_WIDTH_MM, "positive")
        pins = ((bar.node, box.x0, y), (bar.node, box.x1, y))
        designation = self.lettering.designation(bar.key)
        self.items.append(Item("bus", bar.key, designation, box.name.text, wires=(wire,), texts=texts, pins=pins))

    def negative_bar(self, box: BarBox, span: tuple[float, float], texts: tuple[Text, ...] = ()) -> None:
        """The negative bar of a bank, below its batteries; with words where the bank's bar goes on elsewhere."""
        x0, x1 = span
        node = next(b.negative for b in self.lettering.circuit.buses if b.key == box.bar.key)
        y = box.negative_y
        wire = Wire(((x0, y), (x1, y)), BAR_WIDTH_MM, "negative")
        self.items.append(Item("negative_bus", wires=(wire,), texts=texts, pins=((node, x0, y), (node, x1, y))))

    def returned(self, back: ReturnBox, x: float, y: float) -> None:
        """A negative chain down to its mark."""
        target = y + sum(s.length for s in back.steps) * self.stretch
        if back.steps:
            self.run(back.steps, x, y, target, "negative")
        texts = self.lines(back.mark, x - 4.2, target + 4.6)
        title = " ".join(line.text for line in back.mark)
        mark = Item("negative", title=title, symbol=end("negative"), at=(x, target), theta=-90.0, texts=texts)
        self.items.append(mark)

    def arch(self, box: TieBox, bars: tuple[BarBox, BarBox]) -> None:
        """A tie over two bars: the legs, what stands on top, and what stands in parallel with that above it."""
        (xa, xb), top = box.x, box.y
        ends = []
        for leg, x, bar in ((box.legs[0], xa, bars[0]), (box.legs[1], xb, bars[1])):
            if leg:
                self.run(leg, x, bar.y, top)
            elif box.top.step.kind != "conductor":
                self.joint(bar.bar.node, (x, bar.y), (x, top))
            ends.append((x, top if leg else bar.y))
        self.level(box.top, xa, xb, top, ends)
        y = top
        below = box.top
        for other in box.top.beside:
            left = series(below.step.kind, 10.0, 5.0).left_mm
            label = self.style.block_mm(len(below.lines)) + 2 * self.clear(below.shift, len(below.lines))
            higher = y - max(left, label + 1.6) - 3.0
            self.joint(box.top.step.near, (xa, y), (xa, higher))
            self.joint(box.top.step.far, (xb, y), (xb, higher))
            other.offset = 4.2
            self.level(other, xa, xb, higher, [])
            y, below = higher, other

    def joint(self, node: str, a: Point, b: Point) -> None:
        """A stretch of one node: a lead that is no conductor of the schedule."""
        if a != b:
            pins = ((node, *a), (node, *b))
            self.items.append(Item("joint", wires=(Wire((a, b), 0.35, "positive"),), pins=pins))

    def level(self, box: StepBox, xa: float, xb: float, y: float, ends: list[Point]) -> None:
        """One step on a horizontal axis, its label above; a conductor bends down to its ends where they lie lower."""
        step, key = box.step, box.step.key
        designation = self.lettering.designation(key)
        title = " · ".join(line.text for line in box.lines)
        top = y - 1.4 - self.style.block_mm(len(box.lines)) - self.clear(box.shift, len(box.lines))
        if step.kind == "conductor":
            points = tuple(dict.fromkeys((ends[0], (xa, y), (xb, y), ends[1])))
            wires = (Wire(points, self.wire_width(key), "positive"),)
            texts = self.lines(box.lines, xa + 2.0 + box.shift, top)
            pins = ((step.near, *ends[0]), (step.far, *ends[1]))
            self.items.append(Item("conductor", key, designation, title, wires=wires, texts=texts, pins=pins))
            return
        pins = ((step.near, xa, y), (step.far, xb, y))
        middle = TOP_MM
        symbol = series(step.kind, round(xb - xa, 4), round(middle, 4))
        texts = self.lines(box.lines, xa + middle + box.offset + box.shift, top)
        self.items.append(Item(step.kind, key, designation, title, symbol, (xa, y), 0.0, texts=texts, pins=pins))


def _loop(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
