"""What a vessel's row depends on: a glance that tells whether its files changed, and their bytes where they did."""

import hashlib
import os
import time
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from proposal.errors import ProposalError
from proposal.frozen import frozen
from proposal.results.computed import LARGEST_LEDGER_BYTES, LEDGER_FILE
from proposal.spec.loading import (
    INSTALLER_FILE,
    LARGEST_PRICE_BOOK_BYTES,
    LARGEST_SPEC_BYTES,
    SPEC_FILE,
    price_book_of,
)
from proposal.spec.record_checks import PHOTO_NAME
from proposal.spec.recorded import LARGEST_ENTRY_BYTES, MOST_ENTRIES, PHOTO_FOLDER, RECORD_FOLDER, is_entry
from proposal.yard.find import SEALED, archives_in, regular

UNREADABLE = "01-cannot-be-read.yaml"
"""Stands for all entries of a record whose folder cannot be read."""
SEALS = f"{RECORD_FOLDER}/seals.txt"
ABOVE = "../"
LARGEST_INSTALLER_BYTES = 1_000_000
FACTS = "data/seal.json"
LARGEST_FACTS_BYTES = 1_000_000
RACY_NS = 2_000_000_000
"""A file that changed less than this before it was looked at may change again without a new time: two seconds, the
coarsest clock of a file system in use (FAT)."""

Glance = list[list[Any]]
"""Each file with size, times and number as the file system knows it, alone where there is none; and lists of names."""


@frozen
class Bundle:
    """All bytes that a row is made from. Names are told from the project's folder.

    `files` are its own, and what each archive says of itself under the archive's name; `shared` are the installer's
    file and the price book; of photos and archives the names count.
    """

    files: tuple[tuple[str, bytes], ...]
    shared: tuple[tuple[str, bytes], ...]
    photos: tuple[str, ...]
    archives: tuple[str, ...]

    def content(self) -> str:
        """One sum over everything in it."""
        made = hashlib.sha256()
        for name, data in (*self.files, *self.shared):
            made.update(f"{name!a} {digest_of(data)}\n".encode())
        made.update(repr((self.photos, self.archives)).encode("utf-8", "surrogatepass"))
        return made.hexdigest()


@lru_cache(maxsize=16)
def digest_of(data: bytes) -> str:
    """SHA-256 of bytes; a price book that many share is summed once."""
    return hashlib.sha256(data).hexdigest()


def glance(folder: str, price_book: str, shared: dict[str, list[Any]]) -> Glance:
    """What the file system knows of everything that a bundle would hold, without reading any of it.

    Parameters: the project's folder; the price book's name as the last bundle had it, empty: it had none; `shared`
    keeps in one run what was seen of files that many projects have.
    """
    own = [SPEC_FILE, LEDGER_FILE, SEALS, *(f"{RECORD_FOLDER}/{name}" for name in _entries(folder))]
    seen: Glance = [_seen(folder, name, follow=False) for name in own]
    for name in (INSTALLER_FILE, ABOVE + INSTALLER_FILE, price_book):
        path = os.path.join(os.path.dirname(folder), name[3:]) if name.startswith(ABOVE) else f"{folder}/{name}"
        if name and path not in shared:
            shared[path] = _seen(folder, name, follow=True)
        seen += [[name, *shared[path][1:]]] if name else []
    archives = archives_in(Path(folder))
    seen += [_seen(folder, _told_by(name), follow=False) for name in archives]
    return [*seen, ["photos", list(_photos(folder))], ["archives", list(archives)]]


def is_racy(seen: Glance, at_ns: int) -> bool:
    """Whether any file of a glance changed so shortly before it that a change since might not show."""
    return any(time_ns > at_ns - RACY_NS for line in seen if len(line) == 5 for time_ns in (line[2], line[4]))


def now_ns() -> int:
    """The clock by which glances are judged."""
    return time.time_ns()


def _seen(folder: str, name: str, *, follow: bool) -> list[Any]:
    path = os.path.join(os.path.dirname(folder), name[3:]) if name.startswith(ABOVE) else f"{folder}/{name}"
    known = regular(path, follow=follow)
    return [name] if known is None else [name, known.st_size, known.st_mtime_ns, known.st_ino, known.st_ctime_ns]


def read_bundle(folder: Path, known: dict[str, bytes | None]) -> Bundle:
    """Read what a row is made from; what is not there or cannot be read is left out, and the row says so.

    `known` keeps in one run what was read of files that many projects share.
    """
    own = [(SPEC_FILE, LARGEST_SPEC_BYTES), (LEDGER_FILE, LARGEST_LEDGER_BYTES), (SEALS, LARGEST_LEDGER_BYTES)]
    files = [(name, data) for name, most in own if (data := _bytes(folder / name, most, follow=False)) is not None]
    entries = [f"{RECORD_FOLDER}/{name}" for name in _entries(str(folder))]
    # without its last entry a record would only look older: one that cannot be read is told as an empty one
    files += [(name, _bytes(folder / name, LARGEST_ENTRY_BYTES, follow=False) or b"") for name in entries]
    archives = archives_in(folder)
    files += [(f"{SEALED}/{name}", data) for name in archives if (data := _facts(folder, name)) is not None]
    return Bundle(tuple(files), tuple(_shared(folder, known)), _photos(str(folder)), archives)


def book_name(folder: Path) -> str:
    """The name of the price book that a project's installer's file names; empty where it names none."""
    above, path = _installer(folder)
    if regular(str(path), follow=True) is None:
        return ""
    try:
        return above + price_book_of(path).name
    except ProposalError:
        return ""


def _installer(folder: Path) -> tuple[str, Path]:
    """Where the installer's file lies: in the project, or above it."""
    above = "" if (folder / INSTALLER_FILE).exists() else ABOVE
    return above, (folder.parent if above else folder) / INSTALLER_FILE


def _shared(folder: Path, known: dict[str, bytes | None]) -> Iterator[tuple[str, bytes]]:
    """The installer's file, the project's own or the parent's, and the price book beside it."""
    above, path = _installer(folder)

    def bytes_of(path: Path, most: int) -> bytes | None:
        if str(path) not in known:
            known[str(path)] = _bytes(path, most, follow=True)
        return known[str(path)]

    data = bytes_of(path, LARGEST_INSTALLER_BYTES)
    if data is None:
        return
    yield above + INSTALLER_FILE, data
    book = book_name(folder)
    if book:
        prices = bytes_of(path.with_name(book.removeprefix(ABOVE)), LARGEST_PRICE_BOOK_BYTES)
        if prices is not None:
            yield book, prices


def _bytes(path: Path, most: int, *, follow: bool) -> bytes | None:
    """The bytes of a regular file, one more at most than may be: so the reader sees that it is too large."""
    if regular(str(path), follow=follow) is None:
        return None
    try:
        with path.open("rb") as stream:
            return stream.read(most + 1)
    except OSError:
        return None


def _told_by(archive: str) -> str:
    """The file by whose look an archive is known: the zip, or what a folder says of itself."""
    return f"{SEALED}/{archive}" if archive.endswith(".zip") else f"{SEALED}/{archive}/{FACTS}"


def _facts(folder: Path, archive: str) -> bytes | None:
    """What an archive says of itself, unproven."""
    path = folder / _told_by(archive)
    if not archive.endswith(".zip"):
        return _bytes(path, LARGEST_FACTS_BYTES, follow=False)
    from proposal.archive.zipped import peek  # noqa: PLC0415 - not for a glance

    return peek(path, FACTS, LARGEST_FACTS_BYTES)


def _entries(folder: str) -> list[str]:
    """Names of a record's files as the reader of records looks for them, no more than it takes and one."""
    try:
        names = sorted(filter(is_entry, os.listdir(f"{folder}/{RECORD_FOLDER}")))
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError:
        return [UNREADABLE]
    return names[: MOST_ENTRIES + 1]


def _photos(folder: str) -> tuple[str, ...]:
    """Names of the photos that are there: what they show is nothing to a yard, that one is missing is a mistake."""
    try:
        with os.scandir(f"{folder}/{RECORD_FOLDER}/{PHOTO_FOLDER}") as listing:
            return tuple(
                sorted(e.name for e in listing if PHOTO_NAME.fullmatch(e.name) and e.is_file(follow_symlinks=False))
            )
    except OSError:
        return ()
