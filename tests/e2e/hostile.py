"""A project in which every field of free text holds something that wants to be more than text."""

from __future__ import annotations

import random
import types
import typing
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from pydantic import BaseModel

from proposal.reading import PlainText
from proposal.spec.installer import Installer
from proposal.spec.pricebook import PriceBook
from proposal.spec.project import Spec
from tests.generate import PROJECTS, spec_text

PAYLOADS = (
    "<script>alert(1)</script>{{ 7*7 }}|javascript:alert(1)&amp;&<b>_*#[](x)~^$",
    "[a](javascript:alert(1)) {: onclick=alert(1) } \"'><img src=x onerror=alert(1)></text>{% raw %}${1}\\n`%s",
)
HARMLESS = "Starboard locker under the chart table, behind the second bulkhead, by the seacock"
"""As long as the payloads."""
MACHINE_WORDS = {
    ("Installer", "price_book"), ("Installer", "currency"), ("Installer", "locale"), ("PriceBook", "currency"),
    ("Installer", "record_address"),
    ("Fitted", "item"), ("Fitted", "fitted"), ("AcceptedRisk", "finding"), ("AcceptedRisk", "item"),
    ("Option", "pins"),
}  # fmt: skip
"""Fields of text that must be words which the program knows."""


# --- which fields there are ------------------------------------------------------------------------------------------


def _models(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """A model and every model in it."""
    seen: dict[type[BaseModel], None] = {}
    waiting: list[Any] = [model]
    while waiting:
        here = waiting.pop()
        if isinstance(here, type) and issubclass(here, BaseModel):
            if here not in seen:
                seen[here] = None
                waiting += [f.annotation for f in here.model_fields.values()]
        else:
            waiting += typing.get_args(here)
    return iter(seen)


def _is_text(annotation: Any, metadata: list[Any]) -> bool:
    written = typing.get_args(PlainText)[1]
    if written in metadata:
        return True
    return any(
        _is_text(arg, list(typing.get_args(arg)[1:]) if typing.get_origin(arg) is typing.Annotated else [])
        for arg in typing.get_args(annotation)
        if not isinstance(arg, types.EllipsisType)
    )


def text_fields(model: type[BaseModel]) -> set[tuple[str, str]]:
    """Model and key of every field of free text."""
    return {
        (owner.__name__, info.alias or name)
        for owner in _models(model)
        for name, info in owner.model_fields.items()
        if _is_text(info.annotation, list(info.metadata))
    } - MACHINE_WORDS


# --- a project full of them ------------------------------------------------------------------------------------------


@dataclass
class Spoiler:
    """Puts a text of its own into every field of free text and remembers where."""

    payloads: tuple[str, ...]
    typed: dict[int, str] = field(default_factory=dict)

    def text(self) -> str:
        """A text that no other field has."""
        number = len(self.typed)
        self.typed[number] = f"{number:03d}{self.payloads[number % len(self.payloads)]}"
        return self.typed[number]

    def spoil(self, item: Any, keys: set[str], at: tuple[str, ...] = ()) -> Any:
        """The same document with its texts replaced."""
        if isinstance(item, dict):
            return {key: self.spoil(value, keys, (*at, str(key))) for key, value in item.items()}
        if isinstance(item, list):
            return [self.spoil(value, keys, at) for value in item]
        a_day = at[-1] == "date" and at[0] in ("proposal", "survey")
        if at[-1] in keys and not a_day:
            return self.text()
        return item


def base_spec() -> Any:
    """A spec in which every section and every kind of text stands once at least, small for the rest."""
    wanted = {"solar", "alternator", "shore", "wind"}
    for seed in range(200):
        draws = random.Random(seed)  # noqa: S311 - test data
        arrangements = ("lead_and_lithium_with_starter", "composed")
        text = spec_text(draws, arrangements=arrangements, voltage_v=12, engine=True, most_loads=3)
        made = yaml.safe_load(text)
        composition = made["options"]["way_b"]["composition"]
        if wanted <= made["sources"].keys() and made.get("panels") and composition.get("links"):
            break
    made["rules"] = "iso_boats"
    made["client"]["contact"] = made["vessel"]["description"] = made["proposal"]["number"] = "x"
    made["proposal"]["revision"] = made["engine"]["title"] = "x"
    made["survey"] = {
        "date": "2026-05-01", "by": "x",
        "stays": [{"item": "loads.load_0.positive", "fitted": "8 AWG", "condition": "x"}],
        "measured": [{"what": "x", "reading": "x", "where": "x"}], "unknown": [{"what": "x", "find_out": "x"}],
    }  # fmt: skip
    made["mains"] = {"by": "x", "begins_at": "x"}
    made["consents"] = [{"who": "x", "what": "x", "where": "x"}, {"who": "x", "what": "x", "given": "2026-05-01"}]
    made["extras"] = [{"part": "cable_labels", "why": "x"}, {"part": "odd"}]
    made["routes"]["way_0"]["title"] = "x"
    made["parts"] = {"odd": {"kind": "other", "title": "x", "source": "x", "price": "1.00", "unit": "x"}}
    for option in made["options"].values():
        option |= {"emergency_off": {"title": "x", "acts": "coil"}}
        option |= {"pitch": "x", "choose_if": ["x", "x"], "extras": [{"part": "cable_labels", "why": "x"}]}
        option["accepted"] = [
            {"finding": name, "reason": "x", "name": "x"}
            for name in ("bank_without_switch", "relay_thresholds_fooled", "voltage_drop_high", "lead_never_full")
        ]
    return made


def lay_out(folder: Path, payloads: tuple[str, ...]) -> tuple[Path, Spoiler]:
    """A project with such texts everywhere."""
    spoiler = Spoiler(payloads)
    files = {"installer.yaml": Installer, "prices.yaml": PriceBook, "vessel/spec.yaml": Spec}
    (folder / "vessel").mkdir(parents=True)
    for name, model in files.items():
        text = "" if model is Spec else (PROJECTS / name).read_text(encoding="utf-8")
        # Values stay text, as a person typed them; only what is replaced is quoted anew.
        document = base_spec() if model is Spec else yaml.load(text, yaml.BaseLoader)  # noqa: S506 - makes text alone
        if model is Installer:
            row = {"size": "1 mm2", "insulation": "105 °C", "current": "20 A"}
            document["bought_tables"] = {"iso_boats": {"edition": "x", "ampacity": [row]}}
        keys = {key for _, key in text_fields(model)}
        spoilt = spoiler.spoil(document, keys)
        made = yaml.safe_dump(spoilt, sort_keys=False, allow_unicode=True, width=9999)
        (folder / name).write_text(made, encoding="utf-8")
    return folder / "vessel", spoiler
