from __future__ import annotations

import dataclasses
import json
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from types import ModuleType

import pytest

from proposal.book import blocks as b
from proposal.publish.site import POLICY, render_site

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class Reader(HTMLParser):
    """Reads a page: its visible text, its elements with attributes, and whether the tags close properly."""

    def __init__(self, page: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.text = ""
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.unbalanced: list[str] = []
        self.feed(page.decode())
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID or tag in {"path", "li"}:
            return
        while self.open and self.open[-1] in {"li", "path"}:
            self.open.pop()
        if self.open and self.open[-1] == tag:
            self.open.pop()
        else:
            self.unbalanced.append(tag)

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] not in {"script", "style"}:
            self.text += data


def pages(site: dict[str, bytes]) -> dict[str, Reader]:
    return {name: Reader(data) for name, data in site.items() if name.endswith(".html")}


def squeeze(text: str) -> str:
    return re.sub(r"[ \t\r\n\f\v]+", " ", text).strip()


def test_the_first_page_is_the_index_and_each_other_has_its_id(site: dict[str, bytes], sample: ModuleType) -> None:
    expected = {"index.html"} | {f"{page.id}.html" for page in sample.BOOK.pages[1:]}
    assert {name for name in site if name.endswith(".html")} == expected
    assert list(site) == sorted(site)
    assert site["results.json"] == b'{"a": 1}\n'
    for name, data in sample.DRAWINGS.items():
        assert site[f"drawings/{name}"] == data


def test_nothing_superfluous_is_shipped(site: dict[str, bytes]) -> None:
    assert not [name for name in site if name.endswith((".map", ".gz")) or "lunr" in name or "favicon" in name]
    assert "404.html" not in site
    assert "sitemap.xml" not in site
    assert sum(len(data) for data in site.values()) < 1_400_000


def test_every_page_forbids_to_load_from_outside(site: dict[str, bytes]) -> None:
    for name, page in pages(site).items():
        policies = [a["content"] for tag, a in page.elements if a.get("http-equiv") == "Content-Security-Policy"]
        assert policies == [POLICY], name
        assert page.elements.index(("meta", {"http-equiv": "Content-Security-Policy", "content": POLICY})) < min(
            i for i, (tag, _) in enumerate(page.elements) if tag in {"link", "script", "style", "img"}
        )
    assert "http" not in POLICY
    assert POLICY.startswith("default-src 'none'")


def test_every_address_leads_to_a_file_of_the_site(site: dict[str, bytes]) -> None:
    read = pages(site)
    ids = {name: {a["id"] for _, a in page.elements if "id" in a} for name, page in read.items()}
    seen = 0
    for name, page in read.items():
        for tag, attributes in page.elements:
            for key in ("href", "src"):
                address = attributes.get(key)
                if address is None or address == "data:,":
                    continue
                path, _, anchor = address.partition("#")
                assert ":" not in path, (name, tag, address)
                assert not path.startswith("/"), (name, tag, address)
                target = path.removeprefix("./").rstrip(".") or name
                assert target in site, (name, tag, address)
                assert not anchor or anchor in ids[target] or tag == "use", (name, tag, address)
                seen += 1
    assert seen > 150


def test_style_sheets_and_scripts_name_no_address_of_ours_outside(site: dict[str, bytes]) -> None:
    for name in ("assets/proposal.css", "assets/pages.js", "assets/moving.js", "assets/iframe-worker-shim.js"):
        assert b"://" not in site[name], name
    for file in re.findall(rb"url\(\"?([^)\"]+)", site["assets/proposal.css"]):
        assert f"assets/{file.decode()}" in site


def test_all_tags_close(site: dict[str, bytes], hostile_site: dict[str, bytes]) -> None:
    for name, page in (*pages(site).items(), *pages(hostile_site).items()):
        assert page.unbalanced == [], name


def test_ids_are_unique_in_a_page(site: dict[str, bytes]) -> None:
    for name, page in pages(site).items():
        ids = [a["id"] for _, a in page.elements if "id" in a]
        assert len(ids) == len(set(ids)), name


def test_each_cell_carries_its_place_in_the_results(site: dict[str, bytes], sample: ModuleType) -> None:
    refs = [a["data-ref"] for _, a in pages(site)["cables.html"].elements if "data-ref" in a]
    table = next(block for block in sample.PAGES[5].blocks if isinstance(block, b.Table))
    expected = [
        part.ref for row in table.rows for words in row.cells for part in words.parts if isinstance(part, b.Cell)
    ]
    assert refs == expected


def strings(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    entries = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for entry in entries for text in strings(entry)]


def test_hostile_text_comes_out_as_typed(hostile_site: dict[str, bytes], sample: ModuleType) -> None:
    _, placed = sample.hostile()
    read = pages(hostile_site)
    shown = " ".join(squeeze(page.text) for page in read.values())
    attributes = [
        v for page in read.values() for _, a in page.elements for k, v in a.items() if k in {"alt", "data-ref"}
    ]
    shown += " ".join(attributes)
    carried = [a["data-sliders"] for page in read.values() for _, a in page.elements if "data-sliders" in a]
    assert carried
    shown += " ".join(text for found in carried for text in strings(json.loads(found)))
    on_paper_only = {text for run in sample.hostile()[0].cover.cautions for text in sample.texts(run)}
    missing = [text for text in placed if text not in shown and text not in on_paper_only]
    assert missing == []
    assert len(placed) > 600


def test_hostile_text_makes_no_element_and_no_attribute(hostile_site: dict[str, bytes], site: dict[str, bytes]) -> None:
    def skeleton(page: Reader) -> list[tuple[str, tuple[str, ...]]]:
        return [
            (tag, tuple(sorted(a)))
            for tag, a in page.elements
            if tag != "wbr"  # long words may break
        ]

    clean = pages(site)
    for name, page in pages(hostile_site).items():
        assert skeleton(page) == skeleton(clean[name]), name
        for _, attributes in page.elements:
            assert not [key for key in attributes if key.startswith("on")]
            assert not attributes.get("href", "").startswith("javascript")


def test_no_mathematics_abbreviation_or_template_was_run(hostile_site: dict[str, bytes]) -> None:
    for page in pages(hostile_site).values():
        assert "49" not in re.sub(r"q\d+q", "", page.text)
        assert not {"em", "b", "del", "code", "mark", "abbr", "sup"} & {tag for tag, _ in page.elements}


def test_the_search_index_holds_each_section(site: dict[str, bytes]) -> None:
    script = site["search/search_index.js"].decode()
    assert script.startswith("var __index = ")
    index = json.loads(script.removeprefix("var __index = "))
    assert index == json.loads(site["search/search_index.json"])
    places = {entry["location"]: entry for entry in index["docs"]}
    assert "windlass" in places["cables.html#conductors"]["text"]
    assert places["option-a.html#drawing"]["title"] == "Single-line drawing"
    assert "index.html#decide" in places or "#decide" in places


def test_the_search_index_holds_hostile_text_encoded(hostile_site: dict[str, bytes]) -> None:
    # The theme puts titles and texts of the index into the page as HTML.
    index = json.loads(hostile_site["search/search_index.json"])
    for entry in index["docs"]:
        assert "<script" not in entry["text"] + entry["title"]
        assert "<img" not in entry["text"] + entry["title"]


@pytest.mark.slow
def test_same_book_same_bytes_whatever_clock_and_hash_seed(site: dict[str, bytes]) -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = sys.argv[1:3]; import sample_book as s;"
        "from proposal.publish.site import render_site;"
        "files = render_site(s.BOOK, s.DRAWINGS, {'results.json': b'{\"a\": 1}\\n'}, images=s.IMAGES);"
        "print({n: hashlib.sha256(d).hexdigest() for n, d in files.items()})"
    )
    here = Path(__file__)
    printed = set()
    for seed, epoch in (("1", "0"), ("77", "1700000000")):
        environment = os.environ | {"PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": epoch, "TZ": "Asia/Tokyo"}
        command = [sys.executable, "-c", code, str(here.parent), str(here.parents[2])]
        printed.add(subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout)
    assert len(printed) == 1
    assert len(site) == printed.pop().count(":")


def test_progress_tells_each_page_once(sample: ModuleType) -> None:
    told: list[str] = []
    book = dataclasses.replace(sample.BOOK, pages=(sample.PAGES[5],))
    plain = dataclasses.replace(book, cover=dataclasses.replace(book.cover, cautions=()))
    render_site(plain, {}, {}, progress=told.append)
    assert told == ["Cables and protection"]


def test_a_language_brings_its_words_and_its_stemmer(sample: ModuleType) -> None:
    page = b.Page("seite", "Seite", ("client",), (b.Paragraph(b.Words(("Wort",))),))
    labels = (("next", "Weiter"), ("menu", "Seiten"))
    cover = dataclasses.replace(sample.COVER, labels=labels, cautions=())
    other = dataclasses.replace(page, id="zwei", title="Zwei")
    site = render_site(b.Book(cover, (page, other), "de-DE", "2026-03-14"), {}, {})
    assert b'<html lang="de"' in site["index.html"]
    assert "Weiter" in site["index.html"].decode()
    assert [name for name in site if "lunr" in name] == [
        "assets/javascripts/lunr/min/lunr.de.min.js",
        "assets/javascripts/lunr/min/lunr.stemmer.support.min.js",
    ]


def test_extra_files_cannot_replace_a_page(sample: ModuleType) -> None:
    page = b.Page("one", "One", ("client",), ())
    book = b.Book(dataclasses.replace(sample.COVER, cautions=()), (page,), "en", "2026-03-14")
    with pytest.raises(ValueError, match=r"already has index\.html"):
        render_site(book, {}, {"index.html": b"x"})


def test_photos_are_published_and_shown_whole(site: dict[str, bytes], sample: ModuleType) -> None:
    read = pages(site)["photos.html"]
    for name, data in sample.IMAGES.items():
        assert site[f"photos/{name}"] == data
    shown = [a for tag, a in read.elements if tag == "img"]
    block = next(block for block in sample.PAGES[-1].blocks if isinstance(block, b.Photos))
    assert [(a["src"], a["alt"], a["width"], a["height"]) for a in shown] == [
        (f"photos/{photo.file}", photo.alt, str(photo.width_px), str(photo.height_px)) for photo in block.photos
    ]
    assert ("a", {"href": "photos.html#photo.2"}) in read.elements
    assert {"photo.1", "photo.2", "photo.3"} <= {a["id"] for _, a in read.elements if "id" in a}


def test_a_warning_is_large_on_the_first_page_and_on_every_other(site: dict[str, bytes], sample: ModuleType) -> None:
    for name, page in pages(site).items():
        assert page.text.count(sample.COVER.warning) == 1, name
        classes = {a.get("class") for _, a in page.elements}
        assert ("beware" in classes) is (name == "index.html")
        assert ("top__warning" in classes) is (name != "index.html")


def test_without_a_warning_there_is_no_place_for_one(sample: ModuleType) -> None:
    page = b.Page("one", "One", ("client",), ())
    book = b.Book(dataclasses.replace(sample.COVER, cautions=(), warning=""), (page,), "en", "2026-03-14")
    site = render_site(book, {}, {})
    assert b"beware" not in site["index.html"]
    assert b"top__warning" not in site["index.html"]


def test_a_missing_photo_is_told(sample: ModuleType) -> None:
    with pytest.raises(ValueError, match=r"no photo 'photo-wide\.jpg'"):
        render_site(sample.BOOK, sample.DRAWINGS, {})
