"""Whatever a user types comes out as typed: on the pages, in the search, in the drawings, in the PDF and its links."""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import lxml.etree
import pikepdf
import pytest
import tinyhtml5
from pydantic import BaseModel

from proposal.cli.main import main
from proposal.reading import read
from proposal.spec.installer import Installer
from proposal.spec.pricebook import PriceBook
from proposal.spec.project import Spec
from tests.e2e.conftest import days_for
from tests.e2e.hostile import PAYLOADS, lay_out, text_fields
from tests.e2e.published import Published, squeeze

pytestmark = pytest.mark.slow


@dataclass
class Built:
    """A proposal full of such texts, and the texts."""

    site: Published
    typed: dict[int, str]


@pytest.fixture(scope="module")
def hostile(published: Callable[[str], Published], tmp_path_factory: pytest.TempPathFactory) -> Built:
    # What was typed is the same each time, so another worker's build has these texts too.
    _, spoiler = lay_out(tmp_path_factory.mktemp("typed"), PAYLOADS)
    return Built(published("hostile"), spoiler.typed)


# --- pages -----------------------------------------------------------------------------------------------------------


def _elements(site: Published) -> Iterator[tuple[str, Any]]:
    """Every element of every page, as a browser's own parsing rules find them."""
    for path in sorted(site.folder.glob("*.html")):
        for element in tinyhtml5.parse(path.read_bytes(), namespace_html_elements=False).iter():
            if isinstance(element.tag, str):
                yield path.stem, element


@pytest.fixture(scope="module")
def elements(hostile: Built) -> list[tuple[str, Any]]:
    return list(_elements(hostile.site))


def _pieces(text: str, typed: dict[int, str]) -> str:
    """The text without everything that stands in it as typed."""
    for words in typed.values():
        text = text.replace(" ".join(words.split()), " ")
    return text


ODD = re.compile(r"alert|<|\{\{|\{%|javascript|onerror|&amp|\$\{|%s")


def _texts(item: Any) -> Iterator[tuple[str, str, str]]:
    """Model, key and text of every text in what was read."""
    if isinstance(item, BaseModel):
        for name, info in type(item).model_fields.items():
            value = getattr(item, name)
            for text in value if isinstance(value, tuple) else (value,):
                if isinstance(text, str):
                    yield type(item).__name__, info.alias or name, text
                else:
                    yield from _texts(text)
    elif isinstance(item, dict):
        for value in item.values():
            yield from _texts(value)


def test_every_field_of_free_text_is_tried(hostile: Built) -> None:
    home = hostile.site.folder.parent
    read_in = [
        read(home / name, model, max_bytes=3_000_000).value
        for name, model in (("vessel/spec.yaml", Spec), ("installer.yaml", Installer), ("prices.yaml", PriceBook))
    ]
    spoilt = {(owner, key) for one in read_in for owner, key, text in _texts(one) if text in hostile.typed.values()}
    wanted = set().union(*(text_fields(model) for model in (Spec, Installer, PriceBook)))
    assert wanted - spoilt == set()
    assert len(wanted) > 50
    assert len(hostile.typed) > 150


def test_attributes_hold_texts_as_typed(hostile: Built, elements: list[tuple[str, Any]]) -> None:
    seen = 0
    for page, element in elements:
        for name, value in element.attrib.items() if element.tag != "script" else ():
            if ODD.search(value) is not None and not re.fullmatch(r"[\w.-]*", value.removeprefix("#")):
                seen += 1
                left = _pieces(value, hostile.typed)
                assert ODD.search(left) is None, (page, element.tag, name, value)
    assert seen > 10


def test_each_page_reads_as_typed(hostile: Built) -> None:
    for name, page in hostile.site.pages.items():
        for hidden in page.xpath("//script | //style | //head"):
            hidden.getparent().remove(hidden)
        text = " ".join(page.text_content().split())
        assert ODD.search(_pieces(text, hostile.typed)) is None, name
        assert ODD.search(text) is not None, name


def test_what_a_client_must_read_is_there(hostile: Built) -> None:
    results = hostile.site.results
    vessel, options = results["vessel"], results["options"]
    text = squeeze(" ".join(page.text_content() for page in hostile.site.pages.values()))
    pdf = hostile.site.pdf_text
    wanted = [
        *(vessel[name] for name in ("name", "description", "client", "client_contact", "number", "revision")),
        *(vessel[name] for name in ("installer", "installer_contact", "installer_licence")),
        *vessel["installer_cautions"], *vessel["installer_terms"],
        *(text for row in results["survey"]["unknown"] for text in row),
        *(text for row in results["survey"]["measured"] for text in row),
    ]  # fmt: skip
    for option in options:
        wanted += [option["title"], option["pitch"], *option["choose_if"], option["price"]["tax_name"]]
        wanted += [x["title"] for kind in ("loads", "sources", "banks") for x in option[kind]]
        wanted += [x["title"] for x in option["price_lines"] if x["title"]]
        wanted += [x["part_title"] for x in option["devices"] if x["part_title"]]
        for finding in option["findings"]:
            if finding["accepted_by"] is not None:
                wanted += [finding["accepted_by"], finding["accepted_because"]]
    assert any(f["accepted_by"] for o in options for f in o["findings"])
    assert len(set(wanted)) > 60
    assert all(PAYLOADS[0] in words or PAYLOADS[1] in words for words in wanted)
    assert [words for words in wanted if squeeze(words) not in text] == []
    assert [words for words in wanted if squeeze(words) not in pdf] == []


def test_no_element_attribute_or_link_comes_from_a_text(
    hostile: Built, published: Callable[[str], Published], elements: list[tuple[str, Any]]
) -> None:
    def kinds(found: list[tuple[str, Any]]) -> Counter[str]:
        return Counter(e.tag for _, e in found if e.tag not in ("wbr", "tr", "td", "th", "span", "a", "p", "br"))

    clean = list(_elements(published("harmless")))
    assert kinds(elements) == kinds(clean)
    assert {e.tag for _, e in elements} - {"wbr"} == {e.tag for _, e in clean} - {"wbr"}
    assert {n for _, e in elements for n in e.attrib} == {n for _, e in clean for n in e.attrib}
    scripts, own = ([(p, e.attrib, e.text) for p, e in found if e.tag == "script"] for found in (elements, clean))
    assert scripts == own
    for page, element in elements:
        for name in ("href", "src", "action", "srcset", "data"):
            link = element.get(name, "")
            if link == "data:,":  # no icon, so that no browser asks for one
                continue
            assert not re.match(r"\s*(?:javascript|data|vbscript|https?):", link, re.I), (page, element.tag, link)
            target = link.partition("#")[0]
            assert not target or (hostile.site.folder / target).is_file(), (page, element.tag, link)
        assert not [name for name in element.attrib if name.startswith("on")], (page, element.tag)


def test_links_within_pages_lead_somewhere(elements: list[tuple[str, Any]]) -> None:
    ids = {(page, element.get("id")) for page, element in elements}
    for page, element in elements:
        target, found, anchor = element.get("href", "").partition("#")
        if element.tag == "a" and found and anchor:
            assert (target.removesuffix(".html") or page, anchor) in ids, (page, element.get("href"))


def test_the_search_holds_texts_only(hostile: Built) -> None:
    index = json.loads((hostile.site.folder / "search" / "search_index.json").read_text(encoding="utf-8"))
    # The search writes its entries into the page as they are, so they are encoded in the index.
    for entry in index["docs"]:
        for value in (entry["title"], entry["text"]):
            tags = set(re.findall(r"<\s*/?\s*([A-Za-z!][\w-]*)", value))
            assert tags <= {"p", "ul", "ol", "li", "strong", "em", "code", "h1", "h2", "h3"}, (entry["location"], tags)
            assert not re.search(r"<[^>]+\s(?:on\w+|href|src)\s*=", value), entry["location"]
    both = json.dumps(index["docs"], ensure_ascii=False)
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in both


# --- drawings and PDF ------------------------------------------------------------------------------------------------


def test_drawings_are_well_formed_and_show_texts_as_typed_or_shortened(hostile: Built) -> None:
    typed = [squeeze(words) for words in hostile.typed.values()]
    sheets = sorted((hostile.site.folder / "drawings").glob("*.svg"))
    assert len(sheets) >= 4
    for path in sheets:
        root = lxml.etree.fromstring(path.read_bytes())
        tags = {lxml.etree.QName(e).localname for e in root.iter() if isinstance(e.tag, str)}
        assert tags <= {"svg", "g", "title", "desc", "text", "tspan", "path", "polyline", "polygon", "line", "rect",
                        "circle", "ellipse", "defs", "clipPath", "use", "style", "marker"}, path.name  # fmt: skip
        for element in root.iter():
            for name, value in element.attrib.items():
                assert not name.lower().startswith("on"), (path.name, name)
                assert "href" not in name or value.startswith("#"), (path.name, value)
        for element in root.iter("{http://www.w3.org/2000/svg}text"):
            words = squeeze("".join(element.itertext()))
            if ODD.search(words):
                assert _as_typed(words, typed), (path.name, words)
        whole = squeeze("".join(root.itertext()))
        # the chart of a fuse for which no part was found has no title of anybody's
        assert "<script>" in whole or "-curve-" in path.name, path.name


def _as_typed(words: str, typed: list[str]) -> bool:
    """Whether a line is made of pieces of what was typed, shortened with … at most, and of the sheet's own words."""
    for piece in re.split(r"…|·", words):
        if ODD.search(piece) is None:
            continue
        # The sheet may put its own words before or after: a letter, a designation, a rating.
        longest = max(
            (m for m in (_common(piece, text) for text in typed)), key=len, default="",
        )  # fmt: skip
        if ODD.search(piece.replace(longest, "")) is not None:
            return False
    return True


def _common(one: str, other: str) -> str:
    """The longest piece that two texts share."""
    best = ""
    for start in range(len(one)):
        while start + len(best) < len(one) and one[start : start + len(best) + 1] in other:
            best = one[start : start + len(best) + 1]
    return best


def test_the_pdf_says_what_the_site_says(hostile: Built) -> None:
    site = squeeze(" ".join(page.xpath("string(//article)") for page in hostile.site.pages.values()))
    pdf = hostile.site.pdf_text
    on_site = {n for n, words in hostile.typed.items() if squeeze(words) in site}
    in_pdf = {n for n, words in hostile.typed.items() if squeeze(words) in pdf}
    assert len(on_site) > 60
    assert on_site <= in_pdf


def test_the_pdf_carries_no_script_and_no_link_to_the_outside(hostile: Built) -> None:
    data = (hostile.site.folder / "proposal.pdf").read_bytes()
    with pikepdf.open(io.BytesIO(data)) as document:
        for item in document.objects:
            if isinstance(item, pikepdf.Dictionary):
                assert "/JS" not in item
                assert "/JavaScript" not in item
                assert "/URI" not in item
                assert item.get("/S") not in ("/JavaScript", "/Launch", "/URI", "/SubmitForm")
        assert "/OpenAction" not in document.Root
        assert PAYLOADS[0] in str(document.docinfo["/Title"]) or PAYLOADS[1] in str(document.docinfo["/Title"])


def test_the_findings_on_the_command_line_are_as_typed(hostile: Built, capsys: pytest.CaptureFixture[str]) -> None:
    with days_for("hostile", hostile.site.folder.parent):
        main(["check", str(hostile.site.folder.parent / "vessel")])
    text = " ".join(capsys.readouterr().out.split())
    assert "alert(1)" in text
    assert ODD.search(_pieces(text, hostile.typed)) is None
