"""What the days show, as the checks ask it: troubles of a code, the worst for each item, when and in which run."""

from collections.abc import Callable, Iterable, Iterator

from proposal.facts import Values
from proposal.rules.finding import Evidence, above
from proposal.studies.behaviour.result import Behaviour, Emptied, LeadCare, Trouble

DAY_S = 86400.0
NO_CHARGE, NEGLECT = "no_charge", "neglect"


def shown(evidence: Evidence) -> Behaviour:
    """The days of an option; a check asks for them only where there are any. Raises ValueError where there are none."""
    if evidence.behaviour is None:
        raise ValueError("the days of this option were not asked for")
    return evidence.behaviour


def troubles(evidence: Evidence, code: str, *, ordinary: bool = False) -> list[Trouble]:
    """Troubles of a code; `ordinary`: only in days of ordinary use, not while nothing charges or nobody is there."""
    found = (t for t in shown(evidence).troubles if t.code == code)
    return [t for t in found if not (ordinary and t.run in (NO_CHARGE, NEGLECT))]


def worst_of_each(found: Iterable[Trouble], badness: Callable[[Trouble], float]) -> dict[str, Trouble]:
    """The worst trouble of each item, the first of equals, in the order in which items come."""
    worst: dict[str, Trouble] = {}
    for trouble in found:
        known = worst.get(trouble.item)
        if known is None or badness(trouble) > badness(known):
            worst[trouble.item] = trouble
    return worst


def figure(trouble: Trouble, name: str) -> float | None:
    """A number of a trouble; None where it has none."""
    value = trouble.values.get(name)
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def figure_or(trouble: Trouble, name: str, otherwise: float) -> float:
    """A number of a trouble, or what stands for it."""
    value = figure(trouble, name)
    return otherwise if value is None else value


def run_title(evidence: Evidence, run: str) -> str:
    """The installer's words for a season; any other run by its code."""
    season = evidence.spec.spec.climate.seasons.get(run)
    return season.title if season is not None else run


def seen_in(evidence: Evidence, trouble: Trouble) -> Values:
    """In which run, on which of its days and at what time of day; the first day of a run goes without saying."""
    day = int(trouble.time_s // DAY_S) + 1
    return {
        "during": run_title(evidence, trouble.run), "day_count": day if day > 1 else None,
        "clock_s": trouble.time_s % DAY_S,
    }  # fmt: skip


def left_alone_days(evidence: Evidence) -> float | None:
    """For how long nobody is there [days]; None: nobody said."""
    return evidence.spec.spec.system.unattended_days


ORDER = ("fails", "uncertain", "starts")
"""Verdicts on a start, from worst to best."""


def step_error(behaviour: Behaviour, quantity: str) -> float:
    """What the coarser step of the many years makes of a quantity, as a share of it."""
    return next((share for name, share in behaviour.years.step_error if name == quantity), 0.0)


def every_item(found: dict[str, Trouble], keys: Iterable[str]) -> Iterator[Trouble]:
    """Troubles in the order of the circuit's keys."""
    return (found[key] for key in keys if key in found)


def lead_care(evidence: Evidence, bank: str) -> LeadCare | None:
    """How a lead bank is kept over the year; None: the days were not asked for, or say nothing of it."""
    if evidence.behaviour is None:
        return None
    return next((care for care in evidence.behaviour.year.lead if care.bank == bank), None)


def emptied_by_neglect(evidence: Evidence, bank: str) -> Emptied | None:
    """How empty a bank gets with nobody there; None: the days were not asked for, or say nothing of it."""
    if evidence.behaviour is None or evidence.behaviour.neglect is None:
        return None
    return next((row for row in evidence.behaviour.neglect.emptied if row.bank == bank), None)


DARK_H = 24.0
"""Hours of a year for which some load or other may be dark. Common practice, no source."""


def dark_for_long(behaviour: Behaviour) -> bool:
    """Whether in the year something needed for safety is dark, or any load for longer than may be."""
    return behaviour.year.critical_dark_h > 0.0 or above(behaviour.year.dark_h, DARK_H)
