"""Laws with corners: which straight line each charger and each battery bound stands on, found by following a path."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from proposal.frozen import frozen
from proposal.studies.network.result import Port
from proposal.studies.network.shape import Array

NEAR_V = 1e-11
"""Voltages closer than this to a corner count as being at it; some thousand times the rounding of a double."""
WIDEST_V = 1e-6
"""Voltages farther than this from a corner are never taken for being at it, however ill a network is conditioned."""
ABOVE_V = 1.0

Lines = tuple[list[float], list[float], list[float]]
"""Of each port: current at zero volts [A], how it changes along the path [A], and slope [A/V]."""
Straight = Callable[[Lines], tuple[Array, Array]]
"""Voltages at the start of the path and their change along it [V], every port on its straight line."""


@frozen
class _Corner:
    """A corner: where on the path, whose, the line that follows, and how far beyond it the port is already [V]."""

    at: float
    number: int
    state: str
    beyond_v: float


@dataclass
class Corners:
    """The chargers and battery bounds among the ports of a network, with the line that each stands on.

    A charger is off, regulates, or is at its limit; a battery bound is free or holds. `lower_v`: how far below its own
    set voltage each charger begins; 0 at the end of the path. `near_v`: how near each is to count as at a corner.
    """

    ports: list[Port]
    state: list[str] = field(default_factory=list)
    lower_v: list[float] = field(default_factory=list)
    near_v: list[float] = field(default_factory=list)

    def settle(self, straight: Straight, idle_v: Array) -> Array:
        """Voltages at which every port stands on its own line.

        The chargers' set voltages rise together from below `idle_v`, where all are off, to their own. Between two
        corners the voltages follow straight lines; at a corner one port goes over to its next line. Currents fall as
        voltages rise, so there is one solution at each place of the path and no way back. A port that rounding alone
        sends to and fro over a corner is taken to be at it. Raises ArithmeticError should the path not end.
        """
        self.near_v = [NEAR_V] * len(self.ports)
        if self.state:
            start, change = straight(self.lines())
            if self._next(start, change, 1.0) is None:
                return np.asarray(start + change)
        self.state = ["off" if port.law == "charger" else "free" for port in self.ports]
        self.lower_v = [
            max(port.set_v - float(v), 0.0) + ABOVE_V if port.law == "charger" else 0.0
            for port, v in zip(self.ports, idle_v, strict=True)
        ]
        at, seen = 0.0, {tuple(self.state)}
        for _ in range(20 + 20 * len(self.ports)):
            start, change = straight(self.lines())
            found = self._next(start, change, at)
            if found is None:
                return np.asarray(start + change)
            number, state = found.number, found.state
            fresh = (*self.state[:number], state, *self.state[number + 1 :])
            if found.at > at:
                seen.clear()
            elif fresh in seen and self.near_v[number] < found.beyond_v < WIDEST_V:
                self.near_v[number] = 2.0 * found.beyond_v
                continue
            at = found.at
            self.state[number] = state
            seen.add(fresh)
        raise ArithmeticError("a network of chargers did not settle")

    def lines(self) -> Lines:
        """The straight line of each port: i = offset + path · change + slope · U."""
        offset, change, slope = [], [], []
        for port, state, lower_v in zip(self.ports, self.state, self.lower_v, strict=True):
            siemens = 1.0 / port.droop_ohm
            if state == "regulates":
                line = ((port.set_v - lower_v) * siemens, lower_v * siemens, -siemens)
            elif state == "limit":
                line = (port.current_a, 0.0, 0.0)
            elif state == "holds":
                line = (-port.current_a - port.set_v * siemens, 0.0, siemens)
            else:
                line = (0.0, 0.0, 0.0)
            offset.append(line[0])
            change.append(line[1])
            slope.append(line[2])
        return offset, change, slope

    def _next(self, start: Array, change: Array, at: float) -> "_Corner | None":
        """The next corner on the path; None before the end."""
        nearest: _Corner | None = None
        volts, rises = start.tolist(), change.tolist()
        for number, near_v in enumerate(self.near_v):
            for state, here_v, rises_v in self._margins(number, volts[number], rises[number]):
                margin_v = here_v + at * rises_v
                beyond = margin_v < (-WIDEST_V if rises_v > NEAR_V else -near_v)
                if not beyond and rises_v >= -NEAR_V:
                    continue
                where = at if beyond else at + max(margin_v, 0.0) / -rises_v
                if (beyond or where < 1.0) and (nearest is None or where < nearest.at):
                    nearest = _Corner(where, number, state, -margin_v)
        return nearest

    def _margins(self, number: int, volts: float, rises_v: float) -> list[tuple[str, float, float]]:
        """For each corner of a port's line: the line beyond it, how far off it is [V] at the start and per path [V]."""
        port, state, lower_v = self.ports[number], self.state[number], self.lower_v[number]
        above, above_rises = volts - (port.set_v - lower_v), rises_v - lower_v
        span_v = port.current_a * port.droop_ohm
        if state == "off":
            return [("regulates", above, above_rises)]
        if state == "regulates":
            return [("off", -above, -above_rises), ("limit", span_v + above, above_rises)]
        if state == "limit":
            return [("regulates", -above - span_v, -above_rises)]
        if state == "free":
            return [("holds", span_v - above, -above_rises)]
        return [("free", above - span_v, above_rises)]
