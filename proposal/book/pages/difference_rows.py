"""Items that are otherwise, in words: their names, what of them is told, and the values before and after."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from proposal.book.blocks import Row, Words
from proposal.book.cells import EN_DASH, unit_of
from proposal.book.pages.compare import reading
from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located, each
from proposal.book.sentences import difference as words
from proposal.book.sentences import ladder, names
from proposal.book.tables import Cell
from proposal.book.writer import Filled, Named, plain
from proposal.facts import Value
from proposal.frozen import frozen
from proposal.results.difference_model import Difference, FieldChange, ItemDifference

TOLD_SHARE = 0.05
"""Of items on which nothing was set otherwise, smaller changes are told in the data alone."""
_BY_FIELD: dict[str, dict[str, str]] = {
    "verdict": names.VERDICTS,
    "purpose": names.PURPOSES,
    "ruled_by": names.RULED_BY,
    "kind": {**names.DEVICE_KINDS, **names.SOURCE_KINDS},
}


@frozen
class Compared:
    """A difference with the option after it, and the one before it where that is at hand."""

    book: Book
    found: Located[Difference]
    after: Faced
    before: Faced | None
    of_record: bool = False
    """Whether it is what was fitted against what was proposed."""

    @property
    def sides(self) -> tuple[str, str]:
        """Titles of the columns of both sides."""
        if self.of_record:
            return words.COLUMN_PROPOSED, words.COLUMN_FITTED
        return words.COLUMN_BEFORE, words.COLUMN_AFTER

    def at(self, *fields: str) -> str:
        """The place of a field of the difference in the JSON."""
        return ".".join(part for part in (self.found.path, *fields) if part)

    @property
    def items(self) -> list[Located[ItemDifference]]:
        """The items with their places."""
        return list(each(self.found.item.items, self.at("items")))

    def faced(self, *, gone: bool) -> Faced:
        """The option whose names hold: of what is gone, the one before."""
        return self.before if gone and self.before is not None else self.after

    def named(self, item: ItemDifference) -> Named:
        """Designation and title of an item."""
        found = self.faced(gone=item.change == "removed").items.named(item.key)
        if found is not None and (item.change != "removed" or self.before is not None):
            return found
        kind = names.PURPOSES.get(item.what) or names.DEVICE_KINDS.get(item.what) or names.UNNAMED
        return Named(item.designation, item.title or self.book.text(kind))

    def phrase(self, key: str) -> str:
        """An item by its key, whichever side has it."""
        for faced in (self.after, self.before):
            if faced is not None and faced.items.named(key) is not None:
                return faced.items.phrase(key)
        return self.book.text(names.UNNAMED)

    def value(self, name: str, value: Value, ref: str, *, gone: bool = False) -> Words:
        """A value before or after; a dash where there is none."""
        field = name.rpartition(".")[2]
        if value is None or value == "":
            return plain(EN_DASH)
        if name.startswith("fuse.rulings."):
            return plain(self.book.text(words.HOLDS[str(value)]))
        if isinstance(value, str) and field in _BY_FIELD:
            known = _BY_FIELD[field].get(value)
            return plain(self.book.text(known if known is not None else names.UNNAMED))
        if isinstance(value, str) and field == "fuse_class":
            return plain(Cell(value.replace("_", " "), value, "", 0, ref))
        if isinstance(value, int) and not isinstance(value, bool) and unit_of(field) not in ("", "count"):
            return plain(self.book.writer.cells.number(field, value, ref))
        naming = self.faced(gone=gone).items.naming
        written: Filled = self.book.writer.value(field, value, ref, naming)
        return plain(written)

    def label(self, name: str) -> str | None:
        """What a field is, in words; None: it is told in the data alone."""
        text = self.book.text
        if name.startswith("fuse.rulings."):
            return text(words.RULINGS[name.rpartition(".")[2]])
        field = name.rpartition(".")[2]
        if "[" in name or field in words.NOT_TOLD or field not in words.FIELDS:
            return None
        label = text(words.FIELDS[field])
        if name.startswith("settings."):
            setting = name.split(".")[1]
            known = {**ladder.SETTINGS, **words.RESTING, "joins_within": ladder.JOINS_BELOW}.get(setting)
            if known is None:
                return None
            return (
                text(known) if field in ("value_v", "difference_v") else text(words.SETTING, setting=known, field=label)
            )
        if name.startswith("joins."):
            situation = names.SITUATIONS.get(name.split(".")[1])
            return text(words.JOINING, situation=text(situation), field=label) if situation is not None else None
        return label


Told = tuple[Located[ItemDifference], list[tuple[str, Words, Words]]]
"""An item, and of each of its changes what it is, before and after."""


def item_rows(made: Compared, which: Literal["causes", "consequences"]) -> list[Row]:
    """Rows of the causes or the consequences of all items, grouped by item; both poles of one run in one group."""
    groups: list[tuple[list[Named], str, list[tuple[str, Words, Words]]]] = []
    for item, told in _told(made, which):
        named = made.named(item.item)
        same = groups[-1] if groups else None
        if same is not None and _alike(same, named, item.item.change, told):
            same[0].append(named)
        else:
            groups.append(([named], item.item.change, told))
    rows: list[Row] = []
    for named_all, change, told in groups:
        group = _title(made.book, named_all, change)
        lines = [Row((plain(label), before, after)) for label, before, after in told]
        rows += [replace(lines[0], group=group), *lines[1:]]
    return rows


def _told(made: Compared, which: str) -> Iterator[Told]:
    for item in made.items:
        own = bool(item.item.causes) or item.item.change != "changed"
        if which == "consequences" and item.item.change != "changed":
            continue  # of what is new or gone everything would follow
        lines: list[tuple[str, Words, Words]] = []
        seen: set[tuple[str, str, str]] = set()
        changes: Sequence[FieldChange] = getattr(item.item, which)
        for change in each(changes, f"{item.path}.{which}"):
            label = made.label(change.item.name)
            if label is None or not (own or _large(change.item)):
                continue
            before = made.value(change.item.name, change.item.before, f"{change.path}.before", gone=True)
            after = made.value(change.item.name, change.item.after, f"{change.path}.after")
            said = (label, reading(before), reading(after))
            if said[1] != said[2] and said not in seen:
                seen.add(said)
                lines.append((label, before, after))
        if lines or (which == "causes" and item.item.change != "changed"):
            yield item, lines or [(made.book.text(words.NO_FIGURE), plain(EN_DASH), plain(EN_DASH))]


def _large(change: FieldChange) -> bool:
    before, after = change.before, change.after
    if not change.name.startswith("fuse.rulings.") and change.name.rpartition(".")[2] not in words.MAIN:
        return False
    if isinstance(before, bool) or isinstance(after, bool):
        return True
    if isinstance(before, float | int) and isinstance(after, float | int):
        return abs(after - before) > TOLD_SHARE * max(abs(after), abs(before))
    return True


def _alike(
    group: tuple[list[Named], str, list[tuple[str, Words, Words]]], named: Named, change: str,
    told: list[tuple[str, Words, Words]],
) -> bool:  # fmt: skip
    def read(lines: list[tuple[str, Words, Words]]) -> list[tuple[str, str, str]]:
        return [(label, reading(before), reading(after)) for label, before, after in lines]

    return group[0][0].title == named.title and group[1] == change and read(group[2]) == read(told)


def _title(book: Book, named: list[Named], change: str) -> str:
    found = {n.designation for n in named if n.designation}
    designations = ", ".join(sorted(found, key=lambda text: (len(text), text)))
    item = book.writer.pair(Named(designations, named[0].title))
    marks = {"new": words.NEW, "removed": words.REMOVED}
    return book.text(marks[change], item=item) if change in marks else item
