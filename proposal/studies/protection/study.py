"""Walks from each positive conductor's ends to what can feed it."""

from proposal.circuit.model import Circuit
from proposal.studies.protection.bridges import Edge, Giver, Giving, sides
from proposal.studies.protection.result import Feed, Feeds


def feeds(circuit: Circuit) -> dict[str, Feeds]:
    """For each positive conductor, what feeds it from either end.

    A walk passes batteries and charge sources, which it counts, and stops at a fuse behind which one lies. Switches and
    relays count as closed. By conductor key.
    """
    ways = _ways(circuit)
    return {
        c.key: Feeds(*(ways.walk(end, c.key) for end in (c.from_node, c.to_node)))
        for c in circuit.conductors
        if c.pole == "positive"
    }


def feeds_of_fuses(circuit: Circuit) -> dict[str, tuple[Feed, ...]]:
    """For each fuse, what feeds it from its own source side, away from the conductor that it guards. By fuse key.

    Fuses on one bus are fed alike, so each node is walked from once.
    """
    ways = _ways(circuit)
    fuses = [d for d in circuit.devices if d.kind == "fuse" and d.pole == "positive"]
    found = {node: ways.walk(node, "") for node in dict.fromkeys(d.from_node for d in fuses)}
    return {d.key: tuple(feed for feed in found[d.from_node] if feed.key != d.key) for d in fuses}


def _ways(circuit: Circuit) -> "_Ways":
    found = circuit.memo.get(_Ways)
    if not isinstance(found, _Ways):
        found = circuit.memo[_Ways] = _Ways(circuit)
    return found


class _Ways:
    """Branches beside each positive node, what gives current there, and how much the limited ones give [A]."""

    def __init__(self, circuit: Circuit) -> None:
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
        self.beside, self.giving, self.alone, self.giving_a = beside, giving, alone, amps

    def walk(self, start: str, without: str) -> tuple[Feed, ...]:
        """Breadth first from a conductor's end, nearest first."""
        found: list[Feed] = []
        seen, ahead = {start}, [(start, 0.0)]
        for node, distance_m in ahead:
            for giver_kind, giver in self.giving.get(node, ()):
                limited_a = self.giving_a.get(giver) if giver_kind == "source" else None
                found.append(Feed(giver_kind, giver, distance_m, limited_a))
            for other, key, kind, length_m in self.beside.get(node, ()):
                if key == without or other in seen:
                    continue
                if kind == "fuse":
                    # behind most fuses there is one way only, so that what lies there is known already
                    behind = self.alone.get((key, other))
                    if behind is None:
                        behind = _behind(self.beside, self.giving, other, {key, without}, seen)
                    if behind:
                        limited = all(kind == "source" for kind, _ in behind)
                        amps = sum(self.giving_a.get(source, 0.0) for _, source in behind) if limited else None
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
