"""Walks from each positive conductor's ends to what can feed it."""

from proposal.circuit.model import Circuit
from proposal.studies.protection.bridges import Edge, Giver, Giving, Sides, sides
from proposal.studies.protection.result import Feed, Feeds


def feeds(circuit: Circuit) -> dict[str, Feeds]:
    """For each positive conductor, what feeds it from either end.

    A walk passes batteries and charge sources, which it counts, and stops at a fuse behind which one lies. Switches and
    relays count as closed. By conductor key.
    """
    beside: dict[str, list[Edge]] = {}
    branches = [
        (c.from_node, c.to_node, c.key, "conductor", c.length_m) for c in circuit.conductors if c.pole == "positive"
    ]
    branches += [(d.from_node, d.to_node, d.key, d.kind, 0.0) for d in circuit.devices if d.pole == "positive"]
    for one, other, key, kind, length_m in branches:
        beside.setdefault(one, []).append((other, key, kind, length_m))
        beside.setdefault(other, []).append((one, key, kind, length_m))
    giving: Giving = {}
    for battery in circuit.batteries:
        giving.setdefault(battery.positive, []).append(("battery", battery.key))
    for source in circuit.sources:
        giving.setdefault(source.positive, []).append(("source", source.key))
    for converter in circuit.converters:
        giving.setdefault(converter.out_positive, []).append(("source", converter.key))
    alone = sides(beside, giving)
    amps = {s.key: s.rated_a for s in circuit.sources} | {k.key: k.output_a for k in circuit.converters}
    return {
        c.key: Feeds(*(_walk(beside, giving, alone, amps, end, c.key) for end in (c.from_node, c.to_node)))
        for c in circuit.conductors
        if c.pole == "positive"
    }


def _walk(
    beside: dict[str, list[Edge]],
    giving: Giving,
    alone: Sides,
    giving_a: dict[str, float],
    start: str,
    without: str,
) -> tuple[Feed, ...]:
    """Breadth first from a conductor's end, nearest first."""
    found: list[Feed] = []
    seen, ahead = {start}, [(start, 0.0)]
    for node, distance_m in ahead:
        for giver_kind, giver in giving.get(node, ()):
            limited_a = giving_a.get(giver) if giver_kind == "source" else None
            found.append(Feed(giver_kind, giver, distance_m, limited_a))
        for other, key, kind, length_m in beside.get(node, ()):
            if key == without or other in seen:
                continue
            if kind == "fuse":
                # behind most fuses there is one way only, so that what lies there is known already
                behind = alone.get((key, other))
                if behind is None:
                    behind = _behind(beside, giving, other, {key, without}, seen)
                if behind:
                    limited = all(kind == "source" for kind, _ in behind)
                    amps = sum(giving_a.get(source, 0.0) for _, source in behind) if limited else None
                    found.append(Feed("fuse", key, distance_m, amps))
                continue
            seen.add(other)
            ahead.append((other, distance_m + length_m))
    return tuple(found)


def _behind(
    beside: dict[str, list[Edge]], giving: Giving, start: str, without: set[str], behind: set[str]
) -> list[Giver]:
    """What beyond a fuse can feed back through it, not counting ways through this side of it."""
    found: list[Giver] = []
    seen, ahead = {start} | behind, [start]
    while ahead:
        node = ahead.pop()
        found += giving.get(node, ())
        for other, key, _, _ in beside.get(node, ()):
            if key not in without and other not in seen:
                seen.add(other)
                ahead.append(other)
    return found
