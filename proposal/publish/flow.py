"""Which way round the pages of a chapter lie on paper: broad tables get landscape pages, with their headings."""

from __future__ import annotations

from proposal.book.blocks import Block, Heading, Page, Paragraph, Table
from proposal.frozen import frozen
from proposal.publish.columns import table_width

UPRIGHT, BROAD = "upright", "broad"


@frozen
class Stretch:
    """Blocks that follow each other on pages of one orientation, ``upright`` or ``broad``."""

    lie: str
    blocks: tuple[Block, ...]


def flow(page: Page) -> tuple[Stretch, ...]:
    """Cut a chapter into stretches.

    A chapter of which most table rows are broad is landscape throughout. Otherwise a broad table takes the headings
    and paragraphs before it along, so that no heading is left behind.
    """
    tables = [block for block in page.blocks if isinstance(block, Table)]
    broad = {id(table) for table in tables if table_width(table) != UPRIGHT}
    broad_rows = sum(len(table.rows) for table in tables if id(table) in broad)
    if broad and 2 * broad_rows >= sum(len(table.rows) for table in tables):
        return (Stretch(BROAD, page.blocks),)
    stretches: list[Stretch] = []
    upright: list[Block] = []
    for block in page.blocks:
        if id(block) not in broad:
            upright.append(block)
            continue
        along: list[Block] = [block]
        while upright and isinstance(upright[-1], Heading | Paragraph):
            along.insert(0, upright.pop())
        if upright:
            stretches.append(Stretch(UPRIGHT, tuple(upright)))
            upright = []
        if stretches and stretches[-1].lie == BROAD:
            along = [*stretches.pop().blocks, *along]
        stretches.append(Stretch(BROAD, tuple(along)))
    if upright or not stretches:
        stretches.append(Stretch(UPRIGHT, tuple(upright)))
    return tuple(stretches)
