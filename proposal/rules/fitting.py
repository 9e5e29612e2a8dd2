"""Place and fitting: what can ignite vapour, what holds a battery, what sits on a stud, what holds a conductor."""

from collections import Counter
from collections.abc import Iterator, Mapping

from proposal.circuit.model import Bank, Bus
from proposal.codes.family import Sourced
from proposal.codes.fitting import certain_limit
from proposal.facts import Values
from proposal.rules.finding import PRACTICE, Evidence, Examined, Objection, above, fires, undecided
from proposal.sources import Citation
from proposal.spec.options import Bank as BankSpec
from proposal.spec.vessel import Place

GUARDED = Citation("cfr183", "183.420: ungrounded terminals are guarded against shorting", "corroborated")
BILGE = Citation("iso10133", "5.1-5.7: a dry place for batteries", "corroborated")


def not_ignition_protected(evidence: Evidence) -> Examined:
    """43. An electrical part that may ignite petrol vapour or gas where it can collect.

    Places: those that the spec names so, and the engine space of a petrol boat. Parts: loads, sources, the starter, and
    what stands beside a bank, each by what is declared of it; what nobody states is undecided once for each place.
    """
    objections, count = [], 0
    for key, place in evidence.spec.spec.climate.places.items():
        if not _holds_vapour(evidence, place):
            continue
        found = list(_parts_in(evidence, key))
        count += len(found)
        objections += [fires(item, place=place.title) for item, protected in found if protected is False]
        unknown = [item for item, protected in found if protected is None]
        if unknown:
            facts: Values = {"place": place.title, "item_count": len(unknown), "first_item": unknown[0]}
            objections.append(undecided(f"climate.places.{key}", "ignition_protection", **facts))
    return Examined(count, tuple(objections))


def _holds_vapour(evidence: Evidence, place: Place) -> bool:
    vessel = evidence.spec.spec.vessel
    return place.fuel_vapour or (vessel.kind == "boat" and vessel.fuel == "petrol" and place.engine_space)


def _parts_in(evidence: Evidence, place: str) -> Iterator[tuple[str, bool | None]]:
    """Items that stand in a place, and whether they are ignition-protected. Bars, shunts, batteries do not spark."""
    spec, circuit = evidence.spec.spec, evidence.circuit
    parts = evidence.catalogue.parts
    stands = {bank.key: bank.place for bank in circuit.banks}
    stands |= {c.circuit: c.place for c in circuit.conductors if c.purpose == "link"}
    if circuit.starter is not None:
        stands[circuit.starter.key] = evidence.bank[circuit.starter.bus].place
    for device in evidence.devices("fuse", "switch", "contactor", "vsr"):
        at_a_bus = device.kind == "fuse" and not device.at_battery
        if stands.get(device.circuit) == place and not at_a_bus:
            yield device.key, _protected(device.part)
    for converter in circuit.converters:
        if stands.get(converter.key) == place:
            yield converter.key, _protected(parts[converter.part_id])
    for name, load in spec.loads.items():
        if (load.place or spec.routes[load.route].place) == place:
            yield f"loads.{name}", _protected(load, parts.get(load.inverter or ""))
    for source in circuit.sources:
        written = evidence.spec.source(source.key)
        if spec.routes[written.route].place == place:
            yield source.key, _protected(written, parts.get(source.part_id or ""))
    if spec.engine is not None and circuit.starter is not None and spec.routes[spec.engine.route].place == place:
        yield circuit.starter.key, _protected(spec.engine)


def _protected(*declared: object) -> bool | None:
    """The first of these that states it."""
    told = (getattr(each, "ignition_protected", None) for each in declared)
    return next((stated for stated in told if stated is not None), None)


def battery_loose(evidence: Evidence) -> Examined:
    """44. A battery that can move, that stands beside metal fuel parts, or where bilge water reaches it.

    Movement on boats and in vehicles, fuel parts and bilge on boats. Limits: `codes.fitting`. What nobody measured is
    undecided once for each bank.
    """
    if evidence.spec.spec.vessel.kind == "cabin":
        return Examined(0)
    objections: list[Objection] = []
    for bank in evidence.circuit.banks:
        objections += _loose(evidence, bank, evidence.spec.bank(bank.key))
    return Examined(len(evidence.circuit.banks), tuple(objections))


def _loose(evidence: Evidence, bank: Bank, spec: BankSpec) -> Iterator[Objection]:
    vessel = evidence.spec.spec.vessel
    boat = vessel.kind == "boat"
    fuelled = boat and vessel.fuel != "none"
    moves = certain_limit(evidence.family.id, "battery_moves_m")
    near = certain_limit(evidence.family.id, "fuel_part_m")
    mass_kg = sum(battery.series_count * battery.part.mass_kg for battery in evidence.strings(bank))
    if spec.moves_m is not None and above(spec.moves_m, moves.value):
        facts: Values = {"moved_m": spec.moves_m, "limit_m": moves.value, "mass_kg": mass_kg or None}
        yield fires(bank.key, moves.citation, cause="moves", **facts)
    if fuelled and spec.fuel_part_within_m is not None and above(near.value, spec.fuel_part_within_m):
        yield fires(bank.key, near.citation, cause="fuel", distance_m=spec.fuel_part_within_m, limit_m=near.value)
    if boat and spec.above_bilge is False:
        yield fires(bank.key, BILGE, cause="bilge")
    beside = (fuelled and spec.fuel_part_within_m is None) or (boat and spec.above_bilge is None)
    if beside or spec.moves_m is None:
        wanted = "battery_place" if beside else "battery_movement"
        yield undecided(bank.key, wanted, moves.citation, cause="moves", limit_m=moves.value)


def terminals_crowded(evidence: Evidence) -> Examined:
    """45. More lugs than a stud or bar may hold, bare positive posts, conductors with nothing to hold them.

    Lugs on a post or pin: conductors that end there, over the posts and pins to share them. On a bar: what lands on it
    against the connections it has room for. Covers undecided once for each bank, clips once for the option; in a
    cabin's walls clips are not asked for.
    """
    nodes = Counter(node for c in evidence.circuit.conductors for node in (c.from_node, c.to_node))
    objections = [*_on_pins(evidence, nodes), *_on_bars(evidence)]
    for bank in evidence.circuit.banks:
        covered = evidence.spec.bank(bank.key).terminals_covered
        if covered is False:
            objections.append(fires(bank.key, GUARDED, cause="bare"))
        elif covered is None:
            objections.append(undecided(bank.key, "terminal_covers", GUARDED, cause="bare"))
    routes = {} if evidence.spec.spec.vessel.kind == "cabin" else _long_routes(evidence)
    objections += _unsupported(evidence, routes)
    return Examined(len(nodes) + len(evidence.circuit.banks) + len(routes), tuple(objections))


def _on_pins(evidence: Evidence, lugs: Counter[str]) -> Iterator[Objection]:
    """One objection for each node, at the item whose pin it is."""
    circuit = evidence.circuit
    limit = certain_limit(evidence.family.id, "lugs_per_stud")
    barred = {node for bus in circuit.buses for node in (bus.positive, bus.negative)}
    owners: dict[str, list[str]] = {}
    pairs = [(b.key, b.positive, b.negative) for b in circuit.batteries]
    pairs += [(x.key, x.positive, x.negative) for x in circuit.loads]
    pairs += [(x.key, x.positive, x.negative) for x in circuit.sources]
    if circuit.starter is not None:
        pairs.append((circuit.starter.key, circuit.starter.positive, circuit.starter.negative))
    pairs += [(d.key, d.from_node, d.to_node) for d in circuit.devices]
    for key, *both in pairs:
        for node in both:
            owners.setdefault(node, []).append(key)
    for node, count in lugs.items():
        pins = owners.get(node, [])
        if node not in barred and above(count, limit.value * max(1, len(pins))):
            item = pins[0] if pins else next(c.key for c in circuit.conductors if node in (c.from_node, c.to_node))
            facts: Values = {"lug_count": count, "pin_count": max(1, len(pins)), "limit_count": round(limit.value)}
            yield fires(item, limit.citation, cause="stud", **facts)


def _on_bars(evidence: Evidence) -> Iterator[Objection]:
    for bus in evidence.circuit.buses:
        if bus.part is None:
            continue
        landed = max(_landed(evidence, node) for node in _bars(bus))
        if above(landed, bus.part.studs):
            bars = -(-landed // bus.part.studs)
            yield fires(bus.key, PRACTICE, cause="bar", landed_count=landed, room_count=bus.part.studs, bar_count=bars)


def _bars(bus: Bus) -> tuple[str, ...]:
    """Nodes that are bars of this bus: the studs ahead of a switch share the negative bar of the bus behind it."""
    return (bus.positive,) if bus.kind == "unswitched" else (bus.positive, bus.negative)


def _landed(evidence: Evidence, node: str) -> int:
    return sum(1 for branch in evidence.circuit.branches if node in (branch.from_node, branch.to_node))


def _long_routes(evidence: Evidence) -> dict[str, Sourced]:
    """Routes of this option longer than a conductor may run with nothing to hold it, each with that length [m]."""
    spec, option = evidence.spec.spec, evidence.spec.option
    users = (
        *spec.panels.values(), *spec.loads.values(), *spec.sources.values(),
        *(x for x in (spec.engine, option.vsr, option.dc_dc) if x is not None),
        *(option.composition.links.values() if option.composition is not None else ()),
    )  # fmt: skip
    gap = certain_limit(evidence.family.id, "support_gap_m")
    lead_gap = certain_limit(evidence.family.id, "battery_lead_gap_m")
    limits = {user.route: gap for user in users} | {bank.route: lead_gap for bank in option.banks.values()}
    return {
        name: limits[name]
        for name, route in spec.routes.items()
        if name in limits and above(route.length_m, limits[name].value)
    }


def _unsupported(evidence: Evidence, routes: Mapping[str, Sourced]) -> Iterator[Objection]:
    unknown = []
    for name, limit in routes.items():
        route = evidence.spec.spec.routes[name]
        if route.supported_every_m is None:
            unknown.append(limit)
        elif above(route.supported_every_m, limit.value):
            facts: Values = {"gap_m": route.supported_every_m, "limit_m": limit.value}
            clips = int(-(-route.length_m // limit.value))
            yield fires(f"routes.{name}", limit.citation, cause="hanging", **facts, clip_count=clips)
    if unknown:
        least = min(unknown, key=lambda limit: limit.value)
        facts = {"route_count": len(unknown), "limit_m": least.value}
        yield undecided("routes", "supports", least.citation, cause="hanging", **facts)
