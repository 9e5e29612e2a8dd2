"""Page: the voltage ladder of each option, its overlaps, and the settings sheet."""

from dataclasses import replace

from proposal.book.blocks import Block, Bullets, Figure, Heading, Page, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.telling import finding_title, told
from proposal.book.refs import Located, each
from proposal.book.sentences import ladder as words
from proposal.book.writer import joined, plain
from proposal.results.model import Finding, RungResult

OVERLAP = "settings_overlap"
EMPTY = Words(())
OWN = "own_settings"
"""Source of what the installer sets; it needs no word on how sure it is."""


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
    """Every setting; the column of cold and hot only where something moves with temperature."""
    moves = any(rung.cold_v is not None for rung in faced.option.ladder.rungs)
    rows = [_row(book, faced, rung, moves) for rung in each(faced.option.ladder.rungs, f"{faced.path}.ladder.rungs")]
    for join in each(faced.option.ladder.joins, f"{faced.path}.ladder.joins"):
        setting, why = book.text(words.JOINS_BELOW), plain(book.text(words.WHY["joins_below"]))
        rows.append(
            _line(faced.items.called(join.item.item), setting, book.writer.one(join, "difference_v"), why, moves)
        )
    for missing in faced.option.ladder.unstated:
        setting, why = book.text(words.SETTINGS[missing.setting]), plain(book.text(words.WHY[missing.setting]))
        row = _line(faced.items.called(missing.item), setting, plain(book.text(words.UNSTATED)), why, moves)
        rows.append(replace(row, tone="unknown"))
    titles: list[str | tuple[str, str]] = [
        words.COLUMN_DEVICE, words.COLUMN_SETTING, (words.COLUMN_VALUE, "right"), (words.COLUMN_TOLERANCE, "right"),
        *([(words.COLUMN_COLD_HOT, "right")] if moves else []), (words.COLUMN_WHY, "wide"),
    ]  # fmt: skip
    return table(book.text(words.SHEET_TABLE, letter=faced.letter), book.columns(*titles), rows)


def _line(
    device: str, setting: str, value: Words, why: Words, moves: bool, tolerance: Words = EMPTY, ends: Words = EMPTY
) -> Row:
    """Cells in the order of the columns."""
    return Row((plain(device), plain(setting), value, tolerance, *((ends,) if moves else ()), why))


def _row(book: Book, faced: Faced, rung: Located[RungResult], moves: bool) -> Row:
    writer, item = book.writer, rung.item
    tolerance = plain(writer.cell(rung, "tolerance_v"))
    if item.tolerance_assumed:
        tolerance = writer.words(words.ASSUMED, tolerance=writer.cell(rung, "tolerance_v"))
    elif item.tolerance_v == 0.0:
        tolerance = EMPTY
    ends = EMPTY
    if item.cold_v is not None and item.hot_v is not None:
        ends = joined((writer.cell(rung, "cold_v"), writer.cell(rung, "hot_v")), " / ")
    setting = words.SETTINGS.get(item.setting, words.WHY[item.setting])
    why = [] if item.setting not in words.SETTINGS else [plain(book.text(words.WHY[item.setting]))]
    why += [] if item.citation.source == OWN else [book.source(item.citation)]
    return _line(
        faced.items.called(item.item), book.text(setting), writer.one(rung, "value_v"), joined(why, "; "), moves,
        tolerance, ends,
    )  # fmt: skip
