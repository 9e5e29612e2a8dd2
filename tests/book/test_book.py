from __future__ import annotations

import dataclasses
import re
import time
from types import ModuleType
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.book.sentences import formulas
from proposal.facts import Reason
from proposal.publish.proof import proof
from proposal.results.model import Results
from proposal.sources import SOURCES

PAGES = (
    "index",
    "compare",
    "option-a",
    "option-b",
    "price",
    "cables",
    "charts",
    "ladder",
    "failures",
    "switching",
    "tests",
    "findings",
    "cautions",
    "consents",
    "codes",
    "numbers",
)


def test_the_pages_stand_in_reading_order(book: b.Book) -> None:
    assert tuple(page.id for page in book.pages) == PAGES


def test_the_book_can_be_rendered(book: b.Book, drawings: tuple[str, ...]) -> None:
    proof(book, drawings)


def test_a_book_without_drawings_can_be_rendered(results: Results) -> None:
    proof(make_book(results, ()), ())


def test_every_page_says_what_it_is_for_and_for_whom(book: b.Book, reader: ModuleType) -> None:
    for page in book.pages:
        assert reader.said(page.lead), page.id
        assert page.audiences, page.id


def test_every_number_is_the_one_in_the_json(book: b.Book, document: Any, reader: ModuleType) -> None:
    assert list(reader.wrong_numbers(book, document)) == []
    assert sum(1 for _ in reader.cells(book)) > 500


def test_every_number_is_printed_as_its_value(book: b.Book, reader: ModuleType) -> None:
    scales = {"mΩ": 1000.0, "kΩ": 0.001, "mm": 1000.0, "%": 100.0, "min": 1.0 / 60.0, "ms": 1000.0}
    scales |= {"mV": 1000.0, "mA": 1000.0}
    for where, cell in reader.cells(book):
        if isinstance(cell.value, float) and cell.digits <= 3 and not set("E:") & set(cell.text):
            number = float(cell.text.split("\u00a0")[0].replace(",", ""))
            scale = 24.0 if cell.unit == "h" and cell.ref.endswith("days") else scales.get(cell.unit, 1.0)
            wanted = cell.value * scale
            assert abs(number - wanted) <= 0.500001 * 10.0**-cell.digits, f"{where}: {cell}"


def test_nothing_is_blank_and_findings_say_what_was_found(book: b.Book, reader: ModuleType) -> None:
    assert list(reader.blanks(book)) == []


@pytest.fixture
def foreign(document: Any, reader: ModuleType) -> list[str]:
    """Texts that are not the product's own sentences, the longest first: users' words, sources."""
    titles = {source.title for source in SOURCES.values()} | {s.edition for s in SOURCES.values()}
    cited = {f.citation.clause for f in formulas.FORMULAS} | {f.formula for f in formulas.FORMULAS}
    words = {text for text in reader.strings(document) if re.search(r"[^\d.]", text) or len(text) >= 5}
    return sorted((words | titles | cited) - {""}, key=len, reverse=True)


def test_no_code_word_reaches_a_page(book: b.Book, reader: ModuleType, document: Any) -> None:
    assert list(reader.code_words(book, document)) == []


def test_a_number_in_a_sentence_is_a_cell(book: b.Book, reader: ModuleType, foreign: list[str]) -> None:
    own = re.compile(r"LiFePO4|20 °C")  # a name, and the temperature to which resistance is referred
    dates = re.compile(r"\d{1,2} [A-Z][a-z]+ \d{4}")
    for where, text in reader.texts(book):
        if where.startswith("cover, subtitle"):
            continue  # a cover is set in plain text; the system's voltage stands as a cell among its facts
        left = own.sub(" ", reader.without(dates.sub(" ", text), foreign))
        assert not re.search(r"\d", left), f"{where}: {text!r}"


def test_the_same_results_make_the_same_book(results: Results, drawings: tuple[str, ...], book: b.Book) -> None:
    assert make_book(results, drawings) == book


HOSTILE = "<script>alert(1)</script>{{ 7*7 }}|`_*[x](javascript:y)&{current_a}{item}"


def spoil(item: Any) -> Any:
    """The same results with hostile text in every text that a user types."""
    typed = ("title", "pitch", "client", "description", "name", "installer", "part_title", "place", "note", "candidate",
             "text", "topic", "where", "accepted_by", "accepted_because", "refused_to", "reason", "number",
             "revision", "who", "what", "mains_by", "mains_begins_at")  # fmt: skip
    if isinstance(item, tuple):
        return tuple(spoil(entry) for entry in item)
    if dataclasses.is_dataclass(item) and not isinstance(item, type):
        changed = {}
        for field in dataclasses.fields(item):
            value = getattr(item, field.name)
            hostile = field.name in typed and isinstance(value, str) and value and value not in ("lugs", "holder")
            changed[field.name] = HOSTILE + value if hostile else spoil(value)
        return dataclasses.replace(item, **changed)
    return item


def test_hostile_text_passes_as_it_is(sample: ModuleType, reader: ModuleType) -> None:
    spoilt = make_book(spoil(sample.RESULTS), sample.DRAWINGS)
    proof(spoilt, sample.DRAWINGS)
    kept = [text for _, text in reader.texts(spoilt) if "script" in text]
    assert len(kept) > 50
    for text in kept:
        assert text.count(HOSTILE) * 3 == text.count("script"), text


def test_a_check_or_reason_without_words_does_not_break_a_page(sample: ModuleType, reader: ModuleType) -> None:
    option = sample.OPTION_A
    finding = dataclasses.replace(option.findings[0], id="unheard_of", values={"odd_value": 1.0, "find_out": "odd"})
    conductor = dataclasses.replace(option.conductors[0], decided_by=Reason("unheard_of", {"odd_a": 1.0}))
    strange = dataclasses.replace(
        option, arrangement="unheard_of", findings=(finding,), conductors=(conductor, *option.conductors[1:])
    )
    made = make_book(dataclasses.replace(sample.RESULTS, options=(strange,)), ())
    proof(made, ())
    assert not any("unheard_of" in text for _, text in reader.texts(made))


def test_one_changed_length_moves_only_the_cells_that_hold_it(sample: ModuleType, reader: ModuleType) -> None:
    option = sample.OPTION_A
    longer = dataclasses.replace(option.conductors[0], length_m=2.75)
    changed = dataclasses.replace(option, conductors=(longer, *option.conductors[1:]))
    before = make_book(sample.RESULTS, ())
    after = make_book(dataclasses.replace(sample.RESULTS, options=(changed, sample.OPTION_B)), ())
    pairs = zip(reader.cells(before), reader.cells(after), strict=True)
    moved = [(one, other) for (_, one), (_, other) in pairs if one != other]
    assert [one.ref for one, _ in moved] == ["options[0].conductors[0].length_m"]
    assert moved[0][1].text == "2.75\u00a0m"


def test_one_option_alone_makes_a_book(sample: ModuleType) -> None:
    alone = dataclasses.replace(sample.RESULTS, options=(sample.OPTION_B,))
    proof(make_book(alone, ()), ())


def test_four_options_make_a_book(sample: ModuleType) -> None:
    many = dataclasses.replace(sample.RESULTS, options=(sample.OPTION_A, sample.OPTION_B) * 2)
    proof(make_book(many, ()), ())


@pytest.mark.parametrize("locale", ["de_DE", "ar_EG", "pt_BR", "nonsense"])
def test_any_locale_makes_a_book(sample: ModuleType, locale: str) -> None:
    vessel = dataclasses.replace(sample.RESULTS.vessel, locale=locale)
    proof(make_book(dataclasses.replace(sample.RESULTS, vessel=vessel), ()), ())


def test_a_book_is_made_quickly(results: Results, drawings: tuple[str, ...]) -> None:
    # The budget is 0.15 s for two options of 60 conductors; several times that here, since CI machines are shared.
    make_book(results, drawings)
    begun = time.process_time()
    make_book(results, drawings)
    assert time.process_time() - begun < 0.8
