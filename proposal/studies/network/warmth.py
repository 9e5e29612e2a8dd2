"""How warm each conductor is at the current that it really carries, at the place where it runs."""

import numpy as np

from proposal.circuit.laid import ampacity_of
from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.network.equations import conductor_c
from proposal.studies.network.frame import Frame
from proposal.studies.network.shape import Array

SETTLED_K = 0.1
"""Temperatures that move less than this are settled: 0.04 % of a resistance."""
SETTLED_ON_THE_WAY_K = 1.0
"""The same while sizes are still being chosen: the last solution, which is published, begins anew."""
MOST_PASSES = 8


def warmed_c(circuit: Circuit, frame: Frame, family: RuleFamily, current_a: Array) -> Array:
    """Temperature [°C] of each of the frame's conductors at a current [A]; see `equations.conductor_c`.

    The ampacity is that of the rule family at the place's hottest, with the bundle that the conductor lies in: its
    neighbours are taken to be as loaded as it is, which is warmer than they are.
    """
    ampacity_a, limit_c = _bears(circuit, family)
    at = frame.of_conductors
    return conductor_c(frame.place_c, limit_c[at], current_a, ampacity_a[at])


def _bears(circuit: Circuit, family: RuleFamily) -> tuple[Array, Array]:
    """Ampacity [A] and temperature class [°C] of all conductors, from the circuit's own memo."""
    memo = ("bears", family.id)
    found = circuit.own_memo.get(memo)
    if found is None:
        amps = [ampacity_of(c, c.size or family.sizes[0], circuit, family).ampacity_a for c in circuit.conductors]
        limits_c = [float(c.insulation_c) for c in circuit.conductors]
        found = circuit.own_memo[memo] = np.array(amps), np.array(limits_c)
    return found
