"""Marram's own record on paper and on screen: kept for decades, photos with words, no page wider than a phone."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import page as validator
import pikepdf
import pytest
from playwright.sync_api import sync_playwright

from proposal.book import blocks as b
from proposal.book.record import make_record_book
from proposal.book.sheets import draw_all
from proposal.publish.pdf_archive import Attached, render_archive_pdf
from proposal.publish.photos import prepare_all
from proposal.publish.site import render_site
from proposal.results.codec import to_json
from proposal.results.computed import computed
from tests.publish.conftest import put
from tests.publish.test_browser import ARGUMENTS, SHOWN, Watched

pytestmark = pytest.mark.slow

MARRAM = Path(__file__).parents[2] / "projects" / "marram"


@pytest.fixture(scope="module")
def marram() -> Any:
    made = computed(MARRAM)
    assert made.record is not None
    results = made.evaluated.results
    drawings = draw_all(results, made.evaluated.circuits, made.evaluated.designations)
    photos = prepare_all(made.record)
    book = make_record_book(results, sorted(drawings), {name: photo.published for name, photo in photos.items()})
    images = {photo.name: photo.data for photo in photos.values()}
    return SimpleNamespace(book=book, drawings=drawings, images=images, photos=photos, json=to_json(results).encode())


@pytest.fixture(scope="module")
def kept(marram: Any) -> bytes:
    attached = [
        Attached("spec.yaml", (MARRAM / "spec.yaml").read_bytes(), "spec"),
        Attached("results.json", marram.json, "results"),
        *(Attached(path.name, path.read_bytes(), "entry") for path in sorted((MARRAM / "record").glob("*.yaml"))),
        *(Attached(name, data, "photo") for name, data in marram.images.items()),
    ]
    return render_archive_pdf(marram.book, marram.drawings, marram.images, attached)


@pytest.fixture(scope="module")
def folder(marram: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    site = render_site(marram.book, marram.drawings, {"results.json": marram.json}, images=marram.images)
    return put(site, tmp_path_factory.mktemp("record"))


@pytest.mark.parametrize("flavour", ["pdfa-3a", "pdfua-1"])
def test_the_record_is_kept_for_decades_and_for_everybody(kept: bytes, flavour: str) -> None:
    report = validator.validate_pdf_bytes(kept, profile=flavour)
    assert [failure.message for failure in report.failures] == []
    assert report.is_compliant


def test_what_is_attached_is_what_lies_in_the_project(kept: bytes, marram: Any) -> None:
    with pikepdf.open(io.BytesIO(kept)) as document:
        found = {name: spec.get_file().read_bytes() for name, spec in document.attachments.items()}
    assert found["spec.yaml"] == (MARRAM / "spec.yaml").read_bytes()
    assert found["01-hand-over.yaml"] == (MARRAM / "record" / "01-hand-over.yaml").read_bytes()
    assert found["results.json"] == marram.json
    assert {name: data for name, data in found.items() if name.startswith("photo-")} == marram.images


def test_each_photo_of_the_record_is_a_figure_with_words(kept: bytes, marram: Any) -> None:
    shown = [
        photo
        for page in marram.book.pages
        for block in page.blocks
        if isinstance(block, b.Photos)
        for photo in block.photos
    ]
    assert len(shown) == len(marram.photos) >= 9
    with pikepdf.open(io.BytesIO(kept)) as document:
        figures = [o for o in document.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
    words = {str(figure.Alt) for figure in figures}
    assert {photo.alt for photo in shown} <= words
    assert all(words)


@pytest.mark.browser
class TestOnAScreen:
    """Its site, opened from a folder."""

    @pytest.fixture(params=[1280, 390], ids=["desktop", "phone"])
    def tab(self, request: pytest.FixtureRequest) -> Iterator[Watched]:
        executable = shutil.which("chromium")
        assert executable is not None, "Chromium is missing: apt-get install chromium"
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=executable, args=ARGUMENTS)
            yield Watched(browser, request.param, 900)
            browser.close()

    def test_every_page_fits_and_asks_for_nothing_outside(self, tab: Watched, folder: Path) -> None:
        for path in sorted(folder.glob("*.html")):
            tab.page.goto(path.as_uri())
            over = tab.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            assert over <= 0, path.name
        assert tab.said == []
        assert tab.outside(folder) == []

    def test_all_photos_are_seen(self, tab: Watched, folder: Path) -> None:
        tab.page.goto((folder / "photos.html").as_uri())
        photos = tab.page.locator(".photo img")
        for photo in photos.all():
            photo.scroll_into_view_if_needed()
            assert photo.evaluate("e => e.decode().then(() => e.naturalWidth)") > 0
        shown = tab.page.evaluate(SHOWN)
        assert len(shown) >= 9
        side_by_side = len({left for left, *_ in shown})
        assert side_by_side == (1 if tab.page.evaluate("innerWidth") < 720 else 3)
