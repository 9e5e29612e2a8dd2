"""What the first current at joining asks of relays and of the fuses in its way."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from proposal.circuit.laid import ampacity_of
from proposal.circuit.model import Circuit, Conductor, SeriesDevice
from proposal.codes.family import RuleFamily, highest_system_v
from proposal.design.fuses import needed_interrupt_a
from proposal.parts.catalogue import Catalogue
from proposal.studies.faults.result import Faults
from proposal.studies.joins.result import Join
from proposal.units import ConductorSize

MAIN_LEAD_MM2 = 70.0
"""Up to this a conductor grows so that its fuse bears a joining current; beyond it a rule for joining costs less than
copper. Common practice, no source."""


def joining_currents(
    circuit: Circuit, joins: Iterable[Join], faults: Faults, catalogue: Catalogue, family: RuleFamily
) -> dict[str, float]:
    """Largest joining current [A] that each relay must make, and the rating that each fuse must have for it, by key.

    Where no fuse for sale could, or none that its conductor may have without growing beyond a usual main lead, it is
    left out: thicker copper brings a higher current, and the check of joining says what mends it for less.
    """
    wanted: dict[str, float] = {}
    devices = circuit.device
    for join in joins:
        for key in join.share.keys() & devices.keys():
            holds = join.fuse_holds if devices[key].kind == "fuse" else 1.0
            wanted[key] = max(wanted.get(key, 0.0), join.through_a(key) / holds)
    return {
        key: amps
        for key, amps in wanted.items()
        if amps > 0.0 and _can_be_met(circuit, devices[key], amps, faults, catalogue, family)
    }


def borne_joins(joins: Iterable[Join], joining: Mapping[str, float]) -> tuple[Join, ...]:
    """The joins with the shares of those items alone of which their currents are asked."""
    return tuple(replace(join, shares=tuple(pair for pair in join.shares if pair[0] in joining)) for join in joins)


def _can_be_met(
    circuit: Circuit, device: SeriesDevice, amps: float, faults: Faults, catalogue: Catalogue, family: RuleFamily
) -> bool:
    if device.kind != "fuse":
        return True
    conductors = [circuit.conductor[key] for key in device.guards]
    sizes = [_largest_size(c, family) for c in conductors]
    carries_a = min(ampacity_of(c, size, circuit, family).ampacity_a for c, size in zip(conductors, sizes, strict=True))
    largest_a = family.fuse_window(0.0, carries_a, circuit.system_v).largest_a
    high_v, needed_a = highest_system_v(circuit.system_v).value, needed_interrupt_a(device, circuit, faults, family)
    return any(
        amps <= part.rating_a <= largest_a and part.voltage_max_v >= high_v and part.interrupt_a >= needed_a
        for _, part in catalogue.fuses()
    )


def _largest_size(conductor: Conductor, family: RuleFamily) -> ConductorSize:
    """To which a conductor may grow for a joining current: a usual main lead, or what other demands made it already."""
    now = conductor.size or family.sizes[0]
    usual = max((s for s in family.sizes if s.area_mm2 <= MAIN_LEAD_MM2), key=lambda s: s.area_mm2, default=now)
    return now if conductor.pinned or now.area_mm2 >= usual.area_mm2 else usual
