"""What the days show of a charger's own logic: absorption held by loads, or cut short; charging not begun anew."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.parts.chemistry import cell_count, ocv_v
from proposal.rules.chargers import Charger, chargers
from proposal.rules.days import figure, figure_or, lead_care, seen_in, shown, troubles, worst_of_each
from proposal.rules.finding import Evidence, Objection, above, fires, undecided
from proposal.rules.lead import WITHOUT_FULL_DAYS
from proposal.spec.equipment import ShoreSource, SolarSource
from proposal.studies.absorption.study import TAIL_PER_H
from proposal.studies.behaviour.result import Trouble

RESTART_SHARE = 0.5
"""Charge of lithium at which a charger should have begun anew."""
LEAD_RESTART_SHARE = 0.8
"""The same of lead."""
HELD_H = 6.0
"""Absorption that loads hold for longer than this in a day ages batteries. All three: common practice, no source."""


def logic_unstated(charger: Charger) -> bool:
    """Whether nobody says by what a charger ends absorption, or below which voltage it begins anew."""
    written = charger.written
    if not isinstance(written, SolarSource | ShoreSource):
        return False
    return (written.tail_a is None and written.absorption_h is None) or written.restarts_below_v is None


def fooled_in_the_days(evidence: Evidence, lithium_of: dict[str, str]) -> list[Objection]:
    """Check 38 from the days; `lithium_of` is the lithium bank that a charger charges, if any.

    held: absorption for more than 6 h of a day while loads draw more than its tail. cut_short: absorption ended early
    where a relay opened, with lead that stays more than 14 days without a full charge. waits: it never began anew,
    though batteries had room, its side staying above where it would; not where all was dark. What
    nobody states of its logic the days assume, so that stays undecided, for lithium as it is without them.
    """
    objections: list[Objection] = []
    for charger in chargers(evidence):
        seen = [x for x in (_held(evidence, charger), _cut_short(evidence, charger), _waits(evidence, charger)) if x]
        if not logic_unstated(charger):
            objections += seen
        elif seen or charger.key in lithium_of:
            bank = lithium_of.get(charger.key) or (charger.banks[0].key if charger.banks else None)
            objections.append(undecided(charger.key, "charge_logic", bank=bank))
    return objections


def _trouble_of(evidence: Evidence, charger: Charger, code: str, name: str) -> Trouble | None:
    worst = worst_of_each(troubles(evidence, code, ordinary=True), lambda t: figure_or(t, name, 0.0))
    return worst.get(charger.key)


def _tail_allowed_a(evidence: Evidence, banks: tuple[Bank, ...]) -> float:
    return TAIL_PER_H * sum(evidence.capacity_ah(bank) for bank in banks)


def _held(evidence: Evidence, charger: Charger) -> Objection | None:
    trouble = _trouble_of(evidence, charger, "absorption_held", "held_h")
    held_h = figure_or(trouble, "held_h", 0.0) if trouble is not None else 0.0
    if trouble is None or not above(held_h, HELD_H):
        return None
    load_a = figure(trouble, "loads_a")
    facts: Values = {
        "by": "simulated", "held_h": held_h, "limit_h": HELD_H, "load_a": load_a,
        "tail_to_a": load_a + _tail_allowed_a(evidence, charger.banks) if load_a is not None else None,
        **seen_in(evidence, trouble),
    }  # fmt: skip
    return fires(charger.key, cause="held", **facts)


def _cut_short(evidence: Evidence, charger: Charger) -> Objection | None:
    trouble = _trouble_of(evidence, charger, "absorption_cut_short", "after_h")
    lead = tuple(bank for bank in charger.banks if bank.chemistry != "lithium")
    cares = [care for care in (lead_care(evidence, bank.key) for bank in lead) if care is not None]
    poor = [care for care in cares if above(care.longest_without_full_days, WITHOUT_FULL_DAYS)]
    if trouble is None or not poor:
        return None
    facts: Values = {
        "by": "simulated", "after_h": figure(trouble, "after_h"), "bank": poor[0].bank,
        "longest_days": poor[0].longest_without_full_days, "lead_a": _tail_allowed_a(evidence, lead),
        **seen_in(evidence, trouble),
    }  # fmt: skip
    return fires(charger.key, cause="cut_short", **facts)


def _waits(evidence: Evidence, charger: Charger) -> Objection | None:
    trouble = _trouble_of(evidence, charger, "charger_never_restarts", "restart_v")
    if trouble is None or not charger.banks:
        return None
    restart_v, lowest_v = figure(trouble, "restart_v"), figure(trouble, "lowest_v")
    if restart_v is not None and lowest_v is not None and above(restart_v - shown(evidence).tolerance_v, lowest_v):
        return None
    bank = next((b for b in charger.banks if b.chemistry == "lithium"), charger.banks[0])
    battery = evidence.strings(bank)[0]
    share = RESTART_SHARE if bank.chemistry == "lithium" else LEAD_RESTART_SHARE
    facts: Values = {
        "by": "simulated", "restarts_below_v": restart_v, "lowest_v": lowest_v,
        "lowest_share": figure(trouble, "lowest_share"), "bank": bank.key,
        "set_to_v": ocv_v(bank.chemistry, share, battery.series_count * cell_count(battery.part)),
        **seen_in(evidence, trouble),
    }  # fmt: skip
    return fires(charger.key, cause="waits", **facts)
