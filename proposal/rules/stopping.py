"""Charging lithium: what stops a source in time, what the link makes of a charger's own logic, and the cold."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.parts.chemistry import cell_count, ocv_v
from proposal.rules.chargers import Charger, chargers, highest
from proposal.rules.days_chargers import RESTART_SHARE, fooled_in_the_days, logic_unstated
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.paths import all_but, reach
from proposal.rules.settings import NEAR_TRIP_V_AT_12V
from proposal.rules.thresholds import share_at
from proposal.spec.equipment import AlternatorSource
from proposal.studies.absorption.study import TAIL_PER_H

COLDEST_C = 5.0
"""Lithium iron phosphate is not charged below 0 °C (makers' sheets); 5 °C with a margin, which is common practice."""


def _charging_lithium(evidence: Evidence) -> list[tuple[Charger, Bank]]:
    """Every charger with the first lithium bank that it charges."""
    found = []
    for charger in chargers(evidence):
        bank = next((b for b in charger.banks if b.chemistry == "lithium"), None)
        if bank is not None:
            found.append((charger, bank))
    return found


def source_not_stopped(evidence: Evidence) -> Examined:
    """32. A source that the lithium's management cannot stop, or not before it parts the battery.

    One that only heeds its own voltage will do if that never comes within 0.2 V (at 12 V) of the management's limit.
    An alternator's field needs its time to die: what the stop and the field take must not be more than the contactor
    waits. Common practice, no source.
    """
    found = _charging_lithium(evidence)
    stops = [_stop(evidence, charger, bank) for charger, bank in found]
    return Examined(len(found), tuple(x for x in stops if x is not None))


def _stop(evidence: Evidence, charger: Charger, bank: Bank) -> Objection | None:
    battery = evidence.strings(bank)[0]
    by = charger.stopped_by
    facts: Values = {"bank": bank.key, "charge_v": charger.charge_v}
    if by is None:
        return undecided(charger.key, "stopping", cause="nothing", **facts)
    if by == "nothing":
        return fires(charger.key, cause="nothing", **facts)
    if by == "management":
        return _late(evidence, charger, bank)
    if battery.part.cuts_above_v is None:
        return undecided(charger.key, "management_voltages", cause="own_sensing", **facts)
    limit_v = battery.part.cuts_above_v * battery.series_count - NEAR_TRIP_V_AT_12V * evidence.scale
    top = highest(evidence, charger)
    if not above(top.volts, limit_v):
        return None
    return fires(charger.key, cause="own_sensing", **facts, voltage_v=top.volts, limit_v=limit_v)


def _late(evidence: Evidence, charger: Charger, bank: Bank) -> Objection | None:
    written, link = charger.written, evidence.spec.option.contactor
    if not isinstance(written, AlternatorSource) or bank.through is None or link is None:
        return None
    stops_s, decay_s, waits_s = written.stops_within_s, written.decay_s, link.waits_s
    if stops_s is None or decay_s is None or waits_s is None:
        return undecided(charger.key, "stop_times", cause="late", bank=bank.key, charge_v=charger.charge_v)
    if not above(stops_s + decay_s, waits_s):
        return None
    return fires(
        charger.key, cause="late", bank=bank.key, stops_s=stops_s, decay_s=decay_s, time_s=stops_s + decay_s,
        limit_s=waits_s,
    )  # fmt: skip


def charger_fooled(evidence: Evidence) -> Examined:
    """38. A charger's own logic fooled by what else is joined to it.

    loads: what is used on average is more than the tail current that it waits for, and no clock ends absorption.
    opening: lithium is parted during absorption, and the lead left takes less than that tail before it is full (2 % C).
    restart: lithium rests above the voltage at which it would begin anew until less is left than planned with.
    Where the days are known they decide of every charger: held, cut_short and waits as `days_chargers` has them.
    Common practice, no source.
    """
    objections: list[Objection] = []
    found = _charging_lithium(evidence)
    if evidence.behaviour is not None:
        seen = fooled_in_the_days(evidence, {charger.key: bank.key for charger, bank in found})
        return Examined(len(chargers(evidence)), tuple(seen))
    for charger, bank in found:
        if charger.written is None:
            continue
        objections += _tail(evidence, charger, bank)
        restart = _restart(evidence, charger, bank)
        objections += [restart] if restart is not None else []
        if logic_unstated(charger):
            objections.append(undecided(charger.key, "charge_logic", bank=bank.key))
    return Examined(len(found), tuple(objections))


def _tail(evidence: Evidence, charger: Charger, bank: Bank) -> list[Objection]:
    written = charger.written
    if written is None or written.tail_a is None:
        return []
    side = reach(evidence.positive, charger.positive, all_but(*evidence.emergency))
    load_a = sum(x.mean_a for x in evidence.circuit.loads if x.positive in side and not x.high_current)
    found = []
    if written.absorption_h is None and above(load_a, written.tail_a):
        full_a = TAIL_PER_H * sum(evidence.capacity_ah(b) for b in charger.banks)
        found.append(fires(charger.key, cause="loads", tail_a=written.tail_a, load_a=load_a, tail_to_a=load_a + full_a))
    lead_a = TAIL_PER_H * sum(evidence.capacity_ah(b) for b in charger.banks if b.chemistry != "lithium")
    if lead_a > 0.0 and _opens(evidence, charger, bank) and above(written.tail_a, lead_a):
        found.append(fires(charger.key, cause="opening", tail_a=written.tail_a, lead_a=lead_a, bank=bank.key))
    return found


def _opens(evidence: Evidence, charger: Charger, bank: Bank) -> bool:
    """Whether the contactor parts the lithium while a charger holds its absorption voltage."""
    link = evidence.spec.option.contactor
    if bank.through is None or link is None or link.opens_above_v is None:
        return False
    return not above(link.opens_above_v - (link.tolerance_v or 0.0), charger.charge_v)


def _restart(evidence: Evidence, charger: Charger, bank: Bank) -> Objection | None:
    again_v = charger.written.restarts_below_v if charger.written is not None else None
    if again_v is None:
        return None
    reserve = 1.0 - next(b.usable_share for b in evidence.energy.banks if b.bank == bank.key)
    left = share_at(evidence, bank, again_v)
    if not above(reserve, left):
        return None
    battery = evidence.strings(bank)[0]
    cells = battery.series_count * cell_count(battery.part)
    return fires(
        charger.key, cause="restart", bank=bank.key, restarts_below_v=again_v, left_share=left, reserve_share=reserve,
        set_to_v=ocv_v("lithium", RESTART_SHARE, cells),
    )  # fmt: skip


def lithium_charged_cold(evidence: Evidence) -> Examined:
    """40. A lithium bank that gets colder than it may be charged, with neither heater nor cut-off.

    Not below 5 °C, or the maker's figure where that is higher; undecided where nobody says whether its management ends
    charging in the cold. Common practice, no source; 0 °C: makers' sheets.
    """
    objections = []
    for bank in evidence.lithium:
        part = evidence.strings(bank)[0].part
        coldest_c = evidence.circuit.place[bank.place].coldest_c
        limit_c = max(COLDEST_C, part.coldest_charge_c) if part.coldest_charge_c is not None else COLDEST_C
        if part.heated or part.stops_cold or not above(limit_c, coldest_c):
            continue
        facts: Values = {"coldest_c": coldest_c, "limit_c": limit_c}
        if part.stops_cold is None:
            objections.append(undecided(bank.key, "cold_cut_off", **facts))
        else:
            objections.append(fires(bank.key, **facts))
    return Examined(len(evidence.lithium), tuple(objections))
