"""What all families with a table of ampacities have in common; each adds its clauses, factors and limits."""

from __future__ import annotations

import functools
from typing import Literal, Self

from proposal.codes.ampacity_table import AmpacityTable, Printed
from proposal.codes.conductors import by_root, stranded_resistance_20c_ohm_per_m
from proposal.codes.family import Ampacity, Bought, CodeNote, Exemption, Sourced
from proposal.codes.notes import code_notes
from proposal.sources import Citation
from proposal.units import ConductorSize

Factor = tuple[float, Citation | None]
"""A factor on a table value, and what it rests on; None where the table value holds as it is."""


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
        return code_notes(self.id)

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
        return Ampacity(printed.ampacity_a * temperature * bundle, printed.ampacity_a, temperature, bundle, cited)

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
