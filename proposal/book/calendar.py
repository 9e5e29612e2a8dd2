"""The upkeep list as events of a calendar, in words; `publish/calendar.py` writes the file."""

from collections.abc import Iterator

from proposal.book.pages.charts import read_out
from proposal.book.pages.context import Book
from proposal.book.pages.upkeep import told, upkeep_rows
from proposal.book.sentences import upkeep as words
from proposal.drawings.text import clean
from proposal.frozen import frozen

LONG_DAYS = 300
"""What comes less often than this is told a fortnight before, so that somebody can be asked; else the day before."""
WARNS_LONG_DAYS = 14
WARNS_DAYS = 1


@frozen
class CalendarEvent:
    """One task: on `day` (ISO), then every `every_days`; None: once. `warns_days` before, a reminder.

    `name` tells the event from any other of any vessel and stays the same when dates move.
    """

    name: str
    title: str
    text: str
    day: str
    every_days: int | None
    warns_days: int


def calendar_events(book: Book) -> tuple[CalendarEvent, ...]:
    """An event for each task of the upkeep list that is due some day, by its next date."""
    return tuple(_events(book))


def calendar_title(book: Book) -> str:
    """Name of the calendar."""
    return clean(book.text(words.CALENDAR, vessel=book.results.vessel.name))


def _events(book: Book) -> Iterator[CalendarEvent]:
    vessel, faced = book.results.vessel, book.options[0]
    for row in upkeep_rows(book):
        item = row.item
        if not item.due_on:
            continue
        what = told(book, faced, row)
        record = book.text(words.EVENT_RECORD, code=item.task, number=vessel.number, installer=vessel.installer)
        items = book.text(words.EVENT_ITEMS, items=read_out(what.items))
        often = item.every_days if item.every_days is not None else item.first_days
        yield CalendarEvent(
            name="\n".join((vessel.number, vessel.name, item.task)),
            title=clean(book.text(words.EVENT, vessel=vessel.name, task=what.title)),
            text="\n".join(clean(text) for text in (read_out(what.do), items, record)),
            day=item.due_on,
            every_days=item.every_days,
            warns_days=WARNS_LONG_DAYS if often >= LONG_DAYS else WARNS_DAYS,
        )
