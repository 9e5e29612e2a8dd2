"""What would mend a voltage lost on the way: the circuit's own conductors larger or shorter, the rest unchanged."""

from proposal.rules.finding import Evidence, above
from proposal.studies.network.result import Solution


def mended(
    evidence: Evidence, circuit_key: str, solution: Solution, lost_v: float, limit_v: float, rise: float = 1.0
) -> tuple[float, str | None, float | None]:
    """What a circuit's own conductors lose [V], the size and the length [m] at which the whole way meets its limit.

    At the solved currents the loss of a conductor goes with its length over its area. None where own conductors cannot
    mend it, or the family has no such size. `rise`: how much more its current will be once less is lost.
    """
    own = [c for c in evidence.circuit.conductors if c.circuit == circuit_key and c.size is not None]
    own_v = sum(abs(solution.voltage_v[c.from_node] - solution.voltage_v[c.to_node]) for c in own)
    left_v = limit_v - (lost_v - own_v)
    if not own or own_v <= 0.0 or left_v <= 0.0:
        return own_v, None, None
    wanted_mm2 = max(c.size.area_mm2 for c in own if c.size is not None) * own_v * rise / left_v
    size = next((s.label for s in evidence.family.sizes if not above(wanted_mm2, s.area_mm2)), None)
    return own_v, size, min(c.length_m for c in own) * left_v / (own_v * rise)
