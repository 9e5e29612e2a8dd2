"""Packs: a choice of the record's pages that can be rendered by itself, with the answers on the first one."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.choosing import only
from proposal.book.packs import ASKED, PAGES, PackKind, make_packs
from proposal.book.pages.charts import read_out
from proposal.book.record import make_record_book
from proposal.book.sentences import packs as words
from proposal.publish.proof import proof
from proposal.results.model import Results
from proposal.rules.registry import CHECKS
from tests import recorded_project as recorded
from tests import sample_record as sample

DRAWINGS = ("b-picture.svg", "b-single-line.svg", "emergency-code.svg")
KINDS = tuple(PAGES)


@pytest.fixture(scope="module")
def results() -> Results:
    return recorded.marram().results


@pytest.fixture(scope="module")
def record(results: Results) -> b.Book:
    return make_record_book(results, DRAWINGS, {})


@pytest.fixture(scope="module")
def packs(results: Results, record: b.Book) -> dict[PackKind, b.Book]:
    return make_packs(results, record)


def links(item: Any) -> Iterator[b.Link]:
    if isinstance(item, b.Link):
        yield item
    elif isinstance(item, tuple):
        for part in item:
            yield from links(part)
    elif dataclasses.is_dataclass(item):
        for field in dataclasses.fields(item):
            yield from links(getattr(item, field.name))


def text_of(item: Any) -> str:
    if isinstance(item, b.Words):
        return read_out(item)
    if isinstance(item, str):
        return item
    if isinstance(item, tuple):
        return " ".join(text_of(part) for part in item)
    if dataclasses.is_dataclass(item):
        return " ".join(text_of(getattr(item, field.name)) for field in dataclasses.fields(item))
    return ""


def tables(page: b.Page) -> dict[str, b.Table]:
    return {block.caption: block for block in page.blocks if isinstance(block, b.Table)}


@pytest.mark.parametrize("hindered", [False, True])
def test_the_packs_of_a_vessel_with_something_left_to_mend_can_be_rendered(hindered: bool) -> None:
    results = sample.results(hindered=hindered, sealed=False)
    images = tuple(photo.file for photo in sample.PUBLISHED.values())
    for pack in make_packs(results, make_record_book(results, DRAWINGS, sample.PUBLISHED)).values():
        proof(pack, DRAWINGS, images)


def test_a_link_to_a_place_that_another_first_page_does_not_have_becomes_its_text() -> None:
    there, gone = b.Link("stays", "index", "here"), b.Link("goes", "index", "there")
    first = b.Page("index", "First", (), (b.Heading("Here", 2, "here"),))
    other = b.Page("other", "Other", (), (b.Paragraph(b.Words((there, gone))),))
    whole = b.Page("index", "Whole", (), (b.Heading("Here", 2, "here"), b.Heading("There", 2, "there")))
    cover = b.Cover("T", "", "", "", "", (), (), "", ())
    made = only(b.Book(cover, (whole, other), "en", "2026-11-20"), ("other",), first)
    (paragraph,) = made.pages[1].blocks
    assert isinstance(paragraph, b.Paragraph)
    assert paragraph.words.parts == (there, "goes")


@pytest.mark.parametrize("kind", KINDS)
def test_a_pack_can_be_rendered_by_itself(packs: dict[PackKind, b.Book], kind: PackKind) -> None:
    proof(packs[kind], DRAWINGS)
    assert packs[kind].pages[0].id == "index"
    assert {page.id for page in packs[kind].pages[1:]} <= set(PAGES[kind])


@pytest.mark.parametrize("kind", KINDS)
def test_its_pages_say_what_the_record_says(packs: dict[PackKind, b.Book], record: b.Book, kind: PackKind) -> None:
    own = {page.id: page for page in record.pages}
    for page in packs[kind].pages[1:]:
        assert text_of(page) == text_of(own[page.id])


@pytest.mark.parametrize("kind", KINDS)
def test_a_link_stays_where_its_page_is_in_the_pack_and_is_text_elsewhere(
    packs: dict[PackKind, b.Book], record: b.Book, kind: PackKind
) -> None:
    ids = {page.id for page in packs[kind].pages}
    before = [link for page in record.pages if page.id in ids - {"index"} for link in links(page)]
    after = [link for page in packs[kind].pages[1:] for link in links(page)]
    assert sorted(map(repr, after)) == sorted(repr(link) for link in before if link.page in ids)
    assert len(after) < len(before)


@pytest.mark.parametrize("kind", KINDS)
def test_each_question_leads_to_a_page_of_the_pack(
    packs: dict[PackKind, b.Book], record: b.Book, kind: PackKind
) -> None:
    bullets = next(block for block in packs[kind].pages[0].blocks if isinstance(block, b.Bullets))
    asked = [page_id for page_id, _ in words.PACKS[kind].questions]
    assert set(asked) <= set(PAGES[kind])
    led = [link.page for link in links(bullets)]
    assert led == [page_id for page_id in asked if page_id in {page.id for page in record.pages}]


@pytest.mark.parametrize("kind", KINDS)
def test_what_must_not_be_energised_says_so_in_every_pack(
    packs: dict[PackKind, b.Book], record: b.Book, kind: PackKind
) -> None:
    assert record.cover.warning
    assert packs[kind].cover.warning == record.cover.warning
    first = packs[kind].pages[0].blocks[0]
    assert isinstance(first, b.Callout)
    assert (first.tone, first.large) == ("danger", True)


def test_the_insurer_finds_every_check_that_is_asked_for(packs: dict[PackKind, b.Book]) -> None:
    asked = [check for ids in ASKED.values() for check in ids]
    assert len(set(asked)) == len(asked)
    assert set(asked) <= {check.id for check in CHECKS}
    table = tables(packs["insurer"].pages[0])[words.ASKED_TABLE]
    assert len(table.rows) == len(asked)
    assert [row.group for row in table.rows if row.group] == list(words.GROUPS.values())


def test_a_danger_among_the_checks_is_marked(results: Results, record: b.Book) -> None:
    option = results.options[0]
    checks = tuple(dataclasses.replace(c, fired=1, tested=1) if c.id == "vent_small" else c for c in option.checks)
    made = dataclasses.replace(results, options=(dataclasses.replace(option, checks=checks),))
    table = tables(make_packs(made, record)["insurer"].pages[0])[words.ASKED_TABLE]
    row = next(row for row in table.rows if row.group == words.GROUPS["ventilation"])
    assert row.tone == "danger"


def test_the_maker_finds_serials_and_upkeep(packs: dict[PackKind, b.Book]) -> None:
    found = tables(packs["warranty"].pages[0])
    serials = [[read_out(cell) for cell in row.cells] for row in found[words.SERIALS_TABLE].rows]
    assert ["G3", "Lithium iron phosphate battery 12.8 V 230 Ah", "LI-0001", "", "4 December 2026"] in serials
    done = [[read_out(cell) for cell in row.cells] for row in found[words.DONE_TABLE].rows]
    assert ["Try every alarm", "9 December 2027", "Ilse Varnegg", "8 January 2028"] in done


def test_the_buyer_finds_the_age_of_each_bank(packs: dict[PackKind, b.Book]) -> None:
    table = tables(packs["sale"].pages[0])[words.BANKS_TABLE]
    rows = [[read_out(cell) for cell in row.cells] for row in table.rows]
    assert [row[0] for row in rows] == ["Lead reserve (G1)", "Lithium bank (G3)", "Starter battery (G7)"]
    assert {row[4] for row in rows} == {"4 December 2026"}
    assert {row[5] for row in rows} == {"not yet"}


def test_a_record_that_says_little_makes_packs_that_say_so(results: Results) -> None:
    assert results.record is not None
    upkeep = tuple(dataclasses.replace(row, last_on="", last_by="") for row in results.record.upkeep)
    made = dataclasses.replace(results, record=dataclasses.replace(results.record, fitted=(), upkeep=upkeep))
    found = make_packs(made, make_record_book(made, DRAWINGS, {}))
    assert words.SERIALS_NONE in text_of(found["warranty"].pages[0])
    assert words.DONE_NONE in text_of(found["sale"].pages[0])
    for pack in found.values():
        proof(pack, DRAWINGS)


def test_nothing_is_left_of_a_choice_of_no_page(record: b.Book) -> None:
    with pytest.raises(ValueError, match="no page"):
        only(record, ("nowhere",))


def test_a_choice_keeps_its_own_order_and_each_page_once(record: b.Book) -> None:
    assert [page.id for page in only(record, ("log", "fitted", "log")).pages] == ["log", "fitted"]


def test_a_proposal_has_no_packs(results: Results, record: b.Book) -> None:
    with pytest.raises(ValueError, match="record"):
        make_packs(dataclasses.replace(results, record=None), record)
