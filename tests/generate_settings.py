"""Random settings laid over a random spec: what sources are set to, what is known of places, banks and modules."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import yaml

from tests.generate import spec_text

Section = dict[str, Any]
Draw = Callable[[random.Random, float], Any]


def settings_text(seed: int | str, *, share: float = 0.6, **fixed: Any) -> str:
    """YAML of a random valid spec; each setting that a check asks for is stated in this share of the cases."""
    rng = random.Random(f"settings {seed}")  # noqa: S311 - test data
    spec = yaml.safe_load(spec_text(rng, **fixed))
    scale = float(spec["system"]["voltage"].split()[0]) / 12.0
    spec["system"] |= _drawn(rng, scale, share, {"engine_time_accepted": lambda r, _: f"{r.choice((0, 1, 4))} h"})
    for place in spec["climate"]["places"].values():
        place.update(_drawn(rng, scale, share, PLACE))
    for load in spec["loads"].values():
        load.update(_drawn(rng, scale, 0.3 * share, LOAD))
    for source in spec["sources"].values():
        source.update(_drawn(rng, scale, share, SOURCE | KINDS.get(source["kind"], {})))
    _days(rng, scale, share, spec["climate"])
    for option in spec["options"].values():
        for bank in option["banks"].values():
            bank.update(_drawn(rng, scale, share, BANK))
            if rng.random() < 0.3 * share:
                bank["rest_voltages"] = [f"{rng.uniform(12, 13):.2f} V" for _ in range(rng.randint(0, 3))]
        if "contactor" in option:
            option["contactor"] |= _drawn(rng, scale, share, CONTACTOR)
        if "dc_dc" in option:
            option["dc_dc"] |= _drawn(rng, scale, share, LINK)
        if rng.random() < 0.3 * share:
            option["settings"] = {rng.choice(list(spec["sources"])): {"voltage": f"{14.6 * scale:.1f} V"}}
    return yaml.safe_dump(spec, sort_keys=False, allow_unicode=True, width=200)


def _days(rng: random.Random, scale: float, share: float, climate: Section) -> None:
    """Where it lies, and one year of two seasons, which begin anywhere and on whose days somebody may be aboard."""
    if rng.random() < share:
        climate["position"] = {
            "latitude": f"{rng.uniform(-66, 66):.2f} °",
            "longitude": f"{rng.uniform(-180, 180):.1f} °",
        }
    if rng.random() < share:
        (whole,) = climate["seasons"].values()
        days = rng.randint(1, 364)
        climate["seasons"] = {
            "first": {**whole, "days": f"{days} days"} | _drawn(rng, scale, 0.7, SEASON | BEGINS),
            "second": {**whole, "days": f"{365 - days} days", "sun": "0.6 h"} | _drawn(rng, scale, 0.7, SEASON),
        }


def _drawn(rng: random.Random, scale: float, share: float, draws: dict[str, Draw]) -> Section:
    return {name: draw(rng, scale) for name, draw in draws.items() if rng.random() < share}


def _volts(*at_12_v: float) -> Draw:
    return lambda rng, scale: f"{rng.choice(at_12_v) * scale:.2f} V"


def _one_of(*values: str) -> Draw:
    return lambda rng, _: rng.choice(values)


YES_NO = _one_of("yes", "no")
SENSES, STOPPED = _one_of("battery", "terminals"), _one_of("management", "own_sensing", "nothing")
PLACE: dict[str, Draw] = {
    "people_sleep": YES_NO, "vent_inlet": _one_of("5 cm2", "50 cm2", "500 cm2"),
    "vent_outlet": _one_of("5 cm2", "50 cm2", "500 cm2"), "gas_led_outside": YES_NO,
}  # fmt: skip
SEASON: dict[str, Draw] = {"use": _one_of("0 %", "20 %", "60 %")}
BEGINS: dict[str, Draw] = {"begins": _one_of("01-01", "03-15", "12-31")}
LOAD: dict[str, Draw] = {
    "voltage_max": _volts(14.0, 15.0, 16.0), "tapped": YES_NO, "duty": _one_of("0 %", "8 %", "50 %", "100 %"),
    "when": _one_of("any", "morning", "day", "evening", "night"),
}  # fmt: skip
SOURCE: dict[str, Draw] = {
    "stopped_by": STOPPED, "senses": SENSES, "float": _volts(13.4, 13.8), "absorption_time": _one_of("0.5 h", "4 h"),
    "tail_current": _one_of("0.5 A", "5 A", "20 A"), "restarts_below": _volts(12.4, 13.0, 13.2),
    "equalise": _volts(14.6, 15.4, 15.8), "compensation": _one_of("0 mV/K", "-24 mV/K", "-48 mV/K"),
    "bypasses_management": YES_NO,
}  # fmt: skip
KINDS: dict[str, dict[str, Draw]] = {
    "solar": {
        "strings": _one_of("1", "2", "3", "4"), "string_fuse": _one_of("15 A", "30 A"),
        "module_fuse_max": _one_of("10 A", "20 A"), "touchable": YES_NO, "voltage_coefficient": _one_of("-0.3 %/K"),
        "tilt": _one_of("0 °", "35 °", "90 °"), "azimuth": _one_of("0 °", "95 °", "180 °"),
        "shading": _one_of("0 %", "12 %", "100 %"),
    },
    "alternator": {"stops_within": _one_of("0.2 s", "2 s"), "field_decay": _one_of("0.5 s"), "limited": YES_NO},
}  # fmt: skip
BANK: dict[str, Draw] = {"equalised": YES_NO, "balanced": YES_NO}
CONTACTOR: dict[str, Draw] = {"waits": _one_of("0.5 s", "3 s"), "locked_while_equalising": YES_NO}
LINK: dict[str, Draw] = {"stopped_by": STOPPED, "senses": SENSES}
