"""A network's linear part: nodal analysis over its trunk, and what is seen between any of its nodes."""

from collections.abc import Sequence
from functools import cached_property, lru_cache

import numpy as np

from proposal.frozen import frozen
from proposal.studies.network.result import Network
from proposal.studies.network.shape import Array, Numbers, Pair, Shape, entering, shape_of, stamped


@frozen
class Seen:
    """What is seen between pairs of nodes while constant currents flow and no other port is at work.

    By pair: `open_v` [V] and `resistance_ohm` [Ω]. `given_a` [A]: what each string gives with the pairs open;
    `given_share`: strings × pairs, what of each ampere drawn between a pair it gives.
    """

    open_v: Array
    resistance_ohm: Array
    given_a: Array
    given_share: Array

    @property
    def fault_a(self) -> Array:
        """Current of a bolted fault between each pair [A]: I = U/R (Thévenin)."""
        return np.asarray(self.open_v / self.resistance_ohm)

    @property
    def fed_a(self) -> Array:
        """What each string gives into a bolted fault between each pair [A]: strings × pairs."""
        return np.asarray(self.given_a[:, None] + self.given_share * self.fault_a)


@frozen
class Loop:
    """What a link between two nodes closes: resistance [Ω], and the part of its current in each branch and battery.

    For a current in the link from the first node to the second; a battery's part is positive where it is charged.
    """

    resistance_ohm: float
    shares: dict[str, float]


@frozen
class Reduced:
    """A network and its linear part, Y·V = J over the nodes of its trunk, what hangs on limbs left out.

    `branch_ohm` [Ω] of the network's resistors; `shape`, how its nodes hang together.
    """

    network: Network
    shape: Shape
    branch_ohm: Array

    @cached_property
    def behind_s(self) -> Array:
        """Conductance behind each battery's terminals [S]."""
        return 1.0 / np.array([e.resistance_ohm for e in self.network.emfs])

    @cached_property
    def emf_v(self) -> Array:
        """Voltage of each battery [V]."""
        return np.array([e.emf_v for e in self.network.emfs])

    @cached_property
    def ohms(self) -> dict[str, float]:
        """Resistance of each conductor and device [Ω] by key."""
        return dict(zip([r.key for r in self.network.resistors], self.branch_ohm.tolist(), strict=True))

    @cached_property
    def limb_ohm(self) -> Array:
        """Resistance of each node's own way to the trunk [Ω], by node."""
        return self.shape.limb_ohm(self.branch_ohm)

    @cached_property
    def matrix_s(self) -> Array:
        """Y = AᵀGA + BᵀG_bB [S], rows × rows of the trunk. Source: nodal analysis."""
        siemens = np.concatenate([1.0 / self.branch_ohm[self.shape.trunk], self.behind_s])
        return stamped(self.shape.size, self.shape.places, siemens)

    @cached_property
    def injected_a(self) -> Array:
        """J = BᵀG_b·E [A] by row of the trunk."""
        at = self.shape.row
        amps = self.behind_s * self.emf_v
        return entering(self.shape.size + 1, at[self.shape.positive], at[self.shape.negative], amps)[:-1]

    @cached_property
    def inverse_ohm(self) -> Array:
        """Z = Y⁻¹ [Ω] with a row and a column of zeros for the reference: how every row answers to every row."""
        made = np.zeros((self.shape.size + 1, self.shape.size + 1))
        made[:-1, :-1] = np.linalg.inv(self.matrix_s)
        return made

    @cached_property
    def steady_v(self) -> Array:
        """Voltages by node [V] while constant currents flow and no other port is at work."""
        steady = [p for p in self.network.ports if p.law == "current"]
        amps = np.array([-p.current_a for p in steady])
        positive, negative = self._ends([(p.positive, p.negative) for p in steady])
        at, rows = self.shape.row, self.shape.size + 1
        into = self.injected_a + entering(rows, at[positive], at[negative], amps)[:-1]
        trunk_v = np.append(self.inverse_ohm[:-1, :-1] @ into, 0.0)
        return self.everywhere(trunk_v, entering(len(at), positive, negative, amps))

    def seen(self, pairs: Sequence[Pair]) -> Seen:
        """What is seen between pairs of nodes, from the first to the second.

        Thévenin: R = Z_pp + Z_nn − 2·Z_pn [Ω] over the trunk and the pair's own limbs in series; linear in the
        number of pairs. Raises KeyError for a node that is not live.
        """
        shape, z = self.shape, self.inverse_ohm
        one, other = self._ends(pairs)
        plus, minus = shape.row[shape.positive], shape.row[shape.negative]
        spans = z[plus] - z[minus]
        volts = self.steady_v
        terminal_v = volts[shape.positive] - volts[shape.negative]
        return Seen(
            volts[one] - volts[other],
            self.transfer_ohm(pairs, pairs),
            (self.emf_v - terminal_v) * self.behind_s,
            (spans[:, shape.row[one]] - spans[:, shape.row[other]]) * self.behind_s[:, None],
        )

    def steady_between(self, pairs: Sequence[Pair]) -> Array:
        """Voltages [V] from the second to the first node of each pair; see `steady_v`."""
        one, other = self._ends(pairs)
        return np.asarray(self.steady_v[one] - self.steady_v[other])

    def transfer_ohm(self, pairs: Sequence[Pair], beside: Sequence[Pair]) -> Array:
        """One by one: what an ampere that enters at the first node of a pair and leaves at its second makes beside it.

        Z_ac − Z_ad − Z_bc + Z_bd [Ω]; Z_ac is that of the trunk where the two hang, and of what their limbs share.
        """
        (a, b), (c, d) = self._ends(pairs), self._ends(beside)
        return self._mutual_ohm(a, c) - self._mutual_ohm(a, d) - self._mutual_ohm(b, c) + self._mutual_ohm(b, d)

    def loop(self, from_node: str, to_node: str) -> Loop:
        """The loop that a link between two nodes closes; linear superposition, ports idle.

        Raises KeyError for a node that is not live.
        """
        shape = self.shape
        one, other = self._ends([(from_node, to_node)])
        every = np.arange(len(shape.row))
        volts = self._mutual_ohm(every, other) - self._mutual_ohm(every, one)
        branches = (volts[shape.starts] - volts[shape.ends]) / self.branch_ohm
        batteries = (volts[shape.positive] - volts[shape.negative]) * self.behind_s
        shares = {r.key: a for r, a in zip(self.network.resistors, branches.tolist(), strict=True)}
        shares |= {e.key: a for e, a in zip(self.network.emfs, batteries.tolist(), strict=True)}
        return Loop(float(volts[other[0]] - volts[one[0]]), shares)

    def _mutual_ohm(self, one: Numbers, other: Numbers) -> Array:
        shape, limb = self.shape, self.limb_ohm
        shared = np.where(shape.tip[one] == shape.tip[other], np.minimum(limb[one], limb[other]), 0.0)
        return np.asarray(self.inverse_ohm[shape.row[one], shape.row[other]] + shared)

    def _ends(self, pairs: Sequence[Pair]) -> tuple[Numbers, Numbers]:
        return self.shape.rows(a for a, _ in pairs), self.shape.rows(b for _, b in pairs)

    def everywhere(self, trunk_v: Array, entering_a: Array) -> Array:
        """Voltages by node [V], from those of the trunk's rows and what ports send into each node [A]."""
        shape = self.shape
        return np.asarray(trunk_v[shape.row] + self.limb_ohm * entering_a[shape.tip])


def reduce_network(network: Network) -> Reduced:
    """The linear part of a network: its resistances and batteries. See Reduced."""
    shape = _shape(
        network.nodes,
        network.reference,
        tuple((r.from_node, r.to_node) for r in network.resistors),
        tuple((e.positive, e.negative) for e in network.emfs),
        tuple(pin for p in network.ports for pin in (p.positive, p.negative)),
    )
    return Reduced(network, shape, np.array([r.resistance_ohm for r in network.resistors]))


@lru_cache(maxsize=64)
def _shape(
    nodes: tuple[str, ...],
    reference: str,
    branches: tuple[Pair, ...],
    batteries: tuple[Pair, ...],
    pins: tuple[str, ...],
) -> Shape:
    """The shape of a network: a design step reduces networks of one shape again and again."""
    return shape_of(nodes, reference, branches, batteries, pins)


def thevenin(reduced: Reduced, positive: str, negative: str) -> tuple[float, float]:
    """Open voltage [V] and resistance [Ω] seen between two nodes while constant currents flow."""
    seen = reduced.seen([(positive, negative)])
    return float(seen.open_v[0]), float(seen.resistance_ohm[0])
