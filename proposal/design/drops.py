"""Voltage lost on the way from the best battery post to each load, charge source and the starter, and where."""

import math
from dataclasses import dataclass

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.design.conductors import Ladder
from proposal.design.result import Drop
from proposal.facts import Reason
from proposal.studies.flow.result import Flow
from proposal.studies.network.equations import conductor_ohm
from proposal.studies.network.result import Solution

GIVES_A = 0.01
COOLS_WITH_AREA = 1.2
"""Power of the area by which a rise falls at one current: ampacities go with about A^0.6. Fitted to the tables."""
CRANKING_LEG_V_AT_12V = 0.3
"""Loss allowed in each leg of the starter's loop while cranking. Common practice, no source."""

WORTH_SHARE = 0.05
"""What a larger size must mend of what is too much, where no size mends all of it. Common practice, no source."""


def load_case(item: str, flow: Flow) -> str:
    """The case in which a load runs at full: its own if it has one, else the usual one."""
    own = f"full.{item.split('.', 1)[1]}"
    return own if own in flow.solutions else "usual"


def drops(circuit: Circuit, flow: Flow, family: RuleFamily) -> dict[str, Drop]:
    """Loop drop of every load at full, every source while charging, and the starter while cranking.

    ΔU = highest post voltage among the giving banks on a closed path to it − voltage at its own terminals [V]; for a
    source: its terminals − the lowest main bus on a closed path, so that a link between buses counts.
    A load that collapsed has no drop; the rules report it.
    """
    found = {}
    sides = {case: _sides(circuit, solution) for case, solution in flow.solutions.items()}
    for load in circuit.loads:
        case = load_case(load.key, flow)
        solution = flow.solutions[case]
        if load.key in solution.port_v:
            limit_v = family.drop_limit(load.critical).value * circuit.system_v
            best_v = _best_bank_v(circuit, solution, sides[case], load.positive)
            if best_v is not None:
                found[load.key] = Drop(load.key, case, max(0.0, best_v - solution.port_v[load.key]), limit_v)
    for source in circuit.sources:
        solution = flow.solutions["charging"]
        if source.key in solution.port_v:
            side = sides["charging"]
            buses = [b for b in circuit.buses if b.kind in ("main", "start")]
            bus_v = [
                solution.voltage_v[b.positive] - solution.voltage_v[b.negative]
                for b in buses
                if b.positive in side and side[b.positive] == side[source.positive]
            ]
            limit_v = family.drop_limit(True).value * circuit.system_v
            found[source.key] = Drop(
                source.key, "charging", max(0.0, solution.port_v[source.key] - min(bus_v)), limit_v
            )
    cranking = flow.solutions.get("cranking")
    if circuit.starter is not None and cranking is not None and circuit.starter.key in cranking.port_v:
        limit_v = 2.0 * CRANKING_LEG_V_AT_12V * circuit.system_v / 12.0
        best_v = max(cranking.port_v[b.key] for b in circuit.batteries if b.bank == circuit.starter.bus)
        drop_v = best_v - cranking.port_v[circuit.starter.key]
        found[circuit.starter.key] = Drop(circuit.starter.key, "cranking", max(0.0, drop_v), limit_v)
    return found


def _sides(circuit: Circuit, solution: Solution) -> dict[str, str]:
    """For each live positive node, the name of the group of positive nodes that closed paths join it to."""
    closed = frozenset(b.key for b in circuit.devices if b.key in solution.current_a)
    found = circuit.memo.get(("sides", closed))
    if found is None:
        found = circuit.memo["sides", closed] = _grouped(circuit, solution)
    return dict(found)


def _grouped(circuit: Circuit, solution: Solution) -> dict[str, str]:
    group = {node: node for node in solution.voltage_v if circuit.node[node].pole == "positive"}

    def root(node: str) -> str:
        while group[node] != node:
            group[node] = group[group[node]]
            node = group[node]
        return node

    for branch in circuit.branches:
        if branch.key in solution.current_a and branch.from_node in group:
            one, other = root(branch.from_node), root(branch.to_node)
            group[max(one, other)] = min(one, other)
    return {node: root(node) for node in group}


def _best_bank_v(circuit: Circuit, solution: Solution, side: dict[str, str], node: str) -> float | None:
    """Highest post voltage among the strings that give current on the same side as a node."""
    here = [b for b in circuit.batteries if b.key in solution.port_v and side.get(b.positive) == side.get(node)]
    giving = [b for b in here if solution.given_a.get(b.key, 0.0) > GIVES_A]
    return max((solution.port_v[b.key] for b in (giving or here)), default=None)


@dataclass
class Losses:
    """What each circuit loses in one solved case on the way to one item, at the sizes of that solution.

    `place_c` and `warm_c` [°C]: with nothing flowing and as solved, of the conductor that loses most.
    """

    lost_v: dict[str, float]
    length_m: dict[str, float]
    area_mm2: dict[str, float]
    place_c: dict[str, float]
    warm_c: dict[str, float]

    def at_area(self, key: str, area_mm2: float) -> float:
        """What a circuit would lose at another area [V], the currents as they are.

        ΔU ∝ (1 + α·(T − 20 °C))/A, and its rise over the place ∝ (I/I_z)² with I_z ∝ A^0.6, see
        COOLS_WITH_AREA; the next solution has the real ones.
        """
        share = self.area_mm2[key] / area_mm2
        place_c, rise_k = self.place_c[key], self.warm_c[key] - self.place_c[key]
        warm = conductor_ohm(1.0, 1.0, place_c + rise_k * math.pow(share, COOLS_WITH_AREA))
        return self.lost_v[key] * share * warm / conductor_ohm(1.0, 1.0, self.warm_c[key])


def losses(circuit: Circuit, solution: Solution, drop: Drop) -> Losses:
    """Voltage lost [V], length of both poles [m] and area [mm²] by circuit, pinned conductors left out.

    The strings of a bank stand under the name of the first that has leads: the most that one of them loses, the length
    of all. Of a chain, whose links carry one another's currents: from its best post to where its main leads leave.
    """
    ways = _ways(circuit, solution, drop)
    first = circuit.led_by
    lost_v: dict[str, float] = {}
    most_v: dict[str, float] = {}
    found = Losses({}, {}, {}, {}, {})
    conductor_c = solution.conductor_c
    for conductor in circuit.conductors:
        if conductor.circuit in ways and conductor.key in solution.current_a and not conductor.pinned:
            ends_v = abs(solution.voltage_v[conductor.from_node] - solution.voltage_v[conductor.to_node])
            lost_v[conductor.circuit] = lost_v.get(conductor.circuit, 0.0) + ends_v
            key = first.get(conductor.circuit, conductor.circuit)
            if ends_v >= most_v.get(key, 0.0):
                most_v[key], found.warm_c[key] = ends_v, conductor_c[conductor.key]
                found.place_c[key] = min(circuit.place[conductor.place].hottest_c, conductor_c[conductor.key])
            found.lost_v[key] = max(found.lost_v.get(key, 0.0), lost_v[conductor.circuit])
            found.length_m[key] = found.length_m.get(key, 0.0) + conductor.length_m
            found.area_mm2[key] = conductor.size.area_mm2 if conductor.size is not None else 1.0
    for bank in circuit.banks:
        key = first.get(bank.strings[0], "")
        if bank.chained and key in found.lost_v:
            plus, minus = (solution.voltage_v[f"{bank.key}.terminal.{pole}"] for pole in ("positive", "negative"))
            found.lost_v[key] = max(0.0, *(solution.port_v.get(s, 0.0) - (plus - minus) for s in bank.strings))
    return found


def _ways(circuit: Circuit, solution: Solution, drop: Drop) -> set[str]:
    """Circuits on the way to an item: its own, its panel's, and those of the banks that give current and of links."""
    ways = {drop.item}
    bus = circuit.fed_by.get(drop.item)
    if bus is not None and bus.startswith("panels."):
        ways.add(bus)
    if not drop.item.startswith("sources."):
        giving = [b for b in circuit.batteries if solution.given_a.get(b.key, 0.0) > GIVES_A]
        if drop.case == "cranking":
            return ways | {b.key for b in giving}
        ways |= {b.key for b in giving} | {b.bank for b in giving}
    return ways | {c.circuit for c in circuit.conductors if c.purpose == "link"}


def raise_until_met(ladder: Ladder, drop: Drop, lost: Losses, reason: Reason) -> bool:
    """Raise, step by step, the circuit that mends most per added copper until the drop is predicted to be met.

    Gain of a step: what its loss falls by [V]; cost: (A' − A)·length [mm²·m]. Losses at other areas are those at the
    solved currents, `Losses.at_area`. Where all sizes together could not meet the limit, only steps are made that each
    mend at least 5 % of what is too much.
    """
    if drop.limit_v is None or not lost.lost_v:
        return False
    top_mm2 = ladder.sizes[-1].area_mm2
    fixed_v = drop.drop_v - sum(lost.lost_v.values())
    best_v = fixed_v + sum(lost.at_area(key, top_mm2) for key in lost.lost_v)
    worth = 0.0 if best_v <= drop.limit_v else WORTH_SHARE
    moved = False
    while True:
        now = {key: lost.at_area(key, ladder.size(key).area_mm2) for key in lost.lost_v}
        excess_v = fixed_v + sum(now.values()) - drop.limit_v
        if excess_v <= 0.0:
            return moved
        gains = []
        for key, volts in now.items():
            step = ladder.at[key] + 1
            if step < len(ladder.sizes):
                next_mm2, now_mm2 = ladder.sizes[step].area_mm2, ladder.size(key).area_mm2
                cost = (next_mm2 - now_mm2) * max(lost.length_m[key], 1e-6)
                mended_v = volts - lost.at_area(key, next_mm2)
                if mended_v >= worth * excess_v:
                    gains.append((-float(f"{mended_v / cost:.9g}"), key))  # rounding must not decide between equals
        if not gains:
            return moved
        key = min(gains)[1]
        moved |= ladder.raise_to(key, ladder.at[key] + 1, reason)
