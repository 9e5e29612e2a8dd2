"""The reduced network of one case and its solution. Frozen; units in the names."""

from dataclasses import field
from typing import Any, Literal

from proposal.frozen import frozen

Temperatures = Literal["hot", "cold", "20", "limit"]
"""Conductors and batteries at the hottest or coldest of their place; conductors at 20 °C, batteries warm; or conductors
at their insulation's limit and batteries at the coldest: what makes a fault current least."""
Law = Literal["current", "power", "charger", "bound"]


@frozen
class Resistor:
    """A conductor or series device of the network, with the temperature at which its resistance was taken."""

    key: str
    from_node: str
    to_node: str
    resistance_ohm: float
    temperature_c: float


@frozen
class Emf:
    """A battery string: a voltage behind a resistance, i = max((emf_v − U)/resistance_ohm, −accepts_a).

    `accepts_a` is the most that it takes while it is charged; None: no bound.
    """

    key: str
    positive: str
    negative: str
    emf_v: float
    resistance_ohm: float
    accepts_a: float | None = None


@frozen
class Port:
    """A load or charge source, or a bound on a battery while a network is being solved.

    law "current" takes current_a (negative: gives); "power" takes power_w; "charger" gives min(current_a,
    (set_v − U)/droop_ohm), never below 0; "bound" gives back what its battery (set_v behind droop_ohm) would take
    above current_a.
    """

    key: str
    positive: str
    negative: str
    law: Law
    current_a: float = 0.0
    power_w: float = 0.0
    set_v: float = 0.0
    droop_ohm: float = 1.0


@frozen
class Network:
    """What is left of a circuit in one case: only what is joined to the reference through a closed path."""

    case: str
    temperatures: Temperatures
    reference: str
    nodes: tuple[str, ...]
    dead: tuple[str, ...]
    resistors: tuple[Resistor, ...]
    emfs: tuple[Emf, ...]
    ports: tuple[Port, ...]
    open_relays: tuple[str, ...]


@frozen
class Solution:
    """Node voltages [V] against the reference, branch currents [A] from-node to to-node, what each source gives [A].

    `collapsed` are constant-power loads that no voltage can satisfy: they were taken off, and `solved` is False.
    `kirchhoff_a` is the largest current error at any node; `power_error_w` what sources give less what all else takes.
    `warm_c` are the temperatures [°C] of the conductors, which come first in `current_a`, in that order;
    `settled` is where the iteration ended, from which a solver may begin in a nearly equal network.
    """

    case: str
    solved: bool
    collapsed: tuple[str, ...]
    voltage_v: dict[str, float]
    current_a: dict[str, float]
    given_a: dict[str, float]
    port_v: dict[str, float]
    kirchhoff_a: float
    power_error_w: float
    iterations: int = 0
    dead: tuple[str, ...] = field(default=())
    warm_c: tuple[float, ...] = ()
    settled: Any = field(default=None, compare=False, repr=False)

    @property
    def conductor_c(self) -> dict[str, float]:
        """Temperature of each conductor that it was solved at [°C], by key; empty for a network solved as it stands."""
        return dict(zip(self.current_a, self.warm_c, strict=False))
