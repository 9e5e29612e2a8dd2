"""What the pages of a record share: items, dates with entries, paths and codes of files in readable form, sums."""

import re
from typing import Any

from proposal.book.blocks import Cell, Link, Words
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.telling import finding_text
from proposal.book.refs import Located
from proposal.book.sentences import findings, names, record
from proposal.book.writer import joined, plain
from proposal.results.record_model import FindingName

SUM_GROUP = 8
"""Digits of a sum that stand together, so that eyes can compare it and a narrow page can break it."""
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_CODE = re.compile(r"(?:^|(?<=[:,;] ))[a-z0-9]+(?:_[a-z0-9]+)+(?=$|[:,;])")
"""A code that is all of a text, or a name or value in a section of a file told in one line."""


def item_words(book: Book, faced: Faced, key: str, designation: str = "", title: str = "") -> Words:
    """An item for a column: its designation, linked to its row of cables and protection, and its title."""
    if not key:
        return plain(book.text(record.WHOLE_SYSTEM))
    named = faced.items.named(key)
    designation = designation or (named.designation if named is not None else "")
    title = title or (named.title if named is not None else "")
    found = joined(part for part in (book.item_link(faced, key, designation), title) if part)
    return found if found.parts else plain(book.text(names.UNNAMED))


def item_text(book: Book, faced: Faced, key: str) -> str:
    """An item inside a sentence; the system as a whole where no item is named."""
    return faced.items.phrase(key) if key else book.text(record.WHOLE_SYSTEM)


def path_text(book: Book, faced: Faced, path: str) -> str:
    """A path of the spec or an item's key: the item that it leads to, else its section, then the rest in words."""
    rest: list[str] = []
    key = path = path.removeprefix(f"options.{faced.option.id}.")
    while key and key not in faced.items:
        key, _, last = key.rpartition(".")
        rest.insert(0, last)
    if key:
        shown = [faced.items.phrase(key)]
    else:
        first = rest.pop(0)
        title = record.PATHS.get(first) or names.DEVICE_KINDS.get(first)
        shown = [book.text(title) if title else first.replace("_", " ")]
        while rest and rest[0].isdecimal():
            shown[0] = f"{shown[0]} {rest.pop(0)}"
    leaves = record.LEAVES.get(path.partition(".")[0], {})
    return ": ".join([*shown, *(book.text(leaves[p]) if p in leaves else p.replace("_", " ") for p in rest)])


def value_text(book: Book, text: str) -> str:
    """A value of a file as it is read: a day as all other days are written, else as `file_text` has it."""
    return book.writer.cells.date(text) if _DAY.fullmatch(text) else file_text(text)


def file_text(text: str) -> str:
    """A text of a file as it is read: a code such as class_t_150 without its underscores."""
    return _CODE.sub(lambda found: found[0].replace("_", " "), text)


def dated(book: Book, at: Located[Any], day: str, name: str = "entry") -> Words:
    """A day and the entry in which it stands."""
    date = book.writer.cells.date(day)
    return book.writer.words(record.WHEN_ENTRY, date=date, entry=book.writer.count_of(at, name))


def sum_cell(sha256: str, ref: str) -> Cell:
    """A sum in groups; its value is the sum as it stands in the JSON."""
    groups = [sha256[at : at + SUM_GROUP] for at in range(0, len(sha256), SUM_GROUP)]
    return Cell(" ".join(groups), sha256, "", 0, ref)


def finding_words(book: Book, faced: Faced, name: FindingName) -> Words:
    """A finding by its title, linked where it still stands."""
    text = finding_text(name.id)
    title = book.text(text.title if text is not None else findings.UNKNOWN.title)
    for number, finding in enumerate(faced.option.findings, 1):
        if finding.id == name.id and finding.item == name.item:
            return plain(Link(title, "findings", faced.anchor("finding", str(number))))
    return plain(title)
