"""A sheet composed: bars side by side, columns spread over the width, rows aligned, all stretched to the height."""

from dataclasses import dataclass

from proposal.drawings.boxes import EDGE_MM, BarBox, ColumnBox, ReturnBox, TieBox
from proposal.drawings.lettering import Lettering
from proposal.drawings.measure import Measure
from proposal.drawings.pages import BAND_GAP_MM
from proposal.drawings.place import Canvas
from proposal.drawings.primitives import Item
from proposal.drawings.sheet import BAND_MM, MARGIN_MM, PAGE_HEIGHT_MM, PAGE_WIDTH_MM
from proposal.drawings.spread import columns, spread
from proposal.drawings.topology import Bar, Tie
from proposal.frozen import frozen

LEFT_MM, RIGHT_MM = MARGIN_MM + 4.0, PAGE_WIDTH_MM - MARGIN_MM - 4.0
TOP_MM, BOTTOM_MM = MARGIN_MM + 4.0, PAGE_HEIGHT_MM - MARGIN_MM - BAND_MM - 3.0
WIDTH_MM, HEIGHT_MM = RIGHT_MM - LEFT_MM, BOTTOM_MM - TOP_MM


@frozen
class Area:
    """Where on a page the bands stand [mm]: its corner, its width and its height."""

    left: float
    top: float
    width: float
    height: float


SHEET = Area(LEFT_MM, TOP_MM, WIDTH_MM, HEIGHT_MM)
"""Of a sheet with a frame."""
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

    def above(self, stretch: float) -> float:
        """Height over the root bars."""
        name = max((self.measure.name_mm(bar.bar) for bar in self.bars), default=self.measure.style.block_mm(1)) + 3.0
        up = [c for bar in self.bars for c in bar.up]
        # all sources stand in one row, whichever of them is the highest and whichever hangs longest
        sources = max((c.length for c in up), default=0.0) * stretch + max(
            (c.end.depth for c in up if c.end), default=0.0
        )
        return max([name, sources, *(self._arch(tie, stretch) + tie.above for tie in self.ties)])

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
        bottoms.append(y + self.measure.style.block_mm(2) + 2.0 if box.ends else y)
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
    measure: Measure, roots: list[Bar], ties: list[Tie], *, loose: bool = False, area: Area = SHEET
) -> Composed:
    """A band at the measure's style: as narrow as it goes, or `loose` over the width of the area."""
    bars, arches = [measure.bar(root) for root in roots], [measure.tie(tie) for tie in ties]
    composed = Composed(bars, arches, measure, spread(bars, arches, _GAP_MIN_MM))
    if loose:
        gap = _GAP_MIN_MM + max(0.0, area.width - composed.width) / max(1, sum(columns(b) for b in bars))
        composed.width = spread(bars, arches, min(_GAP_MAX_MM, gap))
        if composed.width > area.width:
            composed.width = spread(bars, arches, _GAP_MIN_MM)
    return composed


def place(bands: list[Composed], lettering: Lettering, area: Area = SHEET) -> list[Item]:
    """All items of a sheet: its bands one below the other, stretched to its height, each centred on its width."""
    room = area.height - BAND_GAP_MM * (len(bands) - 1)

    def needed(stretch: float) -> float:
        return sum(band.height(stretch) for band in bands)

    stretch = _STRETCH_MAX
    if needed(stretch) > room:
        low, high = 1.0, _STRETCH_MAX
        for _ in range(12):
            stretch = (low + high) / 2
            low, high = (stretch, high) if needed(stretch) <= room else (low, stretch)
        stretch = low
    items: list[Item] = []
    top = area.top
    for band in bands:
        height = band.height(stretch)
        items += _band(band, lettering, stretch, top, area)
        top += height + BAND_GAP_MM + (room - needed(stretch)) / max(1, len(bands)) * (len(bands) > 1)
    return items


def _band(composed: Composed, lettering: Lettering, stretch: float, top_mm: float, area: Area) -> list[Item]:
    canvas = Canvas(lettering, composed.measure.style, stretch)
    dx = round(area.left + max(0.0, (area.width - composed.width) / 2), 2)
    _shift(composed, dx, top_mm)
    for box in composed.bars:
        _bar(canvas, box)
        for column in box.up:
            assert column.end is not None  # noqa: S101 - only sources stand above a bar
            y = top_mm + max(c.end.depth for b in composed.bars for c in b.up if c.end)
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
        box.trunk_at += dx
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


def _bar(canvas: Canvas, box: BarBox) -> None:
    canvas.bar(box, box.name_at)
    if box.ends:
        canvas.items.append(Item("note", texts=canvas.lines(box.ends, box.x1 - box.ends_width, box.y + 1.6)))
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
            _bar(canvas, column.child)
        elif column.end is not None:
            if not column.steps:
                canvas.joint(box.bar.node, (column.x, box.y), (column.x, column.target))
            canvas.device_end(column, column.end, column.x, column.target, 1.0)
            if column.column.end.kind == "battery":
                _below(canvas, column, box, column.target)
    if box.trunk is not None:
        axes = [c.x for c in box.down if c.back is not None and c.back.steps]
        if axes:
            _trunk(canvas, box, box.trunk, axes)


def _below(canvas: Canvas, column: ColumnBox, box: BarBox, y: float) -> None:
    back, ending = column.back, column.end
    if back is None or ending is None:
        return
    bottom = y + ending.depth
    if box.trunk is not None and back.steps:
        canvas.run(back.steps, column.x, bottom, box.negative_y, "negative")
    else:
        canvas.returned(back, column.x, bottom)


def _trunk(canvas: Canvas, box: BarBox, trunk: ReturnBox, axes: list[float]) -> None:
    span = (min(axes) - EDGE_MM, max(axes) + EDGE_MM)
    if trunk.steps:
        canvas.negative_bar(box, span)
        canvas.returned(trunk, box.trunk_at, box.negative_y)
    else:
        canvas.negative_bar(box, span, canvas.lines(trunk.mark, min(axes), box.negative_y + 1.6))
