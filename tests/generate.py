"""Random but valid specs: every arrangement, voltage, rule family and kind of source, as YAML text and as circuits.

`spec_text` draws from a `random.Random`: one function for seeds (`seeded`) and for hypothesis (`texts`). All parts
come from the demonstration price book; what comes out is read by the real reader.
"""

from __future__ import annotations

import functools
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from hypothesis import strategies as st

from proposal.circuit.build import build_circuit
from proposal.circuit.model import Circuit
from proposal.codes import FAMILIES
from proposal.codes.chosen import chosen_family
from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.design.step import design
from proposal.parts.catalogue import Catalogue
from proposal.reading import read, read_text
from proposal.spec.installer import Installer
from proposal.spec.overlay import EffectiveSpec, effective
from proposal.spec.pricebook import PriceBook
from proposal.spec.project import Spec
from proposal.spec.references import NEEDS_ENGINE, complaints
from tests.generate_facts import add_facts
from tests.generate_options import ARRANGEMENTS, option

PROJECTS = Path(__file__).parents[1] / "projects"
VOLTAGES_V = (12, 24, 48)
Section = dict[str, Any]


@functools.cache
def installer() -> Installer:
    """The demonstration installer."""
    return read(PROJECTS / "installer.yaml", Installer).value


@functools.cache
def price_book() -> PriceBook:
    """The demonstration price book."""
    return read(PROJECTS / "prices.yaml", PriceBook, max_bytes=3_000_000).value


@functools.cache
def catalogue() -> Catalogue:
    """The catalogue of the demonstration price book alone."""
    return Catalogue.of(price_book())


# --- the text of a spec ----------------------------------------------------------------------------------------------


def spec_text(
    rng: random.Random,
    *,
    voltage_v: int | None = None,
    arrangements: tuple[str, ...] = (),
    engine: bool | None = None,
    rules: str | None = None,
    most_loads: int = 40,
) -> str:
    """YAML of a valid spec with two options; what is not given is drawn."""
    volts = voltage_v or rng.choice(VOLTAGES_V)
    with_engine = rng.random() < 0.7 if engine is None else engine
    with_engine = with_engine or any(a in NEEDS_ENGINE for a in arrangements)
    allowed = [a for a in ARRANGEMENTS if with_engine or a not in NEEDS_ENGINE]
    wanted = [*arrangements, *(rng.choice(allowed) for _ in range(2 - len(arrangements)))]
    kind = rng.choice(("boat", "camper", "cabin"))
    places, routes = _places(rng), {}
    names = list(places)
    for number in range(rng.randint(4, 12)):
        routes[f"way_{number}"] = _route(rng, names, rng.uniform(0.3, 14))
    for number in range(3):
        routes[f"short_{number}"] = _route(rng, names, rng.uniform(0.2, 4))
    panels = {f"panel_{n}": _panel(rng, routes) for n in range(rng.randint(0, 3))}
    loads = _loads(rng, volts, most_loads, list(routes), list(panels), with_engine)
    spec: Section = {
        "spec_version": "1",
        "client": {"name": "Somebody"},
        "vessel": {"name": "Something", "kind": kind},
        "proposal": {"number": "G-1", "date": "2026-05-31"},
        "system": {"voltage": f"{volts} V", "insulation": f"{rng.choice((75, 90, 105))} °C"},
        "climate": {"places": places, "seasons": {"all": {**_text("The year"), **_season(rng)}}},
        "routes": routes,
        "loads": loads,
        "sources": _sources(rng, volts, routes, names, with_engine),
        "options": {},
    }
    if rules or rng.random() < 0.5:
        spec["rules"] = rules or rng.choice(tuple(FAMILIES))
    if panels:
        spec["panels"] = panels
    if with_engine:
        spec["engine"] = _engine(rng, volts)
    for number, arrangement in enumerate(wanted):
        made = option(rng, arrangement, volts, names, list(routes), catalogue(), with_engine)
        if rng.random() < 0.3:
            item = f"loads.{rng.choice(list(loads))}"
            made["pins"] = {item: rng.choice(("10 AWG", "6 AWG", "16 mm2", "2/0 AWG"))}
        spec["options"][f"way_{'ab'[number]}"] = made
    if rng.random() < 0.7:
        add_facts(rng, spec)
    return yaml.safe_dump(spec, sort_keys=False, allow_unicode=True, width=200)


def _text(title: str) -> Section:
    return {"title": title}


def _yes(rng: random.Random, share: float = 0.5) -> str:
    return "yes" if rng.random() < share else "no"


def _length(rng: random.Random, metres: float) -> str:
    return rng.choice((f"{metres:.2f} m", f"{metres * 100:.1f} cm", f"{metres / 0.3048:.2f} ft"))


def _places(rng: random.Random) -> Section:
    cold = rng.choice((-20, -5, 5, 18))
    places = {}
    for name in ("cabin", "battery_box", "engine_space", "outside"):
        hot = 55 if name == "engine_space" else rng.randint(25, 50)
        places[name] = {
            **_text(name), "coldest": f"{cold} °C", "hottest": f"{hot} °C",
            "engine_space": "yes" if name == "engine_space" else "no",
        }  # fmt: skip
    return places


def _season(rng: random.Random) -> Section:
    return {"days": "365 days", "sun": f"{rng.uniform(1, 6):.1f} h", "temperature": "18 °C"}


def _route(rng: random.Random, places: list[str], metres: float) -> Section:
    route = {"length": _length(rng, metres), "place": rng.choice(places), "sheathed": _yes(rng)}
    return route | ({"bundled": str(rng.choice((2, 3, 6, 12)))} if rng.random() < 0.4 else {})


def _panel(rng: random.Random, routes: Section) -> Section:
    return {**_text("Panel"), "route": rng.choice(list(routes)), "side": rng.choice(("house", "house", "start"))}


def _engine(rng: random.Random, volts: int) -> Section:
    unknown = rng.random() < 0.3
    return {
        "starter_current": "unknown" if unknown else f"{rng.uniform(120, 350) * 12 / volts:.0f} A",
        "starter_inrush": rng.choice(("unknown", f"{rng.uniform(400, 900) * 12 / volts:.0f} A")),
        "minimum_cranking_voltage": rng.choice(("unknown", f"{0.8 * volts:.1f} V")),
        "route": f"short_{rng.randint(0, 2)}",
    }


def _loads(
    rng: random.Random, volts: int, most: int, routes: list[str], panels: list[str], with_engine: bool
) -> Section:
    count = rng.choice((3, 5, 8, 12, 20, 40))
    scale = 12.0 / volts
    loads: Section = {}
    for number in range(min(count, most)):
        amps = rng.choice((0.2, 1.0, 3.0, 6.0, 12.0)) * rng.uniform(0.5, 1.5) * scale
        load: Section = {**_text(f"Load {number}"), "hours": f"{rng.uniform(0, 24):.1f} h", "route": rng.choice(routes)}
        load |= {"power": f"{amps * volts:.1f} W"} if rng.random() < 0.5 else {"current": f"{amps:.3f} A"}
        for name, share in (("critical", 0.3), ("always_on", 0.15), ("constant_power", 0.3), ("away", 0.1)):
            load |= {name: "yes"} if rng.random() < share else {}
        load |= {"panel": rng.choice(panels)} if panels and rng.random() < 0.6 else {}
        load |= {"side": "start"} if with_engine and rng.random() < 0.1 else {}
        load |= {"standby": "0.5 W"} if rng.random() < 0.1 else {}
        load |= {"maker_fuse": f"{max(1.0, 3 * amps):.0f} A"} if rng.random() < 0.1 else {}
        loads[f"load_{number}"] = load
    if rng.random() < 0.4:
        loads["windlass"] = {
            **_text("Windlass"), "current": f"{rng.uniform(50, 140) * scale:.0f} A", "hours": "0.1 h", "duty": "80 %",
            "high_current": "yes", "route": rng.choice(routes), "side": rng.choice(("house", "start")),
        }  # fmt: skip
    if rng.random() < 0.4:
        inverter = f"inverter_{volts}v_{3000 if volts == 48 else rng.choice((1000, 2000))}"
        loads["inverter"] = {
            **_text("Inverter"), "power": f"{rng.uniform(200, 1000):.0f} W", "hours": "1 h", "inverter": inverter,
            "high_current": "yes", "route": rng.choice([r for r in routes if r.startswith("short")]),
        }  # fmt: skip
    return loads


def _sources(rng: random.Random, volts: int, routes: Section, places: list[str], with_engine: bool) -> Section:
    kinds = [k for k in ("solar", "alternator", "shore", "generator", "wind") if k != "alternator" or with_engine]
    chosen = rng.sample(kinds, rng.randint(1, len(kinds)))
    scale = 12.0 / volts
    sources: Section = {}
    for kind in chosen:
        charge_v = rng.choice((14.0, 14.2, 14.4)) / scale
        source: Section = {
            "kind": kind, **_text(kind), "voltage": f"{charge_v:.1f} V", "route": rng.choice(list(routes)),
            "side": rng.choice(("house", "house", "start")),
        }  # fmt: skip
        if kind == "solar":
            source |= {
                "power": f"{rng.randint(1, 12) * 100} W", "open_circuit": "44 V", "short_circuit": "18 A",
                "controller": f"solar_100_{rng.choice((30, 50))}_{volts}v", "place": rng.choice(places),
            }  # fmt: skip
        elif kind == "alternator":
            hot = rng.choice(("unknown", f"{55 * scale:.0f} A"))
            source |= {"current": f"{rng.uniform(50, 130) * scale:.0f} A", "hot_current": hot}
        elif kind == "wind":
            source |= {"current": f"{rng.uniform(10, 30) * scale:.0f} A", "mean_power": "60 W"}
        else:
            size = {12: (30, 60, 100), 24: (16, 30, 60), 48: (10, 25, 50)}[volts]
            source |= {"charger": f"shore_{volts}v_{rng.choice(size)}"}
        sources[kind] = source
    return sources


# --- from text to circuits -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Built:
    """One option of a spec, made into a circuit, with what it was made from."""

    name: str
    spec: EffectiveSpec
    catalogue: Catalogue
    family: RuleFamily
    circuit: Circuit

    def design(self) -> Design:
        """Its design step, run anew."""
        return design(self.circuit, self.spec.pins, self.catalogue, self.family)


def spec_of(text: str) -> Spec:
    """Text through the real reader, references checked."""
    return read_text(text, "spec.yaml", Spec, also=complaints).value


def options_of(text: str, name: str = "text") -> Iterator[Built]:
    """Every option of a spec in text."""
    spec = spec_of(text)
    for option_id in spec.options:
        yield build(spec, option_id, f"{name}/{option_id}")


def build(spec: Spec, option_id: str, name: str = "") -> Built:
    """One option of a spec over the demonstration installer and price book."""
    laid = effective(spec, installer(), option_id)
    parts = Catalogue.of(price_book(), laid.parts) if laid.parts else catalogue()
    rules = chosen_family(laid, installer())
    return Built(name, laid, parts, rules, build_circuit(laid, parts, rules))


def _draws(seed: int | str) -> random.Random:
    return random.Random(seed)  # noqa: S311 - test data


@functools.cache
def seeded(seed: int, *, most_loads: int = 40) -> tuple[Built, ...]:
    """Both options of the spec of a seed."""
    return tuple(options_of(spec_text(_draws(seed), most_loads=most_loads), f"seed {seed}"))


@functools.cache
def cell(arrangement: str, voltage_v: int) -> Built:
    """One circuit for each arrangement and voltage."""
    text = spec_text(
        _draws(f"{arrangement} {voltage_v}"), voltage_v=voltage_v, arrangements=(arrangement,), most_loads=12
    )
    return next(options_of(text, f"{arrangement} at {voltage_v} V"))


@functools.cache
def project(name: str) -> tuple[Built, ...]:
    """All options of a demonstration project."""
    text = (PROJECTS / name / "spec.yaml").read_text(encoding="utf-8")
    return tuple(options_of(text, name))


@functools.cache
def _designs() -> dict[int, tuple[Built, Design]]:
    return {}


def designed(built: Built) -> Design:
    """Its design step, run once per session for each that is built: names may be given twice."""
    known = _designs()
    if id(built) not in known:
        known[id(built)] = built, built.design()  # kept, so that no other gets its number
    return known[id(built)][1]


CELLS = tuple((arrangement, volts) for arrangement in ARRANGEMENTS for volts in VOLTAGES_V)
PROJECT_NAMES = tuple(sorted(path.parent.name for path in PROJECTS.glob("*/spec.yaml")))


def texts(**fixed: Any) -> st.SearchStrategy[str]:
    """Hypothesis: YAML of valid specs, shrinking towards few and early choices."""
    return st.randoms(use_true_random=False).map(lambda rng: spec_text(rng, **fixed))
