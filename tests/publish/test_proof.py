from __future__ import annotations

import dataclasses
from types import ModuleType

import pytest

from proposal.book import blocks as b
from proposal.publish.labels import DEFAULTS, labels
from proposal.publish.proof import page_file, proof


def _w(*parts: object) -> b.Words:
    return b.Words(parts)  # type: ignore[arg-type]


def _page(*blocks: b.Block, page_id: str = "one") -> b.Page:
    return b.Page(page_id, "Title", ("client",), blocks)


def _book(sample: ModuleType, *pages: b.Page) -> b.Book:
    return b.Book(dataclasses.replace(sample.COVER, cautions=()), pages, "en", "2026-03-14")


def _table(cells: int, total_rows: int = 0) -> b.Table:
    return b.Table("T", (b.Column("A"), b.Column("B")), (b.Row(tuple(_w("x") for _ in range(cells))),), total_rows)


_GONE = _w(b.Link("x", "gone"))


def _steps(drawing: str, alt: str) -> b.Steps:
    return b.Steps("A", "t", "s", (b.Step(_w("n"), _w("x"), drawing, alt),))


def _sliders(proposed: int = 0, figures: int = 2, note: b.Words | None = None) -> b.Sliders:
    axis = b.SliderAxis("use", "Use", (_w("1"), _w("2")), proposed)
    answer = b.SliderAnswer("a", (_w("x"),) * figures, ("plain",) * figures)
    return b.Sliders("s", "T", (axis,), (b.SliderFace("A", "t", (answer,)),), note or _w(), _table(2))


def _photos(**changed: object) -> b.Photos:
    photo = b.Photo("photo-wide.jpg", "alt", _w("x"), "p", 4, 3)
    return b.Photos((dataclasses.replace(photo, **changed),))  # type: ignore[arg-type]


def test_the_sample_is_sound(sample: ModuleType) -> None:
    proof(sample.BOOK, sample.DRAWINGS, sample.IMAGES)
    proof(sample.hostile()[0], sample.DRAWINGS, sample.IMAGES)
    assert page_file(sample.BOOK, "proposal") == "index.html"
    assert page_file(sample.BOOK, "cables") == "cables.html"


@pytest.mark.parametrize(
    ("pages", "message"),
    [
        ((), "it has no page"),
        ((_page(), _page()), "two pages have one id"),
        ((_page(page_id="../x"),), "page id"),
        ((_page(), _page(page_id="assets")), "page id"),
        ((_page(b.Heading("A", 2, "a"), b.Heading("B", 2, "a")),), "an anchor twice"),
        ((_page(b.Paragraph(_w(b.Link("x", "nowhere")))),), "no page 'nowhere'"),
        ((_page(b.Bullets((_w(b.Link("x", "one", "gone")),))),), "no anchor 'gone'"),
        ((_page(b.Callout("T", (_w(b.Link("x", "nowhere")),), "plain")),), "no page 'nowhere'"),
        ((_page(b.Facts((b.Fact("n", _w(b.Link("x", "nowhere"))),))),), "no page 'nowhere'"),
        ((_page(b.KeyFigures((b.KeyFigure("n", _w("1"), _w(b.Link("x", "nowhere"))),))),), "no page 'nowhere'"),
        ((_page(b.SideBySide((b.OptionFace("A", "t", "p", "gone", (), ()),))),), "no page 'gone'"),
        ((_page(b.Figure("absent.svg", "alt", "caption")),), r"no drawing 'absent\.svg'"),
        ((_page(b.Charts((b.Chart("absent.svg", "alt", _w(), "c"),))),), r"no drawing 'absent\.svg'"),
        ((_page(b.Charts((b.Chart("day.svg", " ", _w(), "c"),))),), "without words for those who cannot see it"),
        ((_page(b.Charts((b.Chart("day.svg", "alt", _w(b.Link("x", "gone")), "c"),))),), "no page 'gone'"),
        (
            (_page(b.Steps("A", "t", "s", (b.Step(_w("n"), _w("x"), "absent.svg", "alt"),))),),
            r"no drawing 'absent\.svg'",
        ),
        ((_page(b.Steps("A", "t", "s", (b.Step(_w("n"), _w("x"), "day.svg", ""),))),), "without words"),
        ((_page(b.Heading("A", 2, "s"), b.Steps("A", "t", "s", ())),), "an anchor twice"),
        (
            (_page(b.Timelines((b.Timeline("A", "t", (b.Moment(_w(), _w(b.Link("x", "gone")), _w()),)),))),),
            "no page 'gone'",
        ),
        ((_page(_photos(file="gone.jpg")),), r"no photo 'gone\.jpg'"),
        ((_page(_photos(alt=" ")),), "without words for those who cannot see it"),
        ((_page(_photos(width_px=0)),), "has no size"),
        ((_page(_photos(words=_GONE)),), "no page 'gone'"),
        ((_page(_photos(), b.Heading("P", 2, "p")),), "an anchor twice"),
        ((_page(_sliders(proposed=2)),), "has no position 2"),
        ((_page(_sliders(figures=3)),), "has not an answer for each position"),
        ((_page(_sliders(note=_GONE)),), "no page 'gone'"),
        ((_page(_table(3)),), "another number of cells"),
        ((_page(_table(2, total_rows=2)),), "2 totals in 1 rows"),
    ],
)
def test_each_fault_of_a_book_is_named(sample: ModuleType, pages: tuple[b.Page, ...], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        proof(_book(sample, *pages), {}, sample.IMAGES)


def test_a_drawing_name_cannot_leave_its_folder(sample: ModuleType) -> None:
    with pytest.raises(ValueError, match="drawing name"):
        proof(_book(sample, _page()), {"../x.svg": b""})


@pytest.mark.parametrize("name", ["../x.jpg", "x.png", "a b.jpg", "x.jpg/y.jpg", ".jpg"])
def test_a_photo_name_cannot_leave_its_folder(sample: ModuleType, name: str) -> None:
    with pytest.raises(ValueError, match="photo name"):
        proof(_book(sample, _page()), {}, {name: b""})


def test_labels_of_the_book_come_first_and_a_misspelt_one_is_found(sample: ModuleType) -> None:
    book = _book(sample, _page())
    own = dataclasses.replace(book.cover, labels=(("next", "Weiter"),))
    assert labels(dataclasses.replace(book, cover=own))["next"] == "Weiter"
    assert labels(dataclasses.replace(book, cover=own))["page"] == DEFAULTS["page"]
    wrong = dataclasses.replace(book.cover, labels=(("nxet", "Weiter"),))
    with pytest.raises(ValueError, match="nxet"):
        labels(dataclasses.replace(book, cover=wrong))
