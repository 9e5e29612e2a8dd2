"""All vessels of a folder as rows: those that changed are computed, the others are as they were kept."""

import hashlib
from collections.abc import Callable, Iterator
from typing import Protocol

from proposal.frozen import frozen
from proposal.results.computed import made_by
from proposal.results.yard_model import Moored, Yard, YardRow
from proposal.results.yard_row import row_from
from proposal.yard.find import printable
from proposal.yard.look import Looked
from proposal.yard.row import Chunk, in_chunks, row_stamp
from proposal.yard.work import Workers

LARGEST_CHUNK = 8
"""Vessels in one go: so few that no process is long at work when the others are done."""
CHUNKS = 16
"""With fewer vessels than chunks and more, one each."""


class Shelf(Protocol):
    """Where rows are kept by key."""

    def get(self, key: str) -> bytes | None:
        """What is kept under a key, whole and unharmed; None: nothing."""

    def put(self, key: str, data: bytes) -> None:
        """Keep something, if that can be."""


@frozen
class Gathered:
    """A yard, how many rows were made anew (one for all vessels whose bytes are alike), and whether all are `whole`.

    `texts` are the rows as they are kept, in the order of the vessels. Where the program failed they are not whole.
    """

    yard: Yard
    texts: tuple[bytes, ...]
    made_count: int
    whole: bool


def gather(
    looked: Looked,
    workers: Callable[[int], Workers],
    shelf: Shelf,
    today: str,
    *,
    stamped: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Gathered:
    """The rows of all vessels.

    Parameters: what lies in the yard; workers for a number of vessels; where rows are kept; the day; `stamped`: the
    workers must prove that they run this program; progress is called with how many are done, and of how many.
    Raises MachineError as the workers do.
    """
    rows: dict[str, YardRow] = {}
    texts: dict[str, bytes] = {}
    waiting: dict[str, list[str]] = {}
    for path, known in looked.known.items():
        key = _key(known.content)
        kept = _kept(shelf, key) if key not in waiting else None
        if kept is None:
            waiting.setdefault(key, []).append(path)
        else:
            rows[path], texts[path] = kept
    whole, done, of = True, 0, len(waiting)
    while waiting:
        groups, waiting = list(waiting.values()), {}
        chunks = _chunks(looked, [paths[0] for paths in groups], row_stamp() if stamped else "")
        for made in (made for several in workers(len(groups))(chunks) for made in several):
            row, key = row_from(made.text), _key(looked.known[groups[made.number][0]].content)
            for path in groups[made.number]:
                if _key(looked.known[path].content) == key:
                    rows[path], texts[path] = row, made.text
                else:  # the first of those that were alike changed while it waited
                    waiting.setdefault(_key(looked.known[path].content), []).append(path)
            if made.whole:
                shelf.put(key, made.text)
            whole = whole and made.whole
            done += 1
            if progress is not None:
                progress(done, max(of, done))
    vessels = tuple(Moored(printable(path), rows[path]) for path in looked.known)
    unread = tuple((printable(path), why) for path, why in looked.unread)
    yard = Yard(today, made_by(), vessels, unread)
    return Gathered(yard, tuple(texts[path] for path in looked.known), done, whole)


def _key(content: str) -> str:
    return hashlib.sha256(f"yard row {row_stamp()} {content}".encode()).hexdigest()


def _kept(shelf: Shelf, key: str) -> tuple[YardRow, bytes] | None:
    kept = shelf.get(key)
    if kept is None:
        return None
    try:
        return row_from(kept), kept
    except ValueError:
        return None  # made by something else, or spoilt: it is replaced


def _chunks(looked: Looked, todo: list[str], stamp: str) -> Iterator[Chunk]:
    bundles = ((number, looked.bundle(path)) for number, path in enumerate(todo))
    return in_chunks(bundles, max(1, min(LARGEST_CHUNK, len(todo) // CHUNKS)), stamp)
