"""The table of short circuits: the strongest first, the least beside the highest, and who feeds what."""

from __future__ import annotations

import re
from dataclasses import replace
from types import ModuleType

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.results.model import Results


def rows(book: b.Book, letter: str) -> list[b.Row]:
    page = next(page for page in book.pages if page.id == "cables")
    (found,) = (t for t in page.blocks if isinstance(t, b.Table) and f"Option {letter}: short-circuit" in t.caption)
    return list(found.rows)


def value(run: b.Words, number: int = 0) -> float | None:
    found = [part for part in run.parts if isinstance(part, b.Cell)][number].value
    assert found is None or isinstance(found, float)
    return found


def test_the_strongest_stands_first_and_the_least_is_never_above_the_highest(book: b.Book, results: Results) -> None:
    for number, _ in enumerate(results.options):
        highest = [value(row.cells[2]) or 0.0 for row in rows(book, "AB"[number])]
        assert highest == sorted(highest, reverse=True)
        for row in rows(book, "AB"[number]):
            high_a, peak_a, steady_a = (value(row.cells[i], n) or 0.0 for i, n in ((2, 0), (5, 0), (5, 1)))
            assert high_a > peak_a > steady_a > 0.0
            least_a = value(row.cells[6])
            assert least_a is None or 0.0 < least_a < high_a


def test_what_feeds_a_short_circuit_makes_it_up(book: b.Book, results: Results, reader: ModuleType) -> None:
    for number, _ in enumerate(results.options):
        for row in rows(book, "AB"[number]):
            fed = [part.value for part in row.cells[3].parts if isinstance(part, b.Cell)]
            text = reader.said(row.cells[3])
            assert len(re.findall(r"\bA\b", text)) == len(fed) > 0
            if "and more" not in text:
                total_a = sum(amps for amps in fed if isinstance(amps, float))
                # sources of less than an ampere are left out
                assert abs(total_a - (value(row.cells[2]) or 0.0)) < 3.0, text


def test_a_place_that_no_bank_feeds_alone_says_so(sample: ModuleType, reader: ModuleType) -> None:
    first, *others = sample.RESULTS.options
    alone = tuple(replace(fault, least_a=None, least_bank=None) for fault in first.faults)
    book = make_book(replace(sample.RESULTS, options=(replace(first, faults=alone), *others)), ())
    row = rows(book, "A")[0]
    assert reader.said(row.cells[6]) == "\u2013 no bank alone"
    assert reader.said(row.cells[7]) == ""
