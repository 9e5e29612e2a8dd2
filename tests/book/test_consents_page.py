"""The sheet of consents and limits."""

from __future__ import annotations

import dataclasses
from types import ModuleType
from typing import Any, get_args

import pytest

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.book.sentences import consents
from proposal.spec.vessel import ConsentCode


def page_of(results: Any) -> b.Page:
    return next(page for page in make_book(results, ()).pages if page.id == "consents")


def said(words: b.Words) -> str:
    return "".join(part if isinstance(part, str) else getattr(part.text, "text", part.text) for part in words.parts)


def test_every_consent_has_words() -> None:
    assert set(consents.CONSENTS) == set(get_args(ConsentCode))


def test_each_consent_is_one_row_with_options_and_paper(sample: ModuleType) -> None:
    table = next(block for block in page_of(sample.RESULTS).blocks if isinstance(block, b.Table))
    rows = [[said(cell) for cell in row.cells] for row in table.rows]
    assert rows[0][0] == "Both makers"
    assert rows[0][2:] == ["A, B", "There, of 2 November 2026; kept: in the folder"]
    assert [row[3] for row in rows[1:]] == ["Asked for", "Not asked for yet", "Not asked for yet"]
    assert [row.tone for row in table.rows] == ["good", "caution", "unknown", "unknown"]
    assert "5,888" in rows[1][1]
    assert rows[2][0] == "The electrician for the mains side"


@pytest.mark.parametrize(
    ("by", "begins_at", "wanted"),
    [
        ("Ann", "the plug", "It begins at the plug. From there on it is the work of Ann"),
        ("", "the plug", "Who is responsible for it from there on is not stated"),
        ("Ann", "", "Where it begins is not stated"),
        ("", "", "Agree on both"),
    ],
)
def test_where_the_mains_side_begins(sample: ModuleType, by: str, begins_at: str, wanted: str) -> None:
    limits = dataclasses.replace(sample.RESULTS.limits, mains_by=by, mains_begins_at=begins_at)
    told = [said(x.words) for x in page_of(dataclasses.replace(sample.RESULTS, limits=limits)).blocks
            if isinstance(x, b.Paragraph)]  # fmt: skip
    assert any(wanted in text for text in told)
    assert any("no earth conductor is ever cut" in text for text in told)


def test_vessel_without_mains_and_without_consents_says_so(sample: ModuleType) -> None:
    limits = dataclasses.replace(sample.RESULTS.limits, mains_aboard=False, papers=())
    options = tuple(dataclasses.replace(option, consents=()) for option in sample.RESULTS.options)
    page = page_of(dataclasses.replace(sample.RESULTS, limits=limits, options=options))
    told = [said(block.words) for block in page.blocks if isinstance(block, b.Paragraph)]
    assert consents.NEEDED_NONE in told
    assert consents.MAINS_NONE in told
    assert not any(isinstance(block, b.Table) for block in page.blocks)


def test_it_says_what_was_surveyed_measured_assumed_and_undecided(sample: ModuleType) -> None:
    (facts,) = [block for block in page_of(sample.RESULTS).blocks if isinstance(block, b.Facts)]
    told = {fact.name: said(fact.words) for fact in facts.facts}
    survey = sample.RESULTS.survey
    assert told[consents.BASIS_SURVEYED] == "20 February 2026, by O. Sample"
    assert survey.measured[0][0] in told[consents.BASIS_MEASURED]
    assert survey.unknown[0][0] in told[consents.BASIS_UNKNOWN]
    count = len(sample.OPTION_A.assumptions)
    assert told[consents.BASIS_ASSUMED].startswith(f"option A: {count}")
    undecided = sum(1 for f in sample.OPTION_A.findings if f.outcome == "undecided")
    assert told[consents.BASIS_UNDECIDED].startswith(f"option A: {undecided}")
    bare = dataclasses.replace(sample.RESULTS, survey=dataclasses.replace(survey, date="", measured=(), unknown=()))
    (facts,) = [block for block in page_of(bare).blocks if isinstance(block, b.Facts)]
    told = {fact.name: said(fact.words) for fact in facts.facts}
    assert told[consents.BASIS_SURVEYED] == consents.BASIS_NOT_SURVEYED
    assert told[consents.BASIS_MEASURED] == told[consents.BASIS_UNKNOWN] == consents.BASIS_NOTHING
