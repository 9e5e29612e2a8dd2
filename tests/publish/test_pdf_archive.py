"""The PDF that is kept: judged by an offline validator as PDF/A-3a and PDF/UA-1, and looked into by another library."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import io
import os
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
import zlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import page as validator
import pikepdf
import pytest

from proposal.book import blocks as b
from proposal.publish.pdf import render_pdf
from proposal.publish.pdf_archive import Attached, render_archive_pdf, settle, written
from tests.publish import structure

FLAVOURS = ("pdfa-3a", "pdfua-1")
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"


def _attached(sample: ModuleType) -> tuple[Attached, ...]:
    return (
        Attached("spec.yaml", "vessel:\n  name: Wagtail ± ½\n".encode(), "spec"),
        Attached("results.json", b'{"a": 1}\n', "results"),
        Attached("02-a-visit.yaml", b"kind: visit\n", "entry"),
        Attached("01-hand-over.yaml", b"kind: hand_over\n", "entry"),
        Attached("designations.txt", b"F1 loads.fridge\n", "designations"),
        *(Attached(name, data, "photo") for name, data in sample.IMAGES.items()),
    )


@pytest.fixture(scope="module")
def kept(sample: ModuleType) -> bytes:
    return render_archive_pdf(sample.BOOK, sample.DRAWINGS, sample.IMAGES, _attached(sample))


@pytest.fixture(scope="module")
def opened(kept: bytes) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(kept)) as document:
        yield document


def _judged(data: bytes, flavour: str) -> list[str]:
    report = validator.validate_pdf_bytes(data, profile=flavour)
    assert report.rules.total > 90
    return [f"{failure.rule_id}: {failure.message}" for failure in report.failures]


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_the_validator_has_no_objection(kept: bytes, flavour: str) -> None:
    assert _judged(kept, flavour) == []


@pytest.mark.slow
@pytest.mark.parametrize("flavour", FLAVOURS)
def test_nor_has_it_to_hostile_texts(sample: ModuleType, flavour: str) -> None:
    book = sample.hostile()[0]
    assert _judged(render_archive_pdf(book, sample.DRAWINGS, sample.IMAGES, _attached(sample)), flavour) == []


def test_the_ordinary_pdf_is_accessible_and_no_archive(pdf: bytes) -> None:
    assert _judged(pdf, "pdfua-1") == []
    assert len(_judged(pdf, "pdfa-3a")) > 3  # the validator can object


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="qpdf is missing: apt-get install qpdf")
def test_its_syntax_has_no_fault(kept: bytes, tmp_path: Path) -> None:
    file = tmp_path / "kept.pdf"
    file.write_bytes(kept)
    checked = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_what_is_attached_comes_out_byte_for_byte(opened: pikepdf.Pdf, sample: ModuleType) -> None:
    expected = {file.name: file.data for file in _attached(sample)}
    assert {name: found.get_file().read_bytes() for name, found in opened.attachments.items()} == expected
    assert list(opened.attachments) == sorted(expected)


def test_what_is_attached_says_what_it_is_and_when_it_was_made(opened: pikepdf.Pdf, sample: ModuleType) -> None:
    listed = list(opened.Root.AF)
    assert sorted(str(entry.UF) for entry in listed) == sorted(file.name for file in _attached(sample))
    found = {
        str(entry.UF): (str(entry.AFRelationship), str(entry.EF.F.Subtype), str(entry.EF.F.Params.ModDate))
        for entry in listed
    }
    day = "D:20260314000000Z"
    assert found["spec.yaml"] == ("/Source", "/application/yaml", day)
    assert found["01-hand-over.yaml"] == ("/Source", "/application/yaml", day)
    assert found["results.json"] == ("/Data", "/application/json", day)
    assert found["designations.txt"] == ("/Supplement", "/text/plain", day)
    assert found["photo-tall.jpg"] == ("/Supplement", "/image/jpeg", day)
    assert all(str(entry.Desc) for entry in listed)
    assert {str(entry.F) for entry in listed} == set(found)


def test_its_colours_have_a_profile_inside_it(opened: pikepdf.Pdf) -> None:
    (intent,) = opened.Root.OutputIntents
    assert str(intent.S) == "/GTS_PDFA1"
    profile = intent.DestOutputProfile.read_bytes()
    assert profile[36:40] == b"acsp"  # ICC.1, the signature of a profile
    assert profile[16:20] == b"RGB "
    images = [o for o in opened.objects if isinstance(o, pikepdf.Stream) and o.get("/Subtype") == "/Image"]
    photos = [image for image in images if image.get("/Filter") == "/DCTDecode"]
    assert len(photos) == 3
    assert {str(image.ColorSpace) for image in photos} == {"/DeviceRGB"}
    assert not any(bool(image.get("/Interpolate", False)) for image in images)


def test_its_photos_are_embedded_as_they_were_prepared(opened: pikepdf.Pdf, sample: ModuleType) -> None:
    streams = [o for o in opened.objects if isinstance(o, pikepdf.Stream) and o.get("/Filter") == "/DCTDecode"]
    assert {stream.read_raw_bytes() for stream in streams} == set(sample.IMAGES.values())


def test_its_metadata_can_be_read_as_they_stand(opened: pikepdf.Pdf, kept: bytes) -> None:
    metadata = opened.Root.Metadata
    assert "/Filter" not in metadata
    text = metadata.read_raw_bytes()
    assert text in kept
    tree = ET.fromstring(re.sub(rb"<\?xpacket[^>]*\?>", b"", text))  # noqa: S314 - our own
    assert len(list(tree.iter(f"{RDF}RDF"))) == 1
    with opened.open_metadata() as meta:
        assert meta["pdfaid:part"] == "3"
        assert meta["pdfaid:conformance"] == "A"
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"] == "Wagtail · Battery system for a 31 ft cutter"
        assert meta["xmp:CreateDate"].startswith("2026-03-14")
    assert str(opened.docinfo.CreationDate).startswith("D:20260314")
    assert opened.trailer.ID


def test_each_picture_has_words_and_each_page_an_order(opened: pikepdf.Pdf, sample: ModuleType) -> None:
    assert opened.Root.MarkInfo.Marked
    assert str(opened.Root.Lang) == "en"
    elements = list(structure.elements(opened))
    figures = [element for element in elements if element.S == "/Figure"]
    words = [str(figure.Alt) for figure in figures]
    assert all(words)
    photos = [
        photo for page in sample.PAGES for block in page.blocks if isinstance(block, b.Photos) for photo in block.photos
    ]
    assert {photo.alt for photo in photos} <= set(words)
    # ISO 14289-1 7.6: in a list there are items, captions and lists, and nothing else
    for element in elements:
        if element.S == "/L":
            assert {str(kid.S) for kid in element.K} <= {"/LI", "/L", "/Caption"}
    with opened.open_outline() as outline:
        assert [str(item.title) for item in outline.root] == [page.title for page in sample.PAGES]


def test_every_font_is_inside_it(opened: pikepdf.Pdf) -> None:
    fonts = [o for o in opened.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/FontDescriptor"]
    assert len(fonts) >= 2
    for font in fonts:
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(font.keys())


def test_nothing_in_it_runs_or_leads_outside(opened: pikepdf.Pdf) -> None:
    assert "/OpenAction" not in opened.Root
    assert "/AA" not in opened.Root
    for page in opened.pages:
        for annotation in page.get("/Annots", []):
            assert "/URI" not in annotation.get("/A", {})


def test_it_says_what_the_ordinary_one_says(kept: bytes, pdf: bytes) -> None:
    import pymupdf  # noqa: PLC0415

    with pymupdf.open(stream=kept) as ours, pymupdf.open(stream=pdf) as other:
        assert [page.get_text() for page in ours] == [page.get_text() for page in other]


@pytest.mark.slow
def test_same_input_same_bytes_in_another_process(kept: bytes) -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = sys.argv[1:3]; import sample_book as s;"
        "from tests.publish.test_pdf_archive import _attached, render_archive_pdf as r;"
        "print(hashlib.sha256(r(s.BOOK, s.DRAWINGS, s.IMAGES, _attached(s)[::-1])).hexdigest())"
    )
    here = Path(__file__)
    environment = os.environ | {"PYTHONHASHSEED": "77", "TZ": "Asia/Tokyo", "SOURCE_DATE_EPOCH": "1700000000"}
    command = [sys.executable, "-c", code, str(here.parent), str(here.parents[2])]
    printed = subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout.strip()
    assert printed == hashlib.sha256(kept).hexdigest()


@pytest.mark.parametrize(
    ("names", "says"),
    [
        (("a.yaml", "a.yaml"), "attached twice: a.yaml"),
        (("../a.yaml",), "no name of an attached file"),
        (("a/b.yaml",), "no name of an attached file"),
        (("a.exe",), "no name of an attached file"),
        (("yaml",), "no name of an attached file"),
        ((".yaml",), "no name of an attached file"),
    ],
)
def test_a_name_that_is_not_plain_is_refused(sample: ModuleType, names: tuple[str, ...], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        render_archive_pdf(
            sample.BOOK, sample.DRAWINGS, sample.IMAGES, tuple(Attached(name, b"x", "spec") for name in names)
        )


def test_a_book_without_attachments_is_kept_as_well(sample: ModuleType) -> None:
    book = _small(sample)
    data = render_archive_pdf(book, {}, {}, ())
    assert [_judged(data, flavour) for flavour in FLAVOURS] == [[], []]
    assert b"/AF" not in data
    assert data != render_pdf(book, {})


def _small(sample: ModuleType) -> b.Book:
    page = b.Page("one", "One", ("owner",), (b.Paragraph(b.Words(("Text",))),))
    return b.Book(dataclasses.replace(sample.COVER, cautions=(), warning=""), (page,), "en", "2026-03-14")


def test_no_stream_ends_so_that_it_reads_a_byte_short(sample: ModuleType) -> None:
    # RFC 1950: the last byte of a packed stream is that of the sum of its bytes and one; here a carriage return
    data = next(text for n in range(10**6) if (sum(text := b"name: %d\n" % n) + 1) % 256 == 0x0D)
    assert zlib.compress(data, 9).endswith(b"\r")
    made = render_archive_pdf(_small(sample), {}, {}, (Attached("spec.yaml", data, "spec"),))
    assert [_judged(made, flavour) for flavour in FLAVOURS] == [[], []]
    assert b"\r\nendstream" not in made
    with pikepdf.open(io.BytesIO(made)) as document:
        assert document.attachments["spec.yaml"].get_file().read_bytes() == data
        packed = document.attachments["spec.yaml"].obj.EF.F
        assert [str(name) for name in packed.Filter] == ["/ASCII85Decode", "/FlateDecode"]


def test_a_packed_picture_that_ends_so_is_still_read() -> None:
    import pydyf  # noqa: PLC0415

    for ending in (b"\r", b"x"):
        body = b"any data" + ending
        parameters = pydyf.Dictionary({"Predictor": 15, "Columns": 9})
        stream = pydyf.Stream([body], pydyf.Dictionary({"Filter": "/FlateDecode", "DecodeParms": parameters}))
        settle(stream)
        wrapped = ending == b"\r"
        assert (b"/Filter [/ASCII85Decode /FlateDecode]" in stream.data) is wrapped
        assert (b"/DecodeParms [null <<" in stream.data) is wrapped
        found = stream.data.partition(b"\nstream\n")[2].removesuffix(b"\nendstream")
        assert (base64.a85decode(found.removesuffix(b"~>")) if wrapped else found) == body
        assert b"/Length %d" % len(found) in stream.data


def test_the_last_streams_are_written_anew_until_they_end_well() -> None:
    class Unlucky:
        """Its first two ways to be written end in a carriage return."""

        def __init__(self) -> None:
            self.objects: list[object] = ["a page"]
            self.catalog: dict[str, str] = {}

        def add_object(self, added: object) -> None:
            self.objects.append(added)

        def write(self, output: io.BytesIO, *options: object) -> None:
            assert options == (b"1.7", True, True)
            self.objects.append("the table")  # as the writer does, into what it writes alone
            output.write(b"x" + (b"\r" if len(self.objects) < 4 else b"") + b"\nendstream")

    pdf, output = Unlucky(), io.BytesIO()
    written(pdf, Unlucky.write, output, b"1.7", True, True)
    assert output.getvalue() == b"x\nendstream"
    assert pdf.objects == ["a page", {}, {}]


@pytest.mark.slow
@pytest.mark.parametrize("text", ["\u6f22\u5b57", "\U0001f50b", "\ue000", "\U000f0001", "\u0928\u092e", "\ufdfa"])
def test_a_character_that_no_font_has_is_shown_as_such(sample: ModuleType, text: str) -> None:
    import pymupdf  # noqa: PLC0415

    page = b.Page("one", "One", ("owner",), (b.Paragraph(b.Words((f"before {text} after",))),))
    book = dataclasses.replace(_small(sample), pages=(page,))
    entry = Attached("01-hand-over.yaml", text.encode(), "entry")
    made = render_archive_pdf(book, {}, {}, (entry,))
    assert [_judged(made, flavour) for flavour in FLAVOURS] == [[], []]
    with pymupdf.open(stream=made) as document:
        assert "before" in document[-1].get_text()
        assert "after" in document[-1].get_text()
    with pikepdf.open(io.BytesIO(made)) as document:
        assert document.attachments["01-hand-over.yaml"].get_file().read_bytes() == text.encode()
