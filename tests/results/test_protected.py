from __future__ import annotations

from pathlib import Path

from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project

PROJECTS = Path(__file__).parents[2] / "projects"


def test_a_guarded_conductor_has_the_outcome_that_its_fuse_is_ruled_by() -> None:
    """The ruling of a fuse is that on its worst conductor, so no conductor of it stands worse, and one stands so."""
    ranks = ("fails", "undecided", "passes")
    seen = set()
    for vessel in ("marram", "dunlin"):
        for option in evaluate(load_project(PROJECTS / vessel), {}, "a test").results.options:
            for fuse in option.protection:
                ruled = [r.outcome for r in fuse.rulings if r.demand == "far_end"]
                if not ruled or not fuse.guarded:
                    continue
                outcomes = [g.outcome for g in fuse.guarded]
                assert min(outcomes, key=ranks.index) == ruled[0], fuse.key
                assert all((g.wanting != "") == (g.outcome == "undecided") for g in fuse.guarded), fuse.key
                seen |= set(outcomes)
    assert {"passes", "undecided"} <= seen
