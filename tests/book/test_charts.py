"""The page of time-current charts: every fuse on just one, the words under it and its fuse's row in the table."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.opening import context_of
from proposal.book.pages.charts import KEY, told
from proposal.drawings.time_current import charts_of
from proposal.facts import Value
from proposal.results.model import (
    CitationResult,
    CurveGate,
    GuardedResult,
    MustPassResult,
    NeighbourResult,
    ProtectionResult,
    Results,
    RulingResult,
)

CITED = CitationResult("memory", "", "from memory")
GATES = (CurveGate(250.0, 3600.0, 9000.0), CurveGate(2000.0, 0.02, 0.08))
GUARDED = GuardedResult(
    "banks.house.positive", "W1", "pvc", 35.0, 115.0, CITED, 1300.0, "banks.house", 1300.0, 0.2, 9.5
)
FUSE = ProtectionResult(
    "banks.house.fuse", "F1", "House bank", "part", "Class T fuse 200 A", "class_t", 200.0, 20000.0, 6400.0, 1300.0,
    0.2, GATES, CITED, True, False, (GUARDED,), (), (), (), (), (),
)  # fmt: skip


def charts(book: b.Book) -> list[b.Chart]:
    page = next(page for page in book.pages if page.id == "charts")
    return [chart for block in page.blocks if isinstance(block, b.Charts) for chart in block.charts]


def test_every_fuse_has_a_chart_and_its_row_leads_there(book: b.Book, results: Results) -> None:
    made = charts(book)
    anchors = {chart.anchor for chart in made}
    assert made[0].drawing == KEY
    assert len(anchors) == len(made)
    cables = next(page for page in book.pages if page.id == "cables")
    rows = [row for block in cables.blocks if isinstance(block, b.Table) for row in block.rows]
    for number, option in enumerate(results.options):
        letter = chr(ord("a") + number)
        for fuse in option.protection:
            row = next(row for row in rows if row.anchor == f"{letter}.{fuse.key}")
            link = row.cells[0].parts[0]
            assert isinstance(link, b.Link)
            assert (link.text, link.page) == (fuse.designation, "charts")
            assert link.anchor in anchors


def test_who_cannot_see_a_chart_hears_what_stands_under_it(book: b.Book, reader: ModuleType) -> None:
    for chart in charts(book)[1:]:  # the first is the key
        assert chart.alt == reader.said(chart.words)
        assert chart.alt.endswith(".")


def says(sample: ModuleType, *rows: ProtectionResult) -> tuple[str, str]:
    first = sample.RESULTS.options[0]
    results = replace(sample.RESULTS, options=(replace(first, protection=rows), *sample.RESULTS.options[1:]))
    book = context_of(results)
    words, tone = told(book, book.options[0], charts_of(rows)[0])
    texts = (part if isinstance(part, str) else part.text for part in words.parts)
    return "".join(t if isinstance(t, str) else t.text for t in texts).replace("\u00a0", " "), tone


FACTS: dict[str, Value] = {
    "conductor": "banks.house.positive", "bank": "banks.house", "current_a": 1300.0, "through_a": 1300.0,
    "stands_s": 9.5, "clears_s": 0.2, "cause": "far_end",
}  # fmt: skip


def ruled(
    outcome: Any, wanting: str = "", remembered: Any = None, without: str = "", **values: Value
) -> ProtectionResult:
    """The fuse with this ruling on the faults at its conductor's far end."""
    facts = {name: value for name, value in (FACTS | values).items() if name != without}
    return replace(FUSE, rulings=(RulingResult("far_end", outcome, wanting, remembered, facts),))


OPENS = "is open within 0.2 s; the conductor would be harmed after 9.5 s."
SLOW = "may last 12 s; the conductor is harmed after 9.5 s."


@pytest.mark.parametrize(
    ("row", "words", "tone"),
    [
        (ruled("passes"), f"F1: a short circuit at the far end of W1, 1,300 A, {OPENS}", "good"),
        (ruled("passes", cause="near_end"), "F1: of all short circuits on W1 one of 1,300 A is the hardest: it "
         f"{OPENS}", "good"),
        (ruled("fails", clears_s=12.0), f"F1: a short circuit at the far end of W1, 1,300 A, {SLOW}", "caution"),
        (ruled("fails", clears_s=12.0, cause="near_end"), f"F1: a short circuit of 1,300 A on W1 {SLOW}", "caution"),
        (ruled("fails", clears_s=None), "F1: a short circuit at the far end of W1, 1,300 A, is so small that nothing "
         "says that the fuse opens; the conductor is harmed after 9.5 s.", "caution"),
        (ruled("passes", cause="carried", without="clears_s"), "F1: a short circuit at the far end of W1, 1,300 A, is "
         "no more than the conductor carries for hours, and does it no harm.", "good"),
        (ruled("undecided", "fuse_curve", without="clears_s"), "F1: how fast it opens is not known; a short circuit at "
         "the far end of W1, 1,300 A, harms the conductor after 9.5 s. Undecided: the maker's curve decides.",
         "unknown"),
        (ruled("undecided", "fuse_curve", "passes"), f"F1: a short circuit at the far end of W1, 1,300 A, {OPENS} "
         "Undecided: the maker's curve decides.", "unknown"),
        (ruled("undecided", "conductor_heating", "fails", clears_s=12.0), "F1: a short circuit at the far end of W1, "
         f"1,300 A, {SLOW} Undecided: heat that leaves the conductor meanwhile is not counted.", "unknown"),
        (ruled("passes", current_a=3900.0), f"F1: a short circuit at the far end of W1, 3,900 A, {OPENS} Through the "
         "fuse flows 1,300 A of it.", "good"),
        (FUSE, "F1: no battery feeds a short circuit through it.", "plain"),
        (replace(FUSE, part_id=None), "F1: no part was found for this place.", "plain"),
    ],
)  # fmt: skip
def test_it_says_how_the_fuse_stands(sample: ModuleType, row: ProtectionResult, words: str, tone: str) -> None:
    assert says(sample, row) == (words, tone)


def test_it_says_what_it_must_let_pass_and_for_whom_it_is_drawn(sample: ModuleType) -> None:
    start = MustPassResult("loads.windlass", "start", 320.0, 0.4, True)
    text, _ = says(sample, replace(ruled("passes"), must_pass=(start,)))
    assert text.endswith("pass: 320 A for 0.4 s.")
    behind = replace(ruled("passes"), upstream=(NeighbourResult("banks.main", 1.0),))
    text, _ = says(sample, behind, replace(behind, key="f2", designation="F2", least_fault_a=900.0))
    assert text.startswith("F1, F2: ")
    assert text.endswith("Drawn for F2, which sees the least.")
