"""Branches that are the only way between two parts of a circuit, and what gives current on either side of each."""

from collections.abc import Mapping, Sequence
from typing import Literal

Edge = tuple[str, str, str, float]
"""Other node, branch key, branch kind, conductor length in m."""
Giver = tuple[Literal["battery", "source"], str]
Giving = dict[str, list[Giver]]
"""Kind and key of what stands on each node and gives current."""
Sides = dict[tuple[str, str], list[Giver]]
"""What gives current beyond a branch, by its key and the node on its far side."""


def sides(beside: Mapping[str, Sequence[Edge]], giving: Mapping[str, Sequence[Giver]]) -> Sides:
    """For each branch without which its two ends would not hang together: what gives current beyond it.

    By branch key and the node on its far side. One walk in depth: a branch is the only way where nothing beyond it
    leads back to before it (lowest place reached > place of its near end). Source: graph theory.
    """
    found: Sides = {}
    place: dict[str, int] = {}
    for start in beside:
        if start not in place:
            found |= _from(start, beside, giving, place)
    return found


def _from(
    start: str, beside: Mapping[str, Sequence[Edge]], giving: Mapping[str, Sequence[Giver]], place: dict[str, int]
) -> Sides:
    """All that hangs together with a node; `place` in the order of the walk is added to."""
    lowest: dict[str, int] = {}
    here: list[Giver] = []
    before: dict[str, int] = {}
    alone: list[tuple[str, str, str, int, int]] = []
    path: list[tuple[str, str, str, int]] = []

    def enter(node: str, came_from: str, by: str) -> None:
        lowest[node] = place[node] = len(place)
        before[node] = len(here)
        here.extend(giving.get(node, ()))
        path.append((node, came_from, by, 0))

    enter(start, "", "")
    while path:
        node, came_from, by, tried = path.pop()
        ways = beside[node]
        if tried < len(ways):
            path.append((node, came_from, by, tried + 1))
            other, key = ways[tried][0], ways[tried][1]
            if key == by:
                continue
            if other in place:
                lowest[node] = min(lowest[node], place[other])
            else:
                enter(other, node, key)
        elif came_from:
            lowest[came_from] = min(lowest[came_from], lowest[node])
            if lowest[node] > place[came_from]:
                alone.append((by, came_from, node, before[node], len(here)))
    return {
        side: givers
        for by, near, far, first, last in alone
        for side, givers in (((by, far), here[first:last]), ((by, near), here[:first] + here[last:]))
    }
