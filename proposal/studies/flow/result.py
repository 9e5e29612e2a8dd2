"""All solved cases of a circuit, and what they ask of every item."""

from proposal.frozen import frozen
from proposal.studies.network.result import Network, Solution


@frozen
class Demand:
    """Largest currents [A] of one branch: continuous with the case that asks for it, and while cranking."""

    current_a: float
    case: str
    cranking_a: float


@frozen
class Flow:
    """Networks and solutions by case id, in the order of the cases; demands by branch key."""

    networks: dict[str, Network]
    solutions: dict[str, Solution]
    demands: dict[str, Demand]
