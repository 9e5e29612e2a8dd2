"""Which nodes of the positive pole hang together while some devices are open. Topology only."""

from proposal.circuit.model import Circuit

Beside = dict[str, list[tuple[str, str]]]


def reached(circuit: Circuit, start: str, opened: frozenset[str]) -> frozenset[str]:
    """Positive nodes joined to a start node, it included, while devices of these keys are open."""
    memo = (reached, start, opened)
    found = circuit.memo.get(memo)
    if found is None:
        found = circuit.memo[memo] = _walk(_beside(circuit), start, opened)
    return frozenset(found)


def _beside(circuit: Circuit) -> Beside:
    found = circuit.memo.get("positive beside")
    if found is None:
        found = {}
        for branch in circuit.branches:
            if branch.pole == "positive":
                found.setdefault(branch.from_node, []).append((branch.to_node, branch.key))
                found.setdefault(branch.to_node, []).append((branch.from_node, branch.key))
        circuit.memo["positive beside"] = found
    return dict(found)


def _walk(beside: Beside, start: str, opened: frozenset[str]) -> frozenset[str]:
    seen, ahead = {start}, [start]
    while ahead:
        for node, key in beside.get(ahead.pop(), ()):
            if node not in seen and key not in opened:
                seen.add(node)
                ahead.append(node)
    return frozenset(seen)
