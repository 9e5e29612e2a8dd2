"""US recreational boats: 33 CFR 183 with the voluntary ABYC standards where the regulation is silent."""

from __future__ import annotations

from typing import Literal

from proposal.codes.ampacity_table import Printed
from proposal.codes.base import CONTINUOUS_MARGIN, MARGIN, Factor, TableFamily
from proposal.codes.conductors import by_root, engine_space_factor
from proposal.codes.family import LOW_VOLTAGE_LIMIT_V, Exemption, FuseWindow, SizeFloor, Sourced, highest_system_v
from proposal.codes.nec_ratings import next_standard_rating_a
from proposal.codes.rows import factor_from_count, rows
from proposal.sources import Citation
from proposal.units import AWG_SIZES, parse_size

INCH_M = 0.0254


class UsBoats(TableFamily):
    """The family ``us_boats``.

    Ampacity: 33 CFR 183.425 Table 5 (30 °C); in an engine space the factor of its note 1 (50 °C), and the square-root
    rule where the place is hotter than that; elsewhere the square-root rule above 30 °C.
    Bundling, 183.435(b) with note 2: only for circuits that reach 50 V, so for 48 V systems alone.
    """

    id = "us_boats"
    title = "US recreational boats"
    edition = "33 CFR 183; ABYC E-11 (July 2025 and its older tables), E-10, E-13, A-31"
    size_system: Literal["awg", "mm2"] = "awg"
    applies_to = (
        "recreational boats in the United States; the federal rule binds boats with petrol inboard engines, "
        "and the ABYC standards are voluntary"
    )
    default_for = ("boat",)
    sizes = AWG_SIZES
    insulation_classes_c = (60, 75, 80, 90, 105, 125, 200)
    table_source = "cfr183"
    table_clause = "183.425 Table 5"

    def _temperature(self, printed: Printed, insulation_c: int, place_c: float, engine_space: bool) -> Factor:
        class_c = printed.class_c
        if not engine_space:
            return by_root(class_c, insulation_c, place_c)
        clause = f"183.425 Table 5 note 1: engine space, {class_c} °C"
        return engine_space_factor(
            "us_boats_engine_space", class_c, insulation_c, place_c, lambda row: Citation("cfr183", clause, row.status)
        )

    def _bundle(self, bundled_count: int, system_v: float) -> Factor:
        bundle = factor_from_count("us_boats_bundle", bundled_count)
        if bundle is None or highest_system_v(system_v).value < LOW_VOLTAGE_LIMIT_V:
            return 1.0, None
        clause = f"183.435(b), Table 5 note 2: {bundled_count} conductors together at 50 V or more"
        return bundle.number("factor"), Citation("cfr183", clause, bundle.status)

    def _fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:
        """Fuse ratings in A: at least 1.25 · design current; at most 1.5 · ampacity where the system stays below 50 V.

        A system that can reach 50 V gets the next standard rating above the ampacity, and never more than 1.5 times it.
        The ampacity taken is the corrected one, where the regulation names the table value: the stricter reading.
        Source: 33 CFR 183.455(c); the lower end is common practice.
        """
        smallest_a = CONTINUOUS_MARGIN * design_current_a
        if highest_system_v(system_v).value < LOW_VOLTAGE_LIMIT_V:
            cap = Citation("cfr183", "183.455(c)(1): at most 150 % of the conductor's current", "corroborated")
            return FuseWindow(smallest_a, 1.5 * ampacity_a, cap, MARGIN, "at_most_150_percent")
        clause = "183.455(c): at 50 V or more 100 %, or the next standard rating (list from memory) up to 150 %"
        cap = Citation("cfr183", clause, "corroborated")
        largest_a = min(next_standard_rating_a(ampacity_a).value, 1.5 * ampacity_a)
        return FuseWindow(smallest_a, largest_a, cap, MARGIN, "next_standard_at_most_150_percent")

    def drop_limit(self, critical: bool) -> Sourced:
        """3 % for panel feeders, bilge blowers, electronics and navigation lights, else 10 %. Source: ABYC E-11."""
        topic = "voltage drop, 3 % for critical circuits" if critical else "voltage drop, 10 % for other circuits"
        clause = f"{topic} (E-11.14.2.6 in older numbering); check your edition"
        return Sourced(0.03 if critical else 0.10, Citation("abyc_e11", clause, "corroborated"))

    def _fuse_distance(self, at_battery: bool, sheathed: bool) -> Sourced:
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

    def cranking_exempt(self) -> Exemption:
        """Cranking conductors need no device. Source: 33 CFR 183.455, exception; ABYC E-11 has it too."""
        clause = "183.455, exception: no overcurrent device in the engine's cranking circuit"
        return Exemption(True, Citation("cfr183", clause, "corroborated"))

    def minimum_size(self, sheathed: bool) -> SizeFloor:
        """16 AWG for single conductors, 18 AWG inside a sheath. Source: 33 CFR 183.425(d)-(f)."""
        clause = "183.425: 18 AWG only inside a sheath" if sheathed else "183.425: single conductors 16 AWG or larger"
        return SizeFloor(parse_size("18 AWG" if sheathed else "16 AWG"), Citation("cfr183", clause, "corroborated"))


US_BOATS = UsBoats()
