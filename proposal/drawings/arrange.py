"""A sheet composed: bars side by side, columns spread over the width, rows aligned, all stretched to the height."""

from dataclasses import dataclass

from proposal.drawings.lettering import Lettering
from proposal.drawings.measure import BarBox, ColumnBox, Measure, StepBox, Style, TieBox
from proposal.drawings.negative import Return
from proposal.drawings.place import Canvas
from proposal.drawings.primitives import Item
from proposal.drawings.sheet import BAND_MM, MARGIN_MM, PAGE_HEIGHT_MM, PAGE_WIDTH_MM
from proposal.drawings.text import width_mm
from proposal.drawings.topology import Bar, Tie

LEFT_MM, RIGHT_MM = MARGIN_MM + 4.0, PAGE_WIDTH_MM - MARGIN_MM - 4.0
TOP_MM, BOTTOM_MM = MARGIN_MM + 4.0, PAGE_HEIGHT_MM - MARGIN_MM - BAND_MM - 3.0
_EDGE_MM = 3.0
_SECTION_GAP_MM = 10.0
_GAP_MIN_MM, _GAP_MAX_MM = 2.5, 12.0
_STRETCH_MAX = 1.7


@dataclass(slots=True)
class Composed:
    """Boxes of one sheet with their x set, and what they need in height."""

    bars: list[BarBox]
    ties: list[TieBox]
    measure: Measure
    width: float
    stretch: float = 1.0

    @property
    def fits(self) -> bool:
        """Whether width and natural height go on the page."""
        return self.width <= RIGHT_MM - LEFT_MM and self.height(1.0) <= BOTTOM_MM - TOP_MM

    def above(self, stretch: float) -> float:
        """Height over the root bars."""
        name = self.measure.style.block_mm(1) + 3.0
        sources = [c.length * stretch + (c.end.depth if c.end else 0.0) for bar in self.bars for c in bar.up]
        return max([name, *sources, *(self._arch(tie, stretch) + tie.above for tie in self.ties)])

    def _arch(self, tie: TieBox, stretch: float) -> float:
        """Height of a tie's top over the bars: over the tops of the ties inside it."""
        inner = 0.0
        for other in self.ties:
            if other is tie:
                break
            if (other.tie.left, other.tie.right) == (tie.tie.left, tie.tie.right):
                inner = self._arch(other, stretch) + other.above + 4.0
        return max(tie.height * stretch, inner)

    def height(self, stretch: float) -> float:
        """Height of the whole sheet at a stretch of all leads."""
        y = self.above(stretch)
        self.stretch = stretch
        for tie in self.ties:
            tie.y = y - self._arch(tie, stretch)
        return max([y, *self._levels(y, stretch)])

    def _levels(self, y: float, stretch: float) -> list[float]:
        """Set every bar's y and return the bottoms of everything."""
        bottoms: list[float] = []
        batteries: list[tuple[ColumnBox, float]] = []
        for bar in self.bars:
            self._level(bar, y, stretch, bottoms, batteries)
        row = max((top + column.length * stretch for column, top in batteries), default=0.0)
        for bar in self.bars:
            self._negatives(bar, row, stretch, bottoms)
        return bottoms

    def _level(
        self,
        box: BarBox,
        y: float,
        stretch: float,
        bottoms: list[float],
        batteries: list[tuple[ColumnBox, float]],
    ) -> None:
        box.y = y
        bottoms.append(y + self.measure.style.block_mm(2) if box.bar.to_sheet else y)
        batteries += [(c, y) for c in box.down if c.column.end.kind == "battery"]
        for group in _groups(box):
            row = y + max(c.length for c in group) * stretch
            for column in group:
                column.target = row
                if column.child is not None:
                    self._level(column.child, row, stretch, bottoms, batteries)
                elif column.end is not None:
                    bottoms.append(row + column.end.depth)

    def _negatives(self, box: BarBox, row: float, stretch: float, bottoms: list[float]) -> None:
        mark = 5.0 + self.measure.style.block_mm(2)
        ends = []
        for column in box.down:
            if column.child is not None:
                self._negatives(column.child, row, stretch, bottoms)
            if column.column.end.kind != "battery" or column.end is None:
                continue
            column.target = row
            bottom = row + column.end.depth
            if column.back is not None:
                bottom += sum(s.length for s in column.back.steps) * stretch
                ends.append(bottom)
            bottoms.append(bottom + mark)
        if box.trunk is not None and ends:
            box.negative_y = max(ends)
            bottoms.append(max(ends) + sum(s.length for s in box.trunk.steps) * stretch + mark)


def _groups(box: BarBox) -> list[list[ColumnBox]]:
    """Columns of a bar that end in one row: child bars with storage, other child bars, end devices."""
    storage = [c for c in box.down if c.child is not None and c.column.holds_battery()]
    panels = [c for c in box.down if c.child is not None and not c.column.holds_battery()]
    ends = [c for c in box.down if c.child is None and c.column.end.kind != "battery"]
    return [group for group in (storage, panels, ends) if group]


def compose(
    lettering: Lettering, returns: dict[str, Return], roots: list[Bar], ties: list[Tie], style: Style
) -> Composed | None:
    """The sheet at one style, or None if it doesn't fit the page."""
    composed = _across(Measure(lettering, returns, style, _GAP_MIN_MM), roots, ties)
    if not composed.fits:
        return None
    spare = RIGHT_MM - LEFT_MM - composed.width
    gap = min(_GAP_MAX_MM, _GAP_MIN_MM + spare / max(1, sum(_count(b) for b in composed.bars)))
    wider = _across(Measure(lettering, returns, style, gap), roots, ties)
    return wider if wider.fits else composed


def _count(box: BarBox) -> int:
    return sum(1 + (0 if c.child is None else _count(c.child)) + 2 * len(c.satellites) for c in box.down)


def _across(measure: Measure, roots: list[Bar], ties: list[Tie]) -> Composed:
    """Set the x of every bar, column and leg."""
    bars = [measure.bar(root) for root in roots]
    arches = [measure.tie(tie) for tie in ties]
    gap = measure.gap
    x = 0.0
    before: list[TieBox] = []
    for box in bars:
        box.x0 = x
        after = [a for a in arches if a.tie.left == box.bar.node]
        upper = x + _EDGE_MM
        if before:
            inner = before[0]
            reach = inner.x[0] + max(_right(inner.legs[0]) + _left(inner.legs[1]) + gap, inner.top_width)
            upper = max(upper, reach - _left(inner.legs[1]))
            box.x0 = max(box.x0, upper - _EDGE_MM)
            for arch in before:
                axis = upper + _left(arch.legs[1])
                arch.x = (arch.x[0], axis)
                upper = axis + max(_right(arch.legs[1]), arch.top.offset + 2.0) + gap
        box.name_at = upper if before else box.x0
        busy = bool(box.up or after)
        name = width_mm(box.name.text, measure.style.size_mm, True)
        upper = max(upper, box.name_at + name + gap) if busy or box.name.text else upper
        for column in box.up:
            column.x = upper + column.left
            upper = column.x + column.right + gap
        for column in box.down:
            column.x += box.x0 + _EDGE_MM
        lower = box.x0 + _EDGE_MM + box.width
        legs = sum(_left(a.legs[0]) + _right(a.legs[0]) + gap for a in after)
        if after:
            legs -= _right(after[0].legs[0]) + gap - _EDGE_MM
        box.x1 = max(upper + legs, lower, box.x0 + 12.0)
        edge = box.x1
        for k, arch in enumerate(after):
            axis = edge - _EDGE_MM if k == 0 else edge - _right(arch.legs[0]) - gap
            arch.x = (axis, axis)
            edge = axis - _left(arch.legs[0])
        x = box.x1 + _SECTION_GAP_MM
        before = after
        _child_x(box)
    return Composed(bars, arches, measure, bars[-1].x1 if bars else 0.0)


def _left(leg: list[StepBox]) -> float:
    return max((s.left for s in leg), default=1.0)


def _right(leg: list[StepBox]) -> float:
    return max((s.right for s in leg), default=1.0)


def _child_x(box: BarBox) -> None:
    """Turn the x of columns below child bars from the bar's own frame into the sheet's."""
    for column in box.down:
        child = column.child
        if child is None:
            continue
        start = column.x - child.feed
        for c in child.down:
            c.x += start
        _child_x(child)
        taps = [column.x + s.shift for s in column.satellites if s.satellite.senses_from == child.bar.node]
        axes = [c.x for c in child.down] + [column.x, *taps]
        child.x0, child.x1 = min(axes) - _EDGE_MM, max(axes) + _EDGE_MM
        if child.bar.to_sheet:
            child.x1 = max(child.x1, start + child.width)
        child.name_at += column.x


def place(composed: Composed, lettering: Lettering) -> list[Item]:
    """All items of a composed sheet, stretched to the page's height and centred on its width."""
    room = BOTTOM_MM - TOP_MM
    low, high = 1.0, _STRETCH_MAX
    if composed.height(high) > room:
        for _ in range(12):
            middle = (low + high) / 2
            low, high = (middle, high) if composed.height(middle) <= room else (low, middle)
    else:
        low = high
    composed.height(low)
    canvas = Canvas(lettering, composed.measure.style, low)
    dx = round(LEFT_MM + max(0.0, (RIGHT_MM - LEFT_MM - composed.width) / 2), 2)
    _shift(composed, dx, TOP_MM)
    for box in composed.bars:
        _bar(canvas, composed, box, box.name_at)
        for column in box.up:
            assert column.end is not None  # noqa: S101 - only sources stand above a bar
            y = TOP_MM + max(c.end.depth for b in composed.bars for c in b.up if c.end)
            if column.steps:
                canvas.run(column.steps, column.x, box.y, y)
            else:
                canvas.joint(box.bar.node, (column.x, box.y), (column.x, y))
            canvas.device_end(column, column.end, column.x, y, -1.0)
    at = {box.bar.node: box for box in composed.bars}
    for arch in composed.ties:
        canvas.arch(arch, (at[arch.tie.left], at[arch.tie.right]))
    return canvas.items


def _shift(composed: Composed, dx: float, dy: float) -> None:
    def bar(box: BarBox) -> None:
        box.x0 += dx
        box.x1 += dx
        box.name_at += dx
        box.y += dy
        box.negative_y += dy
        for column in (*box.up, *box.down):
            column.x += dx
            column.target += dy
            if column.child is not None:
                bar(column.child)

    for box in composed.bars:
        bar(box)
    for arch in composed.ties:
        arch.x = (arch.x[0] + dx, arch.x[1] + dx)
        arch.y += dy


def _bar(canvas: Canvas, composed: Composed, box: BarBox, name_x: float) -> None:
    canvas.bar(box, name_x)
    words = composed.measure.continued_lines(box)
    if words:
        x = box.x1 - composed.measure.style.widest_mm(words)
        canvas.items.append(Item("note", texts=canvas.lines(words, x, box.y + 1.6)))
    for column in box.down:
        at = {box.bar.node: box.y}
        if column.child is not None:
            column.child.y = column.target
            canvas.bars.add((column.child.bar.node, round(column.target, 3)))
        if column.steps:
            at |= canvas.run(column.steps, column.x, box.y, column.target)
        for satellite in column.satellites:
            canvas.satellite(satellite, column.x, at)
        if column.child is not None:
            _bar(canvas, composed, column.child, column.child.name_at)
        elif column.end is not None:
            if not column.steps:
                canvas.joint(box.bar.node, (column.x, box.y), (column.x, column.target))
            canvas.device_end(column, column.end, column.x, column.target, 1.0)
            if column.column.end.kind == "battery":
                _below(canvas, column, box, column.target)
    if box.trunk is not None:
        axes = [c.x for c in box.down if c.back is not None and c.back.steps]
        if axes:
            _trunk(canvas, box, axes)


def _below(canvas: Canvas, column: ColumnBox, box: BarBox, y: float) -> None:
    back, ending = column.back, column.end
    if back is None or ending is None:
        return
    bottom = y + ending.depth
    if box.trunk is not None and back.steps:
        canvas.run(back.steps, column.x, bottom, box.negative_y, "negative")
    else:
        canvas.returned(back, column.x, bottom)


def _trunk(canvas: Canvas, box: BarBox, axes: list[float]) -> None:
    x = (min(axes) + max(axes)) / 2 if len(axes) > 1 else axes[0]
    assert box.trunk is not None  # noqa: S101 - asked by the caller
    canvas.negative_bar(box, min(axes) - _EDGE_MM, max(axes) + _EDGE_MM)
    canvas.returned(box.trunk, x, box.negative_y)
