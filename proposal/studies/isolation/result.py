"""The switching plan: steps as codes with typed values."""

from dataclasses import dataclass
from typing import Literal

from proposal.facts import Values

Phase = Literal["before", "stop", "part", "prove", "disconnect", "hold", "reconnect", "join", "start"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step. `items` are the keys of what is handled; `values` what is to be measured or set, units in the names."""

    phase: Phase
    code: str
    items: tuple[str, ...]
    values: Values
