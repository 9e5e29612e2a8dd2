"""What every rule family can answer, and the answers' shapes. A study or a check asks only through `RuleFamily`."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal, Protocol, Self

from proposal.frozen import frozen
from proposal.sources import Citation
from proposal.units import ConductorSize

LOW_VOLTAGE_LIMIT_V = 50.0
"""Where 33 CFR 183 draws the line between its two fuse rules."""


@frozen
class Sourced:
    """A number in the unit that its question names, and where it stands.

    ``certain``: where a limit is only remembered, a looser one that is not; beyond it there is no doubt.
    """

    value: float
    citation: Citation
    certain: Sourced | None = None

    def over(self, value: float) -> Citation:
        """What it rests on that a value above this limit is too much."""
        return self.certain.citation if self.certain is not None and value > self.certain.value else self.citation


@frozen
class Ampacity:
    """What a conductor may carry for hours: ``ampacity_a`` = ``table_a`` · ``temperature_factor`` · ``bundle_factor``.

    Where a limit decides instead of the corrected table value, ``table_a`` is that limit, both factors are 1, and the
    last citation names it. ``certain_a`` leaves out what is only remembered: no less by what ``certain_citation`` says,
    without one by the first citation.
    """

    ampacity_a: float
    table_a: float
    temperature_factor: float
    bundle_factor: float
    citations: tuple[Citation, ...]
    certain_a: float | None = None
    certain_citation: Citation | None = None

    def over(self, current_a: float) -> Citation:
        """What it rests on that a current [A] above ``ampacity_a`` is too much: the table, or a remembered figure."""
        table = self.citations[0]
        if self.certain_a is None or current_a > self.certain_a:
            return self.certain_citation or table
        return next((citation for citation in self.citations if citation.status == "from memory"), table)


@frozen
class FuseWindow:
    """Fuse ratings that a rule allows: from ``smallest_a`` to ``largest_a``, both included.

    The window is empty (``smallest_a`` > ``largest_a``) where the conductor is too small. ``citation`` is that of
    the upper end, ``smallest_citation`` that of the lower; ``rule`` names the rule of the upper end. ``certain``: where
    that rule is only remembered, the largest fuse over the ampacity that any other allows.
    """

    smallest_a: float
    largest_a: float
    citation: Citation
    smallest_citation: Citation | None = None
    rule: str = ""
    certain: Sourced | None = None

    def over(self, rating_a: float, carries: Ampacity) -> Citation:
        """What it rests on that fuses of so much [A] together are too much for a conductor."""
        most_a = carries.certain_a if carries.certain_a is not None else carries.ampacity_a
        if self.certain is not None and rating_a > self.certain.value * most_a:
            return self.certain.citation
        return self.citation


@frozen
class SizeFloor:
    """Smallest conductor that a family takes, whatever the current."""

    size: ConductorSize
    citation: Citation


@dataclass(frozen=True, eq=False)
class Bought:
    """What the installer entered from an edition that he bought.

    ``cells``: ampacities [A] by size label and class [°C]. ``fuse_share``: largest fuse over the ampacity;
    ``fuse_distance_m`` and ``fuse_distance_sheathed_m``: longest conductor before its fuse; None: as the tool has it.
    """

    edition: str
    cells: Mapping[tuple[str, int], float]
    fuse_share: float | None = None
    fuse_distance_m: float | None = None
    fuse_distance_sheathed_m: float | None = None


@frozen
class Exemption:
    """Whether a family lets something go without a rule of its own, and where it says so."""

    exempt: bool
    citation: Citation


Basis = Literal["", "limits", "factors"]
VesselKind = Literal["boat", "camper", "cabin"]
Circumstance = Literal[
    "petrol", "fuel", "mains", "lithium", "lithium_above_500_wh", "lithium_from_600_wh", "storage_above_1_kwh", "lead",
    "solar", "engine", "no_engine", "starter", "parallel", "bundled", "hot", "engine_space", "reaches_50_v",
    "watercraft",
]  # fmt: skip
"""What must be there for a note to apply.

``fuel`` is any fuel or gas, ``parallel`` a bank of several strings, ``bundled`` more than two conductors that run
together, ``hot`` a place that lowers what a conductor may carry.

Wh and kWh are nominal volts × rated ampere-hours of all that is installed. No vessel here is a personal watercraft.
"""


@frozen
class CodeNote:
    """One topic of a family, in own words. Without ``checks`` (finding ids that test it) it goes on the test sheet.

    It applies to vessels of one of its ``kinds`` (none named: all) that have everything in ``when``. ``basis``: it is
    no surer than the family's limits, or than the factors on its ampacities, whatever its own citation's status.
    """

    id: str
    topic: str
    clause: str
    text: str
    citation: Citation
    checks: tuple[str, ...] = ()
    kinds: tuple[VesselKind, ...] = ()
    when: tuple[Circumstance, ...] = ()
    basis: Basis = ""

    def applies(self, kind: str, has: Collection[str]) -> bool:
        """Whether it holds for a vessel of a kind that has these things aboard."""
        return (not self.kinds or kind in self.kinds) and all(thing in has for thing in self.when)


class RuleFamily(Protocol):
    """One country's or trade's rules of one edition: tables, factors, fuse rule, distances. Pure and total.

    Every question has an answer for every size, temperature and current; an insulation that its surroundings are too
    hot for gets an ampacity of 0 A.
    """

    @property
    def id(self) -> str:
        """The name that a spec uses."""
        ...

    @property
    def title(self) -> str:
        """The name that a reader sees."""
        ...

    @property
    def edition(self) -> str:
        """Which editions the tables and clauses follow."""
        ...

    @property
    def size_system(self) -> Literal["awg", "mm2"]:
        """In which sizes new conductors are chosen."""
        ...

    @property
    def applies_to(self) -> str:
        """Where these rules hold, in plain words."""
        ...

    @property
    def default_for(self) -> tuple[str, ...]:
        """Kinds of vessel that it holds for where neither spec nor installer names a family."""
        ...

    @property
    def sizes(self) -> tuple[ConductorSize, ...]:
        """The ladder of sizes, ascending."""
        ...

    @property
    def insulation_classes_c(self) -> tuple[int, ...]:
        """The temperature classes of the cables it knows in °C, ascending."""
        ...

    @property
    def code_notes(self) -> tuple[CodeNote, ...]:
        """Its topics, tested by the computation or left for the test sheet."""
        ...

    def with_bought(self, bought: Bought) -> Self:
        """The same family with ampacities of an edition that the installer entered."""
        ...

    def ampacity(
        self,
        size: ConductorSize,
        insulation_c: int,
        place_c: float,
        engine_space: bool,
        bundled_count: int,
        *,
        system_v: float = 12.0,
    ) -> Ampacity:
        """Continuous ampacity in A.

        Parameters: ``insulation_c`` temperature class in °C; ``place_c`` hottest temperature of the place in °C;
        ``bundled_count`` current-carrying conductors that run together, this one included; ``system_v`` nominal
        voltage in V, for families whose bundling rule depends on it.
        """
        ...

    def resistance_20c_ohm_per_m(self, size: ConductorSize) -> Sourced:
        """Resistance at 20 °C in ohm per metre of one real, stranded conductor."""
        ...

    def fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:
        """Ratings in A allowed for a continuous current, a conductor's ampacity and the nominal voltage in V."""
        ...

    def drop_limit(self, critical: bool) -> Sourced:
        """Voltage drop over the whole loop as a fraction of the nominal voltage."""
        ...

    def fuse_distance_m(self, at_battery: bool, sheathed: bool) -> Sourced:
        """Longest unfused conductor between a source and its fuse in m."""
        ...

    def device_per_battery_above_ah(self) -> Sourced | None:
        """Capacity in Ah of a parallel bank above which each battery has its own device; None: no such rule."""
        ...

    def cranking_exempt(self) -> Exemption:
        """Whether a conductor that cranks an engine, and does nothing else, may go without an overcurrent device."""
        ...

    def minimum_interrupt_a(self, cranking_a: float | None, main: bool) -> Sourced | None:
        """Least breaking capacity in A from a flooded bank's summed cranking rating in A; None: no such table."""
        ...

    def minimum_size(self, sheathed: bool) -> SizeFloor:
        """Smallest size for a single conductor, or for one inside a sheath."""
        ...


_HIGHEST_V_PER_NOMINAL_V = 31.0 / 24.0  # 15.5 at 12, 31 at 24 and 62 at 48
_WINDOW = "upper end of the voltage window, 15.5 V at 12 V and 31 V at 24 V; check your edition"


def highest_system_v(system_v: float) -> Sourced:
    """Highest voltage in V that a system of nominal ``system_v`` [V] reaches: U = U_n · 31/24.

    Decides DC voltage ratings and on which side of 50 V a fuse rule falls. Source: the voltage window of ISO 10133 for
    12 and 24 V; 62 V at 48 V is common practice (charging and equalising reach 58 to 62 V).
    """
    if system_v in (12.0, 24.0):
        citation = Citation("iso10133", _WINDOW, "corroborated")
    else:
        citation = Citation("common_practice", "highest charging voltage, 62 V at 48 V", "common practice")
    return Sourced(system_v * _HIGHEST_V_PER_NOMINAL_V, citation)
