"""What every page of a yard's index needs: the rows with their places in yard.json, a writer, and what is counted."""

import datetime
from collections import Counter
from collections.abc import Iterable
from decimal import Decimal
from functools import cached_property

from proposal.book.cells import Cells
from proposal.book.language import Language, Several, filled
from proposal.book.sentences import yard as words
from proposal.book.tables import Cell, Column, Link, Row, Table, Words
from proposal.book.writer import Writer, plain
from proposal.frozen import frozen
from proposal.results.yard_model import Moored, Yard, YardRow, YardUpkeep

VESSELS = "vessels"
DEFAULT_LOCALE = "en_GB"


@frozen
class Berth:
    """A vessel with its place in the JSON and how it is called in a list: by path too where names are not its own."""

    number: int
    vessel: Moored
    called: str

    @property
    def row(self) -> YardRow:
        """Its row."""
        return self.vessel.row

    @property
    def path(self) -> str:
        """Where its row stands in yard.json."""
        return f"vessels[{self.number}].row"

    @property
    def link(self) -> Words:
        """Its name, leading to its row among all vessels."""
        return Words((Link(self.called, VESSELS, self.anchor),))

    @property
    def anchor(self) -> str:
        """The anchor of its row."""
        return f"v{self.number + 1}"


class YardBook:
    """The yard and the means to write pages about it."""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard
        self.locale = next((v.row.locale for v in yard.vessels if v.row.locale), DEFAULT_LOCALE)
        language = Language(self.locale)
        self._cells: dict[str, Cells] = {}
        self.writer = Writer(language, self._cells_in(language, ""))
        self._language = language
        names = Counter(v.row.name for v in yard.vessels)
        self.berths = tuple(
            Berth(n, v, v.row.name if v.row.name and names[v.row.name] == 1 else _with_path(v))
            for n, v in enumerate(yard.vessels)
        )

    def text(self, message: str, **fields: str) -> str:
        """A sentence as text."""
        return filled(self.writer.text(message), fields)

    def several(self, message: Several, count: int, **fields: str) -> str:
        """A sentence in the form for a count, as text."""
        return filled(self.writer.language.several(message, count), {"count": self.count(count), **fields})

    def count(self, number: int) -> str:
        """A whole number as the locale writes it."""
        return self.writer.cells.count(number, "").text

    def money(self, value: Decimal, currency: str, ref: str) -> Cell:
        """An amount in a vessel's own currency."""
        return self._cells_in(self._language, currency).money(value, ref)

    def date(self, day: str) -> str:
        """A day as the locale writes it."""
        return self.writer.cells.date(day) if day else ""

    def columns(self, *titles: str | tuple[str, str]) -> tuple[Column, ...]:
        """Columns by title; a pair names the kind: `right` for numbers, `wide` for sentences."""
        pairs = [title if isinstance(title, tuple) else (title, "") for title in titles]
        return tuple(Column(self.text(t), "right" if k == "right" else "left", k == "wide") for t, k in pairs)

    def table(self, caption: str, columns: tuple[Column, ...], rows: Iterable[Row], *, dense: bool = False) -> Table:
        """A table that its reader can filter."""
        return Table(caption, columns, tuple(rows), dense=dense, filters=True)

    @cached_property
    def overdue(self) -> dict[int, list[YardUpkeep]]:
        """Tasks that were due before today, by the vessel's number."""
        late = {b.number: [t for t in b.row.upkeep if t.due_on and t.due_on < self.yard.today] for b in self.berths}
        return {number: tasks for number, tasks in late.items() if tasks}

    def until(self, days: int) -> str:
        """The day so many days after today."""
        return (datetime.date.fromisoformat(self.yard.today) + datetime.timedelta(days)).isoformat()

    def _cells_in(self, language: Language, currency: str) -> Cells:
        if currency not in self._cells:
            self._cells[currency] = Cells(self.locale, currency or "XXX", language)
        return self._cells[currency]


def _with_path(vessel: Moored) -> str:
    return f"{vessel.row.name} ({vessel.path})" if vessel.row.name else vessel.path


def names_of(book: YardBook, names: list[str]) -> Words:
    """How many vessels and which; nothing where there is none."""
    return plain(book.several(words.VESSEL_COUNT, len(names), names=", ".join(names))) if names else plain()
