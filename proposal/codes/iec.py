"""What families after IEC 60364 have in common: fuse rule, ambient and grouping factors, distances, drop."""

from __future__ import annotations

import functools
import math
from typing import Literal

from proposal.codes.ampacity_table import Printed
from proposal.codes.base import CONTINUOUS_MARGIN, MARGIN, Factor, TableFamily
from proposal.codes.bounds import DROP_AT_MOST, FUSE_AT_MOST
from proposal.codes.conductors import TABLE_AMBIENT_C, by_root, square_root_citation, square_root_factor
from proposal.codes.family import FuseWindow, SizeFloor, Sourced
from proposal.codes.rows import Row, rows
from proposal.sources import Citation
from proposal.units import parse_size

LOADED_PER_CIRCUIT = 2
"""Conductors of a DC circuit that carry its current: out and back."""

VEHICLE_CLASSES_C = (70, 90, 105)


class IecFamily(TableFamily):
    """Fuses by Ib ≤ In ≤ Iz and I2 ≤ 1.45 Iz, IEC 60364-4-43; factors of IEC 60364-5-52, else the square-root rule.

    Above 30 °C: the factor of Table B.52.14 for the 70 °C column, between its rows the square-root rule held between
    its neighbours; for everything else the square-root rule, with the insulation's own class where that is higher.
    Grouping goes by circuits: two conductors make one.
    """

    size_system: Literal["awg", "mm2"] = "mm2"
    insulation_classes_c = VEHICLE_CLASSES_C
    smallest = parse_size("1.5 mm2")
    smallest_citation: Citation
    drop_citation: Citation

    def _temperature(
        self,
        printed: Printed,
        insulation_c: int,
        place_c: float,
        engine_space: bool,  # noqa: ARG002 - it knows no engine space; the place's own temperature counts
    ) -> Factor:
        class_c = printed.class_c
        if insulation_c > class_c:
            # the printed current heats the conductor by class − 30 °C; better insulation bears that in a hotter place
            rise_k = class_c - TABLE_AMBIENT_C
            factor = min(1.0, math.sqrt(max(insulation_c - place_c, 0.0) / rise_k))
            return factor, (square_root_citation(insulation_c, place_c) if factor < 1.0 else None)
        table = _ambient(class_c)
        if not table or insulation_c < class_c or not TABLE_AMBIENT_C < place_c <= table[-1][0]:
            factor, reason = by_root(class_c, insulation_c, place_c)
            last = table[-1] if table and place_c > table[-1][0] else None
            return (min(factor, last[1].number("factor")) if last else factor), reason
        return _between(table, class_c, place_c)

    def _bundle(self, bundled_count: int, system_v: float) -> Factor:  # noqa: ARG002 - at every voltage
        circuits = math.ceil(bundled_count / LOADED_PER_CIRCUIT)
        if circuits < 2:
            return 1.0, None
        clause = f"Table B.52.17 row 1: {bundled_count} conductors make {circuits} circuits together"
        table = rows("iec_bundle")
        row = next((row for row in table if circuits <= row.number("circuits")), None)
        if row is not None:
            if row.number("circuits") > circuits:
                clause += f", the factor for {row.cells['circuits']} taken"
            return row.number("factor"), Citation("iec60364_5_52", clause, row.status)
        last = table[-1]
        factor = last.number("factor") * math.sqrt(last.number("circuits") / circuits)
        beyond = f"{clause}; beyond {last.cells['circuits']} circuits falling with the root of their number"
        return factor, Citation("iec60364_5_52", beyond, last.status)

    def _fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:  # noqa: ARG002
        """Fuse ratings in A: Ib ≤ In ≤ Iz, at every voltage; by practice In is at least 1.25 · Ib.

        I2 ≤ 1.45 Iz, what opens the device for certain, follows for classes that open at 1.45 times their rating.
        Source: IEC 60364-4-43, 433.1; the margin is common practice, a fuse at its rating all day ages.
        """
        clause = "433.1: In ≤ Iz, and I2 ≤ 1.45 Iz with fuses that open at 1.45 times their rating; check your edition"
        high = Citation("iec60364_4_43", clause, "from memory")
        return FuseWindow(
            CONTINUOUS_MARGIN * design_current_a, ampacity_a, high, MARGIN, "at_most_ampacity", FUSE_AT_MOST
        )

    def drop_limit(self, critical: bool) -> Sourced:
        """3 % for critical circuits (lighting in the table), 5 % otherwise: advice for installations."""
        return Sourced(0.03 if critical else 0.05, self.drop_citation, DROP_AT_MOST)

    def _fuse_distance(self, at_battery: bool, sheathed: bool) -> Sourced:  # noqa: ARG002 - one rule for all sources
        """The fuse sits at the source: 0.3 m of bare single conductor, 1.8 m in a sheath or enclosure.

        IEC 60364-4-43, 434.2.1 would allow 3 m where no short circuit is to be feared; the figures of practice are
        stricter, and 1.8 m is that of small craft.
        """
        figure = "1.8 m in a sheath, the figure of small craft" if sheathed else "0.3 m"
        clause = f"fuse at the battery, where no figure is given: {figure}; check your edition"
        return Sourced(1.8 if sheathed else 0.3, Citation("common_practice", clause, "common practice"))

    def minimum_size(self, sheathed: bool) -> SizeFloor:  # noqa: ARG002 - one size for both
        """1.5 mm²."""
        return SizeFloor(self.smallest, self.smallest_citation)


@functools.cache
def _ambient(class_c: int) -> tuple[tuple[float, Row], ...]:
    """Rows of the ambient table for a column, by temperature [°C] rising."""
    found = [(row.number("place_c"), row) for row in rows("iec_ambient") if row.number("class_c") == class_c]
    return tuple(sorted(found, key=lambda pair: pair[0]))


def _between(table: tuple[tuple[float, Row], ...], class_c: int, place_c: float) -> Factor:
    """The row of a temperature, or the square-root rule held between the rows beside it, so that heat never helps."""
    above = next(n for n, (row_c, _) in enumerate(table) if place_c <= row_c)
    row_c, row = table[above]
    if place_c == row_c:
        clause = f"Table B.52.14: {row_c:.0f} °C, {class_c} °C column; check your edition"
        return row.number("factor"), Citation("iec60364_5_52", clause, row.status)
    cooler = table[above - 1][1].number("factor") if above else 1.0
    root = square_root_factor(class_c, class_c, place_c)
    return min(max(root, row.number("factor")), cooler), square_root_citation(class_c, place_c)
