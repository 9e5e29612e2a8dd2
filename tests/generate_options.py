"""The options of a random spec: banks, links and hand-composed arrangements over parts of the price book."""

from __future__ import annotations

import random
from typing import Any

from proposal.parts.catalogue import Catalogue
from proposal.spec.pricebook import BatteryPart

ARRANGEMENTS = (
    "one_bank",
    "house_and_starter",
    "lead_and_lithium",
    "lead_and_lithium_with_starter",
    "lithium_with_dc_dc",
    "composed",
)
DC_DC = {12: ("dc_dc_12_12_18", "dc_dc_12_12_30"), 24: ("dc_dc_24_24_15",), 48: ("dc_dc_48_48_8",)}
Section = dict[str, Any]


def option(
    rng: random.Random,
    arrangement: str,
    volts: int,
    places: list[str],
    routes: list[str],
    catalogue: Catalogue,
    with_engine: bool,
) -> Section:
    """One option of an arrangement."""
    bank = _Banks(rng, volts, places, routes, catalogue)
    made: Section = {"title": arrangement, "arrangement": arrangement}
    if arrangement == "one_bank":
        made["banks"] = {"house": bank.draw("lead" if with_engine else rng.choice(("lead", "lithium")))}
    elif arrangement == "house_and_starter":
        made["banks"] = {"house": bank.draw(rng.choice(("lead", "lithium"))), "starter": bank.draw("starter")}
        made |= {"house": "house", "vsr": relay(rng, volts, routes)}
    elif arrangement == "lead_and_lithium":
        made["banks"] = {"lead": bank.draw("lead"), "lithium": bank.draw("lithium")}
        made["contactor"] = contactor(rng, volts)
    elif arrangement == "lead_and_lithium_with_starter":
        made["banks"] = {"lead": bank.draw("lead"), "lithium": bank.draw("lithium"), "starter": bank.draw("starter")}
        made |= {"start": "starter", "contactor": contactor(rng, volts), "vsr": relay(rng, volts, routes)}
    elif arrangement == "lithium_with_dc_dc":
        made["banks"] = {"lithium": bank.draw("lithium"), "starter": bank.draw("starter")}
        made["dc_dc"] = {
            "part": rng.choice(DC_DC[volts]), "route": rng.choice(routes), "charges": rng.choice(("start", "house")),
            "voltage": f"{14.2 * volts / 12:.1f} V",
        }  # fmt: skip
    else:
        made |= composed(rng, bank, volts, routes, with_engine)
    if "vsr" in made and rng.random() < 0.5:
        made["emergency_parallel"] = "yes"
    return made


def contactor(rng: random.Random, volts: int) -> Section:
    """A contactor's section, sometimes with its part named."""
    kind = rng.choice(("held", "latching"))
    made: Section = {"driven_as": kind, "opens_above": f"{14.4 * volts / 12:.1f} V"}
    if rng.random() < 0.3:
        made["part"] = f"{'contactor' if kind == 'held' else 'latching'}_{volts}v_300"
    return made


def relay(rng: random.Random, volts: int, routes: list[str]) -> Section:
    """A voltage-sensitive relay's section, its part and thresholds named or left open."""
    made: Section = {"route": rng.choice(routes)}
    if rng.random() < 0.5:
        made["part"] = f"vsr_{volts}v_{rng.choice((140, 200))}"
    if rng.random() < 0.5:
        made |= {"joins": f"{13.3 * volts / 12:.2f} V", "releases": f"{12.8 * volts / 12:.2f} V"}
    return made


class _Banks:
    """Draws banks that fit a system voltage."""

    def __init__(
        self, rng: random.Random, volts: int, places: list[str], routes: list[str], catalogue: Catalogue
    ) -> None:
        self.rng, self.volts, self.places = rng, volts, places
        self.routes = [r for r in routes if r.startswith("short")]
        self.batteries = {i: p for i, p in catalogue.parts.items() if isinstance(p, BatteryPart)}

    def draw(self, sort: str) -> Section:
        """A bank of a sort: lead, lithium or starter (lead with a cranking rating)."""
        rng = self.rng
        fitting = [
            part_id
            for part_id, part in self.batteries.items()
            if (part.chemistry == "lithium") == (sort == "lithium")
            and (sort != "starter" or part.cranking_a is not None)
            and part.voltage_v < 1.15 * self.volts
        ]
        battery = rng.choice(fitting)
        series = round(self.volts / self.batteries[battery].voltage_v)
        bank: Section = {
            "title": sort, "battery": battery, "series": str(series), "place": rng.choice(self.places),
            "parallel": "1" if sort == "starter" else str(rng.choice((1, 1, 2, 3, 4))),
            "route": rng.choice(self.routes),
        }  # fmt: skip
        for name, share in (("switch", 0.1), ("shunt", 0.4)):
            bank |= {name: "no"} if rng.random() < share else {}
        bank |= {"fuse_per_battery": rng.choice(("yes", "no"))} if rng.random() < 0.3 else {}
        bank |= {"fuse_after": "0 m"} if rng.random() < 0.1 else {}
        return bank | (self._chained(bank) if int(bank["parallel"]) > 1 else {})

    def _chained(self, bank: Section) -> Section:
        """Of some banks a chain; drawn apart, so that every other figure of a seed stays as it is."""
        rng = random.Random(repr(sorted(bank.items())))  # noqa: S311 - test data
        if rng.random() < 0.6:
            return {}
        return {"joined": "chain", "take_off": rng.choice(("same_end", "both_ends"))}


def composed(rng: random.Random, bank: _Banks, volts: int, routes: list[str], with_engine: bool) -> Section:
    """Two to four buses joined by a tree of links, now and then by one more, a bank or two on each bus."""
    names = ["house", "start", "aft", "fore"][: rng.randint(1, 4)]
    buses: Section = {name: {"title": name} for name in names}
    buses["house"]["side"] = "house"
    if "start" in buses:
        buses["start"]["side"] = "start"
    links: Section = {}
    for number, name in enumerate(names[1:]):
        links[f"to_{name}"] = _link(rng, volts, routes, rng.choice(names[: number + 1]), name)
    if len(names) > 2 and rng.random() < 0.3:
        links["ring"] = _link(rng, volts, routes, names[0], names[-1])
    starts = "start" if "start" in buses else "house"
    banks: Section = {}
    landed: Section = {}
    for name in names:
        if name == starts and with_engine:
            banks["starter"], landed["starter"] = bank.draw("starter"), {"bus": name}
        if name != "start":
            for number in range(rng.randint(1, 2)):
                sort = rng.choice(("lead", "lithium"))
                banks[f"{name}_{number}"] = bank.draw(sort)
                through = "contactor" if name == "house" or rng.random() < 0.3 else "direct"
                landed[f"{name}_{number}"] = {"bus": name, "through": through}
    composition: Section = {"buses": buses, "banks": banks and landed}
    composition |= {"links": links} if links else {}
    made: Section = {"banks": banks, "composition": composition}
    return made | ({"start": "starter"} if with_engine else {})


def _link(rng: random.Random, volts: int, routes: list[str], one: str, other: str) -> Section:
    kind = rng.choice(("conductor", "switch", "contactor", "vsr", "dc_dc"))
    link: Section = {
        "kind": kind, "title": "Link", "from": one, "to": other, "route": rng.choice(routes),
        "fused": rng.choice(("both_ends", "both_ends", "from_end", "to_end", "none")),
    }  # fmt: skip
    if kind == "dc_dc":
        link |= {"part": rng.choice(DC_DC[volts]), "voltage": f"{14.2 * volts / 12:.1f} V"}
    elif kind == "vsr":
        link["part"] = f"vsr_{volts}v_200"
    return link
