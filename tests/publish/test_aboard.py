"""All files that stay aboard, made together."""

from __future__ import annotations

import dataclasses

import pymupdf
import pytest

from proposal.book.blocks import Book, Facts
from proposal.book.record import make_record_book
from proposal.book.sheets import draw_all
from proposal.publish.aboard import aboard_files
from proposal.results.model import Results
from tests import recorded_project as recorded


@pytest.fixture(scope="module")
def results() -> Results:
    found = recorded.marram().results
    assert found.record is not None
    record = dataclasses.replace(found.record, record_address="https://records.example/{number}")
    return dataclasses.replace(found, record=record)


@pytest.fixture(scope="module")
def drawings(results: Results) -> dict[str, bytes]:
    whole = recorded.marram()
    return draw_all(results, whole.circuits, whole.designations)


@pytest.fixture(scope="module")
def book(results: Results, drawings: dict[str, bytes]) -> Book:
    return make_record_book(results, sorted(drawings), {})


def test_without_paper_there_are_codes_and_calendar(results: Results, book: Book, drawings: dict[str, bytes]) -> None:
    files = aboard_files(results, book, drawings, paper=False)
    assert list(files) == ["aboard/emergency-code.svg", "aboard/maintenance.ics", "aboard/record-code.svg"]
    assert files["aboard/emergency-code.svg"] == drawings["emergency-code.svg"]


@pytest.mark.slow
def test_the_page_names_every_file_that_is_made(results: Results, book: Book, drawings: dict[str, bytes]) -> None:
    files = aboard_files(results, book, drawings)
    page = next(page for page in book.pages if page.id == "aboard")
    (facts,) = (block for block in page.blocks if isinstance(block, Facts))
    assert {f"aboard/{fact.name}" for fact in facts.facts} == set(files)
    for name in ("sale", "insurer", "warranty"):
        with pymupdf.open(stream=files[f"aboard/{name}.pdf"]) as document:
            text = " ".join(" ".join(page.get_text() for page in document).split())
            assert document.get_toc()
        assert "DO NOT ENERGISE" in text
        assert "MA-2026-07" in text
    assert {k: v for k, v in files.items() if "sale" not in k and "insurer" not in k and "warranty" not in k} == (
        aboard_files(results, book, drawings, packs=False)
    )


def test_a_proposal_leaves_nothing_aboard(results: Results, book: Book, drawings: dict[str, bytes]) -> None:
    assert aboard_files(dataclasses.replace(results, record=None), book, drawings) == {}
