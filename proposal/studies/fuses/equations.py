"""How long a conductor stands a fault, and what a fuse lets pass."""

import math

from proposal.parts.insulation import HeatLoss

HOLDS_TO_S = 5.0
"""Up to here no heat leaves the conductor to speak of; beyond, the adiabatic time is on the safe side."""
MELTING_SHARE = 2.0 / 3.0
"""Share of the minimum melting current that a start or inrush may reach. Common practice, no source."""


def stands_s(k_a_root_s_per_mm2: float, area_mm2: float, current_a: float) -> float:
    """How long a conductor stands a fault: t = (k·S/I)² [s]; infinite at no current.

    Adiabatic, from its insulation's own temperature limit. Source: IEC 60364-4-43; holds to 5 s, and is on the safe
    side beyond.
    """
    if current_a <= 0.0:
        return math.inf
    return (k_a_root_s_per_mm2 * area_mm2 / current_a) ** 2


def area_needed_mm2(k_a_root_s_per_mm2: float, current_a: float, time_s: float) -> float:
    """Smallest area that stands a current for a time: S = I·√t/k [mm²]. Source: IEC 60364-5-54."""
    return current_a * math.sqrt(time_s) / k_a_root_s_per_mm2


def adiabatic_a(k_a_root_s_per_mm2: float, area_mm2: float, time_s: float) -> float:
    """The current that a conductor stands for a time: I = k·S/√t [A]. Source: IEC 60364-4-43."""
    return k_a_root_s_per_mm2 * area_mm2 / math.sqrt(time_s)


def non_adiabatic_factor(loss: HeatLoss, area_mm2: float, time_s: float) -> float:
    """By how much more current is allowed because heat leaves the conductor: ε = √(1 + X·√(t/S) + Y·t/S).

    1 beyond 5 s: what the factor rests on holds no longer. Source: IEC 60949.
    """
    if time_s > HOLDS_TO_S:
        return 1.0
    ratio = time_s / area_mm2
    return math.sqrt(1.0 + loss.x_root_mm2_per_s * math.sqrt(ratio) + loss.y_mm2_per_s * ratio)
