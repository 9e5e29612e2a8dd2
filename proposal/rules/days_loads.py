"""What the days show of loads: those that collapse, and what goes dark before the days that are wanted."""

from proposal.facts import Values
from proposal.rules.days import (
    DAY_S,
    NEGLECT,
    NO_CHARGE,
    every_item,
    figure,
    figure_or,
    run_title,
    seen_in,
    shown,
    troubles,
    worst_of_each,
)
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.studies.behaviour.result import Dark, Trouble


def load_collapses(evidence: Evidence) -> Examined:
    """57. A load of constant power that pulls its own voltage down until it stops: in use, or in the wanted days.

    No voltage solves U = E − R·P/U once P is above E²/4R. Remedy: it is to switch itself off above the last voltage
    that still held, by what sensors leave open. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    wanted_s = evidence.spec.spec.system.wanted_days * DAY_S
    seen = [
        trouble
        for trouble in troubles(evidence, "collapse")
        if trouble.run != NEGLECT and (trouble.run != NO_CHARGE or trouble.time_s < wanted_s)
    ]
    keys = [x.key for x in evidence.circuit.loads if x.constant_power or x.inverter_id is not None]
    worst = worst_of_each(seen, lambda t: -figure_or(t, "voltage_v", 0.0))
    return Examined(len(keys), tuple(_collapsed(evidence, trouble) for trouble in every_item(worst, keys)))


def _collapsed(evidence: Evidence, trouble: Trouble) -> Objection:
    volts = figure(trouble, "voltage_v")
    facts: Values = {
        "power_w": figure(trouble, "power_w"), "voltage_v": volts,
        "set_to_v": volts + shown(evidence).tolerance_v if volts is not None else None,
        **seen_in(evidence, trouble),
    }  # fmt: skip
    return fires(trouble.item, **facts)


def critical_dark_early(evidence: Evidence) -> Examined:
    """65. With nothing charging, something needed for safety goes dark before the days that the client wants are over.

    Undecided where the days that are wanted lie within what capacity and thresholds leave open. Remedy: so much more
    usable charge, in proportion. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    count = sum(1 for load in evidence.circuit.loads if load.critical)
    first = next((dark for dark in shown(evidence).no_charge.order if dark.critical), None)
    found = _too_early(evidence, first, shown(evidence).no_charge.critical_dark_days)
    return Examined(count, (found,) if found is not None else ())


def house_dark_early(evidence: Evidence) -> Examined:
    """66. With nothing charging, the first of the other loads goes dark before the days that the client wants are over.

    As check 65. Where what is needed for safety goes dark first, that check says it. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    count = sum(1 for load in evidence.circuit.loads if not load.critical)
    shows = shown(evidence).no_charge
    first = next((dark for dark in shows.order if not dark.critical), None)
    earlier = shows.critical_dark_days is not None and (
        shows.first_dark_days is None or shows.critical_dark_days <= shows.first_dark_days
    )
    found = None if earlier else _too_early(evidence, first, shows.first_dark_days)
    return Examined(count, (found,) if found is not None else ())


def _too_early(evidence: Evidence, first: Dark | None, dark_days: float | None) -> Objection | None:
    shows, wanted_days = shown(evidence).no_charge, evidence.spec.spec.system.wanted_days
    if first is None or dark_days is None or not above(wanted_days, dark_days - shows.uncertain_days):
        return None
    house = {bank.key for bank in evidence.circuit.banks if bank.role != "start"}
    usable_ah = sum(held.usable_ah for held in evidence.energy.banks if held.bank in house)
    more = max(0.0, wanted_days / dark_days - 1.0) if dark_days > 0.0 else None
    facts: Values = {
        "dark_days": dark_days, "wanted_days": wanted_days, "uncertain_days": shows.uncertain_days,
        "voltage_v": first.voltage_v, "during": run_title(evidence, shows.season),
        "more_ah": usable_ah * more if more is not None else None, "usable_ah": usable_ah,
    }  # fmt: skip
    if above(wanted_days, dark_days + shows.uncertain_days):
        return fires(first.item, **facts)
    return undecided(first.item, "bank_capacity", **facts)
