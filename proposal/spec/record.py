"""What was really fitted, measured and changed: the entries of a vessel's record, `record/NN-NAME.yaml`.

The first entry is the hand-over: the option that was chosen and everything as it was fitted. Each later one is a change
or a visit. Entries that were sealed never change; what is new is a new entry.
"""

from typing import Any, Literal

from pydantic import Field

from proposal.facts import Severity
from proposal.reading import Day, Name, PlainText, TextOrBlank, YesNo
from proposal.spec.options import AcceptedRisk
from proposal.spec.pricebook import Section
from proposal.units import CurrentA

ENTRY_VERSION = "1"

TestName = Literal[
    "load_drop", "device_drop", "cranking_drop", "starter_voltage", "torque", "joint_rise", "standing_drain", "sense",
    "relay_joins", "relay_releases", "relay_delay", "shunt", "sharing", "rest_spread", "contactor_open",
    "alternator_hot", "stops_high", "stops_low", "stops_cold", "emergency_off", "pump_main_off", "pump_lithium_off",
    "alarm", "battery_moves", "insulation", "polarity",
]  # fmt: skip
"""Tests of commissioning; what each asks for, its tolerance and its source stand in studies/commissioning."""


class Agreed(Section):
    """The revision that the client signed."""

    by: PlainText
    date: Day
    revision: PlainText


class FittedItem(Section):
    """One item as it was fitted. `is` makes it a pin: it is judged and never chosen anew."""

    part: PlainText | None = Field(
        None, alias="is", description="Part id or conductor size; absent for batteries, loads and charge sources"
    )
    serial: TextOrBlank = ""
    firmware: TextOrBlank = ""
    settings: dict[Name, PlainText] = Field(default_factory=dict, description="As read back from the device")
    route_as_run: TextOrBlank = Field("", description="Where it really runs, for whoever has to find it")
    fitted_on: Day | None = Field(None, description="Absent: the day of the entry")
    because: TextOrBlank = Field("", description="Why it is not what was proposed")
    note: TextOrBlank = ""


class Change(Section):
    """A value of the spec that turned out otherwise, by its path in `spec.yaml`, for example routes.windlass.length.

    One of: `now`, the value or section that stands there now; `add`, one more entry of a list; `removed`.
    """

    at: PlainText
    now: Any = Field(None, description="What stands there now: a value, or a whole section")
    add: Any = Field(None, description="One more entry for a list")
    removed: YesNo = False
    because: PlainText


class Reading(Section):
    """One test of commissioning or of a later visit."""

    test: TestName
    item: TextOrBlank = Field("", description="Key of the item; absent for the system as a whole")
    end: TextOrBlank = Field("", description="Which end, leg or place, where an item has several, for example positive")
    value: PlainText | None = Field(None, description="What was read, with its unit")
    at_a: CurrentA | None = Field(None, alias="at", description="Current that flowed while it was read")
    wanted: PlainText | None = Field(None, description="The maker's figure, where only the maker knows what is right")
    passed: YesNo | None = Field(None, description="Of a test that has no figure")
    how: TextOrBlank = Field("", description="By which way, for example: by the auxiliary contact")
    instrument: TextOrBlank = ""
    by: TextOrBlank = Field("", description="Absent: who made the entry")
    on: Day | None = Field(None, alias="date", description="Absent: the day of the entry")
    note: TextOrBlank = ""


class Photo(Section):
    """A photo in `record/photos/`."""

    file: PlainText = Field(description="Name of a JPEG or PNG file in record/photos")
    title: PlainText
    item: TextOrBlank = Field("", description="Key of the item that it shows")
    place: Name | None = Field(None, description="One of climate.places")
    hidden: YesNo = Field(False, description="Shows what cannot be seen any more")
    invented: YesNo = Field(False, description="Made up for demonstration; shown as such")
    on: Day | None = Field(None, alias="date", description="Absent: the day of the entry")
    by: TextOrBlank = ""


class Defect(Section):
    """Something that is not as it should be, or still has to be done; it stays open until a later entry mends it."""

    what: PlainText
    item: TextOrBlank = ""
    severity: Severity = "fault"
    mend_by: Day | None = None
    by: TextOrBlank = Field("", description="Who has it to do")


class Mended(Section):
    """A defect of an earlier entry, or of this one, that is done with."""

    defect: Name
    how: PlainText
    on: Day | None = Field(None, alias="date", description="Absent: the day of the entry")
    by: TextOrBlank = ""


class Upkeep(Section):
    """Upkeep that was done."""

    task: Name = Field(description="One of the tasks of the upkeep list")
    on: Day | None = Field(None, alias="date", description="Absent: the day of the entry")
    by: TextOrBlank = ""
    note: TextOrBlank = ""


class Entry(Section):
    """One entry of the record."""

    entry_version: Literal["1"]
    kind: Literal["hand_over", "change", "visit"]
    title: PlainText
    date: Day
    by: PlainText = Field(description="Who answers for it")
    licence: TextOrBlank = ""
    option: Name | None = Field(None, description="The chosen option; in the first entry alone")
    agreed: Agreed | None = None
    turned_down: dict[Name, PlainText] = Field(
        default_factory=dict, description="Options that were not chosen, and why"
    )
    fitted: dict[str, FittedItem] = Field(default_factory=dict, description="By item key")
    changes: tuple[Change, ...] = ()
    measured: tuple[Reading, ...] = ()
    photos: tuple[Photo, ...] = ()
    defects: dict[Name, Defect] = Field(default_factory=dict)
    mended: tuple[Mended, ...] = ()
    accepted: tuple[AcceptedRisk, ...] = Field((), description="Findings that somebody accepts, by name, with reason")
    upkeep: tuple[Upkeep, ...] = ()
    notes: tuple[PlainText, ...] = ()
    keep_location: YesNo = Field(False, description="Leave the place where photos were taken in their files")
