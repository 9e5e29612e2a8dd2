"""What several commands do first: find the project, read it with its ledger, compute."""

import os
from pathlib import Path

from proposal.circuit.designations import parse_ledger
from proposal.errors import MachineError, Problem, SpecError, UsageError
from proposal.frozen import frozen
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.store import DaysOf
from proposal.spec.loading import SPEC_FILE, Project, load_project
from proposal.spec.recorded import Record, has_record, load_record, load_recorded

LEDGER_FILE = "designations.txt"
LARGEST_LEDGER_BYTES = 2_000_000


@frozen
class Computed:
    """A project as read, its ledger, everything computed about it, and its record, where that was computed."""

    project: Project
    ledger: dict[str, str]
    evaluated: Evaluated
    record: Record | None = None


def folder_of(argument: str) -> Path:
    """The project's folder from what was typed: the folder, or its spec.yaml. Raises UsageError."""
    path = Path(argument)
    if path.name == SPEC_FILE:
        path = path.parent
    if path.name in ("", ".."):
        # `.` and `..` have no parent in their text, and the installer's file lies in the parent
        path = Path(os.path.abspath(path))
    try:
        if not path.is_dir():
            raise UsageError(f"there is no project folder {argument!r}; `proposal new NAME` starts one")
        if not (path / SPEC_FILE).is_file():
            raise UsageError(f"{argument!r} has no {SPEC_FILE}; `proposal new NAME` starts a project")
    except OSError as error:
        raise UsageError(f"{argument[:80]!r} cannot be used: {error.strerror}") from error
    return path


def read_ledger(folder: Path) -> dict[str, str]:
    """Designations that the project has given out. Raises SpecError for lines that cannot be taken, MachineError."""
    path = folder / LEDGER_FILE
    try:
        if not path.exists():
            return {}
        if path.stat().st_size > LARGEST_LEDGER_BYTES:
            raise SpecError(
                [Problem(str(path), 1, 1, "the ledger is too large", f"up to {LARGEST_LEDGER_BYTES} bytes")]
            )
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise SpecError([Problem(str(path), 1, 1, "is not UTF-8 text")]) from None
    except OSError as error:
        raise MachineError(f"cannot read {path}: {error.strerror}", "check the rights of the file") from error
    known, wrong = parse_ledger(text)
    if wrong:
        raise SpecError([Problem(str(path), line, 1, what) for line, what in wrong])
    return known


def made_by() -> str:
    """Name and version of the tool, as it stands in the results."""
    from proposal import __version__

    return f"proposal {__version__}"


def compute(argument: str, *, sheets: bool = True, days: DaysOf | None = None, as_proposed: bool = False) -> Computed:
    """Read and evaluate a project: as its record says that it was fitted, where there is one, else as proposed.

    `sheets` and `days` as in `evaluate`; `as_proposed`: leave the record aside. Raises UsageError, SpecError,
    MachineError.
    """
    folder = folder_of(argument)
    proposed = load_project(folder)
    ledger = read_ledger(folder)
    if as_proposed or not has_record(folder):
        return Computed(proposed, ledger, evaluate(proposed, ledger, made_by(), sheets=sheets, days=days))
    from proposal.results.recorded.evaluated import evaluate_recorded

    record = load_record(folder)
    fitted = load_recorded(folder, record)

    def at(number: int) -> Project:
        return fitted if number == len(record.entries) else load_recorded(folder, record.until(number))

    made = evaluate_recorded(proposed, record, at, ledger, made_by(), sheets=sheets, days=days)
    return Computed(fitted, ledger, made, record)
