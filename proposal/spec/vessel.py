"""Who it is for, what it is, and what the survey found."""

from typing import Literal

from pydantic import Field

from proposal.reading import Day, Name, PlainText, YesNo
from proposal.spec.pricebook import Section
from proposal.units import Days, DurationH, Share, TemperatureC, VoltageV


class Client(Section):
    """Who the proposal is for."""

    name: PlainText
    contact: PlainText = ""


class Vessel(Section):
    """The boat, camper or cabin."""

    name: PlainText
    kind: Literal["boat", "camper", "cabin"]
    description: PlainText = ""
    hull: Literal["plastic", "wood", "metal", "not_a_boat"] = "not_a_boat"
    fuel: Literal["diesel", "petrol", "gas", "none"] = Field(
        "none", description="Most dangerous fuel or gas kept aboard"
    )
    mains_aboard: YesNo = Field(False, description="Is there mains voltage from shore, generator or inverter?")


class Document(Section):
    """How this proposal is numbered and dated."""

    number: PlainText
    revision: PlainText = "A"
    date: Day
    valid: Days | None = Field(None, description="How long the price holds")


class System(Section):
    """The one system voltage, and what the client wants of it."""

    voltage_v: VoltageV = Field(alias="voltage", description="12 V, 24 V or 48 V")
    wanted_days: Days = Field(
        2.0, alias="wanted_without_charge", description="Days the house should last with no charge"
    )
    engine_h_per_day: DurationH = Field(
        0.0, alias="engine_time_accepted", description="Engine running accepted per day"
    )
    insulation_c: TemperatureC = Field(105.0, alias="insulation", description="Temperature class of new conductors")


class Place(Section):
    """A place aboard in which equipment stands or conductors run."""

    title: PlainText
    coldest_c: TemperatureC = Field(alias="coldest")
    usual_c: TemperatureC = Field(20.0, alias="usual")
    hottest_c: TemperatureC = Field(alias="hottest")
    engine_space: YesNo = False
    people_sleep: YesNo = Field(False, description="People sleep here, or gas from here can reach a berth")
    vented: YesNo = Field(False, description="Ventilated to the outside")
    fuel_vapour: YesNo = Field(False, description="Petrol vapour or gas may collect here")


class Season(Section):
    """One part of the year with its weather and use."""

    title: PlainText
    days: Days = Field(description="Length of the season")
    sun_h: DurationH = Field(alias="sun", description="Full-sun hours per day on the array as it is mounted")
    temperature_c: TemperatureC = Field(alias="temperature", description="Usual day temperature")
    use: Share = Field(1.0, description="Share of days on which people live aboard, the loads marked standby apart")


class Climate(Section):
    """Temperatures and sun."""

    seasons: dict[Name, Season] = Field(min_length=1)
    places: dict[Name, Place] = Field(min_length=1)


class Fitted(Section):
    """Equipment that is there today and stays."""

    item: PlainText = Field(description="Key of the item in the circuit, for example loads.windlass.positive")
    fitted: PlainText = Field(description="Part id, or a conductor size such as 35 mm2")
    condition: PlainText = ""


class Measured(Section):
    """One reading taken on the survey."""

    what: PlainText
    reading: PlainText
    where: PlainText = ""


class NotKnown(Section):
    """Something the survey could not find out."""

    what: PlainText
    find_out: PlainText = Field(description="How and by whom it will be found out")


class Survey(Section):
    """What was found aboard."""

    date: Day | None = None
    by: PlainText = ""
    stays: tuple[Fitted, ...] = Field((), description="Equipment that stays: judged, never chosen anew")
    measured: tuple[Measured, ...] = ()
    unknown: tuple[NotKnown, ...] = ()
