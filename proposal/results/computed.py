"""A project's folder → everything computed about it, as its record says that it was fitted or as proposed."""

import os
from pathlib import Path

from proposal.circuit.designations import parse_ledger
from proposal.errors import Problem, SpecError, UsageError
from proposal.frozen import frozen
from proposal.reading import text_of
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.record_model import SealRow
from proposal.results.store import DaysOf
from proposal.spec.loading import Project, load_project
from proposal.spec.recorded import Record, has_record, load_record, load_recorded
from proposal.spec.seals import closed_complaints, load_seals

LEDGER_FILE = "designations.txt"
LARGEST_LEDGER_BYTES = 2_000_000
LIBRARIES = ("numpy", "numba", "pvlib")
"""What computes besides the program itself."""


@frozen
class Computed:
    """A project as read, its ledger, everything computed about it, and its record, where that was computed."""

    project: Project
    ledger: dict[str, str]
    evaluated: Evaluated
    record: Record | None = None


def read_ledger(folder: Path) -> dict[str, str]:
    """Designations that the project has given out. Raises as `text_of`, SpecError for wrong lines."""
    path = folder / LEDGER_FILE
    # a link that leads nowhere is told, not taken for a project that has given out none
    text = text_of(path, LARGEST_LEDGER_BYTES) if os.path.lexists(path) else ""
    known, wrong = parse_ledger(text)
    if wrong:
        raise SpecError([Problem(str(path), line, 1, what) for line, what in wrong])
    return known


def made_by() -> str:
    """Name and version of the tool, as it stands in the results."""
    from proposal import __version__  # noqa: PLC0415 - the package is complete by then

    return f"proposal {__version__}"


def computed(
    folder: Path,
    *,
    sheets: bool = True,
    days: DaysOf | None = None,
    as_proposed: bool = False,
    history: bool = True,
    until: int | None = None,
) -> Computed:
    """Read and evaluate the project in a folder, with its record where there is one.

    `sheets` and `days` as in `evaluate`, `history` as in `evaluate_recorded`; `as_proposed`: leave the record aside;
    `until`: as it stood after that entry of its record.
    Raises SpecError, UsageError where a file is missing or the record has no such entry, MachineError.
    """
    proposed = load_project(folder)
    ledger = read_ledger(folder)
    if as_proposed or not has_record(folder):
        return Computed(proposed, ledger, evaluate(proposed, ledger, made_by(), sheets=sheets, days=days))
    from proposal.results.recorded.evaluated import evaluate_recorded  # noqa: PLC0415 - mostly there is no record

    record = load_record(folder)
    seals = load_seals(folder)
    if changed := closed_complaints(record, seals):
        raise SpecError(changed)
    if until is not None:
        if not 1 <= until <= len(record.entries):
            raise UsageError(f"the record of {str(folder)!r} has entries 1 to {len(record.entries)}, none {until}")
        record = record.until(until)
        seals = tuple(s for s in seals if s.entries_count <= until)
    fitted = load_recorded(folder, record)

    def at(number: int) -> Project:
        return fitted if number == len(record.entries) else load_recorded(folder, record.until(number))

    rows = [SealRow(s.number, s.date.isoformat(), s.name, s.sha256, s.entries_count) for s in seals]
    made = evaluate_recorded(
        proposed, record, at, ledger, made_by(), sheets=sheets, days=days, history=history, seals=rows
    )
    return Computed(fitted, ledger, made, record)
