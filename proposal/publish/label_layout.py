"""Labels on sheets of A4: each text is measured, wrapped and set smaller until it fits; none is ever cut off."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Final

from proposal.book.labels import Label, LabelKind
from proposal.frozen import frozen
from proposal.publish import fonts

MM_PER_PT: Final = 25.4 / 72.0
PAGE_MM: Final = (210.0, 297.0)
PAD_MM: Final = 2.0
LEADING: Final = 1.18
"""Line pitch in font sizes."""
SLACK: Final = 1.03
"""For rounding and kerning between what is measured and what is set."""
SIZES_PT: Final = (12.0, 11.0, 10.0, 9.0, 8.4, 7.8, 7.2, 6.6, 6.0, 5.5, 5.0)
"""Of the lines, tried in turn from the largest of a grid on; below the last a label takes the place of two."""
TINY_PT: Final = (4.5, 4.0, 3.5, 3.0, 2.5)
"""Only where a label would be longer than a sheet."""
HEADING: Final = 1.8
"""Most that a heading is larger than the lines."""
UNITS: Final = frozenset({"A", "kA", "V", "Ah", "AWG", "mm", "mm²"})
"""Stay with the number before them."""
CODE_MM: Final = 50.0
_SIGN_OUTSIDE_EM: Final = 1.3
_BREAKABLE: Final = re.compile(r"(?<=[-/.,;:_@])")


@frozen
class Grid:
    """Cells of one kind of label on a sheet."""

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    largest_pt: float
    """Of the lines."""
    heading_pt: float
    """Of the heading, unless the lines are small."""

    @property
    def left_mm(self) -> float:
        """From the edge of the paper to the first cell."""
        return (PAGE_MM[0] - self.columns * self.width_mm) / 2.0

    @property
    def top_mm(self) -> float:
        """From the edge of the paper to the first cell."""
        return (PAGE_MM[1] - self.rows * self.height_mm) / 2.0


GRIDS: Final[dict[LabelKind, Grid]] = {
    "wire": Grid(4, 12, 47.0, 22.5, 9.0, 13.0),
    "device": Grid(3, 8, 62.0, 33.0, 9.0, 15.0),
    "battery": Grid(2, 4, 93.0, 66.0, 12.0, 20.0),
}


@frozen
class Line:
    """A line of text as it is set."""

    text: str
    size_pt: float
    strong: bool
    tone: str


@frozen
class Placed:
    """A label in its place, in mm from the edges of its sheet."""

    label: Label
    lines: tuple[Line, ...]
    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float


@frozen
class Sheet:
    """One sheet: its kind, its labels, and where it is cut, in mm from the left and from the top."""

    kind: LabelKind
    placed: tuple[Placed, ...]
    cuts_x_mm: tuple[float, ...]
    cuts_y_mm: tuple[float, ...]


def sheets(labels: Iterable[Label]) -> tuple[Sheet, ...]:
    """All labels on sheets, each kind on its own, column by column; a label with much text takes several cells."""
    by_kind: dict[LabelKind, list[Label]] = {kind: [] for kind in GRIDS}
    for label in labels:
        by_kind[label.kind].append(label)
    return tuple(sheet for kind, found in by_kind.items() for sheet in _sheets(kind, found))


def _sheets(kind: LabelKind, labels: list[Label]) -> Iterator[Sheet]:
    grid = GRIDS[kind]
    placed: list[Placed] = []
    column = row = 0
    for label in labels:
        lines, cells = _set(label, grid)
        if row + cells > grid.rows:
            column, row = column + 1, 0
        if column == grid.columns:
            yield _sheet(kind, grid, placed)
            placed, column = [], 0
        left, top = grid.left_mm + column * grid.width_mm, grid.top_mm + row * grid.height_mm
        placed.append(Placed(label, lines, left, top, grid.width_mm, cells * grid.height_mm))
        row += cells
    if placed:
        yield _sheet(kind, grid, placed)


def _sheet(kind: LabelKind, grid: Grid, placed: list[Placed]) -> Sheet:
    across = tuple(grid.left_mm + n * grid.width_mm for n in range(grid.columns + 1))
    down = tuple(grid.top_mm + n * grid.height_mm for n in range(grid.rows + 1))
    return Sheet(kind, tuple(placed), across, down)


def _set(label: Label, grid: Grid) -> tuple[tuple[Line, ...], int]:
    """The lines of a label at the largest size at which they fit into one cell, else in as many as they need."""
    room = grid.height_mm - 2.0 * PAD_MM - (CODE_MM if label.drawing else 0.0)
    lines: tuple[Line, ...] = ()
    for size in (size for size in SIZES_PT if size <= grid.largest_pt):
        lines = _wrapped(label, grid, size)
        if height_mm(lines) <= room:
            return lines, 1
    for size in (SIZES_PT[-1], *TINY_PT):
        lines = _wrapped(label, grid, size)
        cells = next((n for n in range(2, grid.rows + 1) if height_mm(lines) <= room + (n - 1) * grid.height_mm), 0)
        if cells:
            return lines, cells
    return lines, grid.rows


def _wrapped(label: Label, grid: Grid, size_pt: float) -> tuple[Line, ...]:
    room_mm = grid.width_mm - 2.0 * PAD_MM
    large_pt = min(grid.heading_pt, HEADING * size_pt)
    heading_pt = size_pt if label.drawing or size_pt in TINY_PT else large_pt
    found = [Line(text, heading_pt, True, "heading") for text in wrap(label.heading, room_mm, heading_pt, True)]
    for text in label.lines:
        found += [Line(part, size_pt, False, "plain") for part in wrap(text, room_mm, size_pt, False)]
    if label.warning:
        found += [Line(part, size_pt, True, "warning") for part in wrap(label.warning, room_mm, size_pt, True)]
    return tuple(found)


def height_mm(lines: Iterable[Line]) -> float:
    """How high lines are when set."""
    return sum(line.size_pt for line in lines) * LEADING * MM_PER_PT


def width_mm(text: str, size_pt: float, strong: bool) -> float:
    """How wide a text is when set, with some slack; signs that the font lacks come from another one, and are wider."""
    known, other = fonts.covered(text, strong)
    return (known + other * _SIGN_OUTSIDE_EM) * size_pt * MM_PER_PT * SLACK


def wrap(text: str, room_mm: float, size_pt: float, strong: bool) -> list[str]:
    """The text in lines that fit: broken between words, else behind a sign such as a hyphen, else anywhere."""
    lines: list[str] = []
    line = ""
    for word in _words(text):
        joined = f"{line} {word}" if line else word
        if width_mm(joined, size_pt, strong) <= room_mm:
            line = joined
            continue
        if line:
            lines.append(line)
        *full, line = _pieces(word, room_mm, size_pt, strong)
        lines += full
    return [*lines, line] if line else lines


def _words(text: str) -> Iterator[str]:
    """The words of a text, a unit with the number before it."""
    held = ""
    for word in text.split():
        if held and held[-1].isdigit() and word.rstrip(",.;:)") in UNITS:
            held = f"{held} {word}"
            continue
        if held:
            yield held
        held = word
    if held:
        yield held


def _pieces(word: str, room_mm: float, size_pt: float, strong: bool) -> list[str]:
    """A word in pieces that fit."""
    pieces: list[str] = []
    piece = ""
    for part in _BREAKABLE.split(word):
        if width_mm(piece + part, size_pt, strong) <= room_mm:
            piece += part
            continue
        pieces += [piece] if piece else []
        piece = ""
        for sign in part:
            if piece and width_mm(piece + sign, size_pt, strong) > room_mm:
                pieces.append(piece)
                piece = ""
            piece += sign
    return [*pieces, piece]
