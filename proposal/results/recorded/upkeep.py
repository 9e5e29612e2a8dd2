"""Upkeep tasks and what the record says was done → when each is due next. No clock: whoever has a date compares."""

import datetime
from collections.abc import Iterator

from proposal.circuit.model import Circuit
from proposal.errors import Problem
from proposal.frozen import frozen
from proposal.results.record_model import UpkeepRow
from proposal.results.rows import citation
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.recorded import Record
from proposal.studies.upkeep.result import UpkeepTask
from proposal.studies.upkeep.study import task_names, upkeep_tasks


@frozen
class _Done:
    """When a task was done last, and who did it."""

    on: datetime.date
    by: str


def upkeep_rows(spec: EffectiveSpec, circuit: Circuit, record: Record) -> tuple[UpkeepRow, ...]:
    """The upkeep list of a vessel as fitted.

    Parameters: the chosen option with the record's entries laid over it, its designed circuit, all entries. A task
    that repeats is due its interval after it was done last, before that `first_days` after the hand-over. A task that
    comes once is due anew after a later entry that fitted something: fresh joints settle too. Pure.
    """
    return tuple(_row(task, record) for task in upkeep_tasks(spec, circuit))


def upkeep_complaints(record: Record) -> Iterator[Problem]:
    """Upkeep that names no task of the list, each at its place in its entry."""
    known = task_names()
    for entry in record.entries:
        for number, done in enumerate(entry.value.upkeep):
            if done.task not in known:
                yield entry.problem(("upkeep", number, "task"), "the upkeep list has no such task", ", ".join(known))


def _row(task: UpkeepTask, record: Record) -> UpkeepRow:
    done = _last(task.task, record)
    if task.every_days is None:
        begins = _last_fitted(record)
        due = None if done is not None and done.on >= begins else _after(begins, task.first_days)
    elif done is None:
        due = _after(record.entries[0].value.date, task.first_days)
    else:
        due = _after(done.on, task.every_days)
    return UpkeepRow(
        task=task.task,
        first_days=task.first_days,
        every_days=task.every_days,
        items=task.items,
        last_on=done.on.isoformat() if done is not None else "",
        last_by=done.by if done is not None else "",
        due_on=due.isoformat() if due is not None else "",
        values=task.values,
        citation=citation(task.citation),
    )


def _after(day: datetime.date, days: int) -> datetime.date:
    """So many days later, at most on the last day of the calendar."""
    return day + min(datetime.timedelta(days=days), datetime.date.max - day)


def _last(task: str, record: Record) -> _Done | None:
    """The latest day on which a task was done; of two on one day, the one that stands later in the record."""
    found = [
        _Done(done.on or entry.value.date, done.by or entry.value.by)
        for entry in record.entries
        for done in entry.value.upkeep
        if done.task == task
    ]
    return max(reversed(found), key=lambda done: done.on, default=None)


def _last_fitted(record: Record) -> datetime.date:
    """Date of the latest entry that fitted something; the hand-over always does."""
    first, *later = (entry.value for entry in record.entries)
    return max(entry.date for entry in (first, *(e for e in later if e.fitted)))
