"""The positive pole of a circuit as bars, the columns that hang from them, and ties: what a single-line sheet shows.

From each bus the conductors are walked through two-terminal devices to an end device (a column), to a bus not met
before (a child bar under its feeder) or to one already there (a tie).
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import count, permutations
from typing import TYPE_CHECKING

from proposal.drawings.net import Net, Step
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit


@frozen
class End:
    """What a column ends at: an end device's kind and key; `bar`; `to` or `from` (key: node of another bar); `open`."""

    kind: str
    key: str
    node: str


@dataclass(slots=True)
class Satellite:
    """A contactor's controller beside its contactor's column, with the leads that feed it and that it senses by."""

    key: str
    contactor: str
    supply: tuple[Step, ...]
    supply_from: str
    senses: tuple[Step, ...]
    senses_from: str
    pins: tuple[str, str]


@dataclass(slots=True, eq=False)
class Column:
    """A walk from a bar to its end; `bar` is the child bar at the end, if it is one."""

    start: str
    steps: tuple[Step, ...]
    end: End
    bar: "Bar | None" = None
    satellites: list[Satellite] = field(default_factory=list)
    uid: int = field(default_factory=count().__next__)

    def copy(self) -> "Column":
        """The same column with a child bar of its own to take columns from."""
        return self if self.bar is None else replace(self, bar=self.bar.copy())

    def holds_battery(self) -> bool:
        """Whether a battery stands anywhere below."""
        return self.end.kind == "battery" or (self.bar is not None and any(c.holds_battery() for c in self.bar.down))

    def nodes(self) -> tuple[str, ...]:
        """All nodes along the walk."""
        return (self.start, *(step.far for step in self.steps))


@dataclass(slots=True, eq=False)
class Bar:
    """A bus bar (or a joint of three and more conductors, then without a key of its own) and what hangs from it.

    `from_band` and `to_band` number the bands of drawing between which it is cut, 0 where it is not.
    """

    key: str
    node: str
    kind: str
    side: str
    up: list[Column] = field(default_factory=list)
    down: list[Column] = field(default_factory=list)
    band: int = 0
    from_band: int = 0
    to_band: int = 0

    def copy(self) -> "Bar":
        """The same bar with lists of its own."""
        return replace(self, up=list(self.up), down=[c.copy() for c in self.down])


@frozen
class Tie:
    """A walk from one root bar to its right-hand neighbour."""

    left: str
    right: str
    steps: tuple[Step, ...]


@frozen
class Plan:
    """Root bars from left to right, ties between neighbours, and the negative devices that batteries hang on."""

    roots: tuple[Bar, ...]
    ties: tuple[Tie, ...]


def _satellites(circuit: "Circuit", net: Net) -> list[Satellite]:
    found = []
    for c in circuit.controllers:
        supply, supply_from = net.back(c.supply)
        senses, senses_from = net.back(c.senses)
        found.append(Satellite(c.key, c.contactor, supply, supply_from, senses, senses_from, (c.supply, c.senses)))
    net.forget_used()
    return found


def _arms(net: Net, hub: str) -> list[Column]:
    """Columns from a hub: its own terminals first, then every walk that leaves it."""
    columns = [Column(hub, (), End(kind, key, hub)) for kind, key in net.terminals.get(hub, ())]
    for key in list(net.touching.get(hub, ())):
        if key in net.used:
            continue
        steps = net.walk(hub, key)
        node = steps[-1].far
        ends = net.terminals.get(node, [])
        if net.is_hub(node):
            columns.append(Column(hub, steps, End("bar", "", node)))
        elif ends:
            columns.append(Column(hub, steps, End(ends[0][0], ends[0][1], node)))
        else:
            columns.append(Column(hub, steps, End("open", "", node)))
    return columns


def _grow(net: Net, roots: list[Bar]) -> list[tuple[Bar, Column]]:
    """Breadth first from the roots: hang columns and child bars; return the walks that end at a bar already there."""
    met = {bar.node: bar for bar in roots}
    queue = deque(roots)
    closing: list[tuple[Bar, Column]] = []
    top = set(met)
    while queue:
        bar = queue.popleft()
        for column in _arms(net, bar.node):
            node = column.end.node
            if column.end.kind != "bar":
                (bar.up if bar.node in top and column.end.kind == "source" else bar.down).append(column)
            elif node in met:
                closing.append((bar, column))
            else:
                column.bar = _bar(net, node, bar.side)
                met[node] = column.bar
                bar.down.append(column)
                queue.append(column.bar)
    return closing


def _bar(net: Net, node: str, side: str) -> Bar:
    bus = net.bus_at.get(node)
    return Bar("", node, "joint", side) if bus is None else Bar(bus.key, node, bus.kind, bus.side)


def _order(roots: list[Bar], pairs: list[tuple[str, str]]) -> list[Bar]:
    """Start side first, then the order in which most ties join neighbours."""
    roots = sorted(roots, key=lambda bar: bar.side != "start")
    if len(roots) < 3 or len(roots) > 6:
        return roots

    def apart(order: Iterable[Bar]) -> int:
        at = {bar.node: i for i, bar in enumerate(order)}
        return sum(abs(at[a] - at[b]) > 1 for a, b in pairs if a in at and b in at)

    return list(min(permutations(roots), key=apart))


def plan(circuit: "Circuit") -> Plan:
    """Bars, columns and ties of the circuit's positive pole.

    Every positive conductor and device is in exactly one of them. Root bars: the main and start buses; whatever cannot
    be reached from them gets a root of its own.
    """
    net = Net(circuit)
    satellites = _satellites(circuit, net)
    roots = [_bar(net, b.positive, b.side) for b in circuit.buses if b.kind in ("main", "start")]
    if not roots and circuit.buses:
        roots = [_bar(net, circuit.buses[0].positive, circuit.buses[0].side)]
    roots.sort(key=lambda bar: bar.side != "house")
    closing = _grow(net, roots)
    for key in net.edges:
        if key in net.used:
            continue
        nodes = net.edges[key][1:]
        island = _bar(net, next((n for n in nodes if net.is_hub(n)), nodes[0]), "house")
        roots.append(island)
        closing += _grow(net, [island])
    ordered = _order(roots, [(bar.node, column.end.node) for bar, column in closing])
    ties = _close(ordered, closing)
    _attach(ordered, satellites)
    for bar in ordered:
        _sort(bar)
    return Plan(tuple(ordered), ties)


def _close(roots: list[Bar], closing: list[tuple[Bar, Column]]) -> tuple[Tie, ...]:
    """Ties between neighbours; any other closing walk becomes a column that ends at a mark, with one at the far bar."""
    place = {bar.node: i for i, bar in enumerate(roots)}
    bars = {bar.node: bar for bar in all_bars(roots)}
    ties = []
    for bar, column in closing:
        a, b = place.get(bar.node), place.get(column.end.node)
        if a is None or b is None or abs(a - b) != 1:
            refer(bar, bars[column.end.node], column.steps)
        elif a < b:
            ties.append(Tie(bar.node, column.end.node, column.steps))
        else:
            turned = tuple(s.turned() for s in reversed(column.steps))
            ties.append(Tie(column.end.node, bar.node, turned))
    return tuple(ties)


def refer(near: Bar, far: Bar, steps: tuple[Step, ...]) -> None:
    """Draw a walk between two bars as a column of the near one that says where it goes, and a mark at the far one."""
    near.down.append(Column(near.node, steps, End("to", far.node, far.node)))
    far.down.append(Column(far.node, (), End("from", near.node, far.node)))


def all_bars(bars: Iterable[Bar]) -> list[Bar]:
    """The bars and all their child bars."""
    found = []
    for bar in bars:
        found.append(bar)
        found += all_bars([c.bar for c in bar.down if c.bar is not None])
    return found


def walk_columns(bars: Iterable[Bar]) -> list[tuple[Bar, Column]]:
    """Every column of the bars and of their child bars, with the bar it hangs from."""
    return [(bar, column) for bar in all_bars(bars) for column in (*bar.up, *bar.down)]


def _attach(roots: list[Bar], satellites: list[Satellite]) -> None:
    """Each controller to the column of its contactor where its leads tap that column; else as columns of its own."""
    columns = walk_columns(roots)
    for satellite in satellites:
        home = next(
            (c for _, c in columns if any(s.key == satellite.contactor for s in c.steps) and not c.satellites), None
        )
        if home is not None:
            nodes = home.nodes()
            at = next(i for i, s in enumerate(home.steps) if s.key == satellite.contactor)
            if satellite.supply_from in nodes[: at + 1] and satellite.senses_from in nodes[at + 1 :]:
                home.satellites.append(satellite)
                continue
        supply, senses = satellite.pins
        feeding = Column(satellite.supply_from, satellite.supply, End("controller", satellite.key, supply))
        sensing = Column(satellite.senses_from, satellite.senses, End("to", satellite.key, senses))
        for column in (feeding, sensing):
            bar = next((b for b in all_bars(roots) if b.node == column.start), None)
            if bar is None:
                bar = Bar("", column.start, "tap", "house")
                roots.append(bar)
            bar.down.append(column)


_RANK = {"battery": 0, "bar": 3, "starter": 1, "load": 2, "source": 2}


def _sort(bar: Bar) -> None:
    """Storage outermost, then the starter, loads, panels, the rest; the spec's order within each."""
    bar.down.sort(key=lambda c: 0 if c.holds_battery() else _RANK.get(c.end.kind, 4))
    for column in bar.down:
        if column.bar is not None:
            _sort(column.bar)
