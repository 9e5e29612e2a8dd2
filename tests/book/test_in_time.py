"""The table of fuses in time: one row for each fuse, and words for every way that a ruling can go."""

from __future__ import annotations

import dataclasses
from types import ModuleType
from typing import Any

import pytest

from proposal.book.listing import as_text
from proposal.book.opening import context_of
from proposal.book.pages.in_time import in_time
from proposal.results import model as m
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from tests.generate import PROJECTS

FUSE, INNER = "loads.fridge.fuse", "banks.house.fuse"


def row_of(sample: ModuleType, rulings: tuple[m.RulingResult, ...]) -> Any:
    """The row of a fuse with these rulings."""
    fuse = m.ProtectionResult(
        FUSE, "F2", "Fridge", "blade_10", "Blade fuse 10 A", "blade", 10.0, 1000.0, 500.0, 100.0, 0.1, (), None, False,
        False, (), (), (), (), (), rulings,
    )  # fmt: skip
    option = dataclasses.replace(sample.OPTION_A, protection=(fuse,))
    book = context_of(dataclasses.replace(sample.RESULTS, options=(option,)))
    _, made = in_time(book, book.options[0])
    (row,) = made.rows
    return row


def ruling(demand: Any, outcome: Any, wanting: str = "", remembered: Any = None, **values: Any) -> m.RulingResult:
    return m.RulingResult(demand, outcome, wanting, remembered, values)


START = {"current_a": 30.0, "duration_s": 0.5}
FAULT = {"current_a": 200.0, "stands_s": 2.0}


@pytest.mark.parametrize(
    ("made", "column", "words", "tone"),
    [
        (ruling("must_pass", "passes", limit_a=40.0, **START), 2, "30 A for 0.5 s · 40 A", "good"),
        (ruling("must_pass", "fails", limit_a=20.0, **START), 2, "30 A for 0.5 s · 20 A", "caution"),
        (ruling("must_pass", "undecided", "fuse_curve", **START), 2, "30 A for 0.5 s · not known", "unknown"),
        (
            ruling("must_pass", "undecided", "fuse_curve", "fails", limit_a=20.0, **START), 2,
            "30 A for 0.5 s · 20 A (from memory)", "unknown",
        ),
        (ruling("far_end", "passes", clears_s=0.02, **FAULT), 3, "20 ms · 2 s", "good"),
        (ruling("far_end", "fails", clears_s=3.0, **FAULT), 3, "3 s · 2 s", "caution"),
        (ruling("far_end", "fails", clears_s=None, **FAULT), 3, "not surely · 2 s", "caution"),
        (ruling("far_end", "passes", cause="carried", **FAULT), 3, "200 A, carried for ever", "good"),
        (ruling("far_end", "undecided", "fuse_curve", clears_s=9.0, **FAULT), 3, "not known · 2 s", "unknown"),
        (ruling("far_end", "undecided", "insulation_compound", clears_s=3.0, **FAULT), 3, "3 s · 2 s", "unknown"),
        (
            ruling("far_end", "undecided", "fuse_curve", "passes", clears_s=0.2, **FAULT), 3,
            "0.2 s · 2 s (from memory)", "unknown",
        ),
        (ruling("selective", "passes", inner=INNER), 4, "before F1", "good"),
        (ruling("selective", "fails", inner=INNER), 4, "F1 may be first", "caution"),
        (ruling("selective", "undecided", "fuse_curve", inner=INNER), 4, "not known beside F1", "unknown"),
        (ruling("selective", "undecided", "fuse_curve", "fails", inner=INNER), 4, "F1 may be first (from memory)",
         "unknown"),
        (ruling("cut_off", "passes", clears_s=0.01, trip_s=0.05), 5, "yes", "good"),
        (ruling("cut_off", "fails", clears_s=0.5, trip_s=0.05), 5, "no: 0.5 s, cut off after 50 ms", "caution"),
        (ruling("cut_off", "undecided", "trip_current"), 5, "not known", "unknown"),
    ],
)  # fmt: skip
def test_each_ruling_has_its_words_in_its_own_column(
    sample: ModuleType, made: m.RulingResult, column: int, words: str, tone: str
) -> None:
    row = row_of(sample, (made,))
    told = [as_text(cell).replace("\u00a0", " ") for cell in row.cells]
    assert told[:2] == ["F2", "Blade fuse 10 A"]
    assert told[column] == words
    assert [n for n, text in enumerate(told[2:], start=2) if text] == [column]
    assert row.tone == tone


def test_the_worst_ruling_gives_the_row_its_tone(sample: ModuleType) -> None:
    good, open_, bad = (ruling("selective", outcome, inner=INNER) for outcome in ("passes", "undecided", "fails"))
    pairs = (((good,), "good"), ((), "good"), ((good, open_), "unknown"), ((open_, bad), "caution"))
    for made, tone in pairs:
        renamed = tuple(dataclasses.replace(r, demand=d) for r, d in zip(made, ("selective", "cut_off"), strict=False))
        assert row_of(sample, renamed).tone == tone


def test_every_fuse_of_a_project_has_a_row() -> None:
    results = evaluate(load_project(PROJECTS / "skarn"), {}, "a test").results
    book = context_of(results)
    for faced in book.options:
        _, made = in_time(book, faced)
        fuses = [d.designation for d in faced.option.devices if d.kind == "fuse"]
        assert [as_text(row.cells[0]) for row in made.rows] == fuses


def test_an_option_without_fuses_has_no_table(sample: ModuleType) -> None:
    book = context_of(dataclasses.replace(sample.RESULTS, options=(dataclasses.replace(sample.OPTION_A,
                      protection=()),)))  # fmt: skip
    assert in_time(book, book.options[0]) == []
