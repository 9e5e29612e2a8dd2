"""A project with a record → its results as fitted, each entry checked again as the vessel stood after it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cache

from proposal.errors import SpecError
from proposal.results.difference import difference
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.letters import letter_of
from proposal.results.model import OptionResult, Results
from proposal.results.record_model import AgreedRow, EmergencyOffRow, RecordResult, SealRow, TurnedDown
from proposal.results.recorded.fitted import deviation_rows, fitted_rows, item_complaints
from proposal.results.recorded.hindrances import hindrance_rows
from proposal.results.recorded.history import entry_rows
from proposal.results.recorded.shown import defect_rows, photo_rows
from proposal.results.recorded.tests import reading_complaints, test_rows
from proposal.results.recorded.upkeep import upkeep_complaints, upkeep_rows
from proposal.results.store import DaysOf
from proposal.spec.loading import Project
from proposal.spec.overlay import EffectiveSpec, effective
from proposal.spec.recorded import Record

ProjectAt = Callable[[int], Project]
"""The project as it stood after its first N entries."""


def evaluate_recorded(
    proposed: Project,
    record: Record,
    at: ProjectAt,
    ledger: Mapping[str, str],
    made_by: str,
    *,
    sheets: bool = True,
    days: DaysOf | None = None,
    seals: Sequence[SealRow] = (),
    history: bool = True,
) -> Evaluated:
    """Compute everything about a vessel as it was fitted.

    Parameters: proposed, the project without its record; record and `at`, its entries and what they make of the
    project; seals, what was sealed before; history: False leaves out the change log, for which each entry is checked,
    and judges earlier readings by the vessel as it is now; the others as in `evaluate`. The change log is checked
    without days.
    Raises SpecError as `evaluate` does, and where a record names items or tests that the vessel does not have.
    Pure: equal input gives equal results.
    """
    last = len(record.entries)
    offered = evaluate(proposed, ledger, made_by, sheets=sheets)
    names = offered.designations
    numbers = range(1, last + 1) if history else (last,)
    read = {entry.number for entry in record.entries if entry.value.measured}
    stages = [evaluate(at(n), names, made_by, sheets=sheets and n == last, tests=n in {*read, last}) for n in numbers]
    made = stages[-1]
    fitted = at(last)
    if days is not None:
        made = evaluate(fitted, names, made_by, sheets=sheets, tests=True, days=days)
    option = made.results.options[0]
    _raise_for(record, made)
    before = next(o for o in offered.results.options if o.id == record.option_id)
    now = effective(fitted.spec.value, fitted.installer.value, record.option_id)
    states = [s.results.options[0] for s in stages] if history else [option] * last
    row = _row(proposed, record, offered.results, made, now, [before, *states], seals)

    def state(number: int) -> Evaluated:
        return evaluate(at(number), names, made_by, sheets=False, tests=True)

    row = replace(row, tests=test_rows(record, made, stages if history else (), cache(state)))
    if not history:
        row = replace(row, entries=())
    # neither has its days: what only one of them knows of the days is no difference between them
    otherwise = difference(before, stages[-1].results.options[0]) if sheets else None
    row = replace(row, hindrances=hindrance_rows(option, row), difference=otherwise)
    results = replace(made.results, record=row)
    return replace(made, results=results)


def _raise_for(record: Record, made: Evaluated) -> None:
    problems = [*item_complaints(record, made), *reading_complaints(record, made), *upkeep_complaints(record)]
    if problems:
        raise SpecError(problems)


def _row(
    proposed: Project,
    record: Record,
    offered: Results,
    made: Evaluated,
    now: EffectiveSpec,
    options: Sequence[OptionResult],
    seals: Sequence[SealRow],
) -> RecordResult:
    first, last = record.entries[0].value, record.entries[-1].value
    names = made.designations
    agreed, off = first.agreed, now.option.emergency_off
    return RecordResult(
        option=record.option_id,
        letter=letter_of([o.id for o in offered.options].index(record.option_id)),
        date=first.date.isoformat(),
        latest_date=last.date.isoformat(),
        entries=entry_rows(record, options, seals),
        agreed=AgreedRow(agreed.by, agreed.date.isoformat(), agreed.revision) if agreed is not None else None,
        turned_down=_turned_down(record, offered),
        fitted=fitted_rows(record, made),
        deviations=deviation_rows(record, proposed, options[0], options[-1], names),
        tests=(),
        photos=photo_rows(record, made),
        defects=defect_rows(record, made),
        upkeep=upkeep_rows(now, made.circuits[record.option_id], record),
        hindrances=(),
        seals=tuple(seals),
        record_address=proposed.installer.value.record_address,
        telephone=proposed.installer.value.telephone,
        emergency_off=EmergencyOffRow(off.title, off.acts) if off is not None else None,
    )


def _turned_down(record: Record, offered: Results) -> tuple[TurnedDown, ...]:
    because = record.entries[0].value.turned_down
    return tuple(
        TurnedDown(o.id, letter_of(number), o.title, str(o.price.total), because.get(o.id, ""))
        for number, o in enumerate(offered.options)
        if o.id != record.option_id
    )
