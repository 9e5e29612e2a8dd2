"""The page of what is otherwise: every number in the JSON, no code shows, what was set stands before what follows."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

from proposal.book import blocks
from proposal.book.items import Items
from proposal.book.opening import context_of
from proposal.book.pages import difference as page_of
from proposal.book.pages.context import Book, Faced
from proposal.book.record import make_record_book
from proposal.book.refs import Located
from proposal.book.sentences import difference as words
from proposal.book.sheets import draw_all
from proposal.publish.proof import proof
from proposal.results.codec import plain
from proposal.results.difference import difference
from proposal.results.difference_items import BY_PART, REMARKS, SET
from proposal.results.difference_model import ReadingDifference
from proposal.results.evaluate import evaluate
from proposal.results.model import (
    BankResult,
    ConductorResult,
    DeviceResult,
    LoadResult,
    OptionResult,
    Results,
    SourceResult,
)
from proposal.spec.loading import load_project
from tests.generate import PROJECTS
from tests.recorded_project import evaluated, hand_over, marram, project_with
from tests.results.test_difference import computed
from tests.sample_behaviour import with_behaviour


@cache
def results(name: str) -> Results:
    return evaluate(load_project(PROJECTS / name), {}, "proposal 0").results


def made(a: OptionResult, b: OptionResult, of: Results) -> tuple[blocks.Book, dict[str, object]]:
    """A book of this page alone, and the JSON that its numbers are in."""
    found = difference(a, b)
    book = context_of(replace(of, options=(b,)))
    lead = book.writer.words(words.LEAD, before="one", after="other")
    page = page_of.page(book, Located(found, ""), Faced("A", a, "", Items(a, book.writer)), lead=lead)
    cover = blocks.Cover("t", "s", "f", "b", "", (), (), "d", ())
    return blocks.Book(cover, (page,), "en", "2026-01-01"), json.loads(json.dumps(plain(found)))


def check(a: OptionResult, b: OptionResult, of: Results, reader: ModuleType) -> blocks.Page:
    book, document = made(a, b, of)
    proof(book, ())
    assert list(reader.wrong_numbers(book, document)) == []
    assert list(reader.code_words(book, document)) == []
    assert list(reader.blanks(book)) == []
    return book.pages[0]


def tables(page: blocks.Page) -> dict[str, blocks.Table]:
    return {b.caption: b for b in page.blocks if isinstance(b, blocks.Table)}


@pytest.mark.parametrize("name", ["marram", "dunlin", "skarn", "frostbit"])
def test_two_options_compared_make_a_good_page(name: str, reader: ModuleType) -> None:
    of = results(name)
    one, other = of.options[:2]
    check(one, other, of, reader)
    check(other, one, of, reader)


def test_the_days_of_both_are_among_the_figures(reader: ModuleType) -> None:
    of = with_behaviour(results("marram"))
    one, other = of.options
    page = check(one, other, of, reader)
    said = [reader.said(row.cells[0]) for row in tables(page)[words.FIGURES_TABLE].rows]
    for name in ("no_charge.critical_dark_days", "left_alone", "year.engine_h", "nights_low"):
        assert words.FIGURES[name] in said
    assert not any(
        "as simulated" in reader.said(row.cells[0])
        for row in figures_of(replace(one, behaviour=None), other, of, reader)
    )


def figures_of(a: OptionResult, b: OptionResult, of: Results, reader: ModuleType) -> tuple[blocks.Row, ...]:
    page = check(a, b, of, reader)
    assert any(reader.said(x.words) == words.FINDINGS_DAYS for x in page.blocks if isinstance(x, blocks.Paragraph))
    return tables(page)[words.FIGURES_TABLE].rows


def test_an_engine_that_wants_more_is_a_cause(tmp_path: Path, reader: ModuleType) -> None:
    of = results("marram")
    text = (PROJECTS / "marram" / "spec.yaml").read_text(encoding="utf-8")
    other = computed(text.replace("minimum_cranking_voltage: 9.6 V", "minimum_cranking_voltage: 10.2 V"), tmp_path)
    page = check(of.options[1], other.options[1], of, reader)
    (row,) = tables(page)[words.CAUSES_TABLE].rows
    assert row.group.startswith("Diesel of 40 hp")
    assert [reader.said(cell) for cell in row.cells] == [words.FIELDS["minimum_v"], "9.6\u00a0V", "10.2\u00a0V"]


def test_nothing_otherwise_is_said_in_a_box(reader: ModuleType) -> None:
    of = results("skarn")
    page = check(of.options[0], of.options[0], of, reader)
    assert isinstance(page.blocks[0], blocks.Callout)
    assert page.blocks[0].title == words.NOTHING_TITLE
    assert set(tables(page)) == {words.FIGURES_TABLE, words.PRICE_TABLE}
    assert all(reader.said(row.cells[2]) == words.SAME for row in tables(page)[words.FIGURES_TABLE].rows)


def test_a_longer_route_stands_first_and_what_follows_after_it(tmp_path: object, reader: ModuleType) -> None:
    of = results("marram")
    text = (PROJECTS / "marram" / "spec.yaml").read_text(encoding="utf-8")
    longer = computed(
        text.replace("Main bus to windlass, length: 11 m", "Main bus to windlass, length: 16 m"), tmp_path
    )  # type: ignore[arg-type]
    page = check(of.options[0], longer.options[0], of, reader)
    causes = tables(page)[words.CAUSES_TABLE]
    (row,) = causes.rows
    assert [reader.said(cell) for cell in row.cells] == ["length", "11\u00a0m", "16\u00a0m"]
    assert row.group.startswith("Windlass (W"), "both poles in one group"
    assert row.group.count("W") >= 2
    follows = tables(page)[words.FOLLOWS_TABLE]
    assert follows.rows[0].group.startswith("Windlass (W"), "what follows for it stands first"
    assert words.FIELDS["resistance_20c_ohm"] in {reader.said(r.cells[0]) for r in follows.rows}
    figures = {reader.said(r.cells[0]): reader.said(r.cells[2]) for r in tables(page)[words.FIGURES_TABLE].rows}
    assert figures[words.FIGURES["mass"]] == words.SAME


def test_two_currencies_are_not_set_against_each_other(reader: ModuleType) -> None:
    of = results("skarn")
    option = of.options[0]
    other = replace(option, price=replace(option.price, currency="XTS"))
    page = check(option, other, of, reader)
    assert words.PRICE_TABLE not in tables(page)
    said = [reader.said(run) for b in page.blocks if isinstance(b, blocks.Callout) for run in b.body]
    assert any("XTS" in text for text in said)


def test_the_page_of_a_record_links_its_findings(reader: ModuleType) -> None:
    of = results("marram")
    one, other = of.options
    book: Book = context_of(replace(of, options=(other,)))
    page = page_of.page(book, Located(difference(one, other), "record.difference"))
    assert page.title == words.TITLE_OF_RECORD
    sides = [column.title for column in tables(page)[words.FIGURES_TABLE].columns[1:]]
    assert sides == [words.COLUMN_PROPOSED, words.COLUMN_FITTED]
    new = tables(page)[words.FINDINGS_TABLES["new"]]
    assert any(isinstance(part, blocks.Link) for row in new.rows for part in row.cells[1].parts)
    gone = tables(page).get(words.FINDINGS_TABLES["gone"])
    assert gone is None or not any(isinstance(p, blocks.Link) for r in gone.rows for c in r.cells for p in c.parts)
    refs = [
        cell.ref
        for _, cell in reader.cells(blocks.Book(blocks.Cover("t", "s", "", "", "", (), (), "", ()), (page,), "en", ""))
    ]
    assert refs
    assert all(ref.startswith("record.difference.") for ref in refs)


def test_readings_stand_with_their_outcome(reader: ModuleType) -> None:
    of = results("skarn")
    option = of.options[0]
    rows = (
        ReadingDifference("load_drop", option.loads[0].key, "E1", "positive", "V", "pass", "fail", 0.05, 0.4),
        ReadingDifference("polarity", "", "", "", "", "", "pass", None, None),
        ReadingDifference("sharing", option.banks[0].key, "G1", "odd end", "fraction", "undecided", "pass", 0.5, 0.51),
    )
    book = context_of(replace(of, options=(option,)))
    found = difference(option, option, tests=rows)
    page = page_of.page(book, Located(found, ""))
    said = [[reader.said(cell) for cell in row.cells] for row in tables(page)[words.TESTS_TABLE].rows]
    assert [line[2:] for line in said] == [
        ["passed, 0.05\u00a0V", "failed, 0.4\u00a0V"], ["not asked for", "passed"],
        ["cannot be judged, 50\u00a0%", "passed, 51\u00a0%"],
    ]  # fmt: skip
    assert all(line[0] and line[1] for line in said)


def test_a_record_s_book_has_the_page_without_a_price(reader: ModuleType) -> None:
    of = marram().results
    book = make_record_book(of, (), {})
    proof(book, ())
    (page,) = (p for p in book.pages if p.id == page_of.PAGE_ID)
    own = replace(book, pages=(page,))
    document = json.loads(json.dumps(plain(of)))
    assert list(reader.wrong_numbers(own, document)) == []
    assert list(reader.code_words(own, document)) == []
    assert list(reader.blanks(own)) == []
    assert page.title == words.TITLE_OF_RECORD
    assert not any(".price." in cell.ref for _, cell in reader.cells(own))
    links = [
        part.page for other in book.pages for block in other.blocks if isinstance(block, blocks.Paragraph)
        for part in block.words.parts if isinstance(part, blocks.Link)
    ]  # fmt: skip
    assert of.record is not None
    assert (page_of.PAGE_ID in links) is bool(of.record.deviations)


def test_a_record_s_drawing_is_marked_where_it_is_not_as_proposed(tmp_path: Path) -> None:
    change = {"at": "routes.windlass.length", "now": "13 m", "because": "Round the anchor locker"}
    first = hand_over(PROJECTS / "marram", "dedicated", changes=[change])
    made = evaluated(project_with(tmp_path, "marram", [first]), sheets=True)
    drawings = draw_all(made.results, made.circuits, made.designations)
    sheets = [name for name in drawings if "marked" in name]
    assert sheets[0] == "b-marked-single-line.svg"
    marked = b"".join(drawings[name] for name in sheets)
    assert marked.count(b"data-mark=") == 1
    assert b'data-mark="changed" data-of="loads.windlass.positive"' in marked
    assert not any(b"data-mark" in data for name, data in drawings.items() if name not in sheets)
    book = make_record_book(made.results, sorted(drawings), {})
    proof(book, drawings)
    (page,) = (p for p in book.pages if p.id == page_of.PAGE_ID)
    shown = [block.drawing for block in page.blocks if isinstance(block, blocks.Figure)]
    assert shown == sheets
    option = next(p for p in book.pages if p.id == "option-b")
    assert not {b.drawing for b in option.blocks if isinstance(b, blocks.Figure)} & set(sheets)


def test_every_field_of_an_item_has_words_or_is_known_to_be_left_out() -> None:
    rows = (ConductorResult, DeviceResult, BankResult, LoadResult, SourceResult)
    for row in rows:
        for name in row.__dataclass_fields__:  # type: ignore[attr-defined]
            assert name in words.FIELDS or name in words.NOT_TOLD or name in REMARKS or name == "key", name
    for fields in (*SET.values(), *BY_PART.values()):
        assert fields <= {name for row in rows for name in row.__dataclass_fields__}  # type: ignore[attr-defined]
