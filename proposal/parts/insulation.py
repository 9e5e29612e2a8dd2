"""How much heat an insulated copper conductor stands in a short circuit: k by compound and temperature class."""

from __future__ import annotations

import functools
import math
from typing import Literal, cast

from proposal.frozen import frozen
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation

Compound = Literal["pvc", "xlpe", "rubber", "silicone"]

COPPER_A_ROOT_S_PER_MM2 = 226.0
COPPER_C = 234.5
"""Both constants of copper in the formula of k: 226 A·s^½/mm² and −234.5 °C, at which its resistance would vanish."""
PVC_UP_TO_C = 105
CROSS_LINKED_UP_TO_C = 150
"""Classes in which PVC and cross-linked insulation are sold. Common practice."""
END_C: dict[Compound, float] = {"pvc": 160.0, "xlpe": 250.0, "rubber": 200.0, "silicone": 350.0}
"""Temperature at the end of a fault, for a class that the table does not hold. Common practice, after its rows."""
LARGE_PVC_MM2, LARGE_PVC_END_C = 300.0, 140.0


@frozen
class Withstand:
    """``k`` of a conductor [A·s^½/mm²]; ``compound`` is the one taken, ``stated`` whether anyone stated it."""

    k_a_root_s_per_mm2: float
    compound: Compound
    stated: bool
    citation: Citation


def computed_k(initial_c: float, final_c: float) -> float:
    """k = 226·√ln((θ_f + 234.5)/(θ_i + 234.5)) of copper [A·s^½/mm²]; 0 where no rise is allowed.

    Parameters: temperature before and at the end of the fault in °C. Source: IEC 60364-5-54.
    """
    if final_c <= initial_c:
        return 0.0
    return COPPER_A_ROOT_S_PER_MM2 * math.sqrt(math.log((final_c + COPPER_C) / (initial_c + COPPER_C)))


@functools.lru_cache(maxsize=512)
def withstand(insulation_c: int, compound: str | None, area_mm2: float) -> Withstand:
    """k of a copper conductor by its insulation's class [°C] and compound, and its area [mm²].

    From the table where it has the row, else computed from the class and the compound's usual end temperature. Where
    the compound is not stated, that of its class with the lower k is taken.
    """
    if compound is not None:
        return _of(insulation_c, cast(Compound, compound), area_mm2, stated=True)
    if insulation_c <= PVC_UP_TO_C:
        possible: tuple[Compound, ...] = ("pvc", "xlpe")
    elif insulation_c <= CROSS_LINKED_UP_TO_C:
        possible = ("xlpe",)
    else:
        possible = ("silicone",)
    found = [_of(insulation_c, name, area_mm2, stated=False) for name in possible]
    return min(found, key=lambda each: each.k_a_root_s_per_mm2)


def _of(insulation_c: int, compound: Compound, area_mm2: float, *, stated: bool) -> Withstand:
    for row in rows("adiabatic_k"):
        fits = row["compound"] == compound and float(row["insulation_C"]) == insulation_c
        if fits and float(row["above_mm2"]) < area_mm2 <= float(row["to_mm2"]):
            return Withstand(float(row["k"]), compound, stated, row_citation(row))
    end_c = LARGE_PVC_END_C if compound == "pvc" and area_mm2 > LARGE_PVC_MM2 else END_C[compound]
    clause = f"k computed from {insulation_c} °C and an end temperature of {end_c:g} °C"
    return Withstand(
        computed_k(insulation_c, end_c), compound, stated, Citation("common_practice", clause, "common practice")
    )


@frozen
class HeatLoss:
    """Constants of the non-adiabatic factor of a conductor in its insulation: X in √(mm²/s), Y in mm²/s."""

    x_root_mm2_per_s: float
    y_mm2_per_s: float
    citation: Citation


@functools.cache
def heat_loss(compound: str) -> HeatLoss | None:
    """Constants of IEC 60949 for copper in a compound; None where none are known."""
    for row in rows("non_adiabatic"):
        if row["compound"] == compound:
            return HeatLoss(float(row["x_root_mm2_per_s"]), float(row["y_mm2_per_s"]), row_citation(row))
    return None
