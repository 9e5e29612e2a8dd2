"""Least prospective fault currents: one weak bank alone, cold and aged and low, conductors hot, the far end."""

from collections.abc import Mapping

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.faults.pairs import shorts
from proposal.studies.faults.result import LeastFault, LeastFaults
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case
from proposal.studies.network.result import Network
from proposal.studies.network.solve import reduce_quickly
from proposal.studies.protection.result import Feeds

LEAST_CHARGE_SHARE = 0.2
"""Charge of the weak bank: as low as a bank is used by plan. Common practice, no source."""
NOTHING_SHARE = 1e-3
"""Share of a fault current below which what a fuse carries of it is rounding."""


def least_case(circuit: Circuit, bank: str) -> Case:
    """One bank alone: no other string, no charge source, relays closed, emergency switches open as in ordinary use."""
    out = frozenset(b.key for b in circuit.batteries if b.bank != bank)
    return Case(
        f"least_fault.{bank}", "limit", LEAST_CHARGE_SHARE, batteries_out=out, weak=True, limit_lead=False
    )  # fmt: skip


def least_networks(circuit: Circuit, family: RuleFamily) -> dict[str, Network]:
    """The network of each bank alone, by bank."""
    return {bank.key: assemble(circuit, least_case(circuit, bank.key), family) for bank in circuit.banks}


def least_faults(circuit: Circuit, family: RuleFamily, guards: Mapping[str, Feeds]) -> LeastFaults:
    """The least fault current at every node, and what of it each fuse sees that guards a positive conductor.

    For each bank alone, which is one reduction: I = U_open/R between each node and its mate. A fuse sees a fault at the
    end of the conductor that lies away from it; through it flows I_f = G·(U_1 − U_2) during the fault. Of the banks
    that drive a current through the fuse the one that drives the least is kept. Fuses behind which only charge sources
    lie are left out: those give no more than their rated current.
    """
    asked = _asked(circuit, guards)
    by_node: dict[str, tuple[str, float]] = {}
    seen: dict[tuple[str, str], LeastFault] = {}
    for bank in (one.key for one in circuit.banks):
        reduced = reduce_quickly(circuit, least_case(circuit, bank), family)
        found = shorts(circuit, reduced)
        amps = found.current_a.tolist()
        for node, number in found.number.items():
            if node not in by_node or amps[number] < by_node[node][1]:
                by_node[node] = bank, amps[number]
        siemens = {key: 1.0 / ohm for key, ohm in reduced.ohms.items()}
        live = [item for item in asked if item[1] in found.number and item[2] in siemens]
        ends = [(circuit.device[fuse].from_node, circuit.device[fuse].to_node) for _, _, fuse in live]
        across_v = found.between([node for _, node, _ in live], ends).tolist()
        for (conductor, node, fuse), volts in zip(live, across_v, strict=True):
            current_a = amps[found.number[node]]
            through_a = abs(volts) * siemens[fuse]
            best = seen.get((conductor, fuse))
            if through_a > NOTHING_SHARE * current_a and (best is None or through_a < best.through_fuse_a):
                seen[conductor, fuse] = LeastFault(conductor, node, fuse, current_a, through_a, bank)
    order = dict.fromkeys((conductor, fuse) for conductor, _, fuse in asked)
    return LeastFaults(by_node, tuple(seen[key] for key in order if key in seen))


def _asked(circuit: Circuit, guards: Mapping[str, Feeds]) -> list[tuple[str, str, str]]:
    """(conductor, its end away from the fuse, fuse) for every fuse before which a battery lies."""
    asked: list[tuple[str, str, str]] = []
    for key, feeds in guards.items():
        conductor = circuit.conductor[key]
        for feeding, far in ((feeds.from_end, conductor.to_node), (feeds.to_end, conductor.from_node)):
            asked += [(key, far, feed.key) for feed in feeding if feed.kind == "fuse" and feed.limited_a is None]
    return asked
