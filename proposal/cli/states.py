"""States of a vessel by what was typed: a project, `PROJECT@proposal`, `PROJECT@N`, or a file of results."""

import re
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path
from typing import TYPE_CHECKING

from proposal.errors import MachineError, UsageError
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import Results
    from proposal.results.store import DaysOf

PROPOSAL = "proposal"
LARGEST_RESULTS_BYTES = 200_000_000
_AT = re.compile(r"(?P<folder>.+)@(?P<stage>proposal|\d{1,4})")


@frozen
class Typed:
    """What was typed, taken apart. `stage`: `proposal`, a number of entries, or empty for as it stands."""

    text: str
    path: Path
    stage: str = ""
    is_file: bool = False


@frozen
class State:
    """A state of a vessel. `said` is its sentence in `book/sentences/difference.py` and what fills it.

    Without `circuits` nothing can be drawn: a file of results has none.
    """

    said: tuple[str, Mapping[str, str]]
    results: "Results"
    circuits: "Mapping[str, Circuit]" = field(default_factory=dict)
    designations: Mapping[str, str] = field(default_factory=dict)


def typed(argument: str) -> Typed:
    """Take apart what was typed. Raises UsageError for what is neither project nor file of results."""
    from proposal.cli.project import folder_of

    path = Path(argument)
    try:
        if path.is_file() and path.suffix == ".json":
            return Typed(argument, path, is_file=True)
        found = None if path.exists() else _AT.fullmatch(argument)
    except (OSError, ValueError) as error:
        raise UsageError(f"{argument[:80]!r} cannot be used: {error}") from error
    folder = folder_of(found["folder"] if found is not None else argument)
    return Typed(argument, folder, found["stage"] if found is not None else "")


def state_of(wanted: Typed, days: "DaysOf | None") -> State:
    """Read or compute a state, with its sheets. Raises UsageError, SpecError, MachineError."""
    from proposal.book.sentences import difference as words

    if wanted.is_file:
        return State((words.AS_RESULTS, {"name": wanted.path.name}), _results(wanted.path))
    from proposal.results.computed import computed
    from proposal.spec.recorded import has_record

    until = int(wanted.stage) if wanted.stage.isdecimal() else None
    if until is not None and not has_record(wanted.path):
        raise UsageError(f"{str(wanted.path)!r} has no record, so there is no entry {until}")
    made = computed(wanted.path, days=days, as_proposed=wanted.stage == PROPOSAL, history=False, until=until)
    said: tuple[str, Mapping[str, str]] = (words.AS_PROPOSED, {})
    if made.record is not None:
        said = (words.AS_AFTER_ENTRY, {"number": str(until)}) if until is not None else (words.AS_RECORDED, {})
    return State(said, made.evaluated.results, made.evaluated.circuits, made.evaluated.designations)


def _results(path: Path) -> "Results":
    """A file of results, as `check --json` and `build` write it."""
    from proposal.results.codec import from_json

    try:
        if path.stat().st_size > LARGEST_RESULTS_BYTES:
            raise UsageError(f"{str(path)!r} is too large for a file of results")
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise MachineError(f"cannot read {path}: {error.strerror}", "check the rights of the file") from error
    except UnicodeDecodeError as error:
        raise UsageError(f"{str(path)!r} is not UTF-8 text") from error
    try:
        found: Results = from_json(text)
    except (ValueError, RecursionError) as error:
        raise UsageError(f"{str(path)!r} is no file of results that this release can read: {_short(error)}") from error
    return found


def _short(error: Exception) -> str:
    return " ".join(str(error).split())[:200]


def chosen(one: "Results", other: "Results", wanted: str | None) -> str:
    """Which option of a state is compared: what was asked for, the only one, or the one that the other side has alone.

    Raises UsageError where that leaves several.
    """
    ids = [o.id for o in one.options]
    if wanted is not None:
        if wanted not in ids and len(ids) > 1:
            raise UsageError(f"there is no option {wanted!r}; there are {', '.join(ids)}")
        return wanted if wanted in ids else ids[0]
    alone = [o.id for o in other.options] if len(other.options) == 1 else []
    if len(ids) == 1:
        return ids[0]
    if alone and alone[0] in ids:
        return alone[0]
    raise UsageError(f"there are several options and no record says which was built: give --option, {', '.join(ids)}")


def refuse_strangers(one: "Results", other: "Results") -> None:
    """Raises UsageError for results of two vessels: a difference between them would say nothing."""
    for name, says in (("name", "vessel"), ("number", "number")):
        a, b = (getattr(results.vessel, name) for results in (one, other))
        if a != b:
            raise UsageError(f"these are two vessels: the {says} is {a!r} in one and {b!r} in the other")
