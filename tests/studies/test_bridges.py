"""What lies beyond a branch that is the only way, against a walk from either of its ends with the branch taken out."""

from __future__ import annotations

import random

import pytest

from proposal.studies.protection.bridges import Edge, Giving, sides


def any_graph(seed: int) -> tuple[list[tuple[str, str, str]], Giving]:
    rng = random.Random(seed)  # noqa: S311 - test data
    nodes = [f"n{n}" for n in range(rng.randint(2, 14))]
    branches = [(rng.choice(nodes[:n]), nodes[n], f"t{n}") for n in range(1, len(nodes)) if rng.random() < 0.9]
    branches += [(*rng.sample(nodes, 2), f"r{n}") for n in range(rng.randint(0, 4))]
    giving: Giving = {}
    for number in range(rng.randint(0, 6)):
        giving.setdefault(rng.choice(nodes), []).append((rng.choice(("battery", "source")), f"g{number}"))
    return branches, giving


def by_node(branches: list[tuple[str, str, str]]) -> dict[str, list[Edge]]:
    beside: dict[str, list[Edge]] = {}
    for one, other, key in branches:
        beside.setdefault(one, []).append((other, key, "fuse", 0.0))
        beside.setdefault(other, []).append((one, key, "fuse", 0.0))
    return beside


def reached(branches: list[tuple[str, str, str]], start: str, without: str) -> set[str]:
    seen = {start}
    while True:
        more = {n for one, other, key in branches if key != without and {one, other} & seen for n in (one, other)}
        if more <= seen:
            return seen
        seen |= more


@pytest.mark.parametrize("seed", range(200))
def test_only_ways_and_what_gives_beyond_them(seed: int) -> None:
    branches, giving = any_graph(seed)
    found = sides(by_node(branches), giving)
    expected = {}
    for one, other, key in branches:
        if other not in reached(branches, one, key):
            for far in (one, other):
                beyond = reached(branches, far, key)
                expected[key, far] = sorted(g for node in beyond for g in giving.get(node, ()))
    assert {side: sorted(givers) for side, givers in found.items()} == expected
