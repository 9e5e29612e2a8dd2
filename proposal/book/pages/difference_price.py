"""The price of what is otherwise: lines that came, went or are others, and all totals."""

from decimal import Decimal
from typing import Any

from proposal.book.blocks import Block, Callout, Heading, Paragraph, Row
from proposal.book.cells import EN_DASH
from proposal.book.pages.compare import reading
from proposal.book.pages.context import table
from proposal.book.pages.difference_rows import Compared
from proposal.book.pages.price import line_title
from proposal.book.refs import Located, each
from proposal.book.sentences import difference as words
from proposal.book.sentences import names, surveyor
from proposal.book.writer import joined, plain
from proposal.results.difference_model import PriceLineDifference
from proposal.results.model import PriceLine


def price_blocks(made: Compared) -> list[Block]:
    """Lines and totals; amounts in two currencies are not set against each other."""
    book, writer, price = made.book, made.book.writer, made.found.item.price
    heading = Heading(book.text(words.PRICE_HEADING), 2, "price")
    if price.currency_before != price.currency_after:
        said = writer.words(words.PRICE_CURRENCIES, before=price.currency_before, after=price.currency_after)
        return [heading, Callout(book.text(words.PRICE_HEADING), (said,), "caution")]
    rows = [_line(made, line) for line in each(price.lines, made.at("price", "lines"))]
    tax_name = made.after.option.price.tax_name
    titles = {
        "material": surveyor.TOTAL_MATERIAL, "labour": surveyor.TOTAL_LABOUR,
        "contingency": surveyor.TOTAL_CONTINGENCY, "net": surveyor.TOTAL_NET, "total": surveyor.TOTAL,
        "ten_years": words.FIGURES["ten_years"],
    }  # fmt: skip
    totals = []
    for total in each(price.totals, made.at("price", "totals")):
        name = total.item.name
        title = plain(tax_name) if name == "tax" else writer.words(titles[name])
        amounts = (writer.money(total, side) for side in ("before", "after", "more"))
        totals.append(Row((title, plain(), *amounts)))
    columns = book.columns(
        (words.COLUMN_LINE, "wide"), words.COLUMN_QUANTITIES, (words.COLUMN_BEFORE, "right"),
        (words.COLUMN_AFTER, "right"), (words.COLUMN_MORE, "right"),
    )  # fmt: skip
    blocks: list[Block] = [heading]
    if not rows:
        blocks.append(Paragraph(writer.words(words.PRICE_NONE)))
    made_table = table(book.text(words.PRICE_TABLE), columns, (*rows, *totals), totals=len(totals), dense=True)
    return [*blocks, made_table]


def _line(made: Compared, line: Located[PriceLineDifference]) -> Row:
    book, writer, row = made.book, made.book.writer, line.item
    group: Any = row.group
    as_line = PriceLine(row.key, group, row.title, row.part_id, Decimal(0), row.unit, None, None, row.items, row.note)
    title = line_title(book, made.faced(gone=row.change == "removed"), as_line)
    unit = book.text(names.UNITS[row.unit]) if row.unit in names.UNITS else row.unit
    quantities = [
        plain(writer.cells.quantity(value, unit, f"{line.path}.quantity_{side}"))
        for side, value in (("before", row.quantity_before), ("after", row.quantity_after))
        if value is not None and unit
    ]
    same = len({reading(q) for q in quantities}) == 1
    amounts = (
        writer.money(line, f"amount_{side}", surveyor.NO_PRICE) if there is not None else plain(EN_DASH)
        for side, there in (("before", row.quantity_before), ("after", row.quantity_after))
    )
    more = writer.money(line, "more") if row.more is not None else plain()
    return Row((plain(title), joined(quantities[:1] if same else quantities, " → "), *amounts, more))
