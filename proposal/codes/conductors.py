"""What the families share about copper conductors: rows for any size, temperature factors, resistance."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from proposal.codes.family import Sourced
from proposal.codes.rows import Row, by_column
from proposal.sources import Citation
from proposal.units import ConductorSize

TABLE_AMBIENT_C = 30.0
"""The ambient for which every ampacity table here is printed."""

ENGINE_SPACE_C = 50.0
"""What the notes on engine spaces suppose, after their factors."""

IACS_OHM_MM2_PER_M = 0.017241
"""Resistivity of annealed copper at 20 °C: 100 % IACS, NBS Handbook 100."""

STRANDING_ALLOWANCE = 1.02
"""Strands of a stranded conductor are longer than the cable; common practice, no source."""


class TableSize(NamedTuple):
    """The row of a ladder that stands for a size: ``size`` in the ladder, and the ``share`` of its current to take."""

    size: ConductorSize
    share: float
    exact: bool


def table_size(size: ConductorSize, ladder: tuple[ConductorSize, ...]) -> TableSize:
    """Find the row for any ``size``: the largest of the ascending ``ladder`` that is not thicker.

    Below the ladder the first row is scaled by area, and for a gauge by SAE that of its own number; current per area
    falls with area, so all err to the safe side.
    """
    if size in ladder:
        return TableSize(size, 1.0, True)
    for row in ladder:
        if row.label == size.nominal:
            return TableSize(row, size.area_mm2 / row.area_mm2, False)
    thinner = [row for row in ladder if row.area_mm2 <= size.area_mm2]
    if thinner:
        return TableSize(thinner[-1], 1.0, False)
    return TableSize(ladder[0], size.area_mm2 / ladder[0].area_mm2, False)


def square_root_factor(class_c: float, insulation_c: float, place_c: float) -> float:
    """Factor on a current printed for a conductor of ``class_c`` [°C] at 30 °C, in a place of ``place_c`` [°C].

    f = sqrt((T_ins − T_place) / (T_class − 30 °C)), at most 1, and 0 where the place is as hot as the insulation may
    get; T_ins is the lower of ``class_c`` and ``insulation_c``. Heat leaves in proportion to the temperature difference
    and arises with the square of the current. Source: own arithmetic, common practice.
    """
    warm_k = min(class_c, insulation_c) - max(place_c, TABLE_AMBIENT_C)
    return math.sqrt(max(warm_k, 0.0) / (class_c - TABLE_AMBIENT_C))


def square_root_citation(insulation_c: float, place_c: float) -> Citation:
    """Say what ``square_root_factor`` was asked."""
    clause = f"square-root rule: place {place_c:.0f} °C, insulation {insulation_c:.0f} °C, table for 30 °C"
    return Citation("arithmetic", clause, "common practice")


def by_root(class_c: float, insulation_c: float, place_c: float) -> tuple[float, Citation | None]:
    """The square-root rule as a temperature factor and what it rests on; None where the table value holds as it is."""
    factor = square_root_factor(class_c, insulation_c, place_c)
    return factor, (square_root_citation(min(class_c, insulation_c), place_c) if factor < 1.0 else None)


def engine_space_factor(
    table: str, class_c: int, insulation_c: float, place_c: float, cited: Callable[[Row], Citation]
) -> tuple[float, Citation]:
    """Factor of a family's note on engine spaces and what it rests on; the space counts as 50 °C at least.

    The note holds for 50 °C and its own class; outside that the square-root rule takes over, and only downwards.
    """
    warm_c = max(place_c, ENGINE_SPACE_C)
    factor = square_root_factor(class_c, insulation_c, warm_c)
    root = square_root_citation(min(class_c, insulation_c), warm_c)
    row = by_column(table, "class_c").get(str(class_c))
    if row is None:
        return factor, root
    by_note = row.number("factor")
    if factor < by_note and (place_c > ENGINE_SPACE_C or insulation_c < class_c):
        return factor, root
    return by_note, cited(row)


def solid_resistance_20c_ohm_per_m(area_mm2: float) -> float:
    """Resistance at 20 °C in ohm/m of a solid copper wire: R' = ρ / A. Source: NBS Handbook 100 (IACS)."""
    return IACS_OHM_MM2_PER_M / area_mm2


def stranded_resistance_20c_ohm_per_m(size: ConductorSize) -> Sourced:
    """Resistance at 20 °C in ohm/m of a stranded conductor.

    AWG: R' = 1.02 · ρ / A with the area of ASTM B258, or of SAE J1127 and J1128, and IACS resistivity. Metric: the
    maximum of IEC 60228 for plain class 5, which already holds the stranding; a metric size not in it as AWG.
    """
    row = by_column("iec60228_class5", "mm2").get(size.label.removesuffix(" mm²"))
    if size.system == "mm2" and row is not None:
        citation = Citation("iec60228", "Table 3, class 5, plain, highest resistance at 20 °C", row.status)
        return Sourced(row.number("ohm_per_km_20c") / 1000.0, citation)
    clause = "area by gauge, IACS resistivity 0.017241 ohm mm²/m, plus 2 % for stranding and lay (common practice)"
    by_sae = size.label != size.nominal
    citation = Citation("sae_j1128" if by_sae else "astm_b258", clause, "common practice")
    return Sourced(STRANDING_ALLOWANCE * solid_resistance_20c_ohm_per_m(size.area_mm2), citation)


def other_size_note(size: ConductorSize, row: TableSize) -> Citation:
    """Say which row stood in for a size that the table does not have."""
    part = "" if row.share == 1.0 else f", {row.share:.2f} of its current by area"
    return Citation("arithmetic", f"{size.label} is not in the table: {row.size.label} taken{part}", "common practice")
