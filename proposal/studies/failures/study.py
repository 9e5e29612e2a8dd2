"""Circuit → single failures: each thing that can fail, open or stuck, solved where others share its network."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from proposal.circuit.model import Bank, Circuit, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.studies.failures.effects import NOTHING, Change, Network
from proposal.studies.failures.result import Cause, Failure, Symptom
from proposal.studies.flow.result import Flow
from proposal.studies.network.case import Case, emergency_keys

HIDDEN = ("contactor_welded", "controller_blind")


def failures(circuit: Circuit, family: RuleFamily, cases: Mapping[str, Case], flow: Flow) -> tuple[Failure, ...]:
    """All single failures, in the order of the circuit.

    Parameters: circuit with its parts; the cases of the load flow by id, and their solutions. Things in series, of
    which each alone does the same, are one failure. What lies on the way to one end device alone needs no solving: that
    one is dead and the rest as it was, a little better off.
    """
    network = Network(circuit, family, cases, flow)
    found: list[Failure] = []
    for bank in circuit.banks:
        found += _bank(network, bank)
    for link in dict.fromkeys(b.circuit for b in circuit.branches if b.circuit.startswith("links.")):
        found += _link(network, link)
    found += _ends(network)
    return tuple(found)


def _symptom(network: Network, cause: Cause, found: Failure) -> Symptom:
    """What is noticed first, the gravest of all that follows."""
    at_home = network.at_home
    signs: tuple[tuple[bool, Symptom], ...] = (
        (cause in HIDDEN, "unseen"),
        (bool(at_home) and at_home <= set(found.dead), "all_dark"),
        (found.starter_v is None and network.starter_v("cranking") is not None, "start_lost"),
        (len(found.dead) > 1, "several_dark"),
        (len(found.dead) == 1, "one_dark"),
        (bool(found.banks_off), "battery_off"),
        (bool(found.lost or found.stranded), "charge_lost"),
        (cause == "string_out", "weak"),
    )
    return next((symptom for holds, symptom in signs if holds), "unseen")


def _told(network: Network, cause: Cause, made: Failure) -> Failure:
    return replace(made, symptom=_symptom(network, cause, made))


def _solved(
    network: Network,
    cause: Cause,
    item: str,
    items: tuple[str, ...],
    change: Change,
    *,
    banks_off: tuple[str, ...] = (),
    charging_as: Change | None = None,
    cranks: bool = False,
) -> Failure:
    """A failure by its solutions: usual loads, charging, and cranking where `cranks` says that it may matter there.

    `charging_as`: another change that leaves the same network while the sources charge, and is solved already.
    """
    usual, charging = network.solve("usual", change), network.solve("charging", charging_as or change)
    on_start = change if cranks else NOTHING
    return _told(
        network,
        cause,
        Failure(
            cause, "unseen", item, items, network.dead(usual), network.low(usual), tuple(sorted(change.silent)),
            network.stranded(usual, charging, change.silent), banks_off, network.buses(usual, charging),
            network.charging(charging), network.charged(charging), network.starter_v("cranking", on_start),
            network.starter_v("cranking_emergency", on_start),
        ),
    )  # fmt: skip


def _plain(network: Network, cause: Cause, item: str, items: tuple[str, ...], dead: tuple[str, ...] = ()) -> Failure:
    """A failure that leaves the shared network as it was."""
    return _told(
        network,
        cause,
        Failure(
            cause, "unseen", item, items, dead, starter_v=network.starter_v("cranking"),
            emergency_v=network.starter_v("cranking_emergency"),
        ),
    )  # fmt: skip


# --- banks -----------------------------------------------------------------------------------------------------------


def _bank(network: Network, bank: Bank) -> Iterator[Failure]:
    circuit = network.circuit
    own = network.on_the_way(bank.key)
    late = tuple(k for k in own if k.endswith((".switch", ".contactor")))
    early = tuple(k for k in own if k not in late)
    managed = circuit.battery[bank.strings[0]].cut_off
    leads = _controller_leads(network, bank)
    starts = circuit.starter is not None and circuit.starter.bus == bank.key
    apart = f"{bank.key}.unswitched" in circuit.bus
    together = (*early, *(() if apart else (*late, *leads)), *(bank.strings if managed and not starts else ()))
    at_fuse = Change(opened=frozenset({f"{bank.key}.fuse"}))
    without = _solved(network, "bank_off", bank.key, together, at_fuse, banks_off=(bank.key,))
    yield without
    if apart and late:
        opened = Change(opened=frozenset(late[:1]))
        off = (bank.key,)
        yield _solved(network, "switch_open", bank.key, (*late, *leads), opened, banks_off=off, charging_as=at_fuse)
    if starts:
        gone = Change(out=frozenset(bank.strings))
        alone_v, emergency_v = (network.starter_v(name, gone) for name in ("cranking", "cranking_emergency"))
        made = replace(_as(without, "battery_out", bank.strings), starter_v=alone_v, emergency_v=emergency_v)
        yield _told(network, "battery_out", made)
    if len(bank.strings) > 1:
        parts = tuple(k for s in bank.strings for k in (s, *network.on_the_way(s)))
        one = Change(out=frozenset(bank.strings[:1]))
        yield _solved(network, "string_out", bank.key, parts, one, cranks=starts)
    if bank.through is not None:
        yield _plain(network, "contactor_welded", bank.key, (bank.through,))
        blind = _sense_leads(network, bank)
        if blind:
            yield _plain(network, "controller_blind", bank.key, blind)


def _controller_leads(network: Network, bank: Bank) -> tuple[str, ...]:
    """What a held coil hangs on: supply and negative of its controller. A latching one stays as it is without them."""
    if bank.through is None or network.circuit.device[bank.through].driven_as != "held":
        return ()
    name = f"{bank.key}.controller"
    return (*network.on_the_way(f"{name}.supply"), *network.on_the_way(name))


def _sense_leads(network: Network, bank: Bank) -> tuple[str, ...]:
    """Leads without which the controller decides on nothing."""
    name = f"{bank.key}.controller"
    held = bank.through is not None and network.circuit.device[bank.through].driven_as == "held"
    supply = () if held else (*network.on_the_way(f"{name}.supply"), *network.on_the_way(name))
    return (*network.on_the_way(f"{name}.sense"), *supply)


# --- links -----------------------------------------------------------------------------------------------------------


def _link(network: Network, key: str) -> Iterator[Failure]:
    circuit = network.circuit
    own = network.on_the_way(key)
    negative = f"{key}.negative"
    emergency = tuple(k for k in own if k in emergency_keys(circuit))
    if any(c.key == key for c in circuit.converters):
        lost = Change(silent=frozenset({key}))
        yield _solved(network, "converter_lost", key, (key, *own), lost)
        return
    relay = next((d for d in circuit.devices if d.circuit == key and d.kind != "fuse" and d.key not in emergency), None)
    fuse = next((d for d in circuit.devices if d.circuit == key and d.kind == "fuse"), None)
    opens = relay or fuse
    cut = frozenset({opens.key if opens is not None else f"{key}.positive"})
    items = tuple(k for k in own if k not in (*emergency, negative))
    opened = _solved(network, "link_open", key, items, Change(opened=cut) if opens is not None else Change(broken=cut))
    yield opened
    yield _told(network, "link_negative", _as(opened, "link_negative", (negative,)))
    if relay is not None and relay.kind == "vsr":
        yield _closed(network, key, relay, emergency)


def _as(failure: Failure, cause: Cause, items: tuple[str, ...]) -> Failure:
    """The same consequences from another cause."""
    return replace(failure, cause=cause, items=items)


def _closed(network: Network, key: str, relay: SeriesDevice, emergency: tuple[str, ...]) -> Failure:
    """A relay that is stuck, or an emergency switch that is left closed: the usual loads draw on both sides."""
    closed = Change(closed=frozenset({relay.key}))
    return _solved(network, "link_closed", key, (relay.key, *emergency), closed)


# --- ends ------------------------------------------------------------------------------------------------------------


def _ends(network: Network) -> Iterator[Failure]:
    circuit = network.circuit
    for bus in circuit.buses:
        if bus.kind == "panel":
            dead = tuple(x.key for x in circuit.loads if x.bus == bus.key)
            yield _plain(network, "panel_feeder", bus.key, network.on_the_way(bus.key), dead)
    for load in circuit.loads:
        yield _plain(network, "load_circuit", load.key, network.on_the_way(load.key), (load.key,))
    for source in circuit.sources:
        silent = Change(silent=frozenset({source.key}))
        items = (source.key, *network.on_the_way(source.key))
        yield _solved(network, "source_circuit", source.key, items, silent)
    if circuit.starter is not None:
        key = circuit.starter.key
        yield Failure("starter_circuit", "start_lost", key, network.on_the_way(key))
