"""Days that are kept by content: an unchanged option is not simulated anew, and gives the same bytes as if it were."""

import hashlib
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Protocol

from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.errors import MachineError
from proposal.files import mark_used, remove_oldest, write_file
from proposal.parts.catalogue import Catalogue
from proposal.results.days_key import key_of
from proposal.results.days_text import decode, encode
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.result import Behaviour

Simulate = Callable[[EffectiveSpec, Design, RuleFamily, Catalogue], Behaviour]
"""What the days of a designed option show."""
DaysOf = Callable[[EffectiveSpec, Design, RuleFamily, Catalogue], Behaviour | None]
"""The same, or None where the days of this option are not asked for."""

MOST_ENTRIES = 200
MOST_BYTES = 200_000_000
SUFFIX = ".days"
MAGIC = b"proposal days 1\n"
DEPENDED_ON = (
    "studies", "parts", "circuit", "codes", "spec", "results/days_text.py", "results/days_key.py", "facts.py",
    "frozen.py", "sources.py", "units.py",
)  # fmt: skip
"""What of the program the days depend on, code and tables."""


class Shelf(Protocol):
    """Where bytes are kept by key."""

    def get(self, key: str) -> bytes | None:
        """What is kept under a key, whole and unharmed; None: nothing."""

    def put(self, key: str, data: bytes) -> None:
        """Keep something, if that can be."""


def remembered(days: Simulate, shelf: Shelf, stamp: str) -> Simulate:
    """The same days, taken from the shelf where they are there.

    Computed days take the same way through text as kept ones, so that both are equal in every bit and type.
    """

    def of(spec: EffectiveSpec, design: Design, family: RuleFamily, catalogue: Catalogue) -> Behaviour:
        key = key_of(spec, design.circuit, family, catalogue, stamp)
        kept = shelf.get(key)
        if kept is not None:
            try:
                return decode(kept)
            except ValueError:
                pass  # made by something else, or spoilt: it is replaced
        data = encode(days(spec, design, family, catalogue))
        shelf.put(key, data)
        return decode(data)

    return of


class FolderShelf:
    """Keeps entries as files of one folder, each with its digest; the ones used longest ago go when it is full.

    A folder that cannot be read or written is no error: then nothing is kept. With `tidies` False nothing goes until
    `tidy` is called: whoever puts many entries looks through the folder once.
    """

    def __init__(
        self, folder: Path, *, most_entries: int = MOST_ENTRIES, most_bytes: int = MOST_BYTES, tidies: bool = True
    ) -> None:
        self.folder = folder
        self.most_entries = most_entries
        self.most_bytes = most_bytes
        self.tidies = tidies

    def get(self, key: str) -> bytes | None:
        """What is kept under a key; None also where the file is damaged."""
        path = self._path(key)
        try:
            whole = path.read_bytes()
        except OSError:
            return None
        head, data = whole[: len(_head(key, b""))], whole[len(_head(key, b"")) :]
        if head != _head(key, data):
            return None
        mark_used(path)
        return data

    def put(self, key: str, data: bytes) -> None:
        """Keep an entry, and let the oldest go where there are too many or too much."""
        try:
            write_file(self._path(key), _head(key, data) + data)
        except MachineError:
            return
        if self.tidies:
            self.tidy()

    def tidy(self) -> None:
        """Let the oldest entries go where there are too many or too much."""
        remove_oldest(self.folder, f"*{SUFFIX}", self.most_entries, self.most_bytes)

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{SUFFIX}"


def _head(key: str, data: bytes) -> bytes:
    """What stands before an entry: what it is, its key, its digest; always of one length."""
    return MAGIC + f"{key} {hashlib.sha256(data).hexdigest()}\n".encode()


def stamp_of(
    package: Path, versions: Iterable[str], *, depended_on: Iterable[str] = DEPENDED_ON, **settings: float
) -> str:
    """Which program makes the days: its own sources and tables, Python, processor, libraries, and settings.

    Parameters: folder of the package; versions of the libraries that compute; what of the package counts; settings as
    seed and step.
    """
    digest = hashlib.sha256()
    for name in depended_on:
        for path in _sources(package / name):
            digest.update(path.relative_to(package).as_posix().encode() + b"\0")
            digest.update(hashlib.sha256(path.read_bytes()).digest())
    processor = os.uname().machine if sys.platform != "win32" else os.environ.get("PROCESSOR_ARCHITECTURE", "")
    machine = (sys.implementation.name, *map(str, sys.version_info[:3]), sys.platform, processor)
    said = [f"{name}={value!r}" for name, value in sorted(settings.items())]
    return " ".join([digest.hexdigest(), *machine, *versions, *said])


def _sources(path: Path) -> Iterable[Path]:
    if path.is_file():
        return [path]
    found = (p for p in path.rglob("*") if p.suffix not in (".pyc", ".nbi", ".nbc") and "__pycache__" not in p.parts)
    return sorted(p for p in found if p.is_file())
