"""Collects nodes, conductors and devices while a circuit is made, both poles at once."""

from dataclasses import dataclass, field

from proposal.circuit.assumed import Assumed
from proposal.circuit.model import Bus, Conductor, Node, Place, Pole, Purpose, SeriesDevice
from proposal.parts.catalogue import Catalogue
from proposal.spec.equipment import Route
from proposal.spec.overlay import EffectiveSpec

POLES: tuple[Pole, Pole] = ("positive", "negative")


@dataclass
class Wiring:
    """What has been collected so far. Only `circuit/` uses it; the circuit that comes out is frozen."""

    spec: EffectiveSpec
    catalogue: Catalogue
    insulation_c: int
    nodes: dict[str, Node] = field(default_factory=dict)
    conductors: list[Conductor] = field(default_factory=list)
    devices: list[SeriesDevice] = field(default_factory=list)
    buses: dict[str, Bus] = field(default_factory=dict)
    titles: dict[str, str] = field(default_factory=dict)
    assumed: list[Assumed] = field(default_factory=list)

    def pair(self, key: str) -> tuple[str, str]:
        """A positive and a negative node at one spot, each the other's mate."""
        positive, negative = f"{key}.positive", f"{key}.negative"
        self.nodes[positive] = Node(positive, "positive", negative)
        self.nodes[negative] = Node(negative, "negative", positive)
        return positive, negative

    def node(self, key: str, pole: Pole, mate: str) -> str:
        """A node of one pole whose mate stands elsewhere."""
        self.nodes[key] = Node(key, pole, mate)
        return key

    def add_bus(self, bus: Bus) -> Bus:
        """Remember a bus pair by its key."""
        self.buses[bus.key] = bus
        return bus

    def route(self, name: str) -> Route:
        """The measured route of that name."""
        return self.spec.spec.routes[name]

    def conductor(
        self,
        key: str,
        circuit: str,
        pole: Pole,
        purpose: Purpose,
        ends: tuple[str, str],
        route: Route,
        length_m: float | None = None,
    ) -> Conductor:
        """A conductor along a route; `length_m` where it is only a part of it."""
        made = Conductor(
            key,
            circuit,
            pole,
            purpose,
            ends[0],
            ends[1],
            route.length_m if length_m is None else length_m,
            route.place,
            route.bundled,
            route.sheathed,
            self.insulation_c,
        )
        self.conductors.append(made)
        return made

    def run(
        self,
        circuit: str,
        purpose: Purpose,
        near: tuple[str, str],
        far: tuple[str, str],
        route: Route,
        positive_length_m: float | None = None,
    ) -> None:
        """Both conductors of a circuit from a near to a far pair of nodes; the negative leads back."""
        self.conductor(f"{circuit}.positive", circuit, "positive", purpose, (near[0], far[0]), route, positive_length_m)
        self.conductor(f"{circuit}.negative", circuit, "negative", purpose, (far[1], near[1]), route)

    def device(self, made: SeriesDevice) -> SeriesDevice:
        """Remember a series device."""
        self.devices.append(made)
        return made

    def fuse(
        self,
        key: str,
        circuit: str,
        ends: tuple[str, str],
        guards: tuple[str, ...],
        *,
        distance_m: float = 0.0,
        at_battery: bool = False,
        sheathed: bool = False,
        maker_fuse_a: float | None = None,
    ) -> SeriesDevice:
        """A fuse in a positive conductor."""
        return self.device(
            SeriesDevice(
                key, circuit, "fuse", "positive", *ends, guards, distance_m, at_battery, sheathed,
                maker_fuse_a=maker_fuse_a,
            )
        )  # fmt: skip

    def places(self) -> tuple[Place, ...]:
        """The places of the spec."""
        return tuple(
            Place(
                key,
                p.title,
                p.coldest_c,
                p.usual_c,
                p.hottest_c,
                p.engine_space,
                p.people_sleep,
                p.vented,
                p.fuel_vapour,
            )
            for key, p in self.spec.spec.climate.places.items()
        )
