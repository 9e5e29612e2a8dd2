"""What every part of the page of the days needs: each option with its days, and tables side by side."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from typing import Any

from proposal.book.blocks import Cell, Column, Row, Table, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import behaviour as sentences
from proposal.book.sentences import names, surveyor
from proposal.book.writer import plain
from proposal.frozen import frozen
from proposal.studies.behaviour.result import Behaviour, Neglect, StartOnDay, Year

EN_DASH = "\u2013"
DAY_S = 86400.0
SMALL_V = 0.3
"""A margin below this is told to a hundredth of a volt."""


@frozen
class Lived:
    """An option and its days."""

    faced: Faced
    days: Behaviour

    @property
    def at(self) -> Located[Behaviour]:
        """The days with their path."""
        return Located(self.days, f"{self.faced.path}.behaviour")

    @property
    def letter(self) -> str:
        """Letter of the option."""
        return self.faced.letter

    @property
    def year(self) -> Located[Year]:
        """The ordinary year."""
        return within(self.at, "year")

    @property
    def neglect(self) -> Located[Neglect] | None:
        """What comes of being left alone; None where that was not asked."""
        return within(self.at, "neglect") if self.days.neglect is not None else None

    @cached_property
    def starts(self) -> list[Located[StartOnDay]]:
        """Starts while left alone, one for each day: from its own bank alone, else as the banks are joined."""
        neglect = self.neglect
        found: dict[float, Located[StartOnDay]] = {}
        for start in entries(neglect, "starts") if neglect is not None else ():
            before = found.get(start.item.day)
            if before is None or _ORDER.index(start.item.fed_by) < _ORDER.index(before.item.fed_by):
                found[start.item.day] = start
        return [found[day] for day in sorted(found)]

    def short(self, key: str) -> str:
        """Title of an item alone, as a list calls it."""
        named = self.faced.items.named(key)
        return named.title if named is not None and named.title else self.faced.items.phrase(key)

    def season(self, season: str) -> str:
        """Title of a season."""
        return next((s.title for s in self.faced.option.energy.seasons if s.season == season), season)


_ORDER = ("own_bank", "joined", "lithium", "emergency")


def lived(book: Book) -> tuple[Lived, ...]:
    """The options whose days were simulated."""
    return tuple(Lived(f, f.option.behaviour) for f in book.options if f.option.behaviour is not None)


def within(at: Located[Any], name: str) -> Located[Any]:
    """A field of a result with its path."""
    return Located(getattr(at.item, name), f"{at.path}.{name}")


def entries(at: Located[Any], name: str) -> Iterator[Located[Any]]:
    """The entries of a list of a result with their paths."""
    return each(getattr(at.item, name), f"{at.path}.{name}")


def lasting(book: Book, at: Located[Any], name: str) -> Cell:
    """Seconds as days, or as hours where they are less than one."""
    seconds = getattr(at.item, name)
    unit = "hours_of_s" if abs(seconds) < DAY_S else "days_of_s"
    return book.writer.cells.number(name, seconds, f"{at.path}.{name}", unit=unit)


def or_more(book: Book, at: Located[Any], name: str) -> Words:
    """Days until something, or that it took longer than was followed."""
    if getattr(at.item, name) is None:
        return book.writer.words(sentences.MORE_THAN, days=book.writer.cell(at, "followed_days"))
    return book.writer.one(at, name)


def margin_fields(book: Book, at: Located[Any]) -> dict[str, Cell | str]:
    """The margin of a start without its sign, and whether so much is to spare or missing."""
    margin = at.item.margin_v
    digits = 2 if abs(margin) < SMALL_V else 1
    cell = book.writer.cells.number("margin_v", abs(margin), f"{at.path}.margin_v", digits=digits)
    signed = Cell(cell.text, margin, cell.unit, cell.digits, cell.ref)
    return {"margin": signed, "spare": book.text(sentences.SPARE if margin >= 0 else sentences.SHORT)}


def start_words(book: Book, at: Located[Any]) -> Words:
    """A verdict on a start with its voltage and margin."""
    verdict = book.text(names.VERDICTS[at.item.verdict])
    if at.item.starter_v is None:
        return book.writer.words(sentences.CRANKING_DEAD, verdict=verdict)
    volts = book.writer.cell(at, "starter_v")
    if at.item.margin_v is None:
        return book.writer.words(sentences.CRANKING_CELL_PLAIN, verdict=verdict, starter_v=volts)
    return book.writer.words(sentences.CRANKING_CELL, verdict=verdict, starter_v=volts, **margin_fields(book, at))


Figure = Callable[[Lived], Words]


def beside(
    book: Book,
    options: Sequence[Lived],
    caption: str,
    rows: Iterable[tuple[Words, Figure, str]],
    *,
    folded: bool = False,
    wide: bool = False,
    dense: bool = False,
) -> Table | None:
    """A table with a column for each option; rows are title, figure and group. Rows without a figure are left out."""
    made: list[Row] = []
    last = ""
    for title, figure, group in rows:
        cells = [figure(option) for option in options]
        if not any(cell.parts for cell in cells):
            continue
        shown = group if group != last else ""
        last = group
        made.append(Row((title, *(cell if cell.parts else plain(EN_DASH) for cell in cells)), group=shown))
    if not made:
        return None
    column = book.either(sentences.COLUMN_OF_OPTION, surveyor.COLUMN_AS_FITTED)
    letters = (Column(book.text(column, letter=o.letter), wide=wide) for o in options)
    found = table(caption, (Column(book.text(sentences.COLUMN_WHAT)), *letters), made, dense=dense)
    return Table(found.caption, found.columns, found.rows, found.total_rows, found.dense, folded)
