"""The stopwatch itself, with times that are told instead of taken."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.benchmarks.timing import Pair, Took, measure, run, table

PAIR = Pair("thing", ("ours",), ("floor",), 3.0, frozenset({0, 1}))


def test_the_ratio_is_that_of_the_medians_and_the_first_round_does_not_count() -> None:
    asked: list[str] = []
    times = {"ours": [100.0, 6.0, 7.0, 8.0], "floor": [100.0, 2.0, 2.5, 9.0]}

    def timed(command: Sequence[str], may_end_with: frozenset[int], folder: Path) -> Took:
        assert may_end_with == ({0, 1} if command == ("ours",) else {0})
        assert folder == Path("here")
        asked.append(command[0])
        clock_s = times[command[0]].pop(0)
        return Took(clock_s, clock_s * (2.0 if command == ("ours",) else 1.0))

    found = measure(PAIR, 3, Path("here"), timed)
    assert (found.ours_s, found.floor_s) == (7.0, 2.5)
    assert found.ratio == 2.8
    assert found.spread == (8 / 9, 3.0)
    assert found.processor_ratio == 5.6
    assert found.holds
    # Who comes first changes from round to round, so that a machine that slows down favours neither.
    assert [asked[i] for i in range(0, 8, 2)] == ["ours", "floor", "ours", "floor"]
    assert "| thing | 7.000 s | 2.500 s | 2.80 | 0.89 to 3.00 | 5.60 | ≤ 3.0 | yes |" in table([found])


def test_a_promise_that_is_broken_is_said() -> None:
    found = measure(PAIR, 2, Path(), lambda command, *_: Took({"ours": 3.1, "floor": 1.0}[command[0]], 1.0))
    assert not found.holds
    assert table([found]).endswith("| no |")


def test_a_command_that_fails_is_not_timed() -> None:
    assert run([sys.executable, "-c", "raise SystemExit(1)"], frozenset({0, 1}), Path()).clock_s > 0
    with pytest.raises(RuntimeError, match="ended with 1"):
        run([sys.executable, "-c", "raise SystemExit(1)"], frozenset({0}), Path())
