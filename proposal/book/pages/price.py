"""Page 4: bill of materials and price of every option."""

from dataclasses import replace

from proposal.book.blocks import Block, Bullets, Callout, Heading, Page, Row, Table, Words
from proposal.book.pages.context import Book, Faced, grouped, table
from proposal.book.refs import Located, each
from proposal.book.sentences import names, surveyor
from proposal.book.writer import joined, plain
from proposal.results.model import PriceLine

MOST_ITEMS = 12
MATERIAL_COLUMNS = (surveyor.COLUMN_ITEM, surveyor.COLUMN_FOR, (surveyor.COLUMN_QUANTITY, "right"))


def page(book: Book) -> Page:
    """Lines by group with totals; what the price rests on; lines without a price by name."""
    vessel = book.results.vessel
    blocks: list[Block] = []
    for faced in book.options:
        title = book.text(surveyor.CABLES_OPTION, letter=faced.letter, title=faced.option.title)
        blocks.append(Heading(title, 2, faced.anchor("price")))
        blocks += _unpriced(book, faced)
        blocks.append(_table(book, faced))
    valid = book.writer.cell(book.vessel, "valid_days")
    date = book.writer.cells.date(vessel.date)
    blocks += [
        Heading(book.text(surveyor.PRICE_BASIS_HEADING), 2, "basis"),
        Bullets(
            (
                *(book.writer.words(sentence) for sentence in surveyor.PRICE_BASIS),
                book.writer.words(surveyor.PRICE_VALID, valid_days=valid, date=date),
            )
        ),
    ]
    if vessel.installer_terms:
        blocks += [
            Heading(book.text(surveyor.PRICE_TERMS_HEADING), 2, "terms"),
            Bullets(tuple(plain(term) for term in vessel.installer_terms)),
        ]
    lead = book.writer.words(surveyor.PRICE_LEAD, currency=book.options[0].option.price.currency)
    return Page("price", book.text(surveyor.PRICE_TITLE), ("client", "installer"), tuple(blocks), lead)


def line_title(book: Book, faced: Faced, line: PriceLine) -> str:
    """What a price line is, in words."""
    words = names.LINE_TITLES.get(line.note)
    if words is None or (line.title and not line.note):
        return line.title
    item = ", ".join(faced.items.phrase(key) for key in line.items)
    return book.text(words, part=line.title, item=item)


def _unpriced(book: Book, faced: Faced) -> list[Block]:
    lines = [line for line in faced.option.price_lines if line.amount is None]
    if not lines:
        return []
    count = book.writer.cells.count(faced.option.price.unpriced_lines, f"{faced.path}.price.unpriced_lines")
    run = book.writer.several(
        surveyor.PRICE_UNPRICED, len(lines), count=count, letter=faced.letter,
        titles=joined(line_title(book, faced, line) for line in lines),
    )  # fmt: skip
    return [Callout(book.text(surveyor.PRICE_UNPRICED_TITLE), (run,), "unknown")]


def _table(book: Book, faced: Faced) -> Table:
    lines = list(each(faced.option.price_lines, f"{faced.path}.price_lines"))
    rows = grouped(
        ((book.text(names.GROUPS[line.item.group]), _row(book, faced, line)) for line in lines),
        lambda row, group: replace(row, group=group),
    )
    totals = _totals(book, faced)
    columns = book.columns(*MATERIAL_COLUMNS, (surveyor.COLUMN_UNIT_PRICE, "right"), (surveyor.COLUMN_AMOUNT, "right"))
    caption = book.text(surveyor.PRICE_TABLE, letter=faced.letter)
    return table(caption, columns, (*rows, *totals), totals=len(totals), dense=True)


def _row(book: Book, faced: Faced, line: Located[PriceLine]) -> Row:
    writer, cells = book.writer, material(book, faced, line).cells
    priced = bool(cells[-1].parts)
    return Row(
        (
            *cells,
            writer.money(line, "unit_price", surveyor.NO_PRICE) if priced else plain(),
            writer.money(line, "amount", surveyor.NO_PRICE),
        ),
        tone="unknown" if line.item.amount is None else "plain",
    )


def material(book: Book, faced: Faced, line: Located[PriceLine]) -> Row:
    """What a line is, for which items, and how much of it: without prices."""
    item = line.item
    unit = book.text(names.UNITS[item.unit]) if item.unit in names.UNITS else item.unit
    quantity = plain(book.writer.cells.quantity(item.quantity, unit, f"{line.path}.quantity")) if unit else plain()
    title = plain(line_title(book, faced, item))
    if item.note and item.note not in names.LINE_TITLES:
        title = joined((title, item.note), ". ")
    return Row((title, _for(book, faced, item), quantity))


def _for(book: Book, faced: Faced, line: PriceLine) -> Words:
    """Designations of the items that a line is for; the first of them where there are many."""
    found = [faced.items.named(key) for key in line.items]
    texts = list(dict.fromkeys(item.designation or item.title for item in found if item is not None))
    if len(texts) > MOST_ITEMS:
        texts = [*texts[:MOST_ITEMS], book.text(surveyor.ITEMS_MORE)]
    return joined(texts)


def _totals(book: Book, faced: Faced) -> tuple[Row, ...]:
    writer = book.writer
    totals = Located(faced.option.price, f"{faced.path}.price")
    tax = writer.words(surveyor.TOTAL_TAX, tax_name=totals.item.tax_name, tax_share=writer.cell(totals, "tax_share"))
    named = (
        (writer.words(surveyor.TOTAL_MATERIAL), "material"),
        (writer.words(surveyor.TOTAL_LABOUR), "labour"),
        (writer.words(surveyor.TOTAL_CONTINGENCY), "contingency"),
        (writer.words(surveyor.TOTAL_NET), "net"),
        (tax, "tax"),
        (writer.words(surveyor.TOTAL), "total"),
    )
    return tuple(Row((title, plain(), plain(), plain(), writer.money(totals, name))) for title, name in named)
