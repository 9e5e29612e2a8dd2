"""What a yard may cost: linear in its vessels, and next to nothing where nothing changed."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from tests.benchmarks.yard import Step, adopt_orphans, make_yard, measured

COUNTS = (500, 1000)


@pytest.mark.nightly
def test_a_thousand_vessels_cost_twice_as_much_as_half_of_them_and_nothing_where_nothing_changed(
    tmp_path: Path,
) -> None:
    adopt_orphans()
    steps: dict[int, dict[str, Step]] = {}
    for count in COUNTS:
        home = tmp_path / str(count)
        make_yard(home, count)
        steps[count] = measured(home, tmp_path / f"cache-{count}")
    few, many = (steps[count] for count in COUNTS)
    for name in ("from scratch", "one changed"):
        # processor time: the clock of a busy machine tells of its neighbours
        exponent = math.log(many[name].processor_s / few[name].processor_s, COUNTS[1] / COUNTS[0])
        assert exponent < 1.2, f"{name}: {few[name]} {many[name]}"
    assert "1 computed" in many["one changed"].said
    assert "nothing changed" in many["nothing changed"].said
    most_s = 0.1 * many["one build, no days"].processor_s + 0.003 * COUNTS[1]
    assert many["nothing changed"].processor_s < most_s
