"""The business that makes the proposals: shared by all projects beside it."""

import re
from typing import Literal

from pydantic import Field, model_validator

from proposal.reading import Fault, Money, Name, PlainText, WholeNumber
from proposal.spec.pricebook import LabourHours, Section
from proposal.units import CurrentA, LengthM, Share, Size, TemperatureC

WEB_ADDRESS = re.compile(r"https?://[!-~]{1,391}")
"""Signs that an address may hold are those of ASCII without the space."""


class Families(Section):
    """Rule family for each kind of vessel; absent: the usual one for its kind."""

    boat: Name | None = None
    camper: Name | None = None
    cabin: Name | None = None


class BoughtAmpacity(Section):
    """One cell of a bought table: what a conductor may carry for hours."""

    size: Size
    insulation_c: TemperatureC = Field(alias="insulation", description="Temperature class of the column")
    current_a: CurrentA = Field(alias="current", description="At the table's own ambient, 30 °C")


class BoughtTable(Section):
    """Ampacities copied from an edition that the business bought; they stand in place of what the tool remembers."""

    edition: PlainText = Field(description="Title, number and year of the edition, as citations shall name it")
    ampacity: tuple[BoughtAmpacity, ...] = Field(min_length=1)
    fuse_share: Share | None = Field(
        None, alias="fuse_at_most", description="Largest fuse as a share of what its conductor may carry"
    )
    fuse_distance_m: LengthM | None = Field(
        None, alias="fuse_within", description="Longest single conductor between a source and its fuse"
    )
    fuse_distance_sheathed_m: LengthM | None = Field(
        None, alias="fuse_within_sheathed", description="The same where it is sheathed or enclosed"
    )


class Installer(Section):
    """`projects/installer.yaml`."""

    installer_version: Literal["1"]
    name: PlainText
    contact: PlainText = ""
    licence: PlainText = Field("", description="Licence or registration text printed on the cover")
    currency: PlainText = Field(description="Three letters, ISO 4217")
    tax: Share = Field(description="Added to material and labour alike")
    tax_name: PlainText = "Tax"
    hourly_rate: Money
    labour: LabourHours
    contingency: Share = Field(0.05, description="Added to material and labour for what hidden runs bring")
    engine_cost_per_hour: Money | None = Field(
        None, description="What an hour of the main engine for charging costs the client: fuel and wear, with tax"
    )
    generator_cost_per_hour: Money | None = Field(None, description="The same of a generator")
    price_book: PlainText = Field("prices.yaml", description="File beside this one")
    rules: Families = Families.model_construct()
    bought_tables: dict[Name, BoughtTable] = Field(
        default_factory=dict, description="Tables of bought editions, by rule family"
    )
    locale: PlainText = Field("en_GB", description="How numbers and dates are written")
    cautions: tuple[PlainText, ...] = Field((), description="Cautions of the business, shown beside the usual ones")
    terms: tuple[PlainText, ...] = Field((), description="Terms of payment and warranty, one sentence each")
    record_address: PlainText = Field(
        "", description="Web address of your records, for a code on the battery box; {number} stands for the proposal's"
    )
    telephone: PlainText = Field("", description="For the emergency card")
    proposal_valid_days: WholeNumber = 30

    @model_validator(mode="after")
    def _web_address(self) -> "Installer":
        if self.record_address and not WEB_ADDRESS.fullmatch(self.record_address):
            allowed = "such as https://records.example/{number}, with no space in it"
            raise Fault([(("record_address",), "is not a web address", allowed)])
        return self
