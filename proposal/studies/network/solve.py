"""Solves a reduced network: nodal analysis for what is linear, and the laws of its ports on top."""

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.frozen import frozen
from proposal.studies.network.assemble import assemble, branch_ohms, emfs_of
from proposal.studies.network.case import Case
from proposal.studies.network.frame import Frame, frame_of
from proposal.studies.network.ports import Settled, Trunk, settle
from proposal.studies.network.reduced import Reduced
from proposal.studies.network.result import Network, Solution
from proposal.studies.network.shape import Array, entering
from proposal.studies.network.warmth import MOST_PASSES, SETTLED_K, SETTLED_ON_THE_WAY_K, warmed_c
from proposal.studies.network.wired import Wired, coils_a, ports_of, wire


def reduce_case(circuit: Circuit, case: Case, family: RuleFamily) -> Reduced:
    """A circuit's network in a case and its linear part; its shape comes from the circuit's memo."""
    network = assemble(circuit, case, family)
    ohms = np.array([r.resistance_ohm for r in network.resistors])
    return Reduced(network, frame_of(circuit, case).shape, ohms)


@frozen
class _Standing:
    """What no size and no part touches of a case, but for coils: its resistors bear their names alone."""

    frame: Frame
    network: Network
    wired: Wired


def _standing(circuit: Circuit, case: Case) -> _Standing:
    """A case from the circuit's memo."""
    key = (_Standing, case, coils_a(circuit))
    found = circuit.memo.get(key)
    if not isinstance(found, _Standing):
        frame = frame_of(circuit, case)
        emfs = emfs_of(circuit, case, frame)
        wired = wire(ports_of(circuit, case, frame), emfs, frame.shape)
        network = Network(
            case.id,
            case.temperatures,
            circuit.reference,
            frame.nodes,
            frame.dead,
            frame.names,
            emfs,
            wired.ports,
            frame.open_devices,
        )
        found = circuit.memo[key] = _Standing(frame, network, wired)
    return found


def reduce_quickly(circuit: Circuit, case: Case, family: RuleFamily) -> Reduced:
    """The reduced network of a case; its resistors bear their names alone. Conductors as warm as their places."""
    standing = _standing(circuit, case)
    return _at(circuit, standing, family, standing.frame.place_c)


def _at(circuit: Circuit, standing: _Standing, family: RuleFamily, temperature_c: Array) -> Reduced:
    """The reduced network of a case with its conductors at temperatures."""
    ohms = branch_ohms(circuit, standing.frame, family, temperature_c)
    return Reduced(standing.network, standing.frame.shape, ohms)


def solve_quickly(circuit: Circuit, case: Case, family: RuleFamily, near: Solution | None = None) -> Solution:
    """The solution of a case without its network: what a design step asks for again and again.

    Where the case warms its conductors it is solved again at the temperatures that their currents give them, until
    those move by less than 0.1 K; `warm_c` of the solution are those that it was solved at. `near`: the solution of the
    same case of a circuit that differs in sizes and parts alone, from which to begin; then 1 K is near enough.
    """
    standing = _standing(circuit, case)
    frame, wired = standing.frame, standing.wired
    warm_c, begin, settled_k = frame.place_c, None, SETTLED_K
    if near is not None and near.solved:
        begin, settled_k = near.settled, SETTLED_ON_THE_WAY_K
        if case.heats:
            before_a = np.array(list(near.current_a.values())[: len(warm_c)])
            warm_c = warmed_c(circuit, frame, family, before_a)
    found = _solved(_at(circuit, standing, family, warm_c), wired, begin)
    for _ in range(MOST_PASSES if case.heats else 0):
        warmer_c = warmed_c(circuit, frame, family, found.branch_a[: len(warm_c)])
        if np.max(np.abs(warmer_c - warm_c), initial=0.0) < settled_k:
            break
        warm_c = warmer_c
        found = _solved(_at(circuit, standing, family, warm_c), wired, found.outcome)
    return _solution(found, tuple(warm_c.tolist()))


def solve(reduced: Reduced) -> Solution:
    """Solve the network of a case.

    U_ports = U_idle + Z·i(U): constant currents enter at once; power, charger and battery bounds are settled over the
    ports. A constant-power load past maximum power has no solution: it is named, taken off, and the rest is solved.
    """
    network = reduced.network
    return _solution(_solved(reduced, wire(network.ports, network.emfs, reduced.shape)), ())


def volts_quickly(circuit: Circuit, case: Case, reduced: Reduced) -> dict[str, float]:
    """Voltages by node [V] of a case that `reduce_quickly` reduced, and nothing else of its solution."""
    found = _solved(reduced, _standing(circuit, case).wired)
    return dict(zip(reduced.network.nodes, found.volts.tolist(), strict=True))


@frozen
class _Solved:
    """A network with its ports settled: voltages by node [V], currents of branches and into nodes [A]."""

    reduced: Reduced
    wired: Wired
    outcome: Settled
    volts: Array
    port_v: Array
    entering_a: Array
    branch_a: Array


def _solved(reduced: Reduced, wired: Wired, before: Settled | None = None) -> _Solved:
    """`before`: the outcome of nearly the same network, from which to begin."""
    shape, limb = reduced.shape, reduced.limb_ohm
    positive, negative = wired.positive, wired.negative
    own_ohm = limb[positive] + limb[negative]
    trunk = Trunk(reduced.matrix_s, reduced.injected_a, shape.row[positive], shape.row[negative], own_ohm)
    outcome = settle(wired.laws, trunk, before)
    entering_a = entering(len(shape.row), positive, negative, outcome.given_a)
    volts = reduced.everywhere(outcome.trunk_v, entering_a)
    branch_a = (volts[shape.starts] - volts[shape.ends]) / reduced.branch_ohm
    return _Solved(reduced, wired, outcome, volts, volts[positive] - volts[negative], entering_a, branch_a)


def _solution(found: _Solved, warm_c: tuple[float, ...]) -> Solution:
    reduced, outcome, volts = found.reduced, found.outcome, found.volts
    network, shape, collapsed = reduced.network, reduced.shape, outcome.collapsed
    battery_v = volts[shape.positive] - volts[shape.negative]
    battery_a = (reduced.emf_v - battery_v) * reduced.behind_s
    nodes = len(volts)
    kirchhoff = found.entering_a + entering(nodes, shape.positive, shape.negative, battery_a)
    kirchhoff -= entering(nodes, shape.starts, shape.ends, found.branch_a)
    given_w = float(battery_a @ battery_v + outcome.given_a @ found.port_v)
    taken_w = float(found.branch_a @ (volts[shape.starts] - volts[shape.ends]))
    given = dict(zip((e.key for e in network.emfs), battery_a.tolist(), strict=True))
    terminal = dict(zip((e.key for e in network.emfs), battery_v.tolist(), strict=True))
    for key, amps, v in zip(found.wired.laws.keys, outcome.given_a.tolist(), found.port_v.tolist(), strict=True):
        if key not in collapsed:
            given[key] = given.get(key, 0.0) + amps
            terminal[key] = v
    return Solution(
        network.case,
        not collapsed,
        collapsed,
        dict(zip(network.nodes, volts.tolist(), strict=True)),
        dict(zip([r.key for r in network.resistors], found.branch_a.tolist(), strict=True)),
        given,
        terminal,
        float(np.max(np.abs(kirchhoff), initial=0.0)),
        given_w - taken_w,
        outcome.iterations,
        network.dead,
        warm_c,
        outcome,
    )
