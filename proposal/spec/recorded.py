"""Reads the record of a vessel, and lays its entries over the spec: what was fitted becomes pins and values.

Nothing above needs to know: a recorded project is a project whose chosen option has a pin for each item.
"""

import hashlib
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from proposal.errors import MachineError, Problem, SpecError
from proposal.frozen import frozen
from proposal.reading import Document, Elsewhere, Loc, Tree, read
from proposal.spec.loading import Project, load_project
from proposal.spec.record import Entry

RECORD_FOLDER = "record"
PHOTO_FOLDER = "photos"
ENTRY_FILE = re.compile(r"(\d{2,4})-[a-z0-9][a-z0-9-]{0,60}\.yaml")
LARGEST_ENTRY_BYTES = 300_000
LARGEST_PHOTO_BYTES = 40_000_000
MOST_ENTRIES = 500
PHOTO_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,120}\.(?:jpe?g|png)", re.IGNORECASE)


@frozen
class RecordEntry:
    """An entry as read: its number, its file's name and sum."""

    number: int
    file: str
    sha256: str
    document: Document[Entry]

    @property
    def value(self) -> Entry:
        """What it says."""
        return self.document.value


@frozen
class Record:
    """All entries in their order; the first is the hand-over. `photo_sums`: SHA-256 of each photo by its file name."""

    folder: Path
    entries: tuple[RecordEntry, ...]
    photo_sums: Mapping[str, str]

    @property
    def option_id(self) -> str:
        """The chosen option."""
        return self.entries[0].value.option or ""

    def until(self, number: int) -> "Record":
        """The record as it was after its first ``number`` entries."""
        return Record(self.folder, self.entries[:number], self.photo_sums)


def has_record(folder: Path) -> bool:
    """Whether a project has at least one file in its folder of entries."""
    try:
        return any(name.endswith(".yaml") for name in os.listdir(folder / RECORD_FOLDER))
    except OSError:
        return False


def load_record(folder: Path) -> Record:
    """Read all entries of a project that has a record.

    Raises SpecError with every problem of all entries, MachineError where the folder or a file cannot be opened.
    """
    home = folder / RECORD_FOLDER
    try:
        names = sorted(name for name in os.listdir(home) if name.endswith(".yaml"))
    except OSError as error:
        raise MachineError(f"cannot read {home}: {error.strerror}", "check the folder and its rights") from error
    problems: list[Problem] = []
    entries: list[RecordEntry] = []
    if len(names) > MOST_ENTRIES:
        raise SpecError([Problem(str(home), 1, 1, "holds too many entries", f"up to {MOST_ENTRIES}")])
    for place, name in enumerate(names, 1):
        path = home / name
        named = ENTRY_FILE.fullmatch(name)
        if named is None or int(named[1]) != place:
            what = "the files of the entries are not numbered one after the other"
            problems.append(Problem(str(path), 1, 1, what, f"{place:02d}- and a name in small letters, then .yaml"))
            continue
        try:
            document = read(path, Entry, max_bytes=LARGEST_ENTRY_BYTES, also=_complaints(place))
            entries.append(RecordEntry(place, name, hashlib.sha256(path.read_bytes()).hexdigest(), document))
        except SpecError as error:
            problems += error.problems
        except OSError as error:
            raise MachineError(f"cannot read {path}: {error.strerror}", "check the rights of the file") from error
    problems += _across(entries)
    sums: dict[str, str] = {}
    problems += _photos(home, entries, sums)
    if problems:
        raise SpecError(problems)
    return Record(home, tuple(entries), sums)


def load_recorded(folder: Path, record: Record) -> Project:
    """Read the project with the entries of a record laid over its spec.

    Raises SpecError with every problem, those of laid values at their place in the entry's file.
    """
    return load_project(folder, lay=lambda tree: _lay(tree, record), chosen=record.option_id)


def photo_path(home: Path, name: str) -> Path:
    """Where a photo of the record in folder `home` lies. Raises ValueError for a name that leads elsewhere, OSError.

    Only a plain name is taken, and the file must be a regular one in the folder of photos itself, no link.
    """
    if not PHOTO_NAME.fullmatch(name) or PurePosixPath(name).name != name:
        raise ValueError(f"{name!r} is not the name of a photo")
    path = home / PHOTO_FOLDER / name
    if any(way.is_symlink() for way in (path, home / PHOTO_FOLDER, home)):
        raise ValueError(f"{name!r} is a link")
    if not path.is_file():
        raise ValueError(f"there is no photo {name!r} in {RECORD_FOLDER}/{PHOTO_FOLDER}")
    if path.stat().st_size > LARGEST_PHOTO_BYTES:
        raise ValueError(f"{name!r} is larger than {LARGEST_PHOTO_BYTES // 1_000_000} MB")
    return path


def _complaints(place: int) -> Any:
    """What is wrong with one entry by itself, as (where, what, allowed)."""

    def complaints(tree: Any) -> Iterator[tuple[Loc, str, str]]:
        if not isinstance(tree, dict):
            return
        first = place == 1
        if first and tree.get("kind") not in (None, "hand_over"):
            yield ("kind",), "the first entry of a record is the hand-over", "hand_over"
        if not first and tree.get("kind") == "hand_over":
            yield ("kind",), "only the first entry of a record is the hand-over", "change or visit"
        if first and "option" not in tree:
            yield (), "the hand-over says which option was chosen", "option: one of the spec's"
        if not first and "option" in tree:
            yield ("option",), "the option is chosen in the first entry", "no `option` here"
        for number, change in _list(tree, "changes"):
            said = [key for key in ("now", "add", "removed") if key in change]
            if len(said) != 1:
                yield ("changes", number), "a change says one thing", "one of `now`, `add` or `removed: yes`"
            path = str(change.get("at", "")).split(".")
            if path[0] in ("spec_version", "options", "") and path[:1] != ["options"]:
                yield ("changes", number, "at"), "this cannot be changed", "a path such as routes.windlass.length"
        for number, photo in _list(tree, "photos"):
            name = photo.get("file")
            if isinstance(name, str) and not PHOTO_NAME.fullmatch(name):
                yield ("photos", number, "file"), "is not the name of a photo", "a name such as fuse-box.jpg, no folder"

    return complaints


def _list(tree: dict[str, Any], name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    found = tree.get(name)
    for number, entry in enumerate(found if isinstance(found, list) else ()):
        if isinstance(entry, dict):
            yield number, entry


def _across(entries: Iterable[RecordEntry]) -> Iterator[Problem]:
    """What is wrong between entries: dates that go back, defects that nobody found."""
    known: set[str] = set()
    before = None
    for entry in entries:
        made = entry.value
        if before is not None and made.date < before:
            yield _problem(entry, ("date",), "is before the entry in front of it", f"{before.isoformat()} or later")
        before = made.date
        for name in made.defects:
            if name in known:
                yield _problem(entry, ("defects", name), "an earlier entry has a defect of this name", "another name")
        known |= made.defects.keys()
        for number, mended in enumerate(made.mended):
            if mended.defect not in known:
                allowed = ", ".join(sorted(known)) or "a defect of this entry or an earlier one"
                yield _problem(entry, ("mended", number, "defect"), "no entry has such a defect", allowed)


def _photos(home: Path, entries: Iterable[RecordEntry], sums: dict[str, str]) -> Iterator[Problem]:
    """What is wrong with the files of photos; their sums go into `sums`."""
    for entry in entries:
        for number, photo in enumerate(entry.value.photos):
            if photo.file in sums:
                continue
            try:
                sums[photo.file] = hashlib.sha256(photo_path(home, photo.file).read_bytes()).hexdigest()
            except (ValueError, OSError) as error:
                allowed = f"a JPEG or PNG file in {RECORD_FOLDER}/{PHOTO_FOLDER}"
                yield _problem(entry, ("photos", number, "file"), str(error), allowed)


def _problem(entry: RecordEntry, loc: Loc, what: str, allowed: str) -> Problem:
    line, column = entry.document.position(loc)
    return Problem(str(entry.document.path), line, column, what, allowed)


def _lay(tree: Tree, record: Record) -> Iterator[Problem]:
    """Lay pins, changed values and accepted findings of all entries over the tree of the spec."""
    option = record.option_id
    options = tree.value(("options",))
    if isinstance(options, dict) and option not in options:
        yield _problem(record.entries[0], ("option",), "the spec has no such option", ", ".join(options))
        return
    pins: dict[str, tuple[str, Elsewhere]] = {}
    for entry in record.entries:
        for number, change in enumerate(entry.value.changes):
            if (wrong := _lay_change(tree, entry, number, change.at)) is not None:
                yield wrong
            if change.removed:  # with a load its cables and fuse are gone
                pins = {key: pin for key, pin in pins.items() if not key.startswith(f"{change.at}.")}
        for key, item in entry.value.fitted.items():
            if item.part is not None:
                pins[key] = (item.part, _place(entry, ("fitted", key, "is")))
        for number, risk in enumerate(entry.value.accepted):
            said = {name: text for name, text in risk.model_dump().items() if text}
            there = tree.value(("options", option, "accepted"))
            last = len(there) if isinstance(there, list) else 0
            here = _place(entry, ("accepted", number))
            if not isinstance(there, list):
                tree.lay(("options", option, "accepted"), [], {}, here)
            tree.lay(("options", option, "accepted", last), said, _places(entry, ("accepted", number)), here)
    for key, (part, place) in pins.items():
        tree.lay(("options", option, "pins", key), part, {}, place)


def _place(entry: RecordEntry, loc: Loc) -> Elsewhere:
    return Elsewhere.of(entry.document.position(loc), str(entry.document.path))


def _places(entry: RecordEntry, loc: Loc) -> dict[Loc, Any]:
    found = entry.document.places.items()
    file = str(entry.document.path)
    return {at[len(loc) :]: Elsewhere.of(p, file) for at, p in found if len(at) > len(loc) and at[: len(loc)] == loc}


def _lay_change(tree: Tree, entry: RecordEntry, number: int, at: str) -> Problem | None:
    change = entry.value.changes[number]
    loc = _loc(tree, at)
    here = ("changes", number)
    try:
        if change.removed:
            tree.take_out(loc)
        elif change.add is not None:
            there = tree.value(loc)
            if there is None:
                tree.lay(loc, [], {}, _place(entry, (*here, "at")))
            elif not isinstance(there, list):
                return _problem(entry, (*here, "at"), "is no list, so nothing can be added", "a path of a list")
            last = len(there) if isinstance(there, list) else 0
            tree.lay((*loc, last), change.add, _places(entry, (*here, "add")), _place(entry, (*here, "add")))
        else:
            tree.lay(loc, change.now, _places(entry, (*here, "now")), _place(entry, (*here, "now")))
    except KeyError as error:
        what = f"the spec has nothing under {error.args[0]!r} on this path"
        return _problem(entry, (*here, "at"), what, "a path such as routes.windlass.length")
    return None


def _loc(tree: Tree, at: str) -> Loc:
    """A path such as survey.stays.2.fitted as a loc: entries of a list count from 1."""
    loc: Loc = ()
    for part in at.split("."):
        inside = tree.value(loc)
        loc = (*loc, int(part) - 1 if isinstance(inside, list) and part.isdecimal() else part)
    return loc
