"""Solves a reduced network: nodal analysis for what is linear, and the laws of its ports on top."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.network.assemble import assemble, branch_ohms, emfs_of, ports_of
from proposal.studies.network.case import Case
from proposal.studies.network.frame import frame_of
from proposal.studies.network.ports import Settled, Trunk, settle
from proposal.studies.network.result import Network, Port, Solution
from proposal.studies.network.shape import Array, Numbers, Pair, Shape, entering, shape_of, stamped


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Loop:
    """What a link between two nodes closes: resistance [Ω], and the part of its current in each branch and battery.

    For a current in the link from the first node to the second; a battery's part is positive where it is charged.
    """

    resistance_ohm: float
    shares: dict[str, float]


@dataclass(frozen=True)
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
        positive, negative = self._pins(steady)
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

    def trunk(self, ports: list[Port]) -> tuple[Trunk, Numbers, Numbers]:
        """The trunk as some ports see it, and the nodes of their positive and negative pins."""
        positive, negative = self._pins(ports)
        at, limb = self.shape.row, self.limb_ohm
        own = limb[positive] + limb[negative]
        return Trunk(self.matrix_s, self.injected_a, at[positive], at[negative], own), positive, negative

    def _pins(self, ports: list[Port]) -> tuple[Numbers, Numbers]:
        return self.shape.rows(p.positive for p in ports), self.shape.rows(p.negative for p in ports)


def reduce_network(network: Network) -> Reduced:
    """The linear part of a network: its resistances and batteries. See Reduced."""
    shape = shape_of(
        network.nodes,
        network.reference,
        [(r.from_node, r.to_node) for r in network.resistors],
        [(e.positive, e.negative) for e in network.emfs],
        [pin for p in network.ports for pin in (p.positive, p.negative)],
    )
    return Reduced(network, shape, np.array([r.resistance_ohm for r in network.resistors]))


def reduce_case(circuit: Circuit, case: Case, family: RuleFamily) -> Reduced:
    """A circuit's network in a case and its linear part; its shape comes from the circuit's memo."""
    network = assemble(circuit, case, family)
    ohms = np.array([r.resistance_ohm for r in network.resistors])
    return Reduced(network, frame_of(circuit, case).shape, ohms)


def solve_quickly(circuit: Circuit, case: Case, family: RuleFamily) -> Solution:
    """The solution of a case without its network: what a design step asks for again and again."""
    return solve(reduce_quickly(circuit, case, family))


def reduce_quickly(circuit: Circuit, case: Case, family: RuleFamily) -> Reduced:
    """The reduced network of a case; its resistors bear their names alone."""
    frame = frame_of(circuit, case)
    network = Network(
        case.id,
        case.temperatures,
        circuit.reference,
        frame.nodes,
        frame.dead,
        frame.names,
        emfs_of(circuit, case, frame),
        ports_of(circuit, case, frame),
        frame.open_devices,
    )
    return Reduced(network, frame.shape, branch_ohms(circuit, frame, family))


def thevenin(reduced: Reduced, positive: str, negative: str) -> tuple[float, float]:
    """Open voltage [V] and resistance [Ω] seen between two nodes while constant currents flow."""
    seen = reduced.seen([(positive, negative)])
    return float(seen.open_v[0]), float(seen.resistance_ohm[0])


def solve(reduced: Reduced) -> Solution:
    """Solve the network of a case.

    U_ports = U_idle + Z·i(U): constant currents enter at once; power, charger and battery bounds are settled over the
    ports. A constant-power load past maximum power has no solution: it is named, taken off, and the rest is solved.
    """
    ports = [*reduced.network.ports, *_bounds(reduced.network)]
    trunk, positive, negative = reduced.trunk(ports)
    outcome = settle(ports, trunk)
    entering_a = entering(len(reduced.shape.row), positive, negative, outcome.given_a)
    volts = reduced.everywhere(np.append(outcome.trunk_v, 0.0), entering_a)
    return _solution(reduced, ports, outcome, volts, entering_a, volts[positive] - volts[negative])


def _bounds(network: Network) -> list[Port]:
    """For each battery that takes only so much, a port that gives back what it would take above that."""
    return [
        Port(e.key, e.positive, e.negative, "bound", e.accepts_a, set_v=e.emf_v, droop_ohm=e.resistance_ohm)
        for e in network.emfs
        if e.accepts_a is not None
    ]


def _solution(
    reduced: Reduced, ports: list[Port], outcome: Settled, volts: Array, entering_a: Array, port_v: Array
) -> Solution:
    network, shape, collapsed = reduced.network, reduced.shape, outcome.collapsed
    across_v = volts[shape.starts] - volts[shape.ends]
    branch_a = across_v / reduced.branch_ohm
    battery_v = volts[shape.positive] - volts[shape.negative]
    battery_a = (reduced.emf_v - battery_v) * reduced.behind_s
    nodes = len(volts)
    kirchhoff = entering_a + entering(nodes, shape.positive, shape.negative, battery_a)
    kirchhoff -= entering(nodes, shape.starts, shape.ends, branch_a)
    given_w = float(battery_a @ battery_v + outcome.given_a @ port_v)
    taken_w = float(branch_a @ across_v)
    given = dict(zip((e.key for e in network.emfs), battery_a.tolist(), strict=True))
    terminal = dict(zip((e.key for e in network.emfs), battery_v.tolist(), strict=True))
    for port, amps, v in zip(ports, outcome.given_a.tolist(), port_v.tolist(), strict=True):
        if port.key not in collapsed:
            given[port.key] = given.get(port.key, 0.0) + amps
            terminal[port.key] = v
    return Solution(
        network.case,
        not collapsed,
        collapsed,
        dict(zip(network.nodes, volts.tolist(), strict=True)),
        dict(zip([r.key for r in network.resistors], branch_a.tolist(), strict=True)),
        given,
        terminal,
        float(np.max(np.abs(kirchhoff), initial=0.0)),
        given_w - taken_w,
        outcome.iterations,
        network.dead,
    )
