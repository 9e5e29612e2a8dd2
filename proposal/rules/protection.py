"""Conductors: is every positive one protected near its source, at both ends of a link, and by a fuse it can bear."""

from proposal.circuit.model import Conductor, SeriesDevice
from proposal.rules.finding import Evidence, Examined, Objection, above, fires
from proposal.rules.paths import enclosed_way, reach
from proposal.spec.pricebook import FusePart
from proposal.studies.protection.result import UNGUARDED, Feed


def positive_unfused(evidence: Evidence) -> Examined:
    """1. A positive conductor runs further from its source without a fuse than the family allows.

    Distance = way to the source + own length [m], since a fault can be at the far end. Strings of one bank are one
    source, the nearest counts. Conductors that only crank are exempt where the family says so, which a shared bank's
    main never is; those from a charge source need no fuse where they carry all it can give. Limit: `fuse_distance_m`.
    """
    objections, count = [], 0
    cranking_exempt = evidence.family.cranking_exempt().exempt
    for conductor in evidence.circuit.conductors:
        if conductor.pole != "positive" or (conductor.purpose == "starter" and cranking_exempt):
            continue
        count += 1
        for feed in _nearest(evidence, conductor):
            found = _too_far(evidence, conductor, feed)
            if found is not None:
                objections.append(found)
    return Examined(count, tuple(objections))


def _nearest(evidence: Evidence, conductor: Conductor) -> list[Feed]:
    """Unfused feeds of a conductor, of the strings of a bank the nearest."""
    nearest: dict[str, Feed] = {}
    for end in evidence.design.feeds[conductor.key].ends:
        for feed in end:
            if feed.kind == "fuse":
                continue
            source = evidence.circuit.battery[feed.key].bank if feed.kind == "battery" else feed.key
            if source not in nearest or feed.distance_m < nearest[source].distance_m:
                nearest[source] = feed
    return list(nearest.values())


def _too_far(evidence: Evidence, conductor: Conductor, feed: Feed) -> Objection | None:
    family, circuit = evidence.family, evidence.circuit
    at_battery = feed.kind == "battery"
    if not at_battery and not above(feed.limited_a or 0.0, evidence.ampacity_a(conductor.key)):
        return None
    battery = circuit.battery.get(feed.key)
    sheathed = conductor.sheathed
    if battery is not None:
        sheathed = enclosed_way(evidence.positive, battery.positive, conductor)
    limit = family.fuse_distance_m(at_battery, sheathed)
    distance_m = feed.distance_m + conductor.length_m
    if not above(distance_m, limit.value):
        return None
    return fires(
        conductor.key,
        limit.over(distance_m),
        source=battery.bank if battery is not None else feed.key,
        distance_m=distance_m,
        limit_m=limit.value,
        excess_m=distance_m - limit.value,
        enclosed=sheathed,
        enclosed_limit_m=family.fuse_distance_m(at_battery, True).value,
        source_a=feed.limited_a,
        size=evidence.size_with_ampacity(conductor, feed.limited_a) if feed.limited_a is not None else None,
    )


def link_fused_one_end(evidence: Evidence) -> Examined:
    """2. A link between two sources without a fuse at an end behind which a battery lies. Common practice, no source.

    A fuse counts at an end when it guards the link, or stands within the family's distance of it and is no larger than
    the link may have.
    """
    objections, count = [], 0
    for conductor in evidence.circuit.conductors:
        if conductor.purpose != "link" or conductor.pole != "positive":
            continue
        count += 1
        feeds = evidence.design.feeds[conductor.key]
        for end, node, feed in (("from", conductor.from_node, feeds.from_end), ("to", conductor.to_node, feeds.to_end)):
            bare = [f for f in feed if f.limited_a is None and not _fused_here(evidence, conductor, f)]
            if bare:
                window = evidence.family.fuse_window(
                    evidence.design.flow.demands[conductor.key].current_a,
                    evidence.ampacity_a(conductor.key),
                    evidence.circuit.system_v,
                )
                objections.append(
                    fires(
                        conductor.key,
                        end=end,
                        node=node,
                        bus=_bus_at(evidence, node),
                        fed_by=bare[0].key,
                        smallest_a=window.smallest_a,
                        largest_a=window.largest_a,
                        fault_a=evidence.design.faults.at(node),
                    )
                )
    return Examined(count, tuple(objections))


def _bus_at(evidence: Evidence, node: str) -> str | None:
    """The bus at a conductor's end, beyond its relay or switch."""
    here = reach(evidence.positive, node, lambda branch: isinstance(branch, SeriesDevice))
    return next((bus.key for bus in evidence.circuit.buses if bus.positive in here), None)


def _fused_here(evidence: Evidence, conductor: Conductor, feed: Feed) -> bool:
    if feed.kind != "fuse":
        return False
    fuse = evidence.circuit.device[feed.key]
    if conductor.key in fuse.guards:
        return True
    near = not above(feed.distance_m, evidence.family.fuse_distance_m(False, conductor.sheathed).value)
    return near and fuse.part is not None and not above(_rating_a(fuse), evidence.largest_fuse_a(conductor.key))


def _rating_a(fuse: SeriesDevice) -> float:
    return fuse.part.rating_a if isinstance(fuse.part, FusePart) else 0.0


def conductor_overloaded(evidence: Evidence) -> Examined:
    """3. Current, own fuse, or the fuses that feed one end together, above what the conductor may have by the family.

    Lasting currents only, cranking apart. A fuse behind which only charge sources lie counts with what they give.
    A fuse that was not found is reported by `breaking_capacity_low` and counts as nothing here.
    """
    objections: list[Objection] = []
    for conductor in evidence.circuit.conductors:
        demand = evidence.design.flow.demands[conductor.key]
        found = evidence.design.ampacities[conductor.key]
        if above(demand.current_a, found.ampacity_a):
            objections.append(
                fires(
                    conductor.key,
                    found.over(demand.current_a),
                    cause="current",
                    current_a=demand.current_a,
                    limit_a=found.ampacity_a,
                    case=demand.case,
                    size=evidence.size_with_ampacity(conductor, demand.current_a),
                )
            )
        if conductor.pole == "positive" and conductor.purpose not in UNGUARDED:
            objections += _fuses_together(evidence, conductor)
    fuses = tuple(evidence.devices("fuse"))
    for fuse in fuses:
        objections += _own_fuse(evidence, fuse)
    return Examined(len(evidence.circuit.conductors) + len(fuses), tuple(objections))


def _own_fuse(evidence: Evidence, fuse: SeriesDevice) -> list[Objection]:
    window = evidence.design.windows[fuse.key]
    if not above(_rating_a(fuse), window.largest_a):
        return []
    weakest = min((evidence.circuit.conductor[key] for key in fuse.guards), key=lambda c: evidence.ampacity_a(c.key))
    return [
        fires(
            fuse.key,
            window.over(_rating_a(fuse), evidence.design.ampacities[weakest.key]),
            cause="own_fuse",
            conductor=weakest.key,
            current_a=_rating_a(fuse),
            limit_a=window.largest_a,
            size=evidence.size_with_fuse(weakest, _rating_a(fuse)),
        )
    ]


def _fuses_together(evidence: Evidence, conductor: Conductor) -> list[Objection]:
    largest_a = evidence.largest_fuse_a(conductor.key)
    found = []
    for end, feeds in zip(("from", "to"), evidence.design.feeds[conductor.key].ends, strict=True):
        fuses = [f for f in feeds if f.kind == "fuse"]
        if all(conductor.key in evidence.circuit.device[f.key].guards for f in fuses):
            continue
        through_a = sum(
            _rating_a(evidence.circuit.device[f.key]) if f.limited_a is None else f.limited_a for f in fuses
        )
        if above(through_a, largest_a):
            found.append(
                fires(
                    conductor.key,
                    evidence.family.fuse_window(0.0, 1.0, evidence.circuit.system_v).over(
                        through_a, evidence.design.ampacities[conductor.key]
                    ),
                    cause="fuses_together",
                    end=end,
                    fuse_count=len(fuses),
                    current_a=through_a,
                    limit_a=largest_a,
                    size=evidence.size_with_fuse(conductor, through_a),
                )
            )
    return found
