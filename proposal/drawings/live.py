"""A scene's figures as a drawing needs them: the current of every branch, which way it flows, and what is idle."""

from typing import TYPE_CHECKING

from proposal.studies.network.case import NORMALLY_OPEN

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.studies.behaviour.result import Scene

IDLE_A = 0.1
"""Less than this is not written, and its branch is drawn as idle."""


class Live:
    """One scene on its circuit.

    `current_a` by conductor or device from its from-node to its to-node; by load what it takes, by source what it
    gives. What the scene does not state follows where all else at a node is known, by Kirchhoff's law of currents.
    """

    def __init__(self, circuit: "Circuit", scene: "Scene") -> None:
        self.circuit = circuit
        self.scene = scene
        self.volts = dict(scene.buses_v)
        self.share = dict(scene.banks_share)
        self.bank_a = dict(scene.banks_a)
        self.open = frozenset(scene.open_devices)
        self.current_a = {b.item: b.current_a for b in scene.branches} | dict(scene.sources_a)
        self._complete()

    def _complete(self) -> None:
        """Take nodes at which one branch alone is not known, until there is none left."""
        circuit, known = self.circuit, self.current_a
        fed = self._fed()
        touching = circuit.branches_at
        waiting = [node for node in touching if node in circuit.node and circuit.node[node].pole == "positive"]
        while waiting:
            again: list[str] = []
            for node in waiting:
                branches = [b for b in touching[node] if b.from_node != b.to_node]
                unknown = [b for b in branches if b.key not in known]
                if len(unknown) != 1 or node not in fed:
                    continue
                out = sum(known[b.key] if b.from_node == node else -known[b.key] for b in branches if b.key in known)
                left = fed[node] - out
                known[unknown[0].key] = left if unknown[0].from_node == node else -left
                again += [unknown[0].from_node, unknown[0].to_node]
            waiting = [node for node in dict.fromkeys(again) if node in touching]

    def _fed(self) -> dict[str, float]:
        """What end devices give to every node [A], of those nodes at which all of them are known."""
        circuit = self.circuit
        given: dict[str, list[float | None]] = {node.key: [] for node in circuit.nodes}
        for bank in circuit.banks:
            amps = self.bank_a.get(bank.key)
            alone = len(bank.strings) == 1
            for key in bank.strings:
                node = circuit.battery[key].positive
                given.setdefault(node, []).append(amps if alone else None)
        for source in circuit.sources:
            given.setdefault(source.positive, []).append(self.current_a.get(source.key))
        for load in circuit.loads:
            taken = self.current_a.get(load.key)
            given.setdefault(load.positive, []).append(None if taken is None else -taken)
        for converter in circuit.converters:
            given.setdefault(converter.in_positive, []).append(None)
            given.setdefault(converter.out_positive, []).append(None)
        if circuit.starter is not None:
            given.setdefault(circuit.starter.positive, []).append(0.0)
        for controller in circuit.controllers:
            given.setdefault(controller.supply, []).append(0.0)
            given.setdefault(controller.senses, []).append(0.0)
        return {node: sum(v for v in values if v is not None) for node, values in given.items() if None not in values}

    def load_a(self, key: str) -> float | None:
        """What a load takes [A]; None where neither it nor its conductor is known."""
        if key in self.current_a:
            return abs(self.current_a[key])
        at = self.circuit.branches_at.get(self.circuit.load[key].positive, ())
        return next((abs(self.current_a[b.key]) for b in at if b.key in self.current_a), None)

    def flows(self, key: str) -> bool:
        """Whether a branch, load or source carries a current worth writing."""
        return abs(self.current_a.get(key, 0.0)) > IDLE_A

    def idle(self, key: str) -> bool:
        """Whether it is known to carry none."""
        return key in self.current_a and not self.flows(key)

    def is_open(self, key: str) -> bool:
        """Whether a relay or hand switch is open in this scene."""
        return key in self.open or (key.rpartition(".")[2] == NORMALLY_OPEN and not self.flows(key))
