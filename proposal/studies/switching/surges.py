"""Capacitors that are charged from nothing: inverters behind a relay, or on a bus that a lithium bank wakes alone."""

from collections.abc import Iterator

from proposal.circuit.model import Bank, Circuit, Load, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.studies.network.case import Case, emergency_keys, relay_keys
from proposal.studies.network.reach import reached
from proposal.studies.network.solve import reduce_quickly
from proposal.studies.switching.equations import above_s, precharge_ohm, precharge_s, stored_j, surge_a, time_constant_s
from proposal.studies.switching.result import Store, Surge

SHARE_DIGITS = 9
"""Equal strings share equally: rounding does not choose between them."""


def surges(circuit: Circuit, family: RuleFamily, stores: tuple[Store, ...]) -> tuple[Surge, ...]:
    """What charges each store from nothing, batteries full and strong, conductors at 20 °C.

    A relay: where the load is dead while it is open. A lithium bank: the bus dead and no other bank on it, as after
    work or after it has switched itself off; one behind a contactor whose controller is fed from that bus cannot.
    """
    found: list[Surge] = []
    for store in stores:
        load = circuit.load[store.load]
        found += _through_relays(circuit, family, store, load)
        for bank in circuit.banks:
            found += _from_bank(circuit, family, store, load, bank)
    return tuple(found)


def _through_relays(circuit: Circuit, family: RuleFamily, store: Store, load: Load) -> Iterator[Surge]:
    apart = emergency_keys(circuit)
    posts = {b.positive for b in circuit.batteries}
    for relay in circuit.devices:
        if relay.kind not in ("contactor", "vsr") or posts & reached(circuit, load.positive, apart | {relay.key}):
            continue
        if not posts & reached(circuit, load.positive, apart) or not _can_close(circuit, relay, posts, apart):
            continue
        case = Case("surge", "20", 1.0, strong=True)
        seen = reduce_quickly(circuit, case, family).seen([(load.positive, load.negative)])
        open_v, ohm = float(seen.open_v[0]), float(seen.resistance_ohm[0])
        yield _surge(store, relay.key, "relay_make", open_v, ohm, 1.0, getattr(relay.part, "make_a", None), None)


def _can_close(circuit: Circuit, relay: SeriesDevice, posts: set[str], apart: frozenset[str]) -> bool:
    """A controller that is fed from the dead side closes nothing, unless a hand does."""
    controller = next((c for c in circuit.controllers if c.contactor == relay.key), None)
    return controller is None or relay.by_hand or bool(posts & reached(circuit, controller.supply, apart | {relay.key}))


def _from_bank(circuit: Circuit, family: RuleFamily, store: Store, load: Load, bank: Bank) -> Iterator[Surge]:
    if bank.chemistry != "lithium" or not all(circuit.battery[key].cut_off for key in bank.strings):
        return
    vsr = relay_keys(circuit, "vsr")
    posts = {circuit.battery[key].positive for key in bank.strings}
    apart = emergency_keys(circuit) | vsr
    if bank.through is not None and not _can_close(circuit, circuit.device[bank.through], posts, apart):
        return
    if not posts & reached(circuit, load.positive, apart):
        return
    others = frozenset(b.key for b in circuit.batteries if b.bank != bank.key)
    case = Case("surge", "20", 1.0, open_devices=vsr, batteries_out=others, strong=True)
    reduced = reduce_quickly(circuit, case, family)
    if load.positive not in reduced.shape.index or load.negative not in reduced.shape.index:
        return
    seen = reduced.seen([(load.positive, load.negative)])
    shares = dict(zip((e.key for e in reduced.network.emfs), seen.given_share[:, 0].tolist(), strict=True))
    string = max(bank.strings, key=lambda key: round(abs(shares[key]), SHARE_DIGITS))
    part = circuit.battery[string].part
    open_v, ohm = float(seen.open_v[0]), float(seen.resistance_ohm[0])
    yield _surge(store, string, "management", open_v, ohm, abs(shares[string]), part.trip_a, part.trip_s)


def _surge(
    store: Store,
    through: str,
    kind: str,
    open_v: float,
    loop_ohm: float,
    share: float,
    limit_a: float | None,
    limit_s: float | None,
) -> Surge:
    """`share`: of the load's current that flows through the item. A resistor that is stated is in the loop already."""
    stated_ohm = store.resistor_ohm
    first_ohm = loop_ohm + (stated_ohm or 0.0)
    peak_a = surge_a(open_v, first_ohm) * share
    farad = store.capacitance_f
    constant_s = None if farad is None else time_constant_s(first_ohm, farad)
    resistor_ohm = None if limit_a is None else precharge_ohm(open_v, limit_a / share, loop_ohm)
    whole_ohm = None if resistor_ohm is None else resistor_ohm + loop_ohm
    return Surge(
        store.load,
        through,
        "relay_make" if kind == "relay_make" else "management",
        open_v,
        loop_ohm,
        peak_a,
        limit_a,
        limit_s,
        farad,
        constant_s,
        None if farad is None else stored_j(farad, open_v),
        None if constant_s is None or limit_a is None else above_s(peak_a, limit_a, constant_s),
        store.gentle,
        resistor_ohm,
        stated_ohm,
        None if farad is None or whole_ohm is None else precharge_s(whole_ohm, farad),
    )
