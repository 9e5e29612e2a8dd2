"""The switching plan: steps as codes with typed values."""

from typing import Literal

from proposal.facts import Values
from proposal.frozen import frozen

Phase = Literal["before", "stop", "part", "prove", "disconnect", "hold", "reconnect", "join", "start"]


@frozen
class Step:
    """One step. `items` are the keys of what is handled; `values` what is to be measured or set, units in the names."""

    phase: Phase
    code: str
    items: tuple[str, ...]
    values: Values
