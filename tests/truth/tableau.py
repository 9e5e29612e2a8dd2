"""A second way to solve a network: the sparse tableau, with every branch current an unknown of its own.

Shares nothing with the package but the network as it is listed. Kirchhoff's laws and each branch's own equation are
the rows; corners of laws are found by trying one port after the other; constant powers by repeated substitution.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from proposal.studies.network.result import Emf, Network, Port

MOST_SUBSTITUTIONS = 20_000
MOST_TRIES = 5_000
LEAK_S = 1e-7


@dataclass(frozen=True)
class Answer:
    """Node voltages [V], currents of resistors and of all sources and loads [A]; whether the loads found a voltage."""

    voltage_v: dict[str, float]
    current_a: dict[str, float]
    given_a: dict[str, float]
    settled: bool


class Tableau:
    """The rows of a network's linear part and their inverse's columns for the ends of its ports."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.row = {node: n for n, node in enumerate(n for n in network.nodes if n != network.reference)}
        branches = [(r.from_node, r.to_node, r.resistance_ohm, 0.0) for r in network.resistors]
        branches += [(e.positive, e.negative, e.resistance_ohm, e.emf_v) for e in network.emfs]
        nodes, self.size = len(self.row), len(self.row) + len(branches)
        self.matrix = np.zeros((self.size, self.size))
        self.right = np.zeros(self.size)
        for number, (one, other, ohm, emf_v) in enumerate(branches, start=nodes):
            for node, sign in ((one, 1.0), (other, -1.0)):
                if node in self.row:
                    self.matrix[self.row[node], number] += sign
                    self.matrix[number, self.row[node]] += sign
            self.matrix[number, number] = -ohm
            self.right[number] = emf_v

    def entering(self, port: Port) -> np.ndarray:
        """The right side for one ampere from a port into the network."""
        column = np.zeros(self.size)
        for node, sign in ((port.positive, 1.0), (port.negative, -1.0)):
            if node in self.row:
                column[self.row[node]] += sign
        return column


def solve_tableau(network: Network, begin_v: dict[str, float] | None = None) -> Answer:
    """All voltages and currents of a network.

    `begin_v`: voltages from which the substitution of constant powers begins, by port; the idle ones where none is
    given. Behind a charger at its limit a constant power can have two steady voltages, both of which satisfy all laws.
    """
    tableau = Tableau(network)
    ports = [*network.ports, *(_excess(e) for e in network.emfs if e.accepts_a is not None)]
    columns = [tableau.entering(port) for port in ports]
    answers = np.linalg.solve(tableau.matrix, np.column_stack([tableau.right, *columns]))
    across = np.array(columns).reshape(len(ports), tableau.size) @ answers
    given_a, settled = _currents(ports, across[:, 0], across[:, 1:], begin_v or {})
    found = answers[:, 0] + answers[:, 1:] @ given_a
    nodes, resistors = len(tableau.row), len(network.resistors)
    voltage = {node: float(found[n]) for node, n in tableau.row.items()} | {network.reference: 0.0}
    current = {r.key: float(found[nodes + n]) for n, r in enumerate(network.resistors)}
    given = {e.key: -float(found[nodes + resistors + n]) for n, e in enumerate(network.emfs)}
    for port, amps in zip(ports, given_a, strict=True):
        given[port.key] = given.get(port.key, 0.0) + float(amps)
    return Answer(voltage, current, given, settled)


def _excess(emf: Emf) -> Port:
    """What a battery refuses, as a port across it: above its threshold it sends back what its resistance would take."""
    return Port(
        emf.key, emf.positive, emf.negative, "bound", emf.accepts_a, set_v=emf.emf_v, droop_ohm=emf.resistance_ohm
    )


def _currents(
    ports: list[Port], idle_v: np.ndarray, response: np.ndarray, begin_v: dict[str, float]
) -> tuple[np.ndarray, bool]:
    """Currents into the network: powers by substitution i = P/U, the rest exact each time."""
    given = np.array([-p.current_a if p.law == "current" else 0.0 for p in ports])
    power = [n for n, p in enumerate(ports) if p.law == "power"]
    bent = [n for n, p in enumerate(ports) if p.law in ("charger", "bound")]
    power_w = np.array([ports[n].power_w for n in power])
    state = dict.fromkeys(bent, 0)
    given[power] = [-ports[n].power_w / begin_v[ports[n].key] if ports[n].key in begin_v else 0.0 for n in power]
    for _ in range(MOST_SUBSTITUTIONS):
        _bend(ports, idle_v, response, given, bent, state)
        volts = (idle_v + response @ given)[power]
        if np.any(volts <= 0):
            return given, False
        fresh = -power_w / volts
        moved = np.max(np.abs(fresh - given[power]), initial=0.0)
        given[power] = fresh
        if moved < 1e-13 * np.max(np.abs(given), initial=1.0):
            return given, True
    return given, False


def _bend(
    ports: list[Port],
    idle_v: np.ndarray,
    response: np.ndarray,
    given: np.ndarray,
    bent: list[int],
    state: dict[int, int],
) -> None:
    """Currents of chargers and bounds on top of the others: the first port that is off its law moves one line on."""
    if not bent:
        return
    rest = given.copy()
    rest[bent] = 0.0
    base = (idle_v + response @ rest)[bent]
    sub = response[np.ix_(bent, bent)]
    for _ in range(MOST_TRIES):
        _, volts = _straight([_line(ports[n], state[n], LEAK_S) for n in bent], base, sub)
        wrong = [(n, way) for n, u in zip(bent, volts, strict=True) if (way := _way(ports[n], state[n], float(u)))]
        if not wrong:
            given[bent] = _upright(ports, bent, state, base, sub)
            return
        number, way = wrong[0]
        state[number] += way
    raise AssertionError("no state of chargers and batteries fits")


def _upright(
    ports: list[Port], bent: list[int], state: dict[int, int], base: np.ndarray, sub: np.ndarray
) -> np.ndarray:
    """Currents on the lines as they are. Where a charger's limit is just what a battery accepts, the voltage between
    them is open: then the lower of the two is taken, the battery not refusing yet.
    """
    try:
        return _straight([_line(ports[n], state[n], 0.0) for n in bent], base, sub)[0]
    except np.linalg.LinAlgError:
        refusing = next(n for n in bent if ports[n].law == "bound" and state[n] == 1)
        state[refusing] = 0
        return _upright(ports, bent, state, base, sub)


def _straight(lines: list[tuple[float, float]], base: np.ndarray, sub: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Currents and voltages of ports on straight lines."""
    offset, slope = np.array(lines).T
    volts = np.linalg.solve(np.eye(len(lines)) - sub * slope, base + sub @ offset)
    return offset + slope * volts, volts


def _line(port: Port, state: int, leak_s: float) -> tuple[float, float]:
    """Current at no voltage [A] and slope [A/V]: charger off, regulating, at its limit; bound idle, refusing.

    While states are being tried a flat line leans by `leak_s`, so that no state leaves a voltage open.
    """
    siemens = 1.0 / port.droop_ohm
    if port.law == "bound":
        slope = siemens - leak_s
        return (0.0, 0.0) if state == 0 else (-slope * (port.set_v + port.current_a * port.droop_ohm), slope)
    if state == 1:
        return port.set_v * siemens, -siemens
    corner_v = port.set_v if state == 0 else port.set_v - port.current_a * port.droop_ohm
    return (0.0 if state == 0 else port.current_a) + leak_s * corner_v, -leak_s


def _way(port: Port, state: int, volts: float) -> int:
    """Which way a port must leave its line at a voltage: towards giving more (+1) or less (−1); 0 where it is right."""
    nearly = 1e-11
    if port.law == "bound":
        refuses = volts - port.set_v - port.current_a * port.droop_ohm
        return 1 if state == 0 and refuses > nearly else -1 if state == 1 and refuses < -nearly else 0
    below = port.set_v - volts
    if state == 0:
        return 1 if below > nearly else 0
    full = below - port.current_a * port.droop_ohm
    if state == 1:
        return -1 if below < -nearly else 1 if full > nearly else 0
    return -1 if full < -nearly else 0
