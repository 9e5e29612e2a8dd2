"""What an arrangement says: which buses there are, which bank lands where, what links them. No lengths, no sizes."""

from typing import Literal

from proposal.circuit.model import BusKind, Senses
from proposal.frozen import frozen

Role = Literal["house", "start", "both"]
LinkKind = Literal["conductor", "switch", "contactor", "vsr", "dc_dc"]


@frozen
class PlanBus:
    """A bus pair; `title` is empty where the book names it by its kind."""

    name: str
    kind: BusKind
    side: Literal["house", "start"]
    title: str = ""


@frozen
class PlanBank:
    """A bank on its bus, joined through a contactor or directly."""

    name: str
    bus: str
    role: Role
    through_contactor: bool = False


@frozen
class PlanLink:
    """A link between two buses. `settings` are volts by name."""

    name: str
    kind: LinkKind
    from_bus: str
    to_bus: str
    route: str
    title: str = ""
    part_id: str | None = None
    fused_from: bool = True
    fused_to: bool = True
    charge_v: float | None = None
    settings: tuple[tuple[str, float], ...] = ()
    senses: Senses | None = None
    opens_while_starting: bool | None = None
    runs_with: Literal["engine", "always"] | None = None
    emergency_switch: bool = False


@frozen
class Plan:
    """One arrangement applied to one option. `starter` is the bank that cranks the engine; None without an engine."""

    buses: tuple[PlanBus, ...]
    banks: tuple[PlanBank, ...]
    links: tuple[PlanLink, ...]
    starter: str | None
    house_bus: str
    start_bus: str

    def bus_of(self, side: str) -> str:
        """The bus on which loads and sources of a side land."""
        return self.start_bus if side == "start" else self.house_bus
