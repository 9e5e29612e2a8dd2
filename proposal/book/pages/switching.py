"""Tables of page 5 about contactors, relays and switches: what they carry, make and break, and when they join."""

from proposal.book.blocks import Block, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import names, surveyor
from proposal.book.writer import joined, plain
from proposal.results.model import SwitchedResult

BESIDE = (
    ("lasting_a", "rating_a"), ("minutes_a", "five_minutes_a"), ("seconds_a", "cranking_a"), ("closing_a", "make_a"),
    ("opening_a", "break_a"),
)  # fmt: skip
"""Currents and the ratings that they stand beside."""
LEAST_A = 0.05
"""Less than this is not worth a figure."""


def switching_blocks(book: Book, faced: Faced) -> list[Block]:
    """Currents beside ratings, joinings, and capacitors charged from nothing; nothing of what there is none."""
    blocks = [_carried(book, faced)] if faced.option.switched else []
    blocks.append(joins_table(book, faced))
    return [*blocks, *([_surges(book, faced)] if faced.option.surges else [])]


def _carried(book: Book, faced: Faced) -> Block:
    rows = []
    for s in each(faced.option.switched, f"{faced.path}.switched"):
        cells = [_beside(book, s, one, limit) for one, limit in BESIDE]
        rows.append(Row((plain(faced.items.phrase(s.item.key)), *cells, _coil(book, s))))
    columns = book.columns(
        surveyor.COLUMN_DEVICE, (surveyor.COLUMN_HOURS_RATED, "right"), (surveyor.COLUMN_MINUTES_RATED, "right"),
        (surveyor.COLUMN_START_RATED, "right"), (surveyor.COLUMN_CLOSING, "right"), (surveyor.COLUMN_OPENING, "right"),
        surveyor.COLUMN_COIL,
    )  # fmt: skip
    return table(book.text(surveyor.SWITCHING_TABLE, letter=faced.letter), columns, rows, dense=True)


def _beside(book: Book, s: Located[SwitchedResult], name: str, limit: str) -> Words:
    """A current beside its rating; a dash of its own where nothing flows."""
    if getattr(s.item, name) < LEAST_A:
        return plain()
    cells = [book.writer.cell(s, name)]
    cells += [book.writer.cell(s, limit)] if getattr(s.item, limit) is not None else []
    return joined(cells, " / ")


def _coil(book: Book, s: Located[SwitchedResult]) -> Words:
    """Kind, power and daily charge; what it does without control power; drop-out beside what it finds at a start."""
    if s.item.coil is None or s.item.unpowered is None:
        return plain()
    writer = book.writer
    words = [
        writer.words(
            surveyor.COIL_HELD if s.item.coil == "held" else surveyor.COIL_LATCHING,
            coil_w=writer.cell(s, "coil_w"),
            coil_ah_per_day=writer.cell(s, "coil_ah_per_day"),
        )
    ]
    if s.item.coil == "held" and s.item.drop_out_v is not None and s.item.least_supply_v is not None:
        words.append(
            writer.words(
                surveyor.COIL_START,
                drop_out_v=writer.cell(s, "drop_out_v"),
                least_supply_v=writer.cell(s, "least_supply_v"),
            )
        )
    return joined(words, " ")


def _surges(book: Book, faced: Faced) -> Block:
    writer = book.writer
    rows = []
    for s in each(faced.option.surges, f"{faced.path}.surges"):
        over = s.item.limit_a is not None and s.item.peak_a > s.item.limit_a and not s.item.gentle
        rows.append(
            Row(
                (
                    plain(faced.items.phrase(s.item.load)),
                    plain(faced.items.phrase(s.item.through)),
                    writer.one(s, "resistance_ohm"),
                    writer.one(s, "peak_a"),
                    writer.one(s, "time_constant_s"),
                    writer.one(s, "energy_j"),
                    writer.one(s, "limit_a", none=surveyor.NO_LIMIT),
                    joined((writer.cell(s, "precharge_ohm"), writer.cell(s, "precharge_s")), " / "),
                ),
                tone="caution" if over else "plain",
            )
        )
    columns = book.columns(
        surveyor.COLUMN_CAPACITORS, surveyor.COLUMN_THROUGH, (surveyor.COLUMN_RESISTANCE, "right"),
        (surveyor.COLUMN_FIRST, "right"), (surveyor.COLUMN_FALLS, "right"), (surveyor.COLUMN_ENERGY, "right"),
        (surveyor.COLUMN_LIMIT, "right"), (surveyor.COLUMN_GENTLY, "right"),
    )  # fmt: skip
    return table(book.text(surveyor.SURGES_TABLE, letter=faced.letter), columns, rows, dense=True)


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
