"""What would mend a voltage lost on the way: the circuit's own conductors larger, shorter or in parallel."""

import math

from proposal.frozen import frozen
from proposal.rules.finding import Evidence, above
from proposal.studies.network.result import Solution

MOST_PARALLEL = 3
"""More conductors than that are not laid side by side for one pole. Common practice, no source."""


@frozen
class Mend:
    """What one circuit's own conductors lose [V], and what would bring the whole way to its limit, the rest unchanged.

    `size` or, where the family has none so large, `parallel_count` of `parallel_size` in each pole; or no more than
    `length_m`. None where own conductors cannot mend it: `shared_v` is then what is lost without them.
    """

    own_v: float
    size: str | None = None
    length_m: float | None = None
    parallel_size: str | None = None
    parallel_count: int | None = None
    shared_v: float | None = None


def mended(
    evidence: Evidence, circuit_key: str, solution: Solution, lost_v: float, limit_v: float, rise: float = 1.0
) -> Mend:
    """How a circuit's own conductors could mend what is lost on its way.

    At the solved currents the loss of a conductor goes with its length over its area. `rise`: how much more its current
    will be once less is lost.
    """
    own = [c for c in evidence.circuit.conductors if c.circuit == circuit_key and c.size is not None]
    own_v = sum(abs(solution.voltage_v[c.from_node] - solution.voltage_v[c.to_node]) for c in own)
    left_v = limit_v - (lost_v - own_v)
    if left_v <= 0.0:
        return Mend(own_v, shared_v=lost_v - own_v)
    if not own or own_v <= 0.0:
        return Mend(own_v)
    wanted_mm2 = max(c.size.area_mm2 for c in own if c.size is not None) * own_v * rise / left_v
    length_m = min(c.length_m for c in own) * left_v / (own_v * rise)
    sizes = evidence.family.sizes
    size = next((s.label for s in sizes if not above(wanted_mm2, s.area_mm2)), None)
    count = math.ceil(wanted_mm2 / sizes[-1].area_mm2)
    if size is not None or count > MOST_PARALLEL:
        return Mend(own_v, size, length_m)
    return Mend(own_v, None, length_m, sizes[-1].label, count)
