"""Which way leads where: walks over one pole of a circuit, with a say over what may be passed."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from proposal.circuit.model import Bank, Circuit, Conductor, Pole, SeriesDevice

Branch = Conductor | SeriesDevice
Passes = Callable[[Branch], bool]
Ways = Mapping[str, Sequence[tuple[str, Branch]]]
"""By node: the other end and the branch that leads there."""


def ways(circuit: Circuit, pole: Pole) -> Ways:
    """All branches of a pole by the nodes that they touch."""
    beside: dict[str, list[tuple[str, Branch]]] = {}
    for branch in circuit.branches:
        if branch.pole == pole:
            beside.setdefault(branch.from_node, []).append((branch.to_node, branch))
            beside.setdefault(branch.to_node, []).append((branch.from_node, branch))
    return beside


def reach(by_node: Ways, start: str, passes: Passes) -> frozenset[str]:
    """Nodes joined to a start node by branches that may be passed, the start included."""
    seen, ahead = {start}, [start]
    while ahead:
        for node, branch in by_node.get(ahead.pop(), ()):
            if node not in seen and passes(branch):
                seen.add(node)
                ahead.append(node)
    return frozenset(seen)


def banks_at(circuit: Circuit, nodes: Iterable[str]) -> tuple[Bank, ...]:
    """Banks with a string whose positive post is among the nodes, in the order of the circuit."""
    here = set(nodes)
    keys = {battery.bank for battery in circuit.batteries if battery.positive in here}
    return tuple(bank for bank in circuit.banks if bank.key in keys)


def all_but(*keys: str) -> Passes:
    """Everything may be passed but branches of these keys."""
    closed = frozenset(keys)
    return lambda branch: branch.key not in closed


def enclosed(conductor: Conductor) -> bool:
    """In a sheath or conduit; conductors between the batteries of a bank lie in its box."""
    return conductor.sheathed or conductor.purpose == "string"


def enclosed_way(by_node: Ways, start: str, conductor: Conductor) -> bool:
    """Whether an unfused way from a battery post to a conductor, itself included, is enclosed all along."""

    def passes(branch: Branch) -> bool:
        if branch.key == conductor.key:
            return False
        return enclosed(branch) if isinstance(branch, Conductor) else branch.kind != "fuse"

    if not enclosed(conductor):
        return False
    here = reach(by_node, start, passes)
    return conductor.from_node in here or conductor.to_node in here
