"""Page: commissioning. In a proposal a sheet to be filled in, in a record what was measured beside what is expected."""

import re
from collections.abc import Iterator, Sequence
from itertools import groupby

from proposal.book.blocks import Block, Bullets, Callout, Heading, KeyFigure, KeyFigures, Page, Paragraph, Row, Table
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.tests_told import (
    earlier_words,
    failed_words,
    outcome_words,
    passes_words,
    place_words,
    read_words,
    taken_words,
)
from proposal.book.refs import Located, each
from proposal.book.sentences import tests as words
from proposal.book.tables import Strong, Tone, Words
from proposal.book.writer import joined, plain
from proposal.results.model import CitationResult
from proposal.results.record_model import TestRow

PAGE_ID = "tests"
EMPTY = Words(())
SHEET_COLUMNS = (
    words.COLUMN_PLACE, words.COLUMN_PASSES, (words.COLUMN_READ, "wide"), (words.COLUMN_TAKEN, "wide")
)  # fmt: skip
FIGURES: tuple[tuple[str, str, Tone], ...] = (
    ("pass", words.KEY_PASSED, "good"),
    ("fail", words.KEY_FAILED, "danger"),
    ("not_measured", words.KEY_MISSING, "caution"),
    ("undecided", words.KEY_OPEN, "unknown"),
)


def page(book: Book, tests: Sequence[TestRow], path: str) -> Page:
    """The tests of a record, those on which a danger rests first; `path` is their place in the JSON: record.tests."""
    (faced,) = book.options
    rows = _sorted(tests, path)
    blocks: list[Block] = [_figures(book, tests, path), *_verdict(book, faced, rows)]
    if any(row.item.outcome == "fail" and not row.item.danger for row in rows):
        blocks += [
            Heading(book.text(words.FAILED_OTHERS), 2, "failed"),
            Bullets(
                tuple(_failed(book, faced, row) for row in rows if row.item.outcome == "fail" and not row.item.danger)
            ),
        ]
    blocks.append(Paragraph(book.writer.words(words.READ)))
    columns = (
        (words.COLUMN_PLACE, "wide"), (words.COLUMN_MEASURED, "wide"), (words.COLUMN_PASSES, "wide"),
        (words.COLUMN_TAKEN, "wide"),
    )  # fmt: skip
    for group, members in _groups(rows):
        title = book.text(words.GROUPS[group])
        caption = book.text(words.GROUP_TABLE, group=title)
        made = [_measured(book, faced, row) for row in members]
        blocks += [Heading(title, 2, group), _table(book, caption, members, columns, made)]
    blocks += _how(book, rows)
    return Page(
        "tests",
        book.text(words.TITLE),
        ("surveyor", "installer", "owner"),
        tuple(blocks),
        book.writer.words(words.LEAD),
    )


def anchor_of(test: TestRow) -> str:
    """Where the row of a test stands on the page of a record."""
    end = re.sub(r"[^A-Za-z0-9-]+", "-", test.end)
    return ".".join(part for part in ("test", test.test, test.item, end) if part)


def sheet(book: Book) -> Page:
    """The test sheet of a proposal: for each option what to measure and what passes, nothing measured yet."""
    blocks: list[Block] = [Paragraph(book.writer.words(words.READ))]
    shown: dict[str, Located[TestRow]] = {}
    for faced in book.options:
        path = f"{faced.path}.tests"
        rows = [row for row in _sorted(faced.option.tests, path) if row.item.asked]
        shown |= {row.item.test: row for row in reversed(rows)}
        blocks.append(Heading(book.text(words.OPTION_HEADING, letter=faced.letter), 2, faced.anchor("tests")))
        if not rows:
            blocks.append(Paragraph(book.writer.words(words.NO_TESTS)))
            continue
        count = book.writer.cells.count
        dangers = sum(1 for row in rows if row.item.danger)
        blocks.append(
            Paragraph(
                book.writer.words(
                    words.OPTION_COUNT,
                    asked_count=count(len(rows), f"{path}[asked=True].length"),
                    danger_count=count(dangers, f"{path}[asked=True&danger=True].length"),
                )
            )
        )
        for group, members in _groups(rows):
            caption = book.text(words.SHEET_TABLE, letter=faced.letter, group=book.text(words.GROUPS[group]))
            blocks.append(_table(book, caption, members, SHEET_COLUMNS, [_blank(book, faced, row) for row in members]))
    blocks += _how(book, list(shown.values()))
    return Page(
        PAGE_ID, book.text(words.SHEET_TITLE), ("installer",), tuple(blocks), book.writer.words(words.SHEET_LEAD)
    )


def _sorted(tests: Sequence[TestRow], path: str) -> list[Located[TestRow]]:
    """By group and test, as an installer makes them; rows of one test in their order."""
    order = list(words.GROUP_OF)
    return sorted(each(tests, path), key=lambda row: order.index(row.item.test))


def _groups(rows: Sequence[Located[TestRow]]) -> Iterator[tuple[str, list[Located[TestRow]]]]:
    for group, members in groupby(rows, key=lambda row: words.GROUP_OF[row.item.test]):
        yield group, list(members)


def _figures(book: Book, tests: Sequence[TestRow], path: str) -> Block:
    """How many passed, failed, were not measured, cannot be judged."""
    figures = []
    for outcome, label, tone in FIGURES:
        count = sum(1 for row in tests if row.outcome == outcome)
        cell = book.writer.cells.count(count, f"{path}[outcome={outcome}].length")
        note = book.writer.language.several(words.KEY_NOTE[outcome], count)
        figures.append(KeyFigure(book.text(label), plain(cell), plain(note), tone if count else "plain"))
    return KeyFigures(tuple(figures))


def _verdict(book: Book, faced: Faced, rows: Sequence[Located[TestRow]]) -> Iterator[Block]:
    """What stands in the way first: tests of dangers, the failed ones before those that are missing."""
    if not rows:
        yield Paragraph(book.writer.words(words.NO_TESTS))
        return
    open_ones = [row for row in rows if row.item.danger and row.item.outcome != "pass"]
    open_ones.sort(key=lambda row: row.item.outcome != "fail")
    if open_ones:
        told = [_failed(book, faced, row) for row in open_ones if row.item.outcome != "not_measured"]
        missing = [row for row in open_ones if row.item.outcome == "not_measured"]
        told += [_missing(book, faced, test, list(of)) for test, of in groupby(missing, key=lambda row: row.item.test)]
        yield Callout(book.text(words.FAILED_DANGERS), tuple(told), "danger", large=True)
    elif all(row.item.outcome == "pass" for row in rows):
        yield Paragraph(book.writer.words(words.ALL_GOOD), "good")
    else:
        yield Paragraph(book.writer.words(words.NO_DANGER), "good")


def _missing(book: Book, faced: Faced, test: str, rows: Sequence[Located[TestRow]]) -> Words:
    """All places at which one test has not been made."""
    places = joined((place_words(book, faced, row) for row in rows), "; ")
    return book.writer.words(words.MISSING_DANGER, test=Strong(book.text(words.TITLES[test])), places=places)


def _failed(book: Book, faced: Faced, row: Located[TestRow]) -> Words:
    """A test that did not pass, in a sentence."""
    return failed_words(book, faced, row, Strong(book.text(words.TITLES[row.item.test])))


def _table(
    book: Book,
    caption: str,
    members: Sequence[Located[TestRow]],
    columns: Sequence[str | tuple[str, str]],
    cells: Sequence[Row],
) -> Table:
    """Rows under the title of their test."""
    rows, last = [], ""
    for row, made in zip(members, cells, strict=True):
        title = ""
        if row.item.test != last:
            title = book.text(words.TITLES[row.item.test])
            title = book.text(words.DANGER_GROUP, title=title) if row.item.danger else title
        rows.append(Row(made.cells, made.anchor, made.tone, title))
        last = row.item.test
    return table(caption, book.columns(*columns), rows)


def _measured(book: Book, faced: Faced, row: Located[TestRow]) -> Row:
    """A row of a record: where, what came out now and before, what passes, by whom."""
    item = row.item
    read, outcome = read_words(book, row), outcome_words(book, item.outcome, item.wanting)
    told = book.writer.words(words.CAME_OUT, read=read, outcome=outcome) if read.parts else outcome
    if item.earlier:
        before = joined((earlier_words(book, row, e) for e in each(item.earlier, f"{row.path}.earlier")), "; ")
        told = book.writer.words(words.BEFORE, now=told, earlier=before)
    tones: dict[str, Tone] = {
        "pass": "plain", "fail": "danger" if item.danger else "caution",
        "not_measured": "danger" if item.danger else "unknown", "undecided": "unknown",
    }  # fmt: skip
    cells = (place_words(book, faced, row), told, passes_words(book, row), taken_words(book, item))
    return Row(cells, anchor_of(item), tones[item.outcome])


def _blank(book: Book, faced: Faced, row: Located[TestRow]) -> Row:
    """A row of the sheet, with room to write."""
    passes = passes_words(book, row)
    if row.item.wanting:
        passes = book.writer.words(words.VERDICT, outcome=passes, wanting=book.text(words.WANTING[row.item.wanting]))
    return Row((place_words(book, faced, row), passes, EMPTY, EMPTY))


def _how(book: Book, rows: Sequence[Located[TestRow]]) -> Iterator[Block]:
    """How each of the tests that there are is made, with its source and the checks that rest on it."""
    first: dict[str, Located[TestRow]] = {}
    for row in rows:
        first.setdefault(row.item.test, row)
    if not first:
        return
    order = list(words.GROUP_OF)
    yield Heading(book.text(words.HOW_HEADING), 2, "how")
    made = []
    for test in sorted(first, key=order.index):
        row = first[test]
        cited = row.item.citation
        checks = [book.writer.cells.count(n, f"{row.path}.checks[{at}]") for at, n in enumerate(row.item.checks)]
        made.append(
            Row(
                (
                    plain(book.text(words.TITLES[test])),
                    book.writer.words(words.HOW[test]),
                    book.source(CitationResult(cited.source, cited.clause, cited.status)),
                    joined(checks),
                )
            )
        )
    columns = book.columns(
        words.COLUMN_TEST, (words.COLUMN_HOW, "wide"), (words.COLUMN_SOURCE, "wide"), words.COLUMN_CHECKS
    )
    yield table(book.text(words.HOW_TABLE), columns, made, dense=True)
