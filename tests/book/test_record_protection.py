"""Is each conductor protected: one verdict for each conductor and fuse, looked up among the rulings and findings."""

from __future__ import annotations

import dataclasses
from types import ModuleType
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.opening import context_of
from proposal.book.pages import record_protection
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.record_protection import Line, answer, negative_lines, positive_lines
from proposal.results.model import OptionResult
from tests import sample_record as sample

FUSE, CONDUCTOR = "loads.fridge.fuse", "loads.fridge.positive"


def with_option(**changes: Any) -> tuple[Book, Faced]:
    """The clear record's book with rows of its option in place of others."""
    results = sample.results(hindered=False)
    option = dataclasses.replace(results.options[0], **changes)
    book = context_of(dataclasses.replace(results, options=(option,)))
    return book, book.options[0]


def option() -> OptionResult:
    return sample.results(hindered=False).options[0]


def with_fuse(**changes: Any) -> tuple[Book, Faced]:
    """The fuse of the refrigerator otherwise."""
    rows = tuple(dataclasses.replace(p, **changes) if p.key == FUSE else p for p in option().protection)
    return with_option(protection=rows)


def ruled(demand: str, outcome: str, **values: float) -> tuple[Any, ...]:
    fuse = next(p for p in option().protection if p.key == FUSE)
    return tuple(
        dataclasses.replace(r, outcome=outcome, values={**r.values, **values}) if r.demand == demand else r
        for r in fuse.rulings
    )


def guarded(**changes: Any) -> tuple[Any, ...]:
    fuse = next(p for p in option().protection if p.key == FUSE)
    return tuple(dataclasses.replace(g, **changes) for g in fuse.guarded)


def of(lines: tuple[Line, ...], key: str = CONDUCTOR) -> list[Line]:
    return [line for line in lines if line.conductor.item.key == key]


def test_every_conductor_has_a_line_and_each_guarding_fuse_its_own(reader: ModuleType) -> None:
    book, faced = with_option()
    lines = (*positive_lines(book, faced), *negative_lines(book, faced))
    assert {line.conductor.item.key for line in lines} == {c.key for c in faced.option.conductors}
    pairs = [(g.conductor, p.key) for p in faced.option.protection for g in p.guarded]
    told = [(x.conductor.item.key, x.protection.item.key) for x in lines if x.protection is not None]
    assert sorted(told) == sorted(pairs)
    assert all(reader.said(line.verdict) for line in lines)


def test_the_verdict_is_the_outcome_of_the_results(reader: ModuleType) -> None:
    """Of the real vessel no check objects to a conductor: each verdict follows from how its fuse stands on it."""
    book, faced = with_option()
    wanted = {"passes": "good", "fails": "bad", "undecided": "open"}
    seen = set()
    for line in positive_lines(book, faced):
        if line.guarded is not None:
            assert line.state == wanted[line.guarded.item.outcome]
            seen.add(line.state)
        else:
            assert line.state == "good"
            assert "check on unfused length" in reader.said(line.verdict)
    assert seen == {"good", "open"}
    assert answer(book, faced) == "open"


BAD = {
    "no part": ({"part_id": None, "rulings": ()}, "no fuse is known for this place"),
    "voltage": ({"rulings": ruled("voltage", "fails")}, "not made for a voltage as high"),
    "breaking": ({"rulings": ruled("breaking", "fails")}, "cannot break the largest short circuit"),
    "too large": ({"rulings": ruled("rating", "fails", rating_a=40.0, largest_a=25.0)}, "may have, 25\u00a0A"),
    "too slow": ({"guarded": guarded(outcome="fails")}, "may last longer than the conductor bears"),
}


@pytest.mark.parametrize("case", BAD)
def test_what_speaks_against_a_fuse_makes_its_conductor_unprotected(case: str, reader: ModuleType) -> None:
    changes, words = BAD[case]
    book, faced = with_fuse(**changes)
    (line,) = of(positive_lines(book, faced))
    assert line.state == "bad"
    assert words in reader.said(line.verdict)
    assert answer(book, faced) == "bad"
    others = [x for x in positive_lines(book, faced) if x.conductor.item.key != CONDUCTOR]
    assert all(x.state != "bad" for x in others)


def test_a_fuse_that_is_smaller_than_it_might_be_protects_all_the_same() -> None:
    book, faced = with_fuse(rulings=ruled("rating", "fails", rating_a=2.0, smallest_a=5.0, largest_a=25.0))
    (line,) = of(positive_lines(book, faced))
    assert line.state == "good"


@pytest.mark.parametrize("wanting", ["fuse_curve", "conductor_heating", "insulation_compound", "unheard_of"])
def test_what_is_undecided_says_what_is_missing(wanting: str, reader: ModuleType) -> None:
    book, faced = with_fuse(guarded=guarded(outcome="undecided", wanting=wanting))
    (line,) = of(positive_lines(book, faced))
    assert line.state == "open"
    assert reader.said(line.verdict).startswith("Not decided: ")
    assert "_" not in reader.said(line.verdict)


def test_a_fault_that_the_conductor_carries_does_no_harm(reader: ModuleType) -> None:
    book, faced = with_fuse(guarded=guarded(outcome="passes", stands_s=None, clears_s=None))
    (line,) = of(positive_lines(book, faced))
    assert line.state == "good"
    assert "no more than it carries for hours" in reader.said(line.verdict)


@pytest.mark.parametrize(
    ("check", "item", "conductor"),
    [
        ("positive_unfused", "banks.lead.tail", "banks.lead.tail"),
        ("positive_unfused", CONDUCTOR, CONDUCTOR),
        ("conductor_overloaded", CONDUCTOR, CONDUCTOR),
        ("link_fused_one_end", "links.vsr.positive", "links.vsr.positive"),
        ("breaking_capacity_low", FUSE, CONDUCTOR),
        ("device_voltage_low", FUSE, CONDUCTOR),
        ("battery_without_device", "banks.lithium", "banks.lithium.s1.positive"),
        ("return_smaller", "loads.fridge.negative", "loads.fridge.negative"),
    ],
)
@pytest.mark.parametrize(("outcome", "state"), [("fires", "bad"), ("undecided", "open")])
def test_a_finding_about_it_decides_the_verdict_and_is_linked(
    check: str, item: str, conductor: str, outcome: str, state: str
) -> None:
    finding = dataclasses.replace(option().findings[0], id=check, item=item, outcome=outcome, values={})
    book, faced = with_option(findings=(*option().findings, finding))
    lines = of((*positive_lines(book, faced), *negative_lines(book, faced)), conductor)
    number = len(faced.option.findings)
    for line in lines:
        if state == "bad":
            assert line.state == "bad"
        links = [p for p in line.verdict.parts if isinstance(p, b.Link)]
        if line.state == state:
            assert b.Link(links[0].text, "findings", f"b.finding.{number}") in links
    assert {line.state for line in lines} >= {state}


def test_a_finding_of_another_kind_says_nothing_about_protection() -> None:
    finding = dataclasses.replace(option().findings[0], id="voltage_drop_high", item=CONDUCTOR, outcome="fires")
    book, faced = with_option(findings=(*option().findings, finding))
    assert of(positive_lines(book, faced))[0].state == "good"


def test_a_negative_as_thick_as_its_positive_is_protected_with_it(reader: ModuleType) -> None:
    book, faced = with_option()
    assert all(line.state == "good" for line in negative_lines(book, faced))
    rows = tuple(
        dataclasses.replace(c, area_mm2=c.area_mm2 * 0.99) if c.key == "loads.fridge.negative" else c
        for c in option().conductors
    )
    book, faced = with_option(conductors=rows)
    (line,) = of(negative_lines(book, faced), "loads.fridge.negative")
    assert line.state == "open"
    assert "Thinner than its positive" in reader.said(line.verdict)


def test_the_page_names_what_is_not_protected_on_top(reader: ModuleType) -> None:
    book, faced = with_fuse(**BAD["breaking"][0])
    made = record_protection.page(book, faced)
    top = made.blocks[0]
    assert isinstance(top, b.Callout)
    assert (top.tone, top.large) == ("danger", True)
    designation = next(c.designation for c in option().conductors if c.key == CONDUCTOR)
    assert reader.said(top.body[0]) == f"Not protected: Refrigerator ({designation})."
    tables = [block for block in made.blocks if isinstance(block, b.Table)]
    rows = {row.anchor: row for t in tables for row in t.rows if row.anchor}
    assert rows[f"b.row.{CONDUCTOR}"].tone == "danger"


def test_the_largest_short_circuit_is_that_at_the_fuses() -> None:
    book, faced = with_option()
    figures = next(x for x in record_protection.page(book, faced).blocks if isinstance(x, b.KeyFigures)).figures
    largest = max(d.fault_a or 0.0 for d in faced.option.devices if d.kind == "fuse")
    least = min(g.through_fuse_a for p in faced.option.protection for g in p.guarded if g.stands_s is not None)
    values = [part.value for f in figures for part in f.figure.parts if isinstance(part, b.Cell)]
    assert values == [largest, least]


@pytest.mark.parametrize(("wanting", "said"), [("fuse_curve", True), ("insulation_compound", False)])
def test_what_would_decide_it_is_asked_for_where_only_curves_are_wanting(
    wanting: str, said: bool, reader: ModuleType
) -> None:
    settled = tuple(
        dataclasses.replace(p, guarded=guarded(outcome="undecided", wanting=wanting))
        if p.key == FUSE
        else dataclasses.replace(p, guarded=tuple(dataclasses.replace(g, outcome="passes") for g in p.guarded))
        for p in option().protection
    )
    top = record_protection.page(*with_option(protection=settled, findings=())).blocks[0]
    assert isinstance(top, b.Callout)
    fuse = next(p for p in settled if p.key == FUSE)
    curve = f"To decide it, ask for the maker's time-current curve of {fuse.designation}, {fuse.part_title}."
    assert (curve in [reader.said(run) for run in top.body]) == said


def test_a_negative_is_judged_beside_the_positives_that_return_by_it_or_not_at_all(reader: ModuleType) -> None:
    own = "loads.fridge"
    inner = tuple(
        dataclasses.replace(c, circuit=f"{own}.supply") if c.circuit == own and c.pole == "positive" else c
        for c in option().conductors
    )
    thin = tuple(
        dataclasses.replace(c, area_mm2=c.area_mm2 * 0.99) if c.key == "loads.fridge.negative" else c for c in inner
    )
    alone = tuple(c for c in inner if not c.circuit.startswith(f"{own}."))
    for rows, state, said in (
        (inner, "good", "at least as thick"),
        (thin, "open", "Thinner than its positive"),
        (alone, "open", "no positive of its own"),
    ):
        (line,) = of(negative_lines(*with_option(conductors=rows)), "loads.fridge.negative")
        assert line.state == state
        assert said in reader.said(line.verdict)
