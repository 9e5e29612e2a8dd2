"""North-American cabins and vehicles: NFPA 70 (NEC), with its figures for vehicles where it gives none for cabins."""

from __future__ import annotations

from typing import Literal

from proposal.codes.ampacity_table import Printed
from proposal.codes.base import CONTINUOUS_MARGIN, Factor, TableFamily
from proposal.codes.bounds import DROP_AT_MOST, FUSE_AT_MOST
from proposal.codes.conductors import TableSize, by_root, square_root_factor, stranded_resistance_20c_ohm_per_m
from proposal.codes.family import Ampacity, FuseWindow, SizeFloor, Sourced
from proposal.codes.nec_ratings import next_standard_rating_a
from proposal.codes.rows import by_column, factor_from_count, rows
from proposal.sources import Citation
from proposal.units import AWG_SIZES, ConductorSize, parse_size

TERMINAL_C = 75
"""Marked temperature of terminals that the family assumes, 110.14(C); a code note asks to check it on site."""

COPPER_PER_K = 0.00393
"""Temperature coefficient of copper resistance at 20 °C, in 1/K. Source: IEC 60228, NBS Handbook 100."""

_SIZES = tuple(size for size in AWG_SIZES if size.area_mm2 > 2.0)  # Table 310.16 begins at 14 AWG for common classes


class NecCabins(TableFamily):
    """The family ``nec_cabins``.

    Ampacity: the lower of the corrected table value and the limits at the conductor's ends.
    Corrected: Table 310.16 in the column of the insulation (a class above 90 °C uses the 90 °C column) · ambient
    factor of Table 310.15(B)(1)(1) where it has the row, else the square-root rule · factor of 310.15(C)(1).
    Limits: the uncorrected value of the 75 °C column, because terminals are taken as marked 75 °C, 110.14(C); and
    15, 20 and 30 A for 14, 12 and 10 AWG, 240.4(D), which the code sets on the fuse: no larger fuse can follow
    from an ampacity that is held to it. Cold never raises an ampacity.
    """

    id = "nec_cabins"
    title = "North-American cabins and vehicles"
    edition = "NFPA 70 (NEC) 2020 and 2023; NFPA 1192 and ANSI/RVIA LV for vehicles"
    size_system: Literal["awg", "mm2"] = "awg"
    applies_to = (
        "cabins off the grid in North America, and vehicles as far as their own documents (NFPA 1192, ANSI/RVIA LV) "
        "do not ask for more"
    )
    default_for = ("camper", "cabin")
    sizes = _SIZES
    insulation_classes_c = (60, 75, 90)
    table_source = "nec"
    table_clause = "Table 310.16"

    def _temperature(
        self,
        printed: Printed,
        insulation_c: int,
        place_c: float,
        engine_space: bool,  # noqa: ARG002 - the NEC knows no engine space; the place's own temperature counts
    ) -> Factor:
        class_c = printed.class_c
        if insulation_c >= class_c and square_root_factor(class_c, insulation_c, place_c) < 1.0:
            for row in rows("nec_ambient"):
                if row.cells["insulation_c"] == str(class_c) and place_c <= row.number("to_c"):
                    band = f"up to {row.cells['to_c']} °C, {class_c} °C column"
                    clause = f"Table 310.15(B)(1)(1): {band}; check your edition"
                    return row.number("factor"), Citation("nec", clause, row.status)
        return by_root(class_c, insulation_c, place_c)

    def _bundle(self, bundled_count: int, system_v: float) -> Factor:  # noqa: ARG002 - its table holds at every voltage
        bundle = factor_from_count("nec_bundle", bundled_count)
        if bundle is None:
            return 1.0, None
        clause = f"Table 310.15(C)(1): {bundled_count} current-carrying conductors together"
        return bundle.number("factor"), Citation("nec", clause, bundle.status)

    def _reckon(
        self,
        size: ConductorSize,
        insulation_c: int,
        place_c: float,
        engine_space: bool,
        bundled_count: int,
        system_v: float,
    ) -> Ampacity:
        corrected = super()._reckon(size, insulation_c, place_c, engine_space, bundled_count, system_v)
        row = self.table.row_of(size)
        class_c = self.table.column_c(row.size, insulation_c)
        limit_a, limits = self._limit_at_the_ends(row, class_c, corrected.ampacity_a)
        if limit_a < corrected.ampacity_a:
            return Ampacity(limit_a, limit_a, 1.0, 1.0, limits, corrected.certain_a, corrected.citations[0])
        return corrected

    def _limit_at_the_ends(
        self, row: TableSize, class_c: int, corrected_a: float
    ) -> tuple[float, tuple[Citation, ...]]:
        """The lower of the terminals' column and the small-conductor rule, in A, and why it decides."""
        terminals = self.table.printed(row.size, TERMINAL_C)
        terminal_a = terminals.ampacity_a * row.share
        small = by_column("nec_small_conductors", "awg").get(row.size.label.removesuffix(" AWG"))
        insulation = f"the insulation alone, {class_c} °C column, would carry {corrected_a:.1f} A"
        if small is not None and small.number("fuse_a") * row.share <= terminal_a:
            clause = f"240.4(D), limit for {row.size.label}; {insulation}"
            return small.number("fuse_a") * row.share, (Citation("nec", clause, small.status),)
        clause = f"110.14(C), terminals taken as marked {TERMINAL_C} °C, check the marking; {insulation}"
        return terminal_a, (*terminals.citations, Citation("nec", clause, "from memory"))

    def resistance_20c_ohm_per_m(self, size: ConductorSize) -> Sourced:
        """Resistance at 20 °C in ohm/m from Chapter 9 Table 8, stranded and uncoated, which is printed for 75 °C.

        R20 = R75 / (1 + 0.00393/K · 55 K), so that a conductor reckoned at 75 °C has the printed value again. The
        table's own coefficient, 0.00323/K from 75 °C, gives the same within 0.02 %. Sizes outside the table: by area.
        """
        row = by_column("nec_resistance", "awg").get(size.label.removesuffix(" AWG"))
        if row is None:
            return stranded_resistance_20c_ohm_per_m(size)
        ohm_per_km_20c = row.number("ohm_per_km_75c") / (1 + COPPER_PER_K * (75 - 20))
        clause = "Chapter 9 Table 8, stranded, uncoated, from 75 °C to 20 °C with 0.00393/K"
        return Sourced(ohm_per_km_20c / 1000.0, Citation("nec", clause, row.status))

    def _fuse_window(
        self,
        design_current_a: float,
        ampacity_a: float,
        system_v: float,  # noqa: ARG002 - one rule for all voltages up to 1000 V
    ) -> FuseWindow:
        """Fuse ratings in A: at least 1.25 · continuous current, at most the next standard rating above the ampacity.

        Source: NEC 210.20 and 215.3 (continuous loads), 240.4(B) with 240.6 (next standard rating); check your edition.
        """
        smallest = Citation("nec", "210.20(A), 215.3: 125 % of the current; check your edition", "from memory")
        clause = "240.4(B), 240.6(A): the ampacity, or the next standard rating above it; check your edition"
        largest = next_standard_rating_a(ampacity_a)
        citation = Citation("nec", clause, largest.citation.status)
        return FuseWindow(
            CONTINUOUS_MARGIN * design_current_a,
            largest.value,
            citation,
            smallest,
            "next_standard_above_ampacity",
            FUSE_AT_MOST,
        )

    def drop_limit(self, critical: bool) -> Sourced:
        """3 % for critical circuits, 5 % otherwise: advice, not a requirement. Source: NEC informational notes."""
        part = "3 % in a branch or feeder" if critical else "5 % in feeder and branch together"
        clause = f"informational note to 210.19 and 215.2, advice: {part}; check your edition"
        return Sourced(0.03 if critical else 0.05, Citation("nec", clause, "from memory"), DROP_AT_MOST)

    def _fuse_distance(self, at_battery: bool, sheathed: bool) -> Sourced:  # noqa: ARG002 - one figure for all
        """450 mm (18 in), the code's figure for vehicles and park trailers, taken for cabins too.

        For cabins the code gives no figure: 240.21(H) wants the device as close to the battery as practicable.
        Source: NEC 552.10(E).
        """
        clause = "552.10(E), 450 mm from the supply in vehicles; a cabin: as close as practicable, 240.21(H)"
        return Sourced(0.450, Citation("nec", f"{clause}; check your edition", "corroborated"))

    def minimum_size(self, sheathed: bool) -> SizeFloor:  # noqa: ARG002 - one size for both
        """14 AWG copper. Source: NEC 310.3(A) (Table 310.106(A) before); check your edition."""
        return SizeFloor(
            parse_size("14 AWG"), Citation("nec", "310.3(A), at least 14 AWG copper; check your edition", "from memory")
        )


NEC_CABINS = NecCabins()
