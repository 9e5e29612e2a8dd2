"""What goes where: all in one band of one sheet if it fits, else more bands, else more sheets.

A band is a row of bars with what hangs from them. What one band cannot hold goes on in the next, first the loads of
panels, then the last loads of the fullest bus.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from proposal.drawings.topology import Bar, Column, Tie, all_bars, refer


@dataclass(slots=True)
class Band:
    """Root bars and ties of one band, and what had to leave it, by node."""

    roots: list[Bar]
    ties: list[Tie]
    left_over: dict[str, Bar] = field(default_factory=dict)
    order: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Remember in which order the bars came."""
        self.order = [bar.node for bar in self.roots]

    def copy(self) -> "Band":
        """The same band with lists of its own."""
        return Band([bar.copy() for bar in self.roots], list(self.ties))

    def rest(self) -> "Band":
        """What left it, as a band: bars in the order in which they were drawn so far."""
        order = {node: i for i, node in enumerate(self.order)}
        return Band(sorted(self.left_over.values(), key=lambda bar: order.get(bar.node, len(order))), [])


@dataclass(slots=True)
class Page:
    """Bands of one sheet, all drawn at one style."""

    style: int
    bands: list[Band]


Size = Callable[[int, Band], tuple[float, float]]
"""Width and height in mm of a band at a style."""
BAND_GAP_MM = 6.0
_WIDEST_COLUMN_MM = 50.0


def paginate(
    whole: Band, size: Size, styles: tuple[int, ...], multiple: tuple[int, ...], room: tuple[float, float]
) -> list[Page]:
    """Sheets in order.

    Parameters: `size` measures a band; `styles` to try for all in one band, from roomy to tight, and `multiple` for
    several bands; `room`, width and height of a sheet in mm. Raises ValueError if one column is larger than a sheet.
    """
    pages: list[Page] = []
    rest = whole
    number = 1
    while rest.roots:
        page, rest = _page(rest, number, size, styles, multiple, room)
        pages.append(page)
        number += len(page.bands)
    return pages


def _page(
    whole: Band, number: int, size: Size, styles: tuple[int, ...], multiple: tuple[int, ...], room: tuple[float, float]
) -> tuple[Page, Band]:
    stored = _holds_storage(whole)
    for style in styles:
        band = whole.copy()
        _number(band, number)
        if _fits(size(style, band), room):
            return Page(style, [band]), Band([], [])
        if not stored:
            page = _even(whole, style, number, size, room)
            if page is not None:
                return page, Band([], [])
    best: tuple[Page, Band] | None = None
    for style in multiple:
        page, rest = _filled(whole, style, number, size, room)
        if page.bands and (best is None or _columns(rest) < _columns(best[1])):
            best = page, rest
        if page.bands and not rest.roots:
            break
    if best is None:
        raise ValueError("a single column of this circuit is larger than a sheet")
    return best


def _even(whole: Band, style: int, number: int, size: Size, room: tuple[float, float]) -> Page | None:
    """All in bands of about equal length, if that fits one sheet."""
    page, rest = _filled(whole, style, number, size, room)
    if rest.roots:
        return None
    most = -(-_columns(whole) // len(page.bands))
    even, rest = _filled(whole, style, number, size, room, most)
    return page if rest.roots else even


def _holds_storage(band: Band) -> bool:
    return bool(band.ties) or any(c.holds_battery() for bar in band.roots for c in bar.down)


def _number(band: Band, number: int) -> None:
    for bar in all_bars(band.roots):
        bar.band = number


def _columns(band: Band) -> int:
    return sum(len(bar.down) + len(bar.up) for bar in all_bars(band.roots))


def _filled(
    rest: Band, style: int, number: int, size: Size, room: tuple[float, float], most: int = 1_000_000
) -> tuple[Page, Band]:
    """One sheet with as many bands as it takes, of at most so many columns, and what is left for the next."""
    page = Page(style, [])
    while rest.roots:
        band = rest.copy()
        _number(band, number)
        while len(band.roots) > 1 and not _fits(size(style, _skeleton(band)), room):
            _split(band)
        if page.bands and _holds_storage(band) and not _fits(size(style, _skeleton(band)), room):
            return page, rest
        now = size(style, band)
        while (not _fits(now, room) or _columns(band) > most) and _lighten(band, number, now[0] - room[0]):
            now = size(style, band)
        if not _fits(now, room) or (band.left_over and not _columns(band)):
            return page, rest
        _drop_bare(band)
        page.bands.append(band)
        room = room[0], room[1] - now[1] - BAND_GAP_MM
        rest = band.rest()
        number += 1
    return page, rest


def _drop_bare(band: Band) -> None:
    """A root bar on which nothing was left is not drawn in this band: it comes in the next one as it came in here."""
    tied = {node for tie in band.ties for node in (tie.left, tie.right)}
    for bar in list(band.roots):
        if not bar.down and not bar.up and bar.node not in tied and bar.node in band.left_over:
            band.roots.remove(bar)
            band.left_over[bar.node].from_band = bar.from_band


def _lighten(band: Band, number: int, excess_mm: float) -> bool:
    """Move as many columns on as the excess width surely takes, at least one; False if nothing can go."""
    moved, wanted = 0, max(1, int(excess_mm / _WIDEST_COLUMN_MM))
    before = _columns(band)
    while moved < wanted and _shed(band, number):
        moved = max(moved + 1, before - _columns(band))
    return moved > 0


def _fits(size: tuple[float, float], room: tuple[float, float]) -> bool:
    return size[0] <= room[0] and size[1] <= room[1]


def _shed(band: Band, number: int) -> bool:
    """Move something to the next band: first what hangs from a panel, then single columns; False if nothing can go."""
    bars = all_bars(band.roots)
    if not _holds_storage(band):
        return _drop_last(band, number)
    panels = [
        bar for bar in bars if bar not in band.roots and bar.down and not any(c.holds_battery() for c in bar.down)
    ]
    if panels:
        fullest = max(panels, key=lambda bar: len(bar.down))
        while fullest.down:
            _move(band, fullest, fullest.down[-1], number)
        return True
    if sum(len(bar.down) + len(bar.up) for bar in bars) <= 1:
        return False
    if any(_move_from(band, candidates, number) for candidates in (_loads, _panels, lambda bar: bar.up, _others)):
        return True
    if len(band.roots) > 1:
        _split(band)
        return True
    return _move_from(band, lambda bar: bar.down, number)


def _move_from(band: Band, candidates: Callable[[Bar], list[Column]], number: int) -> bool:
    """Move the last candidate of the bar that has most of them."""
    bars = all_bars(band.roots)
    fullest = max(bars, key=lambda bar: len(candidates(bar)))
    columns = candidates(fullest)
    if not columns or (fullest not in band.roots and len(fullest.down) <= 1):
        return False
    _move(band, fullest, columns[-1], number)
    return True


def _drop_last(band: Band, number: int) -> bool:
    """Of a band without storage the last column moves on, from a panel before its feeder; or the last bar as it is."""
    last = inner = band.roots[-1]
    while inner.down and inner.down[-1].bar is not None and inner.down[-1].bar.down:
        inner = inner.down[-1].bar
    if inner is not last or len(last.down) + len(last.up) > 1:
        _move(band, inner, (inner.down or inner.up)[-1], number)
        return True
    if len(band.roots) == 1:
        return False
    band.roots.pop()
    for bar in all_bars([last]):
        _reunite(band, bar)
    band.left_over[last.node] = last
    return True


def _loads(bar: Bar) -> list[Column]:
    return [c for c in bar.down if c.end.kind in ("load", "source")]


def _panels(bar: Bar) -> list[Column]:
    return [c for c in bar.down if c.bar is not None and not c.holds_battery()]


def _others(bar: Bar) -> list[Column]:
    return [c for c in bar.down if not c.holds_battery()]


def _skeleton(band: Band) -> Band:
    """The band with nothing but what must stay on it: storage and ties."""

    def bare(bar: Bar) -> Bar:
        down = [c if c.bar is None else replace(c, bar=bare(c.bar)) for c in bar.down if c.holds_battery()]
        return replace(bar, up=[], down=down)

    return Band([bare(bar) for bar in band.roots], band.ties)


def _move(band: Band, bar: Bar, column: Column, number: int) -> None:
    (bar.up if column in bar.up else bar.down).remove(column)
    bar.to_band = number + 1
    for moved in all_bars([column.bar] if column.bar is not None else []):
        _reunite(band, moved)
    goes_on = band.left_over.setdefault(bar.node, replace(bar, up=[], down=[], from_band=number, to_band=0))
    (goes_on.up if column.end.kind == "source" and column.bar is None else goes_on.down).insert(0, column)


def _reunite(band: Band, bar: Bar) -> None:
    """A bar that moves as a whole takes back what had left it before."""
    rest = band.left_over.pop(bar.node, None)
    if rest is not None:
        bar.down += rest.down
        bar.up += rest.up
        bar.to_band = 0


def _split(band: Band) -> None:
    """Take the last root off the band; the ties to it become columns that end at a mark."""
    last = band.roots.pop()
    for tie in [t for t in band.ties if t.right == last.node]:
        near = next(bar for bar in band.roots if bar.node == tie.left)
        refer(near, last, tie.steps)
        band.ties.remove(tie)
    for bar in all_bars([last]):
        _reunite(band, bar)
    band.left_over[last.node] = last
