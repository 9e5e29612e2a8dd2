"""The cost of evaluating grows nearly with the number of loads, and the fit that says so can tell."""

from __future__ import annotations

from pathlib import Path

import pytest

from proposal.results.evaluate import evaluate
from tests.benchmarks.growth import LARGEST_EXPONENT, Growth, measure_growth, project_with, table


@pytest.mark.parametrize("exponent", [1.0, 1.2, 3.0])
def test_the_fit_finds_the_exponent_of_a_power(exponent: float) -> None:
    grown = Growth({n: 0.003 * n**exponent for n in (10, 20, 40, 80, 150, 300)})
    assert grown.exponent == pytest.approx(exponent, rel=1e-12)
    assert f"| {exponent:.2f} | ≤ 1.2 |" in table(grown)


def test_a_vessel_has_as_many_loads_as_asked_for(tmp_path: Path) -> None:
    results = evaluate(project_with(30, tmp_path), {}, "a test").results
    for option in results.options:
        assert len(option.loads) == 30
        assert all(case.solved for case in option.cases)


@pytest.mark.slow
def test_evaluating_ten_to_three_hundred_loads_grows_with_an_exponent_of_at_most_one_point_two(tmp_path: Path) -> None:
    grown = measure_growth(tmp_path, rounds=2)
    assert grown.exponent <= LARGEST_EXPONENT, table(grown)
