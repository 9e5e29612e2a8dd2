"""What a drawing is made of before it is emitted: marks of a symbol, and items placed on a page in mm, y downwards."""

from dataclasses import field
from typing import Literal

from proposal.frozen import frozen

Point = tuple[float, float]
Ink = Literal[
    "symbol", "positive", "negative", "frame", "faint", "accent", "text", "grid", "curve", "band", "harm", "leaf",
    "plum", "pale", "paper", "deep", "amber", "halo",
]  # fmt: skip


@frozen
class Stroke:
    """A line through points. With `about`, the points are offsets from it that stay upright when the symbol turns."""

    points: tuple[Point, ...]
    width_mm: float = 0.35
    filled: bool = False
    dashed: bool = False
    about: Point | None = None
    blank: bool = False
    """Closed and filled with the paper's colour."""


@frozen
class Round:
    """A circle."""

    center: Point
    radius_mm: float
    width_mm: float = 0.35
    filled: bool = False


@frozen
class Arc:
    """Part of a circle from angle to angle in degrees, in the symbol's own frame (y upwards)."""

    center: Point
    radius_mm: float
    from_deg: float
    to_deg: float
    width_mm: float = 0.35


@frozen
class Letter:
    """A letter inside a symbol, centred, always upright."""

    center: Point
    text: str
    size_mm: float = 3.0


Mark = Stroke | Round | Arc | Letter


@frozen
class Symbol:
    """A symbol along +x: first pin at (0, 0); a second one, if it has one, at (length_mm, 0).

    `left_mm` and `right_mm` are its extents to the left (+y) and right (−y) of its axis.
    """

    name: str
    marks: tuple[Mark, ...]
    length_mm: float
    left_mm: float
    right_mm: float


@frozen
class Text:
    """One line of text; x of its left end and y of its baseline in mm."""

    x: float
    y: float
    text: str
    size_mm: float
    bold: bool = False
    ink: Ink = "text"


@frozen
class Wire:
    """A line on the page."""

    points: tuple[Point, ...]
    width_mm: float
    ink: Ink = "symbol"
    dashed: bool = False
    tinted: bool = False
    """Closed and filled with a pale tint."""
    fill: Ink | None = None
    """Closed and filled with this colour."""
    dotted: bool = False
    chained: bool = False
    """Long and short dashes in turn."""


@frozen
class Item:
    """Something on the page that stands for something in the circuit (or for the sheet itself: then without a key).

    `pins` are (node, x, y): where the circuit's nodes are on the page.
    """

    kind: str
    key: str = ""
    designation: str = ""
    title: str = ""
    symbol: Symbol | None = None
    at: Point = (0.0, 0.0)
    theta: float = 0.0
    ink: Ink = "symbol"
    wires: tuple[Wire, ...] = ()
    texts: tuple[Text, ...] = ()
    pins: tuple[tuple[str, float, float], ...] = ()
    data: tuple[tuple[str, str], ...] = field(default=())
