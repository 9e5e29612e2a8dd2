"""The circuit of one option, both poles, before or after sizes are chosen. Frozen; a design step returns a new one.

Every item has a key, the path of names in the spec that it came from. A node is a point with one voltage; a conductor
or series device joins two nodes of one pole; an end device (battery, load, source) sits between the poles.
"""

from dataclasses import field, replace
from functools import cached_property
from typing import Any, Literal

from proposal.circuit.assumed import Assumed
from proposal.frozen import frozen
from proposal.spec.pricebook import BatteryPart, BusPart, FusePart, RelayPart, ShuntPart, SwitchPart
from proposal.units import ConductorSize

Pole = Literal["positive", "negative"]
Purpose = Literal["bank", "string", "link", "feeder", "load", "source", "starter", "sense"]
DeviceKind = Literal["fuse", "switch", "contactor", "vsr", "shunt"]
BusKind = Literal["main", "start", "panel", "bank", "unswitched"]
SourceKind = Literal["solar", "alternator", "shore", "generator", "wind"]
Senses = Literal["from", "to", "both"]
SeriesPart = FusePart | SwitchPart | RelayPart | ShuntPart


@frozen
class Place:
    """A place with its temperatures in °C and what makes it special."""

    key: str
    title: str
    coldest_c: float
    usual_c: float
    hottest_c: float
    engine_space: bool
    people_sleep: bool
    vented: bool
    fuel_vapour: bool


@frozen
class Node:
    """A point of one voltage; `mate` is the other pole's node at the same spot, against which a fault is reckoned."""

    key: str
    pole: Pole
    mate: str


@frozen
class Bus:
    """A pair of bus bars, or of studs, that several circuits share."""

    key: str
    title: str
    kind: BusKind
    positive: str
    negative: str
    side: Literal["house", "start"]
    part_id: str | None = None
    part: BusPart | None = None
    pinned: bool = False


@frozen
class Conductor:
    """One conductor of one pole from node to node; positive ones point away from their source.

    `compound` is what its insulation is made of, as the cable's maker states it.
    """

    key: str
    circuit: str
    pole: Pole
    purpose: Purpose
    from_node: str
    to_node: str
    length_m: float
    place: str
    bundled_count: int
    sheathed: bool
    insulation_c: int
    size: ConductorSize | None = None
    part_id: str | None = None
    pinned: bool = False
    compound: str | None = None


@frozen
class SeriesDevice:
    """A two-terminal device in one pole: fuse, switch, contactor, voltage-sensitive relay or shunt.

    `guards` are the keys of the conductors a fuse protects; `distance_m` is the conductor between source and fuse.
    `settings` are volts by name for relays (joins_v, releases_v, tolerance_v …), as declared in the spec; after the
    design step those of its part as well. `senses`: the side by which a voltage-sensitive relay joins. `by_hand`: a
    contactor that a person may close whatever its controller reads. `opens_while_starting`: None where nobody says.
    """

    key: str
    circuit: str
    kind: DeviceKind
    pole: Pole
    from_node: str
    to_node: str
    guards: tuple[str, ...] = ()
    distance_m: float = 0.0
    at_battery: bool = False
    sheathed: bool = False
    part_id: str | None = None
    part: SeriesPart | None = None
    pinned: bool = False
    maker_fuse_a: float | None = None
    driven_as: Literal["held", "latching"] | None = None
    settings: tuple[tuple[str, float], ...] = ()
    senses: Senses | None = None
    by_hand: bool = False
    opens_while_starting: bool | None = None


@frozen
class Battery:
    """One string of a bank: `series_count` batteries of one part. `cut_off`: it can switch itself off."""

    key: str
    bank: str
    positive: str
    negative: str
    part_id: str
    part: BatteryPart
    series_count: int
    place: str
    cut_off: bool
    stays: bool


@frozen
class Bank:
    """Strings that act as one; `bus` is the bus it serves, `through` the key of its contactor if it has one."""

    key: str
    title: str
    strings: tuple[str, ...]
    chemistry: Literal["flooded", "agm", "gel", "lithium"]
    role: Literal["house", "start", "both"]
    bus: str
    through: str | None
    own_bus: str | None
    place: str

    @property
    def chained(self) -> bool:
        """Whether its batteries are linked one to the next, with no bus of their own."""
        return len(self.strings) > 1 and self.own_bus is None


@frozen
class Load:
    """Something that uses power. `current_a` at system voltage while it runs; with `constant_power` that power stays.

    `usual_a` while it is switched on, cycling counted in unless it is critical; `mean_a` over the day; `idle_w` is what
    its inverter draws all day. The inrush `inrush_a` lasts `inrush_s`. It is switched on for `hours_h` a day.
    `rated_a` is what its circuit is made for: more than `current_a` where an inverter can draw more than is used today.
    """

    key: str
    title: str
    bus: str
    positive: str
    negative: str
    current_a: float
    usual_a: float
    mean_a: float
    inrush_a: float | None
    constant_power: bool
    critical: bool
    always_on: bool
    away: bool
    high_current: bool
    inverter_id: str | None = None
    idle_w: float = 0.0
    inrush_s: float | None = None
    hours_h: float = 24.0
    rated_a: float = 0.0


@frozen
class Source:
    """A charge source: up to `current_a` until its terminals reach `charge_v`.

    `rated_a` is its nameplate, for which conductor and fuse are made; `lasting_a` what it gives for hours.
    """

    key: str
    title: str
    kind: SourceKind
    bus: str
    positive: str
    negative: str
    rated_a: float
    current_a: float
    lasting_a: float
    charge_v: float
    part_id: str | None = None


@frozen
class Starter:
    """The engine's starter; `minimum_v` None where the survey doesn't know it. The inrush lasts `inrush_s`."""

    key: str
    title: str
    bus: str
    positive: str
    negative: str
    cranking_a: float
    inrush_a: float
    cranking_s: float
    minimum_v: float | None
    inrush_s: float = 0.25


@frozen
class Converter:
    """A DC-DC charger: takes power at its input, gives current at its output until that reaches `charge_v`."""

    key: str
    title: str
    from_bus: str
    to_bus: str
    in_positive: str
    in_negative: str
    out_positive: str
    out_negative: str
    output_a: float
    charge_v: float
    efficiency: float
    part_id: str
    runs_with: Literal["engine", "always"] | None = None

    @property
    def input_w(self) -> float:
        """Power taken at full output [W]: P = I·U/η."""
        return self.output_a * self.charge_v / self.efficiency


@frozen
class Controller:
    """A contactor's controller: feeds the coil from the bus and senses both sides through fused thin leads.

    `coil_a` flows while the contactor is closed if the coil is of the held kind, all the time otherwise.
    """

    key: str
    contactor: str
    supply: str
    senses: str
    negative: str


@frozen
class Circuit:
    """All of one option's circuit. Order is that of the spec, so equal specs give equal circuits."""

    system_v: float
    reference: str
    places: tuple[Place, ...]
    nodes: tuple[Node, ...]
    buses: tuple[Bus, ...]
    banks: tuple[Bank, ...]
    batteries: tuple[Battery, ...]
    conductors: tuple[Conductor, ...]
    devices: tuple[SeriesDevice, ...]
    loads: tuple[Load, ...]
    sources: tuple[Source, ...]
    starter: Starter | None
    converters: tuple[Converter, ...]
    controllers: tuple[Controller, ...]
    titles: tuple[tuple[str, str], ...] = field(default=())
    assumed: tuple[Assumed, ...] = field(default=())
    memo: dict[object, Any] = field(default_factory=dict, compare=False, repr=False)
    """Scratch of the studies: what follows from the topology alone. Shared by copies that differ in parts only."""
    own_memo: dict[object, Any] = field(default_factory=dict, init=False, compare=False, repr=False)
    """Scratch of the studies: what follows from the parts as well. Each copy begins anew."""

    @cached_property
    def place(self) -> dict[str, Place]:
        """Places by key."""
        return {p.key: p for p in self.places}

    @cached_property
    def node(self) -> dict[str, Node]:
        """Nodes by key."""
        return {n.key: n for n in self.nodes}

    @cached_property
    def conductor(self) -> dict[str, Conductor]:
        """Conductors by key."""
        return {c.key: c for c in self.conductors}

    @cached_property
    def device(self) -> dict[str, SeriesDevice]:
        """Series devices by key."""
        return {d.key: d for d in self.devices}

    @cached_property
    def bus(self) -> dict[str, Bus]:
        """Bus pairs by key."""
        return {b.key: b for b in self.buses}

    @cached_property
    def battery(self) -> dict[str, Battery]:
        """Battery strings by key."""
        return {b.key: b for b in self.batteries}

    @cached_property
    def branches(self) -> tuple[Conductor | SeriesDevice, ...]:
        """Conductors and series devices, all that joins two nodes of one pole."""
        return (*self.conductors, *self.devices)

    @cached_property
    def led_by(self) -> dict[str, str]:
        """By string, the first of its bank that has leads of its own: under its name stand those of them all."""
        wired = {c.circuit for c in self.conductors}
        found: dict[str, str] = {}
        for bank in self.banks:
            first = next((string for string in bank.strings if string in wired), bank.strings[0])
            found |= dict.fromkeys(bank.strings, first)
        return found

    @cached_property
    def branches_at(self) -> dict[str, tuple[Conductor | SeriesDevice, ...]]:
        """Branches by the nodes that they touch, in the order of `branches`."""
        found: dict[str, list[Conductor | SeriesDevice]] = {}
        for branch in self.branches:
            for node in (branch.from_node, branch.to_node):
                found.setdefault(node, []).append(branch)
        return {node: tuple(branches) for node, branches in found.items()}

    @cached_property
    def load(self) -> dict[str, Load]:
        """Loads by key."""
        return {x.key: x for x in self.loads}

    @cached_property
    def fed_by(self) -> dict[str, str]:
        """Key of the bus of each load and source."""
        return {x.key: x.bus for x in self.loads} | {s.key: s.bus for s in self.sources}

    @cached_property
    def title(self) -> dict[str, str]:
        """The user's own words by circuit key (loads.fridge → Fridge)."""
        return dict(self.titles)

    def with_parts(
        self,
        *,
        conductors: tuple[Conductor, ...] | None = None,
        devices: tuple[SeriesDevice, ...] | None = None,
        buses: tuple[Bus, ...] | None = None,
    ) -> "Circuit":
        """The same circuit with other conductors, devices or buses in place."""
        return replace(
            self,
            conductors=self.conductors if conductors is None else conductors,
            devices=self.devices if devices is None else devices,
            buses=self.buses if buses is None else buses,
        )
