from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from proposal.book.blocks import Book, Cell, KeyFigures, Page, Table, Words
from proposal.book.refs import resolve
from proposal.book.yard import make_yard_book
from proposal.publish.site import render_site
from proposal.results.evaluate import evaluate
from proposal.results.yard_model import (
    Moored,
    Yard,
    YardDefect,
    YardFinding,
    YardFuse,
    YardPart,
    YardProblem,
    YardRow,
    YardTest,
    YardUpkeep,
)
from proposal.results.yard_row import row_from, row_of, row_text
from proposal.spec.loading import load_project
from proposal.yard.tables import files_of

PROJECTS = Path(__file__).parents[2] / "projects"
TODAY = "2026-11-26"
HOSTILE = '<script>alert("x")</script> & *b* [l](x) |'


@pytest.fixture(scope="module")
def proposed() -> YardRow:
    made = evaluate(load_project(PROJECTS / "skarn"), {}, "a test", sheets=False)
    return row_from(row_text(row_of(made)))


@pytest.fixture(scope="module")
def fitted(proposed: YardRow) -> YardRow:
    """A vessel with one of everything that a yard tells."""
    fuse = YardFuse("banks.a.fuse", "F1", "Main fuse", "big", "Big fuse", 2000.0, 4321.0, "under", "A")
    unknown = replace(fuse, designation="F2", interrupt_a=None, stands="unknown")
    finding = YardFinding("no_such", 1, "", "danger", "fires", "x", "X1", "It", "", ("A",))
    return replace(
        proposed,
        status="do_not_energise",
        name="Tern",
        chosen="A",
        options=proposed.options[:1],
        entries_count=2,
        hindrances_count=1,
        findings=(finding, replace(finding, item="y", accepted_by="Owner")),
        tests=(
            YardTest("polarity", "", "", "", "missing"),
            YardTest("torque", "joints", "J1", "Joint", "fail"),
            YardTest("alarm", "a", "E1", "Alarm", "missing"),
        ),
        defects=(YardDefect("leak", "A drip above the box", "fault", "G1", "2027-01-02"),),
        upkeep=(
            YardUpkeep("alarms", ("E1",), "2026-10-01", "2026-11-25"),
            YardUpkeep("standing_drain", (), "", "2026-11-26"),
            YardUpkeep("retorque_first", (), "2026-07-01", ""),
            YardUpkeep("bilge_pump", (), "", "2027-02-25"),
        ),
        parts=(YardPart("relay_x", "A relay", "switching", 2.0, "piece", ("K1", "K2"), "A", True),),
        fuses=(unknown, fuse),
    )


def wrong(proposed: YardRow) -> YardRow:
    problem = YardProblem("spec.yaml", 3, 7, HOSTILE, "something else", "this")
    return replace(proposed, status="mistakes", name="", number="", options=(), problems=(problem,), more_problems=2)


@pytest.fixture(scope="module")
def yard(proposed: YardRow, fitted: YardRow) -> Yard:
    bare = replace(wrong(proposed), findings=(), parts=(), fuses=(), upkeep=(), rule_title="", kind="")
    vessels = (Moored("a/skarn", proposed), Moored("b", fitted), Moored(HOSTILE, bare))
    return Yard(TODAY, "a test", vessels, (("shut", "Permission denied"),))


@pytest.fixture(scope="module")
def book(yard: Yard) -> Book:
    return make_yard_book(yard)


def page(book: Book, page_id: str) -> Page:
    return next(p for p in book.pages if p.id == page_id)


def table(book: Book, page_id: str) -> list[list[str]]:
    (found,) = (block for block in page(book, page_id).blocks if isinstance(block, Table))
    assert found.filters
    return [[text(cell) for cell in row.cells] for row in found.rows]


def text(words: Words) -> str:
    return "".join(part if isinstance(part, str) else str(part.text) for part in words.parts)


def cells(book: Book) -> Iterator[Cell]:
    for made in book.pages:
        for block in made.blocks:
            if isinstance(block, Table):
                yield from (p for row in block.rows for run in row.cells for p in run.parts if isinstance(p, Cell))


def test_every_number_with_a_place_stands_there_in_the_json(book: Book, yard: Yard) -> None:
    made = json.loads(files_of(yard, [row_text(v.row) for v in yard.vessels], "k")["yard.json"])
    told = list(cells(book))
    assert len(told) >= 6
    for cell in told:
        value = resolve(made, cell.ref)
        assert value == cell.value or str(value) == str(cell.value)


def test_the_vessels_tell_how_each_stands(book: Book) -> None:
    skarn, tern, odd = table(book, "vessels")
    assert skarn[0] == "Skarn"
    assert skarn[2] == "proposal"
    assert skarn[4] == "" == skarn[5]
    assert tern[2] == "do not energise"
    assert tern[3] == "1 danger, 1 accepted"
    assert tern[4] == "1 test failed, 2 tests missing, 1 defect open"
    assert tern[5] == "1 overdue, next 26 November 2026"
    assert odd[0] == HOSTILE
    assert odd[2] == "has mistakes"


def test_the_figures_count_what_needs_somebody(book: Book) -> None:
    (figures,) = (block for block in page(book, "vessels").blocks if isinstance(block, KeyFigures))
    assert [(text(f.figure), f.tone) for f in figures.figures] == [
        ("3", "plain"), ("1", "danger"), ("1", "danger"), ("1", "caution"), ("1", "unknown"),
    ]  # fmt: skip


def test_which_vessels_have_this_relay(book: Book) -> None:
    rows = {row[0]: row for row in table(book, "parts-switching")}
    assert rows["A relay (relay_x)"][1:] == ["1 vessel: Tern 2\u00a0× (K1 K2)", ""]
    assert any(row[2] == "1 vessel: Skarn A/B" for row in rows.values())


def test_fuses_under_fault_current_stand_before_what_nobody_states(book: Book) -> None:
    under, unknown = table(book, "fuses")[:2]
    assert under[:2] == ["Tern", "F1 Main fuse"]
    assert under[3:6] == ["2,000\u00a0A", "4,321\u00a0A", "under the fault current"]
    assert unknown[5] == "what it breaks is not stated"


def test_findings_tell_their_vessels_by_kind(book: Book, proposed: YardRow) -> None:
    rows = table(book, "findings")
    assert rows[0][1:] == ["Danger", "1 vessel: Tern", "", "1 vessel: Tern"]
    assert len(rows) == 1 + len({(f.id, f.cause) for f in proposed.findings})


def test_upkeep_due_is_told_until_a_season_ahead(book: Book) -> None:
    rows = table(book, "upkeep")
    assert [row[0] for row in rows] == ["25 November 2026, overdue", "26 November 2026"]
    assert [row[4] for row in rows] == ["1 October 2026", "not yet"]


def test_a_task_due_in_ninety_days_is_told_and_one_later_is_not(yard: Yard) -> None:
    row = replace(
        yard.vessels[1].row,
        upkeep=tuple(YardUpkeep("alarms", (), "", due) for due in ("2027-02-24", "2027-02-25")),
    )
    made = make_yard_book(replace(yard, vessels=(Moored("b", row),)))
    assert [row[0] for row in table(made, "upkeep")] == ["24 February 2027"]


def test_tests_and_defects_are_told(book: Book) -> None:
    told = [row[1] for row in table(book, "open")]
    assert told[0].startswith("Test failed: ")
    assert told[0].endswith("J1 Joint")
    assert told[1].startswith("Tests missing: ")
    assert told[1].endswith("(E1)")
    assert told[2] == "Defect: A drip above the box (G1)"


def test_mistakes_and_folders_that_could_not_be_read_are_told(book: Book) -> None:
    rows = table(book, "mistakes")
    assert rows[0][1:] == ["spec.yaml, line 3, column 7", f"{HOSTILE} (this)", "something else"]
    assert rows[1][2] == "2 more mistakes in this project"
    assert rows[2][::2] == ["shut", "this folder could not be read: Permission denied"]


def test_vessels_of_one_name_are_told_apart(yard: Yard, proposed: YardRow) -> None:
    twins = (Moored("a", proposed), Moored("b", proposed))
    rows = table(make_yard_book(replace(yard, vessels=twins)), "parts-battery")
    assert rows[0][2] == "2 vessels: Skarn (a) A, Skarn (b) A"


def test_an_empty_yard_has_pages_that_say_so(yard: Yard) -> None:
    made = make_yard_book(replace(yard, vessels=(), unread=()))
    assert [p.id for p in made.pages] == ["vessels", "fuses", "findings", "upkeep", "open", "mistakes"]
    assert render_site(made, {}, {})["index.html"]


def test_the_site_encodes_what_was_typed_and_is_the_same_each_time(book: Book) -> None:
    site = render_site(book, {}, {})
    assert site == render_site(book, {}, {})
    for name in ("index.html", "mistakes.html"):
        page_text = site[name].decode()
        assert "<script>alert" not in page_text.replace("<wbr>", "")
        assert "&#60;script" in page_text
        assert 'data-filter="' in page_text
    assert "assets/filter.js" in site
