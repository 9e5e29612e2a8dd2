"""The listing of all checks: each stands there once with words and sources, and none can leave it unseen."""

from __future__ import annotations

import re
from types import ModuleType
from typing import get_args

import pytest

from proposal.book import blocks as b
from proposal.book.rulebook import Rule, rulebook, rules_listing, rules_page
from proposal.book.sentences.findings import FINDINGS
from proposal.codes import FAMILIES
from proposal.results.model import Results
from proposal.rules.acceptance import NEVER_ACCEPTED
from proposal.rules.registry import CHECKS
from proposal.sources import SOURCES, Status

NUMBERS = set(range(1, 74))


@pytest.fixture(scope="module")
def rules() -> tuple[Rule, ...]:
    return rulebook()


def test_every_check_stands_in_it_once_in_the_order_of_the_numbers(rules: tuple[Rule, ...]) -> None:
    assert [(r.number, r.id, r.severity) for r in rules] == [(c.number, c.id, c.severity) for c in CHECKS]
    assert [r.number for r in rules] == sorted(r.number for r in rules)


def test_every_cause_has_its_words_and_no_field_is_left(rules: tuple[Rule, ...]) -> None:
    for rule in rules:
        causes = {key.partition(".")[2] for key in FINDINGS if key.startswith(f"{rule.id}.")} or {""}
        assert {trigger.cause for trigger in rule.triggers} == causes
        for trigger in rule.triggers:
            for words in (
                rule.title,
                rule.holds,
                trigger.title,
                trigger.found,
                trigger.limit,
                trigger.happens,
                trigger.do,
            ):
                assert words, f"{rule.id}.{trigger.cause}"
                assert "{" not in words


def test_a_figure_is_an_ellipsis_with_its_unit(rules: tuple[Rule, ...]) -> None:
    capacity = next(r for r in rules if r.id == "breaking_capacity_low")
    assert capacity.triggers[0].limit.replace("\N{NO-BREAK SPACE}", " ") == "It can break … A."


def test_every_family_has_a_source_of_known_status(rules: tuple[Rule, ...]) -> None:
    for rule in rules:
        assert sorted(f for source in rule.sources for f in source.families) == sorted(FAMILIES)
        for source in rule.sources:
            assert source.title == SOURCES[source.source].title
            assert source.status in get_args(Status)
        assert bool(rule.never_accepted) == (rule.id in NEVER_ACCEPTED)


@pytest.mark.parametrize("told", [rules_listing, rules_page])
def test_listing_and_page_hold_every_check_with_severity_and_source(rules: tuple[Rule, ...], told: object) -> None:
    assert callable(told)
    text = str(told(rules))
    flat = re.sub(r"\s+", " ", text)
    for rule in rules:
        assert rule.id in flat
        assert re.sub(r"\s+", " ", rule.title) in flat
        assert all(re.sub(r"\s+", " ", trigger.found) in flat for trigger in rule.triggers)
    assert flat.count("Source") >= len(rules)
    assert "check your edition; from memory, check" not in flat


def test_every_check_stands_on_the_findings_page_with_its_count_even_where_it_met_nothing(
    results: Results, book: b.Book, sample: ModuleType
) -> None:
    """The table holds exactly the checks of the results; those of a demonstration vessel are all there are."""
    page = next(page for page in book.pages if page.id == "findings")
    at = next(n for n, block in enumerate(page.blocks) if isinstance(block, b.Heading) and block.anchor == "checks")
    table = page.blocks[at + 1]
    assert isinstance(table, b.Table)
    ids = dict.fromkeys(check.id for option in results.options for check in option.checks)
    if results is not sample.RESULTS:
        assert tuple(ids) == tuple(check.id for check in CHECKS)
        assert all([c.number for c in option.checks] == sorted(NUMBERS) for option in results.options)
    assert len(table.rows) == len(ids)
    for row, check_id in zip(table.rows, ids, strict=True):
        assert row.cells[1].parts == (FINDINGS[check_id].passed,)
        assert all(cell.parts for cell in row.cells[3 : 3 + len(results.options)]), check_id
