"""The design step: unsized circuit + pins → every part chosen, with reasons.

Starts at the smallest sizes, runs the static studies, and each failure raises a conductor's size, never lowers one;
devices are chosen anew each round from what they then carry. The ladder is finite, so it ends.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from proposal.circuit.model import Circuit, Conductor
from proposal.circuit.thresholds import with_thresholds
from proposal.codes.family import Ampacity, FuseWindow, RuleFamily
from proposal.design.conductors import (
    Ladder,
    ampacity_of,
    raise_for_ampacity,
    raise_to_rated,
    start_ladder,
    step_for_fuse,
    with_sizes,
)
from proposal.design.devices import (
    Picked,
    bus_current,
    pick_bus,
    pick_series,
    with_part,
)
from proposal.design.drops import drops, losses, raise_until_met
from proposal.design.fuses import (
    NONE_TURNED,
    Asked,
    Turned,
    alike_in_banks,
    asked_of,
    candidates,
    fuse_window,
    needed_interrupt_a,
    pick_fuse,
    with_all_classes,
)
from proposal.design.joining import joining_currents
from proposal.design.pins import apply_pins
from proposal.design.protect import Protection, raise_for_protection
from proposal.design.result import Choice, Design, Drop
from proposal.facts import Reason
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import Pin
from proposal.studies.faults.least import least_faults
from proposal.studies.faults.result import Faults, LeastFaults
from proposal.studies.faults.study import fault_currents
from proposal.studies.flow.cases import is_cranking
from proposal.studies.flow.result import Flow
from proposal.studies.flow.study import drop_flow, load_flow, quick_flow
from proposal.studies.fuses.result import FuseDemand
from proposal.studies.fuses.study import fuse_demands
from proposal.studies.joins.result import Join
from proposal.studies.joins.study import first_currents
from proposal.studies.network.result import Network
from proposal.studies.protection.result import UNGUARDED, Feed, Feeds
from proposal.studies.protection.study import feeds, feeds_of_fuses

MOST_ROUNDS = 120
COOL_OVER_CURRENT = 2.0
"""Rating over lasting current at which a fuse runs cool. Common practice, no source."""
PINNED = Choice(Reason("pinned", {}))


def design(circuit: Circuit, pins: Mapping[str, Pin], catalogue: Catalogue, family: RuleFamily) -> Design:
    """Choose every part of a circuit.

    A fully pinned circuit comes back unchanged. The order of branches does not matter: every failure of a round is
    answered in that round. Raises MisfitError for pins that fit nothing.
    """
    circuit = apply_pins(circuit, pins, catalogue)
    guards, inner = feeds(circuit), feeds_of_fuses(circuit)
    ladder = start_ladder(circuit, family, catalogue)
    raise_to_rated(ladder, circuit)
    circuit = with_sizes(circuit, ladder)
    protection = Protection(catalogue)
    picked: dict[str, Picked] = {}
    seen: set[tuple[object, ...]] = set()
    rounds = 0
    flow: Flow | None = None
    while True:
        circuit, flow, rounds = _settle_sizes(circuit, ladder, family, rounds, flow)
        network, faults = fault_currents(circuit, family)
        joins = first_currents(circuit, family)
        joining = joining_currents(circuit, joins, faults, catalogue, family)
        ampacities = _ampacities(circuit, family)
        windows = _windows(circuit, flow, joining, ampacities, family)
        before = picked
        asked = _asked(circuit, flow, faults, windows, catalogue, family)
        picked = _pick(circuit, flow, asked, joining, catalogue, protection.turned)
        state = (*ladder.at.values(), *(p.part_id for p in picked.values()))
        if state in seen:
            picked = {key: _larger(picked[key], before[key]) for key in picked}
        seen.add(state)
        moved = _raise_for_fuses(ladder, circuit, guards, picked, ampacities, windows, family)
        settled = not moved and all(p.part_id == before[key].part_id for key, p in picked.items() if key in before)
        if (settled and before) or rounds >= MOST_ROUNDS:
            least = least_faults(circuit, family, guards)
            demands = _fuse_demands(
                circuit, family, flow, network, least, guards, inner, windows, faults, ampacities, joins
            )
            if rounds >= MOST_ROUNDS or not _protect(protection, ladder, circuit, family, demands, asked, picked):
                # solved anew, so that what is published does not depend on the way that led here
                flow = load_flow(circuit, family)
                if rounds >= MOST_ROUNDS or not _raise_for_drop(ladder, circuit, flow, family):
                    break
            seen.clear()
            picked = _pick(circuit, flow, asked, joining, catalogue, protection.turned)
        circuit = _with_parts(with_sizes(circuit, ladder), picked)
    picked = with_all_classes(picked, asked, catalogue)
    return _finish(
        circuit, ladder, picked, windows, ampacities, flow, faults, least, network, guards, demands, family, rounds
    )


def _protect(
    protection: Protection,
    ladder: Ladder,
    circuit: Circuit,
    family: RuleFamily,
    demands: Mapping[str, FuseDemand],
    asked: Mapping[str, Asked],
    picked: Mapping[str, Picked],
) -> bool:
    """Turn down parts, and where none is left raise conductors. True if anything may change."""
    if protection.turn_down(demands, asked, picked):
        return True
    raised = raise_for_protection(ladder, circuit, family, protection.catalogue, demands, asked, picked)
    protection.forget(raised)
    return bool(raised)


def _larger(now: Picked, before: Picked) -> Picked:
    """Of two parts between which the choice goes to and fro, since each changes what it carries, the stronger one."""
    if now.part is None or before.part is None:
        return now
    return before if _strength(before.part) > _strength(now.part) else now


def _strength(part: Any) -> tuple[float, float]:
    return part.rating_a, getattr(part, "interrupt_a", 0.0)


def _settle_sizes(
    circuit: Circuit, ladder: Ladder, family: RuleFamily, rounds: int, near: Flow | None
) -> tuple[Circuit, Flow, int]:
    """Raise sizes until drops and currents ask for no more. `near`: a flow at other sizes, from which to begin.

    Drops come first: with less lost on the way a constant power draws less, and no size is raised for a current that
    later falls. A collapse is answered last.
    """
    while True:
        rounds += 1
        of_drops = drop_flow(circuit, family, near)
        moved = _raise_for_drop(ladder, circuit, of_drops, family)
        if not moved:
            near = flow = quick_flow(circuit, family, of_drops, near)
            moved = raise_for_ampacity(ladder, circuit, flow) or _raise_for_collapse(ladder, circuit, flow)
            if not moved or rounds >= MOST_ROUNDS:
                return circuit, flow, rounds
        else:
            near = replace(of_drops, solutions={**near.solutions, **of_drops.solutions}) if near else of_drops
        circuit = with_sizes(circuit, ladder)


def _raise_for_drop(ladder: Ladder, circuit: Circuit, flow: Flow, family: RuleFamily) -> bool:
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


def _ampacities(circuit: Circuit, family: RuleFamily) -> dict[str, Ampacity]:
    known: dict[tuple[object, ...], Ampacity] = {}
    found = {}
    for c in circuit.conductors:
        if c.size is not None:
            same = (c.size.label, c.insulation_c, c.place, c.bundled_count)
            if same not in known:
                known[same] = ampacity_of(c, c.size, circuit, family)
            found[c.key] = known[same]
    return found


def _windows(
    circuit: Circuit,
    flow: Flow,
    joining: Mapping[str, float],
    ampacities: Mapping[str, Ampacity],
    family: RuleFamily,
) -> dict[str, FuseWindow]:
    return {
        d.key: fuse_window(
            d, circuit, flow, min(ampacities[key].ampacity_a for key in d.guards), family, joining.get(d.key, 0.0)
        )
        for d in circuit.devices
        if d.kind == "fuse"
    }


def _fuse_demands(
    circuit: Circuit,
    family: RuleFamily,
    flow: Flow,
    network: Network,
    least: LeastFaults,
    guards: Mapping[str, Feeds],
    inner: Mapping[str, tuple[Feed, ...]],
    windows: Mapping[str, FuseWindow],
    faults: Faults,
    ampacities: Mapping[str, Ampacity],
    joins: tuple[Join, ...],
) -> dict[str, FuseDemand]:
    needed_a = {key: needed_interrupt_a(circuit.device[key], circuit, faults, family) for key in windows}
    ampacity_a = {key: found.ampacity_a for key, found in ampacities.items()}
    return fuse_demands(circuit, family, flow, network, least, guards, inner, windows, needed_a, ampacity_a, joins)


def _asked(
    circuit: Circuit,
    flow: Flow,
    faults: Faults,
    windows: Mapping[str, FuseWindow],
    catalogue: Catalogue,
    family: RuleFamily,
) -> dict[str, Asked]:
    """What each fuse that is not pinned asks of its part.

    Where nothing breaks what is asked with its margins, the fault current itself is.
    """
    found = {}
    for device in circuit.devices:
        if device.kind == "fuse" and not device.pinned:
            branch = device.circuit.startswith(("loads.", "panels."))
            cool_a = COOL_OVER_CURRENT * flow.demands[device.key].current_a if branch else 0.0
            fault_a = max(faults.at(device.from_node), faults.at(device.to_node))
            needed_a = needed_interrupt_a(device, circuit, faults, family)
            asked = asked_of(device, windows[device.key], needed_a, circuit.system_v, cool_a)
            if needed_a > fault_a and all(reason is not None for _, _, reason in candidates(asked, catalogue)):
                asked = replace(asked, needed_a=fault_a)
            found[device.key] = asked
    return alike_in_banks(circuit, found)


def _pick(
    circuit: Circuit,
    flow: Flow,
    asked: Mapping[str, Asked],
    joining: Mapping[str, float],
    catalogue: Catalogue,
    turned: Mapping[str, Mapping[str, Turned]],
) -> dict[str, Picked]:
    picked = {}
    for device in circuit.devices:
        if device.pinned:
            picked[device.key] = Picked(device.part_id, device.part, PINNED)
        elif device.kind == "fuse":
            picked[device.key] = pick_fuse(asked[device.key], catalogue, turned.get(device.key, NONE_TURNED))
        else:
            make_a = joining.get(device.key, 0.0)
            picked[device.key] = pick_series(device, flow.demands[device.key], catalogue, circuit.system_v, make_a)
    lasting = [(key, s) for key, s in flow.solutions.items() if not is_cranking(key)]
    for bus in circuit.buses:
        wanted_a, case, studs = bus_current(bus, circuit, lasting)
        found = pick_bus(wanted_a, case, studs, catalogue, circuit.system_v)
        picked[bus.key] = Picked(bus.part_id, bus.part, PINNED) if bus.pinned else found
    return picked


def _raise_for_fuses(
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


def _with_parts(circuit: Circuit, picked: Mapping[str, Picked]) -> Circuit:
    devices = tuple(d if d.pinned else with_part(d, picked[d.key]) for d in circuit.devices)
    buses = tuple(
        b if b.pinned else replace(b, part_id=picked[b.key].part_id, part=picked[b.key].part) for b in circuit.buses
    )
    return circuit.with_parts(devices=devices, buses=buses)


def _finish(
    circuit: Circuit,
    ladder: Ladder,
    picked: Mapping[str, Picked],
    windows: dict[str, FuseWindow],
    ampacities: dict[str, Ampacity],
    flow: Flow,
    faults: Faults,
    least: LeastFaults,
    network: Network,
    guards: dict[str, Feeds],
    demands: dict[str, FuseDemand],
    family: RuleFamily,
    rounds: int,
) -> Design:
    circuit = with_thresholds(circuit)
    choices = {c.key: PINNED if c.pinned else ladder.choice(c.circuit) for c in circuit.conductors}
    choices |= {key: p.choice for key, p in picked.items()}
    wanted = {d.key: flow.demands[d.key].current_a for d in circuit.devices}
    lasting = [(key, s) for key, s in flow.solutions.items() if not is_cranking(key)]
    wanted |= {b.key: bus_current(b, circuit, lasting)[0] for b in circuit.buses}
    lost: dict[str, Drop] = drops(circuit, flow, family)
    open_items = tuple(key for key, p in picked.items() if p.part_id is None)
    return Design(
        circuit, choices, ampacities, windows, wanted, lost, open_items, flow, faults, least, network, guards, demands,
        rounds,
    )  # fmt: skip
