"""The width of a sheet: columns side by side under their bars, bars side by side, ties as arches between them."""

from proposal.drawings.boxes import EDGE_MM, BarBox, ColumnBox, TieBox

SECTION_GAP_MM = 10.0
_SHORTEST_BAR_MM = 12.0


def spread(bars: list[BarBox], ties: list[TieBox], gap_mm: float) -> float:
    """Set every x; returns the width that all take together. `gap_mm` lies between any two columns."""
    x = 0.0
    before: list[TieBox] = []
    for box in bars:
        _hang(box, gap_mm)
        after = [tie for tie in ties if tie.tie.left == box.bar.node]
        x = _section(box, before, after, x, gap_mm)
        before = after
        _settle(box)
    return bars[-1].x1 if bars else 0.0


def columns(box: BarBox) -> int:
    """How many columns stand side by side below a bar."""
    return sum(1 + (0 if c.child is None else columns(c.child)) + 2 * len(c.satellites) for c in box.down)


def _hang(box: BarBox, gap: float) -> None:
    """Columns of a bar: x of each from the bar's left, the bar's width, and where its feeder comes in."""
    x = 0.0
    for column in (*box.up, *box.down):
        column.left, column.right, column.x = column.core_left, column.core_right, 0.0
    for column in box.down:
        _extend(column, gap)
        column.x = x + column.left
        x += column.left + column.right + gap
        if box.trunk is not None and column.back is not None and column.back.steps:
            first = next(c.x for c in box.down if c.back is not None and c.back.steps)
            box.trunk_at = (first + column.x) / 2
            last_end = max(x, box.trunk_at + box.trunk.right + gap)
            x = x if _more_strings(box, column) else last_end
    box.width = max(0.0, x - gap)
    if box.ends:
        box.width += box.ends_width + gap
    axes = [column.x for column in box.down]
    if axes:
        box.feed = (axes[0] + axes[-1]) / 2 if box.bar.kind == "bank" and len(axes) > 1 else axes[0]


def _more_strings(box: BarBox, column: ColumnBox) -> bool:
    """Whether another string of the same bank stands to the right."""
    return any(c.back is not None and c.back.steps for c in box.down[box.down.index(column) + 1 :])


def _extend(column: ColumnBox, gap: float) -> None:
    """Extents of a column with its satellites and all that hangs from its child bar."""
    for satellite in column.satellites:
        satellite.shift = column.right + gap + satellite.left
        column.right = satellite.shift + satellite.right
    child = column.child
    if child is None:
        return
    _hang(child, gap)
    taps = [s.shift for s in column.satellites if s.satellite.senses_from == child.bar.node]
    child.name_at = max(taps, default=0.0) + 1.8
    column.left = max(column.left, child.feed, EDGE_MM)
    column.right = max(column.right, child.width - child.feed, child.name_at + child.name_width, EDGE_MM)


def _section(box: BarBox, before: list[TieBox], after: list[TieBox], x: float, gap: float) -> float:
    """A root bar: legs of ties from its left neighbour, name, sources, legs to its right neighbour; columns below."""
    box.x0 = x
    upper = x + EDGE_MM
    if before:
        inner = before[0]
        reach = inner.x[0] + max(inner.extent(0, "right") + inner.extent(1, "left") + gap, inner.top_width)
        upper = max(upper, reach - inner.extent(1, "left"))
        box.x0 = max(box.x0, upper - EDGE_MM)
        for arch in before:
            axis = upper + arch.extent(1, "left")
            arch.x = (arch.x[0], axis)
            upper = max(axis + arch.extent(1, "right"), arch.x[0] + arch.label) + gap
    box.name_at = upper if before else box.x0
    upper = max(upper, box.name_at + box.name_width + gap)
    for column in box.up:
        column.x = upper + column.left
        upper = column.x + column.right + gap
    for column in box.down:
        column.x += box.x0 + EDGE_MM
    box.trunk_at += box.x0 + EDGE_MM
    lower = box.x0 + 2 * EDGE_MM + box.width
    legs = sum(a.extent(0, "left") + a.extent(0, "right") + gap for a in after)
    if after:
        legs -= after[0].extent(0, "right") + gap - EDGE_MM
    box.x1 = max(upper + legs, lower, box.x0 + _SHORTEST_BAR_MM)
    edge = box.x1
    for k, arch in enumerate(after):
        axis = edge - EDGE_MM if k == 0 else edge - arch.extent(0, "right") - gap
        arch.x = (axis, axis)
        edge = axis - arch.extent(0, "left")
    return box.x1 + SECTION_GAP_MM


def _settle(box: BarBox) -> None:
    """Turn the x of columns below child bars from the bar's own frame into the sheet's."""
    for column in box.down:
        child = column.child
        if child is None:
            continue
        start = column.x - child.feed
        child.trunk_at += start
        for below in child.down:
            below.x += start
        _settle(child)
        taps = [column.x + s.shift for s in column.satellites if s.satellite.senses_from == child.bar.node]
        axes = [c.x for c in child.down] + [column.x, *taps]
        child.x0, child.x1 = min(axes) - EDGE_MM, max(axes) + EDGE_MM
        if child.ends:
            child.x1 = max(child.x1, start + child.width)
        child.name_at += column.x
