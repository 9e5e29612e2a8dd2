"""What charge sources are set to, against what stands on their side: devices, lithium, and each other."""

from dataclasses import replace

from proposal.circuit.model import Bank
from proposal.codes.family import highest_system_v
from proposal.facts import Values
from proposal.parts.lead import REFERENCE_C, compensation_v_per_k
from proposal.rules.chargers import Charger, Highest, chargers, coldest_c, highest
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.mending import mended
from proposal.rules.paths import all_but, reach

NEAR_TRIP_V_AT_12V = 0.2
APART_V_AT_12V = 0.1
LOST_V_AT_12V = 0.2
"""All three: common practice, no source."""


def bus_voltage_high(evidence: Evidence) -> Examined:
    """33. The highest voltage that charging drives a device to, above what it bears.

    Absorption or equalising, whichever is higher, with what compensation adds in the cold; against the highest voltage
    of load, inverter, DC-DC input, fuse, switch, relay and bus. Where none is stated, what equipment of the system's
    voltage usually bears is enough; above that it is undecided, once for each source. Common practice, no source;
    window: ISO 10133.
    """
    bears = _bears(evidence)
    objections: list[Objection] = []
    unknown: dict[str, list[str]] = {}
    sides = [(c, highest(evidence, c), _side(evidence, c)) for c in chargers(evidence)]
    for key, (node, limit_v) in bears.items():
        here = [(top, c) for c, top, side in sides if node in side]
        if not here:
            continue
        top, charger = max(here, key=lambda pair: pair[0].volts)
        if limit_v is not None and above(top.volts, limit_v):
            facts = _top_facts(charger, top)
            objections.append(fires(key, **facts, limit_v=limit_v, set_to_v=limit_v - top.added_v))
        elif limit_v is None and above(top.volts, evidence.highest_v):
            unknown.setdefault(charger.key, []).append(key)
    for charger, top, _ in sides:
        if charger.key in unknown:
            facts = _top_facts(charger, top)
            wanted = len(unknown[charger.key])
            usual_v = evidence.highest_v
            cited = highest_system_v(evidence.circuit.system_v).citation
            objections.append(
                undecided(charger.key, "highest_voltages", cited, **facts, limit_v=usual_v, device_count=wanted)
            )
    return Examined(len(bears), tuple(objections))


def _bears(evidence: Evidence) -> dict[str, tuple[str, float | None]]:
    """Positive node and highest voltage [V] of every load, DC-DC input, and part of the positive pole.

    Parts that do not even bear the usual window are for check 6.
    """
    found: dict[str, tuple[str, float | None]] = {}
    for load in evidence.circuit.loads:
        written = evidence.spec.load(load.key)
        limit_v = written.voltage_max_v
        if load.inverter_id is not None and limit_v is None:
            limit_v = evidence.catalogue.inverter(load.inverter_id).input_max_v
        found[load.key] = (load.positive, limit_v)
    for link in evidence.circuit.converters:
        found[link.key] = (link.in_positive, evidence.catalogue.charger(link.part_id).input_max_v)
    parts: list[tuple[str, str, object]] = [
        (d.key, d.from_node, d.part) for d in evidence.devices("fuse", "switch", "contactor", "vsr")
    ]
    parts += [(b.key, b.positive, b.part) for b in evidence.circuit.buses]
    for key, node, part in parts:
        bears_v = getattr(part, "voltage_max_v", None)
        if bears_v is not None and not above(evidence.highest_v, bears_v):
            found[key] = (node, bears_v)
    return found


def _side(evidence: Evidence, charger: Charger) -> frozenset[str]:
    return reach(evidence.positive, charger.positive, all_but(*evidence.emergency))


def _top_facts(charger: Charger, top: Highest) -> Values:
    return {
        "cause": top.cause, "source": charger.key, "voltage_v": top.volts, "setting_v": top.setting_v,
        "added_v": top.added_v or None, "temperature_c": top.temperature_c,
    }  # fmt: skip


def equalise_trips_lithium(evidence: Evidence) -> Examined:
    """36. Equalising, or compensation in the cold, drives the bus to within 0.2 V (at 12 V) of a lithium bank's trip.

    The bank must be locked out while lead is equalised. That plain absorption lies below the trip is for check 55.
    Where nobody states a compensation, it is asked for if a usual one would do it. Common practice, no source.
    """
    objections, count = [], 0
    for bank in evidence.lithium:
        own = [c for c in chargers(evidence) if c.has(bank)]
        count += len(own)
        found = _trips(evidence, bank, own)
        objections += [found] if found is not None else []
    return Examined(count, tuple(objections))


def _trips(evidence: Evidence, bank: Bank, own: list[Charger]) -> Objection | None:
    link = evidence.spec.option.contactor
    locked = bank.through is not None and link is not None and link.locked_while_equalising
    driven = [(top, c) for c in own if (top := _driven(evidence, c, equalise=not locked)).cause != "charge"]
    battery = evidence.strings(bank)[0]
    if battery.part.cuts_above_v is None:
        if not driven:
            return None
        top, charger = max(driven, key=lambda pair: pair[0].volts)
        return undecided(bank.key, "management_voltages", **_top_facts(charger, top))
    trip_v = battery.part.cuts_above_v * battery.series_count
    limit_v = trip_v - NEAR_TRIP_V_AT_12V * evidence.scale
    over = [pair for pair in driven if above(pair[0].volts, limit_v)]
    if over:
        top, charger = max(over, key=lambda pair: pair[0].volts)
        facts: Values = {"trip_v": trip_v, "limit_v": limit_v, "set_to_v": limit_v - top.added_v}
        return fires(bank.key, **_top_facts(charger, top), **facts)
    for charger in own:
        if charger.compensation_v_per_k is None:
            usual_v = 6.0 * evidence.scale * compensation_v_per_k()
            cold_c = min(REFERENCE_C, coldest_c(evidence, charger.banks))
            cold_v = charger.charge_v + usual_v * (cold_c - REFERENCE_C)
            if above(cold_v, limit_v):
                top = Highest(cold_v, "compensation", charger.charge_v, cold_v - charger.charge_v, cold_c)
                return undecided(bank.key, "compensation", **_top_facts(charger, top), limit_v=limit_v)
    return None


def _driven(evidence: Evidence, charger: Charger, *, equalise: bool) -> Highest:
    """The highest voltage of a charger, equalising left out where lithium is locked out then."""
    if equalise or charger.written is None:
        return highest(evidence, charger)
    written = charger.written.model_copy(update={"equalise_v": None})
    return highest(evidence, replace(charger, written=written))


def charge_voltages_apart(evidence: Evidence) -> Examined:
    """37. Sources of one side set more than 0.1 V apart, or one whose way to the batteries takes more than 0.2 V.

    At 12 V. The way: its terminals less the posts of the batteries that it charges, as solved with all sources at work.
    A source that measures at the battery makes up for it; where one of a side does and another does not, 0.1 V are
    enough. Common practice, no source.
    """
    found = chargers(evidence)
    objections = _settings_apart(evidence, found)
    for charger in found:
        lost = _way_lost(evidence, charger, found)
        objections += [lost] if lost is not None else []
    return Examined(len(found), tuple(objections))


def _settings_apart(evidence: Evidence, found: tuple[Charger, ...]) -> list[Objection]:
    sides: dict[tuple[str, ...], list[Charger]] = {}
    for charger in found:
        sides.setdefault(tuple(b.key for b in charger.banks), []).append(charger)
    limit_v = APART_V_AT_12V * evidence.scale
    objections = []
    for side in sides.values():
        low, high = min(side, key=lambda c: c.charge_v), max(side, key=lambda c: c.charge_v)
        if above(high.charge_v - low.charge_v, limit_v):
            facts: Values = {
                "charge_v": low.charge_v, "source": high.key, "highest_v": high.charge_v, "limit_v": limit_v,
                "difference_v": high.charge_v - low.charge_v,
            }  # fmt: skip
            objections.append(fires(low.key, cause="apart", **facts))
    return objections


def _way_lost(evidence: Evidence, charger: Charger, found: tuple[Charger, ...]) -> Objection | None:
    senses = charger.senses
    solution = evidence.design.flow.solutions["charging"]
    port = charger.key if charger.key in solution.port_v else f"{charger.key}.output"
    if senses == "battery" or port not in solution.port_v:
        return None
    posts_v = [
        solution.port_v[key] for bank in charger.banks for key in bank.strings if solution.given_a.get(key, 0.0) < 0.0
    ]
    if not posts_v:
        return None
    lost_v = solution.port_v[port] - min(posts_v)
    others = any(c.senses == "battery" and c.banks == charger.banks for c in found)
    limit_v = (APART_V_AT_12V if others else LOST_V_AT_12V) * evidence.scale
    if not above(lost_v, limit_v):
        return None
    cable = charger.key if charger.written is not None else ""  # a DC-DC charger stands at the bus that it charges
    given_a = solution.given_a.get(port, 0.0)
    most_a = next((s.current_a for s in evidence.circuit.sources if s.key == charger.key), given_a)
    rise = most_a / given_a if given_a > 0.0 else 1.0
    mend = mended(evidence, cable, solution, lost_v, limit_v, rise)
    facts: Values = {
        "lost_v": lost_v, "limit_v": limit_v, "own_drop_v": mend.own_v or None, "size": mend.size,
        "length_m": mend.length_m,
        "current_a": given_a,
    }  # fmt: skip
    cause = "sensing" if others else "drop"
    if senses is None:
        return undecided(charger.key, "sense_place", cause=cause, **facts)
    return fires(charger.key, cause=cause, **facts)
