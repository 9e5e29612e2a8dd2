"""The ledger of a record's seals, `record/seals.txt`: one line for each, to which lines are only added.

A line holds, parted by blanks: the seal's number, its day, the sum of its tag manifest (which stands for the whole
archive), how many entries it closed, the sum over these, the sum over what was sealed, the archive's name.
"""

import datetime
import hashlib
import os
import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from proposal.errors import Problem, SpecError
from proposal.frozen import frozen
from proposal.reading import text_of
from proposal.spec.recorded import RECORD_FOLDER, Record, RecordEntry

SEALS_FILE = "seals.txt"
LARGEST_SEALS_BYTES = 500_000
DO_NOT_ENERGISE = "-DO-NOT-ENERGISE"
NAME = re.compile(rf"[a-z0-9](?:[a-z0-9-]{{0,150}}[a-z0-9])?(?:{DO_NOT_ENERGISE})?")
_SUM = re.compile(r"[0-9a-f]{64}")
_COUNT = re.compile(r"[1-9][0-9]{0,3}")
_FIELDS = 7


@frozen
class SealLine:
    """One seal: `sha256` of its tag manifest, over its entries (`entries_sum`), and over what it was made from."""

    number: int
    date: datetime.date
    sha256: str
    entries_count: int
    entries_sha256: str
    content_sha256: str
    name: str

    def __str__(self) -> str:
        sums = f"{self.sha256} {self.entries_count} {self.entries_sha256} {self.content_sha256}"
        return f"{self.number} {self.date.isoformat()} {sums} {self.name}"

    @property
    def do_not_energise(self) -> bool:
        """Whether the vessel was condemned."""
        return self.name.endswith(DO_NOT_ENERGISE)


def entries_sum(entries: Iterable[RecordEntry]) -> str:
    """One sum over entries; by hand: `sha256sum FILES | sha256sum` in the folder of the record, for these files."""
    text = "".join(f"{entry.sha256}  {entry.file}\n" for entry in entries)
    return hashlib.sha256(text.encode()).hexdigest()


def parse_seals(text: str) -> tuple[tuple[SealLine, ...], list[tuple[int, str]]]:
    """Read a ledger; empty lines and lines with # are passed over.

    Returns the seals, and (line number, what is wrong) for each line that cannot be taken.
    """
    seals: list[SealLine] = []
    wrong: list[tuple[int, str]] = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip() or line.startswith("#"):
            continue
        found = _parsed(line)
        if isinstance(found, str):
            wrong.append((number, found))
            continue
        if (against := _against(seals, found)) is not None:
            wrong.append((number, against))
        seals.append(found)
    return tuple(seals), wrong


def load_seals(folder: Path) -> tuple[SealLine, ...]:
    """The ledger of a project; none: nothing was sealed yet. Raises as `reading.text_of`, SpecError for wrong lines."""
    path = folder / RECORD_FOLDER / SEALS_FILE
    if path.is_symlink():  # lines would be added to a file elsewhere
        raise SpecError([Problem(str(path), 1, 1, "is no file of its own", "the file itself, not a link to it")])
    text = text_of(path, LARGEST_SEALS_BYTES) if os.path.lexists(path) else ""
    seals, wrong = parse_seals(text)
    if wrong:
        raise SpecError([Problem(str(path), line, 1, what) for line, what in wrong])
    return seals


def closed_complaints(record: Record, seals: Sequence[SealLine]) -> list[Problem]:
    """What a seal closed and is not there any more as it was: entries that were changed, renamed or taken away."""
    before = 0
    for seal in seals:
        count = seal.entries_count
        if count > len(record.entries):
            what = f"seal {seal.number} closed {count} entries, and only {len(record.entries)} are there"
            return [Problem(str(record.folder / SEALS_FILE), 1, 1, what, "bring back the entries that are missing")]
        if entries_sum(record.entries[:count]) != seal.entries_sha256:
            # those in front are as an earlier seal closed them
            changed = record.entries[before:count] or record.entries[:count]
            which = "this entry has" if len(changed) == 1 else f"one of entries {before + 1} to {count} has"
            what = f"{which} changed since seal {seal.number} closed it on {seal.date.isoformat()}"
            allowed = "bring back the file as it was sealed, and write what is new in a new entry"
            return [Problem(str(changed[0].document.path), 1, 1, what, allowed)]
        before = count
    return []


def _parsed(line: str) -> SealLine | str:
    words = line.split(" ")
    if len(words) != _FIELDS:
        return f"has {len(words)} words in place of {_FIELDS}: number, day, sum, entries, two sums, name"
    number, day, whole, count, entries, content, name = words
    for right, what in (
        (_COUNT.fullmatch(number) and _COUNT.fullmatch(count), "number and count of entries are whole numbers from 1"),
        (
            all(_SUM.fullmatch(word) for word in (whole, entries, content)),
            "a sum is 64 of the digits 0 to 9 and a to f",
        ),
        (_is_day(day), "its day is not one such as 2026-11-20"),
        (NAME.fullmatch(name), "is not the name of an archive"),
    ):
        if not right:
            return what
    return SealLine(int(number), datetime.date.fromisoformat(day), whole, int(count), entries, content, name)


def _is_day(text: str) -> bool:
    try:
        return datetime.date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _against(seals: Sequence[SealLine], new: SealLine) -> str | None:
    """What speaks against a line after those before it."""
    if new.number != len(seals) + 1:
        return f"is seal {new.number} in the place of seal {len(seals) + 1}"
    if not seals:
        return None
    last = seals[-1]
    if new.date < last.date:
        return "its day is before that of the seal in front of it"
    if new.entries_count < last.entries_count:
        return "closes fewer entries than the seal in front of it"
    if new.name in {seal.name for seal in seals}:
        return "an earlier seal has this name"
    return None
