"""Page: the voltage ladder of each option, its overlaps, and the settings sheet."""

from proposal.book.blocks import Block, Bullets, Figure, Heading, Page, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.telling import finding_title, told
from proposal.book.refs import Located, each
from proposal.book.sentences import ladder as words
from proposal.book.writer import joined, plain
from proposal.results.model import Finding, RungResult

OVERLAP = "settings_overlap"


def page(book: Book) -> Page:
    """For each option the drawing, what overlaps, and every setting with its figures."""
    blocks: list[Block] = [Paragraph(book.writer.words(words.READ))]
    for faced in book.options:
        blocks.append(Heading(book.text(words.HEADING, letter=faced.letter), 2, faced.anchor("ladder")))
        blocks += [*_verdict(book, faced), *_drawings(book, faced), _sheet(book, faced)]
    blocks.append(Paragraph(book.writer.words(words.NOTE)))
    return Page(
        "ladder", book.text(words.TITLE), ("installer", "surveyor"), tuple(blocks), book.writer.words(words.LEAD)
    )


def _overlaps(faced: Faced, outcome: str = "fires") -> list[Located[Finding]]:
    found = each(faced.option.findings, f"{faced.path}.findings")
    return [f for f in found if f.item.id == OVERLAP and f.item.outcome == outcome]


def _verdict(book: Book, faced: Faced) -> list[Block]:
    overlaps, open_points = _overlaps(faced), _overlaps(faced, "undecided")
    if overlaps:
        return [Bullets(tuple(_told(book, faced, finding) for finding in (*overlaps, *open_points)), numbered=True)]
    if open_points:
        so_far = Paragraph(book.writer.words(words.CLEAR_SO_FAR), "unknown")
        return [so_far, Bullets(tuple(_told(book, faced, finding) for finding in open_points))]
    return [Paragraph(book.writer.words(words.CLEAR), "good")]


def _told(book: Book, faced: Faced, finding: Located[Finding]) -> Words:
    said = told(book, faced, finding)
    return joined((said.found, said.do), " ")


def _drawings(book: Book, faced: Faced) -> list[Block]:
    overlaps = _overlaps(faced)
    if overlaps:
        titles = "; ".join(finding_title(book, finding.item) for finding in overlaps)
        alt = book.text(words.ALT_OVERLAP, letter=faced.letter, titles=titles)
    else:
        alt = book.text(words.ALT_UNDECIDED if _overlaps(faced, "undecided") else words.ALT_CLEAR, letter=faced.letter)
    captions = (words.CAPTION, words.CAPTION_MORE)
    return [
        Figure(name, alt, book.text(captions[min(number, 1)], letter=faced.letter), landscape=True)
        for number, name in enumerate(book.drawings_of(faced, "ladder"))
    ]


def _sheet(book: Book, faced: Faced) -> Block:
    writer = book.writer
    rows = [_row(book, faced, rung) for rung in each(faced.option.ladder.rungs, f"{faced.path}.ladder.rungs")]
    for join in each(faced.option.ladder.joins, f"{faced.path}.ladder.joins"):
        cells = (
            plain(faced.items.phrase(join.item.item)), plain(book.text(words.JOINS_BELOW)),
            writer.one(join, "difference_v"), plain(), plain(), plain(book.text(words.WHY["joins_below"])), plain(),
        )  # fmt: skip
        rows.append(Row(cells))
    for missing in faced.option.ladder.unstated:
        setting = plain(book.text(words.SETTINGS[missing.setting]))
        why = plain(book.text(words.WHY[missing.setting]))
        device = plain(faced.items.phrase(missing.item))
        rows.append(
            Row((device, setting, plain(book.text(words.UNSTATED)), plain(), plain(), why, plain()), tone="unknown")
        )
    columns = book.columns(
        words.COLUMN_DEVICE, words.COLUMN_SETTING, (words.COLUMN_VALUE, "right"), (words.COLUMN_TOLERANCE, "right"),
        (words.COLUMN_COLD_HOT, "right"), words.COLUMN_WHY, words.COLUMN_SOURCE,
    )  # fmt: skip
    return table(book.text(words.SHEET_TABLE, letter=faced.letter), columns, rows)


def _row(book: Book, faced: Faced, rung: Located[RungResult]) -> Row:
    writer, item = book.writer, rung.item
    tolerance = plain(writer.cell(rung, "tolerance_v"))
    if item.tolerance_assumed:
        tolerance = writer.words(words.ASSUMED, tolerance=writer.cell(rung, "tolerance_v"))
    elif item.tolerance_v == 0.0:
        tolerance = plain()
    ends = plain()
    if item.cold_v is not None and item.hot_v is not None:
        ends = joined((writer.cell(rung, "cold_v"), writer.cell(rung, "hot_v")), " / ")
    setting = words.SETTINGS.get(item.setting, words.WHY[item.setting])
    why = "" if item.setting not in words.SETTINGS else book.text(words.WHY[item.setting])
    return Row(
        (
            plain(faced.items.phrase(item.item)), plain(book.text(setting)), writer.one(rung, "value_v"), tolerance,
            ends, plain(why), book.source(item.citation),
        )
    )  # fmt: skip
