"""All faults of a reduced network at once: each node shorted to its mate, and nothing else changed."""

from dataclasses import dataclass

import numpy as np

from proposal.circuit.model import Circuit
from proposal.studies.network.frame import Array
from proposal.studies.network.solve import Reduced


@dataclass(frozen=True)
class Shorts:
    """Bolted faults between `pairs` of nodes, by column.

    `open_v` [V] and `ohm` [Ω] seen from each pair; `response_ohm` [Ω], nodes × pairs: what a unit of current out of a
    pair takes from each node's voltage; `volts` [V] of all nodes before any fault, charge sources giving their current.
    """

    pairs: tuple[tuple[str, str], ...]
    open_v: Array
    ohm: Array
    response_ohm: Array
    volts: Array

    @property
    def current_a(self) -> Array:
        """I = U_open/R [A]."""
        return np.asarray(self.open_v / self.ohm, dtype=np.float64)


def shorts(circuit: Circuit, reduced: Reduced) -> Shorts:
    """Thévenin for every live node and its mate: R = Z_pp + Z_nn − 2·Z_pn of the inverted nodal matrix [Ω].

    The negative pole's faults are reckoned from the positive side, so that every current is positive. None where no
    battery is joined to the reference. Source: circuit theory.
    """
    network = reduced.network
    volts = reduced.idle_v.copy()
    for port in network.ports:
        volts = volts - reduced.inverse_ohm @ (reduced.incidence(port.positive, port.negative) * port.current_a)
    live = set(network.nodes) if network.emfs else set()
    pairs = tuple((n.key, n.mate) for n in circuit.nodes if n.key in live and n.mate in live and n.key != n.mate)
    columns = np.zeros((len(reduced.index), len(pairs)))
    for number, (one, other) in enumerate(pairs):
        sign = 1.0 if circuit.node[one].pole == "positive" else -1.0
        columns[:, number] = sign * reduced.incidence(one, other)
    response = reduced.inverse_ohm @ columns
    return Shorts(pairs, columns.T @ volts, np.einsum("ij,ij->j", columns, response), response, volts)
