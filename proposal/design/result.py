"""What the design step hands on: the circuit with every part chosen, and why."""

from proposal.circuit.model import Circuit
from proposal.codes.family import Ampacity, FuseWindow
from proposal.facts import Reason, Rejected
from proposal.frozen import frozen
from proposal.studies.faults.result import Faults, LeastFaults
from proposal.studies.flow.result import Flow
from proposal.studies.fuses.result import FuseDemand
from proposal.studies.network.result import Network
from proposal.studies.protection.result import Feeds


@frozen
class Choice:
    """How one item came to its part or size: what decided, and what was turned down on the way."""

    decided_by: Reason
    rejected: tuple[Rejected, ...] = ()


@frozen
class Drop:
    """Voltage lost over the whole loop between battery post and load, source or starter [V], in a case; its limit."""

    item: str
    case: str
    drop_v: float
    limit_v: float | None


@frozen
class Design:
    """A circuit in which every part is chosen or named as not found; the studies that it was judged by.

    By item key: `choices`, `ampacities` (conductors), `windows` (fuses), `wanted_a` (series devices, buses), `drops`
    (loads, sources, starter), `fuse_demands`. `open_items` are those for which no part meets every demand.
    """

    circuit: Circuit
    choices: dict[str, Choice]
    ampacities: dict[str, Ampacity]
    windows: dict[str, FuseWindow]
    wanted_a: dict[str, float]
    drops: dict[str, Drop]
    open_items: tuple[str, ...]
    flow: Flow
    faults: Faults
    least_faults: LeastFaults
    fault_network: Network
    feeds: dict[str, Feeds]
    fuse_demands: dict[str, FuseDemand]
    rounds: int
