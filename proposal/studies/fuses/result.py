"""What is asked of one fuse, and how a part answers."""

from collections.abc import Iterable
from typing import Literal

from proposal.codes.family import FuseWindow
from proposal.facts import Values
from proposal.frozen import frozen
from proposal.parts.fuse_curves import TimeCurve
from proposal.parts.insulation import Withstand

PassKind = Literal["inrush", "start", "joining"]
Demanded = Literal["voltage", "breaking", "rating", "must_pass", "far_end", "selective", "cut_off"]
Answer = Literal["passes", "fails", "undecided"]
CURVE = "fuse_curve"
"""Code of the figure that is wanting where only remembered limits, or none, tell how fast a fuse is."""
TAKEN = frozenset({"inrush_time", "insulation_compound", "conductor_heating"})
"""Figures that are wanting where a part fails by what is taken instead."""
ROUNDING = 1e-6
"""Share by which two figures must differ to be told apart: currents come out of a solved network."""
HARD: tuple[Demanded, ...] = ("voltage", "breaking", "rating")
"""Demands that a part is never chosen against; on the others the best is taken."""


@frozen
class MustPass:
    """A start or inrush of an item that must not melt the fuse: current through it [A] and how long it lasts [s]."""

    item: str
    kind: PassKind
    current_a: float
    duration_s: float
    duration_assumed: bool


@frozen
class Guarded:
    """A conductor that the fuse guards, with the least current of a fault at its far end that one bank drives alone.

    `current_a` flows in the conductor, `through_a` through the fuse [A]; `ampacity_a` it carries without end.
    """

    conductor: str
    withstand: Withstand
    insulation_c: int
    area_mm2: float
    ampacity_a: float
    current_a: float
    through_a: float
    bank: str


@frozen
class Neighbour:
    """A fuse in series; `current_share`: part of a fault behind the outer one that flows in the inner one.

    `fault_a`: the highest such fault current, through the outer one [A].
    """

    fuse: str
    current_share: float
    fault_a: float


@frozen
class Trip:
    """The cut-off of a lithium bank that would black out everything with it.

    `first_a` is the fault current through the fuse at which its first string's management cuts out [A], after `trip_s`;
    None: not stated.
    """

    bank: str
    first_a: float | None
    trip_s: float | None


@frozen
class FuseDemand:
    """Everything that is asked of the part for one fuse.

    `needed_a` is what it must break, `fault_max_a` the highest fault current through it, just behind it [A].
    `upstream` fuses stand nearer to the batteries, `downstream` ones further out.
    """

    fuse: str
    highest_v: float
    needed_a: float
    fault_max_a: float
    window: FuseWindow
    must_pass: tuple[MustPass, ...] = ()
    guarded: tuple[Guarded, ...] = ()
    upstream: tuple[Neighbour, ...] = ()
    downstream: tuple[Neighbour, ...] = ()
    trips: tuple[Trip, ...] = ()

    @property
    def least(self) -> Guarded | None:
        """The guarded conductor whose far-end fault drives least current through the fuse."""
        return min(self.guarded, key=lambda g: g.through_a, default=None)


@frozen
class Ruling:
    """How a part stands on one demand, with the numbers; `wanting` is the code of the figure to find out.

    `remembered` is what it would be by values from memory, on which alone nothing is decided.
    """

    demand: Demanded
    answer: Answer
    wanting: str = ""
    remembered: Literal["passes", "fails"] | None = None
    values: Values | None = None

    @property
    def facts(self) -> Values:
        """The numbers."""
        return self.values or {}


@frozen
class Verdict:
    """How a part stands on all demands of a fuse; those that do not arise have no ruling."""

    rulings: tuple[Ruling, ...]

    def on(self, demand: Demanded) -> Ruling | None:
        """The ruling on one demand; None where it does not arise."""
        return next((r for r in self.rulings if r.demand == demand), None)

    @property
    def failed(self) -> tuple[Ruling, ...]:
        """Demands that the part fails."""
        return tuple(r for r in self.rulings if r.answer == "fails")


def ruled(
    demand: Demanded,
    passes: bool,
    curves: Iterable[TimeCurve],
    values: Values,
    wanting: str = "",
    *,
    beyond: bool = False,
) -> Ruling:
    """A ruling from a comparison: undecided where a curve is remembered or another figure is wanting.

    `beyond`: it rests on constant I²t past the last gate, on the side where that proves nothing.
    """
    answer: Literal["passes", "fails"] = "passes" if passes else "fails"
    if beyond:
        return Ruling(demand, "undecided", CURVE, None, values)
    if any(curve.remembered for curve in curves):
        return Ruling(demand, "undecided", CURVE, answer, values)
    if wanting:
        return Ruling(demand, "undecided", wanting, None, values)
    return Ruling(demand, answer, values=values)
