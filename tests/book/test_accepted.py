"""What somebody accepts: it stays on its page with who and why, and a danger on the first page too."""

from __future__ import annotations

import dataclasses
from types import ModuleType

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.book.listing import findings_listing
from proposal.book.sentences import client, surveyor
from proposal.results.model import Results


def first_box(results: Results) -> tuple[b.Callout, list[str]]:
    page = make_book(results, ()).pages[0]
    box = next(block for block in page.blocks if isinstance(block, b.Callout))
    return box, [said(run) for run in box.body]


def said(words: b.Words) -> str:
    return "".join(part if isinstance(part, str) else getattr(part.text, "text", part.text) for part in words.parts)


def only(sample: ModuleType, *wanted: str) -> Results:
    """The hand-made results with only these findings in option A, and none in the other."""
    kept = tuple(f for f in sample.OPTION_A.findings if f.id in wanted)
    one = dataclasses.replace(sample.OPTION_A, findings=kept)
    two = dataclasses.replace(sample.OPTION_B, findings=(), acceptances=())
    made: Results = dataclasses.replace(sample.RESULTS, options=(one, two))
    return made


def test_accepted_danger_stands_on_the_first_page_with_who_and_why(sample: ModuleType) -> None:
    box, runs = first_box(only(sample, "return_smaller"))
    assert (box.title, box.tone) == (client.DANGER_ACCEPTED_TITLE, "danger")
    assert runs == [
        "Option A: Negative conductor smaller than its positive was accepted by A. Sample: it is replaced next winter"
    ]
    (link,) = [part for part in box.body[0].parts if isinstance(part, b.Link)]
    assert (link.page, link.anchor) == ("findings", "a.finding.1")


def test_danger_that_nobody_can_accept_is_open_and_says_so(sample: ModuleType) -> None:
    box, runs = first_box(only(sample, "breaking_capacity_low"))
    assert (box.title, box.tone) == (client.DANGER_TITLE, "danger")
    assert "has 1\N{NO-BREAK SPACE}danger" in runs[0] or "has 1 danger" in runs[0]
    assert runs[1] == (
        "Option A: B. Sample wants to accept Fuse cannot break the short-circuit current; nobody can. "
        "It must be mended."
    )


def test_open_refused_and_accepted_dangers_stand_in_one_box_the_open_first(sample: ModuleType) -> None:
    _, runs = first_box(only(sample, "positive_unfused", "breaking_capacity_low", "return_smaller"))
    assert len(runs) == 3
    assert "nobody has accepted" in runs[0]
    assert "nobody can" in runs[1]
    assert "was accepted by" in runs[2]


def test_nothing_accepted_and_nothing_open_is_good(sample: ModuleType) -> None:
    box, _ = first_box(only(sample))
    assert box.tone == "good"


def test_findings_page_lists_who_accepts_what_and_how_it_stands(sample: ModuleType) -> None:
    page = next(page for page in make_book(sample.RESULTS, ()).pages if page.id == "findings")
    tables = [block for block in page.blocks if isinstance(block, b.Table) and block.caption.endswith("by name")]
    assert tables[0].caption == "Option A: what somebody accepts by name"
    rows = [[said(cell) for cell in row.cells] for row in tables[0].rows]
    assert [row[2] for row in rows] == ["A. Sample", "B. Sample", "C. Sample", "C. Sample"]
    assert [row[4] for row in rows] == list(surveyor.ACCEPTANCE_STANDS.values())
    assert [row.tone for row in tables[0].rows] == ["plain", "danger", "plain", "plain"]
    found = [said(row.cells[3]) for t in page.blocks if isinstance(t, b.Table) for row in t.rows if len(row.cells) == 5]
    assert any("Accepted by A. Sample: it is replaced next winter" in text for text in found)
    assert any("B. Sample wants to accept this; nobody can" in text for text in found)


def test_listing_names_what_accepts_nothing_and_what_nobody_can_accept(sample: ModuleType) -> None:
    """An accepted finding says so in its own row; entries without one are told after the findings."""
    listed = " ".join(findings_listing(sample.RESULTS).split())
    for entry in sample.OPTION_A.acceptances:
        told = f"Accepted by {entry.name} for"
        stands = surveyor.ACCEPTANCE_STANDS[entry.outcome]
        assert (told in listed and stands in listed) == (entry.outcome != "accepted"), entry
    assert {e.outcome for e in sample.OPTION_A.acceptances} == {"accepted", "refused", "idle", "not_asked"}
