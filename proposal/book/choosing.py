"""A choice of the pages of a book: what led to a page or a place that is left out becomes plain text."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from proposal.book.blocks import Book, OptionFace, Page
from proposal.book.tables import Link

T = TypeVar("T")
Kept = Mapping[str, frozenset[str]]
"""The anchors of each page that is kept."""


def only(book: Book, page_ids: Sequence[str], first: Page | None = None) -> Book:
    """The book with the pages of these ids alone, in that order, those that it has; `first` before them all.

    Links to other pages, and to places that a page of that id does not have here, are their text. Raises ValueError
    where no page is left.
    """
    by_id = {page.id: page for page in book.pages}
    chosen = [by_id[page_id] for page_id in dict.fromkeys(page_ids) if page_id in by_id]
    if first is not None:
        chosen = [first, *(page for page in chosen if page.id != first.id)]
    if not chosen:
        raise ValueError("no page of the book is chosen")
    kept = {page.id: frozenset(_anchors(page)) for page in chosen}
    pages = tuple(_within(page, kept, chosen[0].id) for page in chosen)
    return replace(book, cover=_within(book.cover, kept, chosen[0].id), pages=pages)


def _anchors(item: Any) -> Iterator[str]:
    """What can be linked to in a page: headings, rows of tables, charts and all else that has an anchor."""
    if isinstance(item, tuple):
        for part in item:
            yield from _anchors(part)
    elif is_dataclass(item) and not isinstance(item, Link):
        yield from filter(None, [getattr(item, "anchor", "")])
        for field in fields(item):
            yield from _anchors(getattr(item, field.name))


def _within(item: T, kept: Kept, home: str) -> T:
    """The same with its links to kept pages alone; an option's own page is the first one where it is left out."""
    made: T = _mapped(item, kept, home)
    return made


def _mapped(item: Any, kept: Kept, home: str) -> Any:
    if isinstance(item, Link):
        leads = item.page in kept and (not item.anchor or item.anchor in kept[item.page])
        return item if leads else item.text
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
