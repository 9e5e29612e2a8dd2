"""Blocks about short circuits: the highest and the least current where conductors end, and who feeds it."""

from proposal.book.blocks import Block, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import faults, surveyor
from proposal.book.writer import joined, plain
from proposal.results.model import FaultResult
from proposal.sources import SOURCES

MOST_FEEDS = 4
"""So many sources of a fault are told one by one, the strongest first."""


def fault_blocks(book: Book, faced: Faced) -> list[Block]:
    """Every node of the positive pole where a conductor ends, the strongest first."""
    writer = book.writer
    titles = {d.designation: d.key for d in faced.option.devices}
    at = {c.from_node: c.from_designation for c in faced.option.conductors if c.pole == "positive"}
    at |= {c.to_node: c.to_designation for c in faced.option.conductors if c.pole == "positive"}
    rows = []
    found = [f for f in each(faced.option.faults, f"{faced.path}.faults") if at.get(f.item.node)]
    for f in sorted(found, key=lambda f: -f.item.current_a):
        designation = at[f.item.node]
        ends = [c.designation for c in faced.option.conductors if f.item.node in (c.from_node, c.to_node)]
        alone = plain()
        if f.item.least_bank is not None:
            alone = plain(_short(faced, f.item.least_bank))
        rows.append(
            Row(
                (
                    plain(book.item_link(faced, titles.get(designation, ""), designation)),
                    joined(ends),
                    writer.one(f, "current_a"),
                    _fed_by(book, faced, f),
                    joined((writer.cell(f, "open_voltage_v"), writer.cell(f, "resistance_ohm")), " / "),
                    joined((writer.cell(f, "peak_a"), writer.cell(f, "quasi_steady_a")), " / "),
                    writer.one(f, "least_a", none=faults.NONE_ALONE),
                    alone,
                )
            )
        )
    columns = book.columns(
        surveyor.COLUMN_AT, surveyor.COLUMN_ENDS, (faults.COLUMN_HIGHEST, "right"), faults.COLUMN_FED_BY,
        (faults.COLUMN_OPEN_OVER_OHM, "right"), (faults.COLUMN_STANDARD, "right"), (faults.COLUMN_LEAST, "right"),
        faults.COLUMN_ALONE,
    )  # fmt: skip
    basis = writer.words(faults.FAULTS_BASIS, standard=SOURCES["iec61660_1"].title)
    caption = book.text(faults.FAULTS_TABLE, letter=faced.letter)
    return [Paragraph(basis), table(caption, columns, rows, dense=True)]


def _fed_by(book: Book, faced: Faced, f: Located[FaultResult]) -> Words:
    """The sources of a fault with their currents, the strongest first."""
    writer = book.writer
    feeds = sorted(each(f.item.feeds, f"{f.path}.feeds"), key=lambda feed: -feed.item.current_a)
    runs = [
        writer.words(faults.FED, source=_short(faced, feed.item.key), current=writer.cell(feed, "current_a"))
        for feed in feeds[:MOST_FEEDS]
    ]
    if len(feeds) > MOST_FEEDS:
        runs.append(plain(book.text(faults.AND_MORE)))
    return joined(runs)


def _short(faced: Faced, key: str) -> str:
    """The designation of an item, else its title."""
    found = faced.items.named(key)
    return (found.designation or found.title) if found is not None else key
