"""Pages: which vessels have this part, a page for each group of parts."""

from collections.abc import Iterator

from proposal.book.blocks import Block, Page
from proposal.book.pages.yard_context import YardBook, names_of
from proposal.book.sentences import names
from proposal.book.sentences import yard as words
from proposal.book.tables import Row
from proposal.book.writer import plain
from proposal.results.yard_model import YardPart

GROUPS = ("battery", "cable", "protection", "switching", "charging", "other")


def pages(book: YardBook) -> Iterator[Page]:
    """One page for each group that any vessel has a part of."""
    for group in GROUPS:
        rows = list(_rows(book, group))
        if not rows:
            continue
        title = book.text(names.GROUPS[group])
        columns = book.columns(words.COLUMN_PART, (words.COLUMN_FITTED, "wide"), (words.COLUMN_PROPOSED, "wide"))
        blocks: tuple[Block, ...] = (book.table(book.text(words.PARTS_TABLE, group=title), columns, rows),)
        lead = plain(book.text(words.PARTS_LEAD))
        yield Page(f"parts-{group}", book.text(words.PARTS_TITLE, group=title), ("installer",), blocks, lead)


def _rows(book: YardBook, group: str) -> Iterator[Row]:
    titles: dict[str, str] = {}
    fitted: dict[str, list[str]] = {}
    proposed: dict[str, list[str]] = {}
    for berth in book.berths:
        own: dict[str, list[YardPart]] = {}
        for part in berth.row.parts:
            if part.group == group:
                own.setdefault(part.part, []).append(part)
        for part_id, several in own.items():
            titles.setdefault(part_id, several[0].title)
            if several[0].fitted:
                fitted.setdefault(part_id, []).append(_has(book, berth.called, several[0]))
            else:
                letters = "/".join(part.option for part in several)
                proposed.setdefault(part_id, []).append(f"{berth.called} {letters}")
    for part_id, title in sorted(titles.items(), key=lambda pair: (pair[1], pair[0])):
        cells = (
            plain(title if title == part_id else f"{title} ({part_id})"),
            names_of(book, fitted.get(part_id, [])),
            names_of(book, proposed.get(part_id, [])),
        )
        yield Row(cells)


def _has(book: YardBook, called: str, part: YardPart) -> str:
    """How many of a part a vessel has, and where; of cable only how much."""
    if part.unit == "metre":
        return book.text(words.HAS, vessel=called, amount=book.text(words.METRES, count=f"{part.count:g}"))
    amount = book.text(words.PIECES, count=f"{part.count:g}")
    if not part.items:
        return book.text(words.HAS, vessel=called, amount=amount)
    return book.text(words.HAS_WHERE, vessel=called, amount=amount, items=" ".join(part.items))
