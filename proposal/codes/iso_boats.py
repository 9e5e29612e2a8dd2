"""Small craft by ISO: ISO 13297 (which took in ISO 10133), ISO 23625 for lithium, and the recreational craft directive.

The ampacities are from memory: what rests on them alone stays open until the installer enters the bought edition's.
"""

from __future__ import annotations

from typing import Literal

from proposal.codes.ampacity_table import Printed
from proposal.codes.base import CONTINUOUS_MARGIN, MARGIN, Factor, TableFamily
from proposal.codes.bounds import BARE_AT_MOST, FUSE_AT_MOST, SHEATHED_AT_MOST
from proposal.codes.conductors import by_root, engine_space_factor
from proposal.codes.family import Exemption, FuseWindow, SizeFloor, Sourced
from proposal.codes.rows import factor_from_count
from proposal.sources import Citation
from proposal.units import MM2_SIZES, parse_size


class IsoBoats(TableFamily):
    """The family ``iso_boats``.

    Ampacity: Table A.1 (30 °C); in an engine space the factor of its note, and the square-root rule where the place is
    hotter than the 50 °C that the factors fit; elsewhere the square-root rule above 30 °C. Bundles by conductors.
    """

    id = "iso_boats"
    title = "Small craft by ISO"
    edition = "ISO 13297:2020 with A1:2022, ISO 10133:2012 (withdrawn), ISO 23625:2025, Directive 2013/53/EU"
    size_system: Literal["awg", "mm2"] = "mm2"
    applies_to = "boats up to 24 m that follow the recreational craft directive or ISO by choice"
    sizes = tuple(size for size in MM2_SIZES if 0.75 <= size.area_mm2 <= 150.0)
    insulation_classes_c = (60, 70, 85, 90, 105, 125, 200)
    table_source = "iso13297"
    table_clause = "Table A.1 (before: ISO 10133 Annex A)"

    def _temperature(self, printed: Printed, insulation_c: int, place_c: float, engine_space: bool) -> Factor:
        class_c = printed.class_c
        if not engine_space:
            return by_root(class_c, insulation_c, place_c)
        clause = f"Table A.1, note on engine spaces, {class_c} °C; check your edition"
        return engine_space_factor(
            "iso_boats_engine_space", class_c, insulation_c, place_c,
            lambda row: Citation("iso13297", clause, row.status),
        )  # fmt: skip

    def _bundle(self, bundled_count: int, system_v: float) -> Factor:  # noqa: ARG002 - its table holds at every voltage
        bundle = factor_from_count("iso_boats_bundle", bundled_count)
        if bundle is None:
            return 1.0, None
        clause = f"Annex A: {bundled_count} conductors together; check your edition"
        return bundle.number("factor"), Citation("iso13297", clause, bundle.status)

    def _fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:  # noqa: ARG002
        """Fuse ratings in A: at least 1.25 · design current, at most the ampacity; no 150 % here.

        The ampacity taken is the corrected one, where the standard names the table value: the stricter reading.
        Source: ISO 13297; the lower end is common practice.
        """
        clause = "fuse rated at most what the conductor may carry, no 150 %; check your edition"
        high = Citation("iso13297", clause, "from memory")
        return FuseWindow(
            CONTINUOUS_MARGIN * design_current_a, ampacity_a, high, MARGIN, "at_most_ampacity", FUSE_AT_MOST
        )

    def drop_limit(self, critical: bool) -> Sourced:
        """3 % for main feeders, navigation lights, bilge pumps and blowers and safety items, else 10 %."""
        topic = "3 % for circuits of safety" if critical else "10 % at the load"
        clause = f"Annex C: {topic}; carried into ISO 13297, check your edition"
        return Sourced(0.03 if critical else 0.10, Citation("iso10133", clause, "corroborated"))

    def _fuse_distance(self, at_battery: bool, sheathed: bool) -> Sourced:
        """200 mm, or 1.8 m in a sheath or enclosure; a charge source's own device within 1.8 m.

        The first two are remembered; what exceeds the corroborated distances of every other country is surely too far.
        """
        if sheathed and not at_battery:
            clause = "12.3 (2020): charge source protected at the source or within 1.8 m"
            return Sourced(1.8, Citation("iso13297", clause, "corroborated"))
        clause = "DC device within 200 mm of the source, 1.8 m if sheathed or enclosed; check your edition"
        remembered = Citation("iso13297", clause, "from memory")
        return Sourced(1.8 if sheathed else 0.2, remembered, SHEATHED_AT_MOST if sheathed else BARE_AT_MOST)

    def cranking_exempt(self) -> Exemption:
        """Circuits other than the engine's start are to be protected. Source: Directive 2013/53/EU, Annex I A 5.3."""
        clause = "Annex I, part A, 5.3: circuits other than those of the engine's start are protected against overload"
        return Exemption(True, Citation("rcd", clause, "corroborated"))

    def minimum_size(self, sheathed: bool) -> SizeFloor:
        """1 mm² for single conductors, 0.75 mm² in a sheath. Source: ISO 10133, 7.7."""
        clause = "7.7: 0.75 mm² in a sheath, at most 800 mm outside it" if sheathed else "7.7: single conductors 1 mm²"
        citation = Citation("iso10133", f"{clause}; check your edition", "corroborated")
        return SizeFloor(parse_size("0.75 mm2" if sheathed else "1 mm2"), citation)


ISO_BOATS = IsoBoats()
