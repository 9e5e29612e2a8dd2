"""The sheets that come out of the computation: every code has words, and their pages say what the results hold."""

from __future__ import annotations

import dataclasses
import inspect
import re
import typing
from types import ModuleType

import pytest

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.book.language import fields_of
from proposal.book.listing import as_text
from proposal.book.sentences import failures, ladder, switching_plan
from proposal.results.model import Results
from proposal.studies.failures.result import Cause, Symptom
from proposal.studies.isolation import back, out
from proposal.studies.isolation.result import Phase
from proposal.studies.isolation.study import switching_plan as plan_of
from proposal.studies.ladder.result import Setting
from tests.generate import CELLS, cell, designed


def page(book: b.Book, page_id: str) -> b.Page:
    return next(p for p in book.pages if p.id == page_id)


def tables(of: b.Page) -> list[b.Table]:
    return [block for block in of.blocks if isinstance(block, b.Table)]


def lists(of: b.Page) -> list[b.Bullets]:
    return [block for block in of.blocks if isinstance(block, b.Bullets)]


def test_every_code_of_the_three_sheets_has_words() -> None:
    assert set(failures.CAUSES) == set(typing.get_args(Cause))
    assert set(failures.SYMPTOMS) == set(typing.get_args(Symptom))
    assert {key.partition(".")[0] for key in failures.DO} == set(typing.get_args(Cause))
    assert set(switching_plan.PHASES) == set(typing.get_args(Phase))
    rests = {"rest_full", "rest_half", "rest_low"}
    assert set(ladder.SETTINGS) == set(typing.get_args(Setting)) - rests
    assert set(ladder.WHY) == {*typing.get_args(Setting), "joins_below"}


@pytest.mark.parametrize(("arrangement", "volts"), CELLS)
def test_every_step_has_words_and_only_figures_that_it_is_given(arrangement: str, volts: int) -> None:
    built = cell(arrangement, volts)
    made = designed(built)
    for step in plan_of(built.spec, made.circuit, built.catalogue, built.family, made.flow, {}):
        assert set(fields_of(switching_plan.STEPS[step.code])) <= set(step.values), step.code


def test_no_step_has_words_that_no_code_asks_for() -> None:
    source = inspect.getsource(back) + inspect.getsource(out)
    told = set(re.findall(r'"([a-z_]+)"', source)) | {f"start_{k}" for k in ("shore", "generator", "wind", "solar")}
    told |= {f"stop_{k}" for k in ("shore", "generator", "wind", "alternator")}
    assert set(switching_plan.STEPS) <= told


def test_the_plan_is_numbered_by_phase(book: b.Book, results: Results) -> None:
    found = lists(page(book, "switching"))
    assert all(block.numbered for block in found)
    assert sum(len(block.items) for block in found) == sum(len(o.switching) for o in results.options)


def test_each_failure_has_one_row(book: b.Book, results: Results) -> None:
    rows = [row for table in tables(page(book, "failures")) for row in table.rows]
    assert len(rows) == sum(len(o.failures) for o in results.options)
    for table in tables(page(book, "failures")):
        assert len({len(row.cells) for row in table.rows} | {len(table.columns)}) == 1


def test_each_rung_and_each_missing_setting_has_one_row(book: b.Book, results: Results) -> None:
    rows = [row for table in tables(page(book, "ladder")) for row in table.rows]
    wanted = sum(len(o.ladder.rungs) + len(o.ladder.unstated) + len(o.ladder.joins) for o in results.options)
    assert len(rows) == wanted
    assert sum(row.tone == "unknown" for row in rows) == sum(len(o.ladder.unstated) for o in results.options)


def test_a_figure_says_its_finding(sample: ModuleType) -> None:
    """The drawing's words name the overlap that a sighted reader sees marked."""
    option = sample.OPTION_A
    overlap = dataclasses.replace(
        option.findings[0], id="settings_overlap", number=55, outcome="fires", accepted_by=None,
        values={"cause": "opens_in_charge", "lower_item": "sources.solar", "lower_v": 14.4, "lower_tolerance_v": 0.05,
                "upper_item": "banks.lithium.contactor", "upper_v": 14.4, "upper_tolerance_v": 0.1, "margin_v": -0.15,
                "set_to_v": 14.55, "charge_to_v": 14.25},
    )  # fmt: skip
    for findings, wanted in (((), "no two stand"), ((overlap,), "The contactor opens before charging is finished")):
        results = dataclasses.replace(sample.RESULTS, options=(dataclasses.replace(option, findings=findings),))
        made = page(make_book(results, ("a-ladder.svg",)), "ladder")
        (figure,) = [block for block in made.blocks if isinstance(block, b.Figure)]
        assert wanted in figure.alt
    (told,) = lists(made)
    assert "14.55" in as_text(told.items[0])


def test_the_clients_pages_do_not_speak_of_the_sheets(book: b.Book) -> None:
    """They stay as short as they were."""
    for page_id in ("ladder", "failures", "switching"):
        assert "client" not in page(book, page_id).audiences
