"""A lead battery is no mere resistance while it charges: what it takes is bounded, and that bound is found here."""

from dataclasses import replace

from proposal.circuit.model import Battery, Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.chemistry import is_lead
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case
from proposal.studies.network.result import Network, Port, Solution
from proposal.studies.network.solve import reduce_network, solve

LEAD_ACCEPTS_PER_HOUR = {"flooded": 0.25, "agm": 0.40, "gel": 0.20}
"""Most that a half-empty lead battery takes, as a share of its capacity per hour. From memory (trade handbooks)."""
TINY_A = 1e-3


def accepts_a(battery: Battery, *, charging: bool) -> float:
    """Most charging current of a lead string [A]: the maker's limit or the chemistry's; nothing where no source works.

    A rested, full lead battery beside a higher voltage takes only its float current, some 0.1 % of its capacity.
    """
    if not charging:
        return 0.0
    stated_a = battery.part.charge_max_a
    return (
        stated_a if stated_a is not None else LEAD_ACCEPTS_PER_HOUR[battery.part.chemistry] * battery.part.capacity_ah
    )


def solve_case(circuit: Circuit, case: Case, family: RuleFamily) -> tuple[Network, Solution]:
    """The network of a case and its solution, lead batteries kept within what they accept.

    A lead string that the plain network would charge with more than it accepts becomes a port that takes just that
    (nothing: it is left out, floating). Strings are taken in turn until none is beyond its bound.
    """
    network = assemble(circuit, case, family)
    solution = solve(reduce_network(network))
    if not case.limit_lead:
        return network, solution
    charging = bool(case.sources)
    bound: dict[str, float] = {}
    lead = {b.key: b for b in circuit.batteries if is_lead(b.part.chemistry)}
    while True:
        beyond = {
            key: accepts_a(battery, charging=charging)
            for key, battery in lead.items()
            if key not in bound and -solution.given_a.get(key, 0.0) > accepts_a(battery, charging=charging) + TINY_A
        }
        if not beyond:
            return network, solution
        bound |= beyond
        network = _bounded(circuit, case, family, bound, lead)
        solution = solve(reduce_network(network))


def _bounded(
    circuit: Circuit, case: Case, family: RuleFamily, bound: dict[str, float], lead: dict[str, Battery]
) -> Network:
    without = replace(case, batteries_out=case.batteries_out | frozenset(bound))
    network = assemble(circuit, without, family)
    live = set(network.nodes)
    ports = tuple(
        Port(key, lead[key].positive, lead[key].negative, "current", amps)
        for key, amps in bound.items()
        if amps > 0 and lead[key].positive in live and lead[key].negative in live
    )
    return replace(network, ports=(*network.ports, *ports))
