"""The page of the days: an answer for any number of options, words for every code, every figure at its JSON place."""

from __future__ import annotations

import ast
import dataclasses
import json
import re
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from typing import Any, get_args

import pytest

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.book.opening import context_of
from proposal.book.pages import behaviour_figures
from proposal.book.pages.behaviour_choice import choice
from proposal.book.pages.behaviour_out import told_days
from proposal.book.pages.behaviour_told import event_words, timeline, trouble_words
from proposal.book.pages.lived import Lived, entries, lived
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.sentences import behaviour_assumed, behaviour_events
from proposal.publish.moving import places
from proposal.publish.pdf import document_html
from proposal.publish.proof import proof
from proposal.results import model as m
from proposal.results.codec import plain
from proposal.results.model import OptionResult, Results
from proposal.studies.behaviour import reading, study
from proposal.studies.behaviour import result as r
from tests.sample_behaviour import marram, sample_behaviour, with_behaviour

KINDS = ("neglect", "no-charge", "years")


def drawings_of(results: Results) -> tuple[str, ...]:
    names = []
    for number, option in enumerate(results.options):
        letter = chr(ord("a") + number)
        names += [f"{letter}-{kind}.svg" for kind in KINDS]
        if option.behaviour is not None:
            for day in option.behaviour.days:
                names += [f"{letter}-day-{day.season}.svg", f"{letter}-energy-{day.season}.svg"]
                names += [f"{letter}-scene-{day.season}-{n}.svg" for n, _ in enumerate(day.scenes, start=1)]
    return tuple(names)


@pytest.fixture(scope="module")
def results() -> Results:
    return with_behaviour(marram())


@pytest.fixture(scope="module")
def book(results: Results) -> b.Book:
    return make_book(results, drawings_of(results))


@pytest.fixture(scope="module")
def page(book: b.Book) -> b.Page:
    return book.pages[2]


@pytest.fixture(scope="module")
def document(results: Results) -> Any:
    return json.loads(json.dumps(plain(results)))


def of_options(results: Results, *options: OptionResult) -> Results:
    return dataclasses.replace(results, options=options)


def told(results: Results) -> tuple[b.Callout, str]:
    context = context_of(results)
    box = choice(context, lived(context))
    return box, " ".join("".join(_text(part) for part in run.parts) for run in box.body).replace("\u00a0", " ")


def _text(part: Any) -> str:
    inner = part if isinstance(part, (str, b.Cell)) else part.text
    return inner if isinstance(inner, str) else str(inner.text)


def test_it_stands_right_after_the_comparison(book: b.Book, page: b.Page) -> None:
    assert [p.id for p in book.pages[:4]] == ["index", "compare", "behaviour", "option-a"]
    assert page.lead.parts


def test_without_days_there_is_no_page_and_no_link_to_it() -> None:
    made = make_book(marram(), ())
    assert "behaviour" not in [p.id for p in made.pages]
    proof(made, ())


def test_the_book_can_be_rendered_with_and_without_drawings(results: Results, book: b.Book) -> None:
    proof(book, drawings_of(results))
    proof(make_book(results, ()), ())


def test_every_figure_stands_at_its_place_in_the_json(book: b.Book, document: Any, reader: ModuleType) -> None:
    assert list(reader.wrong_numbers(book, document)) == []
    own = [cell for where, cell in reader.cells(book) if where.startswith("behaviour,")]
    assert len(own) > 1500
    assert sum(".behaviour." in cell.ref for cell in own) > 1400


def test_no_code_word_and_nothing_blank(book: b.Book, document: Any, reader: ModuleType) -> None:
    assert list(reader.code_words(book, document)) == []
    assert list(reader.blanks(book)) == []


def test_the_answer_comes_first_then_the_faces(page: b.Page) -> None:
    first, second = page.blocks[:2]
    assert isinstance(first, b.Callout)
    assert first.large
    assert isinstance(second, b.SideBySide)
    assert [face.letter for face in second.faces] == ["A", "B"]
    assert all(len(face.figures) == 5 for face in second.faces)


def test_the_sections_come_in_order(page: b.Page) -> None:
    found = [block.anchor for block in page.blocks if isinstance(block, b.Heading) and block.level == 2]
    assert found == [
        "neglect", "no-charge", "day", "cut-off", "cranking", "recharge", "care", "year", "otherwise", "troubles",
        "steps",
    ]  # fmt: skip


def test_long_tables_are_at_the_end_of_the_book(book: b.Book) -> None:
    last = book.pages[-1]
    assert last.id == "behaviour-basis"
    assert [x.anchor for x in last.blocks if isinstance(x, b.Heading)] == ["spreads", "assumed", "computed"]


def test_the_option_that_starts_is_taken_though_it_costs_more(results: Results) -> None:
    box, text = told(results)
    assert box.title == "Take option B"
    assert "left alone for 28 days, its engine still starts" in text
    assert "that of option A does not" in text
    assert "for that it costs" in text


def test_what_does_equally_well_and_costs_less_is_taken(results: Results) -> None:
    dear, cheap = results.options
    same = dataclasses.replace(dear, behaviour=cheap.behaviour, price=dear.price)
    costly = dataclasses.replace(cheap, price=dataclasses.replace(cheap.price, total=same.price.total * 2))
    _, text = told(of_options(results, costly, same))
    assert "Option B" in text
    assert "option A does the same" in text
    assert "it costs" in text


def test_options_that_are_level_are_called_level(results: Results) -> None:
    one = results.options[1]
    box, text = told(of_options(results, one, one))
    assert box.title == "The days do not tell the options apart"
    assert "Options A and B" in text


def _starts(option: OptionResult, verdict: str, volts: float | None) -> OptionResult:
    days = option.behaviour
    assert days is not None
    assert days.neglect is not None
    margin = None if volts is None else round(volts - 9.6, 3)
    start = r.StartOnDay(28.0, volts, 9.6, margin, verdict, "own_bank")  # type: ignore[arg-type]
    neglect = dataclasses.replace(days.neglect, starts=(start,))
    return dataclasses.replace(option, behaviour=dataclasses.replace(days, neglect=neglect))


def test_an_uncertain_start_is_never_called_sure(results: Results) -> None:
    shared, own = results.options
    unsure = of_options(results, _starts(shared, "fails", 8.0), _starts(own, "uncertain", 9.65))
    box, text = told(unsure)
    assert box.title == "Option B is ahead, but not surely"
    assert box.tone == "caution"
    assert "perhaps still starts" in text
    box, text = told(of_options(results, _starts(shared, "uncertain", 9.7), _starts(own, "starts", 10.6)))
    assert box.title == "Option B is ahead, but not surely"
    assert "only perhaps" in text


def test_where_none_does_it_the_nearest_is_named_with_what_it_misses(results: Results) -> None:
    both = [_starts(option, "fails", 8.0) for option in results.options]
    box, text = told(of_options(results, *both))
    assert "comes nearest" in box.title
    assert "does not start any more" in text


def test_an_open_danger_sets_an_option_back(results: Results) -> None:
    option = results.options[1]
    finding = dataclasses.replace(option.findings[0], severity="danger", outcome="fires", accepted_by=None)
    spoilt = dataclasses.replace(option, findings=(finding,), price=results.options[0].price)
    clean = dataclasses.replace(option, findings=())
    box, text = told(of_options(results, spoilt, clean))
    assert "option B" in box.title
    assert "in option A a danger is open" in text


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_any_number_of_options_makes_a_page(results: Results, count: int, reader: ModuleType) -> None:
    options = tuple(results.options[n % 2] for n in range(count))
    cheap = dataclasses.replace(options[0], price=dataclasses.replace(options[0].price, total=Decimal(1)))
    many = of_options(results, cheap, *options[1:])
    made = make_book(many, drawings_of(many))
    proof(made, drawings_of(many))
    assert list(reader.wrong_numbers(made, json.loads(json.dumps(plain(many))))) == []
    _, text = told(many)
    assert text.count("option A") + text.count("Option A") >= 1
    assert re.search(r"\.$", text)


def test_one_option_alone_is_told_whether_it_does_what_was_asked(results: Results) -> None:
    assert told(of_options(results, results.options[1]))[0].title == "It does what you asked for"
    assert told(of_options(results, results.options[0]))[0].title == "It does not do all that you asked for"


def test_an_option_without_days_beside_one_with_them(results: Results) -> None:
    bare = dataclasses.replace(results.options[0], behaviour=None)
    made = make_book(of_options(results, bare, results.options[1]), ())
    faces = next(block for block in made.pages[2].blocks if isinstance(block, b.SideBySide))
    assert [face.letter for face in faces.faces] == ["B"]


def _without_much(days: r.Behaviour) -> r.Behaviour:
    empty = dataclasses.replace(days.no_charge, first_dark_days=None, critical_dark_days=None, order=())
    nothing = dataclasses.replace(days.what_if, autonomy_days=(), no_charge_days=(), engine_h_per_day=(), starts=(),
                                  starts_until_days=())  # fmt: skip
    return dataclasses.replace(
        days, neglect=None, no_charge=empty, cut_offs=(), cranking=(), recharge=(), troubles=(), assumptions=(),
        what_if=nothing, years=dataclasses.replace(days.years, spreads=(), step_error=()),
    )  # fmt: skip


def test_a_boat_of_which_little_was_asked(results: Results, reader: ModuleType) -> None:
    options = tuple(
        dataclasses.replace(o, behaviour=_without_much(o.behaviour)) for o in results.options if o.behaviour is not None
    )
    little = of_options(results, *options)
    made = make_book(little, drawings_of(little))
    proof(made, drawings_of(little))
    assert list(reader.blanks(made)) == []
    text = " ".join(text for where, text in reader.texts(made) if where.startswith("behaviour,"))
    assert words.NEGLECT_HEADING not in text
    assert words.TROUBLES_NONE in text


def test_every_code_of_an_event_has_words(results: Results) -> None:
    assert {key.partition(".")[0] for key in behaviour_events.EVENTS} == set(get_args(r.EventCode))
    context = context_of(results)
    for option in lived(context):
        for day in entries(option.at, "days"):
            for event in entries(day, "events"):
                run = "".join(_text(part) for part in event_words(context, option, event).parts)
                assert len(run) > 12, event.item.code
                assert not re.search(r"[{}_]", run), run


def test_every_trouble_situation_state_and_verdict_has_words(results: Results) -> None:
    literal = r.Trouble.__annotations__["code"]
    assert {key.partition(".")[0] for key in behaviour_events.TROUBLES} == set(get_args(literal))
    assert set(words.SITUATIONS) == set(get_args(r.CutOff.__annotations__["situation"]))
    assert set(words.WAYS) == set(get_args(r.CrankingFrom))
    assert set(words.QUANTITIES) == set(words.QUANTITIES_ALONE) == set(get_args(r.Spread.__annotations__["quantity"]))
    assert set(words.LIFE_BY) == set(get_args(r.BankYear.__annotations__["life_by"]))
    assert set(behaviour_figures.START_RANK) == set(get_args(r.Verdict))
    context = context_of(results)
    for option in lived(context):
        for trouble in entries(option.at, "troubles"):
            run = "".join(_text(part) for part in trouble_words(context, option, trouble).parts)
            assert len(run) > 20, trouble.item.code


def test_an_unheard_of_code_breaks_no_page(results: Results, reader: ModuleType) -> None:
    option = results.options[0]
    days = sample_behaviour(option)
    strange = dataclasses.replace(
        days,
        troubles=(r.Trouble("odd_code", "nowhere.at_all", "odd_run", 7.0, {"odd_v": 1.0}),),  # type: ignore[arg-type]
        assumptions=(r.DayAssumption("nowhere.odd", "odd_code", {"odd_v": 1.0}, "odd_source", "", "from memory"),),
    )
    made = make_book(of_options(results, dataclasses.replace(option, behaviour=strange)), ())
    proof(made, ())
    assert not [text for _, text in reader.texts(made) if "odd_code" in text or "odd_run" in text]


def test_the_table_of_starts_tells_weeks_and_the_days_on_which_a_verdict_turns(results: Results) -> None:
    option = lived(context_of(results))[0]
    neglect = option.days.neglect
    assert neglect is not None
    spans: tuple[tuple[r.Verdict, int], ...] = (("starts", 11), ("uncertain", 2), ("fails", 7))
    verdicts = [verdict for verdict, count in spans for _ in range(count)]
    daily = tuple(r.StartOnDay(float(n), 9.0, 9.6, -0.6, verdict, "own_bank") for n, verdict in enumerate(verdicts))
    days = dataclasses.replace(option.days, neglect=dataclasses.replace(neglect, starts=daily))
    assert told_days([Lived(option.faced, days)]) == [0.0, 7.0, 10.0, 11.0, 12.0, 13.0, 14.0, 19.0]


def test_one_option_of_two_that_cannot_be_left_alone_is_named(results: Results, reader: ModuleType) -> None:
    option = results.options[0]
    assert option.behaviour is not None
    without = dataclasses.replace(option, behaviour=dataclasses.replace(option.behaviour, neglect=None))
    made = make_book(of_options(results, without, results.options[1]), ())
    assert any(": there is no engine to start" in text for _, text in reader.texts(made))


def test_many_switchings_of_one_relay_are_told_as_one_and_keep_the_count_of_the_marks(results: Results) -> None:
    context = context_of(results)
    option = lived(context)[1]
    relay = "links.vsr.relay"
    sun = r.Event(10.0, "sun_begins", "sources.solar", {})
    many = [r.Event(20.0 + n, ("relay_joins", "relay_parts")[n % 2], relay, {}) for n in range(8)]
    events = [Located(event, f"x[{n}]") for n, event in enumerate([sun, *many, sun, *many[:4]])]
    line = timeline(context, option, "t", events)
    assert [moment.count for moment in line.moments] == [1, 8, 1, 1, 1, 1, 1]
    assert places(line) == ("1", "2\u20139", "10", "11", "12", "13", "14")


def test_hostile_titles_reach_neither_markup_nor_the_data_of_the_sliders(results: Results) -> None:
    evil = "</section><script>alert(1)</script>{{ 7*7 }}\"'&"
    options = tuple(
        dataclasses.replace(
            option,
            title=evil + option.title,
            banks=tuple(dataclasses.replace(bank, title=evil + bank.title) for bank in option.banks),
            loads=tuple(dataclasses.replace(load, title=evil + load.title) for load in option.loads),
        )
        for option in results.options
    )
    made = of_options(results, *options)
    book = make_book(made, ())
    proof(book, ())
    html = document_html(book, {}).replace("<wbr>", "")
    assert "<script" not in html
    assert "alert&#40;1&#41;" in html


def test_what_it_costs_over_the_years_is_told_where_it_was_computed(results: Results, reader: ModuleType) -> None:
    money = {
        f"{what}_{end}": Decimal(amount)
        for what, amounts in (
            ("replacements", (0, 900, 2700)),
            ("running", (80, 80, 80)),
            ("total", (9080, 9980, 11780)),
        )
        for end, amount in zip(("low", "usual", "high"), amounts, strict=True)
    }
    bank = m.ReplacedBank("banks.lead", 4.0, 3.0, 12.0, "sulphation", 2, Decimal(450), 0, 2, 3)
    costed = m.TenYears(10, "EUR", Decimal(9000), (bank,), (), unstated=(m.Unstated("engine_cost", "engine"),), **money)
    first, second = results.options
    some = of_options(results, dataclasses.replace(first, ten_years=costed), second)
    made = make_book(some, ())
    proof(made, ())
    assert list(reader.wrong_numbers(made, json.loads(json.dumps(plain(some))))) == []
    text = " ".join(reader.said(run) for where, run in reader.runs(made) if where.startswith("behaviour,"))
    assert "over 10 years" in text
    assert "Not counted: hours of the engine" in text
    assert "Lead bank: 2 (0 to 3)" in text
    assert "€9,980.00 (€9,080.00 to €11,780.00)" in text
    assert set(words.UNSTATED_WORDS) == set(get_args(m.Unstated.__annotations__["code"]))


def test_an_uncertain_event_says_so(page: b.Page) -> None:
    moments = [
        m for block in page.blocks if isinstance(block, b.Timelines) for line in block.lines for m in line.moments
    ]
    unsure = [m for m in moments if m.tone == "unknown"]
    assert unsure
    assert all("Uncertain" in _text(m.note.parts[0]) for m in unsure)


def test_the_sliders_hold_the_whole_grid_and_stand_on_what_is_proposed(page: b.Page) -> None:
    sliders = next(block for block in page.blocks if isinstance(block, b.Sliders))
    assert [len(axis.positions) for axis in sliders.axes] == [5, 5, 5]
    assert all(_text(axis.positions[axis.proposed].parts[0]) == "100\u00a0%" for axis in sliders.axes)
    assert [len(face.answers) for face in sliders.faces] == [5, 5]
    assert len(sliders.table.rows) == 2 * (1 + 3 * 4)


def test_the_storyboard_tells_currents_and_what_is_open(page: b.Page) -> None:
    boards = [block for block in page.blocks if isinstance(block, b.Steps)]
    assert len(boards) == 4
    assert [board.on_paper for board in boards] == [True, True, False, False]
    assert all(len(board.steps) == 6 for board in boards)
    assert any("Open: " in step.alt for board in boards for step in board.steps)


def test_the_first_page_and_the_comparison_tell_what_the_days_show(book: b.Book) -> None:
    labels = [f.label for block in book.pages[0].blocks if isinstance(block, b.KeyFigures) for f in block.figures]
    assert words.START in labels
    assert words.NEEDED_DARK in labels
    faces = next(block for block in book.pages[1].blocks if isinstance(block, b.SideBySide))
    assert {words.START, words.NEEDED_DARK} <= {f.label for f in faces.faces[0].figures}
    links = [p for block in book.pages[0].blocks if isinstance(block, b.Paragraph) for p in block.words.parts]
    assert any(isinstance(part, b.Link) and part.page == "behaviour" for part in links)


STUDY = Path(study.__file__).parent


def emitted(names: frozenset[str], place: int) -> set[str]:
    """Codes that the study hands to calls of these names, at this place among their arguments."""
    found: set[str] = set()
    for path in STUDY.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names:
                given = node.args[place] if len(node.args) > place else None
                if isinstance(given, ast.Constant) and isinstance(given.value, str):
                    found.add(given.value)
    return found


def test_every_assumption_that_is_made_has_words() -> None:
    codes = emitted(frozenset({"_row", "_assumption", "DayAssumption"}), 1)
    assert len(codes) > 12
    assert codes <= set(behaviour_assumed.ASSUMED)
    assert all(sentence.endswith(".") for sentence in behaviour_assumed.ASSUMED.values())


def test_every_cause_for_which_a_relay_switches_has_words() -> None:
    causes = {"bus_lifted", "nearly_equal", "bus_below", *reading.RELAY_CAUSES.values()}
    told = {key.partition(".")[2] for key in behaviour_events.EVENTS if key.startswith("relay_")}
    assert causes <= told


def test_every_run_in_which_a_trouble_shows_has_words() -> None:
    runs = {"no_charge", "neglect", "year", *get_args(r.CutOff.__annotations__["situation"])}
    assert runs <= set(behaviour_events.TROUBLE_RUNS)
    assert emitted(frozenset({"Trouble"}), 0) <= {key.partition(".")[0] for key in behaviour_events.TROUBLES}


def test_a_lived_option_knows_its_starts_by_day(results: Results) -> None:
    context = context_of(results)
    option = lived(context)[0]
    assert isinstance(option, Lived)
    assert [start.item.day for start in option.starts] == [0.0, 7.0, 14.0, 21.0, 28.0]
