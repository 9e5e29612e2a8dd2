"""What an installer writes about parts: price books, and the parts section of a spec.

One model per kind of part. Ratings carry their unit in the text ("500 A"); an absent rating means that the maker does
not state it, and a check that needs it then says so.
"""

from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from proposal.reading import Fault, Money, Name, PlainText, WholeNumber, YesNo
from proposal.units import (
    SAE_SIZES,
    CapacitanceF,
    ChargeAh,
    ConductorSize,
    CurrentA,
    DurationH,
    DurationS,
    MassKg,
    PowerW,
    ResistanceOhm,
    Share,
    Size,
    TemperatureC,
    VoltageV,
)


class Section(BaseModel):
    """Base of every section a person writes: frozen, no unknown keys, fields known by the names people type."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False)


class CurvePoint(Section):
    """One gate of a maker's time-current curve."""

    current_a: CurrentA = Field(alias="current")
    melts_after_s: DurationS = Field(alias="melts_after", description="It surely stands this current for so long")
    clears_before_s: DurationS = Field(alias="clears_before", description="It has surely opened by then")


def _crossings(curve: tuple[CurvePoint, ...]) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """What is wrong with a curve: (place in it, what, allowed). Current rises, both times fall, melting comes first."""
    for number, point in enumerate(curve):
        if point.current_a <= 0.0:
            yield (number, "current"), "a gate of a curve needs a current", "more than 0 A"
        for name, seconds in (("melts_after", point.melts_after_s), ("clears_before", point.clears_before_s)):
            if seconds <= 0.0:
                yield (number, name), "a gate of a curve needs a time", "more than 0 s"
        if point.clears_before_s < point.melts_after_s:
            what = "it cannot have cleared before it has melted"
            yield (number, "clears_before"), what, f"at least {point.melts_after_s:g} s"
    for number, (before, point) in enumerate(pairwise(curve), start=1):
        if point.current_a <= before.current_a:
            what = "the gates of a curve stand from slow to fast, with rising current"
            yield (number, "current"), what, f"more than {before.current_a:g} A"
        if point.melts_after_s > before.melts_after_s:
            what = "at more current a fuse melts no later"
            yield (number, "melts_after"), what, f"at most {before.melts_after_s:g} s"
        if point.clears_before_s > before.clears_before_s:
            what = "at more current a fuse clears no later"
            yield (number, "clears_before"), what, f"at most {before.clears_before_s:g} s"


class PartBase(Section):
    """What every part has."""

    title: PlainText = Field(description="What it is, in plain words; printed in the bill of materials")
    price: Money | None = Field(
        None, description="Net price of one piece (cable: of one metre); leave out if not for sale"
    )
    source: PlainText = Field("", description="Where price and ratings come from, for example a list and its date")
    mass_kg: MassKg = Field(0.0, alias="mass")
    curve: tuple[CurvePoint, ...] = Field((), description="Maker's time-current curve, from slow to fast")
    ignition_protected: YesNo | None = Field(None, description="Tested not to ignite petrol vapour or gas around it")

    @model_validator(mode="after")
    def _curve_falls(self) -> Self:
        found = [(("curve", *loc), what, allowed) for loc, what, allowed in _crossings(self.curve)]
        if found:
            raise Fault(found)
        return self


Chemistry = Literal["flooded", "agm", "gel", "lithium"]


class BatteryPart(PartBase):
    """One battery as it is bought."""

    kind: Literal["battery"]
    chemistry: Chemistry
    voltage_v: VoltageV = Field(alias="voltage", description="Nominal voltage of one battery")
    capacity_ah: ChargeAh = Field(alias="capacity", description="At the 20 hour rate and 25 °C")
    resistance_ohm: ResistanceOhm | None = Field(None, alias="resistance", description="Warm and fully charged")
    short_circuit_a: CurrentA | None = Field(None, alias="short_circuit", description="Maker's figure")
    cranking_a: CurrentA | None = Field(None, alias="cranking", description="Cold cranking rating at -18 °C")
    charge_max_a: CurrentA | None = Field(None, alias="charge_max")
    discharge_max_a: CurrentA | None = Field(None, alias="discharge_max", description="Continuous")
    peak_a: CurrentA | None = Field(None, alias="peak")
    peak_s: DurationS | None = Field(None, alias="peak_time")
    charge_v: VoltageV | None = Field(None, alias="charge_voltage", description="Absorption voltage of one battery")
    coldest_charge_c: TemperatureC | None = Field(None, alias="coldest_charge")
    series_max: WholeNumber | None = Field(
        None, ge=1, description="How many the maker allows in series; absent: not stated"
    )
    stops_cold: YesNo | None = Field(None, description="Its management ends charging when it is too cold for it")
    heated: YesNo = Field(False, description="Has a heater that lets it charge below freezing")
    trip_a: CurrentA | None = Field(None, alias="trip", description="At which its management cuts out at once")
    trip_s: DurationS | None = Field(None, alias="trip_time", description="After which it cuts out at that current")
    cuts_above_v: VoltageV | None = Field(None, alias="cuts_above", description="Its management ends charging")
    cuts_below_v: VoltageV | None = Field(None, alias="cuts_below", description="Its management ends discharging")
    switch_max_v: VoltageV | None = Field(
        None, alias="switch_voltage_max", description="Highest voltage that its management's switch can break"
    )
    separate_switches: YesNo | None = Field(
        None, description="Its management can end charging and go on discharging; absent: yes is assumed"
    )
    cell_spread_v: VoltageV | None = Field(
        None, alias="cell_spread", description="Highest cell above the mean near full; absent: 50 mV is assumed"
    )
    heater_w: PowerW | None = Field(None, alias="heater", description="What its heater draws")
    self_discharge_per_month: Share | None = Field(None, alias="self_discharge", description="A month at 25 °C")
    cycles: WholeNumber | None = Field(None, ge=1, description="Full cycles to 80 % depth that the maker promises")
    calendar_years: WholeNumber | None = Field(None, ge=1, le=50, description="Life on float that the maker promises")


class CablePart(PartBase):
    """Conductor by the metre, one size and insulation class."""

    kind: Literal["cable"]
    size: Size
    insulation_c: TemperatureC = Field(alias="insulation", description="Temperature class of the insulation")
    lug_price: Money | None = Field(None, description="One crimped lug with heat-shrink for this size")
    compound: Literal["pvc", "xlpe", "rubber", "silicone"] | None = Field(
        None, description="What the insulation is made of; absent: not stated"
    )
    standard: Literal["astm_awg", "sae", "iec_60228"] | None = Field(
        None, description="Whose areas its sizes have; absent: AWG of ASTM for gauges, IEC 60228 for mm2"
    )

    @property
    def conductor(self) -> ConductorSize:
        """The size that its standard makes of what is printed on it: SAE gauges have less copper than AWG."""
        if self.standard != "sae":
            return self.size
        return next((size for size in SAE_SIZES if size.nominal == self.size.label), self.size)


class FusePart(PartBase):
    """A fuse or circuit breaker: one rating of one class."""

    kind: Literal["fuse"]
    fuse_class: Name = Field(alias="class")
    rating_a: CurrentA = Field(alias="rating")
    voltage_max_v: VoltageV = Field(alias="voltage_max", description="Highest DC voltage it may interrupt")
    interrupt_a: CurrentA = Field(alias="interrupt", description="Breaking capacity at that voltage")
    resistance_ohm: ResistanceOhm = Field(0.0, alias="resistance", description="Cold; 0 means not stated")
    holder_price: Money | None = None
    polarised: YesNo = False


class SwitchPart(PartBase):
    """A hand-operated battery isolator."""

    kind: Literal["switch"]
    rating_a: CurrentA = Field(alias="rating", description="Continuous")
    five_minutes_a: CurrentA | None = Field(None, alias="five_minutes")
    cranking_a: CurrentA | None = Field(None, alias="cranking", description="Ten seconds")
    voltage_max_v: VoltageV = Field(alias="voltage_max")
    resistance_ohm: ResistanceOhm = Field(0.0, alias="resistance")


class RelayPart(PartBase):
    """A contactor or voltage-sensitive relay."""

    kind: Literal["contactor", "vsr"]
    rating_a: CurrentA = Field(alias="rating", description="Continuous")
    five_minutes_a: CurrentA | None = Field(None, alias="five_minutes")
    cranking_a: CurrentA | None = Field(None, alias="cranking", description="Ten seconds")
    make_a: CurrentA | None = Field(None, alias="make", description="Highest current at closing")
    break_a: CurrentA | None = Field(None, alias="break", description="Highest current at opening")
    voltage_max_v: VoltageV = Field(alias="voltage_max")
    resistance_ohm: ResistanceOhm = Field(0.0, alias="resistance")
    coil: Literal["held", "latching"] = "held"
    coil_v: VoltageV | None = Field(None, alias="coil_voltage")
    coil_a: CurrentA = Field(0.0, alias="coil_current", description="While held; a latching coil: its electronics")
    drop_out_v: VoltageV | None = Field(None, alias="drop_out")
    joins_v: VoltageV | None = Field(None, alias="joins", description="A voltage-sensitive relay's joining voltage")
    releases_v: VoltageV | None = Field(None, alias="releases")
    tolerance_v: VoltageV | None = Field(None, alias="tolerance")


class ShuntPart(PartBase):
    """A measuring shunt with its meter."""

    kind: Literal["shunt"]
    rating_a: CurrentA = Field(alias="rating")
    resistance_ohm: ResistanceOhm = Field(alias="resistance")
    meter_a: CurrentA = Field(0.0, alias="meter_current")


class BusPart(PartBase):
    """A bus bar for one pole."""

    kind: Literal["bus"]
    rating_a: CurrentA = Field(alias="rating")
    studs: WholeNumber = Field(ge=1, le=200, description="Connections it has room for")
    voltage_max_v: VoltageV = Field(alias="voltage_max")


class ChargerPart(PartBase):
    """A shore charger, solar controller or DC-DC charger."""

    kind: Literal["shore_charger", "solar_controller", "dc_dc"]
    output_a: CurrentA = Field(alias="output")
    output_v: VoltageV = Field(alias="output_voltage", description="Nominal voltage of its battery side")
    input_max_v: VoltageV | None = Field(None, alias="input_max", description="Highest array or supply voltage")
    efficiency: Share = 0.95
    survives_without_battery: YesNo | None = Field(None, description="Bears losing its battery while it charges")


class InverterPart(PartBase):
    """An inverter, DC to mains voltage."""

    kind: Literal["inverter"]
    power_w: PowerW = Field(alias="power", description="Continuous")
    surge_w: PowerW = Field(alias="surge")
    input_v: VoltageV = Field(alias="input_voltage", description="Nominal battery voltage")
    efficiency: Share = 0.9
    idle_w: PowerW = Field(0.0, alias="idle")
    surge_s: DurationS | None = Field(None, alias="surge_time")
    input_min_v: VoltageV | None = Field(None, alias="input_min", description="Below which it switches itself off")
    input_max_v: VoltageV | None = Field(None, alias="input_max", description="Highest voltage that it bears")
    capacitance_f: CapacitanceF | None = Field(None, alias="input_capacitance")
    precharges: YesNo | None = Field(None, description="Charges its own capacitors gently when it is connected")


class OtherPart(PartBase):
    """Anything else that is priced: boots, labels, a vent duct, carriage."""

    kind: Literal["other"]
    unit: PlainText = "piece"


Part = Annotated[
    BatteryPart
    | CablePart
    | FusePart
    | SwitchPart
    | RelayPart
    | ShuntPart
    | BusPart
    | ChargerPart
    | InverterPart
    | OtherPart,
    Field(discriminator="kind"),
]


class LabourHours(Section):
    """Hours of work by task; one rate serves them all."""

    survey_h: DurationH = Field(alias="survey")
    per_battery_h: DurationH = Field(alias="per_battery")
    per_device_h: DurationH = Field(alias="per_device", description="Fuse, switch, relay, shunt, bus or charger")
    per_conductor_h: DurationH = Field(alias="per_conductor", description="Two ends cut, crimped, landed and labelled")
    per_metre_h: DurationH = Field(alias="per_metre", description="Conductor drawn and supported")
    commissioning_h: DurationH = Field(alias="commissioning")
    documents_h: DurationH = Field(alias="documents")


class PriceBook(Section):
    """A list of parts with ratings and prices."""

    price_book_version: Literal["1"]
    currency: PlainText = Field(description="Three letters, ISO 4217")
    date: PlainText = ""
    parts: dict[Name, Part]
