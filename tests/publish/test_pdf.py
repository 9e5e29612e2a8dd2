from __future__ import annotations

import builtins
import dataclasses
import hashlib
import io
import os
import re
import subprocess
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pikepdf
import pymupdf
import pytest

from proposal.book import blocks as b
from proposal.errors import MachineError
from proposal.publish.pdf import document_html, render_pdf, sheet_size
from tests.publish import structure

MM = 72 / 25.4


def squeeze(text: str) -> str:
    """Text without white space: lines break where they will. Ligatures count as the letters they stand for."""
    return "".join(unicodedata.normalize("NFKC", text).split())


@pytest.fixture(scope="module")
def opened(pdf: bytes) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        yield document


@pytest.fixture(scope="module")
def texts(pdf: bytes) -> list[str]:
    with pymupdf.open(stream=pdf) as document:
        return [page.get_text() for page in document]


def _outline(items: Any, level: int = 0) -> Iterator[tuple[int, str]]:
    for item in items:
        yield level, str(item.title)
        yield from _outline(item.children, level + 1)


def test_outline_has_each_page_and_heading_in_order(opened: pikepdf.Pdf, sample: ModuleType) -> None:
    expected = []
    for page in sample.BOOK.pages:
        expected.append((0, page.title))
        expected += [(block.level - 1, block.text) for block in page.blocks if isinstance(block, b.Heading)]
    with opened.open_outline() as outline:
        assert list(_outline(outline.root)) == expected


def test_it_is_tagged_titled_and_has_a_language(opened: pikepdf.Pdf) -> None:
    assert opened.Root.MarkInfo.Marked
    assert str(opened.Root.Lang) == "en"
    assert opened.Root.ViewerPreferences.DisplayDocTitle
    elements = list(structure.elements(opened))
    kinds = [str(element.S) for element in elements]
    assert {"/H1", "/H2", "/H3", "/Table", "/TR", "/TH", "/TD", "/L", "/LI", "/Figure", "/Link"} <= set(kinds)
    figures = [element for element in elements if element.S == "/Figure"]
    assert len(figures) == 4 + 6 + 3 + 3  # two options, each a sheet, a drawing and three charts; a storyboard; photos
    assert all(str(figure.Alt) for figure in figures)
    named = {str(element.ID) for element in elements if element.S == "/TH"}
    for element in elements:
        if element.S == "/TD":
            headers = [str(header) for header in element.A.Headers]
            assert len(headers) == 2  # its row's and its column's
            assert set(headers) <= named


def test_metadata_declare_pdf_ua_and_the_books_own_date(opened: pikepdf.Pdf) -> None:
    with opened.open_metadata() as meta:
        assert meta["dc:title"] == "Wagtail · Battery system for a 31 ft cutter"
        assert meta["pdfuaid:part"] == "1"
    assert str(opened.docinfo.CreationDate).startswith("D:20260314")
    assert str(opened.docinfo.ModDate).startswith("D:20260314")


def test_pages_are_a4_and_a_drawing_gets_a_landscape_page_of_its_own_size(opened: pikepdf.Pdf) -> None:
    sizes = [tuple(round(float(v) / MM) for v in page.mediabox[2:]) for page in opened.pages]
    assert sizes[:5] == [(210, 297)] * 5
    assert sizes.count((420, 297)) == 3, "two sheets and the storyboard"
    assert set(sizes) == {(210, 297), (420, 297)}


def test_every_font_is_embedded_and_the_text_is_set_in_the_packages_font(pdf: bytes) -> None:
    with pymupdf.open(stream=pdf) as document:
        found = {font for page in document for font in page.get_fonts(full=True)}
    names = {font[3] for font in found}
    assert all(font[1] not in {"", "n/a"} for font in found), found
    assert any("Proposal-Text" in name or "Source" in name for name in names), names


def test_contents_names_the_page_on_which_each_chapter_begins(texts: list[str], sample: ModuleType) -> None:
    contents = texts[1]
    for page in sample.BOOK.pages:
        title = squeeze(page.title)
        begins = next(n for n, text in enumerate(texts, 1) if n > 2 and squeeze(text).find(title) in range(60))
        assert re.search(rf"{re.escape(title)}{begins}(?!\d)", squeeze(contents)), (page.title, begins)


def test_each_page_but_the_cover_says_where_in_the_document_it_is(texts: list[str]) -> None:
    for number, text in enumerate(texts[1:], 2):
        assert f"Page {number} of {len(texts)}" in " ".join(text.split())
        assert "Revision 3 · 2026-03-14" in " ".join(text.split())
    assert "Page 1 of" not in texts[0]


def test_cover_carries_cautions_and_deference(texts: list[str], sample: ModuleType) -> None:
    cover = squeeze(texts[0])
    for text in (
        "Wagtail",
        "Preparedfor",
        "Storedenergy",
        squeeze(sample.COVER.deference),
        squeeze(sample.COVER.licence),
    ):
        assert text in cover


def test_a_long_table_repeats_its_heads_and_splits_no_row(texts: list[str]) -> None:
    with_rows = [text for text in texts if re.search(r"\bW\d+\n", text) and "Decided by" in text]
    assert len(with_rows) >= 2
    rows = re.findall(r"^(?:▲\s*)?W(\d+)$", "\n".join(with_rows), re.MULTILINE)
    assert [int(row) for row in rows] == list(range(1, 47))


def test_links_lead_to_places_that_exist(pdf: bytes) -> None:
    with pymupdf.open(stream=pdf) as document:
        links = [link for page in document for link in page.get_links()]
        kinds = {link["kind"] for link in links}
        assert kinds <= {pymupdf.LINK_GOTO, pymupdf.LINK_NAMED}
        assert len(links) > 30
        names = document.resolve_names()
        assert names
        for link in links:
            assert link["page"] in range(len(document))


@pytest.mark.slow
def test_hostile_text_comes_out_as_typed(hostile_pdf: bytes, sample: ModuleType) -> None:
    _, placed = sample.hostile()
    with pymupdf.open(stream=hostile_pdf) as document:
        shown = squeeze("".join(page.get_text() for page in document))
    with pikepdf.open(io.BytesIO(hostile_pdf)) as document:
        alts = [str(e.Alt) for e in structure.elements(document) if "/Alt" in e]
    refs_and_alts = re.compile("|".join(map(re.escape, [*alts, *_refs(sample.hostile()[0])])) or "$^")
    on_site_only = set(_on_site_only(sample.hostile()[0]))
    expected = [text for text in placed if not refs_and_alts.fullmatch(text) and text not in on_site_only]
    assert len(expected) > 250
    missing = [text for text in expected if squeeze(text) not in shown]
    assert missing == []


def _on_site_only(item: Any) -> Iterator[str]:
    """Texts of storyboards that are not on paper, and of sliders, in whose place a table stands there."""
    if isinstance(item, b.Sliders):
        yield from _strings((item.axes, item.faces))
    elif isinstance(item, b.Steps) and not item.on_paper:
        yield from _strings(item)
    elif isinstance(item, tuple):
        for part in item:
            yield from _on_site_only(part)
    elif isinstance(item, b.Book | b.Page):
        for field in dataclasses.fields(item):
            yield from _on_site_only(getattr(item, field.name))


def _strings(item: Any) -> Iterator[str]:
    if isinstance(item, str):
        yield item
    elif isinstance(item, tuple):
        for part in item:
            yield from _strings(part)
    elif dataclasses.is_dataclass(item):
        for field in dataclasses.fields(item):
            yield from _strings(getattr(item, field.name))


def _refs(item: Any) -> Iterator[str]:
    """References into the results stand in the site's HTML only."""
    if isinstance(item, b.Cell):
        yield item.ref
    elif isinstance(item, tuple):
        for part in item:
            yield from _refs(part)
    elif dataclasses.is_dataclass(item):
        for field in dataclasses.fields(item):
            yield from _refs(getattr(item, field.name))


@pytest.mark.slow
def test_hostile_text_brings_no_link_file_or_script(hostile_pdf: bytes) -> None:
    with pikepdf.open(io.BytesIO(hostile_pdf)) as document:
        assert "/JavaScript" not in document.Root.get("/Names", {})
        assert not document.attachments
        for page in document.pages:
            for annotation in page.get("/Annots", []):
                assert "/URI" not in annotation.get("/A", {})
                assert annotation.get("/A", {}).get("/S") in {None, "/GoTo"}


@pytest.mark.slow
def test_hostile_titles_in_the_outline_are_as_typed(hostile_pdf: bytes, sample: ModuleType) -> None:
    with pikepdf.open(io.BytesIO(hostile_pdf)) as document, document.open_outline() as outline:
        titles = [title for level, title in _outline(outline.root) if level == 0]
    assert titles == [page.title for page in sample.hostile()[0].pages]


@pytest.mark.slow
def test_same_book_same_bytes_whatever_hash_seed(pdf: bytes) -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = sys.argv[1:3]; import sample_book as s;"
        "from proposal.publish.pdf import render_pdf;"
        "print(hashlib.sha256(render_pdf(s.BOOK, s.DRAWINGS, s.IMAGES)).hexdigest())"
    )
    here = Path(__file__)
    for seed in ("1", "77"):
        environment = os.environ | {"PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo"}
        command = [sys.executable, "-c", code, str(here.parent), str(here.parents[2])]
        printed = subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout.strip()
        assert printed == hashlib.sha256(pdf).hexdigest()


def test_its_syntax_has_no_fault(opened: pikepdf.Pdf) -> None:
    assert opened.check_pdf_syntax() == []


def test_a_drawing_cannot_reach_outside(sample: ModuleType, tmp_path: Path) -> None:
    secret = tmp_path / "secret.svg"
    secret.write_text('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text y="9">LEAKED</text></svg>')
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:x="http://www.w3.org/1999/xlink" width="90mm" height="90mm">'
        f'<image x:href="{secret.as_uri()}" width="9" height="9"/><text y="9">drawn</text></svg>'
    ).encode()
    page = b.Page("one", "One", ("client",), (b.Figure("a.svg", "alt", "caption"),))
    book = b.Book(dataclasses.replace(sample.COVER, cautions=()), (page,), "en", "2026-03-14")
    with pytest.raises(RuntimeError, match="refused"):
        render_pdf(book, {"a.svg": svg})


def test_a_broken_drawing_is_told(sample: ModuleType) -> None:
    page = b.Page("one", "One", ("client",), (b.Figure("a.svg", "alt", "caption"),))
    book = b.Book(dataclasses.replace(sample.COVER, cautions=()), (page,), "en", "2026-03-14")
    with pytest.raises(RuntimeError, match=r"a\.svg"):
        render_pdf(book, {"a.svg": b"<svg"})


def test_missing_system_libraries_are_told_with_the_packages_to_install(
    sample: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    real = builtins.__import__

    def without_pango(name: str, *args: Any, **kwargs: Any) -> Any:
        if name.startswith("weasyprint"):
            print("a banner")  # noqa: T201 - as the library does
            raise OSError("cannot load library 'libpango'")
        return real(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", without_pango)
    with pytest.raises(MachineError, match="libpangoft2-1.0-0 libharfbuzz-subset0".replace(".", r"\.")):
        render_pdf(sample.BOOK, sample.DRAWINGS, sample.IMAGES)
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("size", "page"),
    [
        ('width="420mm" height="297mm"', "a3-whole"),
        ('width="420mm" height="200mm"', "a3"),
        ('width="297mm" height="210mm"', "a4-whole"),
        ('width="160mm" height="80mm"', "a4"),
        ('viewBox="0 0 9 9"', "a4"),
        ('height="297mm" width="420mm"', "a3-whole"),
    ],
)
def test_the_page_of_a_sheet_follows_its_own_size(size: str, page: str) -> None:
    assert sheet_size(f'<svg xmlns="http://www.w3.org/2000/svg" {size}/>'.encode()) == page


def test_a_book_without_a_date_does_not_take_the_clock(sample: ModuleType) -> None:
    html = document_html(dataclasses.replace(sample.BOOK, date="in spring"), sample.DRAWINGS)
    assert html.count("2000&#45;01&#45;01T00&#58;00&#58;00Z") == 2


def test_a_warning_stands_on_every_page(texts: list[str], sample: ModuleType) -> None:
    for number, text in enumerate(texts, 1):
        assert squeeze(text).count(squeeze(sample.COVER.warning)) == 1, number


def test_a_warning_is_the_largest_text_of_the_cover_but_the_name(pdf: bytes) -> None:
    with pymupdf.open(stream=pdf) as document:
        lines = [line for block in document[0].get_text("dict")["blocks"] for line in block.get("lines", ())]
    spans = [span for line in lines for span in line["spans"]]
    warned = [span for span in spans if "Do not energise" in span["text"]]
    assert {(round(span["size"]), span["color"]) for span in warned} == {(27, 0xAB1F1F)}
    assert {span["text"] for span in spans if span["size"] > 27.5} == {"Wagtail"}


def test_photos_stand_two_in_a_row_and_whole_on_their_page(pdf: bytes) -> None:
    with pymupdf.open(stream=pdf) as document:
        last = document[-1]
        places = sorted((info["bbox"] for info in last.get_image_info()), key=lambda box: (round(box[1]), box[0]))
        ratios = sorted(round((box[2] - box[0]) / (box[3] - box[1]), 2) for box in places)
        assert len(places) == 3
        assert all(box[0] > 18 * MM and box[2] < 192.1 * MM and box[3] < 277 * MM for box in places)
    assert ratios == [0.56, 1.33, 1.5]
    assert abs(places[0][1] - places[1][1]) < 1
    assert places[2][1] > max(places[0][3], places[1][3])
