"""Letters of options."""

from __future__ import annotations

from proposal.results.letters import letter_of


def test_letters_go_on_after_z() -> None:
    assert [letter_of(n) for n in (0, 1, 25, 26, 27, 52)] == ["A", "B", "Z", "AA", "AB", "BA"]
