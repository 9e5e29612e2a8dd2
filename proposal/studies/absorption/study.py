"""Solves the last hours of charging over the whole two-pole network."""

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.chemistry import is_lead
from proposal.studies.absorption.result import Absorption
from proposal.studies.network.case import Case
from proposal.studies.network.solve import solve_quickly

TAIL_PER_H = 0.02
"""What a nearly full lead battery still takes, of its capacity per hour. Common practice, no source."""


def absorption_case(circuit: Circuit) -> Case:
    """Every source at work, all relays closed, only what is always on beside it; lithium is full and takes nothing."""
    return Case(
        "absorption",
        "hot",
        1.0,
        tuple((x.key, x.mean_a) for x in circuit.loads if x.always_on),
        tuple(s.key for s in circuit.sources) + tuple(c.key for c in circuit.converters),
        batteries_out=frozenset(b.key for b in circuit.batteries if not is_lead(b.part.chemistry)),
        lead_takes_per_h=TAIL_PER_H,
    )


def absorption(circuit: Circuit, family: RuleFamily) -> Absorption:
    """What is lost on the way from every charger to every lead bank: ΔU = U_charger − U_posts [V], 0 at least.

    A charger set lower than the others gives nothing then, and nothing of its voltage is lost.
    """
    solution = solve_quickly(circuit, absorption_case(circuit), family)
    ends = [(s.key, s.key) for s in circuit.sources] + [(c.key, f"{c.key}.output") for c in circuit.converters]
    lost_v: dict[tuple[str, str], float] = {}
    for charger, port in ends:
        if port not in solution.port_v:
            continue
        for bank in circuit.banks:
            posts_v = [solution.port_v[key] for key in bank.strings if key in solution.port_v]
            if posts_v:
                lost_v[charger, bank.key] = max(0.0, solution.port_v[port] - max(posts_v))
    return Absorption(lost_v)
