"""What all families with a table of ampacities have in common; each adds its clauses, factors and limits."""

from __future__ import annotations

import functools
import math
from dataclasses import replace
from typing import Literal, Self

from proposal.codes.ampacity_table import AmpacityTable, Printed
from proposal.codes.bounds import ampacity_at_most
from proposal.codes.conductors import by_root, stranded_resistance_20c_ohm_per_m
from proposal.codes.family import Ampacity, Bought, CodeNote, Exemption, FuseWindow, Sourced
from proposal.codes.notes import code_notes
from proposal.sources import Citation
from proposal.units import ConductorSize

Factor = tuple[float, Citation | None]
"""A factor on a table value, and what it rests on; None where the table value holds as it is."""


CONTINUOUS_MARGIN = 1.25
"""Fuse over continuous current, so that it does not age at its rating. Common practice, no source; NEC 210.20."""
MARGIN = Citation("common_practice", "fuse at least 1.25 × the continuous current", "common practice")

TABLE_NOTE = "conductor_current"
"""Id of the note in every family that rests on its table of ampacities."""


class TableFamily:
    """A family whose ampacity is table · temperature factor · bundle factor.

    ``insulation_classes_c`` are the cables it knows; a class without a column of its own has the next lower one.
    Instances hold nothing but a bought table and a memory of answers, so one serves everybody.
    """

    id: str
    title: str
    edition: str
    size_system: Literal["awg", "mm2"]
    applies_to: str
    default_for: tuple[str, ...] = ()
    sizes: tuple[ConductorSize, ...]
    insulation_classes_c: tuple[int, ...]
    table_source: str
    table_clause: str

    def __init__(self, bought: Bought | None = None) -> None:
        self.bought = bought
        self.table = AmpacityTable(f"{self.id}_ampacity", self.table_source, self.table_clause, self.sizes, bought)
        if bought is not None:
            self.edition = f"{self.edition}; ampacities of {bought.edition}"
            entered = {class_c for _, class_c in bought.cells}
            self.insulation_classes_c = tuple(sorted({*self.insulation_classes_c, *entered}))
        # a design step asks the same of many branches, round after round
        self._known = functools.lru_cache(maxsize=4096)(self._reckon)

    def with_bought(self, bought: Bought) -> Self:
        """The same family with ampacities of an edition that the installer entered."""
        return type(self)(bought)

    @property
    def code_notes(self) -> tuple[CodeNote, ...]:
        """Its topics, tested by the computation or left for the test sheet."""
        if self.bought is None:
            return code_notes(self.id)
        read = self._read("ampacities")
        return tuple(
            replace(note, citation=read, clause=read.clause) if note.id.endswith(f".{TABLE_NOTE}") else note
            for note in code_notes(self.id)
        )

    def _read(self, topic: str) -> Citation:
        """Where a figure of the installer's own edition stands."""
        edition = self.bought.edition if self.bought is not None else ""
        return Citation(self.table_source, f"{topic}, {edition}, as the installer entered it", "corroborated")

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
        """Continuous ampacity in A: table · temperature factor · bundle factor; cold never raises it."""
        return self._known(size, insulation_c, place_c, engine_space, bundled_count, system_v)

    def _reckon(
        self,
        size: ConductorSize,
        insulation_c: int,
        place_c: float,
        engine_space: bool,
        bundled_count: int,
        system_v: float,
    ) -> Ampacity:
        printed = self.table.printed(size, insulation_c)
        temperature, warm = self._temperature(printed, insulation_c, place_c, engine_space)
        bundle, company = self._bundle(bundled_count, system_v)
        cited = (*printed.citations, *(reason for reason in (warm, company) if reason is not None))
        shares = [
            1.0 if why is not None and why.status == "from memory" else factor
            for factor, why in ((temperature, warm), (bundle, company))
        ]
        ampacity_a = printed.ampacity_a * temperature * bundle
        most_a, why = printed.ampacity_a, None
        if printed.citations[0].status == "from memory":
            bound = ampacity_at_most(size, insulation_c)
            most_a, why = max(bound.value, most_a), bound.citation
        certain_a = most_a * math.prod(shares)
        return Ampacity(ampacity_a, printed.ampacity_a, temperature, bundle, cited, certain_a, why)

    def _temperature(
        self,
        printed: Printed,
        insulation_c: int,
        place_c: float,
        engine_space: bool,  # noqa: ARG002 - for families that have a rule of their own there
    ) -> Factor:
        return by_root(printed.class_c, insulation_c, place_c)

    def _bundle(self, bundled_count: int, system_v: float) -> Factor:
        raise NotImplementedError

    def fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:
        """Ratings in A allowed for a continuous current, a conductor's ampacity and the nominal voltage in V."""
        window = self._fuse_window(design_current_a, ampacity_a, system_v)
        if self.bought is None or self.bought.fuse_share is None:
            return window
        largest_a = self.bought.fuse_share * ampacity_a
        return replace(window, largest_a=largest_a, citation=self._read("size of the fuse"), certain=None)

    def _fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:
        raise NotImplementedError

    def fuse_distance_m(self, at_battery: bool, sheathed: bool) -> Sourced:
        """Longest unfused conductor between a source and its fuse in m."""
        own = self.bought
        entered_m = (own.fuse_distance_sheathed_m if sheathed else own.fuse_distance_m) if own is not None else None
        if entered_m is not None:
            return Sourced(entered_m, self._read("place of the fuse"))
        return self._fuse_distance(at_battery, sheathed)

    def _fuse_distance(self, at_battery: bool, sheathed: bool) -> Sourced:
        raise NotImplementedError

    def resistance_20c_ohm_per_m(self, size: ConductorSize) -> Sourced:
        """Resistance at 20 °C in ohm/m of a real, stranded conductor: IEC 60228 class 5, or AWG area and 2 %."""
        return stranded_resistance_20c_ohm_per_m(size)

    def device_per_battery_above_ah(self) -> Sourced | None:
        """It names no capacity."""
        return None

    def minimum_interrupt_a(self, cranking_a: float | None, main: bool) -> Sourced | None:  # noqa: ARG002 - no table
        """No table: the fault current that is there counts, which the fault study knows."""
        return None

    def cranking_exempt(self) -> Exemption:
        """Whether a conductor that only cranks may go without a fuse."""
        practice = "a conductor that cranks and nothing else has no fuse, as its maker fits it; check your edition"
        return Exemption(True, Citation("common_practice", practice, "common practice"))
