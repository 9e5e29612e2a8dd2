"""A folder of projects → its index, written only where anything in it is new."""

import hashlib
import os
from collections.abc import Callable
from pathlib import Path

import proposal
from proposal.files import write_tree
from proposal.frozen import frozen
from proposal.results.store import FolderShelf, stamp_of
from proposal.results.yard_model import Yard
from proposal.yard.gather import Gathered, gather
from proposal.yard.look import Looked
from proposal.yard.memory import Memory, Published, keep, looks_of, memory_file, recall
from proposal.yard.work import Workers, here, processes, usable_processors

OUT = "yard"
MOST_KEPT = 40_000
MOST_KEPT_BYTES = 2_000_000_000
FEW = 3
"""So few vessels are done before other processes have begun."""


@frozen
class Indexed:
    """What became of it: where the index lies, how many vessels it has, how many were computed anew.

    `yard` is None where nothing had changed: then nothing was read but memory, and nothing written.
    """

    folder: Path
    vessels_count: int
    made_count: int
    yard: Yard | None


def index(
    home: Path,
    out: Path | None,
    today: str,
    cache: Path,
    *,
    jobs: int | None = None,
    cluster: Workers | None = None,
    progress: Callable[[str, int, int], None] = lambda *_: None,
) -> Indexed:
    """Make or renew the index of a folder.

    Parameters: the folder; where to publish, None: yard/ in it; the day for which upkeep is due; the user's cache; how
    many processes, None: as many as there are processors; `cluster` does the work in their place.
    Raises UsageError, MachineError.
    """
    home = Path(os.path.realpath(home))
    folder = Path(os.path.realpath(home / OUT if out is None else out))
    file = memory_file(cache, home)
    before = recall(file)
    progress("looking", 0, 0)
    looked = Looked(home, before.vessels)
    key = _key(looked, today)
    last = before.published
    if last is not None and (last.folder, last.key) == (str(folder), key) and last.looks == looks_of(folder):
        if looked.memory() != before.vessels:
            keep(file, Memory(looked.memory(), last))
        return Indexed(folder, len(looked.known), 0, None)

    def workers(count: int) -> Workers:
        wanted = min(jobs or usable_processors(), max(count, 1))
        if cluster is not None and count:
            return cluster
        return here if wanted == 1 or count <= FEW else processes(wanted)

    shelf = FolderShelf(cache / "yard", most_entries=MOST_KEPT, most_bytes=MOST_KEPT_BYTES, tidies=False)
    made = gather(
        looked, workers, shelf, today, stamped=cluster is not None, progress=lambda n, of: progress("computing", n, of)
    )
    if made.made_count:
        shelf.tidy()
    key = _key(looked, today)
    progress("writing", 0, 0)
    write_tree(folder, _files(made, key))
    published = Published(str(folder), key, looks_of(folder)) if made.whole else None
    keep(file, Memory(looked.memory(), published))
    return Indexed(folder, len(looked.known), made.made_count, made.yard)


def _files(made: Gathered, key: str) -> dict[str, bytes]:
    from proposal.book.yard import make_yard_book  # noqa: PLC0415 - heavy, and an unchanged yard needs none of it
    from proposal.publish.site import render_site  # noqa: PLC0415
    from proposal.yard.tables import files_of  # noqa: PLC0415

    return render_site(make_yard_book(made.yard), {}, files_of(made.yard, made.texts, key))


def _key(looked: Looked, today: str) -> str:
    """What all that is published depends on: rows, day, and the program that writes the pages."""
    home = Path(proposal.__file__).parent
    writes = ("book", "publish", "yard", "../site_templates")
    stamp = stamp_of(home, [proposal.__version__], depended_on=writes)
    return hashlib.sha256(f"{looked.key()} {today} {stamp}".encode()).hexdigest()
