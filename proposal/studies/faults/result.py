"""Prospective fault currents."""

from proposal.frozen import frozen


@frozen
class Fault:
    """A bolted fault between a node and its mate: I = U/R [A, V, Ω]; `feeds` are (source key, current in A)."""

    node: str
    mate: str
    current_a: float
    open_v: float
    resistance_ohm: float
    feeds: tuple[tuple[str, float], ...]


@frozen
class Faults:
    """By node key."""

    by_node: dict[str, Fault]

    def at(self, node: str) -> float:
        """Prospective fault current at a node in A; 0 where nothing feeds it."""
        fault = self.by_node.get(node)
        return fault.current_a if fault is not None else 0.0


@frozen
class StandardFault:
    """The same fault by the battery clause of IEC 61660-1 (from memory): first peak, and what it falls to [A]."""

    node: str
    peak_a: float
    quasi_steady_a: float


@frozen
class LeastFault:
    """The least current that a fuse sees of a fault at the far end of a conductor that it guards.

    `node` is that far end, `bank` the one that feeds the fault alone. `current_a` is the whole fault current,
    `through_fuse_a` what of it flows through the fuse, always towards the fault [A].
    """

    conductor: str
    node: str
    fuse: str
    current_a: float
    through_fuse_a: float
    bank: str


@frozen
class LeastFaults:
    """Least fault currents: `by_node` (bank that feeds it alone, current in A), and as each guarding fuse sees them."""

    by_node: dict[str, tuple[str, float]]
    seen: tuple[LeastFault, ...]

    def at(self, node: str) -> float | None:
        """Least fault current at a node in A; None where no bank feeds it alone."""
        found = self.by_node.get(node)
        return found[1] if found is not None else None

    def of_fuse(self, fuse: str) -> tuple[LeastFault, ...]:
        """What a fuse sees, one for each conductor that it guards."""
        return tuple(least for least in self.seen if least.fuse == fuse)

    def of_conductor(self, conductor: str) -> tuple[LeastFault, ...]:
        """What the fuses that guard a conductor see."""
        return tuple(least for least in self.seen if least.conductor == conductor)
