"""What several commands do first: find the project, read it with its ledger, compute."""

import os
from pathlib import Path

from proposal.circuit.designations import ledger_lines
from proposal.errors import UsageError
from proposal.files import add_lines
from proposal.results.computed import LEDGER_FILE, Computed, computed
from proposal.results.store import DaysOf
from proposal.spec.loading import SPEC_FILE


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


def compute(argument: str, *, sheets: bool = True, days: DaysOf | None = None, as_proposed: bool = False) -> Computed:
    """Read and evaluate a project: as its record says that it was fitted, where there is one, else as proposed.

    `sheets` and `days` as in `evaluate`; `as_proposed`: leave the record aside. Raises UsageError, SpecError,
    MachineError.
    """
    return computed(folder_of(argument), sheets=sheets, days=days, as_proposed=as_proposed)


def keep_designations(made: Computed) -> None:
    """Add to a project's ledger the designations that are new. Raises MachineError."""
    add_lines(made.project.folder / LEDGER_FILE, ledger_lines(made.ledger, made.evaluated.designations))
