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
    """A yard, how many of its rows were made anew, and whether the program failed at none of them.

    `texts` are the rows as they are kept, in the order of the vessels.
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
    todo: list[str] = []
    for path, known in looked.known.items():
        kept = _kept(shelf, _key(known.content))
        if kept is None:
            todo.append(path)
        else:
            rows[path], texts[path] = kept
    whole, before = True, len(rows)
    chunks = _chunks(looked, todo, row_stamp() if stamped else "")
    for made in (made for several in workers(len(todo))(chunks) for made in several):
        path = todo[made.number]
        rows[path], texts[path] = row_from(made.text), made.text
        if made.whole:
            shelf.put(_key(looked.known[path].content), made.text)
        whole = whole and made.whole
        if progress is not None:
            progress(len(rows) - before, len(todo))
    vessels = tuple(Moored(printable(path), rows[path]) for path in looked.known)
    unread = tuple((printable(path), why) for path, why in looked.unread)
    yard = Yard(today, made_by(), vessels, unread)
    return Gathered(yard, tuple(texts[path] for path in looked.known), len(todo), whole)


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
