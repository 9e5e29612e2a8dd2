"""What a yard remembers from one run to the next: what each vessel's files looked like, and what was published."""

import hashlib
import json
import os
from pathlib import Path
from typing import Any

from proposal.errors import MachineError
from proposal.files import write_file
from proposal.frozen import frozen
from proposal.yard.bundle import Glance

VERSION = 1


@frozen
class Known:
    """A vessel as it was seen last: the glance, the sum over its bytes, its price book's name."""

    seen: Glance
    content: str
    price_book: str


@frozen
class Published:
    """What was written last: the folder, the key of everything in it, and a sum of what the files looked like."""

    folder: str
    key: str
    looks: str


@frozen
class Memory:
    """Vessels by path, and what was published; empty where nothing is known."""

    vessels: dict[str, Known]
    published: Published | None


def recall(path: Path) -> Memory:
    """What a file of `keep` says. One that is not there, damaged or of another version says nothing."""
    try:
        whole = path.read_bytes()
        head, _, text = whole.partition(b"\n")
        if head.decode() != hashlib.sha256(text).hexdigest():
            return Memory({}, None)
        made: Any = json.loads(text)
        if made["version"] != VERSION:
            return Memory({}, None)
        vessels = {name: Known(*known) for name, known in made["vessels"].items()}
        published = Published(*made["published"]) if made["published"] else None
    except (OSError, ValueError, KeyError, TypeError):
        return Memory({}, None)
    return Memory(vessels, published)


def keep(path: Path, memory: Memory) -> None:
    """Write what is known; where that cannot be, the next run looks at everything anew."""
    published = memory.published
    made = {
        "version": VERSION,
        "vessels": {name: [k.seen, k.content, k.price_book] for name, k in memory.vessels.items()},
        "published": [published.folder, published.key, published.looks] if published else None,
    }
    text = json.dumps(made, separators=(",", ":")).encode()
    try:
        write_file(path, hashlib.sha256(text).hexdigest().encode() + b"\n" + text)
    except MachineError:
        return


def memory_file(cache: Path, home: Path) -> Path:
    """Where a yard's memory is kept: one file for each folder."""
    return cache / "yards" / f"{hashlib.sha256(os.fsencode(home)).hexdigest()}.json"


def looks_of(folder: Path) -> str:
    """A sum of what every file of a published folder looks like, its bytes apart; empty where it cannot be read."""
    made = hashlib.sha256()
    waiting = [""]
    try:
        while waiting:
            here = waiting.pop()
            with os.scandir(folder / here) as listing:
                for entry in sorted(listing, key=lambda e: e.name):
                    name = f"{here}/{entry.name}" if here else entry.name
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append(name)
                    known = entry.stat(follow_symlinks=False)
                    made.update(
                        f"{name!a} {known.st_mode} {known.st_size} {known.st_mtime_ns} {known.st_ino}\n".encode()
                    )
    except OSError:
        return ""
    return made.hexdigest()
