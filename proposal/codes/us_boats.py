"""US recreational boats: 33 CFR 183 with the voluntary ABYC standards where the regulation is silent."""

from __future__ import annotations

import functools
from typing import Final, Literal

from proposal.codes.conductors import (
    awg_name,
    other_size_note,
    square_root_citation,
    square_root_factor,
    stranded_resistance_20c_ohm_per_m,
    table_class_c,
    table_size,
)
from proposal.codes.family import (
    LOW_VOLTAGE_LIMIT_V,
    Ampacity,
    CodeNote,
    FuseWindow,
    SizeFloor,
    Sourced,
    highest_system_v,
)
from proposal.codes.nec_ratings import next_standard_rating_a
from proposal.codes.notes import code_notes
from proposal.codes.rows import by_column, factor_from_count, rows
from proposal.sources import Citation
from proposal.units import AWG_SIZES, ConductorSize

INCH_M = 0.0254
ENGINE_SPACE_C = 50.0
CONTINUOUS_MARGIN = 1.25

_CLASSES_C = (60, 75, 80, 90, 105, 125, 200)
_BY_SIZE = {size.label: size for size in AWG_SIZES}


class UsBoats:
    """The family ``us_boats``; stateless, so one instance serves everybody."""

    id: Final = "us_boats"
    title: Final = "US recreational boats"
    edition: Final = "33 CFR 183; ABYC E-11 (July 2025 and its older tables), E-10, E-13, A-31"
    size_system: Final[Literal["awg", "mm2"]] = "awg"
    applies_to: Final = (
        "recreational boats in the United States; the federal rule binds boats with petrol inboard engines, "
        "and the ABYC standards are voluntary"
    )
    sizes: Final = AWG_SIZES
    insulation_classes_c: Final = _CLASSES_C

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
        """Continuous ampacity in A: table · temperature factor · bundle factor.

        Source: 33 CFR 183.425 Table 5 (30 °C); in an engine space the factor of its note 1 (50 °C), and the square-root
        rule where the place is hotter than that; elsewhere the square-root rule above 30 °C. Cold never raises it.
        Bundling, 183.435(b) with note 2: only for circuits that reach 50 V, so for 48 V systems alone.
        """
        return _ampacity(size, insulation_c, place_c, engine_space, bundled_count=bundled_count, system_v=system_v)

    def resistance_20c_ohm_per_m(self, size: ConductorSize) -> Sourced:
        """Resistance at 20 °C in ohm/m: AWG area of ASTM B258, IACS copper, 2 % for stranding and lay."""
        return stranded_resistance_20c_ohm_per_m(size)

    def fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:
        """Fuse ratings in A: at least 1.25 · design current; at most 1.5 · ampacity where the system stays below 50 V.

        A system that can reach 50 V gets the next standard rating above the ampacity, and never more than 1.5 times it.
        The ampacity taken is the corrected one, where the regulation names the table value: the stricter reading.
        Source: 33 CFR 183.455(c); the lower end is common practice.
        """
        smallest_a = CONTINUOUS_MARGIN * design_current_a
        margin = Citation("common_practice", "fuse at least 1.25 × the continuous current", "common practice")
        if highest_system_v(system_v).value < LOW_VOLTAGE_LIMIT_V:
            cap = Citation("cfr183", "183.455(c)(1): at most 150 % of the conductor's current", "corroborated")
            return FuseWindow(smallest_a, 1.5 * ampacity_a, cap, margin, "at_most_150_percent")
        clause = "183.455(c): at 50 V or more 100 %, or the next standard rating (list from memory) up to 150 %"
        cap = Citation("cfr183", clause, "corroborated")
        largest_a = min(next_standard_rating_a(ampacity_a).value, 1.5 * ampacity_a)
        return FuseWindow(smallest_a, largest_a, cap, margin, "next_standard_at_most_150_percent")

    def drop_limit(self, critical: bool) -> Sourced:
        """3 % for panel feeders, bilge blowers, electronics and navigation lights, else 10 %. Source: ABYC E-11."""
        topic = "voltage drop, 3 % for critical circuits" if critical else "voltage drop, 10 % for other circuits"
        clause = f"{topic} (E-11.14.2.6 in older numbering); check your edition"
        return Sourced(0.03 if critical else 0.10, Citation("abyc_e11", clause, "corroborated"))

    def fuse_distance_m(self, at_battery: bool, sheathed: bool) -> Sourced:
        """7 in; 40 in inside a sheath or enclosure; 72 in of sheathed conductor straight from a battery.

        Source: 33 CFR 183.455 (7 and 40 in), ABYC E-11 (also 72 in).
        """
        if at_battery and sheathed:
            clause = "11.10.1.1.1 family: 72 in of sheathed conductor from a battery (petrol inboards: 40 in)"
            return Sourced(72 * INCH_M, Citation("abyc_e11", f"{clause}; check your edition", "corroborated"))
        if sheathed:
            return Sourced(40 * INCH_M, Citation("cfr183", "183.455: 40 in where enclosed", "corroborated"))
        return Sourced(7 * INCH_M, Citation("cfr183", "183.455: 7 in", "corroborated"))

    def device_per_battery_above_ah(self) -> Sourced | None:
        """500 Ah. Source: ABYC E-11 of July 2025, 11.10.1.4.1."""
        clause = "11.10.1.4.1 (July 2025): a device for each battery of a parallel bank above 500 Ah"
        return Sourced(500.0, Citation("abyc_e11", clause, "corroborated"))

    def minimum_interrupt_a(self, cranking_a: float | None, main: bool) -> Sourced | None:
        """Least breaking capacity in A of a main or branch device for a flooded bank at 12 or 24 V.

        ``cranking_a``: sum of the cold-cranking ratings in A; None where it is not known. Above 2200 A newer editions
        go by the battery maker's short-circuit figure, so the table's last row is only a floor there.
        Source: older ABYC E-11, Table V-A, kept for flooded banks.
        """
        if cranking_a is None:
            return None
        row = next(row for row in rows("us_boats_interrupt") if cranking_a <= row.number("cranking_to_a"))
        clause = "Table V-A (older numbering), flooded banks by cold-cranking current; check your edition"
        if cranking_a > 2200:
            clause += "; above 2200 A newer editions ask for the battery maker's short-circuit current"
        return Sourced(row.number("main_a" if main else "branch_a"), Citation("abyc_e11", clause, row.status))

    def minimum_size(self, sheathed: bool) -> SizeFloor:
        """16 AWG for single conductors, 18 AWG inside a sheath. Source: 33 CFR 183.425(d)-(f)."""
        clause = "183.425: 18 AWG only inside a sheath" if sheathed else "183.425: single conductors 16 AWG or larger"
        return SizeFloor(_BY_SIZE["18 AWG" if sheathed else "16 AWG"], Citation("cfr183", clause, "corroborated"))


# a design step asks the same of many branches, round after round
@functools.lru_cache(maxsize=4096)
def _ampacity(
    size: ConductorSize, insulation_c: int, place_c: float, engine_space: bool, *, bundled_count: int, system_v: float
) -> Ampacity:
    class_c = table_class_c(insulation_c, _CLASSES_C)
    row_size = table_size(size, AWG_SIZES)
    row = by_column("us_boats_ampacity", "awg")[awg_name(row_size.size)]
    table_a = row.number(str(class_c)) * row_size.share
    citations = [Citation("cfr183", f"183.425 Table 5, {class_c} °C column", row.status)]
    if not row_size.exact:
        citations.append(other_size_note(size, row_size))
    temperature_factor, reason = _temperature_factor(class_c, insulation_c, place_c, engine_space)
    if reason is not None:
        citations.append(reason)
    bundle_factor = 1.0
    bundle = factor_from_count("us_boats_bundle", bundled_count)
    if bundle is not None and highest_system_v(system_v).value >= LOW_VOLTAGE_LIMIT_V:
        bundle_factor = bundle.number("factor")
        clause = f"183.435(b), Table 5 note 2: {bundled_count} conductors together at 50 V or more"
        citations.append(Citation("cfr183", clause, bundle.status))
    ampacity_a = table_a * temperature_factor * bundle_factor
    return Ampacity(ampacity_a, table_a, temperature_factor, bundle_factor, tuple(citations))


def _temperature_factor(
    class_c: int, insulation_c: float, place_c: float, engine_space: bool
) -> tuple[float, Citation | None]:
    """Temperature factor and what it rests on; None where the table value holds as it is."""
    warm_c = max(place_c, ENGINE_SPACE_C) if engine_space else place_c
    by_root = square_root_factor(class_c, insulation_c, warm_c)
    root = square_root_citation(class_c, insulation_c, warm_c)
    if not engine_space:
        return by_root, (root if by_root < 1.0 else None)
    row = by_column("us_boats_engine_space", "insulation_c")[str(class_c)]
    by_note = row.number("factor")
    # the note itself holds for 50 °C and its own class; the rule takes over outside that, and only downwards
    if by_root < by_note and (place_c > ENGINE_SPACE_C or insulation_c < class_c):
        return by_root, root
    return by_note, Citation("cfr183", f"183.425 Table 5 note 1: engine space, {class_c} °C", row.status)


US_BOATS = UsBoats()
