"""What the days show of batteries: never full, switched off by their own management, kept badly, short of water."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.parts.chemistry import cell_count
from proposal.rules.chargers import chargers, joined_banks
from proposal.rules.days import (
    dark_for_long,
    every_item,
    figure,
    lead_care,
    seen_in,
    shown,
    step_error,
    troubles,
    worst_of_each,
)
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.lead import WITHOUT_FULL_DAYS
from proposal.rules.settings import NEAR_TRIP_V_AT_12V
from proposal.studies.behaviour.result import LeadCare, LithiumCare, Trouble

COUNTED_DAYS = 30.0
"""So long a lithium bank may go without a full charge: its cells are balanced and its counter set right by one."""
FULL_V_PER_CELL = 3.5
"""Lithium iron phosphate is filled above this."""
HIGH_V_PER_CELL = 3.4
"""Held above this a lithium cell counts as held high."""
HELD_WARM_H = 1000.0
"""Hours of a year above it in the warmth that are worth a word."""
FULL_PER_MONTH = 4.0
"""Full charges of lead in a month: about one a week."""
SULPHATED_SHARE = 0.1
"""Of a lead bank's capacity, lost to sulphation in one year."""
RESERVE_ML_PER_AH = 1.5
"""Acid that stands above the plates of one vented cell, for each ampere-hour of it. All of these: common practice."""
YEAR_DAYS = 365.0
MONTHS = 12
AS_THE_NUMBERS_FALL = 0.5
"""Half a full charge a month: so much one year differs from another at the least."""


def _cells_in_series(evidence: Evidence, bank: Bank) -> int:
    battery = evidence.strings(bank)[0]
    return battery.series_count * cell_count(battery.part)


def bank_never_full(evidence: Evidence) -> Examined:
    """58. A lithium bank that is not full once in a whole month: its cells drift apart and nobody knows its charge.

    voltage: what charges it stays below what fills it, the maker's charge voltage or 3.5 V a cell. energy: voltage
    enough, but too little charge: not where check 27 says it of joined lead, or loads are dark for want of it.
    Undecided between 3.4 and 3.5 V a cell where the maker says nothing. Lead banks are for check 27. Common practice,
    no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    found = (_not_filled(evidence, bank, _longest_days(evidence, bank)) for bank in evidence.lithium)
    return Examined(len(evidence.lithium), tuple(x for x in found if x is not None))


def _longest_days(evidence: Evidence, bank: Bank) -> float:
    """Whole months in a row, over the turn of the year too, in which a bank is not full once [days]."""
    counts = dict(shown(evidence).year.monthly_full).get(bank.key, ())
    longest = empty = 0
    for count in (*counts, *counts):
        empty = 0 if count else empty + 1
        longest = max(longest, empty)
    return min(longest, len(counts)) * YEAR_DAYS / MONTHS


def _not_filled(evidence: Evidence, bank: Bank, longest_days: float) -> Objection | None:
    if not above(longest_days, COUNTED_DAYS):
        return None
    battery, cells = evidence.strings(bank)[0], _cells_in_series(evidence, bank)
    stated_v = battery.part.charge_v * battery.series_count if battery.part.charge_v is not None else None
    fills_v = stated_v if stated_v is not None else FULL_V_PER_CELL * cells
    charge_v = max((charger.charge_v for charger in chargers(evidence) if charger.has(bank)), default=0.0)
    facts: Values = {
        "longest_days": longest_days, "limit_days": COUNTED_DAYS, "charge_v": charge_v, "set_to_v": fills_v,
    }  # fmt: skip
    if not above(fills_v, charge_v):
        told = _lead_beside_it_too(evidence, bank) or dark_for_long(shown(evidence))
        return None if told else fires(bank.key, cause="energy", **facts)
    if stated_v is None and above(charge_v, HIGH_V_PER_CELL * cells):
        return undecided(bank.key, "lithium_charge_voltage", cause="voltage", **facts)
    return fires(bank.key, cause="voltage", **facts)


def _lead_beside_it_too(evidence: Evidence, bank: Bank) -> bool:
    """Whether lead that is joined to it goes without a full charge as well: then check 27 says it."""
    beside = joined_banks(evidence, evidence.strings(bank)[0].positive)
    cares = (lead_care(evidence, other.key) for other in beside)
    return any(c is not None and above(c.longest_without_full_days, WITHOUT_FULL_DAYS) for c in cares)


def management_opens(evidence: Evidence) -> Examined:
    """60. A lithium bank's own management switches it off in ordinary use: a cell high or low, cold, current.

    Remedies: charge with less by what sensors leave open and 0.2 V (at 12 V); part above the voltage at which it
    opened by as much as sensors leave open; warm it; draw less. Not where it is empty because loads are dark for want
    of charge anyway: checks 72 and 73. Undecided where it rests on cells that are only assumed to differ. Common
    practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    worst = worst_of_each(troubles(evidence, "management_opens", ordinary=True), lambda t: -t.time_s)
    banks = [bank.key for bank in evidence.lithium]
    found = [_opened(evidence, trouble) for trouble in every_item(worst, banks)]
    empty = dark_for_long(shown(evidence))
    return Examined(len(banks), tuple(x for x in found if not (empty and x.values["cause"] == "cell_low")))


def _opened(evidence: Evidence, trouble: Trouble) -> Objection:
    bank, volts = evidence.bank[trouble.item], figure(trouble, "voltage_v")
    opened = next((care.cut_offs for care in shown(evidence).year.lithium if care.bank == bank.key), 0)
    facts: Values = {"voltage_v": volts, **seen_in(evidence, trouble)}
    cause, open_v = trouble.values.get("cause"), shown(evidence).tolerance_v
    if cause == "cell_low":
        low: Values = {"set_to_v": volts + open_v if volts is not None else None, "cut_off_count": opened or None}
        return fires(bank.key, cause="cell_low", **facts, **low)
    if cause == "cold":
        return fires(bank.key, cause="cold", **facts, coldest_c=evidence.circuit.place[bank.place].coldest_c)
    if cause == "current":
        return fires(bank.key, cause="current", **facts, limit_a=_gives_a(evidence, bank))
    high: Values = {"set_to_v": volts - max(open_v, NEAR_TRIP_V_AT_12V * evidence.scale) if volts is not None else None}
    if not _sure_of_its_highest_cell(evidence, bank, volts):
        return undecided(bank.key, "cell_spread", cause="cell_high", **facts, **high)
    return fires(bank.key, cause="cell_high", **facts, **high)


def _sure_of_its_highest_cell(evidence: Evidence, bank: Bank, volts: float | None) -> bool:
    """Sure where all cells together were near the limit, or where somebody stated how far they differ."""
    part, series = evidence.strings(bank)[0].part, evidence.strings(bank)[0].series_count
    if part.cell_spread_v is not None:
        return True
    if part.cuts_above_v is None or volts is None:
        return False
    return not above(part.cuts_above_v * series - shown(evidence).tolerance_v, volts)


def _gives_a(evidence: Evidence, bank: Bank) -> float | None:
    """What a bank gives for hours [A]; None: not stated."""
    each = [battery.part.discharge_max_a for battery in evidence.strings(bank)]
    known = [amps for amps in each if amps is not None]
    return sum(known) if len(known) == len(each) else None


def lead_poorly_kept(evidence: Evidence) -> Examined:
    """67. A lead bank that is filled now and then, but less than once a week; or that loses a tenth to sulphation.

    Where it goes more than 14 days without, check 27 speaks. Undecided within half a charge a month, or the coarser
    step's error. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    cares = [care for care in shown(evidence).year.lead if care.bank in evidence.bank]
    found = (_kept(evidence, care) for care in cares)
    return Examined(len(cares), tuple(x for x in found if x is not None))


def _kept(evidence: Evidence, care: LeadCare) -> Objection | None:
    if above(care.longest_without_full_days, WITHOUT_FULL_DAYS):
        return None
    counted = dict(shown(evidence).year.monthly_full).get(care.bank, ())
    facts: Values = {
        "full_per_month": care.full_charges_per_month, "limit_per_month": FULL_PER_MONTH,
        "fewest_count": min(counted, default=None), "longest_days": care.longest_without_full_days,
        "sulphated_share": care.sulphated_share, "limit_share": SULPHATED_SHARE, "limit_days": WITHOUT_FULL_DAYS,
    }  # fmt: skip
    if above(care.sulphated_share, SULPHATED_SHARE):
        return fires(care.bank, cause="sulphated", **facts)
    open_count = max(AS_THE_NUMBERS_FALL, step_error(shown(evidence), "full_charges_per_month") * FULL_PER_MONTH)
    if not above(FULL_PER_MONTH, care.full_charges_per_month):
        return None
    if above(FULL_PER_MONTH - open_count, care.full_charges_per_month):
        return fires(care.bank, cause="seldom", **facts)
    return undecided(care.bank, "full_charges", cause="seldom", **facts)


def lithium_held_high(evidence: Evidence) -> Examined:
    """68. A lithium bank held above 3.4 V a cell in the warmth for more than 1,000 hours of a year: it ages by it.

    Remedy: float below that by what sensors leave open, or part it when it is full. Undecided where a charger's float
    is not stated. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    cares = [care for care in shown(evidence).year.lithium if care.bank in evidence.bank]
    return Examined(len(cares), tuple(x for x in (_held_high(evidence, care) for care in cares) if x is not None))


def _held_high(evidence: Evidence, care: LithiumCare) -> Objection | None:
    if not above(care.high_warm_h, HELD_WARM_H):
        return None
    bank = evidence.bank[care.bank]
    high_v = HIGH_V_PER_CELL * _cells_in_series(evidence, bank)
    floats = [(c.written.float_v, c.key) for c in chargers(evidence) if c.has(bank) and c.written is not None]
    stated = [(volts, key) for volts, key in floats if volts is not None]
    highest_v, source = max(stated, default=(None, None))
    facts: Values = {
        "high_warm_h": care.high_warm_h, "limit_h": HELD_WARM_H, "voltage_v": high_v,
        "float_to_v": high_v - shown(evidence).tolerance_v, "float_v": highest_v, "source": source,
    }  # fmt: skip
    if len(stated) < len(floats) and (highest_v is None or not above(highest_v, high_v)):
        return undecided(bank.key, "float_setting", **facts)
    return fires(bank.key, **facts)


def water_to_top(evidence: Evidence) -> Examined:
    """71. A vented lead bank that boils away the acid above its plates within a year: how much water, how often.

    Reserve: 1.5 ml for each cell and ampere-hour, spent evenly over the year. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    cares = [
        c for c in shown(evidence).year.lead if c.bank in evidence.bank and evidence.bank[c.bank].chemistry == "flooded"
    ]
    return Examined(len(cares), tuple(x for x in (_thirst(evidence, care) for care in cares) if x is not None))


def _thirst(evidence: Evidence, care: LeadCare) -> Objection | None:
    bank = evidence.bank[care.bank]
    reserve_l = RESERVE_ML_PER_AH * _cells_in_series(evidence, bank) * evidence.capacity_ah(bank) / 1000.0
    if not above(care.water_l, reserve_l):
        return None
    facts: Values = {"water_l": care.water_l, "reserve_l": reserve_l, "gassed_ah": care.gassed_ah}
    return fires(bank.key, **facts, lasts_days=YEAR_DAYS * reserve_l / care.water_l)
