"""What a year of ordinary weather shows of loads: for how long they are dark, and what would mend it."""

from proposal.facts import Values
from proposal.rules.days import DARK_H, run_title, shown
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.spec.equipment import SolarSource
from proposal.studies.behaviour.result import Behaviour

MEDIAN = 10
"""Of 21 quantiles."""


def critical_dark_in_year(evidence: Evidence) -> Examined:
    """72. In a year of ordinary weather and use something needed for safety goes dark, though in want the engine runs.

    Undecided where either this year or the middle one of the many seeded years shows none. Remedy: what the season that
    lacks most lacks a day on average, as array or as engine time. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    count = sum(1 for load in evidence.circuit.loads if load.critical)
    dark_h = evidence.behaviour.year.critical_dark_h
    found = _dark_in_year(evidence, dark_h, _median(evidence.behaviour, "critical_dark_h"), 0.0)
    return Examined(count, (found,) if found is not None and count else ())


def house_dark_in_year(evidence: Evidence) -> Examined:
    """73. In a year of ordinary weather and use loads are dark for more than 24 hours.

    As check 72; where that fires it says enough. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    year, count = evidence.behaviour.year, sum(1 for load in evidence.circuit.loads if not load.critical)
    if year.critical_dark_h > 0.0 and _median(evidence.behaviour, "critical_dark_h") > 0.0:
        return Examined(count)
    found = _dark_in_year(evidence, year.dark_h, _median(evidence.behaviour, "dark_h"), DARK_H)
    return Examined(count, (found,) if found is not None else ())


def _median(behaviour: Behaviour, quantity: str) -> float:
    found = next((spread for spread in behaviour.years.spreads if spread.quantity == quantity), None)
    return found.quantiles[MEDIAN] if found is not None else 0.0


def _dark_in_year(evidence: Evidence, dark_h: float, median_h: float, limit_h: float) -> Objection | None:
    if not (above(dark_h, limit_h) or above(median_h, limit_h)):
        return None
    house = [bank for bank in evidence.circuit.banks if bank.role != "start"] or list(evidence.circuit.banks)
    largest = max(house, key=evidence.capacity_ah)
    facts: Values = {
        "dark_h": dark_h, "median_h": median_h, "limit_h": limit_h,
        "low_count": shown(evidence).year.nights_low, **_lacking(evidence),
    }  # fmt: skip
    if above(dark_h, limit_h) and above(median_h, limit_h):
        return fires(largest.key, **facts)
    return undecided(largest.key, "dark_log", **facts)


def _lacking(evidence: Evidence) -> Values:
    """What the season that lacks most lacks a day, engine time as accepted; and what would make it up."""
    spec = evidence.spec.spec
    engine_w = sum(s.lasting_a * s.charge_v for s in evidence.circuit.sources if s.kind == "alternator")
    solar = [s for s in spec.sources.values() if isinstance(s, SolarSource)]
    lacks = [
        (day.use_wh + day.loss_wh - day.free_wh - engine_w * spec.system.engine_h_per_day, day.season)
        for day in evidence.energy.days
    ]
    lacking_wh, season = max(lacks)
    reaches_h = spec.climate.seasons[season].sun_h * solar[0].performance * (1.0 - solar[0].shading) if solar else 0.0
    lacks_any = lacking_wh > 0.0
    return {
        "during": run_title(evidence, season), "lacking_wh": lacking_wh if lacks_any else None,
        "more_w": lacking_wh / reaches_h if lacks_any and reaches_h > 0.0 else None,
        "more_h": lacking_wh / engine_w if lacks_any and engine_w > 0.0 else None,
    }  # fmt: skip
