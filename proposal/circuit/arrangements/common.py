"""What every arrangement needs to know of an option, and the pieces that several share."""

from proposal.circuit.misfit import MisfitError
from proposal.circuit.model import Senses
from proposal.circuit.plan import PlanBus, PlanLink
from proposal.frozen import frozen
from proposal.spec.options import Option, RelayLink

HOUSE = PlanBus("main", "main", "house")
START = PlanBus("start", "start", "start")


@frozen
class Brief:
    """An option, its banks' chemistry, whether there is an engine, and where in the spec it stands."""

    option_id: str
    option: Option
    chemistry: dict[str, str]
    engine: bool

    @property
    def lithium(self) -> list[str]:
        """Banks of lithium, in the order of the spec."""
        return [name for name, chemistry in self.chemistry.items() if chemistry == "lithium"]

    @property
    def lead(self) -> list[str]:
        """Banks of lead, in the order of the spec."""
        return [name for name, chemistry in self.chemistry.items() if chemistry != "lithium"]

    def misfit(self, what: str, allowed: str) -> MisfitError:
        """An error that points at this option's banks."""
        return MisfitError(((("options", self.option_id, "banks"), what, allowed),))

    def starter_bank(self, among: list[str]) -> str:
        """The bank named under `start`, or else the only one of `among`. Raises MisfitError where that is not plain."""
        named = self.option.start
        here: tuple[str | int, ...] = ("options", self.option_id)
        listed = ", ".join(among)
        if named is not None and named not in among:
            raise MisfitError((((*here, "start"), f"“{named}” cannot start the engine here", listed),))
        if named is None and len(among) != 1:
            raise MisfitError(((here, "which bank starts the engine is not plain", f"`start:` one of {listed}"),))
        return named or among[0]


def relay_link(link: RelayLink, *, emergency: bool) -> PlanLink:
    """A voltage-sensitive relay from the start bus to the house bus."""
    sides: dict[str, Senses] = {"start": "from", "house": "to", "both": "both"}
    named = (("joins_v", link.joins_v), ("releases_v", link.releases_v), ("tolerance_v", link.tolerance_v))
    return PlanLink(
        "vsr",
        "vsr",
        START.name,
        HOUSE.name,
        link.route,
        part_id=link.part,
        settings=tuple((name, value) for name, value in named if value is not None),
        senses=sides[link.senses],
        opens_while_starting=link.opens_while_starting,
        emergency_switch=emergency,
    )
