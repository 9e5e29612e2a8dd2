"""Puts an archive into its place and its line into the ledger, so that a run killed at any moment loses neither.

The archive is written aside and moved into place, then the ledger is written aside and moved into place. What was
killed in between is found by the next run: a note in the record says where an archive without a line may lie.
"""

import contextlib
import os
import re
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from proposal.archive import bag
from proposal.archive.examine import Examined, examine, opened
from proposal.archive.facts import SealFacts
from proposal.archive.zipped import SUM_ENDING, sum_line, zip_bytes
from proposal.errors import MachineError, ProposalError, UsageError
from proposal.files import add_lines, alone, clear_leftovers, place_tree, remove_file, write_file, write_new_file
from proposal.reading import plain_bytes
from proposal.spec.recorded import RECORD_FOLDER, Record
from proposal.spec.seals import DO_NOT_ENERGISE, NAME, SEALS_FILE, SealLine, entries_sum

NOTE = ".sealing"
LOCK = "seal"
WAIT_S = 900.0
"""A seal with all its pages takes a minute or two; whoever waits longer waits for something that hangs."""
LARGEST_NOTE_BYTES = 10_000


def sealing(project: Path) -> contextlib.AbstractContextManager[None]:
    """Let one process at a time seal a project. Raises MachineError."""
    return alone(project / RECORD_FOLDER / LOCK, WAIT_S)


def place(project: Path, out: Path, files: Mapping[str, bytes], facts: SealFacts, *, zipped: bool) -> Path:
    """Write an archive into a folder and its line into the project's ledger. Returns where it lies.

    Call it within `sealing`. Raises MachineError, UsageError where something of that name is there already.
    """
    line = facts.line(bag.sum_of(files[bag.TAG_MANIFEST]))
    target = target_in(out, facts.name, zipped=zipped)
    note = project / RECORD_FOLDER / NOTE
    write_file(note, f"{target}\n".encode())
    try:
        put(target, files)
    except ProposalError:
        with contextlib.suppress(MachineError):
            remove_file(note)
        raise
    add_line(project, line)
    remove_file(note)
    return target


def target_in(out: Path, name: str, *, zipped: bool) -> Path:
    """Where an archive of a name lies in a folder."""
    return out.resolve() / (f"{name}.zip" if zipped else name)


def put(target: Path, files: Mapping[str, bytes]) -> None:
    """Write an archive as a folder, or as a zip with its sum beside it, by its name. Raises as `place`."""
    if target.suffix != ".zip":
        place_tree(target, files)
        return
    if target.exists():
        raise UsageError(f"{target} is there already; nothing was changed: move it away, or choose another --out")
    try:
        data = zip_bytes(target.stem, files)
    except zipfile.LargeZipFile:
        raise MachineError(
            f"{target.name} would be too large for a zip", "seal it as a folder, without --zip"
        ) from None
    # first the sum: a zip that is there has one
    beside = target.with_name(target.name + SUM_ENDING)
    is_new = not beside.exists()
    try:
        write_file(beside, sum_line(target.name, data))
        write_new_file(target, data)
    except ProposalError:
        if is_new and not target.exists():
            with contextlib.suppress(MachineError):
                remove_file(beside)
        raise


def add_line(project: Path, line: SealLine) -> None:
    """Add a seal to the ledger, which is replaced as a whole: a line is there or not, never half of it."""
    add_lines(project / RECORD_FOLDER / SEALS_FILE, f"{line}\n")


def recover(project: Path, out: Path, record: Record, seals: Sequence[SealLine]) -> SealLine | None:
    """The line of an archive that was put into its place by a run that was killed before it wrote the line; it is
    written now. None: there is none. Call it within `sealing`. Raises MachineError.
    """
    note = project / RECORD_FOLDER / NOTE
    noted = _noted(note, len(seals) + 1)
    found = None
    for path in (note, project / RECORD_FOLDER / SEALS_FILE, *_beside(noted)):
        clear_leftovers(path)
    for target in ([noted] if noted is not None else []) + list(_likely(out, len(seals) + 1)):
        facts = _fitting(target, record, seals)
        if facts is not None and found is None:
            found = facts
    if found is not None:
        add_line(project, found)
    if os.path.lexists(note):  # a link as well, which must not be written through
        remove_file(note)
    return found


def _noted(note: Path, number: int) -> Path | None:
    """Where a run that was killed put an archive; a note may come from anywhere and leads to nothing but a seal."""
    try:
        if note.is_symlink():
            return None
        path = Path(plain_bytes(note, LARGEST_NOTE_BYTES).decode().removesuffix("\n"))
    except (OSError, UnicodeDecodeError):
        return None
    name = path.name.removesuffix(".zip")
    ours = NAME.fullmatch(name) and name.removesuffix(DO_NOT_ENERGISE).endswith(f"-seal-{number}")
    return path if ours and path.is_absolute() and ".." not in path.parts else None


def _beside(noted: Path | None) -> Iterator[Path]:
    """An archive that was under way, and the sum of a zip, which goes again where its zip did not come."""
    if noted is None:
        return
    yield noted
    if noted.suffix == ".zip":
        beside = noted.with_name(noted.name + SUM_ENDING)
        if not noted.exists() and _is_sum_of(beside, noted.name):
            remove_file(beside)
        yield beside


def _is_sum_of(beside: Path, name: str) -> bool:
    try:
        return re.fullmatch(rf"[0-9a-f]{{64}}  {re.escape(name)}\n".encode(), plain_bytes(beside, 1000)) is not None
    except OSError:
        return False


def _likely(out: Path, number: int) -> Iterator[Path]:
    for ending in ("", "-DO-NOT-ENERGISE", ".zip", "-DO-NOT-ENERGISE.zip"):
        yield from sorted(out.resolve().glob(f"[!.]*-seal-{number}{ending}"))


def _fitting(target: Path, record: Record, seals: Sequence[SealLine]) -> SealLine | None:
    """The line of an archive that is intact and is the next seal of this record."""
    try:
        with opened(target) as (root, faults):
            made = examine(root, faults)
    except ProposalError:
        return None
    facts = made.facts
    if not made.intact or facts is None or made.ledger != tuple(seals):
        return None
    count = len(facts.entries)
    fits = count <= len(record.entries) and entries_sum(record.entries[:count]) == facts.entries_sum(count)
    return facts.line(made.tag_sum) if fits and facts.number == len(seals) + 1 else None


def sealed_before(out: Path, line: SealLine, *, zipped: bool) -> Examined | None:
    """What a seal of the ledger is found to be where it should lie; None: it is not there. Raises MachineError."""
    target = target_in(out, line.name, zipped=zipped)
    if not target.exists():
        return None
    with opened(target) as (root, faults):
        return examine(root, faults)
