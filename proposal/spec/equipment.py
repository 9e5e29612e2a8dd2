"""What uses power and what makes it: engine, panels, loads, charge sources, and the measured cable routes."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from proposal.reading import Fault, Name, PlainText, WholeNumber, YesNo
from proposal.spec.pricebook import Section
from proposal.units import (
    AngleDeg,
    CurrentA,
    DurationH,
    DurationS,
    LengthM,
    MaybeCurrentA,
    MaybeVoltageV,
    PerKelvin,
    PerKelvinV,
    PowerW,
    ResistanceOhm,
    Share,
    VoltageV,
)

Side = Literal["house", "start"]
NEGATIVE_TO = "Where its negative lands: behind the shunt, or on the battery itself and so past the shunt"


class Route(Section):
    """A cable route as measured aboard, one way; both conductors of a circuit run along it."""

    title: PlainText = ""
    length_m: LengthM = Field(alias="length", description="Measured one way along the run, not in a straight line")
    place: Name = Field(description="Hottest place that the run passes; one of climate.places")
    bundled: WholeNumber = Field(
        2, ge=1, le=200, description="Current-carrying conductors that lie together here, this pair included"
    )
    sheathed: YesNo = Field(False, description="In a sheath, conduit or enclosure from the source on")
    supported_every_m: LengthM | None = Field(None, alias="supported_every", description="Largest gap of its clips")


class Engine(Section):
    """The engine as far as its starting is concerned."""

    title: PlainText = "Engine"
    starter_a: MaybeCurrentA = Field(alias="starter_current", description="While cranking")
    inrush_a: MaybeCurrentA = Field(alias="starter_inrush", description="First instant, rotor at rest")
    inrush_s: DurationS | None = Field(None, alias="inrush_time")
    cranking_s: DurationS = Field(10.0, alias="cranking_time")
    minimum_v: MaybeVoltageV = Field(alias="minimum_cranking_voltage", description="At the starter's own terminals")
    route: Name = Field(description="Route from the battery that starts it to the starter")
    negative_to: Literal["bus", "battery"] | None = Field(None, description=NEGATIVE_TO)
    ignition_protected: YesNo | None = Field(
        None, description="Its starter is tested not to ignite petrol vapour around it"
    )


class Panel(Section):
    """A distribution panel: a pair of bus bars at the end of a feeder."""

    title: PlainText
    route: Name = Field(description="Route from the main bus to the panel")
    side: Side = "house"


class Load(Section):
    """Something that uses power."""

    title: PlainText
    power_w: PowerW | None = Field(None, alias="power", description="While it runs; give power or current, not both")
    current_a: CurrentA | None = Field(None, alias="current", description="While it runs, at system voltage")
    hours_h: DurationH = Field(alias="hours", description="Hours a day that it is switched on")
    duty: Share = Field(1.0, description="Share of that time in which it really runs")
    standby_w: PowerW = Field(0.0, alias="standby", description="Drawn all day besides")
    away: YesNo = Field(False, description="Stays on when nobody is aboard")
    critical: YesNo = Field(False, description="Needed for safety or navigation")
    always_on: YesNo = Field(False, description="Connected ahead of the battery switch: bilge pump, alarm, memory")
    side: Side = "house"
    panel: Name | None = Field(None, description="Panel that feeds it; absent: the main bus")
    route: Name = Field(description="Route from its panel or bus to the load")
    inverter: Name | None = Field(None, description="Inverter that feeds it; power is then taken at its mains side")
    constant_power: YesNo = Field(False, description="Draws more current as voltage falls: electronics, inverters")
    inrush_a: CurrentA | None = Field(None, alias="inrush")
    inrush_s: DurationS | None = Field(None, alias="inrush_time")
    locked_rotor_a: CurrentA | None = Field(None, alias="locked_rotor", description="Of a blocked motor, lasting")
    serves: Literal["bilge_pump", "high_water_alarm", "navigation", "radio", "engine_control"] | None = Field(
        None, description="What it is for, where a check must know"
    )
    place: Name | None = Field(None, description="Where it stands; absent: the place of its route")
    voltage_max_v: VoltageV | None = Field(None, alias="voltage_max", description="Highest voltage that it bears")
    cuts_out_v: VoltageV | None = Field(
        None, alias="cuts_out_below", description="As set, at its terminals; absent: an inverter's own lowest voltage"
    )
    tapped: YesNo = Field(False, description="Fed from the middle of a bank in series")
    precharge: YesNo | None = Field(None, description="Its capacitors are charged gently before it is switched on")
    precharge_ohm: ResistanceOhm | None = Field(
        None, alias="precharge_resistor", description="Through which they are charged gently"
    )
    negative_to: Literal["bus", "battery"] | None = Field(None, description=NEGATIVE_TO)
    ignition_protected: YesNo | None = Field(None, description="Tested not to ignite petrol vapour or gas around it")
    maker_fuse_a: CurrentA | None = Field(None, alias="maker_fuse", description="Largest fuse the maker allows")
    high_current: YesNo = Field(False, description="Windlass, thruster, inverter: full load is a case of its own")
    when: Literal["any", "morning", "day", "evening", "night"] | None = Field(
        None, description="Time of day of its hours; absent: any"
    )

    @model_validator(mode="after")
    def _power_or_current(self) -> "Load":
        if (self.power_w is None) == (self.current_a is None):
            raise Fault([((), "a load needs its power or its current, not both", "`power: 60 W` or `current: 5 A`")])
        return self


class SourceBase(Section):
    """What a charge source of any kind may state about its settings; absent: not known."""

    stopped_by: Literal["management", "own_sensing", "nothing"] | None = Field(
        None, description="What ends its charging when the lithium's management asks"
    )
    stops_within_s: DurationS | None = Field(None, alias="stops_within")
    bypasses_management: YesNo = Field(False, description="Its lead goes past the lithium's management system")
    senses: Literal["battery", "terminals"] | None = Field(None, description="Where it measures its voltage")
    float_v: VoltageV | None = Field(None, alias="float")
    absorption_h: DurationH | None = Field(None, alias="absorption_time")
    tail_a: CurrentA | None = Field(None, alias="tail_current", description="Below which it ends absorption")
    negative_to: Literal["bus", "battery"] | None = Field(None, description=NEGATIVE_TO)
    restarts_below_v: VoltageV | None = Field(None, alias="restarts_below", description="It begins to charge anew")
    equalise_v: VoltageV | None = Field(None, alias="equalise")
    compensation_v_per_k: PerKelvinV | None = Field(
        None, alias="compensation", description="Whole battery, from 25 °C; 0 mV/K: none"
    )
    ignition_protected: YesNo | None = Field(None, description="Tested not to ignite petrol vapour or gas around it")


class SolarSource(SourceBase):
    """Solar array with its controller."""

    kind: Literal["solar"]
    title: PlainText
    power_w: PowerW = Field(alias="power", description="Array at standard test conditions")
    strings: WholeNumber = Field(1, ge=1, le=100, description="Strings in parallel")
    open_circuit_v: VoltageV = Field(alias="open_circuit", description="Array at 25 °C")
    short_circuit_a: CurrentA = Field(alias="short_circuit", description="Array at standard test conditions")
    voltage_per_k: PerKelvin = Field(-0.003, alias="voltage_coefficient")
    string_fuse_a: CurrentA | None = Field(None, alias="string_fuse", description="Fuse in each string; absent: none")
    module_fuse_max_a: CurrentA | None = Field(None, alias="module_fuse_max", description="Largest the module bears")
    touchable: YesNo | None = Field(None, description="Bare live parts of the array side can be touched")
    array_switch: YesNo | None = Field(None, description="A switch between array and controller")
    performance: Share = Field(0.75, description="Share of nameplate that reaches the battery in full sun")
    shading: Share = Field(0.0, description="Share lost to shade of rig, trees or roof besides")
    tilt_deg: AngleDeg | None = Field(
        None, alias="tilt", ge=0, le=90, description="0 °: flat; absent: flat, at a cabin as steep as its latitude"
    )
    azimuth_deg: AngleDeg | None = Field(
        None, alias="azimuth", ge=0, le=360, description="It faces: 90 ° east, 180 ° south; absent: to the equator"
    )
    controller: Name = Field(description="Solar controller in the price book or under parts")
    charge_v: VoltageV = Field(alias="voltage", description="Absorption voltage set at the controller")
    coldest_place: Name = Field(alias="place", description="Where the array is; one of climate.places")
    side: Side = "house"
    route: Name = Field(description="Route from the controller to the bus")


class AlternatorSource(SourceBase):
    """Alternator on the engine."""

    kind: Literal["alternator"]
    title: PlainText
    current_a: CurrentA = Field(alias="current", description="Nameplate")
    hot_a: MaybeCurrentA = Field(alias="hot_current", description="Held for hours in its hot place")
    charge_v: VoltageV = Field(alias="voltage", description="Regulator setpoint")
    limited: YesNo = Field(False, description="A regulator limits its current to the hot rating")
    surge_protected: YesNo | None = Field(None, description="Bears losing its battery while it charges")
    decay_s: DurationS | None = Field(None, alias="field_decay", description="Until its field has died away")
    speed_share: Share | None = Field(
        None,
        alias="at_usual_speed",
        description="Of nameplate at the usual engine speed; absent: 80 % is assumed",
    )
    hot_after_s: DurationS | None = Field(
        None, alias="hot_after", description="Until it has fallen to its hot current; absent: 30 min is assumed"
    )
    side: Side = "house"
    route: Name


class ShoreSource(SourceBase):
    """Mains charger fed from shore or from a generator."""

    kind: Literal["shore", "generator"]
    title: PlainText
    charger: Name = Field(description="Charger in the price book or under parts")
    charge_v: VoltageV = Field(alias="voltage", description="Absorption voltage set at the charger")
    hours_h: DurationH = Field(0.0, alias="hours", description="Hours a day that mains or generator power is there")
    side: Side = "house"
    route: Name


class WindSource(SourceBase):
    """Wind generator with its own rectifier and regulator."""

    kind: Literal["wind"]
    title: PlainText
    current_a: CurrentA = Field(alias="current", description="Highest output")
    mean_w: PowerW = Field(alias="mean_power", description="Mean over a usual day here")
    charge_v: VoltageV = Field(alias="voltage")
    side: Side = "house"
    route: Name


Source = Annotated[
    SolarSource | AlternatorSource | ShoreSource | WindSource,
    Field(discriminator="kind"),
]
