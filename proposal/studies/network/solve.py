"""Solves a reduced network: nodal analysis for what is linear, and the laws of its ports on top."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.network.assemble import branch_ohms, emfs_of, ports_of
from proposal.studies.network.case import Case
from proposal.studies.network.frame import Array, Frame, frame_of, rows_of
from proposal.studies.network.ports import Settled, settle
from proposal.studies.network.result import Network, Port, Resistor, Solution


@dataclass(frozen=True)
class Reduced:
    """The network's linear part: Y·V = J for the voltages with the ports idle.

    `index`: row of each live node, the reference having none. `matrix_s` [S], rows × rows; `injected_a` [A] by row;
    `incidence` and `siemens` of the resistors, `battery_incidence` of the batteries.
    """

    network: Network
    index: dict[str, int]
    incidence_rows: Array
    siemens: Array
    battery_incidence: Array
    matrix_s: Array
    injected_a: Array

    @cached_property
    def inverse_ohm(self) -> Array:
        """Z = Y⁻¹ [Ω]: the response of every node to a unit of current into every node."""
        return np.asarray(np.linalg.inv(self.matrix_s), dtype=np.float64)

    @cached_property
    def idle_v(self) -> Array:
        """Voltages with the ports idle [V]."""
        return np.asarray(np.linalg.solve(self.matrix_s, self.injected_a), dtype=np.float64)

    def row(self, node: str) -> int | None:
        """Row of a node; None for the reference."""
        return self.index.get(node)

    def incidence(self, positive: str, negative: str) -> Array:
        """Unit current into the positive and out of the negative node."""
        return np.asarray(rows_of(self.index, [(positive, negative)])[0], dtype=np.float64)


def reduce_network(network: Network) -> Reduced:
    """Stamp all resistances and batteries: Y = AᵀGA + BᵀG_bB, J = BᵀG_b·E. Source: nodal analysis."""
    index = {node: row for row, node in enumerate(n for n in network.nodes if n != network.reference)}
    incidence = rows_of(index, [(r.from_node, r.to_node) for r in network.resistors])
    spans = rows_of(index, [(e.positive, e.negative) for e in network.emfs])
    siemens = np.array([1.0 / r.resistance_ohm for r in network.resistors])
    return stamp(network, index, incidence, siemens, spans)


def stamp(network: Network, index: dict[str, int], incidence: Array, siemens: Array, spans: Array) -> Reduced:
    """The reduced network from incidences that are at hand; see reduce_network."""
    behind_s = np.array([1.0 / e.resistance_ohm for e in network.emfs])
    emf_v = np.array([e.emf_v for e in network.emfs])
    matrix = incidence.T @ (siemens[:, None] * incidence) + spans.T @ (behind_s[:, None] * spans)
    return Reduced(network, index, incidence, siemens, spans, matrix, spans.T @ (behind_s * emf_v))


def solve_quickly(circuit: Circuit, case: Case, family: RuleFamily) -> Solution:
    """The solution of a case without its network: what a design step asks for again and again."""
    frame = frame_of(circuit, case)
    siemens = 1.0 / branch_ohms(circuit, frame, family)
    network = Network(
        case.id,
        case.temperatures,
        circuit.reference,
        frame.nodes,
        frame.dead,
        _names(circuit, frame),
        emfs_of(circuit, case, frame),
        ports_of(circuit, case, frame),
        frame.open_devices,
    )
    return solve(stamp(network, frame.index, frame.incidence, siemens, frame.battery_incidence))


def _names(circuit: Circuit, frame: Frame) -> tuple[Resistor, ...]:
    """Bearers of the branches' names alone, from the circuit's memo; their resistances are in the conductances."""
    memo = ("names", id(frame))
    found = circuit.memo.get(memo)
    if found is None:
        keys = [circuit.conductors[n].key for n in frame.conductors] + [circuit.devices[n].key for n in frame.devices]
        found = circuit.memo[memo] = tuple(Resistor(key, "", "", 0.0, 0.0) for key in keys)
    return tuple(found)


def thevenin(reduced: Reduced, positive: str, negative: str) -> tuple[float, float]:
    """Open voltage [V] and resistance [Ω] seen between two nodes, linear sources only (ports idle)."""
    column = reduced.incidence(positive, negative)
    response = np.linalg.solve(reduced.matrix_s, column)
    return float(column @ reduced.idle_v), float(column @ response)


def solve(reduced: Reduced) -> Solution:
    """Solve the network of a case.

    U_ports = U_idle + Z·i(U): constant currents enter at once; power, charger and battery bounds are settled over the
    ports. A constant-power load past maximum power has no solution: it is named, taken off, and the rest is solved.
    """
    network = reduced.network
    ports = [*network.ports, *_bounds(network)]
    columns = rows_of(reduced.index, [(p.positive, p.negative) for p in ports]).T
    answers = np.linalg.solve(reduced.matrix_s, np.column_stack([reduced.injected_a, columns]))
    idle_v, response = answers[:, 0], answers[:, 1:]
    outcome = settle(ports, columns.T @ idle_v, columns.T @ response)
    volts = idle_v + response @ outcome.given_a
    return _solution(reduced, ports, columns.T, outcome, volts)


def _bounds(network: Network) -> list[Port]:
    """For each battery that takes only so much, a port that gives back what it would take above that."""
    return [
        Port(e.key, e.positive, e.negative, "bound", e.accepts_a, set_v=e.emf_v, droop_ohm=e.resistance_ohm)
        for e in network.emfs
        if e.accepts_a is not None
    ]


def _solution(reduced: Reduced, ports: list[Port], columns: Array, outcome: Settled, volts: Array) -> Solution:
    network, given_a, collapsed = reduced.network, outcome.given_a, outcome.collapsed
    across_v = reduced.incidence_rows @ volts
    branch_a = across_v * reduced.siemens
    battery_v = reduced.battery_incidence @ volts
    behind_ohm = np.array([e.resistance_ohm for e in network.emfs])
    battery_a = np.array([e.emf_v for e in network.emfs]) / behind_ohm - battery_v / behind_ohm
    port_v = columns @ volts
    entering = reduced.battery_incidence.T @ battery_a + columns.T @ given_a
    kirchhoff = entering - reduced.incidence_rows.T @ branch_a
    given_w = float(battery_a @ battery_v + given_a @ port_v)
    taken_w = float(branch_a @ across_v)
    given = dict(zip((e.key for e in network.emfs), battery_a.tolist(), strict=True))
    terminal = dict(zip((e.key for e in network.emfs), battery_v.tolist(), strict=True))
    for port, amps, v in zip(ports, given_a.tolist(), port_v.tolist(), strict=True):
        if port.key not in collapsed:
            given[port.key] = given.get(port.key, 0.0) + amps
            terminal[port.key] = v
    voltage = dict(zip(reduced.index, volts.tolist(), strict=True)) | {network.reference: 0.0}
    return Solution(
        network.case,
        not collapsed,
        collapsed,
        voltage,
        dict(zip([r.key for r in network.resistors], branch_a.tolist(), strict=True)),
        given,
        terminal,
        max(map(abs, kirchhoff.tolist()), default=0.0),
        given_w - taken_w,
        outcome.iterations,
        network.dead,
    )
