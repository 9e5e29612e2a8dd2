"""First currents at joining."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Join:
    """A relay closes in a situation: voltage across it before [V], closed loop's resistance [Ω], first current [A]."""

    relay: str
    situation: str
    difference_v: float
    resistance_ohm: float
    current_a: float
