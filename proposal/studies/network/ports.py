"""The laws of loads and charge sources, settled over the trunk of a reduced network."""

from collections.abc import Sequence

import numpy as np

from proposal.frozen import frozen
from proposal.studies.network.corners import Corners, Lines
from proposal.studies.network.result import Port
from proposal.studies.network.shape import Array, Numbers, entering, places_of, stamped

SETTLED_V = 1e-5
"""A step of Newton's method that is smaller leaves a constant power wrong by (ΔU/U)², less than 1e-12 of it."""
MOST_ITERATIONS = 60
LEAST_V = 1e-3
LEAST_TURN = 1e-12


@frozen
class Trunk:
    """What the ports of a network see: Y·V = J, and where each of them stands.

    `matrix_s` [S] and `injected_a` [A] of the trunk; `positive`, `negative`: the rows on which each port's pins hang,
    that of the reference being the last, which the matrix doesn't have; `own_ohm` [Ω] of each port's own limbs, in
    which its current alone flows.
    """

    matrix_s: Array
    injected_a: Array
    positive: Numbers
    negative: Numbers
    own_ohm: Array

    @property
    def size(self) -> int:
        """Rows of the trunk."""
        return len(self.injected_a)

    def entering(self, chosen: Numbers | slice, current_a: Array) -> Array:
        """Currents [A] that some ports send into the trunk, by row."""
        return entering(self.size + 1, self.positive[chosen], self.negative[chosen], current_a)[: self.size]

    def columns(self, chosen: Numbers) -> Array:
        """One ampere of each of some ports: rows × ports."""
        made = np.zeros((self.size + 1, len(chosen)))
        at = np.arange(len(chosen))
        made[self.positive[chosen], at] += 1.0
        made[self.negative[chosen], at] -= 1.0
        return made[: self.size]

    def solved(self, matrix_s: Array, right: Array) -> Array:
        """Voltages [V] by row, the reference's own of zero last: V = Y⁻¹·J, for one or more columns."""
        made = np.zeros((self.size + 1, *right.shape[1:]))
        made[:-1] = np.linalg.solve(matrix_s, right)
        return made

    def across(self, chosen: Numbers, row_v: Array) -> Array:
        """What stands between the rows of some ports, for voltages (or columns of them) by row."""
        return np.asarray(row_v[self.positive[chosen]] - row_v[self.negative[chosen]])

    def places(self, chosen: Numbers) -> Numbers:
        """Where conductances between the pins of some ports stand in the matrix."""
        return places_of(self.size, self.positive[chosen], self.negative[chosen])

    def leaning(self, places: Numbers, siemens: Array) -> Array:
        """The matrix with ports at some places on lines that give so much more per volt [A/V]."""
        return self.matrix_s - stamped(self.size, places, siemens)


@frozen
class Settled:
    """Current that each port gives [A], none for loads that found no voltage; voltages by row of the trunk [V].

    Where to begin in nearly the same network: `keys` of the ports; `power_v` [V] of the constant powers; `idle_v` [V]
    and `corners` of the chargers and bounds.
    """

    given_a: Array
    trunk_v: Array
    collapsed: tuple[str, ...]
    iterations: int
    keys: tuple[str, ...]
    power_v: Array
    idle_v: Array
    corners: Corners


@frozen
class Laws:
    """Ports by law: `steady_a` [A] of constant currents, numbers of the `bent` ones and of constant powers."""

    ports: tuple[Port, ...]
    keys: tuple[str, ...]
    steady_a: Array
    bent: Numbers
    power: Numbers
    power_w: Array


def laws_of(ports: Sequence[Port]) -> Laws:
    """Ports sorted by law."""
    bent = [n for n, port in enumerate(ports) if port.law in ("charger", "bound")]
    return Laws(
        tuple(ports),
        tuple(port.key for port in ports),
        np.array([-port.current_a if port.law == "current" else 0.0 for port in ports]),
        np.array(bent, dtype=np.intp),
        np.array([n for n, port in enumerate(ports) if port.law == "power"], dtype=np.intp),
        np.array([port.power_w for port in ports]),
    )


def settle(laws: Laws, trunk: Trunk, before: Settled | None = None) -> Settled:
    """Find the currents of all ports.

    Constant currents enter at once; chargers and battery bounds follow their corners; constant powers are taken by
    their tangents (Newton). A load that no voltage satisfies is taken off and named, and the rest is settled.
    `before`: the outcome with the same ports in a nearly equal network, from which to begin.
    """
    if before is not None and before.keys != laws.keys:
        before = None
    off = list(before.collapsed) if before is not None else []
    while True:
        outcome = _newton(laws, trunk, off, before)
        if isinstance(outcome, Settled):
            return outcome
        off.append(outcome)
        before = None


def _newton(laws: Laws, trunk: Trunk, off: list[str], before: Settled | None) -> Settled | str:
    """The outcome, or the key of a constant-power load that collapses."""
    bent, power = laws.bent, laws.power
    if off:
        power = np.array([n for n in power if laws.keys[n] not in off], dtype=np.intp)
    steady_a = trunk.injected_a + trunk.entering(slice(None), laws.steady_a)
    right = np.empty((trunk.size, 1 + len(bent)))
    right[:, 0], right[:, 1:] = steady_a, trunk.columns(bent)
    bent_ohm, places = np.diag(trunk.own_ohm[bent]), trunk.places(power)
    power_w, own_ohm = laws.power_w[power], trunk.own_ohm[power]
    corners = Corners([laws.ports[n] for n in bent])
    if before is None or not len(power):
        found = trunk.solved(trunk.matrix_s, right)
        idle_v, power_v = trunk.across(bent, found[:, 0]), trunk.across(power, found[:, 0])
    if before is not None:
        idle_v, power_v = before.idle_v, before.power_v
        corners.state, corners.lower_v = before.corners.state, before.corners.lower_v
    step_limit_v = 0.25 * max(1.0, 0.0, *np.abs(idle_v).tolist(), *np.abs(power_v).tolist())
    for iteration in range(1, MOST_ITERATIONS + 1):
        try:
            if len(power):
                tangents = _Tangents(power_w, own_ohm, power_v)
                right[:, 0] = steady_a + trunk.entering(power, tangents.trunk_a)
                found = trunk.solved(trunk.leaning(places, tangents.trunk_s), right)
            straight = _Straight(trunk.across(bent, found[:, 0]), trunk.across(bent, found[:, 1:]) + bent_ohm)
            bent_v = corners.settle(straight.volts, idle_v) if len(bent) else idle_v
        except (ArithmeticError, np.linalg.LinAlgError):
            if not len(power):
                raise
            break  # past maximum power a tangent gives more current for less voltage than the network can
        bent_a = straight.given_a(corners.lines(), bent_v)
        trunk_v = found[:, 0] + found[:, 1:] @ bent_a
        given = laws.steady_a.copy()
        given[bent] = bent_a
        if not len(power):
            return Settled(given, trunk_v, tuple(off), iteration, laws.keys, power_v, idle_v, corners)
        moved_v = tangents.volts(trunk.across(power, trunk_v)) - power_v
        step_v = np.minimum(np.maximum(moved_v, -step_limit_v), step_limit_v)
        power_v = power_v + step_v
        if max(map(abs, step_v.tolist()), default=0.0) < SETTLED_V:
            given[power] = tangents.given_a(power_v)
            return Settled(given, trunk_v, tuple(off), iteration, laws.keys, power_v, idle_v, corners)
    idle = trunk.solved(trunk.matrix_s, steady_a)
    return _first_to_collapse(laws, trunk, power, trunk.across(power, idle))


def _first_to_collapse(laws: Laws, trunk: Trunk, power: Numbers, idle_v: Array) -> str:
    """The load that asks most of what it could get if it were alone: P·4·R/U_idle² (circuit theory)."""
    response = trunk.across(power, trunk.solved(trunk.matrix_s, trunk.columns(power)))
    ohm = np.diag(response) + trunk.own_ohm[power]
    asks = 4.0 * ohm * laws.power_w[power] / np.maximum(idle_v, LEAST_V) ** 2
    keys: list[str] = [laws.keys[n] for n in power]
    worst: str = max(zip(asks.tolist(), keys, strict=True))[1]
    return worst


class _Tangents:
    """Constant powers on their tangents at a voltage: i = −P/U ≈ −2·P/U₀ + (P/U₀²)·U [A], behind limbs of own_ohm.

    As seen from the trunk such a line is o/(1 − R·s) and s/(1 − R·s): `trunk_a`, `trunk_s`.
    """

    def __init__(self, power_w: Array, own_ohm: Array, at_v: Array) -> None:
        near_v = np.maximum(at_v, LEAST_V)
        self.offset_a, self.slope_s, self.own_ohm = -2.0 * power_w / near_v, power_w / near_v**2, own_ohm
        self.turn = 1.0 - own_ohm * self.slope_s
        if np.min(np.abs(self.turn), initial=1.0) < LEAST_TURN:
            raise ArithmeticError("a tangent as steep as its limb")
        self.trunk_a, self.trunk_s = self.offset_a / self.turn, self.slope_s / self.turn

    def volts(self, trunk_v: Array) -> Array:
        """Voltages at the loads [V], for those where their limbs begin: (U + R·o)/(1 − R·s)."""
        return np.asarray((trunk_v + self.own_ohm * self.offset_a) / self.turn)

    def given_a(self, at_v: Array) -> Array:
        """Currents at voltages of the loads [A]."""
        return np.asarray(self.offset_a + self.slope_s * at_v)


@frozen
class _Straight:
    """The bent ports among themselves, every other one on its line: U = base + Z·i(U) [V, Ω]."""

    base_v: Array
    response_ohm: Array

    def volts(self, lines: Lines) -> tuple[Array, Array]:
        """Voltages at the start of the path and their change along it [V]: (1 − Z·s)·U = base + Z·o."""
        offset, change, slope = map(np.array, lines)
        right = np.empty((len(slope), 2))
        right[:, 0] = self.base_v + self.response_ohm @ offset
        right[:, 1] = self.response_ohm @ change
        found = np.asarray(np.linalg.solve(np.eye(len(slope)) - self.response_ohm * slope, right), dtype=np.float64)
        return found[:, 0], found[:, 1]

    def given_a(self, lines: Lines, volts: Array) -> Array:
        """Currents at the end of the path [A]."""
        offset, change, slope = map(np.array, lines)
        return np.asarray(offset + change + slope * volts, dtype=np.float64)
