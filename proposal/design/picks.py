"""What each item asks of its part in a round, and the part for it; all parts put into the circuit."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from proposal.circuit.laid import ampacity_of
from proposal.circuit.model import Circuit
from proposal.codes.family import Ampacity, FuseWindow, RuleFamily
from proposal.design.devices import Picked, bus_current, pick_bus, pick_series, with_part
from proposal.design.fuses import (
    Asked,
    Turned,
    alike_in_banks,
    asked_of,
    candidates,
    fuse_window,
    needed_interrupt_a,
    pick_fuse,
    turned_alike,
)
from proposal.design.result import Choice
from proposal.facts import Reason
from proposal.parts.catalogue import Catalogue
from proposal.studies.faults.result import Faults
from proposal.studies.flow.cases import is_cranking
from proposal.studies.flow.result import Flow

COOL_OVER_CURRENT = 2.0
"""Rating over lasting current at which a fuse runs cool. Common practice, no source."""
PINNED = Choice(Reason("pinned", {}))


def ampacities_of(circuit: Circuit, family: RuleFamily) -> dict[str, Ampacity]:
    """Ampacity of every conductor that has a size, those that are alike reckoned once."""
    known: dict[tuple[object, ...], Ampacity] = {}
    found = {}
    for c in circuit.conductors:
        if c.size is not None:
            same = (c.size.label, c.insulation_c, c.place, c.bundled_count)
            if same not in known:
                known[same] = ampacity_of(c, c.size, circuit, family)
            found[c.key] = known[same]
    return found


def windows_of(
    circuit: Circuit,
    flow: Flow,
    joining: Mapping[str, float],
    ampacities: Mapping[str, Ampacity],
    family: RuleFamily,
) -> dict[str, FuseWindow]:
    """Ratings allowed for every fuse, by the least ampacity that it guards."""
    return {
        d.key: fuse_window(
            d, circuit, flow, min(ampacities[key].ampacity_a for key in d.guards), family, joining.get(d.key, 0.0)
        )
        for d in circuit.devices
        if d.kind == "fuse"
    }


def asked_of_fuses(
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


def pick_parts(
    circuit: Circuit,
    flow: Flow,
    asked: Mapping[str, Asked],
    joining: Mapping[str, float],
    catalogue: Catalogue,
    turned: Mapping[str, Mapping[str, Turned]],
) -> dict[str, Picked]:
    """The part for every device and bus; those that are pinned keep theirs. `turned`: fuses that were turned down."""
    picked = {}
    for device in circuit.devices:
        if device.pinned:
            picked[device.key] = Picked(device.part_id, device.part, PINNED)
        elif device.kind == "fuse":
            picked[device.key] = pick_fuse(asked[device.key], catalogue, turned_alike(circuit, device, turned))
        else:
            make_a = joining.get(device.key, 0.0)
            picked[device.key] = pick_series(device, flow.demands[device.key], catalogue, circuit.system_v, make_a)
    lasting = [(key, s) for key, s in flow.solutions.items() if not is_cranking(key)]
    for bus in circuit.buses:
        wanted_a, case, studs = bus_current(bus, circuit, lasting)
        found = pick_bus(wanted_a, case, studs, catalogue, circuit.system_v)
        picked[bus.key] = Picked(bus.part_id, bus.part, PINNED) if bus.pinned else found
    return picked


def with_parts(circuit: Circuit, picked: Mapping[str, Picked]) -> Circuit:
    """The circuit with the parts in place."""
    devices = tuple(d if d.pinned else with_part(d, picked[d.key]) for d in circuit.devices)
    buses = tuple(
        b if b.pinned else replace(b, part_id=picked[b.key].part_id, part=picked[b.key].part) for b in circuit.buses
    )
    return circuit.with_parts(devices=devices, buses=buses)


def larger(now: Picked, before: Picked) -> Picked:
    """Of two parts between which the choice goes to and fro, since each changes what it carries, the stronger one."""
    if now.part is None or before.part is None:
        return now
    return before if _strength(before.part) > _strength(now.part) else now


def _strength(part: Any) -> tuple[float, float]:
    return part.rating_a, getattr(part, "interrupt_a", 0.0)
