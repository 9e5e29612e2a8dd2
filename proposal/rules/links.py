"""Relays, contactors and the switches of banks: what joins, what it carries, and what can be taken out."""

from proposal.circuit.model import Bank, SeriesDevice
from proposal.facts import Values
from proposal.rules import joining
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.paths import all_but, banks_at, reach
from proposal.rules.thresholds import Resting, Thresholds, banks_joined, resting, share_at, thresholds
from proposal.sources import Citation
from proposal.spec.pricebook import RelayPart
from proposal.studies.joins.result import Join
from proposal.studies.switching.releasing import releasing_load_a
from proposal.studies.switching.result import CHARGING

E13 = Citation("abyc_e13", "E-13.6.7.1.1 (July 2025), for the remote switch of a contactor", "corroborated")


def equalising_current_high(evidence: Evidence) -> Examined:
    """11. First current when a relay closes above the smallest of make rating, fuses, and lithium limits.

    I = ΔU / ΣR [A], divided over fuses and strings by superposition, in the situations that the controller's rule and
    the relay's senses leave (`studies.joins`). Common practice, no source. Undecided where the smallest is not known:
    the make rating, or the charge limit of a lithium battery.
    """
    objections = []
    occurring = [join for join in evidence.joins if join.occurs]
    for join in occurring:
        found = _join_objection(join, joining.limits(evidence, join))
        if found is not None:
            objections.append(found)
    return Examined(len(occurring), tuple(objections))


def _join_objection(join: Join, found: tuple[joining.JoinLimit, ...]) -> Objection | None:
    first = joining.smallest(found)
    facts: Values = {
        "situation": join.situation, "current_a": join.current_a, "difference_v": join.difference_v,
        "resistance_ohm": join.resistance_ohm,
    }  # fmt: skip
    if first is not None and above(join.current_a, first[1]):
        limit, limit_a = first
        return fires(
            join.relay,
            **facts,
            limit_a=limit_a,
            limited_by=limit.kind,
            limited_item=limit.item,
            resistance_needed_ohm=join.difference_v / limit_a if limit_a > 0 else None,
            resistance_more_ohm=join.difference_v / limit_a - join.resistance_ohm if limit_a > 0 else None,
            difference_allowed_v=limit_a * join.resistance_ohm,
        )
    unknown = next((limit for limit in found if limit.limit_a is None), None)
    if unknown is None:
        return None
    wanted = "relay_make_rating" if unknown.kind == "relay_make" else "lithium_charge_limit"
    return undecided(join.relay, wanted, **facts, limited_item=unknown.item)


def relay_overloaded_by_charging(evidence: Evidence) -> Examined:
    """12. A relay or switch rated below the charging current that the solved network puts through it.

    With all banks half full, and with the lead full, so that what it would take goes on through the relay to the rest.
    Common practice, no source.
    """
    solutions = evidence.design.flow.solutions
    charging = {case: solutions[case].current_a for case in CHARGING if case in solutions}
    objections, count = [], 0
    for device in evidence.devices("contactor", "vsr", "switch"):
        flowing = {case: abs(amps[device.key]) for case, amps in charging.items() if device.key in amps}
        if not flowing:
            continue
        count += 1
        case = max(flowing, key=lambda key: float(f"{flowing[key]:.9g}"))
        rated_a = getattr(device.part, "rating_a", None)
        if rated_a is None:
            objections.append(undecided(device.key, "part", current_a=flowing[case], case=case))
        elif above(flowing[case], rated_a):
            objections.append(fires(device.key, current_a=flowing[case], limit_a=rated_a, case=case))
    return Examined(count, tuple(objections))


def relay_thresholds_fooled(evidence: Evidence) -> Examined:
    """14. What a voltage-sensitive relay makes of resting banks, charge voltages, its own tolerance and its sensing's.

    stays_joined: a full bank rests above releases − tolerance, so that nothing parts them until a used bank does, or a
    load of `parts_at_a`, solved on the network. joins_at_rest: and above joins − tolerance on a side that it senses.
    never_joins: no source on its sides is set above joins + tolerance. chatters: the two thresholds overlap. Common
    practice, no source; resting voltages: `parts.chemistry`.
    """
    relays = tuple(evidence.devices("vsr"))
    objections: list[Objection] = []
    for relay in relays:
        found = thresholds(evidence, relay)
        if found is None or found.assumed:
            objections.append(undecided(relay.key, "relay_thresholds"))
            continue
        objections += _own_thresholds(evidence, relay, found)
        held = _held_at_rest(evidence, relay, found)
        objections += [held] if held is not None else []
    return Examined(len(relays), tuple(objections))


def _own_thresholds(evidence: Evidence, relay: SeriesDevice, found: Thresholds) -> list[Objection]:
    facts: Values = {"joins_v": found.joins_v, "releases_v": found.releases_v, "tolerance_v": found.tolerance_v}
    objections = []
    least_v = found.releases_v + 2.0 * found.own_v  # what it senses is one voltage for both
    if above(least_v, found.joins_v):
        objections.append(fires(relay.key, effect="chatters", **facts, joins_above_v=least_v))
    charge_v = max((s.charge_v for s in evidence.circuit.sources), default=None)
    if charge_v is not None and above(found.latest_join_v, charge_v):
        objections.append(
            fires(
                relay.key,
                effect="never_joins",
                **facts,
                charge_v=charge_v,
                joins_below_v=charge_v - found.tolerance_v,
            )
        )
    return objections


def _held_at_rest(evidence: Evidence, relay: SeriesDevice, found: Thresholds) -> Objection | None:
    """The bank that holds the relay longest, sure figures before remembered ones."""
    banks = [resting(evidence, bank) for bank in banks_joined(evidence, relay)]
    holding = [rest for rest in banks if above(rest.full_v, found.surely_held_v)]
    if not holding:
        return None
    rest = max(holding, key=lambda r: (r.sure, r.full_v))
    facts = _rest_facts(evidence, relay, found, rest)
    if not rest.sure:
        return undecided(relay.key, "resting_voltage", rest.citation, **facts)
    return fires(relay.key, **facts)


def _rest_facts(evidence: Evidence, relay: SeriesDevice, found: Thresholds, rest: Resting) -> Values:
    usual_v = _usual_v(evidence, rest.bank)
    needed_v = rest.full_v + found.tolerance_v
    joins_by_itself = rest.full_v >= found.earliest_join_v and _sensed(evidence, relay, rest.bank)
    return {
        "effect": "joins_at_rest" if joins_by_itself else "stays_joined",
        "bank": rest.bank.key,
        "rest_v": rest.full_v,
        "joins_v": found.joins_v,
        "releases_v": found.releases_v,
        "tolerance_v": found.tolerance_v,
        "parts_at_a": releasing_load_a(evidence.circuit, evidence.family, relay, found.surely_held_v),
        "parts_at_share": share_at(evidence, rest.bank, found.surely_held_v),
        "usual_v": usual_v,
        "usual_load_parts": None if usual_v is None else usual_v < found.surely_held_v,
        "releases_above_v": needed_v,
        "joins_above_v": needed_v + 2.0 * found.own_v,
    }


def _sensed(evidence: Evidence, relay: SeriesDevice, bank: Bank) -> bool:
    """Whether an open relay senses the side that a bank lies on; where nobody says which, it is taken to sense both."""
    senses = evidence.spec.option.vsr.senses if evidence.spec.option.vsr is not None else "both"
    if senses == "both":
        return True
    shut = [d.key for d in evidence.devices("vsr")]
    near = banks_at(evidence.circuit, reach(evidence.positive, relay.from_node, all_but(*shut, *evidence.emergency)))
    return (bank in near) == (senses == "start")


def _usual_v(evidence: Evidence, bank: Bank) -> float | None:
    """Voltage of a bank's bus under the usual load [V]."""
    solution = evidence.design.flow.solutions["usual"]
    bus = evidence.circuit.bus[bank.bus]
    if bus.positive not in solution.voltage_v or bus.negative not in solution.voltage_v:
        return None
    return solution.voltage_v[bus.positive] - solution.voltage_v[bus.negative]


def coil_driven_wrong(evidence: Evidence) -> Examined:
    """15. A coil of another kind than its controller drives, or of another voltage than the system's. Common practice.

    A latching coil driven as a held one burns within seconds; a held one driven by pulses does not stay closed.
    """
    objections, count = [], 0
    for relay in evidence.devices("contactor", "vsr"):
        count += 1
        part = relay.part
        if not isinstance(part, RelayPart):
            objections.append(undecided(relay.key, "part"))
            continue
        if relay.kind == "contactor":
            if relay.driven_as is None:
                objections.append(undecided(relay.key, "coil_drive", E13, cause="kind", fitted=part.coil))
            elif relay.driven_as != part.coil:
                objections.append(fires(relay.key, E13, cause="kind", driven_as=relay.driven_as, fitted=part.coil))
        system_v = evidence.circuit.system_v
        if part.coil_v is None:
            objections.append(undecided(relay.key, "coil_voltage", cause="voltage", system_v=system_v))
        elif part.coil_v != system_v:
            objections.append(fires(relay.key, cause="voltage", coil_v=part.coil_v, system_v=system_v))
    return Examined(count, tuple(objections))


def bank_without_switch(evidence: Evidence) -> Examined:
    """19. A bank that no hand switch takes out: it has none, or something goes past its own.

    bypassed: with every hand switch open and contactors closed, its posts still reach another bank, a source, the
    starter, or a load that need not stay on. A contactor is no switch. Common practice, no source.
    """
    switched = {d.circuit for d in evidence.devices("switch")}
    objections = []
    for bank in evidence.circuit.banks:
        if bank.key not in switched:
            wanted_a = evidence.design.wanted_a.get(f"{bank.key}.fuse")
            objections.append(fires(bank.key, capacity_ah=evidence.capacity_ah(bank), wanted_a=wanted_a))
        elif (past := _past_switches(evidence, bank)) is not None:
            facts: Values = {"capacity_ah": evidence.capacity_ah(bank), "first_item": past}
            objections.append(fires(bank.key, cause="bypassed", **facts))
    return Examined(len(evidence.circuit.banks), tuple(objections))


def _past_switches(evidence: Evidence, bank: Bank) -> str | None:
    """What a bank still feeds, or is fed by, with every hand switch open; None: nothing but what must stay on."""
    circuit = evidence.circuit
    opened = all_but(*(d.key for d in evidence.devices("switch")))
    here = reach(evidence.positive, evidence.strings(bank)[0].positive, opened)
    others = [b.key for b in banks_at(circuit, here) if b.key != bank.key]
    ends = [(x.key, x.positive) for x in circuit.loads if not x.always_on]
    ends += [(s.key, s.positive) for s in circuit.sources]
    ends += [(circuit.starter.key, circuit.starter.positive)] if circuit.starter is not None else []
    return next(iter([*others, *(key for key, node in ends if node in here)]), None)
