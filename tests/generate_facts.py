"""What a survey may state besides, drawn at random into a generated spec: fittings, settings, mains, papers."""

from __future__ import annotations

import random
from typing import Any

from proposal.rules.registry import CHECKS

Section = dict[str, Any]
YES_NO = ("yes", "no")

BANK = {
    "moves": ("2 mm", "30 mm"), "fuel_part_within": ("100 mm", "2 m"), "above_bilge": YES_NO,
    "terminals_covered": YES_NO, "equalised": YES_NO, "balanced": YES_NO,
}  # fmt: skip
PLACE = {
    "people_sleep": YES_NO, "vented": YES_NO, "fuel_vapour": YES_NO, "gas_led_outside": YES_NO,
    "vent_inlet": ("5 cm2", "200 cm2"), "vent_outlet": ("5 cm2", "200 cm2"),
}  # fmt: skip
ROUTE = {"supported_every": ("300 mm", "450 mm", "1 m")}
LOAD = {
    "serves": ("bilge_pump", "high_water_alarm", "navigation", "radio", "engine_control"), "ignition_protected": YES_NO,
    "locked_rotor": ("3 A", "60 A"), "inrush_time": ("0.3 s",), "precharge": YES_NO, "voltage_max": ("15 V", "62 V"),
}  # fmt: skip
SOURCE = {
    "stopped_by": ("management", "own_sensing", "nothing"), "stops_within": ("0.1 s", "3 s"),
    "bypasses_management": YES_NO, "senses": ("battery", "terminals"), "compensation": ("0 mV/K", "-24 mV/K"),
    "absorption_time": ("0 h", "3 h"), "ignition_protected": YES_NO,
}  # fmt: skip
MAINS = {
    "by": ("The electrician",), "begins_at": ("the plug",), "earth_bonded": YES_NO, "residual_device": YES_NO,
    "neutral_switched": YES_NO, "case_conductor": ("6 mm2", "2/0 AWG"),
    "shore_earth": ("isolator", "transformer", "plain"),
}  # fmt: skip
BONDING = {"bonds": ("0", "1", "3"), "common_negative": YES_NO, "positive_to_hull": ("500 ohm", "1 Mohm")}
CONSENTS = ("lithium_with_lead", "series", "lithium_insurer", "alternator_regulator", "mains_electrician", "holes")


def add_facts(rng: random.Random, spec: Section) -> None:
    """State more about a spec, each fact or none of it at random: nothing that was there changes."""
    hull = {"boat": ("plastic", "wood", "metal")}.get(spec["vessel"]["kind"], ("not_a_boat",))
    spec["vessel"] |= {
        "hull": rng.choice(hull), "fuel": rng.choice(("diesel", "petrol", "gas", "none")),
        "mains_aboard": rng.choice(YES_NO),
    }  # fmt: skip
    groups = (
        (spec["climate"]["places"].values(), PLACE), (spec["routes"].values(), ROUTE), (spec["loads"].values(), LOAD),
        (spec["sources"].values(), SOURCE),
    )  # fmt: skip
    for entries, facts in groups:
        for entry in entries:
            entry.update(_some(rng, facts))
    for option in spec["options"].values():
        for bank in option["banks"].values():
            bank.update(_some(rng, BANK))
        option["accepted"] = [
            {"finding": check.id, "name": "Somebody", "reason": "It is bearable."} for check in rng.sample(CHECKS, 3)
        ]
    spec["mains"], spec["bonding"] = _some(rng, MAINS), _some(rng, BONDING)
    spec["consents"] = [
        {"who": "Somebody", "what": "Something", **({"settles": code} if rng.random() < 0.8 else {}),
         **({"given": "2026-05-30"} if rng.random() < 0.5 else {})}
        for code in rng.sample(CONSENTS, 3)
    ]  # fmt: skip


def _some(rng: random.Random, facts: dict[str, tuple[str, ...]]) -> Section:
    return {name: rng.choice(values) for name, values in facts.items() if rng.random() < 0.5}
