"""A choice of the pages of a book: what led to a page that is left out becomes plain text."""

from collections.abc import Collection, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from proposal.book.blocks import Book, OptionFace, Page
from proposal.book.tables import Link

T = TypeVar("T")


def only(book: Book, page_ids: Sequence[str], first: Page | None = None) -> Book:
    """The book with the pages of these ids alone, in that order, those that it has; `first` before them all.

    Links to other pages are their text. Raises ValueError where no page is left.
    """
    by_id = {page.id: page for page in book.pages}
    chosen = [by_id[page_id] for page_id in dict.fromkeys(page_ids) if page_id in by_id]
    if first is not None:
        chosen = [first, *(page for page in chosen if page.id != first.id)]
    if not chosen:
        raise ValueError("no page of the book is chosen")
    kept = frozenset(page.id for page in chosen)
    pages = tuple(_within(page, kept, chosen[0].id) for page in chosen)
    return replace(book, cover=_within(book.cover, kept, chosen[0].id), pages=pages)


def _within(item: T, kept: Collection[str], home: str) -> T:
    """The same with its links to kept pages alone; an option's own page is the first one where it is left out."""
    made: T = _mapped(item, kept, home)
    return made


def _mapped(item: Any, kept: Collection[str], home: str) -> Any:
    if isinstance(item, Link):
        return item if item.page in kept else item.text
    if isinstance(item, tuple):
        return tuple(_mapped(part, kept, home) for part in item)
    if not is_dataclass(item):
        return item
    changed: dict[str, Any] = {}
    for field in fields(item):
        before = getattr(item, field.name)
        after = _mapped(before, kept, home)
        if after != before:
            changed[field.name] = after
    if isinstance(item, OptionFace) and item.page not in kept:
        changed["page"] = home
    return replace(item, **changed) if changed else item
