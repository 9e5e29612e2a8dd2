"""Every cause of every check, told as a reader gets it: whole sentences, figures with units, items by name."""

from __future__ import annotations

import dataclasses
import re
from types import ModuleType
from typing import Any

import pytest

from proposal.book.cells import unit_of
from proposal.book.language import fields_of
from proposal.book.listing import as_text
from proposal.book.opening import context_of
from proposal.book.pages.telling import told
from proposal.book.refs import Located
from proposal.book.sentences import names
from proposal.book.sentences.findings import FIND_OUT, FINDINGS
from proposal.rules.registry import CHECKS

SEVERITY = {check.id: check.severity for check in CHECKS}
NUMBER = {check.id: check.number for check in CHECKS}
ITEM = "banks.house"
SENTENCE = re.compile(r"^[A-Z0-9—–].*[.!?]$")


def value_of(name: str) -> Any:
    """A value of the kind that a rule hands out under this name."""
    if name in names.VALUE_WORDS:
        return next(iter(names.VALUE_WORDS[name]))
    if name == "case" or name.endswith("_case"):
        return "usual"
    if name in names.ITEM_FIELDS:
        return ITEM
    if name.endswith("price"):
        return "12.50"
    if unit_of(name):
        return 3 if unit_of(name) == "count" else 1.5
    return "Something"


def finding_of(sample: ModuleType, key: str, outcome: str, find_out: str = "") -> Any:
    check, _, cause = key.partition(".")
    text = FINDINGS[key]
    wanted = (text.found, text.limit, text.happens, text.do, text.known, FIND_OUT.get(find_out, ""))
    values = {name: value_of(name) for sentence in wanted for name in fields_of(sentence)}
    values |= {"cause": cause} if cause else {}
    values |= {"find_out": find_out} if find_out else {}
    return dataclasses.replace(
        sample.OPTION_A.findings[0], id=check, number=NUMBER[check], severity=SEVERITY[check], outcome=outcome,
        item=ITEM, values=values, accepted_by=None, accepted_because=None,
    )  # fmt: skip


def words_of(sample: ModuleType, finding: Any) -> tuple[str, str]:
    option = dataclasses.replace(sample.OPTION_A, findings=(finding,))
    book = context_of(dataclasses.replace(sample.RESULTS, options=(option,)))
    told_here = told(book, book.options[0], Located(finding, "options[0].findings[0]"))
    return as_text(told_here.found), as_text(told_here.do)


@pytest.mark.parametrize("key", sorted(FINDINGS))
def test_a_finding_is_told_whole(sample: ModuleType, key: str) -> None:
    found, do = words_of(sample, finding_of(sample, key, "fires"))
    text = FINDINGS[key]
    assert found.startswith(f"{text.title}. ")
    for words in (found, do):
        assert SENTENCE.match(words), words
        assert "{" not in words
        assert "_" not in words, words
        assert "  " not in words
    # every sentence is there: nothing was left out for want of a value
    for sentence in (text.found, text.limit, text.happens):
        for piece in re.split(r"\{[a-z0-9_]+\}", sentence):
            assert piece.strip() in found, piece
    for piece in re.split(r"\{[a-z0-9_]+\}", text.do):
        assert piece.strip() in do, piece


@pytest.mark.parametrize("code", sorted(FIND_OUT))
def test_what_to_find_out_is_told_whole(sample: ModuleType, code: str) -> None:
    found, do = words_of(sample, finding_of(sample, "battery_loose.moves", "undecided", code))
    assert found.startswith("Not decided: ")
    assert SENTENCE.match(do), do
    assert not re.search(r"[{}_]|  ", do)
