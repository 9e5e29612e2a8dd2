"""What is otherwise between two states of a vessel: figures that decide, causes, consequences, findings, price."""

from collections.abc import Sequence

from proposal.book.blocks import Block, Callout, Figure, Heading, Page, Paragraph, Row, Table, Tone, Words
from proposal.book.pages.compare import reading
from proposal.book.pages.context import SEVERITY_TONES, Book, Faced, table
from proposal.book.pages.difference_price import price_blocks
from proposal.book.pages.difference_rows import Compared, item_rows
from proposal.book.pages.telling import told
from proposal.book.pages.tests_told import NAMES
from proposal.book.refs import Located, each
from proposal.book.sentences import arrangements, consents, names, surveyor
from proposal.book.sentences import difference as words
from proposal.book.sentences import tests as test_words
from proposal.book.sentences.sheets import SHEET_WORDS
from proposal.book.tables import Link, Strong
from proposal.book.writer import joined, plain
from proposal.results.difference_model import (
    Difference,
    FigureRow,
    FindingDifference,
)

PAGE_ID = "difference"
MARKED = "marked"
"""In the names of sheets with marks: `b-marked-single-line.svg`."""
LONG_ROWS = 30
"""A table with more rows is folded on a phone."""
HOUSE = "house"
STARTS = ("start", "left_alone")
"""Figures of a verdict and its voltage."""


def page(book: Book, found: Located[Difference], before: Faced | None = None, *, lead: Words | None = None) -> Page:
    """The page `difference`.

    Parameters: book, whose first option is the one after; the difference with its place in the JSON, for example
    `record.difference`; before, the option before, where it is at hand: it names what is gone; lead, what was
    compared. Without them it is the page of a record: what was fitted against what was proposed, and no price.
    """
    of_record = lead is None
    made = Compared(book, found, book.options[0], before, of_record)
    causes, follows = item_rows(made, "causes"), item_rows(made, "consequences")
    blocks: list[Block] = [
        *_nothing(made, causes, priced=not of_record),
        Heading(book.text(words.FIGURES_HEADING), 2, "figures"),
        _figures(made, priced=not of_record),
    ]
    columns = book.columns(words.COLUMN_WHAT, (made.sides[0], "right"), (made.sides[1], "right"))
    if causes:
        blocks += [
            Heading(book.text(words.CAUSES_HEADING), 2, "causes"),
            table(book.text(words.CAUSES_TABLE), columns, causes, dense=True),
        ]
    blocks += drawn(book, book.drawings_of(made.after, f"{MARKED}-single-line"), words.SHEET_AFTER)
    if not found.item.is_empty:
        blocks.append(Heading(book.text(words.FOLLOWS_HEADING), 2, "follows"))
        blocks.append(Paragraph(book.writer.words(words.FOLLOWS_READ if follows else words.FOLLOWS_NONE)))
    if follows:
        made_table = Table(book.text(words.FOLLOWS_TABLE), columns, tuple(follows), 0, True, len(follows) > LONG_ROWS)
        blocks.append(made_table)
    priced = [] if of_record else price_blocks(made)
    blocks += [*_findings(made), *priced, *_consents(made), *_readings(made), *_about(made)]
    return Page(
        PAGE_ID,
        book.text(words.TITLE_OF_RECORD if of_record else words.TITLE),
        ("client", "installer", "surveyor"),
        tuple(blocks),
        book.writer.words(words.LEAD_OF_RECORD) if lead is None else lead,
    )


def drawn(book: Book, sheets: Sequence[str], caption: str, *, heading: bool = True) -> list[Block]:
    """Marked sheets with their key in words; none, no words."""
    if not sheets:
        return []
    blocks: list[Block] = []
    if heading:
        blocks.append(Heading(book.text(words.SHEETS_HEADING), 2, "sheets"))
        blocks.append(Paragraph(book.writer.words(words.SHEETS_READ, **mark_letters(book))))
    text = book.text(caption)
    return [*blocks, *(Figure(name, text, text, landscape=True) for name in sheets)]


def mark_letters(book: Book) -> dict[str, str]:
    """The letter in the triangle of each mark."""
    return {name: book.text(SHEET_WORDS[f"mark_{name}"]) for name in ("new", "changed", "removed")}


def _nothing(made: Compared, causes: list[Row], *, priced: bool) -> list[Block]:
    book = made.book
    if made.found.item.is_empty and priced:
        return [Callout(book.text(words.NOTHING_TITLE), (book.writer.words(words.NOTHING),), "good")]
    if not causes:
        return [Callout(book.text(words.NOTHING_SET_TITLE), (book.writer.words(words.NOTHING_SET),), "good")]
    return []


def _figures(made: Compared, *, priced: bool) -> Table:
    """The price first, then what decides: before, after, or that it is the same."""
    book, writer = made.book, made.book.writer
    price = made.found.item.price
    totals = list(each(price.totals, made.at("price", "totals")))
    rows: list[Row] = []
    for total in totals:
        if priced and total.item.name in ("total", "ten_years") and price.currency_before == price.currency_after:
            code = "price" if total.item.name == "total" else "ten_years"
            title = book.text(words.FIGURES[code], tax_name=made.after.option.price.tax_name)
            rows.append(_before_after(book, plain(title), writer.money(total, "before"), writer.money(total, "after")))
    located = list(each(made.found.item.figures, made.at("figures")))
    for figure in located:
        row = figure.item
        if row.code in STARTS and row.name == "starter_v":
            continue
        before, after = (_figure_value(made, figure, located, side) for side in ("before", "after"))
        rows.append(_before_after(book, _figure_title(made, row), before, after))
    columns = book.columns((words.COLUMN_FIGURE, "wide"), (made.sides[0], "right"), (made.sides[1], "right"))
    return table(book.text(words.FIGURES_TABLE), columns, rows)


def _before_after(book: Book, title: Words, before: Words, after: Words) -> Row:
    """A row of both; what is read the same is said to be so, what is not is emphasised."""
    if reading(before) == reading(after):
        return Row((title, before, plain(book.text(words.SAME))))
    strong = plain(*(Strong(p) if not isinstance(p, Strong | Link) else p for p in after.parts))
    return Row((title, before, strong))


def _figure_title(made: Compared, row: FigureRow) -> Words:
    text = made.book.text
    if row.code == "start":
        return plain(text(words.FIGURES["start"], case=made.after.items.case(row.item)))
    if row.code == "autonomy":
        bank = text(names.HOUSE) if row.item == HOUSE else made.phrase(row.item)
        return plain(text(words.FIGURES["autonomy" if row.name == "days" else "autonomy_critical"], bank=bank))
    if row.code == "engine_day":
        seasons = [s for f in (made.after, made.before) if f is not None for s in f.option.energy.seasons]
        season = next((s.title for s in seasons if s.season == row.item), "")
        return plain(text(words.FIGURES["engine_day"], season=season))
    figure = text(words.FIGURES[f"{row.code}.{row.name}" if row.code in ("no_charge", "year") else row.code])
    at = row.at_after if row.at_after == row.at_before else ""
    return plain(text(words.AT, figure=figure, item=made.phrase(at)) if at else figure)


def _figure_value(made: Compared, figure: Located[FigureRow], rows: list[Located[FigureRow]], side: str) -> Words:
    writer, row = made.book.writer, figure.item
    value = getattr(row, side)
    shown = made.value(row.name, value, f"{figure.path}.{side}", gone=side == "before")
    if row.code in STARTS:
        volts = next(r for r in rows if r.item.code == row.code and r.item.item == row.item and r.item.name != row.name)
        of_side = getattr(volts.item, side)
        if of_side is not None:
            cell = made.value("starter_v", of_side, f"{volts.path}.{side}")
            shown = writer.words(words.START_WORDS, verdict=shown, starter_v=cell)
    at = getattr(row, f"at_{side}")
    if at and row.at_before != row.at_after:
        shown = writer.words(words.AT, figure=shown, item=made.phrase(at))
    return shown


def _findings(made: Compared) -> list[Block]:
    book = made.book
    blocks: list[Block] = [Heading(book.text(words.FINDINGS_HEADING), 2, "findings")]
    found = list(each(made.found.item.findings, made.at("findings")))
    one_sided = made.before is not None and (made.before.option.behaviour is None) != (
        made.after.option.behaviour is None
    )
    if one_sided:
        blocks.append(Paragraph(book.writer.words(words.FINDINGS_DAYS)))
    if not found:
        blocks.append(Paragraph(book.writer.words(words.FINDINGS_NONE)))
    for change, caption in words.FINDINGS_TABLES.items():
        rows = [_finding(made, row) for row in found if row.item.change == change]
        if not rows:
            continue
        titles: list[str | tuple[str, str]] = [
            surveyor.COLUMN_SEVERITY,
            surveyor.COLUMN_WHERE,
            (surveyor.COLUMN_FOUND, "wide"),
        ]
        titles += [(surveyor.COLUMN_DO, "wide")] if change != "gone" else []
        blocks.append(table(book.text(caption), book.columns(*titles), rows))
    return blocks


def _finding(made: Compared, row: Located[FindingDifference]) -> Row:
    side = "before" if row.item.change == "gone" else "after"
    finding = getattr(row.item, side)
    said = told(made.book, made.faced(gone=side == "before"), Located(finding, f"{row.path}.{side}"))
    linked = made.before is None and side == "after"
    cells = [plain(said.severity), said.where, said.found, *([said.do] if side == "after" else [])]
    if side == "before":
        return Row(tuple(_unlinked(cell) for cell in cells))
    tone: Tone = "unknown" if finding.outcome == "undecided" else SEVERITY_TONES[finding.severity]
    return Row(tuple(cell if linked else _unlinked(cell) for cell in cells), tone=tone)


def _unlinked(run: Words) -> Words:
    """A run without links: what it leads to may not be a page of this book."""
    return Words(tuple(part.text if isinstance(part, Link) else part for part in run.parts))


def _consents(made: Compared) -> list[Block]:
    book = made.book
    rows = []
    for row in made.found.item.consents:
        text = consents.CONSENTS.get(row.code, consents.OTHER)
        who = plain(row.who or book.text(text.who))
        about = plain(made.phrase(row.item)) if "." in row.item else plain(book.text(words.NO_TITLE))
        states = (plain(book.text(consents.STATES.get(s, words.STATE_NONE))) for s in (row.before, row.after))
        rows.append(Row((who, about, *states)))
    if not rows:
        return []
    columns = book.columns(consents.COLUMN_WHO, (surveyor.COLUMN_WHERE, "wide"), made.sides[0], made.sides[1])
    heading = Heading(book.text(words.CONSENTS_HEADING), 2, "consents")
    return [heading, table(book.text(words.CONSENTS_TABLE), columns, rows)]


def _readings(made: Compared) -> list[Block]:
    """Tests of commissioning with another outcome or reading."""
    book = made.book
    rows = []
    for row in each(made.found.item.tests, made.at("tests")):
        item = row.item
        where = made.phrase(item.item) if item.item else book.text(test_words.WHOLE)
        end = test_words.ENDS.get(item.end)
        if item.end:
            where = book.text(test_words.PLACE, item=where, end=book.text(end) if end is not None else item.end)
        sides = []
        for side in ("before", "after"):
            outcome, value = getattr(item, f"outcome_{side}"), getattr(item, f"value_{side}")
            said = plain(book.text(test_words.OUTCOMES[outcome] if outcome else words.NOT_ASKED))
            if value is not None:
                read = book.writer.cells.number(NAMES.get(item.unit, "value_share"), value, f"{row.path}.value_{side}")
                said = joined((said, read))
            sides.append(said)
        rows.append(Row((plain(book.text(test_words.TITLES.get(item.test, names.UNNAMED))), plain(where), *sides)))
    if not rows:
        return []
    columns = book.columns(words.COLUMN_TEST, surveyor.COLUMN_WHERE, made.sides[0], made.sides[1])
    heading = Heading(book.text(words.TESTS_HEADING), 2, "tests")
    return [heading, table(book.text(words.TESTS_TABLE), columns, rows)]


def _about(made: Compared) -> list[Block]:
    book = made.book
    rows = []
    for change in each(made.found.item.about, made.at("about")):
        name = change.item.name
        sides = []
        for side in ("before", "after"):
            value = getattr(change.item, side)
            if name == "arrangement":
                sides.append(plain(book.text(arrangements.ARRANGEMENTS.get(value, arrangements.COMPOSED).name)))
            elif name == "date":
                sides.append(plain(book.writer.cells.date(value)))
            else:
                sides.append(made.value(name, value, f"{change.path}.{side}", gone=side == "before"))
        rows.append(Row((plain(book.text(words.ABOUT[name])), *sides)))
    if not rows:
        return []
    columns = book.columns(words.COLUMN_WHAT, made.sides[0], made.sides[1])
    return [
        Heading(book.text(words.ABOUT_HEADING), 2, "about"),
        table(book.text(words.ABOUT_TABLE), columns, rows),
    ]
