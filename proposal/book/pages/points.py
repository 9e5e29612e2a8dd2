"""Of the calculation page: voltages at loads and sense points, and how batteries in parallel share."""

from proposal.book.blocks import Block, Paragraph, Row
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import names, surveyor
from proposal.book.writer import joined, plain
from proposal.results.model import StringOutResult


def voltages(book: Book, faced: Faced) -> list[Block]:
    """Each point with its usual, lowest and highest voltage."""
    writer, rows = book.writer, []
    for point in each(faced.option.voltages, f"{faced.path}.voltages"):
        words = book.text(names.POINT_KINDS[point.item.kind], item=faced.items.phrase(point.item.item))
        dead = book.text(surveyor.NONE_OPEN)
        rows.append(
            Row(
                (
                    plain(words),
                    writer.one(point, "usual_v", none=dead),
                    writer.one(point, "lowest_v", none=dead),
                    plain(faced.items.case(point.item.lowest_case) if point.item.lowest_case else ""),
                    writer.one(point, "highest_v", none=dead),
                    plain(faced.items.case(point.item.highest_case) if point.item.highest_case else ""),
                )
            )
        )
    columns = book.columns(
        (surveyor.COLUMN_POINT, "wide"), (surveyor.COLUMN_USUAL, "right"), (surveyor.COLUMN_LOWEST, "right"),
        surveyor.COLUMN_WHEN, (surveyor.COLUMN_HIGHEST, "right"), surveyor.COLUMN_WHEN,
    )  # fmt: skip
    made = table(book.text(surveyor.VOLTAGES_TABLE, letter=faced.letter), columns, rows, dense=True)
    return [made, Paragraph(writer.words(surveyor.VOLTAGES_NOTE))]


def sharing(book: Book, faced: Faced) -> list[Block]:
    """How the batteries of each bank share, and what happens with one out; nothing where none are in parallel."""
    writer = book.writer
    shares: list[Row] = []
    outs: list[Row] = []
    for bank in each(faced.option.sharing, f"{faced.path}.sharing"):
        shares += [
            Row(
                (
                    plain(bank.item.title),
                    plain(string.item.designation),
                    writer.one(string, "path_ohm"),
                    writer.one(string, "current_share"),
                    writer.one(string, "usual_a"),
                    writer.one(string, "most_a"),
                    plain(faced.items.case(string.item.most_case)),
                )
            )
            for string in each(bank.item.strings, f"{bank.path}.strings")
        ]
        outs += [_out(book, faced, bank.item.title, out) for out in each(bank.item.outs, f"{bank.path}.outs")]
    if not shares:
        return []
    share_columns = book.columns(
        surveyor.COLUMN_BANK, surveyor.COLUMN_BATTERY, (surveyor.COLUMN_PATH, "right"),
        (surveyor.COLUMN_PART_OF_ALL, "right"), (surveyor.COLUMN_USUAL, "right"),
        (surveyor.COLUMN_GIVES_MOST, "right"), surveyor.COLUMN_WHEN,
    )  # fmt: skip
    out_columns = book.columns(
        surveyor.COLUMN_BANK, surveyor.COLUMN_BATTERY, surveyor.COLUMN_FOR_CASE,
        (surveyor.COLUMN_OTHERS_GIVE, "right"), (surveyor.COLUMN_MAKER_ALLOWS, "right"),
        (surveyor.COLUMN_AT_LEADS, "right"), surveyor.COLUMN_GOES_DARK,
    )  # fmt: skip
    return [
        table(book.text(surveyor.SHARING_TABLE, letter=faced.letter), share_columns, shares, dense=True),
        table(book.text(surveyor.SHARING_OUT_TABLE, letter=faced.letter), out_columns, outs, dense=True),
        Paragraph(writer.words(surveyor.SHARING_NOTE)),
    ]


def _out(book: Book, faced: Faced, bank: str, out: Located[StringOutResult]) -> Row:
    writer = book.writer
    dark = joined(faced.items.phrase(key) for key in out.item.dark)
    cells = (
        plain(bank),
        plain(out.item.designation),
        plain(faced.items.case(out.item.case)),
        writer.one(out, "current_a"),
        writer.one(out, "limit_a"),
        writer.one(out, "voltage_v"),
        dark if dark.parts else plain(book.text(surveyor.NOTHING_DARK)),
    )
    over = out.item.limit_a is not None and out.item.current_a > out.item.limit_a
    return Row(cells, tone="caution" if over else "plain")
