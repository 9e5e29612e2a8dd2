"""A difference as a listing for the command line, and as a book of its own with the marked sheets of both states."""

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from typing import Literal
from unicodedata import category

from proposal.book import blocks
from proposal.book.blocks import Block, Callout, Figure, Heading, Page, Paragraph, Table
from proposal.book.items import Items
from proposal.book.listing import WIDTH, as_text
from proposal.book.opening import context_of
from proposal.book.pages import difference as difference_page
from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located
from proposal.book.sentences import cautions as caution_words
from proposal.book.sentences import difference as words
from proposal.book.sentences import renderers
from proposal.book.tables import Words
from proposal.circuit.model import Circuit
from proposal.frozen import frozen
from proposal.results.difference import marked
from proposal.results.difference_model import Difference
from proposal.results.model import OptionResult, Results

SHEETS = "sheets"


@frozen
class Side:
    """One state: its results, which option of them, and what it is, a sentence with what fills it.

    Without a circuit nothing can be drawn of it.
    """

    results: Results
    option_id: str
    said: tuple[str, Mapping[str, str]]
    circuit: Circuit | None = None
    designations: Mapping[str, str] = field(default_factory=dict)

    @property
    def option(self) -> OptionResult:
        """The option that is compared."""
        return next(o for o in self.results.options if o.id == self.option_id)


def difference_listing(found: Difference, before: Side, after: Side) -> str:
    """All that is otherwise, as plain text."""
    book, page = opened(found, before, after)
    sides = (book.text(words.COLUMN_BEFORE), book.text(words.COLUMN_AFTER))
    lines = [page.title, *_wrapped(as_text(page.lead)), ""]
    for block in page.blocks:
        lines += _lines(block, sides)
    # a file of results may come from anywhere: nothing in it may steer a terminal
    return "\n".join("".join(c for c in line if category(c)[0] != "C") for line in lines).rstrip() + "\n"


def difference_book(found: Difference, before: Side, after: Side) -> tuple[blocks.Book, dict[str, bytes]]:
    """A book of a difference, and its drawings with marks by file name: the page and the sheets of both states."""
    book, page = opened(found, before, after)
    drawings: dict[str, bytes] = {}
    shown: list[Block] = []
    sides: tuple[tuple[Literal["before", "after"], Side, str], ...] = (
        ("before", before, words.SHEET_BEFORE),
        ("after", after, words.SHEET_AFTER),
    )
    for name, side, caption in sides:
        sheets = _sheets(found, side, name) if side.circuit is not None else {}
        picture = f"{name}-picture.svg"
        drawings |= sheets
        heading = Heading(book.text(words.COLUMN_BEFORE if name == "before" else words.COLUMN_AFTER), 2, name)
        shown.append(heading)
        if sheets:
            text = book.text(words.PICTURE_BEFORE if name == "before" else words.PICTURE_AFTER)
            shown.append(Figure(picture, text, text, wide=True))
        lines = [sheet for sheet in sheets if sheet != picture]
        shown += difference_page.drawn(book, lines, caption, heading=False)
        if not sheets:
            shown.append(Paragraph(book.writer.words(words.SHEETS_NONE)))
    letters = difference_page.mark_letters(book)
    key = Paragraph(book.writer.words(words.SHEETS_READ, **letters))
    lead = book.writer.words(words.SHEETS_LEAD)
    drawn = Page(SHEETS, book.text(words.SHEETS_TITLE), ("installer", "surveyor"), (key, *shown), lead)
    return blocks.Book(_cover(book, before, after), (page, drawn), book.writer.language.tag, _date(after)), drawings


def _sheets(found: Difference, side: Side, name: Literal["before", "after"]) -> dict[str, bytes]:
    from proposal.book.sheets import ACCENTS, sheet_info  # noqa: PLC0415 - the listing draws nothing
    from proposal.drawings.simple_picture import simple_picture  # noqa: PLC0415 - the same
    from proposal.drawings.single_line import single_line  # noqa: PLC0415 - the same

    book = context_of(replace(side.results, options=(side.option,)))
    info = sheet_info(book, book.options[0], side.designations)
    title = side.option.title
    sheet = replace(info, prefix=name, title=title, accent=ACCENTS[0], marks=marked(found, name))
    assert side.circuit is not None  # noqa: S101 - asked for by the caller
    return single_line(side.circuit, side.option, sheet) | simple_picture(side.circuit, side.option, sheet)


def _cover(book: Book, before: Side, after: Side) -> blocks.Cover:
    vessel = book.results.vessel
    facts = ((words.COVER_BEFORE, said(book, before)), (words.COVER_AFTER, said(book, after)))
    return blocks.Cover(
        title=vessel.name,
        subtitle=book.text(words.COVER_KIND),
        prepared_for=vessel.client,
        prepared_by=vessel.installer,
        licence=vessel.installer_licence,
        facts=tuple(blocks.Fact(book.text(name), told) for name, told in facts),
        cautions=(),
        deference=book.text(caution_words.DEFERENCE),
        labels=tuple((key, book.text(label)) for key, label in renderers.LABELS.items()),
        running=book.text(words.RUNNING, number=vessel.number),
    )


def _date(side: Side) -> str:
    record = side.results.record
    return record.latest_date if record is not None else side.results.vessel.date


def opened(found: Difference, before: Side, after: Side) -> tuple[Book, Page]:
    """The page of a difference in a book of its own; its numbers stand in the JSON of the difference itself."""
    book = context_of(replace(after.results, options=(after.option,)))
    old = Faced(book.options[0].letter, before.option, "", Items(before.option, book.writer))
    lead = book.writer.words(words.LEAD, before=said(book, before), after=said(book, after))
    return book, difference_page.page(book, Located(found, ""), old, lead=lead)


def said(book: Book, side: Side) -> Words:
    """What a state is: revision C as proposed."""
    message, fields = side.said
    state = book.writer.words(message, **fields)
    return book.writer.words(words.STATE, revision=side.results.vessel.revision, state=state)


def _lines(block: Block, sides: tuple[str, str]) -> Iterator[str]:
    if isinstance(block, Heading):
        yield from (block.text, "=" * len(block.text), "")
    elif isinstance(block, Paragraph):
        yield from (*_wrapped(as_text(block.words), "  "), "")
    elif isinstance(block, Callout):
        yield from _wrapped(" ".join((f"{block.title}.", *(as_text(run) for run in block.body))), "  ")
        yield ""
    elif isinstance(block, Table):
        yield from _table(block, sides)


def _table(block: Table, sides: tuple[str, str]) -> Iterator[str]:
    """A row a line: what it is, then before and after with an arrow; rows of findings as they are listed elsewhere."""
    yield from _wrapped(f"{block.caption}:", "  ")
    both = [n for n, column in enumerate(block.columns) if column.title in sides]
    for row in block.rows:
        cells = [as_text(cell) for cell in row.cells]
        indent = "      " if block.dense and any(r.group for r in block.rows) else "    "
        if row.group:
            yield from _wrapped(row.group, "    ")
        if len(both) == 2:
            cells[both[0] : both[1] + 1] = [" → ".join(cells[n] for n in both)]
            head, *rest = [cell for cell in cells if cell]
            yield from _wrapped(f"{head}: {', '.join(rest)}", indent)
        else:
            yield from _wrapped(f"{cells[0].upper()} · {cells[1]}: {' '.join(cells[2:])}", indent)
    yield ""


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ", break_long_words=False)
