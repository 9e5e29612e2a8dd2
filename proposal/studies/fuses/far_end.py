"""A fault on a guarded conductor: does the fuse open before the conductor's insulation is spoilt."""

import math

from proposal.facts import Values
from proposal.parts.fuse_curves import TimeCurve
from proposal.parts.insulation import heat_loss, withstand
from proposal.studies.fuses.equations import HOLDS_TO_S, adiabatic_a, non_adiabatic_factor, stands_s
from proposal.studies.fuses.result import CURVE, ROUNDING, Guarded, Ruling, ruled

HEATING = "conductor_heating"
COMPOUND = "insulation_compound"


def far_end(guarded: Guarded, fault_max_a: float, curve: TimeCurve | None) -> Ruling:
    """Whether a fuse opens every fault on a conductor within (k·S/I)², from the least at its far end to the highest.

    A fault current that the conductor carries without end harms it not. Where it fails by the lower k of two possible
    compounds, or only because heat that leaves the conductor is not counted, it stays undecided.
    """
    k, area_mm2 = guarded.withstand.k_a_root_s_per_mm2, guarded.area_mm2
    least_s = stands_s(k, area_mm2, guarded.current_a)
    values: Values = {
        "conductor": guarded.conductor, "bank": guarded.bank, "current_a": guarded.current_a,
        "through_a": guarded.through_a, "area_mm2": area_mm2, "k_a_root_s_per_mm2": k, "stands_s": least_s,
    }  # fmt: skip
    if guarded.current_a <= guarded.ampacity_a * (1.0 + ROUNDING):
        return Ruling("far_end", "passes", values={**values, "cause": "carried"})
    if curve is None or not curve.tells_clearing:
        return Ruling("far_end", "undecided", CURVE, values=values)
    current_a, through_a = _hardest(guarded, fault_max_a, curve)
    clears_s, allowed_s = curve.clearing_s(through_a), stands_s(k, area_mm2, current_a)
    values |= {
        "cause": "far_end" if through_a == guarded.through_a else "near_end",
        "current_a": current_a, "through_a": through_a, "stands_s": allowed_s,
        "clears_s": clears_s if math.isfinite(clears_s) else None,
    }  # fmt: skip
    if clears_s <= allowed_s * (1.0 + ROUNDING):
        return ruled("far_end", True, (curve,), values)
    # beyond its last gate a real fuse may clear sooner than the constant I²t says
    beyond = curve.beyond_gates(through_a)
    return ruled("far_end", False, (curve,), values, _saved_by(guarded, current_a, clears_s), beyond=beyond)


def _hardest(guarded: Guarded, fault_max_a: float, curve: TimeCurve) -> tuple[float, float]:
    """Of the least and the highest fault and the gates between, where the fuse takes longest for what is allowed.

    Current in the conductor and through the fuse [A]; between gates both are straight in log-log.
    """
    ratio = guarded.current_a / guarded.through_a
    high_a = max(fault_max_a, guarded.through_a)
    between = [g.current_a for g in curve.gates if guarded.through_a < g.current_a < high_a]
    # the fault at the far end comes first, so that it is named where all are alike
    asked = [guarded.through_a, *between, high_a]
    hardest = max(asked, key=lambda amps: float(f"{curve.clearing_s(amps) * amps**2:.6g}"))
    return hardest * ratio, hardest


def _saved_by(guarded: Guarded, current_a: float, clears_s: float) -> str:
    """What would turn a failure, if it were known: the compound, or how much heat leaves; empty: nothing."""
    if not math.isfinite(clears_s):
        return ""
    known = guarded.withstand
    if not known.stated:
        better = withstand(guarded.insulation_c, "xlpe", guarded.area_mm2).k_a_root_s_per_mm2
        if clears_s <= stands_s(max(better, known.k_a_root_s_per_mm2), guarded.area_mm2, current_a):
            return COMPOUND
    if stands_s(known.k_a_root_s_per_mm2, guarded.area_mm2, current_a) > HOLDS_TO_S:
        return HEATING
    loss = heat_loss(known.compound)
    if loss is None:
        return ""
    factor = non_adiabatic_factor(loss, guarded.area_mm2, clears_s)
    allowed_a = factor * adiabatic_a(known.k_a_root_s_per_mm2, guarded.area_mm2, clears_s)
    return HEATING if factor > 1.0 and current_a <= allowed_a else ""
