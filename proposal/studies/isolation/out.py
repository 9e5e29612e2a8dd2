"""Steps from a live system to batteries that are off."""

from collections.abc import Iterator

from proposal.circuit.model import SourceKind
from proposal.spec.equipment import SolarSource
from proposal.studies.isolation.result import Step
from proposal.studies.isolation.survey import Yard

STOPPED: tuple[SourceKind, ...] = ("alternator", "shore", "generator", "wind", "solar")
"""What has a machine or a plug behind it first; the sun cannot be switched off, so its array is parted last."""
TELLS_V_AT_12V = 0.1
"""Less across an open contact cannot be told from a closed one. Common practice, no source."""


def before(yard: Yard) -> Iterator[Step]:
    """What stays alive, what stays fitted, what is new."""
    yield Step("before", "tell" if yard.circuit.starter is not None else "tell_no_engine", (), {})
    if yard.alive:
        yield Step(
            "before", "keep_alive", tuple(x.key for x in yard.alive),
            {"bank": yard.reserve, "current_a": sum(x.current_a for x in yard.alive)},
        )  # fmt: skip
    stays = tuple(s.item for s in yard.spec.spec.survey.stays)
    stays += tuple(b.bank for b in yard.circuit.batteries if b.stays)
    kept = tuple(dict.fromkeys(stays))
    if kept:
        yield Step("before", "stays", kept, {})
    new = [c for c in yard.circuit.conductors if c.key not in kept and c.circuit not in kept]
    yield Step("before", "replaced", (), {"conductors_count": len(new)})


def stop(yard: Yard) -> Iterator[Step]:
    """Everything that charges, then everything that draws."""
    for kind in STOPPED:
        for source in yard.circuit.sources:
            if source.kind != kind:
                continue
            stated = yard.spec.source(source.key)
            code, values = f"stop_{kind}", {}
            if isinstance(stated, SolarSource):
                code = "stop_solar_switch" if stated.array_switch else "stop_solar"
                values = {"open_circuit_v": stated.open_circuit_v}
            yield Step("stop", code, (source.key,), {**values})
    if yard.circuit.converters:
        yield Step("stop", "stop_converters", tuple(c.key for c in yard.circuit.converters), {})
    if yard.inverters:
        yield Step("stop", "inverters_off", tuple(x.key for x in yard.inverters), {})
    drawing = tuple(x.key for x in yard.circuit.loads if not x.always_on and x.inverter_id is None)
    if drawing:
        yield Step("stop", "loads_off", (), {"loads_count": len(drawing)})


def part(yard: Yard) -> Iterator[Step]:
    """Contactors and relays open, proven; then the switches."""
    for contactor in yard.contactors:
        yield Step("part", "open_contactor", (contactor.key,), {})
        yield _across(yard, contactor.key, contactor.from_node, contactor.to_node)
    if yard.emergency:
        yield Step("part", "emergency_open", yard.emergency, {})
    for relay in yard.relays:
        yield _across(yard, relay.key, relay.from_node, relay.to_node)
    for switch in yard.switches:
        yield Step("part", "open_switch", (switch.key,), {})


def _across(yard: Yard, key: str, one: str, other: str) -> Step:
    """Two sides that differ prove that it is open; two that are equal prove nothing."""
    apart_v = yard.across_v(yard.parted, one, other)
    if apart_v is None:
        return Step("part", "prove_side_dead", (key,), {})
    least_v = TELLS_V_AT_12V * yard.circuit.system_v / 12.0
    code = "prove_open" if abs(apart_v) >= least_v else "prove_open_offset"
    return Step("part", code, (key,), {"difference_v": abs(apart_v), "tells_v": least_v})


def prove(yard: Yard) -> Iterator[Step]:
    """A meter that is known to work, and every bus; what stays live is named."""
    first = yard.banks[0]
    yield Step("prove", "meter", (first.key,), {"rest_v": yard.rest_v(first)})
    for load in yard.inverters:
        yield Step("prove", "wait_capacitors", (load.key,), {"residual_v": 1.0})
    for bus in yard.buses:
        volts = yard.left_v(bus)
        if volts is None:
            yield Step("prove", "dead", (bus.key,), {})
        else:
            yield Step("prove", "still_live", (bus.key,), {"voltage_v": volts})
    yield Step("prove", "meter_again", (first.key,), {"rest_v": yard.rest_v(first)})


def disconnect(yard: Yard) -> Iterator[Step]:
    """Each bank's negative first, so that a slipping spanner meets nothing; the one that keeps the pump alive last."""
    for bank in yard.banks:
        if bank.key == yard.reserve:
            alive = {x.key for x in yard.alive}
            fuses = [
                d.maker_fuse_a for d in yard.circuit.devices
                if d.kind == "fuse" and d.maker_fuse_a is not None and d.circuit in alive
            ]  # fmt: skip
            facts = {"current_a": sum(x.current_a for x in yard.alive), "fuse_a": max(fuses, default=None)}
            code = "feed_pump" if yard.spec.spec.vessel.kind == "boat" else "feed_alive"
            yield Step("disconnect", code, tuple(x.key for x in yard.alive), {**facts})
        rest_v = yard.rest_v(bank)
        yield Step("disconnect", "negative_off", (bank.key, *yard.posts(bank, "negative")), {"rest_v": rest_v})
        series = yard.circuit.battery[bank.strings[0]].series_count
        if series > 1:
            yield Step("disconnect", "series_off", (bank.key,), {"one_v": rest_v / series})
        yield Step("disconnect", "positive_off", (bank.key, *yard.posts(bank, "positive")), {})
