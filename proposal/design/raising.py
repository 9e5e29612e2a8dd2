"""What raises conductors in a round: drops, currents, collapses, and fuses that find no rating or are too many."""

from collections.abc import Mapping
from dataclasses import replace

from proposal.circuit.model import Circuit, Conductor
from proposal.codes.family import Ampacity, FuseWindow, RuleFamily
from proposal.design.conductors import Ladder, raise_for_ampacity, step_for_fuse, with_sizes
from proposal.design.devices import Picked
from proposal.design.drops import drops, losses, raise_until_met
from proposal.facts import Reason
from proposal.studies.flow.cases import is_cranking
from proposal.studies.flow.result import Flow
from proposal.studies.flow.study import drop_flow, quick_flow
from proposal.studies.protection.result import UNGUARDED, Feeds

MOST_ROUNDS = 400


def settle_sizes(
    circuit: Circuit, ladder: Ladder, family: RuleFamily, rounds: int, near: Flow | None
) -> tuple[Circuit, Flow, int]:
    """Raise sizes until drops and currents ask for no more. `near`: a flow at other sizes, from which to begin.

    Drops come first: with less lost on the way a constant power draws less, and no size is raised for a current that
    later falls. A collapse is answered last.
    """
    while True:
        rounds += 1
        of_drops = drop_flow(circuit, family, near)
        moved = raise_for_drop(ladder, circuit, of_drops, family)
        if not moved:
            near = flow = quick_flow(circuit, family, of_drops, near)
            moved = raise_for_ampacity(ladder, circuit, flow) or _raise_for_collapse(ladder, circuit, flow)
            if not moved or rounds >= MOST_ROUNDS:
                return circuit, flow, rounds
        else:
            near = replace(of_drops, solutions={**near.solutions, **of_drops.solutions}) if near else of_drops
        circuit = with_sizes(circuit, ladder)


def raise_for_drop(ladder: Ladder, circuit: Circuit, flow: Flow, family: RuleFamily) -> bool:
    """For each item whose drop is above its limit, raise what mends most per added copper until it is met."""
    moved = False
    for drop in sorted(drops(circuit, flow, family).values(), key=lambda d: d.item):
        if drop.limit_v is None or drop.drop_v <= drop.limit_v * (1.0 + 1e-9):
            continue
        reason = Reason(
            "cranking_drop" if is_cranking(drop.case) else "drop",
            {"item": drop.item, "drop_v": drop.drop_v, "limit_v": drop.limit_v, "case": drop.case},
        )
        moved |= raise_until_met(ladder, drop, losses(circuit, flow.solutions[drop.case], drop), reason)
    return moved


def _raise_for_collapse(ladder: Ladder, circuit: Circuit, flow: Flow) -> bool:
    """One step up on the way to a constant-power load or a DC-DC charger that finds no voltage."""
    wanted: set[str] = set()
    for link in circuit.converters:
        if any(f"{link.key}.input" in solution.collapsed for solution in flow.solutions.values()):
            wanted |= {link.key} | {bank.key for bank in circuit.banks if bank.bus == link.from_bus}
    for load in circuit.loads:
        if any(load.key in solution.collapsed for solution in flow.solutions.values()):
            wanted |= {load.key, load.bus} | {bank.key for bank in circuit.banks}
    free = {c.circuit for c in circuit.conductors if not c.pinned}
    return _raise_each(ladder, {key: Reason("collapse", {"item": key}) for key in wanted & free})


def _raise_each(ladder: Ladder, wanted: Mapping[str, Reason]) -> bool:
    """One step up for each circuit; True if any moved."""
    moved = False
    for key in sorted(wanted):
        moved |= ladder.raise_to(key, ladder.at[key] + 1, wanted[key])
    return moved


def raise_for_fuses(
    ladder: Ladder,
    circuit: Circuit,
    guards: Mapping[str, Feeds],
    picked: Mapping[str, Picked],
    ampacities: Mapping[str, Ampacity],
    windows: Mapping[str, FuseWindow],
    family: RuleFamily,
) -> bool:
    """Raise circuits whose fuse finds no rating, or that the fuses on one side could together overload."""
    wanted: dict[str, tuple[int, Reason]] = {}
    free = {c.circuit for c in circuit.conductors if not c.pinned}

    def want(conductor: Conductor, rating_a: float, reason: Reason) -> None:
        key = conductor.circuit
        step = step_for_fuse(ladder, conductor, circuit, family, rating_a)
        if key in free and step > wanted.get(key, (0, reason))[0]:
            wanted[key] = (step, reason)

    for device in circuit.devices:
        choice = picked[device.key].choice
        if device.kind == "fuse" and choice.decided_by.code == "no_fuse_fits" and device.maker_fuse_a is None:
            smallest_a = windows[device.key].smallest_a
            if smallest_a > windows[device.key].largest_a or not choice.rejected:
                want(circuit.conductor[device.guards[0]], smallest_a, Reason("fuse", {"smallest_a": smallest_a}))
    for conductor in circuit.conductors:
        feed = guards.get(conductor.key)
        if feed is None or conductor.pinned or conductor.purpose in UNGUARDED:
            continue
        largest_a = family.fuse_window(0.0, ampacities[conductor.key].ampacity_a, circuit.system_v).largest_a
        for end in feed.ends:
            through_a = sum(
                float(picked[f.key].part.rating_a) if f.limited_a is None else f.limited_a
                for f in end
                if f.kind == "fuse" and picked[f.key].part is not None
            )
            if through_a > largest_a * (1.0 + 1e-9):
                want(conductor, through_a, Reason("fuses_of_others", {"through_a": through_a}))
    moved = False
    for key, (step, reason) in sorted(wanted.items()):
        moved |= ladder.raise_to(key, step, reason)
    return moved
