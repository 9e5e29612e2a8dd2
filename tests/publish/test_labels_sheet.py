"""Labels: texts as built, measured and never cut off, each in its cell."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import page as validator
import pymupdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.book.labels import Label, LabelKind, label_book
from proposal.book.opening import context_of
from proposal.book.pages import record_protection
from proposal.book.sheets import draw_all
from proposal.publish.label_layout import GRIDS, PAGE_MM, Placed, Sheet, height_mm, sheets, width_mm, wrap
from proposal.publish.labels_sheet import labels_pdf
from proposal.results.model import Results
from tests import recorded_project as recorded
from tests.decoding import read

MM = 72.0 / 25.4
LONG = {
    "words": "Starboard locker behind the ladder, " * 20,
    "word": "Starboard" * 60,
    "wide": "船舶蓄電池" * 80,
    "emoji": "😀" * 200,
    "full": "x y " * 1000,
}


BARE = "no fuse between it and a battery"


@pytest.fixture(scope="module")
def results() -> Results:
    return recorded.marram().results


@pytest.fixture(scope="module")
def drawings(results: Results) -> dict[str, bytes]:
    whole = recorded.marram()
    return draw_all(results, whole.circuits, whole.designations)


@pytest.fixture(scope="module")
def pdf(results: Results, drawings: dict[str, bytes]) -> bytes:
    return labels_pdf(results, drawings)


def of(results: Results, kind: LabelKind) -> dict[str, list[Label]]:
    found: dict[str, list[Label]] = {}
    for label in label_book(results).labels:
        if label.kind == kind and not label.drawing:
            found.setdefault(label.heading, []).append(label)
    return found


def test_each_wire_has_a_label_at_both_ends(results: Results) -> None:
    found = of(results, "wire")
    assert len(found) == len(results.options[0].conductors)
    assert all(len(pair) == 2 for pair in found.values())
    here, there = found["W12 +"]
    assert here.lines[0] == "here X4, goes to F2"
    assert there.lines[0] == "here F2, goes to X4"
    assert here.lines[1:] == there.lines[1:] == ("Lithium bank", "2/0 AWG", BARE)
    assert found["W13 +"][0].lines[-1] == "fuse: F1 150 A, F2 175 A, F25 200 A"


def test_a_positive_wire_that_no_fuse_guards_says_so(results: Results) -> None:
    option = results.options[0]
    bare = tuple(dataclasses.replace(c, fuses=()) for c in option.conductors)
    stripped = dataclasses.replace(option, conductors=bare, protection=())
    found = of(dataclasses.replace(results, options=(stripped,)), "wire")
    assert all(pair[0].lines[-1] == BARE for head, pair in found.items() if head.endswith("+"))
    assert not any(
        "no fuse" in line for head, pair in found.items() if not head.endswith("+") for line in pair[0].lines
    )


def test_a_label_names_the_fuses_that_the_page_on_protection_names(results: Results) -> None:
    book = context_of(results)
    told: dict[str, list[str]] = {}
    for line in record_protection.positive_lines(book, book.options[0]):
        fuses = told.setdefault(f"{line.conductor.item.designation} +", [])
        if line.fuse is not None:
            fuses.append(line.fuse.item.designation)
    found = of(results, "wire")
    bare = {heading for heading, fuses in told.items() if not fuses}
    assert {"W5 +", "W8 +", "W54 +", "W56 +"} <= bare
    for heading, fuses in told.items():
        last = found[heading][0].lines[-1]
        said = [part.split()[0] for part in last.removeprefix("fuse: ").split(", ")]
        assert last == BARE if not fuses else said == fuses


def test_a_fuse_says_what_it_breaks_and_what_may_flow(results: Results) -> None:
    (label,) = of(results, "device")["F2"]
    fault = next(d.fault_a for d in results.options[0].devices if d.designation == "F2")
    assert fault is not None
    assert label.lines[:2] == ("Fuse: Lithium bank", "175 A, up to 125 V")
    assert label.lines[2] == f"breaks 20,000 A, fault here {fault:,.0f} A"
    assert label.lines[3:] == ("guards W13", "Replace only by the same: Class T fuse 175 A")


def test_each_battery_has_its_own_label_with_serial_and_day(results: Results) -> None:
    found = of(results, "battery")
    assert set(found) == {"G1", "G3", "G4", "G7"}
    second = found["G4"][0]
    assert second.lines[0] == "Lithium bank, battery 2 of 2"
    assert "Serial LI-0002" in second.lines
    assert "Fitted on 4 December 2026" in second.lines
    assert "Joined in parallel with G3" in second.lines
    assert "Joins the others through Q3" in second.lines
    assert second.warning.startswith("Negative off first")
    assert "Serial AG-77" in found["G1"][0].lines


def test_labels_stand_in_the_order_of_their_designations(results: Results) -> None:
    numbers = [int(head[1:-2]) for head in of(results, "wire")]
    assert numbers == sorted(numbers)


def inside(sheet: Sheet) -> None:
    for place in sheet.placed:
        room = place.width_mm - 4.0
        assert all(width_mm(line.text, line.size_pt, line.strong) <= room for line in place.lines)
        assert height_mm(place.lines) <= place.height_mm - 4.0
        assert place.left_mm >= 0
        assert place.left_mm + place.width_mm <= PAGE_MM[0]
        assert place.top_mm + place.height_mm <= PAGE_MM[1]


def overlap(one: Placed, other: Placed) -> bool:
    return (
        one.left_mm < other.left_mm + other.width_mm - 0.01
        and other.left_mm < one.left_mm + one.width_mm - 0.01
        and one.top_mm < other.top_mm + other.height_mm - 0.01
        and other.top_mm < one.top_mm + one.height_mm - 0.01
    )


@pytest.mark.parametrize("kind", list(GRIDS))
@pytest.mark.parametrize("long", list(LONG))
def test_no_text_is_cut_off_however_long(kind: LabelKind, long: str) -> None:
    labels = [Label(kind, f"W{n}", ("here F1, goes to X1", LONG[long], "2/0 AWG")) for n in range(7)]
    made = sheets(labels)
    for sheet in made:
        inside(sheet)
        assert not any(overlap(a, b) for n, a in enumerate(sheet.placed) for b in sheet.placed[:n])
    placed = [place for sheet in made for place in sheet.placed]
    assert [place.label for place in placed] == labels
    for place in placed:
        set_text = "".join("".join(line.text.split()) for line in place.lines)
        assert set_text == "".join("".join((place.label.heading, *place.label.lines)).split())


@settings(max_examples=60)
@given(st.text(max_size=200), st.floats(8.0, 90.0), st.sampled_from([2.5, 5.0, 9.0, 20.0]), st.booleans())
def test_lines_fit_and_lose_no_sign(text: str, room_mm: float, size_pt: float, strong: bool) -> None:
    lines = wrap(text, room_mm, size_pt, strong)
    assert "".join("".join(lines).split()) == "".join(text.split())
    widest = max((width_mm(sign, size_pt, strong) for sign in text), default=0.0)
    assert all(width_mm(line, size_pt, strong) <= max(room_mm, widest) + 1e-9 for line in lines)


def test_many_labels_fill_their_cells_and_no_more() -> None:
    made = sheets([Label("wire", f"W{n}", ("a",)) for n in range(53)])
    assert [len(sheet.placed) for sheet in made] == [48, 5]
    assert not any(overlap(a, b) for n, a in enumerate(made[0].placed) for b in made[0].placed[:n])


def test_a_number_keeps_its_unit() -> None:
    assert wrap("up to 125 V", 8.0, 9.0, False)[-1] == "125 V"


def test_what_is_printed_lies_in_its_cell(results: Results, pdf: bytes) -> None:
    made = sheets(label_book(results).labels)
    with pymupdf.open(stream=pdf) as document:
        assert len(document) == len(made)
        for page, sheet in zip(document, made, strict=True):
            spans = [
                s
                for b in page.get_text("dict")["blocks"]
                if "lines" in b
                for x in b["lines"]
                for s in x["spans"]
                if s["text"].strip()
            ]
            cells = [
                pymupdf.Rect(p.left_mm, p.top_mm, p.left_mm + p.width_mm, p.top_mm + p.height_mm) * MM
                for p in sheet.placed
            ]
            for span in spans:
                box = pymupdf.Rect(span["bbox"])
                at_top = box.y1 < (sheet.cuts_y_mm[0] + 0.1) * MM
                assert at_top or sum(cell.contains(box) for cell in cells) == 1, span["text"]


def test_everything_is_printed(results: Results, pdf: bytes) -> None:
    with pymupdf.open(stream=pdf) as document:
        text = "".join("".join(page.get_text().split()) for page in document)
    for label in label_book(results).labels:
        for line in (label.heading, *label.lines):
            assert "".join(line.split()) in text


def test_the_validator_has_no_objection(pdf: bytes) -> None:
    report = validator.validate_pdf_bytes(pdf, profile="pdfua-1")
    assert report.rules.total > 90
    assert report.failures == []


def test_the_code_on_the_sheet_can_be_read(pdf: bytes) -> None:
    with pymupdf.open(stream=pdf) as document:
        (text,) = read(document[-1])
    assert text.startswith("EMERGENCY: Marram")


def test_hostile_text_stays_text(results: Results, drawings: dict[str, bytes]) -> None:
    bad = '</p><script>alert(1)</script>"&{{ 7 * 7 }}'
    option = results.options[0]
    devices = tuple(dataclasses.replace(d, title=bad) for d in option.devices[:3])
    data = labels_pdf(dataclasses.replace(results, options=(dataclasses.replace(option, devices=devices),)), drawings)
    with pymupdf.open(stream=data) as document:
        text = "".join("".join(page.get_text().split()) for page in document)
    assert "".join(bad.split()) in text


def test_same_input_same_bytes(results: Results, drawings: dict[str, bytes], pdf: bytes) -> None:
    again: Callable[..., bytes] = labels_pdf
    assert again(results, drawings) == pdf
