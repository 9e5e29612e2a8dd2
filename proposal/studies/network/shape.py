"""How the nodes of a network hang together: a trunk that must be solved, and limbs along which a current has one way.

A limb is a chain of branches that ends nowhere, or in one pin of one load or source. What flows in it is what that pin
takes, so it needs no equation: only the trunk, which grows with banks, links and panels and not with loads, does.
"""

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from proposal.frozen import frozen

Array = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]
Pair = tuple[str, str]


@frozen
class Shape:
    """Topology of a network by the numbers of its nodes, the reference among them.

    `row`: by node, the trunk's row that it is or hangs on, `size` for the reference; `tip`: by node, the last node of
    its limb (a trunk node: itself). `levels`: for each step outward on the limbs, nodes, the nodes before them, and the
    branches between. `trunk`: numbers of the branches in the trunk. `starts`, `ends`: nodes of each branch;
    `positive`, `negative`: nodes of each battery; `places`: where trunk branches and batteries stand in the matrix.
    """

    index: dict[str, int]
    size: int
    row: Numbers
    tip: Numbers
    levels: tuple[tuple[Numbers, Numbers, Numbers], ...]
    trunk: Numbers
    starts: Numbers
    ends: Numbers
    positive: Numbers
    negative: Numbers
    places: Numbers

    def limb_ohm(self, branch_ohm: Array) -> Array:
        """Resistance of each node's own way to the trunk [Ω]: zero in the trunk."""
        found = np.zeros(len(self.row))
        for nodes, before, branches in self.levels:
            found[nodes] = found[before] + branch_ohm[branches]
        return found

    def rows(self, nodes: Iterable[str]) -> Numbers:
        """Numbers of nodes by name."""
        return np.array([self.index[node] for node in nodes], dtype=np.intp)


def places_of(size: int, one: Numbers, other: Numbers) -> Numbers:
    """Where conductances between rows stand in a matrix of size + 1 rows and columns, the last for the reference."""
    wide = size + 1
    return np.concatenate([one * wide + one, other * wide + other, one * wide + other, other * wide + one])


def stamped(size: int, places: Numbers, siemens: Array) -> Array:
    """The matrix [S] of conductances at places, without the reference's row and column."""
    weights = np.concatenate([siemens, siemens, -siemens, -siemens])
    wide = size + 1
    made = np.bincount(places, weights, wide * wide).astype(np.float64)
    return np.asarray(made.reshape(wide, wide)[:size, :size])


def entering(count: int, positive: Numbers, negative: Numbers, current_a: Array) -> Array:
    """Sum of the currents [A] into each of some rows or nodes that leave at others."""
    into, out = np.bincount(positive, current_a, count), np.bincount(negative, current_a, count)
    return np.asarray(into - out, dtype=np.float64)


def shape_of(
    nodes: Sequence[str], reference: str, branches: Sequence[Pair], batteries: Sequence[Pair], pins: Iterable[str]
) -> Shape:
    """The shape of a network whose nodes all hang together. `pins`: ends of everything that can be a port, repeated."""
    index = {node: number for number, node in enumerate(nodes)}
    ways: list[list[tuple[int, int]]] = [[] for _ in nodes]
    starts = [index[one] for one, _ in branches]
    ends = [index[other] for _, other in branches]
    for branch, (one, other) in enumerate(zip(starts, ends, strict=True)):
        ways[one].append((other, branch))
        ways[other].append((one, branch))
    fixed = _fixed(index, ways, reference, batteries, pins)
    limbs = _limbs(ways, fixed)
    row, tip = [-1] * len(nodes), list(range(len(nodes)))
    hanging = {node for limb in limbs for node, _ in limb[1]}
    trunk = [n for n in range(len(nodes)) if n not in hanging and n != index[reference]]
    for number, node in enumerate(trunk):
        row[node] = number
    row[index[reference]] = len(trunk)
    steps: dict[int, list[tuple[int, int, int]]] = {}
    for root, chain in limbs:
        before = root
        for depth, (node, branch) in enumerate(chain):
            row[node], tip[node] = row[root], chain[-1][0]
            steps.setdefault(depth, []).append((node, before, branch))
            before = node
    within = [b for b in range(len(branches)) if starts[b] not in hanging and ends[b] not in hanging]
    rows = np.array(row, dtype=np.intp)
    starting, ending = np.array(starts, dtype=np.intp), np.array(ends, dtype=np.intp)
    positive = np.array([index[one] for one, _ in batteries], dtype=np.intp)
    negative = np.array([index[other] for _, other in batteries], dtype=np.intp)
    held = np.array(within, dtype=np.intp)
    one_end = rows[np.concatenate([starting[held], positive])]
    other_end = rows[np.concatenate([ending[held], negative])]
    return Shape(
        index,
        len(trunk),
        rows,
        np.array(tip, dtype=np.intp),
        tuple(_columns(steps[depth]) for depth in sorted(steps)),
        held,
        starting,
        ending,
        positive,
        negative,
        places_of(len(trunk), one_end, other_end),
    )


def _columns(steps: list[tuple[int, int, int]]) -> tuple[Numbers, Numbers, Numbers]:
    nodes, before, branches = np.array(steps, dtype=np.intp).T
    return nodes, before, branches


def _fixed(
    index: dict[str, int],
    ways: list[list[tuple[int, int]]],
    reference: str,
    batteries: Sequence[Pair],
    pins: Iterable[str],
) -> set[int]:
    """Nodes of the trunk whatever hangs on them: reference, battery posts, pins within a chain, shared pins."""
    fixed = {index[reference]} | {index[node] for pair in batteries for node in pair}
    count: dict[int, int] = {}
    for pin in pins:
        if pin in index:
            count[index[pin]] = count.get(index[pin], 0) + 1
    return fixed | {node for node, times in count.items() if times > 1 or len(ways[node]) > 1}


def _limbs(ways: list[list[tuple[int, int]]], fixed: set[int]) -> list[tuple[int, list[tuple[int, int]]]]:
    """Each limb: the trunk's node on which it hangs, then its nodes outward with the branch that leads to each."""
    limbs = []
    for tip, beside in enumerate(ways):
        if len(beside) != 1 or tip in fixed:
            continue
        inward, (node, branch) = [(tip, beside[0][1])], beside[0]
        while len(ways[node]) == 2 and node not in fixed:
            onward = next(way for way in ways[node] if way[1] != branch)
            inward.append((node, onward[1]))
            node, branch = onward
        limbs.append((node, inward[::-1]))
    return limbs
