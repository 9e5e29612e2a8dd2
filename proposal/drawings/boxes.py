"""Boxes: the pieces of a single-line sheet with the room they need, in mm, and where they come to stand.

Everything hangs: a column runs from its bar away (downwards, or mirrored upwards), labels to the right of its axis.
"""

from dataclasses import dataclass, field
from typing import Literal

from proposal.drawings.net import Step
from proposal.drawings.primitives import Symbol
from proposal.drawings.text import ASCENT, DESCENT, LINE, width_mm
from proposal.drawings.topology import Bar, Column, Satellite, Tie
from proposal.frozen import frozen

LABEL_GAP_MM = 1.4
EDGE_MM = 3.0
"""How far a bar reaches past its outermost columns."""
CONTROLLER_MM = 10.0
COIL_MM = 5.0
TOP_MM = 8.0
"""Where the body of what stands on an arch is, from the arch's left leg."""
_LEAD_MM = 5.0


@frozen
class Lettered:
    """A line of a label."""

    text: str
    bold: bool = False


@frozen
class Style:
    """Text size, and in which columns labels are broken into more and shorter lines: none, those of loads, or all."""

    size_mm: float
    narrow: Literal["none", "loads", "all"]

    @property
    def pitch_mm(self) -> float:
        """Distance of two lines."""
        return self.size_mm * LINE

    def block_mm(self, lines: int) -> float:
        """Height of so many lines."""
        return (lines - 1) * self.pitch_mm + self.size_mm * (ASCENT + DESCENT) if lines else 0.0

    def widest_mm(self, lines: tuple[Lettered, ...]) -> float:
        """Width of the widest line."""
        return max((width_mm(line.text, self.size_mm, line.bold) for line in lines), default=0.0)


@dataclass(slots=True)
class StepBox:
    """A step with its natural length, where its body stands in it, its label, and its extents beside the axis.

    `driven`: a contactor with a controller beside it. `tail`: length kept free at its far end for a bar's name.
    `shift`: by how much a mark moves the label.
    """

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
    shift: float = 0.0


@dataclass(slots=True)
class EndBox:
    """An end device: symbol, label, and whether the label stands below it or beside; `shift` as of a step."""

    symbol: Symbol
    lines: tuple[Lettered, ...]
    below: bool
    depth: float
    left: float
    right: float
    shift: float = 0.0


@dataclass(slots=True)
class SatelliteBox:
    """A controller: leads from above and below, its axis `shift` to the right of its column's."""

    satellite: Satellite
    supply: list[StepBox]
    senses: list[StepBox]
    lines: tuple[Lettered, ...]
    left: float
    right: float
    shift: float = 0.0


@dataclass(slots=True)
class ReturnBox:
    """The negative chain below a battery, or below a bank's negative bar, and what is written at its end."""

    steps: list[StepBox]
    mark: tuple[Lettered, ...]
    right: float


@dataclass(slots=True, eq=False)
class ColumnBox:
    """A column. `core_…` are the extents of its own pieces beside the axis, `left` and `right` those of all below."""

    column: Column
    steps: list[StepBox]
    end: EndBox | None
    child: "BarBox | None"
    satellites: list[SatelliteBox]
    back: ReturnBox | None
    core_left: float
    core_right: float
    left: float = 0.0
    right: float = 0.0
    x: float = 0.0
    target: float = 0.0

    @property
    def length(self) -> float:
        """Natural length of its steps; a short lead where an end device hangs on the bar itself."""
        return sum(s.length for s in self.steps) if self.steps else _LEAD_MM


@dataclass(slots=True, eq=False)
class BarBox:
    """A bar with its columns. `feed` is where its own feeder comes in, from the bar's left; `shift` as of a step."""

    bar: Bar
    name: Lettered
    name_width: float
    down: list[ColumnBox]
    up: list[ColumnBox]
    trunk: ReturnBox | None
    ends: tuple[Lettered, ...]
    ends_width: float
    feed: float = 0.0
    width: float = 0.0
    name_at: float = 0.0
    trunk_at: float = 0.0
    negative_y: float = 0.0
    x0: float = 0.0
    x1: float = 0.0
    y: float = 0.0
    shift: float = 0.0


@dataclass(slots=True)
class TieBox:
    """A tie as an arch over two neighbouring bars: legs and what stands on top."""

    tie: Tie
    legs: tuple[list[StepBox], list[StepBox]]
    top: StepBox
    top_width: float
    above: float
    label: float
    """How far the label on top reaches from the left leg."""
    x: tuple[float, float] = field(default=(0.0, 0.0))
    y: float = 0.0

    @property
    def height(self) -> float:
        """Natural height of the longer leg."""
        return max(8.0, *(sum(s.length for s in leg) for leg in self.legs))

    def extent(self, leg: int, side: str) -> float:
        """Extent of a leg to its left or right."""
        return max((s.left if side == "left" else s.right for s in self.legs[leg]), default=1.0)
