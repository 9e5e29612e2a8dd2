"""The test sheet of a proposal and the page of a record's tests: every code has words, what fails stands first."""

from __future__ import annotations

import dataclasses
import json
import typing
from types import ModuleType
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.opening import context_of
from proposal.book.pages import tests as pages
from proposal.book.sentences import tests as words
from proposal.results import record_model as r
from proposal.results.codec import plain
from proposal.results.model import Results
from proposal.spec.record import TestName as Name
from proposal.studies.commissioning import result as study
from tests import sample_record


def taken(row: r.TestRow, **changed: Any) -> r.TestRow:
    usual = {"by": "A Fitter", "date": "2026-12-04", "entry": 1, "instrument": "Clamp 3"}
    return dataclasses.replace(row, **{**usual, **changed})


@pytest.fixture(scope="module")
def results(sample: ModuleType) -> Results:
    """A record with a test of every outcome."""
    found = {row.test: row for row in sample.TESTS if row.asked}
    before = r.EarlierReading(1, "2026-12-04", 0.81, None, "pass", 100.0, "A Fitter")
    tests = (
        found["torque"],
        taken(found["standing_drain"], value=0.39, outcome="pass"),
        taken(found["load_drop"], value=1.2, at_a=118.0, outcome="fail", earlier=(before,), note="After the refit"),
        found["relay_delay"],
        taken(found["starter_voltage"], value=9.1, outcome="fail"),
        taken(found["contactor_open"], value=0.0, passed=True, outcome="undecided", wanting="offset", how="by voltage"),
    )
    whole = sample_record.results()
    assert whole.record is not None
    return dataclasses.replace(whole, record=dataclasses.replace(whole.record, tests=tests))


@pytest.fixture(scope="module")
def page(results: Results) -> b.Page:
    assert results.record is not None
    return pages.page(context_of(results), results.record.tests, "record.tests")


@pytest.fixture(scope="module")
def sheet(sample: ModuleType) -> b.Page:
    return pages.sheet(context_of(sample.RESULTS))


def lines(page: b.Page, reader: ModuleType) -> list[str]:
    return [
        " | ".join(reader.said(cell) for cell in row.cells)
        for block in page.blocks if isinstance(block, b.Table)
        for row in block.rows
    ]  # fmt: skip


def rows(page: b.Page) -> dict[str, b.Row]:
    return {row.anchor: row for block in page.blocks if isinstance(block, b.Table) for row in block.rows if row.anchor}


def book_of(page: b.Page, results: Results) -> Any:
    """A book of one page, for what walks through books."""
    cover = b.Cover("t", "", "", "", "", (), (), "", ())
    return b.Book(cover, (page,), "en", results.vessel.date)


def test_every_code_has_words() -> None:
    assert set(words.TITLES) == set(words.HOW) == set(words.GROUP_OF) == set(typing.get_args(Name))
    assert set(words.GROUP_OF.values()) == set(words.GROUPS)
    assert set(words.WANTING) == set(typing.get_args(study.Wanting)) - {""}
    assert set(words.OUTCOMES) == set(words.KEY_NOTE) == set(typing.get_args(r.Outcome))


def test_groups_stand_in_the_order_of_their_tests() -> None:
    assert list(dict.fromkeys(words.GROUP_OF.values())) == list(words.GROUPS)


def test_what_decides_stands_on_top(page: b.Page, reader: ModuleType) -> None:
    figures, first = page.blocks[:2]
    assert isinstance(figures, b.KeyFigures)
    said = {figure.label: reader.said(figure.figure) for figure in figures.figures}
    assert said == {"Passed": "1", "Failed": "2", "Not measured": "2", "Cannot be judged": "1"}
    assert isinstance(first, b.Callout)
    assert (first.tone, first.large) == ("danger", True)
    told = [reader.said(run) for run in first.body]
    assert told[0].startswith("Voltage at the starter while it cranks")
    assert "Read 9.1\u00a0V; 9.6\u00a0V or more passes." in told[0]
    assert "both sides may have been equal" in told[1]
    assert told[2] == "Nuts and screws at their torque: not measured yet (the whole system)."
    assert len(told) == 3


def test_a_failed_test_without_danger_stands_below(page: b.Page, reader: ModuleType) -> None:
    (bullets,) = (block for block in page.blocks if isinstance(block, b.Bullets))
    (said,) = (reader.said(run) for run in bullets.items)
    assert said.startswith("Voltage lost on the way to a load, ")
    assert "1.2\u00a0V at 118\u00a0A" in said


def test_a_row_says_what_passes_what_was_read_and_by_whom(page: b.Page, reader: ModuleType) -> None:
    row = rows(page)["test.load_drop.loads.windlass"]
    place, measured, passes, by = (reader.said(cell) for cell in row.cells)
    assert "Windlass" in place
    assert passes == "0.686\u00a0V to 1.08\u00a0V at 120\u00a0A; computed 0.883\u00a0V"
    now, _, earlier = measured.partition(". Before: ")
    assert now == "1.2\u00a0V at 118\u00a0A: failed"
    assert by == "4 December 2026, A Fitter, with Clamp 3. After the refit"
    assert earlier == "0.81\u00a0V at 100\u00a0A on 4 December 2026, passed"
    assert row.tone == "caution"
    assert rows(page)["test.starter_voltage.engine"].tone == "danger"


def test_what_passed_when_an_earlier_reading_was_taken_is_told_where_it_was_something_else(
    results: Results, reader: ModuleType
) -> None:
    assert results.record is not None
    row = next(t for t in results.record.tests if t.test == "standing_drain")
    for low, told in ((0.382, ""), (0.28, "; 280\u00a0mA to 300\u00a0mA passed then")):
        high = 0.402 if low == 0.382 else 0.3
        before = r.EarlierReading(1, "2026-12-04", 0.29, None, "fail", None, "A Fitter", low, high)
        changed = dataclasses.replace(row, earlier=(before,))
        page = pages.page(context_of(results), (changed,), "record.tests")
        measured = reader.said(rows(page)["test.standing_drain"].cells[1])
        assert measured == f"390\u00a0mA: passed. Before: 290\u00a0mA on 4 December 2026, failed{told}"


def test_hindrances_lead_to_rows_that_are_there(results: Results, page: b.Page) -> None:
    assert results.record is not None
    assert {pages.anchor_of(test) for test in results.record.tests} == set(rows(page))


def test_numbers_are_those_of_the_json(results: Results, page: b.Page, reader: ModuleType) -> None:
    document = json.loads(json.dumps(plain(results)))
    book = book_of(page, results)
    assert list(reader.wrong_numbers(book, document)) == []
    assert list(reader.blanks(book)) == []
    assert list(reader.code_words(book, document)) == []


def test_when_all_has_passed_it_says_so(results: Results, reader: ModuleType) -> None:
    assert results.record is not None
    tests = tuple(dataclasses.replace(t, outcome="pass", wanting="") for t in results.record.tests)
    made = pages.page(context_of(results), tests, "record.tests")
    assert not [block for block in made.blocks if isinstance(block, b.Callout)]
    told = [reader.said(block.words) for block in made.blocks if isinstance(block, b.Paragraph)]
    assert "Every test has passed." in told
    mild = tuple(dataclasses.replace(t, danger=False) for t in results.record.tests)
    made = pages.page(context_of(results), mild, "record.tests")
    told = [reader.said(block.words) for block in made.blocks if isinstance(block, b.Paragraph)]
    assert "No test on which a danger rests has failed or is missing." in told


def test_without_tests_it_says_so(results: Results, reader: ModuleType) -> None:
    made = pages.page(context_of(results), (), "record.tests")
    assert "There are no tests to show." in [
        reader.said(block.words) for block in made.blocks if isinstance(block, b.Paragraph)
    ]


def test_the_sheet_has_room_for_each_test_that_is_asked_for(sheet: b.Page, reader: ModuleType) -> None:
    told = lines(sheet, reader)
    assert sum("Windlass" in line for line in told) == 2  # both options of the sample have the same tests
    assert not [line for line in told if "Refrigerator" in line or "fridge" in line.lower()]
    blank = next(line for line in told if "Windlass" in line)
    assert blank.endswith(" |  | ")


def test_the_sheet_says_what_its_computation_does_not_know(sheet: b.Page, reader: ModuleType) -> None:
    told = lines(sheet, reader)
    assert any("the fuse's maker must say what it loses" in line for line in told)
    assert any(line.split(" | ")[1].startswith("what it is set to: ") for line in told)


def test_where_the_computation_expects_more_than_passes_it_says_so(sheet: b.Page, reader: ModuleType) -> None:
    told = lines(sheet, reader)
    assert any("0.3\u00a0V at most; computed 0.32\u00a0V, which is more than passes" in line for line in told)
    assert any("9.6\u00a0V or more; computed 9.4\u00a0V, which is less than passes" in line for line in told)


def test_tests_of_danger_are_marked_in_words(sheet: b.Page) -> None:
    groups = [row.group for block in sheet.blocks if isinstance(block, b.Table) for row in block.rows if row.group]
    assert "Contactor really opens · a danger rests on it" in groups
    assert "Voltage lost on the way to a load" in groups
