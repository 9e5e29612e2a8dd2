"""One pole of a circuit as a graph that can be walked: conductors, devices and converters between nodes."""

from typing import TYPE_CHECKING

from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Bus, Circuit


@frozen
class Step:
    """A conductor or series device as it is met on a walk, from the node nearer the start to the one further off.

    `beside` are devices in parallel with it, between the same two nodes.
    """

    kind: str
    key: str
    near: str
    far: str
    beside: tuple["Step", ...] = ()

    def turned(self) -> "Step":
        """The same step met from the other end."""
        return Step(self.kind, self.key, self.far, self.near, tuple(s.turned() for s in self.beside))


_LEADING = ("vsr", "dc_dc", "contactor", "fuse", "switch", "shunt")


def _parallel(edges: dict[str, tuple[str, str, str]]) -> dict[str, list[tuple[str, str]]]:
    """Take out devices in parallel with another; return (key, kind) of them by the other's key."""
    pairs: dict[frozenset[str], list[str]] = {}
    for key, (kind, a, b) in edges.items():
        if kind != "conductor" and a != b:
            pairs.setdefault(frozenset((a, b)), []).append(key)
    beside: dict[str, list[tuple[str, str]]] = {}
    for keys in pairs.values():
        keys.sort(key=lambda key: _LEADING.index(edges[key][0]) if edges[key][0] in _LEADING else len(_LEADING))
        for key in keys[1:]:
            beside.setdefault(keys[0], []).append((key, edges.pop(key)[0]))
    return beside


class Net:
    """The positive pole as a graph of conductors, devices and converters, and the terminals on its nodes."""

    def __init__(self, circuit: "Circuit", pole: str = "positive") -> None:
        self.edges: dict[str, tuple[str, str, str]] = {}
        for c in circuit.conductors:
            if c.pole == pole:
                self.edges[c.key] = ("conductor", c.from_node, c.to_node)
        for d in circuit.devices:
            if d.pole == pole:
                self.edges[d.key] = (d.kind, d.from_node, d.to_node)
        self.terminals: dict[str, list[tuple[str, str]]] = {}
        if pole == "positive":
            for v in circuit.converters:
                self.edges[v.key] = ("dc_dc", v.in_positive, v.out_positive)
            for kind, ends in (("battery", circuit.batteries), ("load", circuit.loads), ("source", circuit.sources)):
                for e in ends:
                    self.terminals.setdefault(e.positive, []).append((kind, e.key))
            if circuit.starter is not None:
                self.terminals.setdefault(circuit.starter.positive, []).append(("starter", circuit.starter.key))
        self.beside = _parallel(self.edges)
        self.touching: dict[str, list[str]] = {}
        for key, (_, a, b) in self.edges.items():
            for node in dict.fromkeys((a, b)):
                self.touching.setdefault(node, []).append(key)
        self.bus_at: dict[str, Bus] = {}
        for bus in circuit.buses:
            self.bus_at.setdefault(bus.positive if pole == "positive" else bus.negative, bus)
        self.used: set[str] = set()

    def step(self, key: str, near: str) -> Step:
        """The edge as a step that starts at `near`."""
        kind, a, b = self.edges[key]
        far = b if near == a else a
        return Step(kind, key, near, far, tuple(Step(k, e, near, far) for e, k in self.beside.get(key, ())))

    def free(self, node: str) -> list[str]:
        """Edges at the node that no walk has taken yet."""
        return [key for key in self.touching.get(node, ()) if key not in self.used]

    def is_hub(self, node: str) -> bool:
        """A bus, or a joint at which more than two things meet."""
        return node in self.bus_at or len(self.touching.get(node, ())) + len(self.terminals.get(node, ())) > 2

    def walk(self, node: str, key: str) -> tuple[Step, ...]:
        """Steps from a node over an edge to the next hub, terminal or dead end; marks them as used."""
        steps: list[Step] = []
        while True:
            step = self.step(key, node)
            self.used.add(key)
            steps.append(step)
            node = step.far
            onward = self.free(node)
            if self.is_hub(node) or self.terminals.get(node) or len(onward) != 1:
                return tuple(steps)
            key = onward[0]

    def back(self, pin: str) -> tuple[tuple[Step, ...], str]:
        """From a controller's pin back to where its lead is tapped; steps run from the tap to the pin."""
        steps: list[Step] = []
        node = pin
        while node not in self.bus_at and not self.terminals.get(node):
            onward = self.free(node)
            if len(onward) != 1:
                break
            self.used.add(onward[0])
            step = self.step(onward[0], node)
            steps.append(step.turned())
            node = step.far
        return tuple(reversed(steps)), node

    def forget_used(self) -> None:
        """Take the edges used so far out of the graph."""
        for key in self.used:
            for node in self.edges[key][1:]:
                self.touching[node] = [k for k in self.touching[node] if k != key]
