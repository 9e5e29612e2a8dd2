"""Circuits by seed, made by the real arrangements from random specs, and results with values to print for each item."""

import random
from decimal import Decimal
from typing import Any

from proposal.circuit.build import build_circuit
from proposal.circuit.model import Circuit
from proposal.codes import family
from proposal.facts import Reason
from proposal.parts.catalogue import Catalogue
from proposal.results.model import (
    BankResult,
    ConductorResult,
    DeviceResult,
    EnergyResult,
    LadderResult,
    LoadResult,
    OptionResult,
    PriceTotals,
    SourceResult,
)
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.pricebook import PriceBook
from proposal.spec.project import Spec
from proposal.units import parse_size

SIZES_AWG = ("18 AWG", "14 AWG", "10 AWG", "6 AWG", "2 AWG", "1/0 AWG", "2/0 AWG", "4/0 AWG")
SIZES_MM2 = ("1.5 mm2", "2.5 mm2", "6 mm2", "16 mm2", "35 mm2", "70 mm2", "95 mm2")
WORDS = (
    "Refrigerator", "Cabin lights", "Autopilot", "Chart plotter and instruments", "VHF radio", "Fresh-water pump",
    "Navigation lights", "Heating", "Fans", "Television and music in the saloon", "Bilge pump", "Watermaker",
    "Kühlschrank", "Éclairage du carré", "Trinkwasserpumpe", "Lys", "Ψυγείο", "Холодильник",
)  # fmt: skip
HOSTILE = (
    "A & B <script>alert(1)</script>", "$price$ {{ x }} | `y`", "Donaudampfschifffahrtsgesellschaftskapitän",
    'quote " and \' apostrophe', "   spaced    out   ", "100 % ]]> --> end", "#{key}", "\\textbf{no}", "x" * 300,
)  # fmt: skip

PRICE_BOOK = {
    "price_book_version": "1",
    "currency": "EUR",
    "parts": {
        **{
            f"{chemistry}_{volts}_{ah}": {
                "kind": "battery", "title": f"{chemistry} {ah}", "chemistry": chemistry, "voltage": f"{volts} V",
                "capacity": f"{ah} Ah",
            }
            for chemistry in ("agm", "flooded", "lithium")
            for volts in (2, 6, 12, 24)
            for ah in (90, 220, 460)
        },
        "controller": {"kind": "solar_controller", "title": "Controller", "output": "50 A", "output_voltage": "12 V"},
        "charger": {"kind": "shore_charger", "title": "Charger", "output": "30 A", "output_voltage": "12 V"},
        "dcdc": {"kind": "dc_dc", "title": "DC-DC charger", "output": "30 A", "output_voltage": "12 V"},
        "inverter": {
            "kind": "inverter", "title": "Inverter", "power": "1000 W", "surge": "2000 W", "input_voltage": "12 V",
        },
        "relay": {"kind": "vsr", "title": "Relay", "rating": "200 A", "voltage_max": "60 V"},
        "cable": {"kind": "cable", "title": "Cable", "size": "2 AWG", "insulation": "105 °C", "price": "1.00"},
    },
}  # fmt: skip
ARRANGEMENTS = (
    "one_bank", "house_and_starter", "lead_and_lithium", "lead_and_lithium_with_starter", "lithium_with_dc_dc",
    "composed",
)  # fmt: skip


def _title(rng: random.Random, hostile: bool) -> str:
    if hostile and rng.random() < 0.4:
        return rng.choice(HOSTILE)
    return rng.choice(WORDS)


def _bank(rng: random.Random, chemistry: str, volts: int, hostile: bool) -> dict[str, Any]:
    battery_v = rng.choice([v for v in (6, 12, 24) if volts % v == 0 and v <= volts])
    bank = {
        "title": _title(rng, hostile) + " bank",
        "battery": f"{chemistry}_{battery_v}_{rng.choice((90, 220, 460))}",
        "series": str(volts // battery_v),
        "parallel": str(rng.choice((1, 1, 1, 2, 2, 3, 4))),
        "place": "here",
        "route": "short",
        "shunt": rng.choice(("yes", "yes", "no")),
        "switch": rng.choice(("yes", "yes", "yes", "no")),
        **rng.choice(({}, {"fuse_per_battery": "yes"}, {"fuse_after": "0 m"})),
    }
    # drawn apart, so that every other figure of a seed stays as it is
    apart = random.Random(repr(sorted(bank.items())))  # noqa: S311 - test data
    return bank | apart.choice(({}, {"joined": "chain", "take_off": apart.choice(("same_end", "both_ends"))}))


def _option(rng: random.Random, arrangement: str, volts: int, hostile: bool) -> dict[str, Any]:
    lead = lambda: _bank(rng, rng.choice(("agm", "flooded")), volts, hostile)  # noqa: E731
    lithium = lambda: _bank(rng, "lithium", volts, hostile)  # noqa: E731
    option: dict[str, Any] = {"title": _title(rng, hostile), "arrangement": arrangement}
    vsr = {"route": "short", "joins": f"{13.3 * volts / 12:g} V", "releases": f"{12.8 * volts / 12:g} V"}
    if arrangement == "one_bank":
        option["banks"] = {"house": rng.choice((lead, lithium))()}
    elif arrangement == "house_and_starter":
        option |= {"banks": {"house": lead(), "starter": lead()}, "vsr": vsr, "house": "house", "start": "starter"}
    elif arrangement == "lead_and_lithium":
        option |= {"banks": {"lead": lead(), "lithium": lithium()}, "contactor": {}}
    elif arrangement == "lead_and_lithium_with_starter":
        option |= {"banks": {"lead": lead(), "lithium": lithium(), "starter": lead()}, "contactor": {}, "vsr": vsr,
                   "start": "starter"}  # fmt: skip
    elif arrangement == "lithium_with_dc_dc":
        option |= {"banks": {"lithium": lithium(), "starter": lead()},
                   "dc_dc": {"part": "dcdc", "route": "short", "voltage": "14.4 V"}}  # fmt: skip
    else:
        option |= _composed(rng, lead, lithium, hostile)
    if rng.random() < 0.4:
        option["emergency_parallel"] = "yes"
    return option


def _composed(rng: random.Random, lead: Any, lithium: Any, hostile: bool) -> dict[str, Any]:
    count = rng.choice((1, 2, 2, 3, 4))
    names = ["main", "engine", "bow", "aft"][:count]
    buses = {name: {"title": _title(rng, hostile)} for name in names}
    buses["main"]["side"] = "house"
    if count > 1:
        buses["engine"]["side"] = "start"
    banks = {
        f"b{i}": (lead if i == 0 or name == "engine" else rng.choice((lead, lithium)))() for i, name in enumerate(names)
    }
    landed = {f"b{i}": {"bus": name} for i, name in enumerate(names)}
    banks["extra"], landed["extra"] = lithium(), {"bus": "main", "through": "contactor"}
    links = {}
    for i in range(1, count):
        kind = rng.choice(("vsr", "dc_dc", "switch", "contactor", "conductor"))
        fused = rng.choice(("both_ends", "from_end", "to_end", "none"))
        link = {"kind": kind, "from": names[i], "to": rng.choice(names[:i]), "route": "short", "fused": fused}
        if kind == "dc_dc":
            link |= {"part": "dcdc", "voltage": "14.2 V", "title": "Charger between"}
        links[f"l{i}"] = link
    if count > 1 and rng.random() < 0.5:
        links["second"] = {"kind": "switch", "from": names[-1], "to": "main", "route": "short"}
    start = "engine" if count > 1 else "main"
    return {
        "banks": banks,
        "contactor": {},
        "start": next(k for k, v in landed.items() if v["bus"] == start),
        "composition": {"buses": buses, "banks": landed, "links": links, "starter": start},
    }


def spec_for(rng: random.Random, *, hostile: bool = False, loads: int | None = None) -> Spec:
    """A spec with one random option called `a` and a copy of it called `b`."""
    volts = rng.choice((12, 12, 24, 48))
    arrangement = rng.choice(ARRANGEMENTS)
    panels = {f"p{i}": {"title": _title(rng, hostile), "route": "short"} for i in range(rng.choice((0, 0, 1, 1, 2)))}
    count = loads if loads is not None else rng.choice((1, 3, 5, 8, 8, 12, 16, 24, 40))
    made_loads: dict[str, Any] = {}
    for i in range(count):
        load: dict[str, Any] = {"title": _title(rng, hostile), "current": f"{rng.choice((0.4, 5, 12.5, 120))} A",
                                "hours": "2 h", "route": rng.choice(("short", "long"))}  # fmt: skip
        if panels and rng.random() < 0.5:
            load["panel"] = rng.choice(sorted(panels))
        else:
            load["side"] = rng.choice(("house", "house", "house", "start"))
            if rng.random() < 0.15:
                load["always_on"] = "yes"
        if rng.random() < 0.2:
            load["inrush"] = "100 A"
        if i == 0 and rng.random() < 0.5:
            load["inverter"] = "inverter"
        made_loads[f"e{i}"] = load
    common = {"voltage": f"{14.2 * volts / 12:g} V", "route": "short"}
    kinds: dict[str, dict[str, Any]] = {
        "solar": {"power": "640 W", "open_circuit": "44 V", "short_circuit": "19 A", "controller": "controller",
                  "place": "here"},
        "alternator": {"current": "110 A", "hot_current": "55 A"},
        "shore": {"charger": "charger"},
        "generator": {"charger": "charger"},
        "wind": {"current": "20 A", "mean_power": "60 W"},
    }  # fmt: skip
    chosen = rng.sample(sorted(kinds), rng.randint(1, 5))
    sources = {
        kind: {
            "kind": kind,
            "title": _title(rng, hostile),
            "side": rng.choice(("house", "start")),
            **common,
            **kinds[kind],
        }
        for kind in chosen
    }
    option = _option(rng, arrangement, volts, hostile)
    spec: dict[str, Any] = {
        "spec_version": "1",
        "client": {"name": "Nobody"},
        "vessel": {"name": "Testboat", "kind": "boat"},
        "proposal": {"number": "T-1", "date": "2026-01-02"},
        "system": {"voltage": f"{volts} V"},
        "climate": {
            "places": {"here": {"title": "Here", "coldest": "5 °C", "hottest": "40 °C"}},
            "seasons": {"all": {"title": "All", "days": "365 days", "sun": "4 h", "temperature": "20 °C"}},
        },
        "routes": {"short": {"length": "1.85 m", "place": "here"}, "long": {"length": "12.5 m", "place": "here"}},
        "loads": made_loads,
        "sources": sources,
        "options": {"a": option, "b": option},
    }
    if panels:
        spec["panels"] = panels
    if arrangement not in ("one_bank", "lead_and_lithium") or rng.random() < 0.7:
        spec["engine"] = {"starter_current": "250 A", "starter_inrush": "700 A", "minimum_cranking_voltage": "9 V",
                          "route": "short"}  # fmt: skip
    return Spec.model_validate(spec)


def circuit_for(seed: int, *, hostile: bool = False, loads: int | None = None) -> Circuit:
    """The circuit of a random spec."""
    rng = random.Random(seed)  # noqa: S311 - test data
    spec = spec_for(rng, hostile=hostile, loads=loads)
    catalogue = Catalogue.of(PriceBook.model_validate(PRICE_BOOK))
    chosen = EffectiveSpec(spec, "a", spec.options["a"], {}, {}, "us_boats")
    return build_circuit(chosen, catalogue, family("us_boats"))


def result_for(circuit: Circuit, seed: int = 0, *, hostile: bool = False) -> OptionResult:
    """Results with a designation, a size and a rating for each item; nothing in them was computed."""
    rng = random.Random(seed)  # noqa: S311 - test data
    why = Reason("test", {})
    ladder = rng.choice((SIZES_AWG, SIZES_MM2))
    sizes = {c.key.removesuffix(".positive").removesuffix(".negative"): rng.choice(ladder) for c in circuit.conductors}
    conductors = []
    for i, c in enumerate(circuit.conductors, 1):
        stem = c.key.removesuffix(".positive").removesuffix(".negative")
        size = parse_size(rng.choice(ladder) if c.pole == "negative" and rng.random() < 0.1 else sizes[stem])
        conductors.append(
            ConductorResult(
                key=c.key, designation=f"W{i}", title=circuit.title.get(c.circuit, c.circuit), circuit=c.circuit,
                pole=c.pole, purpose=c.purpose, from_node=c.from_node, to_node=c.to_node, from_designation="",
                to_designation="", length_m=c.length_m, place=c.place, place_c=40.0, bundled_count=c.bundled_count,
                insulation_c=c.insulation_c, size=size.label, area_mm2=size.area_mm2, part_id=None, pinned=False,
                table_a=1.0, temperature_factor=1.0, bundle_factor=1.0, ampacity_a=1.0, design_current_a=1.0,
                design_case="", cranking_current_a=0.0, resistance_20c_ohm=0.001, drop_v=0.0, loop_drop_v=None,
                loop_drop_share=None, drop_limit_share=None, fault_from_a=0.0, fault_to_a=0.0,
                least_fault_from_a=None, least_fault_to_a=None, fuses=(),
                decided_by=why, rejected=(), citations=(),
            )
        )  # fmt: skip
    letters = {"fuse": "F", "switch": "Q", "contactor": "K", "vsr": "K", "shunt": "B", "bus": "X", "dc_dc": "T",
               "controller": "K", "starter": "M"}  # fmt: skip
    counts: dict[str, int] = {}
    devices = []
    shown = [(d.key, d.kind) for d in circuit.devices] + [(b.key, "bus") for b in circuit.buses]
    shown += [(v.key, "dc_dc") for v in circuit.converters] + [(c.key, "controller") for c in circuit.controllers]
    if circuit.starter is not None:
        shown.append((circuit.starter.key, "starter"))
    for key, kind in shown:
        counts[letters[kind]] = counts.get(letters[kind], 0) + 1
        devices.append(
            DeviceResult(
                key=key, designation=f"{letters[kind]}{counts[letters[kind]]}", title=key, circuit=key, kind=kind,
                part_id=None, part_title="", pinned=False, rating_a=float(rng.choice((5, 10, 60, 125, 300))),
                voltage_max_v=32.0, interrupt_a=None,
                fuse_class=rng.choice(("class_t", "anl", "blade", "mega")) if kind == "fuse" else None,
                wanted_a=0.0, wanted_case="", smallest_a=None, largest_a=None, fault_a=None,
                distance_m=None, distance_limit_m=None, resistance_ohm=0.0, guards=(), decided_by=why, rejected=(),
                citations=(),
            )
        )  # fmt: skip
    strings = {b.key: circuit.battery[b.strings[0]] for b in circuit.banks}
    banks = tuple(
        BankResult(
            key=b.key, designation=f"G{i}", title=b.title, chemistry=b.chemistry, role=b.role,
            part_id=strings[b.key].part_id, part_title="", series_count=strings[b.key].series_count,
            parallel_count=len(b.strings), nominal_v=circuit.system_v, capacity_ah=100.0, energy_wh=1200.0,
            usable_ah=50.0, usable_share=0.5, temperature_share=1.0, resistance_ohm=0.001, resistance_assumed=True,
            full_v=12.8, short_circuit_a=3000.0, mass_kg=30.0, place=b.place,
        )
        for i, b in enumerate(circuit.banks, 1)
    )  # fmt: skip
    loads = tuple(
        LoadResult(e.key, f"E{i}", e.title, e.bus, e.current_a, e.current_a * 24, e.critical, e.always_on, e.away)
        for i, e in enumerate(circuit.loads, 1)
    )
    sources = tuple(
        SourceResult(s.key, f"G{i + 20}", s.title, s.kind, s.bus, s.current_a, s.lasting_a, s.charge_v)
        for i, s in enumerate(circuit.sources, 1)
    )
    nought = Decimal(0)
    nothing = dict.fromkeys((
        "cases", "faults", "least_faults", "joins", "starts", "price_lines", "findings", "acceptances", "consents",
        "checks", "code_notes", "assumptions", "network", "failures", "switching", "choose_if",
    ), ())  # fmt: skip
    return OptionResult(
        id="a",
        title=rng.choice(HOSTILE) if hostile else "Option",
        pitch="",
        arrangement="",
        conductors=tuple(conductors),
        devices=tuple(devices),
        banks=banks,
        loads=loads,
        sources=sources,
        energy=EnergyResult((), "", (), (), 0.0, 0.0),
        price=PriceTotals("EUR", nought, nought, nought, nought, "", 0.0, nought, nought, 0),
        ladder=LadderResult((), (), ()),
        **nothing,
    )
