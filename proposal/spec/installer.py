"""The business that makes the proposals: shared by all projects beside it."""

from typing import Literal

from pydantic import Field

from proposal.reading import Money, PlainText, WholeNumber
from proposal.spec.pricebook import LabourHours, Section
from proposal.units import Share

FamilyId = Literal["us_boats", "nec_cabins"]


class Families(Section):
    """Rule family for each kind of vessel."""

    boat: FamilyId = "us_boats"
    camper: FamilyId = "nec_cabins"
    cabin: FamilyId = "nec_cabins"


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
    price_book: PlainText = Field("prices.yaml", description="File beside this one")
    rules: Families = Families.model_construct()
    locale: PlainText = Field("en_GB", description="How numbers and dates are written")
    cautions: tuple[PlainText, ...] = Field((), description="Cautions of the business, shown beside the usual ones")
    terms: tuple[PlainText, ...] = Field((), description="Terms of payment and warranty, one sentence each")
    proposal_valid_days: WholeNumber = 30
