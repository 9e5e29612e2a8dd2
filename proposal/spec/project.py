"""The whole spec of one vessel: `spec.yaml`."""

from typing import Literal

from pydantic import Field

from proposal.reading import Name
from proposal.spec.equipment import Engine, Load, Panel, Route, Source
from proposal.spec.options import ExtraLine, Option
from proposal.spec.pricebook import Part, Section
from proposal.spec.vessel import Bonding, Client, Climate, Consent, Document, Mains, Survey, System, Vessel

SPEC_VERSION = "1"


class Spec(Section):
    """One vessel, one structured spec: a common base, and at least two ways to build it."""

    spec_version: Literal["1"]
    client: Client
    vessel: Vessel
    document: Document = Field(alias="proposal")
    rules: Name | None = Field(None, description="Rule family; absent: the installer's for this kind of vessel")
    system: System
    climate: Climate
    survey: Survey = Survey.model_construct()
    engine: Engine | None = None
    routes: dict[Name, Route] = Field(min_length=1)
    panels: dict[Name, Panel] = Field(default_factory=dict)
    loads: dict[Name, Load] = Field(min_length=1)
    sources: dict[Name, Source] = Field(min_length=1)
    mains: Mains | None = None
    bonding: Bonding | None = None
    consents: tuple[Consent, ...] = ()
    parts: dict[Name, Part] = Field(default_factory=dict, description="Parts that are not in the price book")
    extras: tuple[ExtraLine, ...] = Field((), description="Priced in every option")
    options: dict[Name, Option] = Field(min_length=2)
