"""Tables of page 5 about contactors, relays and switches: what flows when they join two sides."""

from proposal.book.blocks import Block, Paragraph, Row
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import each
from proposal.book.sentences import names, surveyor
from proposal.book.writer import joined, plain


def joins_table(book: Book, faced: Faced) -> Block:
    """First current in every situation in which a relay joins two sides, or why that does not happen."""
    writer = book.writer
    if not faced.option.joins:
        return Paragraph(writer.words(surveyor.NO_JOINS))
    rows = []
    for j in each(faced.option.joins, f"{faced.path}.joins"):
        limit = plain(book.text(surveyor.NO_LIMIT))
        if j.item.limited_by is not None and j.item.limited_item is not None:
            limit = writer.words(
                surveyor.LIMITED,
                limit=writer.cell(j, "limit_a"),
                item=faced.items.phrase(j.item.limited_item),
                why=book.text(names.LIMITED_BY.get(j.item.limited_by, surveyor.NO_LIMIT)),
            )
        situation = (names.SITUATIONS.get(j.item.situation, names.CASE_OTHER), names.RULED_BY[j.item.ruled_by])
        occurs = j.item.current_a > 0.0
        rows.append(
            Row(
                (
                    plain(faced.items.phrase(j.item.relay)),
                    joined(tuple(book.text(words) for words in situation), "; "),
                    writer.one(j, "difference_v") if occurs else plain(),
                    writer.one(j, "resistance_ohm") if occurs else plain(),
                    writer.one(j, "current_a") if occurs else plain(),
                    limit if occurs else plain(),
                ),
                tone="caution" if j.item.limit_a is not None and j.item.current_a > j.item.limit_a else "plain",
            )
        )
    columns = book.columns(
        surveyor.COLUMN_RELAY, surveyor.COLUMN_SITUATION, (surveyor.COLUMN_DIFFERENCE, "right"),
        (surveyor.COLUMN_RESISTANCE, "right"), (surveyor.COLUMN_FIRST, "right"), surveyor.COLUMN_LIMIT,
    )  # fmt: skip
    return table(book.text(surveyor.JOINS_TABLE, letter=faced.letter), columns, rows)
