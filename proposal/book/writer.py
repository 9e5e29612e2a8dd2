"""Writes sentences: fills named fields with cells, item names and words, each with its place in the JSON."""

import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

from proposal.book.cells import NO_BREAK, NOT_KNOWN, Cells
from proposal.book.language import Language, Several, fields_of, filled, msg, pieces
from proposal.book.refs import Located
from proposal.book.tables import Cell, Link, Strong, Words
from proposal.facts import Value
from proposal.frozen import frozen

Part = str | Cell | Strong | Link
Filled = Part | Words
Naming = Callable[[str, str], str | None]
"""Words for a text value, by the name of its field; None where it knows none."""

PAIR = msg("{title} ({designation})")
_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")


@frozen
class Named:
    """How a reader finds an item: its printed designation and its title."""

    designation: str
    title: str


class Writer:
    """Sentences and cells for one book."""

    def __init__(self, language: Language, cells: Cells) -> None:
        self.language = language
        self.cells = cells

    def text(self, message: str) -> str:
        """A sentence without fields, in the language of the book."""
        return self.language.text(message)

    def words(self, message: str, **fields: Filled) -> Words:
        """A sentence with its fields filled. Raises KeyError for a field that is not given."""
        return _fill(self.language.text(message), fields)

    def several(self, message: Several, number: int, **fields: Filled) -> Words:
        """A sentence in the form for `number`, with its fields filled."""
        return _fill(self.language.several(message, number), fields)

    def cell(self, at: Located[Any], name: str, *, unit: str = "", digits: int | None = None, none: str = "") -> Cell:
        """The cell of a field of a result."""
        value = getattr(at.item, name)
        ref = f"{at.path}.{name}"
        if isinstance(value, str):
            return self.cells.text(value, ref)
        return self.cells.number(name, value, ref, unit=unit, digits=digits, none=none)

    def one(self, at: Located[Any], name: str, *, unit: str = "", digits: int | None = None, none: str = "") -> Words:
        """The cell of a field as a run of its own."""
        return Words((self.cell(at, name, unit=unit, digits=digits, none=none),))

    def count_of(self, at: Located[Any], name: str) -> Words:
        """The whole number in a field of a result, whatever its name."""
        return Words((self.cells.count(getattr(at.item, name), f"{at.path}.{name}"),))

    def money(self, at: Located[Any], name: str, none: str = "") -> Words:
        """The amount in a field of a result."""
        return Words((self.cells.money(getattr(at.item, name), f"{at.path}.{name}", none),))

    def value(self, name: str, value: Value, ref: str, naming: Naming) -> Filled:
        """A value of a fact: a cell for a number, words for a code or an item's key."""
        if isinstance(value, bool):
            found = naming(name, "true" if value else "false")
            return found if found is not None else self.text(_YES if value else _NO)
        if value is None:
            return self.text(NOT_KNOWN)
        if isinstance(value, str) and (name == "price" or name.endswith("_price")):
            return self.cells.money(Decimal(value), ref)
        if isinstance(value, str):
            found = naming(name, value)
            return found if found is not None else self.cells.text(value, ref)
        if isinstance(value, int):
            return self.cells.count(value, ref)
        return self.cells.number(name, value, ref)

    def fact(self, message: str, values: Mapping[str, Value], path: str, naming: Naming) -> Words:
        """A sentence of a fact, its fields filled from the fact's values.

        Sentences with a field that the values lack are left out, so a page never breaks over one.
        """
        template = self.language.text(message)
        if any(name not in values for name in fields_of(template)):
            template = without_missing(template, frozenset(values))
        fields = {name: self.value(name, values[name], f"{path}.{name}", naming) for name in fields_of(template)}
        return _fill(template, fields)

    def pair(self, item: Named) -> str:
        """An item as it is named in a sentence: Windlass (M3)."""
        if not item.title or not item.designation:
            return item.title or item.designation
        return filled(self.text(PAIR), {"title": item.title, "designation": item.designation})


_YES, _NO = msg("yes"), msg("no")


def plain(*parts: Filled) -> Words:
    """A run of parts."""
    return Words(tuple(_flat(parts)))


def joined(runs: Iterable[Filled], between: str = ", ") -> Words:
    """Runs one after the other with a text between them."""
    parts: list[Filled] = []
    for run in runs:
        parts += [between, run] if parts else [run]
    return plain(*parts)


def is_empty(words: Words) -> bool:
    """Whether a run has nothing to read."""
    return not words.parts


@lru_cache(maxsize=1024)
def without_missing(template: str, given: frozenset[str]) -> str:
    """The sentences of a template whose fields are all given."""
    kept = [s for s in _SENTENCE_END.split(template) if all(name in given for name in fields_of(s))]
    return " ".join(kept)


def _fill(template: str, fields: Mapping[str, Filled]) -> Words:
    parts: list[Filled] = []
    for before, name in pieces(template):
        if before:
            parts.append(before)
        if name:
            parts.append(fields[name])
    return plain(*parts)


def _flat(parts: Iterable[Filled]) -> Iterable[Part]:
    for part in parts:
        if isinstance(part, Words):
            yield from part.parts
        elif part != "":
            yield part


__all__ = ["NO_BREAK", "Filled", "Named", "Naming", "Part", "Writer", "is_empty", "joined", "plain", "without_missing"]
