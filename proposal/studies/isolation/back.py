"""Steps from finished work to a live system: hold points, batteries on, first join, first start."""

from collections.abc import Iterator, Mapping

from proposal.circuit.model import Bank, SeriesDevice
from proposal.facts import Values
from proposal.studies.flow.result import Flow
from proposal.studies.isolation.equations import precharge_a, precharge_s
from proposal.studies.isolation.out import STOPPED
from proposal.studies.isolation.result import Step
from proposal.studies.isolation.survey import Yard

EVEN_V_AT_12V = 0.1
"""Strings of one bank this near are joined without a rush of current. Common practice, no source."""
RESISTOR_OHM_AT_12V = 10.0
"""Lets a little more than an ampere flow into empty capacitors. Common practice, no source."""
FULL_SHARE = 0.95
"""Of the battery's voltage: from there a switch closes on capacitors without a spark. Common practice, no source."""


def hold(yard: Yard) -> Iterator[Step]:
    """Points at which work stops until somebody has looked."""
    hidden = tuple(c.key for c in yard.circuit.conductors if c.sheathed or c.bundled_count > 2)
    if hidden:
        yield Step("hold", "hold_hidden", (), {"conductors_count": len(hidden)})
    yield Step("hold", "hold_lugs", (), {"lugs_count": 2 * len(yard.circuit.conductors)})
    fuses = sum(1 for d in yard.circuit.devices if d.kind == "fuse")
    yield Step("hold", "hold_fuses", (), {"fuses_count": fuses})
    yield Step("hold", "hold_insulation", tuple(b.key for b in yard.buses if b.kind in ("main", "start")), {})
    parting = tuple(d.key for d in (*yard.switches, *yard.contactors))
    yield Step("hold", "switches_open", (*parting, *yard.emergency), {})


def reconnect(yard: Yard) -> Iterator[Step]:
    """Banks in reverse order: positive first, negative last; strings even before they meet."""
    for bank in reversed(yard.banks):
        yield Step("reconnect", "polarity", (bank.key,), {"rest_v": yard.rest_v(bank)})
        if len(bank.strings) > 1:
            even_v = EVEN_V_AT_12V * yard.circuit.system_v / 12.0
            yield Step("reconnect", "strings_even", (bank.key,), {"difference_v": even_v})
        yield Step("reconnect", "positive_on", (bank.key, *reversed(yard.posts(bank, "positive"))), {})
        if yard.circuit.battery[bank.strings[0]].series_count > 1:
            yield Step("reconnect", "series_on", (bank.key,), {"rest_v": yard.rest_v(bank)})
        yield Step("reconnect", "negative_on", (bank.key, *reversed(yard.posts(bank, "negative"))), {})
        if bank.key == yard.reserve:
            yield Step("reconnect", "alive_again", tuple(x.key for x in yard.alive), {})


def join(yard: Yard, allowed_v: Mapping[str, float]) -> Iterator[Step]:
    """Each bus gets its first bank gently; then the sides are joined, with little between them."""
    charged: set[str] = set()
    order = sorted(yard.circuit.banks, key=lambda b: (b.through is not None, b.key != yard.reserve))
    for bank in order:
        if bank.through is None and bank.bus not in charged:
            yield from _precharge(yard, bank)
            charged.add(bank.bus)
        for switch in (d for d in yard.switches if d.circuit == bank.key):
            yield Step("join", "close_switch", (switch.key,), {"rest_v": yard.rest_v(bank)})
        if bank.through is not None:
            contactor = yard.circuit.device[bank.through]
            if bank.bus not in charged:
                yield from _precharge(yard, bank)
                charged.add(bank.bus)
            yield _first(contactor, allowed_v)
    for device in (*(d for d in yard.switches if d.circuit.startswith("links.")), *yard.relays):
        yield _first(device, allowed_v)
    for contactor in yard.contactors:
        if contactor.circuit.startswith("links."):
            yield _first(contactor, allowed_v)


def _first(device: SeriesDevice, allowed_v: Mapping[str, float]) -> Step:
    """The first closing of whatever joins two sides."""
    most_v = allowed_v.get(device.key)
    set_v = dict(device.settings).get("joins_below_v")
    known = [v for v in (most_v, set_v) if v is not None]
    values: Values = {"difference_v": min(known)} if known else {}
    return Step("join", "first_join" if known else "first_join_unknown", (device.key,), values)


def _precharge(yard: Yard, bank: Bank) -> Iterator[Step]:
    """A resistor across the switch for inverters that do not do it themselves."""
    for load in yard.inverters:
        part = yard.catalogue.inverter(str(load.inverter_id))
        stated = yard.spec.load(load.key)
        if part.precharges or stated.precharge or not _serves(yard, bank, load.bus):
            continue
        ohm = RESISTOR_OHM_AT_12V * yard.circuit.system_v / 12.0
        values: Values = {
            "resistor_ohms": ohm, "current_a": precharge_a(yard.rest_v(bank), ohm),
            "until_v": FULL_SHARE * yard.rest_v(bank),
            "time_s": precharge_s(ohm, part.capacitance_f) if part.capacitance_f is not None else None,
        }  # fmt: skip
        yield Step("join", "precharge", (load.key,), values)


def _serves(yard: Yard, bank: Bank, bus: str) -> bool:
    """Whether a load's bus is the bank's, or a panel fed from it."""
    if bus == bank.bus:
        return True
    feeders = [d for d in yard.circuit.devices if d.circuit == bus and d.kind == "fuse"]
    return any(d.from_node == yard.circuit.bus[bank.bus].positive for d in feeders)


def start(yard: Yard, flow: Flow) -> Iterator[Step]:
    """The engine's switch, loads, then sources, the sun last: a controller wants its battery before its array."""
    engine = [d.key for d in yard.switches if d.circuit == "engine"]
    if engine:
        yield Step("start", "close_switch_engine", tuple(engine), {})
    yield Step("start", "loads_on", (), {})
    for kind in STOPPED[1:]:
        for source in (s for s in yard.circuit.sources if s.kind == kind):
            yield Step("start", f"start_{kind}", (source.key,), {"charge_v": source.charge_v})
    starter = yard.circuit.starter
    if starter is not None and "cranking" in flow.solutions:
        volts = flow.solutions["cranking"].port_v.get(starter.key)
        alternators = tuple(s.key for s in yard.circuit.sources if s.kind == "alternator")
        yield Step("start", "first_start", (starter.key, *alternators), {"starter_v": volts})
    if yard.alive:
        yield Step("start", "alive_test", tuple(x.key for x in yard.alive), {})
