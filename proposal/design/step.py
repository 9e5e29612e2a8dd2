"""The design step: unsized circuit + pins → every part chosen, with reasons.

Starts at the smallest sizes, runs the static studies, and each failure raises a conductor's size, never lowers one;
devices are chosen anew each round from what they then carry. The ladder is finite, so it ends.
"""

from collections.abc import Mapping

from proposal.circuit.model import Circuit
from proposal.circuit.thresholds import with_thresholds
from proposal.codes.family import Ampacity, FuseWindow, RuleFamily
from proposal.design.conductors import Ladder, raise_to_rated, start_ladder, with_sizes
from proposal.design.devices import Picked, bus_current
from proposal.design.drops import drops
from proposal.design.fuses import Asked, needed_interrupt_a, with_all_classes
from proposal.design.joining import borne_joins, joining_currents
from proposal.design.picks import PINNED, ampacities_of, asked_of_fuses, larger, pick_parts, windows_of, with_parts
from proposal.design.pins import apply_pins
from proposal.design.protect import Protection, raise_for_protection
from proposal.design.raising import MOST_ROUNDS, raise_for_drop, raise_for_fuses, settle_sizes
from proposal.design.result import Design, Drop
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import Pin
from proposal.studies.faults.least import least_faults
from proposal.studies.faults.result import Faults, LeastFaults
from proposal.studies.faults.study import fault_currents
from proposal.studies.flow.cases import is_cranking
from proposal.studies.flow.result import Flow
from proposal.studies.flow.study import load_flow
from proposal.studies.fuses.result import FuseDemand
from proposal.studies.fuses.study import fuse_demands
from proposal.studies.joins.result import Join
from proposal.studies.joins.study import first_currents
from proposal.studies.network.result import Network
from proposal.studies.protection.result import Feed, Feeds
from proposal.studies.protection.study import feeds, feeds_of_fuses


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
        circuit, flow, rounds = settle_sizes(circuit, ladder, family, rounds, flow)
        network, faults = fault_currents(circuit, family)
        joins = first_currents(circuit, family)
        joining = joining_currents(circuit, joins, faults, catalogue, family)
        ampacities = ampacities_of(circuit, family)
        windows = windows_of(circuit, flow, joining, ampacities, family)
        before = picked
        asked = asked_of_fuses(circuit, flow, faults, windows, catalogue, family)
        picked = pick_parts(circuit, flow, asked, joining, catalogue, protection.turned)
        state = (*ladder.at.values(), *(p.part_id for p in picked.values()))
        if state in seen:
            picked = {key: larger(picked[key], before[key]) for key in picked}
        seen.add(state)
        moved = raise_for_fuses(ladder, circuit, guards, picked, ampacities, windows, family)
        settled = not moved and all(p.part_id == before[key].part_id for key, p in picked.items() if key in before)
        if (settled and before) or rounds >= MOST_ROUNDS:
            least = least_faults(circuit, family, guards)
            demands = _fuse_demands(
                circuit, family, flow, network, least, guards, inner, windows, faults, ampacities,
                borne_joins(joins, joining),
            )  # fmt: skip
            if rounds >= MOST_ROUNDS or not _protect(protection, ladder, circuit, family, demands, asked, picked):
                # solved anew, so that what is published does not depend on the way that led here
                flow = load_flow(circuit, family)
                if rounds >= MOST_ROUNDS or not raise_for_drop(ladder, circuit, flow, family):
                    break
            seen.clear()
            picked = pick_parts(circuit, flow, asked, joining, catalogue, protection.turned)
        circuit = with_parts(with_sizes(circuit, ladder), picked)
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
    if protection.turn_down(circuit, demands, asked, picked):
        return True
    raised = raise_for_protection(ladder, circuit, family, protection.catalogue, demands, asked, picked)
    protection.forget(raised)
    return bool(raised)


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
