"""Solves a reduced network: nodal analysis for what is linear, Newton over the ports for what is not."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from proposal.studies.network.result import Network, Port, Solution

Array = npt.NDArray[np.float64]

TOLERANCE_V = 1e-10
MOST_ITERATIONS = 60


@dataclass(frozen=True)
class Reduced:
    """The network's linear part, factored once: voltages with the ports idle, and the response to a unit of current.

    `index`: row of each live node, the reference having none; `idle_v` [V] by row; `inverse_ohm` [Ω], rows × rows.
    """

    network: Network
    index: dict[str, int]
    idle_v: Array
    inverse_ohm: Array

    def row(self, node: str) -> int | None:
        """Row of a node; None for the reference."""
        return self.index.get(node)

    def incidence(self, positive: str, negative: str) -> Array:
        """Unit current into the positive and out of the negative node."""
        column = np.zeros(len(self.index))
        for node, sign in ((positive, 1.0), (negative, -1.0)):
            row = self.index.get(node)
            if row is not None:
                column[row] += sign
        return column


def reduce_network(network: Network) -> Reduced:
    """Stamp all resistances and batteries and invert the nodal matrix: V = Y⁻¹·J. Source: nodal analysis."""
    index = {node: row for row, node in enumerate(n for n in network.nodes if n != network.reference)}
    size = len(index)
    matrix = np.zeros((size + 1, size + 1))
    injected = np.zeros(size + 1)
    ends = [(r.from_node, r.to_node, 1.0 / r.resistance_ohm) for r in network.resistors]
    ends += [(e.positive, e.negative, 1.0 / e.resistance_ohm) for e in network.emfs]
    first = np.array([index.get(a, size) for a, _, _ in ends], dtype=np.intp)
    second = np.array([index.get(b, size) for _, b, _ in ends], dtype=np.intp)
    siemens = np.array([g for _, _, g in ends])
    np.add.at(matrix, (first, first), siemens)
    np.add.at(matrix, (second, second), siemens)
    np.add.at(matrix, (first, second), -siemens)
    np.add.at(matrix, (second, first), -siemens)
    for emf in network.emfs:
        norton_a = emf.emf_v / emf.resistance_ohm
        injected[index.get(emf.positive, size)] += norton_a
        injected[index.get(emf.negative, size)] -= norton_a
    inverse: Array = np.asarray(np.linalg.inv(matrix[:size, :size]), dtype=np.float64)
    idle_v: Array = inverse @ injected[:size]
    return Reduced(network, index, idle_v, inverse)


def thevenin(reduced: Reduced, positive: str, negative: str) -> tuple[float, float]:
    """Open voltage [V] and resistance [Ω] seen between two nodes, linear sources only (ports idle)."""
    column = reduced.incidence(positive, negative)
    return float(column @ reduced.idle_v), float(column @ reduced.inverse_ohm @ column)


def solve(reduced: Reduced) -> Solution:
    """Solve the network of a case.

    U_ports = U_idle + Z·i(U): constant currents enter at once, power and charger laws by Newton with a step limit.
    A constant-power load past maximum power has no solution: it is named, taken off, and the rest is solved.
    """
    network = reduced.network
    ports = list(network.ports)
    collapsed: list[str] = []
    while True:
        outcome = _newton(reduced, ports)
        if not isinstance(outcome, str):
            break
        collapsed.append(outcome)
        ports = [port for port in ports if port.key != outcome]
    given_a, iterations = outcome
    return _solution(reduced, ports, given_a, tuple(collapsed), iterations)


class _Bent:
    """The ports whose law is not a constant current, with the state that each is in.

    A charger regulates, is at its limit, or is off: which of the three follows from the solution, so the state is kept
    and changed only where the solution contradicts it (active set), between off and limit by way of regulating, or it
    could go to and fro between the two for ever. A power law is taken by its tangent (Newton).
    """

    def __init__(self, ports: list[Port], volts: Array) -> None:
        self.ports = ports
        self.volts = volts
        self.state = ["tangent" if port.law == "power" else "regulates" for port in ports]

    def lines(self) -> tuple[Array, Array]:
        """Current given at zero volts [A] and slope [A/V] of each port's present straight line."""
        offset, slope = np.zeros(len(self.ports)), np.zeros(len(self.ports))
        for n, (port, state) in enumerate(zip(self.ports, self.state, strict=True)):
            if state == "tangent":
                safe_v = max(float(self.volts[n]), 1e-3)
                offset[n], slope[n] = -2.0 * port.power_w / safe_v, port.power_w / safe_v**2
            elif state == "regulates":
                offset[n], slope[n] = port.set_v / port.droop_ohm, -1.0 / port.droop_ohm
            elif state == "limit":
                offset[n] = port.current_a
        return offset, slope

    def accept(self, volts: Array, step_limit_v: float, *, one_at_a_time: bool) -> bool:
        """Take new voltages over; True if no state changed and nothing moved."""
        changed = False
        moved_v = 0.0
        for n, port in enumerate(self.ports):
            if port.law == "power":
                step_v = min(max(float(volts[n] - self.volts[n]), -step_limit_v), step_limit_v)
                moved_v = max(moved_v, abs(step_v))
                self.volts[n] += step_v
                continue
            self.volts[n] = volts[n]
            wanted_a = (port.set_v - float(volts[n])) / port.droop_ohm
            slack_a = 1e-9 * max(1.0, port.current_a)
            state = "off" if wanted_a < -slack_a else "limit" if wanted_a > port.current_a + slack_a else "regulates"
            if {state, self.state[n]} == {"off", "limit"}:
                state = "regulates"
            if state != self.state[n] and not (changed and one_at_a_time):
                self.state[n] = state
                changed = True
        return not changed and moved_v < TOLERANCE_V


def _newton(reduced: Reduced, ports: list[Port]) -> tuple[Array, int] | str:
    """Currents given by all ports and the number of iterations, or the key of a constant-power load that collapses."""
    if not ports:
        return np.zeros(0), 0
    incidence = np.stack([reduced.incidence(p.positive, p.negative) for p in ports], axis=1)
    response = incidence.T @ reduced.inverse_ohm @ incidence
    idle = incidence.T @ reduced.idle_v
    rows = [n for n, port in enumerate(ports) if port.law != "current"]
    given = np.array([-p.current_a if p.law == "current" else 0.0 for p in ports])
    base = (idle + response @ given)[rows]
    sub = response[np.ix_(rows, rows)]
    bent = _Bent([ports[n] for n in rows], base.copy())
    step_limit_v = 0.25 * float(np.max(np.abs(idle), initial=1.0))
    for iteration in range(1, MOST_ITERATIONS + 1):
        offset, slope = bent.lines()
        volts = np.linalg.solve(np.eye(len(rows)) - sub * slope[None, :], base + sub @ offset)
        if bent.accept(volts, step_limit_v, one_at_a_time=iteration > MOST_ITERATIONS // 3):
            given[rows] = offset + slope * volts
            return given, iteration
    return _weakest(bent)


def _weakest(bent: _Bent) -> str:
    """The constant-power load with the least voltage for its power: the one that no voltage satisfies."""
    power = [
        (float(v) / max(p.power_w, 1e-9), p.key)
        for v, p in zip(bent.volts, bent.ports, strict=True)
        if p.law == "power"
    ]
    if not power:
        raise ArithmeticError("a network of chargers did not settle")
    return min(power)[1]


def _solution(
    reduced: Reduced, ports: list[Port], given_a: Array, collapsed: tuple[str, ...], iterations: int
) -> Solution:
    network = reduced.network
    volts = reduced.idle_v.copy()
    for port, amps in zip(ports, given_a, strict=True):
        volts = volts + reduced.inverse_ohm @ (reduced.incidence(port.positive, port.negative) * amps)
    voltage = {node: float(volts[row]) for node, row in reduced.index.items()}
    voltage[network.reference] = 0.0
    current = {r.key: (voltage[r.from_node] - voltage[r.to_node]) / r.resistance_ohm for r in network.resistors}
    given = {e.key: (e.emf_v - (voltage[e.positive] - voltage[e.negative])) / e.resistance_ohm for e in network.emfs}
    given |= {port.key: float(amps) for port, amps in zip(ports, given_a, strict=True)}
    spans = {e.key: (e.positive, e.negative) for e in network.emfs} | {p.key: (p.positive, p.negative) for p in ports}
    port_v = {key: voltage[p] - voltage[n] for key, (p, n) in spans.items()}
    balance = dict.fromkeys(voltage, 0.0)
    for resistor in network.resistors:
        balance[resistor.from_node] -= current[resistor.key]
        balance[resistor.to_node] += current[resistor.key]
    for key, (positive, negative) in spans.items():
        balance[positive] += given[key]
        balance[negative] -= given[key]
    given_w = sum(given[key] * port_v[key] for key in given)
    taken_w = sum(current[r.key] ** 2 * r.resistance_ohm for r in network.resistors)
    return Solution(
        network.case, not collapsed, collapsed, voltage, current, given, port_v,
        max((abs(amps) for amps in balance.values()), default=0.0), given_w - taken_w, iterations, network.dead,
    )  # fmt: skip
