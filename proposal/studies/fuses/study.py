"""All that is asked of every fuse of a circuit, brought together from the other studies' results."""

from collections.abc import Iterable, Mapping

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.codes.family import FuseWindow, RuleFamily, highest_system_v
from proposal.parts.insulation import withstand
from proposal.studies.faults.result import LeastFaults
from proposal.studies.flow.result import Flow
from proposal.studies.fuses.passing import by_fuse, must_pass
from proposal.studies.fuses.result import FuseDemand, Guarded, Trip
from proposal.studies.fuses.through import Through, through_fuses
from proposal.studies.joins.result import Join
from proposal.studies.network.result import Network
from proposal.studies.protection.result import UNGUARDED, Feed, Feeds


def fuse_demands(
    circuit: Circuit,
    family: RuleFamily,
    flow: Flow,
    fault_network: Network,
    least: LeastFaults,
    guards: Mapping[str, Feeds],
    inner: Mapping[str, tuple[Feed, ...]],
    windows: Mapping[str, FuseWindow],
    needed_a: Mapping[str, float],
    ampacity_a: Mapping[str, float],
    joins: Iterable[Join] = (),
) -> dict[str, FuseDemand]:
    """What is asked of each fuse, by its key.

    Parameters: flow and faults of this circuit; `guards` what feeds each conductor, `inner` what feeds each fuse from
    its own side; by fuse its window and what it must break [A]; by conductor its ampacity [A]; `joins`, the
    currents at joining.
    """
    points = must_pass(circuit, family, flow, joins)
    through = through_fuses(circuit, fault_network, inner)
    outer = through.downstream()
    high_v = highest_system_v(circuit.system_v).value
    bare = {key for key, feed in guards.items() if any(f.kind == "battery" for end in feed.ends for f in end)}
    found = {}
    for device in circuit.devices:
        if device.kind == "fuse":
            found[device.key] = FuseDemand(
                device.key,
                high_v,
                needed_a[device.key],
                through.fault_a.get(device.key, 0.0),
                windows[device.key],
                by_fuse(points, device.key, flow.demands[device.key].current_a),
                _guarded(circuit, device, least, bare, ampacity_a),
                through.upstream.get(device.key, ()),
                outer.get(device.key, ()),
                _trips(circuit, device, through),
            )
    return found


def _guarded(
    circuit: Circuit, device: SeriesDevice, least: LeastFaults, bare: set[str], ampacity_a: Mapping[str, float]
) -> tuple[Guarded, ...]:
    """Conductors whose far-end fault this fuse must open; those fed straight by a battery are judged by distance."""
    found = []
    for fault in least.of_fuse(device.key):
        conductor = circuit.conductor[fault.conductor]
        own = fault.conductor in device.guards
        if conductor.size is None or (not own and (conductor.purpose in UNGUARDED or conductor.key in bare)):
            continue
        stands = withstand(conductor.insulation_c, conductor.compound, conductor.size.area_mm2)
        found.append(
            Guarded(
                conductor.key, stands, conductor.insulation_c, conductor.size.area_mm2,
                ampacity_a.get(conductor.key, 0.0), fault.current_a, fault.through_fuse_a, fault.bank,
            )
        )  # fmt: skip
    return tuple(found)


def _trips(circuit: Circuit, device: SeriesDevice, through: Through) -> tuple[Trip, ...]:
    """The cut-off that comes first, where everything that feeds a fault behind a branch fuse can cut itself off."""
    fed = through.strings.get(device.key, ())
    strings = [(circuit.battery[key], share) for key, share in fed]
    if device.at_battery or not strings or any(not battery.cut_off for battery, _ in strings):
        return ()
    first: dict[str, Trip] = {}
    for battery, share in strings:
        trip_a, trip_s = battery.part.trip_a, battery.part.trip_s
        first_a = trip_a / share if trip_a is not None and trip_s is not None else None
        known = first.get(battery.bank)
        if known is None or first_a is None or (known.first_a is not None and first_a < known.first_a):
            first[battery.bank] = Trip(battery.bank, first_a, trip_s)
    return tuple(first.values())
