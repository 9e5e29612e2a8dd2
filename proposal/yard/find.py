"""Where the vessels of a yard lie: every folder with a spec.yaml, and sealed archives whose project is gone."""

import os
import stat
from pathlib import Path

from proposal.errors import MachineError, UsageError
from proposal.files import MARKER
from proposal.frozen import frozen
from proposal.spec.loading import SPEC_FILE

MOST_DEPTH = 8
MOST_VESSELS = 20_000
SEALED = "sealed"
BAG_FILE = "bagit.txt"
NOT_ENTERED = frozenset({"output", SEALED, "record", "__pycache__", "node_modules"})


@frozen
class Found:
    """Folders of projects, and of sealed archives without a project, from the yard's folder (`.` for itself).

    `unread`: folders that could not be looked into, and why.
    """

    projects: tuple[str, ...]
    sealed: tuple[str, ...]
    unread: tuple[tuple[str, str], ...]


def find(home: Path) -> Found:
    """All projects in a folder and below, in the order of their paths.

    No link is followed. Hidden folders, output, folders written by this tool, and unpacked archives are not entered.
    Raises UsageError where `home` is no folder, MachineError where there are too many vessels.
    """
    if not home.is_dir():
        raise UsageError(f"there is no folder {str(home)!r}")
    projects: list[str] = []
    sealed: list[str] = []
    unread: list[tuple[str, str]] = []
    waiting = [("", 0)]
    while waiting:
        here, depth = waiting.pop()
        try:
            with os.scandir(home / here) as listing:
                entries = {entry.name: entry for entry in listing}
            folders = [name for name, entry in entries.items() if entry.is_dir(follow_symlinks=False)]
            is_project = SPEC_FILE in entries and entries[SPEC_FILE].is_file(follow_symlinks=False)
        except OSError as error:
            unread.append((here or ".", error.strerror or str(error)))
            continue
        if here and (MARKER in entries or BAG_FILE in entries):
            continue
        if is_project:
            projects.append(here or ".")
        elif SEALED in folders:
            sealed.append(here or ".")
        if len(projects) > MOST_VESSELS:
            raise MachineError(f"{home} holds more than {MOST_VESSELS} projects", "make an index of a folder inside it")
        if depth < MOST_DEPTH:
            inside = [name for name in folders if name not in NOT_ENTERED and not name.startswith(".")]
            waiting += [(f"{here}/{name}" if here else name, depth + 1) for name in inside]
    return Found(tuple(sorted(projects)), tuple(sorted(sealed)), tuple(sorted(unread)))


def printable(path: str) -> str:
    """A path in signs that every text can hold: bytes that are no UTF-8 as their numbers."""
    return path.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def archives_in(folder: Path) -> tuple[str, ...]:
    """Names of the archives in the folder of sealed ones: zips and folders, no links, none that is half written."""
    found = []
    try:
        with os.scandir(folder / SEALED) as listing:
            for entry in listing:
                if entry.name.startswith(".") or entry.is_symlink():
                    continue
                if entry.name.endswith(".zip") if entry.is_file() else os.path.isfile(f"{entry.path}/{BAG_FILE}"):
                    found.append(entry.name)
    except OSError:
        return ()
    return tuple(sorted(found))


def regular(path: str, *, follow: bool) -> os.stat_result | None:
    """What the system knows of a regular file; None where there is none, or a link that is not to be followed."""
    try:
        known = os.stat(path, follow_symlinks=follow)
    except (OSError, ValueError):
        return None
    return known if stat.S_ISREG(known.st_mode) else None
