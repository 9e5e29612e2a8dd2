"""States of a vessel by what was typed: a project or sealed archive, with `@proposal` or `@N`, or a file of results."""

import re
from collections.abc import Mapping
from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Literal

from proposal.errors import MachineError, ProposalError, UsageError
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import Results
    from proposal.results.store import DaysOf

PROPOSAL = "proposal"
BAGIT = "bagit.txt"
"""The file by which the folder of an archive is known."""
LARGEST_RESULTS_BYTES = 200_000_000
_AT = re.compile(r"(?P<folder>.+)@(?P<stage>proposal|\d{1,4})")


@frozen
class Typed:
    """What was typed, taken apart. `stage`: `proposal`, a number of entries, or empty for as it stands."""

    text: str
    path: Path
    stage: str = ""
    kind: Literal["project", "archive", "results"] = "project"


class NotIntactError(ProposalError):
    """An archive is not what it was when it was sealed, so nothing is read from it."""

    exit_code: ClassVar[int] = 5


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
    """Take apart what was typed. Raises UsageError for what is neither project, archive nor file of results."""
    from proposal.cli.project import folder_of

    path = Path(argument)
    try:
        if path.is_file() and path.suffix == ".json":
            return Typed(argument, path, kind="results")
        found = None if path.exists() else _AT.fullmatch(argument)
        path, stage = (path, "") if found is None else (Path(found["folder"]), found["stage"])
        if (path.is_file() and path.suffix == ".zip") or (path / BAGIT).is_file():
            return Typed(argument, path, stage, "archive")
    except (OSError, ValueError) as error:
        raise UsageError(f"{argument[:80]!r} cannot be used: {error}") from error
    return Typed(argument, folder_of(str(path)), stage)


def state_of(wanted: Typed, days: "DaysOf | None") -> State:
    """Read or compute a state, with its sheets.

    Raises UsageError, SpecError, MachineError, NotIntactError for an archive that changed since it was sealed.
    """
    from proposal.book.sentences import difference as words

    if wanted.kind == "results":
        return State((words.AS_RESULTS, {"name": wanted.path.name}), _results(wanted.path))
    if wanted.kind == "project":
        return _computed(wanted, wanted.path, days)
    from proposal.archive.bag import PAYLOAD
    from proposal.archive.examine import examine, opened
    from proposal.archive.facts import PROJECT

    with opened(wanted.path) as (root, faults):
        found = examine(root, faults)
        if root is None or not found.intact:
            raise NotIntactError(f"{wanted.path} is not intact, so nothing is read from it: {_short(found.faults[0])}")
        state = _computed(wanted, root / PAYLOAD / PROJECT, days)
    return state if wanted.stage else replace(state, said=(words.AS_SEALED, {"name": wanted.path.name}))


def _computed(wanted: Typed, folder: Path, days: "DaysOf | None") -> State:
    from proposal.book.sentences import difference as words
    from proposal.results.computed import computed
    from proposal.spec.recorded import has_record

    until = int(wanted.stage) if wanted.stage.isdecimal() else None
    if until is not None and not has_record(folder):
        raise UsageError(f"{str(wanted.path)!r} has no record, so there is no entry {until}")
    made = computed(folder, days=days, as_proposed=wanted.stage == PROPOSAL, history=False, until=until)
    said: tuple[str, Mapping[str, str]] = (words.AS_PROPOSED, {})
    if made.record is not None:
        said = (words.AS_AFTER_ENTRY, {"number": str(until)}) if until is not None else (words.AS_RECORDED, {})
    return State(said, made.evaluated.results, made.evaluated.circuits, made.evaluated.designations)


def _results(path: Path) -> "Results":
    """A file of results, as `check --json` and `build` write it."""
    from proposal.results.codec import from_json, plain

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
        plain(found)  # a number that is none is refused here, not where it is compared
    except (ValueError, RecursionError) as error:
        raise UsageError(f"{str(path)!r} is no file of results that this release can read: {_short(error)}") from error
    return found


def _short(error: object) -> str:
    return " ".join(str(error).split())[:200]


def chosen(one: "Results", other: "Results", wanted: str | None) -> str:
    """Which option of a state is compared: what was asked for, the only one, or the one that the other side has alone.

    Raises UsageError where that leaves several.
    """
    ids = [o.id for o in one.options]
    if not ids:
        raise UsageError("one of the two has no option at all")
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
