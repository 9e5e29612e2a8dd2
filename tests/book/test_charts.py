"""The page of time-current charts: every fuse on just one, the words under it and its fuse's row in the table."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType

import pytest

from proposal.book import blocks as b
from proposal.book.opening import context_of
from proposal.book.pages.charts import told
from proposal.drawings.time_current import charts_of
from proposal.results.model import CitationResult, CurveGate, GuardedResult, MustPassResult, ProtectionResult, Results

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
    for chart in charts(book):
        assert chart.alt == reader.said(chart.words)
        assert chart.alt.endswith(".")


def says(sample: ModuleType, *rows: ProtectionResult) -> tuple[str, str]:
    first = sample.RESULTS.options[0]
    results = replace(sample.RESULTS, options=(replace(first, protection=rows), *sample.RESULTS.options[1:]))
    book = context_of(results)
    words, tone = told(book, book.options[0], charts_of(rows)[0])
    texts = (part if isinstance(part, str) else part.text for part in words.parts)
    return "".join(t if isinstance(t, str) else t.text for t in texts).replace("\u00a0", " "), tone


def test_it_says_that_a_fuse_opens_in_time(sample: ModuleType) -> None:
    assert says(sample, FUSE) == (
        "F1: a short circuit at the far end of W1, 1,300 A, is open within 0.2 s; the conductor would be harmed after "
        "9.5 s.",
        "good",
    )  # fmt: skip


def test_it_says_that_a_fuse_is_too_slow_and_by_which_conductor(sample: ModuleType) -> None:
    worse = replace(GUARDED, designation="W2", clears_s=12.0)
    text, tone = says(sample, replace(FUSE, guarded=(GUARDED, worse)))
    assert "far end of W2, 1,300 A, may last 12 s; the conductor is harmed after 9.5 s." in text
    assert tone == "caution"


def test_exactly_in_time_is_in_time(sample: ModuleType) -> None:
    at_once = replace(GUARDED, clears_s=9.5)
    assert says(sample, replace(FUSE, guarded=(at_once,)))[1] == "good"
    assert says(sample, replace(FUSE, guarded=(replace(at_once, clears_s=9.51),)))[1] == "caution"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"curve": (), "curve_citation": None}, "how fast it opens is not known"),
        ({"remembered": True}, "The limits of its class are from memory"),
        ({"guarded": (replace(GUARDED, clears_s=None),)}, "so small that nothing says that the fuse opens"),
    ],
)
def test_what_rests_on_memory_or_on_nothing_is_not_decided(sample: ModuleType, change, words: str) -> None:
    text, tone = says(sample, replace(FUSE, **change))
    assert words in text
    assert tone == "unknown"


def test_it_says_what_it_must_let_pass_and_for_whom_it_is_drawn(sample: ModuleType) -> None:
    start = MustPassResult("loads.windlass", "start", 320.0, 0.4, True)
    text, _ = says(sample, replace(FUSE, must_pass=(start,)))
    assert "pass: 320 A for 0.4 s." in text
    assert says(sample, replace(FUSE, guarded=(), least_fault_a=None))[0].endswith(
        "no battery feeds a short circuit through it."
    )
