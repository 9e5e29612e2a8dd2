"""Lead banks: whether they are ever full, freeze when they are not, or are cooked in the heat."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.frozen import frozen
from proposal.parts.chemistry import cell_count
from proposal.parts.lead import (
    REFERENCE_C,
    absorption_h,
    charge_that_freezes_at,
    charge_voltage,
    compensated_v,
    compensation_v_per_k,
    freezing_c,
    freezing_citation,
)
from proposal.rules.chargers import Charger, chargers, joined_banks
from proposal.rules.days import emptied_by_neglect, lead_care
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.settings import NEAR_TRIP_V_AT_12V
from proposal.sources import Citation
from proposal.studies.absorption.result import Absorption
from proposal.studies.absorption.study import absorption
from proposal.studies.flow.cases import CRANKING_SHARE

FULL_V_PER_CELL = 14.2 / 6.0
"""At 25 °C lead is not filled below this. Common practice, no source."""
HELD_V_PER_CELL = 0.05 / 6.0
"""To this a charger's setting and meter are true. Common practice, no source."""
WITHOUT_FULL_DAYS = 14.0
"""Longest that lead stays well without a full charge. Common practice, no source."""
FROST_MARGIN_K = 5.0
COOKED_V_PER_CELL = 0.2 / 6.0
"""Above the right voltage for its temperature it overheats. Both: common practice, no source."""
FROM_MANUALS = Citation("maker_manuals", "hours of absorption: 0.42 · capacity / current", "from memory")


def _cells(evidence: Evidence, bank: Bank) -> int:
    battery = evidence.strings(bank)[0]
    return battery.series_count * cell_count(battery.part)


def lead_never_full(evidence: Evidence) -> Examined:
    """27. A lead bank that no source fills: too little voltage at its own posts, or no surplus for more than 14 days.

    U = setting, compensated at the bank's usual temperature, less what is lost on the way to its posts in the last
    hours, as solved; against 14.2 V (12 V, 25 °C) at that temperature. Days to full: the usable energy of the house
    over the season's daily surplus, accepted engine time counted. Absorption shorter than 0.42·C/I: undecided.
    Where the days are known they decide, by the longest time of the year without a full charge. Common practice.
    """
    if not evidence.lead:
        return Examined(0)
    found = chargers(evidence)
    lost = absorption(evidence.circuit, evidence.family)
    objections: list[Objection] = []
    for bank in evidence.lead:
        care = lead_care(evidence, bank.key)
        if care is not None and not above(care.longest_without_full_days, WITHOUT_FULL_DAYS):
            continue
        own = [c for c in found if c.has(bank)]
        volts = _too_low(evidence, bank, own, lost)
        energy = _no_surplus(evidence, bank) if care is None else None if volts else _seldom_full(evidence, bank)
        objections += [x for x in (volts, energy) if x is not None]
        if volts is None and energy is None:
            short = _too_short(evidence, bank, own, lost)
            objections += [short] if short is not None else []
    return Examined(len(evidence.lead), tuple(objections))


@frozen
class _Reach:
    """What a charger brings to a bank's posts, and what it should, at the bank's usual temperature [V]."""

    charger: Charger
    posts_v: float
    needed_v: float
    lost_v: float
    temperature_c: float

    @property
    def enough(self) -> bool:
        return not above(self.needed_v, self.posts_v)


def _reach(evidence: Evidence, bank: Bank, charger: Charger, lost: Absorption, *, ideal: bool = False) -> _Reach:
    """`ideal`: as if the charger compensated rightly."""
    cells, usual_c = _cells(evidence, bank), evidence.circuit.place[bank.place].usual_c
    lost_v = lost.lost_v.get((charger.key, bank.key), 0.0)
    set_v = compensated_v(charger.charge_v, cells, usual_c) if ideal else charger.at_v(usual_c)
    needed_v = compensated_v(cells * (FULL_V_PER_CELL - HELD_V_PER_CELL), cells, usual_c)
    return _Reach(charger, set_v - lost_v, needed_v, lost_v, usual_c)


def _too_low(evidence: Evidence, bank: Bank, own: list[Charger], lost: Absorption) -> Objection | None:
    if not own:
        return fires(bank.key, cause="no_source", **_in_the_year(evidence, bank))
    best = max((_reach(evidence, bank, c, lost) for c in own), key=lambda r: r.posts_v)
    if best.enough:
        return None
    cells = _cells(evidence, bank)
    facts: Values = {
        "cause": "voltage", "source": best.charger.key, "charge_v": best.charger.charge_v, "voltage_v": best.posts_v,
        "limit_v": best.needed_v, "temperature_c": best.temperature_c, "lost_v": best.lost_v,
        "set_v": cells * FULL_V_PER_CELL + best.lost_v, "reference_c": REFERENCE_C,
        "per_kelvin_v": cells * compensation_v_per_k(),
        "lithium_limit_v": _lithium_limit_v(evidence, bank, best.needed_v + best.lost_v),
        **_in_the_year(evidence, bank),
    }  # fmt: skip
    might = [c for c in own if c.compensation_v_per_k is None and _reach(evidence, bank, c, lost, ideal=True).enough]
    return undecided(bank.key, "compensation", **facts) if might else fires(bank.key, **facts)


def _lithium_limit_v(evidence: Evidence, bank: Bank, wanted_v: float) -> float | None:
    """Highest voltage that joined lithium lets a charger go to [V], where that is less than what is wanted."""
    found = [evidence.strings(b)[0] for b in joined_banks(evidence, evidence.strings(bank)[0].positive)]
    limits = [
        one.part.cuts_above_v * one.series_count - NEAR_TRIP_V_AT_12V * evidence.scale
        for one in found
        if one.part.chemistry == "lithium" and one.part.cuts_above_v is not None
    ]
    limit_v = min(limits, default=None)
    return limit_v if limit_v is not None and above(wanted_v, limit_v) else None


def _no_surplus(evidence: Evidence, bank: Bank) -> Objection | None:
    """The season that leaves it longest without a full charge.

    Only banks that share the charge of the house: what only starts an engine gives little and is soon full again.
    """
    if bank.role == "start":
        return None
    house = [b for b in evidence.circuit.banks if b.role in ("house", "both")]
    joined = {b.key for b in joined_banks(evidence, evidence.strings(bank)[0].positive)}
    if not any(b.key in joined for b in house):
        return None
    usable_wh = sum(b.usable_wh for b in evidence.energy.banks if b.bank in {h.key for h in house})
    engine_w = sum(s.lasting_a * s.charge_v for s in evidence.circuit.sources if s.kind == "alternator")
    engine_wh = engine_w * evidence.spec.spec.system.engine_h_per_day
    worst: tuple[float, float, str] | None = None
    for day in evidence.energy.days:
        surplus_wh = day.free_wh + engine_wh - day.use_wh - day.loss_wh
        season_days = evidence.spec.spec.climate.seasons[day.season].days
        days = min(season_days, usable_wh / surplus_wh) if surplus_wh > 0.0 else season_days
        if above(days, WITHOUT_FULL_DAYS) and (worst is None or days > worst[0]):
            worst = (days, surplus_wh, day.season)
    if worst is None:
        return None
    hours_h, source = _soonest(evidence)
    return fires(
        bank.key, cause="energy", empty_days=worst[0], limit_days=WITHOUT_FULL_DAYS,
        surplus_wh=worst[1] if worst[1] > 0.0 else None, lacking_wh=-worst[1] if worst[1] <= 0.0 else None,
        season=evidence.spec.spec.climate.seasons[worst[2]].title, hours_h=hours_h, source=source,
    )  # fmt: skip


def _soonest(evidence: Evidence) -> tuple[float | None, str | None]:
    """Which source that runs when it is told to refills the house soonest, and in how many hours."""
    at_will = {s.key for s in evidence.circuit.sources if s.kind in ("alternator", "generator", "shore")}
    times = [(c.hours_h, c.source) for c in evidence.energy.charging if c.hours_h is not None and c.source in at_will]
    return min(times, default=(None, None))


def _in_the_year(evidence: Evidence, bank: Bank) -> Values:
    """What the days show of a bank; nothing where they were not asked for."""
    care = lead_care(evidence, bank.key)
    if care is None:
        return {}
    return {
        "by": "simulated", "longest_days": care.longest_without_full_days,
        "full_per_month": care.full_charges_per_month,
    }  # fmt: skip


def _seldom_full(evidence: Evidence, bank: Bank) -> Objection:
    hours_h, source = _soonest(evidence)
    facts: Values = {"limit_days": WITHOUT_FULL_DAYS, "hours_h": hours_h, "source": source}
    return fires(bank.key, cause="days", **facts, **_in_the_year(evidence, bank))


def _too_short(evidence: Evidence, bank: Bank, own: list[Charger], lost: Absorption) -> Objection | None:
    """Where every charger that reaches the voltage ends absorption by a clock, the longest of them."""
    given_a = evidence.design.flow.solutions["charging"].given_a
    takes_a = -sum(given_a.get(key, 0.0) for key in bank.strings)
    reaching = [c for c in own if _reach(evidence, bank, c, lost).enough]
    stated = [(c.written.absorption_h, c.key) for c in reaching if c.written is not None]
    hours = [(h, key) for h, key in stated if h is not None]
    if takes_a <= 0.0 or len(hours) < len(reaching):
        return None
    longest_h, source = max(hours)
    needed_h = absorption_h(evidence.capacity_ah(bank), takes_a)
    if not above(needed_h, longest_h):
        return None
    facts: Values = {
        "source": source, "current_a": takes_a, "capacity_ah": evidence.capacity_ah(bank), "needed_h": needed_h,
        "hours_h": longest_h,
    }  # fmt: skip
    return undecided(bank.key, "lead_absorption_time", FROM_MANUALS, cause="time", **facts)


def lead_freezes(evidence: Evidence) -> Examined:
    """28. A lead bank whose place gets colder than its acid's freezing point, at the lowest charge in use, less 5 K.

    Lowest charge: 1 − the usable share of the energy study; of a bank that only starts an engine, that of a battery
    kept. Where the days are known: the lowest of the year, or of the time left alone. Common practice, no source;
    freezing points: `parts.lead`.
    """
    objections = []
    for bank in evidence.lead:
        coldest_c = evidence.circuit.place[bank.place].coldest_c
        lowest = _lowest_share(evidence, bank)
        freezes_c = freezing_c(lowest)
        if not above(freezes_c + FROST_MARGIN_K, coldest_c):
            continue
        facts: Values = {
            "coldest_c": coldest_c, "freezes_c": freezes_c, "limit_c": freezes_c + FROST_MARGIN_K,
            "lowest_share": lowest, "needed_share": charge_that_freezes_at(coldest_c - FROST_MARGIN_K),
            **_lowest_when(evidence, bank),
        }  # fmt: skip
        cited = freezing_citation()
        if cited.status == "from memory":
            objections.append(undecided(bank.key, "edition", cited, **facts))
        else:
            objections.append(fires(bank.key, **facts))
    return Examined(len(evidence.lead), tuple(objections))


def _lowest_share(evidence: Evidence, bank: Bank) -> float:
    care, left = lead_care(evidence, bank.key), emptied_by_neglect(evidence, bank.key)
    if care is not None:
        return max(0.0, care.lowest_share if left is None else min(care.lowest_share, left.lowest_share))
    usable = next(b.usable_share for b in evidence.energy.banks if b.bank == bank.key)
    return CRANKING_SHARE if bank.role == "start" else 1.0 - usable


def _lowest_when(evidence: Evidence, bank: Bank) -> Values:
    """Whether the lowest charge is that of a year or of the time left alone; nothing where no days are known."""
    care, left = lead_care(evidence, bank.key), emptied_by_neglect(evidence, bank.key)
    if care is None:
        return {}
    alone = left is not None and left.lowest_share < care.lowest_share
    return {"cause": "neglect" if alone else "year", "by": "simulated"}


@frozen
class _Hot:
    charger: Charger
    set_v: float
    right_v: float
    excess_v: float
    citation: Citation


def lead_overheats(evidence: Evidence) -> Examined:
    """29. A charge voltage more than 0.2 V (at 12 V) above the right one at the bank's hottest.

    The right one: the maker's at 25 °C, else the highest usual for the chemistry, less 4 mV a cell for each kelvin
    above. What the charger compensates is counted; undecided where that is not stated and decides. Common practice.
    """
    found = chargers(evidence)
    objections = []
    for bank in evidence.lead:
        limit_v = COOKED_V_PER_CELL * _cells(evidence, bank)
        hot = [h for c in found if c.has(bank) and above((h := _hot(evidence, bank, c)).excess_v, limit_v)]
        known = [h for h in hot if h.charger.compensation_v_per_k is not None]
        worst = max(known or hot, key=lambda h: h.excess_v, default=None)
        if worst is None:
            continue
        facts: Values = {
            "source": worst.charger.key, "set_v": worst.set_v, "right_v": worst.right_v,
            "excess_v": worst.excess_v, "limit_v": limit_v, "allowed_v": worst.right_v + limit_v,
            "hottest_c": evidence.circuit.place[bank.place].hottest_c,
            "per_kelvin_v": _cells(evidence, bank) * compensation_v_per_k(), "reference_c": REFERENCE_C,
        }  # fmt: skip
        if worst.charger.compensation_v_per_k is None:
            objections.append(undecided(bank.key, "compensation", **facts))
        elif worst.citation.status == "from memory":
            objections.append(undecided(bank.key, "lead_charge_voltage", worst.citation, **facts))
        else:
            objections.append(fires(bank.key, **facts))
    return Examined(len(evidence.lead), tuple(objections))


def _hot(evidence: Evidence, bank: Bank, charger: Charger) -> _Hot:
    battery = evidence.strings(bank)[0]
    hottest_c = max(REFERENCE_C, evidence.circuit.place[bank.place].hottest_c)
    one_v, cited = charge_voltage(battery.part)
    set_v = charger.at_v(hottest_c)
    right_v = compensated_v(battery.series_count * one_v, _cells(evidence, bank), hottest_c)
    return _Hot(charger, set_v, right_v, set_v - right_v, cited)
