"""The book of an as-built record: every row reaches a page, and what speaks against switching on stands first."""

from __future__ import annotations

import dataclasses
import json
import re
from types import ModuleType
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.opening import context_of
from proposal.book.pages.record_words import file_text, path_text, value_text
from proposal.book.pages.tests import anchor_of
from proposal.book.photos import PublishedPhoto
from proposal.book.record import make_record_book
from proposal.book.sheets import ACCENTS, draw_all, sheet_info
from proposal.publish.proof import proof
from proposal.results.codec import plain
from proposal.results.computed import computed
from proposal.results.evaluate import Evaluated
from proposal.results.model import Results
from proposal.results.record_model import SealRow
from proposal.results.recorded.hindrances import condemned
from proposal.results.recorded.history import closed_by
from proposal.sources import SOURCES
from tests import sample_record as sample
from tests.sample_behaviour import sample_behaviour

DRAWINGS = ("b-picture.svg", "b-single-line.svg")
IMAGES = tuple(photo.file for photo in sample.PUBLISHED.values())


def made(results: Results) -> b.Book:
    return make_record_book(results, DRAWINGS, sample.PUBLISHED)


@pytest.fixture(scope="module", params=("hindered", "clear", "sealed"))
def results(request: pytest.FixtureRequest) -> Results:
    return sample.results(hindered=request.param == "hindered", sealed=request.param == "sealed")


@pytest.fixture(scope="module")
def book(results: Results) -> b.Book:
    return made(results)


@pytest.fixture(scope="module")
def document(results: Results) -> Any:
    return json.loads(json.dumps(plain(results)))


def page(book: b.Book, page_id: str) -> b.Page:
    return next(p for p in book.pages if p.id == page_id)


def everything(book: b.Book, reader: ModuleType) -> str:
    """All that is read, page by page."""
    cells = (cell.text for _, cell in reader.cells(book))
    return "\n".join([*(text for _, text in reader.texts(book)), *cells])


def read(of: b.Page, reader: ModuleType, book: b.Book) -> str:
    return everything(dataclasses.replace(book, pages=(of,)), reader)


def test_the_book_can_be_rendered(book: b.Book) -> None:
    proof(book, DRAWINGS, IMAGES)
    assert book.pages[0].id == "index"
    assert {"fitted", "protection", "defects", "log", "photos", "parts"} <= {p.id for p in book.pages}
    assert not {"compare", "price"} & {p.id for p in book.pages}


def test_every_number_is_the_one_in_the_json(book: b.Book, document: Any, reader: ModuleType) -> None:
    assert list(reader.wrong_numbers(book, document)) == []


def test_nothing_is_blank_and_no_code_word_shows(book: b.Book, document: Any, reader: ModuleType) -> None:
    assert list(reader.blanks(book)) == []
    assert list(reader.code_words(book, document)) == []


def test_a_number_in_a_sentence_is_a_cell(book: b.Book, document: Any, reader: ModuleType) -> None:
    typed = {text for text in reader.strings(document) if re.search(r"[^\d.]", text) or len(text) >= 5}
    typed |= {text.replace("_", " ") for text in typed}
    foreign = sorted((typed | {s.title for s in SOURCES.values()} | {"SHA"}) - {""}, key=len, reverse=True)
    own = re.compile(r"LiFePO4|20 °C")
    dates = re.compile(r"\d{1,2} [A-Z][a-z]+ \d{4}|(?:sha256sum -c )?(?:tag)?manifest-sha256\.txt")  # and what is typed
    for where, text in reader.texts(book):
        if where.startswith(("cover, subtitle", "numbers,")):
            continue
        left = own.sub(" ", reader.without(dates.sub(" ", text), foreign))
        assert not re.search(r"\d", left), f"{where}: {text!r}"


def test_what_hinders_stands_on_the_cover_and_first_on_the_first_page(reader: ModuleType) -> None:
    book = made(sample.results())
    first = book.pages[0].blocks[0]
    assert isinstance(first, b.Callout)
    assert (first.title, first.tone, first.large) == ("What must be done first", "danger", True)
    assert book.cover.warning == "DO NOT ENERGISE"
    assert book.cover.warning_more.startswith("First: ")
    said = [reader.said(run) for run in first.body]
    assert said[0] == "Do not switch this system on. 4 things must be done first:"
    links = [part for run in first.body for part in run.parts if isinstance(part, b.Link)]
    assert ("defects", "defect.crimp_w3") in {(link.page, link.anchor) for link in links}
    assert ("findings", "b.finding.1") in {(link.page, link.anchor) for link in links}
    for wanted in ("Contactor really opens", "Emergency off cuts the battery off", "not staked"):
        assert any(wanted in text for text in said), wanted


@pytest.mark.parametrize("kind", ["failed_test", "missing_test", "defect", "finding"])
def test_each_hindrance_alone_warns(kind: str, reader: ModuleType) -> None:
    whole = sample.results()
    assert whole.record is not None
    alone = tuple(h for h in whole.record.hindrances if h.kind == kind)
    book = made(dataclasses.replace(whole, record=dataclasses.replace(whole.record, hindrances=alone)))
    assert book.cover.warning
    first = book.pages[0].blocks[0]
    assert isinstance(first, b.Callout)
    assert len(first.body) == 2
    assert reader.said(first.body[0]) == "Do not switch this system on. 1 thing must be done first:"


def test_a_record_that_was_condemned_by_a_word_alone_warns(reader: ModuleType) -> None:
    clear = sample.results(hindered=False)
    book = made(condemned(clear))
    assert book.cover.warning == "DO NOT ENERGISE"
    first = book.pages[0].blocks[0]
    assert isinstance(first, b.Callout)
    assert reader.said(first.body[1]).startswith(
        "Condemned by whoever sealed this record; the reasons stand in its entries"
    )
    hindered = sample.results()
    assert condemned(hindered) == hindered


def test_the_seal_that_carries_the_pages_closes_all_entries_and_has_no_sum_of_itself(reader: ModuleType) -> None:
    whole = sample.results()
    assert whole.record is not None
    number = len(whole.record.seals) + 1
    sealed = closed_by(whole, SealRow(number, "2031-02-03", f"wren-seal-{number}", "", len(whole.record.entries)))
    assert sealed.record is not None
    before = [entry.seal for entry in whole.record.entries]
    assert [entry.seal for entry in sealed.record.entries] == [number if seal is None else seal for seal in before]
    assert None in before
    book = made(sealed)
    assert "Open: not sealed yet" not in everything(book, reader)
    table = next(
        x for x in page(book, "log").blocks if isinstance(x, b.Table) and x.rows[-1].anchor == f"seal.{number}"
    )
    assert reader.said(table.rows[-1].cells[-1]) == "this archive itself: the sum of tagmanifest-sha256.txt beside it"


def test_without_hindrances_nothing_warns(reader: ModuleType) -> None:
    book = made(sample.results(hindered=False))
    assert book.cover.warning == book.cover.warning_more == ""
    first = book.pages[0].blocks[0]
    assert isinstance(first, b.Callout)
    assert first.tone == "good"
    assert "do not energise" not in everything(book, reader).lower()


def test_a_record_without_a_safety_test_does_not_claim_that_all_is_well() -> None:
    whole = sample.results(hindered=False)
    assert whole.record is not None
    book = made(dataclasses.replace(whole, record=dataclasses.replace(whole.record, tests=())))
    first = book.pages[0].blocks[0]
    assert isinstance(first, b.Callout)
    assert first.tone == "caution"
    assert "no safety test" in first.title


def test_the_first_page_says_whether_it_is_sealed(reader: ModuleType) -> None:
    def state(results: Results) -> b.Callout:
        block = made(results).pages[0].blocks[1]
        assert isinstance(block, b.Callout)
        return block

    assert state(sample.results()).title == "Open: not sealed yet"
    sealed = state(sample.results(sealed=True))
    assert (sealed.title, sealed.tone) == ("Sealed", "good")
    assert reader.said(sealed.body[0]) == "These pages are part of seal 2; all 3 entries are closed."
    whole = sample.results(sealed=True)
    assert whole.record is not None
    later = dataclasses.replace(whole.record.seals[-1], sha256=sample.sum_of("later"))
    kept = dataclasses.replace(whole.record, seals=(*whole.record.seals[:-1], later))
    told = reader.said(state(dataclasses.replace(whole, record=kept)).body[0])
    assert told == "All 3 entries are closed, the latest by seal 2."


def test_the_first_page_tells_what_failed_though_no_danger_rests_on_it(reader: ModuleType) -> None:
    whole = sample.results(hindered=False)
    assert whole.record is not None
    kept = dataclasses.replace(next(t for t in whole.record.tests if t.outcome == "pass"), outcome="fail", danger=False)
    defects = tuple(dataclasses.replace(d, mended_on="2027-01-01", mended_entry=1) for d in whole.record.defects)
    record = dataclasses.replace(whole.record, tests=(kept,), defects=defects)
    for tests, said in (((kept,), "Still to be mended: 1 failed test."), ((), "")):
        index = made(dataclasses.replace(whole, record=dataclasses.replace(record, tests=tests))).pages[0]
        first = index.blocks[0]
        assert isinstance(first, b.Callout)
        left = [line for line in map(reader.said, first.body) if line.startswith("Still to be mended")]
        assert [line.startswith(said) for line in left] == ([True] if said else [])
        at = next(n for n, x in enumerate(index.blocks) if isinstance(x, b.Heading) and x.anchor == "open-defects")
        told = index.blocks[at + 1]
        if said:
            assert isinstance(told, b.Bullets)
            assert [reader.said(run).startswith("Failed test: ") for run in told.items] == [True]
            (link,) = (part for part in told.items[0].parts if isinstance(part, b.Link))
            assert (link.page, link.anchor) == ("tests", anchor_of(kept))
        else:
            assert isinstance(told, b.Paragraph)


def test_a_danger_that_could_not_be_decided_is_told_beside_the_verdict(reader: ModuleType) -> None:
    whole = sample.results(hindered=False)
    option = whole.options[0]
    found = dataclasses.replace(option.findings[0], severity="danger", outcome="undecided", accepted_by=None)
    fault = dataclasses.replace(found, severity="fault")
    for findings, told in (((found,), 1), ((fault,), 0)):
        changed = dataclasses.replace(whole, options=(dataclasses.replace(option, findings=findings),))
        first = made(changed).pages[0].blocks[0]
        assert isinstance(first, b.Callout)
        said = [reader.said(run) for run in first.body]
        assert sum(line.startswith("Neither found nor ruled out") for line in said) == told


def test_the_questions_of_a_surveyor_have_their_answers(book: b.Book) -> None:
    index = book.pages[0]
    at = next(n for n, x in enumerate(index.blocks) if isinstance(x, b.Heading) and x.anchor == "questions")
    asked = index.blocks[at + 1]
    assert isinstance(asked, b.Bullets)
    targets = [part.page for run in asked.items for part in run.parts if isinstance(part, b.Link)]
    assert targets[:2] == ["fitted", "protection"]
    assert targets[-2:] == ["log", "index"]


def rows_of(results: Results) -> dict[str, list[str]]:
    """What must be read of the record, by page."""
    record = results.record
    assert record is not None
    fitted = [t for f in record.fitted for t in (f.serial, f.firmware, f.route_as_run, f.note, f.part_title) if t]
    fitted += [value for f in record.fitted for _, value in f.settings]
    fitted += [t for d in record.deviations for t in (d.because, d.proposed_title, d.fitted_title) if t]
    fitted += [t for d in record.deviations if d.kind == "value" for t in (d.proposed, d.fitted) if t]
    fitted += [t for row in record.turned_down for t in (row.title, row.because)]
    defects = [t for d in record.defects for t in (d.what, d.mended_how, d.mended_by) if t]
    log = [t for e in record.entries for t in (e.title, e.by, e.licence, e.file, *e.notes) if t]
    log += [seal.name for seal in record.seals]
    photos = [t for p in record.photos for t in (p.title, p.place, p.by) if t]
    return {"fitted": fitted, "defects": defects, "log": log, "photos": photos}


def test_every_row_of_the_record_reaches_its_page(results: Results, book: b.Book, reader: ModuleType) -> None:
    for page_id, wanted in rows_of(results).items():
        said = read(page(book, page_id), reader, book)
        assert len(wanted) >= 5, page_id
        for text in wanted:
            assert text in said, f"{page_id}: {text!r}"


def test_every_sum_is_told_whole(results: Results, book: b.Book, reader: ModuleType) -> None:
    assert results.record is not None
    sums = {row.sha256 for row in (*results.record.entries, *results.record.photos, *results.record.seals)}
    told = {cell.value for _, cell in reader.cells(book) if cell.ref.endswith("sha256")}
    assert told == sums - {""}
    for _, cell in reader.cells(book):
        if cell.ref.endswith("sha256"):
            assert cell.text.replace(" ", "") == cell.value


def test_what_was_changed_without_a_reason_is_marked(book: b.Book, reader: ModuleType) -> None:
    tables = [x for x in page(book, "fitted").blocks if isinstance(x, b.Table)]
    rows = [row for t in tables if t.caption.startswith("Proposed and fitted") for row in t.rows]
    assert len(rows) == len(sample.DEVIATIONS)
    for row, deviation in zip(rows, sample.DEVIATIONS, strict=True):
        assert (row.tone == "caution") == (deviation.because == "")
        assert ("No reason was given." in reader.said(row.cells[3])) == (deviation.because == "")


def test_every_item_stands_among_what_is_fitted(results: Results, book: b.Book, reader: ModuleType) -> None:
    """Whether or not the record says something of it: what it does not say is named as such."""
    (option,), record = results.options, results.record
    assert record is not None
    items = (*option.banks, *option.sources, *option.devices, *option.conductors, *option.loads)
    keys = {item.key for item in items} | {row.item for row in record.fitted}
    keys -= {"banks.lithium"}  # each of its batteries is named
    rows = {r.anchor: r for t in page(book, "fitted").blocks if isinstance(t, b.Table) for r in t.rows if r.anchor}
    assert set(rows) == {f"b.fitted.{key}" for key in keys}
    said = {row.item for row in record.fitted}
    for key in keys:
        assert ("not recorded" in reader.said(rows[f"b.fitted.{key}"].cells[-1])) == (key not in said), key


def test_batteries_that_are_named_stand_in_place_of_their_bank(book: b.Book) -> None:
    (rows,) = (
        block.rows
        for block in page(book, "fitted").blocks
        if isinstance(block, b.Table) and block.caption == "Batteries as fitted"
    )
    keys = [row.anchor.removeprefix("b.fitted.") for row in rows]
    assert keys == ["banks.lead", "banks.lithium.s1", "banks.lithium.s2", "banks.starter"]


def test_a_path_of_the_spec_is_told_in_words(book: b.Book, reader: ModuleType) -> None:
    tables = [x for x in page(book, "fitted").blocks if isinstance(x, b.Table)]
    (rows,) = (t.rows for t in tables if t.caption.startswith("Proposed and fitted"))
    told = [reader.said(row.cells[0]) for row in rows]
    assert told[2:] == ["Cable run: windlass: length", "Refrigerator (E3): current"]


def test_a_place_in_a_list_and_a_day_are_told_in_words() -> None:
    book = context_of(sample.results())
    assert path_text(book, book.options[0], "consents.2.given") == "Consent in writing 2: given on"
    assert path_text(book, book.options[0], "consents.2.where") == "Consent in writing 2: kept in"
    assert value_text(book, "2027-01-22") == "22 January 2027"
    assert value_text(book, "2027-01") == "2027-01"
    assert value_text(book, "class_t_150") == "class t 150"


def test_a_reading_of_torque_stands_with_its_item(book: b.Book, reader: ModuleType) -> None:
    tables = [x for x in page(book, "fitted").blocks if isinstance(x, b.Table)]
    (batteries,) = (t for t in tables if t.caption == "Batteries as fitted")
    assert "Tightened to" in {c.title for c in batteries.columns}
    at = [c.title for c in batteries.columns].index("Tightened to")
    read = {row.anchor: reader.said(row.cells[at]).replace("\u00a0", " ") for row in batteries.rows}
    assert read.pop("b.fitted.banks.lithium.s1") == "positive: 12.1 N·m"
    assert set(read.values()) == {""}


def test_a_photo_without_its_file_is_named_and_not_shown(book: b.Book, reader: ModuleType) -> None:
    blocks = page(book, "photos").blocks
    shown = [photo for block in blocks if isinstance(block, b.Photos) for photo in block.photos]
    assert [p.file for p in shown] == ["a1b2c3.jpg", "d4e5f6.jpg"]
    (rows,) = (block.rows for block in blocks if isinstance(block, b.Table))
    assert [("not shown here" in reader.said(row.cells[4])) for row in rows] == [False, False, True]
    assert all("Invented for demonstration." in reader.said(p.words) for p in shown)
    assert "Hidden now." in reader.said(shown[1].words)
    assert "Hidden now." not in reader.said(shown[0].words)
    assert "Its file tells where it was taken." in reader.said(shown[1].words)
    assert "where it was taken" not in reader.said(shown[0].words)


def test_dangers_stand_first_among_open_defects(reader: ModuleType) -> None:
    blocks = page(made(sample.results()), "defects").blocks
    tables = [x for x in blocks if isinstance(x, b.Table)]
    assert [reader.said(row.cells[0]) for row in tables[0].rows] == ["Danger", "Advice"]
    assert [row.anchor for row in tables[1].rows] == ["defect.chafe_w35"]


def test_the_log_begins_with_the_latest_entry(book: b.Book) -> None:
    headings = [x.anchor for x in page(book, "log").blocks if isinstance(x, b.Heading)]
    assert headings == ["entry.3", "entry.2", "entry.1", "seals"]


def test_a_record_speaks_of_no_price_and_nothing_to_sign(book: b.Book, reader: ModuleType) -> None:
    """What a proposal asks of its reader has no place in a record; only what was proposed is still told."""
    wrong = re.compile(r"\bprice|\bsign(?:ed)?\b|decide and|before anything is ordered|this proposal|valid for", re.I)
    told = [(where, text) for where, text in reader.texts(book) if wrong.search(text)]
    allowed = ("Prices are left out", "who signs the test sheet", "price book", "who signed it",
               "rating, breaking capacity and price", "without prices")  # fmt: skip
    assert [(where, text) for where, text in told if not any(words in text for words in allowed)] == []
    assert not any(isinstance(block, b.Signature) for p in book.pages for block in p.blocks)
    assert not any(cell.ref.startswith("options[0].price.") for _, cell in reader.cells(book))


def test_no_title_of_a_record_names_an_option(book: b.Book, reader: ModuleType) -> None:
    """There is one alone; its letter stands on the cover, and where others were turned down."""
    named = [text for where, text in reader.texts(book) if "Option B" in text or "option B" in text]
    assert named == []
    proposed = context_of(dataclasses.replace(sample.evaluated(), record=None))
    fitted = context_of(sample.results())
    title = "Option {letter}: fuses of {title}"
    assert proposed.text(title, letter="A", title="Option {letter}: x") == "Option A: fuses of Option {letter}: x"
    assert fitted.text(title, letter="B", title="Option {letter}: x") == "Fuses of Option {letter}: x"


def test_the_days_of_a_record_speak_of_one_vessel_as_fitted(reader: ModuleType) -> None:
    whole = sample.results()
    option = dataclasses.replace(whole.options[0], behaviour=sample_behaviour(whole.options[0]))
    book = make_record_book(dataclasses.replace(whole, options=(option,)), (), {})
    proof(book, ())
    said = read(page(book, "behaviour"), reader, book)
    assert "As fitted" in said
    assert not re.search(r"ption B|propos|price|cost", said)
    links = [part.page for block in book.pages[0].blocks if isinstance(block, b.Paragraph) for part in block.words.parts
             if isinstance(part, b.Link)]  # fmt: skip
    assert "behaviour" in links


def test_an_empty_record_makes_a_book(reader: ModuleType) -> None:
    whole = sample.results(hindered=False)
    assert whole.record is not None
    empty = dataclasses.replace(
        whole.record, agreed=None, turned_down=(), fitted=(), deviations=(), tests=(), photos=(), defects=(),
        seals=(), record_address="", entries=sample.entries(False)[:1],
    )  # fmt: skip
    book = make_record_book(dataclasses.replace(whole, record=empty), (), {})
    proof(book, (), IMAGES)
    assert list(reader.blanks(book)) == []
    assert "Nothing has changed since it was handed over." in everything(book, reader)


def test_a_proposal_has_no_record() -> None:
    with pytest.raises(ValueError, match="no record"):
        make_record_book(dataclasses.replace(sample.results(), record=None), (), {})


HOSTILE = "<script>alert(1)</script>{{ 7*7 }}|`_*[x](javascript:y)&{current_a}{item}"
FREE = {"title", "by", "licence", "notes", "serial", "firmware", "route_as_run", "note", "because", "what", "place",
        "mended_how", "mended_by", "name", "revision", "part_title", "proposed", "fitted", "proposed_title",
        "fitted_title", "record_address", "file", "item_title"}  # fmt: skip


def spoil(item: Any) -> Any:
    """The record with hostile text in every text that a user types."""
    if isinstance(item, tuple):
        return tuple(spoil(entry) for entry in item)
    if not dataclasses.is_dataclass(item) or isinstance(item, type):
        return item
    changed: dict[str, Any] = {}
    for field in dataclasses.fields(item):
        value = getattr(item, field.name)
        if field.name == "settings":
            changed[field.name] = tuple((name, HOSTILE + text) for name, text in value)
        elif field.name in FREE and isinstance(value, str) and value:
            changed[field.name] = HOSTILE + value
        elif field.name in FREE and isinstance(value, tuple) and value and isinstance(value[0], str):
            changed[field.name] = tuple(HOSTILE + text for text in value)
        else:
            changed[field.name] = spoil(value)
    return dataclasses.replace(item, **changed)


def test_hostile_text_passes_as_it_is(reader: ModuleType) -> None:
    whole = sample.results()
    photos = {HOSTILE + name: photo for name, photo in sample.PUBLISHED.items()}
    book = make_record_book(dataclasses.replace(whole, record=spoil(whole.record)), (), photos)
    proof(book, (), IMAGES)
    kept = [text for _, text in reader.texts(book) if "script" in text]
    assert len(kept) > 60
    for text in kept:
        assert text.count(HOSTILE) * 3 == text.count("script"), text


def test_the_same_record_makes_the_same_book(results: Results, book: b.Book) -> None:
    assert made(results) == book


def test_a_code_of_a_file_is_told_without_its_underscores_and_other_text_as_it_is() -> None:
    assert file_text("class_t_150") == "class t 150"
    assert file_text("panel: switch_panel, route: chart_table") == "panel: switch panel, route: chart table"
    for text in ("as in note_3 of the maker", "12.5 m", "{current_a}", "", "LB_4471"):
        assert file_text(text) == text


@pytest.fixture(scope="module")
def evaluated() -> Evaluated:
    """The record that is shipped for demonstration."""
    return computed(sample.PROJECTS / "marram").evaluated


@pytest.fixture(scope="module")
def marram(evaluated: Evaluated) -> Results:
    return evaluated.results


def test_the_drawings_have_the_date_of_the_record_and_the_tint_of_the_letter(evaluated: Evaluated) -> None:
    book = context_of(evaluated.results)
    assert evaluated.results.record is not None
    assert sheet_info(book, book.options[0], evaluated.designations).date == evaluated.results.record.latest_date
    drawings = draw_all(evaluated.results, evaluated.circuits, evaluated.designations)
    picture = drawings["b-picture.svg"].decode()
    assert ACCENTS[1] in picture
    assert ACCENTS[0] not in picture


def test_the_record_for_demonstration_makes_a_book(marram: Results, reader: ModuleType) -> None:
    assert marram.record is not None
    photos = {p.file: PublishedPhoto(f"{p.sha256[:20]}.jpg", 1200, 900) for p in marram.record.photos}
    book = make_record_book(marram, (), photos)
    proof(book, (), [photo.file for photo in photos.values()])
    document = json.loads(json.dumps(plain(marram)))
    assert list(reader.wrong_numbers(book, document)) == []
    assert list(reader.blanks(book)) == []
    assert list(reader.code_words(book, document)) == []
    for page_id, wanted in rows_of(marram).items():
        said = read(page(book, page_id), reader, book)
        for text in wanted:
            assert text in said or value_text(context_of(marram), text) in said, f"{page_id}: {text!r}"
