"""Reads the record of a vessel, and lays its entries over the spec: what was fitted becomes pins and values.

Nothing above needs to know: a recorded project is a project whose chosen option has a pin for each item.
"""

import difflib
import hashlib
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path, PurePosixPath
from typing import Any

from proposal.errors import MachineError, Problem, SpecError
from proposal.frozen import frozen
from proposal.reading import Document, Elsewhere, Loc, Place, Tree, read
from proposal.reading.tree import clip
from proposal.spec.loading import Project, load_project
from proposal.spec.options import Option
from proposal.spec.project import Spec
from proposal.spec.record import Entry
from proposal.spec.record_checks import PHOTO_NAME, entry_complaints

RECORD_FOLDER = "record"
PHOTO_FOLDER = "photos"
ENTRY_FILE = re.compile(r"(\d{2,4})-[a-z0-9][a-z0-9-]{0,60}\.yaml")
LARGEST_ENTRY_BYTES = 300_000
LARGEST_PHOTO_BYTES = 40_000_000
MOST_ENTRIES = 500
_COUNT = re.compile("[1-9][0-9]{0,5}")


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

    def problem(self, loc: Loc, what: str, allowed: str) -> Problem:
        """Something that is wrong at a place in its file."""
        line, column = self.document.position(loc)
        return Problem(str(self.document.path), line, column, what, allowed)


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
    """Whether a project has at least one file in its folder of entries.

    Raises MachineError where that folder is there and cannot be read: a vessel with a record is never taken for a
    proposal.
    """
    home = folder / RECORD_FOLDER
    try:
        return any(map(is_entry, os.listdir(home)))
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError as error:
        raise MachineError(f"cannot read {home}: {error.strerror}", "check the folder and its rights") from error


def load_record(folder: Path) -> Record:
    """Read all entries of a project that has a record.

    Raises SpecError with every problem of all entries, MachineError where the folder or a file cannot be opened.
    """
    home = folder / RECORD_FOLDER
    try:
        names = sorted(filter(is_entry, os.listdir(home)), key=_in_turn)
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
        if path.is_symlink() or not path.is_file():
            problems.append(Problem(str(path), 1, 1, "is no file of its own", "the file itself, not a link to it"))
            continue
        try:
            document = read(path, Entry, max_bytes=LARGEST_ENTRY_BYTES, also=entry_complaints(place))
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


def is_entry(name: str) -> bool:
    """Whether a file of the record is meant to be an entry; one with another ending than .yaml is told, not missed."""
    return name.lower().endswith((".yaml", ".yml")) and not name.startswith(".")


def _in_turn(name: str) -> tuple[int, str]:
    named = ENTRY_FILE.fullmatch(name)
    return (int(named[1]) if named is not None else MOST_ENTRIES, name)


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


def _across(entries: Iterable[RecordEntry]) -> Iterator[Problem]:
    """What is wrong between entries: dates that go back, defects that nobody found."""
    known: set[str] = set()
    before = None
    for entry in entries:
        made = entry.value
        if before is not None and made.date < before:
            yield entry.problem(("date",), "is before the entry in front of it", f"{before.isoformat()} or later")
        before = made.date
        for name in made.defects:
            if name in known:
                yield entry.problem(("defects", name), "an earlier entry has a defect of this name", "another name")
        known |= made.defects.keys()
        for number, mended in enumerate(made.mended):
            if mended.defect not in known:
                allowed = ", ".join(sorted(known)) or "a defect of this entry or an earlier one"
                yield entry.problem(("mended", number, "defect"), "no entry has such a defect", allowed)


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
                yield entry.problem(
                    ("photos", number, "file"),
                    (error.strerror if isinstance(error, OSError) else None) or str(error),
                    allowed,
                )


def _lay(tree: Tree, record: Record) -> Iterator[Problem]:
    """Lay pins, changed values and accepted findings of all entries over the tree of the spec."""
    option = record.option_id
    options = tree.value(("options",))
    if isinstance(options, dict) and option not in options:
        yield record.entries[0].problem(("option",), "the spec has no such option", ", ".join(options))
        return
    pins: dict[str, tuple[str, Elsewhere]] = {}
    for entry in record.entries:
        for number, change in enumerate(entry.value.changes):
            yield from _lay_change(tree, entry, number, option)
            if change.removed:  # with a load its cables and fuse are gone
                pins = {key: pin for key, pin in pins.items() if not f"{key}.".startswith(f"{change.at}.")}
                _drop_pins(tree, ("options", option, "pins"), change.at)
        for key, item in entry.value.fitted.items():
            if item.part is not None:
                pins[key] = (item.part, _place(entry, ("fitted", key, "is")))
        for number, risk in enumerate(entry.value.accepted):
            said = {name: text for name, text in risk.model_dump().items() if text}
            places = _places(entry, ("accepted", number))
            _lay_last(tree, ("options", option, "accepted"), said, places, _place(entry, ("accepted", number)))
    if pins and isinstance(tree.value(("options", option)), dict):
        first = next(iter(pins.values()))[1]
        if tree.value(("options", option, "pins")) is None:
            tree.lay(("options", option, "pins"), {}, {}, first)
        if isinstance(tree.value(("options", option, "pins")), dict):
            for key, (part, place) in pins.items():
                tree.lay(("options", option, "pins", key), part, {}, place)


def _drop_pins(tree: Tree, pins: Loc, at: str) -> None:
    there = tree.value(pins)
    for key in [key for key in there if f"{key}.".startswith(f"{at}.")] if isinstance(there, dict) else ():
        tree.take_out((*pins, key))


def _lay_last(tree: Tree, loc: Loc, node: Any, places: Mapping[Loc, Place], place: Place) -> None:
    """Lay one more entry of a list, which is made where there is none; what is no list is left for others to tell."""
    if tree.value(loc) is None and isinstance(tree.value(loc[:-1]), dict):
        tree.lay(loc, [], {}, place)
    there = tree.value(loc)
    if isinstance(there, list):
        tree.lay((*loc, len(there)), node, places, place)


def _place(entry: RecordEntry, loc: Loc) -> Elsewhere:
    return Elsewhere.of(entry.document.position(loc), str(entry.document.path))


def _places(entry: RecordEntry, loc: Loc) -> dict[Loc, Place]:
    found = entry.document.places.items()
    file = str(entry.document.path)
    return {at[len(loc) :]: Elsewhere.of(p, file) for at, p in found if len(at) > len(loc) and at[: len(loc)] == loc}


def _lay_change(tree: Tree, entry: RecordEntry, number: int, option: str) -> Iterator[Problem]:
    change = entry.value.changes[number]
    here: Loc = ("changes", number)
    path = change.at.split(".")
    if path[0] == "options" and (len(path) < 3 or path[1] != option):
        yield entry.problem((*here, "at"), "only the option that was built can change", f"options.{option}.NAME")
        return
    loc: Loc = ()
    for depth, part in enumerate(path, 1):
        inside = tree.value(loc)
        step = int(part) - 1 if isinstance(inside, list) and _COUNT.fullmatch(part) else part
        made = depth == len(path) and not change.removed
        if isinstance(inside, dict) and step not in inside and not made and part in _sections(loc, option):
            tree.lay((*loc, step), {}, {}, _place(entry, (*here, "at")))
        elif tree.value((*loc, step)) is None and not (made and isinstance(inside, dict)):
            yield _lost(entry, (*here, "at"), path[: depth - 1], part, inside)
            return
        loc = (*loc, step)
    if change.removed:
        tree.take_out(loc, _place(entry, (*here, "removed")))
    elif change.add is None:
        tree.lay(loc, change.now, _places(entry, (*here, "now")), _place(entry, (*here, "now")))
    elif isinstance(tree.value(loc), list | None):
        _lay_last(tree, loc, change.add, _places(entry, (*here, "add")), _place(entry, (*here, "add")))
    else:
        yield entry.problem((*here, "at"), "is no list, so nothing can be added", "a path of a list")


def _sections(loc: Loc, option: str) -> frozenset[str]:
    """Names of the sections that may stand at a place of the spec, whether they do or not."""
    model = Spec if loc == () else Option if loc == ("options", option) else None
    fields = model.model_fields.items() if model is not None else ()
    return frozenset(field.alias or name for name, field in fields)


def _lost(entry: RecordEntry, loc: Loc, before: Sequence[str], part: str, inside: Any) -> Problem:
    """A path of a change leads nowhere: what there is instead."""
    where = ".".join(before) or "its top"
    near = difflib.get_close_matches(part, inside, n=3) if isinstance(inside, dict) else ()
    counted = f"1 to {len(inside)}" if isinstance(inside, list) else ""
    allowed = " or ".join(near) or counted or "a path such as routes.windlass.length"
    return entry.problem(loc, f"the spec has nothing under {clip(part)!r} at {clip(where)}", allowed)
