"""Who it is for, what it is, and what the survey found."""

from typing import Literal

from pydantic import Field, model_validator

from proposal.reading import Day, Fault, Loc, MonthDay, Name, PlainText, WholeNumber, YesNo
from proposal.spec.pricebook import Section
from proposal.units import AngleDeg, AreaCm2, Days, DurationH, ResistanceOhm, Share, Size, TemperatureC, VoltageV

DAYS_OF_YEAR = 365
DAYS_MISCOUNTED = 3


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
    unattended_days: Days | None = Field(
        None, alias="left_alone", description="Longest time that nobody is aboard and nothing charges"
    )
    insulation_c: TemperatureC = Field(105.0, alias="insulation", description="Temperature class of new conductors")
    engine_runs: Literal["as_needed", "every_day"] | None = Field(
        None, description="For charging; absent: every day in a camper, elsewhere when the house is low in the evening"
    )
    engine_below_share: Share | None = Field(
        None, alias="engine_below", description="House charge below which engine or generator is run; absent: 50 %"
    )
    left_on: Name | None = Field(
        None, description="Load forgotten when everybody leaves; absent: the largest that runs for long"
    )


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
    vent_inlet_cm2: AreaCm2 | None = Field(None, alias="vent_inlet", description="Free area of the low opening")
    vent_outlet_cm2: AreaCm2 | None = Field(None, alias="vent_outlet", description="Free area of the high opening")
    gas_led_outside: YesNo | None = Field(None, description="Gas from a failing battery here cannot reach people")


class Season(Section):
    """One part of the year with its weather and use."""

    title: PlainText
    days: Days = Field(description="Length of the season")
    sun_h: DurationH = Field(alias="sun", description="Full-sun hours per day on the array as it is mounted")
    temperature_c: TemperatureC = Field(alias="temperature", description="Usual day temperature")
    use: Share = Field(1.0, description="Share of days on which people live aboard, the loads marked standby apart")
    begins_day: MonthDay | None = Field(
        None, alias="begins", description="First day; absent: when the one before it ends, the first on 1 January"
    )


class Position(Section):
    """Where the vessel is kept, for the height of the sun."""

    latitude_deg: AngleDeg = Field(alias="latitude", ge=-90, le=90, description="North positive")
    longitude_deg: AngleDeg = Field(0.0, alias="longitude", ge=-180, le=180, description="East positive")


class Climate(Section):
    """Temperatures and sun."""

    seasons: dict[Name, Season] = Field(min_length=1)
    places: dict[Name, Place] = Field(min_length=1)
    position: Position | None = Field(None, description="Absent: every day is taken as twelve hours long")

    @model_validator(mode="after")
    def _seasons_fill_the_year(self) -> "Climate":
        """Seasons with a first day must end where the next begins; a few days are left to whoever counts them."""
        if all(season.begins_day is None for season in self.seasons.values()):
            return self
        firsts = self.first_days()
        faults: list[tuple[Loc, str, str]] = []
        for (name, season), first in zip(self.seasons.items(), firsts, strict=True):
            until_next = min(((other - first) % DAYS_OF_YEAR or DAYS_OF_YEAR) for other in firsts)
            if abs(until_next - season.days) > DAYS_MISCOUNTED:
                what = f"this season has {season.days:g} days, but {until_next} until the next one begins"
                faults.append((("seasons", name, "days"), what, f"`days: {until_next} days`, or another `begins`"))
        if faults:
            raise Fault(faults)
        return self

    def first_days(self) -> tuple[int, ...]:
        """Days since 1 January on which the seasons begin, in their order.

        Without `begins` a season follows the one before it, the first begins on 1 January. Where none states its first
        day, lengths are stretched or cut alike so that they fill the year.
        """
        stated = any(season.begins_day is not None for season in self.seasons.values())
        total = sum(season.days for season in self.seasons.values())
        scale = DAYS_OF_YEAR / total if total > 0 and not stated else 1.0
        firsts, here = [], 0.0
        for season in self.seasons.values():
            here = float(season.begins_day) if season.begins_day is not None else here
            firsts.append(round(here) % DAYS_OF_YEAR if stated else min(round(here), DAYS_OF_YEAR - 1))
            here += season.days * scale
        return tuple(firsts)


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


class Mains(Section):
    """The mains side, as far as this system meets it. The rest is a qualified person's."""

    by: PlainText = Field("", description="Who is responsible for the mains side")
    begins_at: PlainText = Field("", description="Where that responsibility begins, for example the charger's plug")
    earth_bonded: YesNo | None = Field(None, description="Mains earth is joined to the DC negative")
    residual_device: YesNo | None = Field(None, description="A 30 mA residual-current device at the inlet")
    neutral_switched: YesNo | None = Field(None, description="The inverter's neutral bond opens when shore power is on")
    case_conductor: Size | None = Field(None, description="Conductor from the inverter's or charger's case to earth")
    shore_earth: Literal["isolator", "transformer", "plain"] | None = Field(
        None, description="What stands in the shore earth against corrosion; it is never cut"
    )


class Bonding(Section):
    """How the DC system is tied to earth or hull."""

    bonds: WholeNumber | None = Field(None, ge=0, le=100, description="Joints between DC negative and earth or hull")
    common_negative: YesNo | None = Field(None, description="The negatives of all banks are joined")
    positive_to_hull_ohm: ResistanceOhm | None = Field(
        None, alias="positive_to_hull", description="Measured with everything switched on at the panel"
    )


ConsentCode = Literal[
    "lithium_with_lead", "series", "lithium_insurer", "alternator_regulator", "mains_electrician", "holes"
]
"""Consents that the computation asks for by itself."""


class Consent(Section):
    """Somebody's word in writing that is needed: a battery's maker, an insurer, a landlord."""

    who: PlainText
    what: PlainText
    given: Day | None = Field(None, description="Date of the paper; absent: still to be asked for")
    where: PlainText = Field("", description="Where the paper is kept")
    settles: ConsentCode | None = Field(
        None, description="Which of the consents on the sheet this paper is; absent: one of your own"
    )
