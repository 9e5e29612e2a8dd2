"""Parts and sizes that are given: applied before anything is chosen, judged later, never chosen anew."""

import difflib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from proposal.circuit.misfit import MisfitError
from proposal.circuit.model import Circuit
from proposal.parts.catalogue import Catalogue, PartError
from proposal.spec.overlay import Pin
from proposal.spec.pricebook import CablePart
from proposal.units import ConductorSize, UnitError, parse_size

PART_KINDS = {
    "fuse": ("fuse",), "switch": ("switch",), "contactor": ("contactor",), "vsr": ("vsr",), "shunt": ("shunt",),
}  # fmt: skip


def apply_pins(circuit: Circuit, pins: Mapping[str, Pin], catalogue: Catalogue) -> Circuit:
    """The circuit with every pinned item fitted.

    A pin's item is the key of a conductor, device or bus, or of a circuit (loads.fridge) for both its conductors.
    A conductor is pinned by its size, or by a cable of the price book, which has the area of its own standard.
    Parts that the spec names in a section of their own (a contactor, a relay) are pins as well.
    Raises MisfitError for a pin that names no item, no part, or a part of another kind.
    """
    complaints = []
    sizes: dict[str, tuple[ConductorSize, str | None, str | None]] = {}
    parts: dict[str, tuple[str, Any]] = {
        d.key: (d.part_id, catalogue.get(d.part_id)) for d in circuit.devices if d.part_id is not None
    }
    keys = [*circuit.conductor, *circuit.device, *circuit.bus]
    circuits = {c.circuit for c in circuit.conductors}
    for pin in pins.values():
        if pin.item in circuit.conductor or (pin.item in circuits and pin.item not in circuit.bus):
            cable = catalogue.parts.get(pin.fitted)
            if isinstance(cable, CablePart):
                sizes[pin.item] = (cable.conductor, pin.fitted, cable.compound)
                continue
            try:
                size = parse_size(pin.fitted)
            except UnitError as error:
                complaints.append(
                    (pin.loc, f"{pin.item} is a conductor, and “{pin.fitted}” {error.what}", error.allowed)
                )
                continue
            sizes[pin.item] = (size, None, None)
        elif pin.item in circuit.device or pin.item in circuit.bus:
            kinds = PART_KINDS[circuit.device[pin.item].kind] if pin.item in circuit.device else ("bus",)
            try:
                part = catalogue.get(pin.fitted)
            except PartError as error:
                complaints.append((pin.loc, f"the part for {pin.item} {error.what}", error.allowed))
                continue
            if part.kind not in kinds:
                complaints.append((pin.loc, f"“{pin.fitted}” is a {part.kind}", f"a part of kind {' or '.join(kinds)}"))
                continue
            parts[pin.item] = (pin.fitted, part)
        else:
            near = difflib.get_close_matches(pin.item, [*keys, *circuits], n=3)
            complaints.append((pin.loc, f"no item “{pin.item}” in this option", " or ".join(near) or "an item's key"))
    if complaints:
        raise MisfitError(tuple(complaints))
    conductors = tuple(
        replace(c, size=found[0], part_id=found[1], compound=found[2], pinned=True)
        if (found := sizes.get(c.key) or sizes.get(c.circuit)) is not None
        else c
        for c in circuit.conductors
    )
    devices = tuple(
        replace(d, part_id=parts[d.key][0], part=parts[d.key][1], pinned=True) if d.key in parts else d
        for d in circuit.devices
    )
    buses = tuple(
        replace(b, part_id=parts[b.key][0], part=parts[b.key][1], pinned=True) if b.key in parts else b
        for b in circuit.buses
    )
    return circuit.with_parts(conductors=conductors, devices=devices, buses=buses)
