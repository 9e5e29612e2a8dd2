"""The emergency card on one sheet: whole, readable, and with its code."""

from __future__ import annotations

import dataclasses
import io

import page as validator
import pikepdf
import pymupdf
import pytest

from proposal.book.blocks import Book
from proposal.book.opening import context_of
from proposal.book.pages.emergency import EMERGENCY_CODE
from proposal.book.pages.emergency_steps import emergency_text
from proposal.book.record import make_record_book
from proposal.book.sheets import draw_all
from proposal.publish.card import SIZES_PT, card_pdf
from proposal.results.model import Results
from tests import recorded_project as recorded
from tests.decoding import read

A4_PT = (595.3, 841.9)


def made(results: Results) -> tuple[Book, dict[str, bytes]]:
    whole = recorded.marram()
    drawings = draw_all(results, whole.circuits, whole.designations)
    return make_record_book(results, sorted(drawings), {}), drawings


@pytest.fixture(scope="module")
def card() -> bytes:
    return card_pdf(*made(recorded.marram().results))


def words_of(data: bytes) -> str:
    with pymupdf.open(stream=data) as document:
        return " ".join(" ".join(page.get_text() for page in document).split())


def test_it_is_one_sheet_that_says_everything(card: bytes) -> None:
    with pymupdf.open(stream=card) as document:
        assert len(document) == 1
        assert (document[0].rect.width, document[0].rect.height) == pytest.approx(A4_PT, abs=0.5)
        for block in document[0].get_text("blocks"):
            assert block[0] >= 0
            assert block[2] <= A4_PT[0]
            assert block[3] <= A4_PT[1]
    text = words_of(card)
    for wanted in ("Emergency off in the companionway", "Bilge pump (E1)", "running alternator", "MA-2026-07"):
        assert wanted in text


def test_a_camera_reads_the_card_from_paper(card: bytes) -> None:
    with pymupdf.open(stream=card) as document:
        assert read(document[0]) == [emergency_text(context_of(recorded.marram().results))]


def test_what_must_not_be_energised_says_so_on_the_card(card: bytes) -> None:
    assert "DO NOT ENERGISE" in words_of(card)


def test_same_record_same_bytes(card: bytes) -> None:
    assert card_pdf(*made(recorded.marram().results)) == card


def test_the_validator_has_no_objection(card: bytes) -> None:
    report = validator.validate_pdf_bytes(card, profile="pdfua-1")
    assert report.rules.total > 90
    assert report.failures == []


def test_it_is_tagged_and_has_a_language(card: bytes) -> None:
    with pikepdf.open(io.BytesIO(card)) as document:
        assert document.Root.MarkInfo.Marked
        assert str(document.Root.Lang) == "en-GB"
        assert "Marram" in str(document.docinfo["/Title"])


def test_long_names_are_set_smaller_and_stay_whole() -> None:
    results = recorded.marram().results
    option = results.options[0]
    devices = tuple(
        dataclasses.replace(d, title=f"{'Starboard locker behind the ladder ' * 3}{d.designation}")
        for d in option.devices
    )
    long = dataclasses.replace(results, options=(dataclasses.replace(option, devices=devices),))
    data = card_pdf(*made(long))
    with pymupdf.open(stream=data) as document:
        assert len(document) == 1
        sizes = {
            round(s["size"], 1)
            for b in document[0].get_text("dict")["blocks"]
            if "lines" in b
            for x in b["lines"]
            for s in x["spans"]
        }
    assert min(sizes) < 0.8 * SIZES_PT[0]
    assert "Starboard locker behind the ladder Q2" in words_of(data)


def test_hostile_names_stay_text() -> None:
    bad = "</li><script>alert(1)</script>&{{ 7 * 7 }}"
    results = recorded.marram().results
    option = results.options[0]
    devices = tuple(dataclasses.replace(d, title=bad) for d in option.devices)
    row = dataclasses.replace(results.vessel, name=bad, installer=bad, installer_contact=bad)
    made_bad = dataclasses.replace(results, vessel=row, options=(dataclasses.replace(option, devices=devices),))
    text = "".join(words_of(card_pdf(*made(made_bad))).split())
    assert text.count("".join(bad.split())) > 5


def test_a_book_without_the_page_has_no_card() -> None:
    book, drawings = made(recorded.marram().results)
    bare = dataclasses.replace(book, pages=tuple(page for page in book.pages if page.id != "emergency"))
    with pytest.raises(ValueError, match="no emergency card"):
        card_pdf(bare, drawings)
    assert EMERGENCY_CODE in drawings
