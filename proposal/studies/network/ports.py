"""The laws of loads and charge sources, settled over the ports of a reduced network."""

from dataclasses import dataclass

import numpy as np

from proposal.studies.network.corners import Corners, Lines
from proposal.studies.network.frame import Array
from proposal.studies.network.result import Port

TOLERANCE_V = 1e-10
MOST_ITERATIONS = 60
LEAST_V = 1e-3


@dataclass(frozen=True)
class Settled:
    """Current that each port gives to the network [A]; constant-power loads that found no voltage give none."""

    given_a: Array
    collapsed: tuple[str, ...]
    iterations: int


def settle(ports: list[Port], idle_v: Array, response_ohm: Array) -> Settled:
    """Find the currents of all ports.

    Parameters: voltages with the ports idle [V]; response_ohm [Ω], ports × ports: U = U_idle + Z·i(U).
    Constant currents enter at once; chargers and battery bounds follow their corners; constant powers are taken by
    their tangents (Newton). A load that no voltage satisfies is taken off and named, and the rest is settled.
    """
    off: list[str] = []
    while True:
        outcome = _newton(ports, idle_v, response_ohm, off)
        if not isinstance(outcome, str):
            return Settled(outcome[0], tuple(off), outcome[1])
        off.append(outcome)


def _newton(ports: list[Port], idle_v: Array, response_ohm: Array, off: list[str]) -> tuple[Array, int] | str:
    """Currents of all ports and the number of iterations, or the key of a constant-power load that collapses."""
    given = np.array([-p.current_a if p.law == "current" else 0.0 for p in ports])
    bent = [n for n, port in enumerate(ports) if port.law in ("charger", "bound")]
    power = [n for n, port in enumerate(ports) if port.law == "power" and port.key not in off]
    rows = bent + power
    if not rows:
        return given, 0
    base = (idle_v + response_ohm @ given)[rows]
    sub = response_ohm[np.ix_(rows, rows)]
    power_w = np.array([ports[n].power_w for n in power])
    power_v = base[len(bent) :].copy()
    step_limit_v = 0.25 * float(np.max(np.abs(idle_v), initial=1.0))
    corners = Corners([ports[n] for n in bent])
    one = np.eye(len(rows))
    for iteration in range(1, MOST_ITERATIONS + 1):
        tangent = _Tangent(sub, one, base, power_w, np.maximum(power_v, LEAST_V))
        try:
            volts = corners.settle(tangent.straight, base[: len(bent)])
        except (ArithmeticError, np.linalg.LinAlgError):
            if not power:
                raise
            break  # past maximum power a tangent gives more current for less voltage than the network can
        step_v = np.minimum(np.maximum(volts[len(bent) :] - power_v, -step_limit_v), step_limit_v)
        power_v += step_v
        if max(map(abs, step_v.tolist()), default=0.0) < TOLERANCE_V:
            given[rows] = tangent.given_a(corners.lines(), volts)
            return given, iteration
    if not power:
        raise ArithmeticError("a network of chargers did not settle")
    own = range(len(bent), len(rows))
    asks = [_most_power_share(power_w[k], float(sub[n, n]), float(base[n])) for k, n in enumerate(own)]
    return max((ask, ports[n].key) for ask, n in zip(asks, power, strict=True))[1]


def _most_power_share(power_w: float, resistance_ohm: float, idle_v: float) -> float:
    """What a load asks as a share of the most that it could get if it were alone: P·4·R/U_idle² (circuit theory)."""
    return 4.0 * resistance_ohm * float(power_w) / max(idle_v, LEAST_V) ** 2


class _Tangent:
    """The ports with every constant power on its tangent at a voltage: i = −P/U = −2·P/U₀ + (P/U₀²)·U [A]."""

    def __init__(self, response_ohm: Array, one: Array, base_v: Array, power_w: Array, at_v: Array) -> None:
        self.response_ohm, self.one, self.base_v = response_ohm, one, base_v
        self.offset_a, self.slope_s = (-2.0 * power_w / at_v).tolist(), (power_w / at_v**2).tolist()
        self.still = [0.0] * len(self.offset_a)

    def straight(self, lines: Lines) -> tuple[Array, Array]:
        """Voltages of all ports at the start of the path and their change along it [V]: (1 − Z·s)·U = base + Z·o."""
        offset, change, slope = self._all(lines)
        right = np.empty((len(slope), 2))
        right[:, 0] = self.base_v + self.response_ohm @ offset
        right[:, 1] = self.response_ohm @ change
        found = np.linalg.solve(self.one - self.response_ohm * slope, right)
        return found[:, 0], found[:, 1]

    def given_a(self, lines: Lines, volts: Array) -> Array:
        """Currents at the end of the path [A]."""
        offset, change, slope = self._all(lines)
        return np.asarray(offset + change + slope * volts, dtype=np.float64)

    def _all(self, lines: Lines) -> Array:
        """Offsets, changes and slopes of all ports, those of the corners first: three rows."""
        offset, change, slope = lines
        return np.array([offset + self.offset_a, change + self.still, slope + self.slope_s])
