"""Prospective fault currents."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """A bolted fault between a node and its mate: I = U/R [A, V, Ω]; `feeds` are (source key, current in A)."""

    node: str
    mate: str
    current_a: float
    open_v: float
    resistance_ohm: float
    feeds: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Faults:
    """By node key."""

    by_node: dict[str, Fault]

    def at(self, node: str) -> float:
        """Prospective fault current at a node in A; 0 where nothing feeds it."""
        fault = self.by_node.get(node)
        return fault.current_a if fault is not None else 0.0
