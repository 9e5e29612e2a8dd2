"""What the report on the kernel says of its figures; the figures themselves are measured, never tested."""

from __future__ import annotations

from dataclasses import replace

from tests.benchmarks.kernel import Speeds, exponent, table

FOUND = Speeds(
    1000.0, 2000.0, 10.0, 1.0, 0.25, ("in haste", "exact"), 1.9, 1.0, True, True,
    {1: 0.1, 2: 0.2, 4: 0.4}, {2: 1.0, 4: 2.0, 8: 4.0}, {"turns of the iteration": 3.0},
)  # fmt: skip


def test_linear_cost_has_exponent_one() -> None:
    assert abs(exponent(FOUND.by_days) - 1.0) < 1e-12
    assert abs(exponent({1: 1.0, 2: 4.0}) - 2.0) < 1e-12


def test_each_promise_counts() -> None:
    assert FOUND.holds
    for broken in ({"located": 899.0}, {"threads": 1.7}, {"identical": False}, {"agree": False},
                   {"by_days": {1: 1.0, 2: 3.0}}):  # fmt: skip
        assert not replace(FOUND, **broken).holds


def test_the_table_says_how_far_it_goes() -> None:
    said = table(FOUND)
    assert "| compiled, switchings located | 1000 | 1000 | ≥ 900 |" in said
    assert "40 % of the 2500 aimed at" in said
    assert "NOT" not in said
    assert "NOT the same bytes" in table(replace(FOUND, identical=False))
