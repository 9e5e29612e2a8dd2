"""Which fuses stand in series, and what part of a fault behind one flows through the others."""

from collections.abc import Mapping

import numpy as np

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.frozen import frozen
from proposal.studies.fuses.result import Neighbour
from proposal.studies.network.reduced import reduce_network
from proposal.studies.network.result import Network
from proposal.studies.network.shape import Array
from proposal.studies.protection.result import Feed

LEAST_SHARE = 0.02
"""A neighbour that takes less of a fault is none. Common practice."""


@frozen
class Through:
    """Highest fault currents through each fuse for a bolted fault just behind it, and its neighbours.

    By fuse key: `fault_a` [A]; `strings` what each battery string gives of it, as a part of the current through the
    fuse; `upstream` neighbours nearer to the batteries.
    """

    fault_a: dict[str, float]
    strings: dict[str, tuple[tuple[str, float], ...]]
    upstream: dict[str, tuple[Neighbour, ...]]

    def downstream(self) -> dict[str, tuple[Neighbour, ...]]:
        """The same pairs seen from the inner fuse: neighbours further out."""
        found: dict[str, list[Neighbour]] = {}
        for outer, neighbours in self.upstream.items():
            for inner in neighbours:
                found.setdefault(inner.fuse, []).append(Neighbour(outer, inner.current_share, inner.fault_a))
        return {fuse: tuple(each) for fuse, each in found.items()}


def through_fuses(circuit: Circuit, network: Network, inner: Mapping[str, tuple[Feed, ...]]) -> Through:
    """Currents through the fuses in the network of the highest fault currents.

    Parameters: that network; `inner` by fuse what feeds it from its own source side. A fault at the end of the fuse
    that its conductor begins at: I = U/R; through each fuse flows G·ΔU of it. Source: circuit theory.
    """
    reduced = reduce_network(network)
    ohms = {r.key: r.resistance_ohm for r in network.resistors}
    alive = {*network.nodes, network.reference} if network.emfs else set()
    fuses = [d for d in circuit.devices if d.kind == "fuse" and d.key in ohms]
    fuses = [d for d in fuses if d.to_node in alive and circuit.node[d.to_node].mate in alive]
    if not fuses:
        return Through({}, {}, {})
    seen = reduced.seen([(d.to_node, circuit.node[d.to_node].mate) for d in fuses])
    number = {d.key: n for n, d in enumerate(fuses)}
    inside = [
        (d, circuit.device[feed.key]) for d in fuses for feed in inner.get(d.key, ()) if _counts(feed, d, circuit)
    ]
    asked = [*((d, d) for d in fuses), *(pair for pair in inside if pair[1].key in number)]
    across = [(looked.from_node, looked.to_node) for _, looked in asked]
    faults = [(d.to_node, circuit.node[d.to_node].mate) for d, _ in asked]
    fall_v = reduced.transfer_ohm(across, faults) * seen.fault_a[[number[d.key] for d, _ in asked]]
    amps = (reduced.steady_between(across) - fall_v) / np.array([ohms[looked.key] for _, looked in asked])
    fault_a = {d.key: max(0.0, float(amps[n])) for n, d in enumerate(fuses)}
    fed = {d.key: _fed(network, seen.fed_a[:, n], fault_a[d.key]) for n, d in enumerate(fuses)}
    upstream: dict[str, list[Neighbour]] = {}
    for (outer, looked), flowing_a in zip(asked[len(fuses) :], amps[len(fuses) :].tolist(), strict=True):
        if abs(flowing_a) > LEAST_SHARE * fault_a[outer.key]:
            share = min(1.0, abs(flowing_a) / fault_a[outer.key])
            upstream.setdefault(outer.key, []).append(Neighbour(looked.key, share, fault_a[outer.key]))
    return Through(fault_a, fed, {key: tuple(each) for key, each in upstream.items()})


def _counts(feed: Feed, outer: SeriesDevice, circuit: Circuit) -> bool:
    """A fuse with a battery behind it that does not guard the same conductor as the outer one."""
    if feed.kind != "fuse" or feed.limited_a is not None:
        return False
    return not set(circuit.device[feed.key].guards) & set(outer.guards)


def _fed(network: Network, given_a: Array, fault_a: float) -> tuple[tuple[str, float], ...]:
    if fault_a <= 0.0:
        return ()
    shares = zip((e.key for e in network.emfs), given_a.tolist(), strict=True)
    return tuple((key, amps / fault_a) for key, amps in shares if amps > LEAST_SHARE * fault_a)
