"""All faults of a reduced network at once: each node shorted to its mate, and nothing else changed."""

from functools import cached_property

from proposal.circuit.model import Circuit
from proposal.frozen import frozen
from proposal.studies.network.reduced import Reduced, Seen
from proposal.studies.network.shape import Array, Pair


@frozen
class Shorts:
    """Bolted faults between `pairs` of nodes, charge sources giving their current before and during them.

    `across`: the same pairs, the node of the positive pole first; `seen`: what is seen from them.
    """

    reduced: Reduced
    pairs: tuple[Pair, ...]
    across: tuple[Pair, ...]
    seen: Seen

    @property
    def current_a(self) -> Array:
        """I = U_open/R [A], by pair."""
        return self.seen.fault_a

    @cached_property
    def number(self) -> dict[str, int]:
        """Place of the pair of each node among all pairs."""
        return {pair[0]: number for number, pair in enumerate(self.pairs)}

    def between(self, nodes: list[str], ends: list[Pair]) -> Array:
        """One by one: the voltage [V] between two ends while a node is shorted to its mate."""
        at = [self.number[node] for node in nodes]
        fall_ohm = self.reduced.transfer_ohm([self.across[n] for n in at], ends)
        return self.reduced.steady_between(ends) - fall_ohm * self.current_a[at]


def shorts(circuit: Circuit, reduced: Reduced) -> Shorts:
    """Thévenin for every live node and its mate: R = Z_pp + Z_nn − 2·Z_pn of the inverted nodal matrix [Ω].

    The negative pole's faults are reckoned from the positive side, so that every current is positive. None where no
    battery is joined to the reference. Source: circuit theory.
    """
    network = reduced.network
    live = set(network.nodes) if network.emfs else set()
    pairs = tuple((n.key, n.mate) for n in circuit.nodes if n.key in live and n.mate in live and n.key != n.mate)
    across = tuple(pair if circuit.node[pair[0]].pole == "positive" else pair[::-1] for pair in pairs)
    return Shorts(reduced, pairs, across, reduced.seen(across))
