"""The ways to build it: each option is an arrangement with its banks, links and pins over the common base."""

from typing import Literal

from pydantic import Field

from proposal.reading import Name, PlainText, WholeNumber, YesNo
from proposal.spec.equipment import Side
from proposal.spec.pricebook import Section
from proposal.units import CurrentA, DurationH, DurationS, LengthM, PerKelvinV, Share, VoltageV

ArrangementId = Literal[
    "one_bank",
    "house_and_starter",
    "lead_and_lithium",
    "lead_and_lithium_with_starter",
    "lithium_with_dc_dc",
    "composed",
]


class Bank(Section):
    """Batteries of one kind joined in series and in parallel, with their own fuse and switch."""

    title: PlainText
    battery: Name = Field(description="Battery in the price book or under parts")
    parallel: WholeNumber = Field(1, ge=1, le=24, description="Strings in parallel")
    series: WholeNumber = Field(1, ge=1, le=24, description="Batteries in each string")
    place: Name
    route: Name = Field(description="Route from the batteries to their bus")
    fuse_after_m: LengthM = Field(0.15, alias="fuse_after", description="Conductor from the battery post to its fuse")
    links_m: LengthM = Field(0.3, alias="links", description="Conductor from each battery to the bank's own bus")
    fuse_per_battery: YesNo | None = Field(None, description="Absent: as the rule family asks")
    switch: YesNo = Field(True, description="A switch by which the bank can be taken out")
    shunt: YesNo = Field(True, description="A shunt with meter in its negative")
    own_cut_off: YesNo | None = Field(None, description="Can it switch itself off? Absent: yes for lithium")
    stays: YesNo = Field(False, description="Fitted today and kept: no price")
    joined: Literal["bus", "chain"] = Field(
        "bus", description="Each battery to a bus of its own, or one to the next in a chain"
    )
    take_off: Literal["same_end", "both_ends"] = Field(
        "both_ends", description="Of a chain: both main leads at one battery, or one at either end"
    )
    equalised: YesNo | None = Field(None, description="Batteries brought to one voltage before they are joined")
    rest_voltages_v: tuple[VoltageV, ...] = Field((), alias="rest_voltages", description="Measured before joining")
    balanced: YesNo | None = Field(None, description="Batteries in series are balanced against each other")
    moves_m: LengthM | None = Field(None, alias="moves", description="When pulled with twice its weight")
    fuel_part_within_m: LengthM | None = Field(
        None, alias="fuel_part_within", description="To the nearest metal part of tank, filter or fuel line"
    )
    above_bilge: YesNo | None = Field(None, description="Stands above the level that bilge water can reach")
    warns_before: YesNo | None = Field(None, description="An alarm sounds before the bank switches itself off")
    terminals_covered: YesNo | None = Field(None, description="Posts and positive studs are covered")


class ContactorLink(Section):
    """The contactor by which a lithium bank joins its bus, with the controller that decides."""

    part: Name | None = Field(None, description="Absent: the smallest that carries the current is chosen")
    driven_as: Literal["held", "latching"] = Field("held", description="How the controller drives the coil")
    joins_below_v: VoltageV | None = Field(None, alias="joins_below", description="Highest bus voltage above lithium")
    lithium_above_v: VoltageV | None = Field(
        None, alias="lithium_above", description="Highest lithium voltage above the bus at which it joins; absent: any"
    )
    joins_above_v: VoltageV | None = Field(
        None, alias="joins_above", description="Bus voltage that shows that something charges, at which it joins"
    )
    opens_above_v: VoltageV | None = Field(None, alias="opens_above")
    opens_below_v: VoltageV | None = Field(None, alias="opens_below")
    opens_full_share: Share | None = Field(
        None, alias="opens_at_full", description="Counted charge at which it opens as full; absent: by voltage alone"
    )
    opens_empty_share: Share | None = Field(
        None, alias="opens_at_empty", description="Counted charge at which it opens as empty; absent: by voltage alone"
    )
    holds_s: DurationS | None = Field(
        None, alias="holds", description="Shortest time between two switchings; absent: 30 s is assumed"
    )
    parts_on_discharge: YesNo = Field(
        False, description="Opens by itself when lithium feeds lead above 0.05 C for ten minutes with no charge source"
    )
    tolerance_v: VoltageV | None = Field(None, alias="tolerance", description="Of what the controller measures")
    sense_at: Literal["bank", "bus"] | None = Field(None, description="Where the lead that senses lithium is taken")
    sense_fused: YesNo | None = Field(None, description="Sense leads are fused where they are taken")
    sense_negative: Literal["own", "shared"] | None = Field(
        None, description="A negative of its own to the bank, or one in which load current flows"
    )
    warns_before: YesNo | None = Field(None, description="An alarm sounds before the lithium switches itself off")
    precharge: YesNo | None = Field(None, description="What stands behind it is charged gently before it closes")
    locked_while_equalising: YesNo | None = Field(None, description="Held open while a source equalises lead")
    waits_s: DurationS | None = Field(
        None, alias="waits", description="Between asking the charge sources to stop and opening"
    )
    by_hand: YesNo | None = Field(None, description="Can be opened and closed by hand")


class RelayLink(Section):
    """A voltage-sensitive relay between house and start."""

    part: Name | None = None
    route: Name = Field(description="Route from the starter battery's bus to the house bus")
    joins_v: VoltageV | None = Field(None, alias="joins")
    releases_v: VoltageV | None = Field(None, alias="releases")
    tolerance_v: VoltageV | None = Field(None, alias="tolerance")
    delay_s: DurationS = Field(5.0, alias="delay")
    senses: Literal["start", "house", "both"] = "start"
    sense_fused: YesNo | None = Field(None, description="Sense lead is fused where it is taken")
    opens_while_starting: YesNo | None = Field(None, description="Forced open while the engine cranks")


class ConverterLink(Section):
    """A DC-DC charger between two buses."""

    part: Name
    route: Name
    charges: Side = Field("start", description="Side that it charges; the other side feeds it")
    charge_v: VoltageV = Field(alias="voltage")
    hours_share: Share = Field(1.0, alias="works", description="Share of engine time in which it works")
    runs_with: Literal["engine", "always"] | None = Field(None, description="What switches it on")
    stopped_by: Literal["management", "own_sensing", "nothing"] | None = Field(
        None, description="What ends its charging when the lithium's management asks"
    )
    senses: Literal["battery", "terminals"] | None = Field(None, description="Where it measures its output voltage")


class ComposedBus(Section):
    """A bus of a hand-composed arrangement."""

    title: PlainText
    side: Side | None = Field(None, description="Loads and sources of this side land here")


class ComposedLink(Section):
    """A link of a hand-composed arrangement."""

    kind: Literal["conductor", "switch", "contactor", "vsr", "dc_dc"]
    title: PlainText = ""
    from_bus: Name = Field(alias="from")
    to_bus: Name = Field(alias="to")
    route: Name
    part: Name | None = None
    fused: Literal["both_ends", "from_end", "to_end", "none"] = "both_ends"
    charge_v: VoltageV | None = Field(None, alias="voltage", description="Output voltage of a DC-DC charger")
    joins_v: VoltageV | None = Field(None, alias="joins")
    releases_v: VoltageV | None = Field(None, alias="releases")
    tolerance_v: VoltageV | None = Field(None, alias="tolerance")
    senses: Literal["from", "to", "both"] | None = Field(None, description="Which bus a voltage-sensitive relay senses")
    runs_with: Literal["engine", "always"] | None = Field(None, description="What switches a DC-DC charger on")


class ComposedBank(Section):
    """Where a bank of a hand-composed arrangement lands."""

    bus: Name
    through: Literal["direct", "contactor"] = "direct"


class Composition(Section):
    """An arrangement that the installer composes: buses, what lands on them, and what links them."""

    buses: dict[Name, ComposedBus] = Field(min_length=1)
    banks: dict[Name, ComposedBank] = Field(min_length=1)
    links: dict[Name, ComposedLink] = Field(default_factory=dict)
    starter: Name | None = Field(None, description="Bus from which the engine starts")


class ExtraLine(Section):
    """Something that is priced besides what the circuit asks for."""

    part: Name
    count: WholeNumber = Field(1, ge=1, le=10_000)
    why: PlainText = ""


class AcceptedRisk(Section):
    """A finding that somebody accepts, with name and reason; it stays visible."""

    finding: PlainText = Field(description="Code of the finding, for example bank_without_switch")
    item: PlainText = Field("", description="Key of the item; absent: every item with this finding")
    reason: PlainText
    name: PlainText


class EmergencyOff(Section):
    """How a battery is cut off in an emergency from where people are."""

    title: PlainText = "Emergency off"
    acts: Literal["coil", "signal", "hand_switch"] = Field(
        description="Breaks the contactor's coil circuit, only tells a controller, or is itself the switch"
    )


class SourceSettings(Section):
    """What a charge source is set to in one option, where that differs from the base; absent: as there."""

    charge_v: VoltageV | None = Field(None, alias="voltage", description="Absorption voltage")
    float_v: VoltageV | None = Field(None, alias="float")
    absorption_h: DurationH | None = Field(None, alias="absorption_time")
    tail_a: CurrentA | None = Field(None, alias="tail_current")
    restarts_below_v: VoltageV | None = Field(None, alias="restarts_below")
    equalise_v: VoltageV | None = Field(None, alias="equalise")
    compensation_v_per_k: PerKelvinV | None = Field(None, alias="compensation", description="Whole battery, from 25 °C")


class Option(Section):
    """One way to build it."""

    title: PlainText
    pitch: PlainText = Field("", description="Why the client might want it, in one sentence")
    arrangement: ArrangementId
    banks: dict[Name, Bank] = Field(min_length=1)
    house: Name | None = Field(None, description="Bank that serves the house; needed where it is not plain")
    start: Name | None = Field(None, description="Bank that starts the engine; needed where it is not plain")
    contactor: ContactorLink | None = None
    vsr: RelayLink | None = None
    dc_dc: ConverterLink | None = None
    composition: Composition | None = None
    emergency_off: EmergencyOff | None = None
    emergency_parallel: YesNo = Field(False, description="A hand switch that joins the banks for an emergency start")
    pins: dict[str, PlainText] = Field(default_factory=dict, description="Item key: part id or conductor size")
    settings: dict[Name, SourceSettings] = Field(
        default_factory=dict, description="Charge sources that are set otherwise in this option, by name"
    )
    extras: tuple[ExtraLine, ...] = ()
    accepted: tuple[AcceptedRisk, ...] = ()
    choose_if: tuple[PlainText, ...] = Field((), description="Installer's own reasons for this option")
