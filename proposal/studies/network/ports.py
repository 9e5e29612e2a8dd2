"""The laws of loads and charge sources, settled over the ports of a reduced network."""

from dataclasses import dataclass

import numpy as np

from proposal.studies.network.frame import Array
from proposal.studies.network.result import Port

TOLERANCE_V = 1e-10
MOST_ITERATIONS = 60
SLACK_A = 1e-9
ABSURD_OVER_IDLE = 10.0
"""Voltages so far above the idle ones mean that currents are forced where, on the present lines, nothing takes them."""


@dataclass(frozen=True)
class Settled:
    """Current that each port gives to the network [A]; constant-power loads that found no voltage give none."""

    given_a: Array
    collapsed: tuple[str, ...]
    iterations: int


def settle(ports: list[Port], idle_v: Array, response_ohm: Array) -> Settled:
    """Find the currents of all ports.

    Parameters: voltages with the ports idle [V]; response_ohm [Ω], ports × ports: U = U_idle + Z·i(U).
    Battery bounds are set one after the other: what one battery refuses lifts the voltage, so that a bound once needed
    stays needed. A load that no voltage satisfies is taken off and named, and the rest is settled.
    """
    off: list[str] = []
    holding: set[str] = set()
    while True:
        outcome = _newton(ports, idle_v, response_ohm, off, holding)
        if isinstance(outcome, str):
            off.append(outcome)
            continue
        given_a, iterations = outcome
        volts = idle_v + response_ohm @ given_a
        beyond = {p.key for p, v in zip(ports, volts, strict=True) if p.law == "bound" and _refuses(p, float(v))}
        if beyond <= holding:
            return Settled(given_a, tuple(off), iterations)
        holding |= beyond


def _refuses(port: Port, volts: float) -> bool:
    """Whether a battery would take more than it accepts at a voltage."""
    return (port.set_v - volts) / port.droop_ohm < -port.current_a - SLACK_A * max(1.0, port.current_a)


class _Bent:
    """The ports whose law is not a constant current, with the straight line that each is on.

    A charger regulates, is at its limit, or is off: which one follows from the solution, so the state is kept and
    changed only where the solution contradicts it (active set). A power law is taken by its tangent (Newton). A
    battery bound that holds stays as it is.
    """

    def __init__(self, ports: list[Port], volts: Array) -> None:
        first = {"power": "tangent", "charger": "regulates", "bound": "holds"}
        self.ports = ports
        self.volts = volts
        self.state = [first[port.law] for port in ports]

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
            elif state == "holds":
                offset[n], slope[n] = -port.current_a - port.set_v / port.droop_ohm, 1.0 / port.droop_ohm
        return offset, slope

    def release(self) -> None:
        """Chargers at their limit regulate again: into a battery that takes only so much they could find no voltage."""
        self.state = ["regulates" if state == "limit" else state for state in self.state]

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
            state = _state(port, float(volts[n])) if port.law == "charger" else "holds"
            if {state, self.state[n]} == {"off", "limit"}:
                state = "regulates"  # a corner at a time: jumping over the middle line can go round in circles
            if state != self.state[n] and not (changed and one_at_a_time):
                self.state[n] = state
                changed = True
        return not changed and moved_v < TOLERANCE_V


def _state(port: Port, volts: float) -> str:
    """The straight line on which a charger belongs at a voltage."""
    wanted_a = (port.set_v - volts) / port.droop_ohm
    slack_a = SLACK_A * max(1.0, port.current_a)
    return "off" if wanted_a < -slack_a else "limit" if wanted_a > port.current_a + slack_a else "regulates"


def _newton(
    ports: list[Port], idle_v: Array, response_ohm: Array, off: list[str], holding: set[str]
) -> tuple[Array, int] | str:
    """Currents of all ports and the number of iterations, or the key of a constant-power load that collapses."""
    given = np.array([-p.current_a if p.law == "current" else 0.0 for p in ports])
    rows = [
        n
        for n, port in enumerate(ports)
        if (port.law in ("power", "charger") and port.key not in off) or (port.law == "bound" and port.key in holding)
    ]
    if not rows:
        return given, 0
    base = (idle_v + response_ohm @ given)[rows]
    sub = response_ohm[np.ix_(rows, rows)]
    bent = _Bent([ports[n] for n in rows], base.copy())
    step_limit_v = 0.25 * float(np.max(np.abs(idle_v), initial=1.0))
    unit = np.eye(len(rows))
    for iteration in range(1, MOST_ITERATIONS + 1):
        offset, slope = bent.lines()
        volts = _straight(unit - sub * slope[None, :], base + sub @ offset)
        if volts is None or float(np.max(np.abs(volts))) > ABSURD_OVER_IDLE * 4.0 * step_limit_v:
            bent.release()
            continue
        if bent.accept(volts, step_limit_v, one_at_a_time=iteration > MOST_ITERATIONS // 3):
            given[rows] = offset + slope * volts
            return given, iteration
    return _weakest(bent)


def _straight(matrix: Array, right: Array) -> Array | None:
    try:
        return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    except np.linalg.LinAlgError:
        return None


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
