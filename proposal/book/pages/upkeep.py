"""Page: what has to be looked at in the years after, and when next."""

from collections.abc import Iterator

from proposal.book.blocks import Page, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import upkeep as words
from proposal.book.writer import joined, plain
from proposal.frozen import frozen
from proposal.results.model import CitationResult
from proposal.results.record_model import UpkeepRow

PAGE_ID = "upkeep"
MOST_NAMED = 6
LATE = "9999-12-31"


@frozen
class Told:
    """A task in words."""

    title: str
    do: Words
    items: Words


def page(book: Book) -> Page:
    """The upkeep list by the next date; what is done with stands last."""
    rows = [_row(book, row) for row in upkeep_rows(book)]
    columns = book.columns(
        words.COLUMN_TASK, words.COLUMN_DUE, (words.COLUMN_DO, "wide"), words.COLUMN_ITEMS, words.COLUMN_EVERY,
        words.COLUMN_LAST, words.COLUMN_SOURCE,
    )  # fmt: skip
    blocks = (Paragraph(book.writer.words(words.READ)), table(book.text(words.TABLE), columns, rows))
    title, lead = book.text(words.TITLE), book.writer.words(words.LEAD)
    return Page(PAGE_ID, title, ("owner", "installer", "surveyor"), blocks, lead)


def upkeep_rows(book: Book) -> Iterator[Located[UpkeepRow]]:
    """The rows of the record with their places, by the next date."""
    record = book.results.record
    rows = each(record.upkeep if record is not None else (), "record.upkeep")
    yield from sorted(rows, key=lambda row: row.item.due_on or LATE)


def told(book: Book, faced: Faced, row: Located[UpkeepRow]) -> Told:
    """What is to be done, and on what."""
    text = words.TASKS[row.item.task]
    do = book.writer.fact(text.do, row.item.values, f"{row.path}.values", faced.items.naming)
    named = list(dict.fromkeys(faced.items.called(key) for key in row.item.items))
    items = named[:MOST_NAMED]
    if len(named) > MOST_NAMED:
        items.append(book.text(words.AND_MORE, count=str(len(named) - MOST_NAMED)))
    return Told(book.text(text.title), do, joined(items))


def _row(book: Book, row: Located[UpkeepRow]) -> Row:
    writer, item = book.writer, row.item
    what = told(book, book.options[0], row)
    every = plain(book.text(words.ONCE))
    if item.every_days is not None:
        every = writer.words(words.EVERY, every_days=writer.cell(row, "every_days"))
    last = plain(book.text(words.NEVER))
    if item.last_on:
        last = writer.words(words.LAST, date=writer.cells.date(item.last_on), by=item.last_by)
    due = writer.cells.date(item.due_on) if item.due_on else book.text(words.DONE)
    return Row(
        (plain(what.title), plain(due), what.do, what.items, every, last, book.source(_citation(item))),
        anchor=item.task,
    )


def _citation(item: UpkeepRow) -> CitationResult:
    return CitationResult(item.citation.source, item.citation.clause, item.citation.status)
