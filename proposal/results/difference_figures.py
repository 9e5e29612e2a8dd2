"""The figures that decide about an option, before and after."""

from collections.abc import Iterable, Iterator, Sequence

from proposal.results.codec import plain
from proposal.results.difference_model import Code, FigureRow
from proposal.results.model import OptionResult
from proposal.studies.behaviour.result import Behaviour, StartOnDay

FED_BY = ("own_bank", "joined", "lithium", "emergency")
"""Starts while left alone, the one that counts first."""


def figures(a: OptionResult, b: OptionResult) -> Iterator[FigureRow]:
    """Every figure that decides, before and after; those of the days where both options have them."""
    both = (a, b)
    for case in _in_both(*([s.case for s in o.starts] for o in both)):
        starts = [next((s for s in o.starts if s.case == case), None) for o in both]
        for name in ("verdict", "starter_v"):
            yield _figure("start", case, name, starts)
    for bank in _in_both(*([s.bank for s in o.energy.autonomy] for o in both)):
        lasting = [next((s for s in o.energy.autonomy if s.bank == bank), None) for o in both]
        for name in ("days", "critical_only_days"):
            yield _figure("autonomy", bank, name, lasting)
    for season in _in_both(*([s.season for s in o.energy.seasons] for o in both)):
        days = [next((s for s in o.energy.seasons if s.season == season), None) for o in both]
        if any(s is not None and s.engine_h is not None for s in days):
            yield _figure("engine_day", season, "engine_h", days)
    yield from _extremes(a, b)
    if a.behaviour is not None and b.behaviour is not None:
        yield from _of_days(a.behaviour, b.behaviour)
    yield _figure("standing_drain", "", "standing_drain_a", [o.energy for o in both])
    yield _figure("mass", "", "battery_mass_kg", [o.energy for o in both])
    yield FigureRow("dangers", "", "count", _fired(a, "danger"), _fired(b, "danger"))
    yield FigureRow("faults", "", "count", _fired(a, "fault"), _fired(b, "fault"))
    yield FigureRow("undecided", "", "count", _undecided(a), _undecided(b))


def _extremes(a: OptionResult, b: OptionResult) -> Iterator[FigureRow]:
    """The highest and the least fault current of all, and the largest drop, with where they stand."""
    both = (a, b)
    if a.faults and b.faults:
        high = [max(o.faults, key=lambda f: (_nine(f.current_a), f.node)) for o in both]
        yield _figure("highest_fault", "", "current_a", high, [f.node for f in high])
    if a.least_faults and b.least_faults:
        low = [min(o.least_faults, key=lambda f: (_nine(f.through_fuse_a), f.conductor, f.fuse)) for o in both]
        yield _figure("least_fault", "", "through_fuse_a", low, [f.conductor for f in low])
    dropping = [[c for c in o.conductors if c.loop_drop_share is not None] for o in both]
    if all(dropping):
        most = [max(found, key=lambda c: (_nine(c.loop_drop_share or 0.0), c.key)) for found in dropping]
        yield _figure("largest_drop", "", "loop_drop_share", most, [c.key for c in most])


def _of_days(a: Behaviour, b: Behaviour) -> Iterator[FigureRow]:
    """Of the simulated days: the time without charge, the start after being left alone, an ordinary year."""
    both = (a, b)
    for name in ("critical_dark_days", "first_dark_days"):
        yield _figure("no_charge", "", name, [x.no_charge for x in both])
    left = [_last_start(x) for x in both]
    if any(left):
        for name in ("verdict", "starter_v"):
            yield _figure("left_alone", "", name, left)
    for name in ("engine_h", "generator_h", "critical_dark_h"):
        yield _figure("year", "", name, [x.year for x in both])
    yield FigureRow("nights_low", "", "count", a.year.nights_low, b.year.nights_low)


def _last_start(days: Behaviour) -> StartOnDay | None:
    """The start after the longest time left alone, from its own bank alone, else as the banks are joined."""
    starts = days.neglect.starts if days.neglect is not None else ()
    return max(starts, key=lambda s: (s.day, -FED_BY.index(s.fed_by)), default=None)


def _figure(code: Code, item: str, name: str, rows: Sequence[object], at: Sequence[str] = ("", "")) -> FigureRow:
    """A figure from its field of a row of each; None: no such row."""
    before, after = (None if row is None else plain(getattr(row, name)) for row in rows)
    return FigureRow(code, item, name, before, after, *at)


def _nine(value: float) -> float:
    number: float = plain(value)
    return number


def _fired(option: OptionResult, severity: str) -> int:
    return sum(f.severity == severity and f.outcome == "fires" for f in option.findings)


def _undecided(option: OptionResult) -> int:
    return sum(f.outcome == "undecided" for f in option.findings)


def _in_both(before: Iterable[str], after: Iterable[str]) -> list[str]:
    """All of both, sorted: the order must not hang on which comes first."""
    return sorted({*before, *after})
