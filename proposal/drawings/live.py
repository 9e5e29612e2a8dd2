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

    `current_a` by conductor or device from its from-node to its to-node, by source what it gives [A]; what a scene does
    not list carries nothing.
    """

    def __init__(self, circuit: "Circuit", scene: "Scene") -> None:
        self.circuit = circuit
        self.scene = scene
        self.volts = dict(scene.buses_v)
        self.share = dict(scene.banks_share)
        self.bank_a = dict(scene.banks_a)
        self.open = frozenset(scene.open_devices)
        self.current_a = {b.item: b.current_a for b in scene.branches} | dict(scene.sources_a)

    def load_a(self, key: str) -> float:
        """What a load takes [A]: its own figure, else that of the branch that ends at it."""
        if key in self.current_a:
            return abs(self.current_a[key])
        at = self.circuit.branches_at.get(self.circuit.load[key].positive, ())
        return sum(abs(self.current_a.get(b.key, 0.0)) for b in at[:1])

    def flows(self, key: str) -> bool:
        """Whether a branch, load or source carries a current worth writing."""
        return abs(self.current_a.get(key, 0.0)) > IDLE_A

    def converts(self, key: str) -> bool:
        """Whether current flows in a lead of a DC-DC charger."""
        return any(self.flows(c.key) for c in self.circuit.conductors if c.circuit == key)

    def is_open(self, key: str) -> bool:
        """Whether a relay or hand switch is open in this scene."""
        return key in self.open or (key.rpartition(".")[2] == NORMALLY_OPEN and not self.flows(key))
