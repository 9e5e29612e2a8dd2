"""A made-up Behaviour on the real keys of an option: for tests of drawings, pages and rules, not of physics.

Every code of event, trouble, situation and verdict occurs, and every list has something in it.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, Final, get_args

from proposal.facts import Values
from proposal.results.evaluate import evaluate
from proposal.results.model import OptionResult, Results
from proposal.spec.loading import load_project
from proposal.studies.behaviour import result as b

SAMPLE_S: Final = 600.0
MINIMUM_V: Final = 9.6
USE_W: Final = 120.0
ENGINE_FROM_H, ENGINE_TO_H = 18.0, 19.25
QUANTILES: Final = 21


@cache
def marram() -> Results:
    """Marram without its days."""
    return evaluate(load_project(Path(__file__).parents[1] / "projects" / "marram"), {}, "proposal 0.0.0").results


def with_behaviour(results: Results, **changed: Any) -> Results:
    """Results with a made-up Behaviour in every option."""
    options = tuple(replace(o, behaviour=sample_behaviour(o, **changed)) for o in results.options)
    return replace(results, options=options)


def sample_behaviour(option: OptionResult, **changed: Any) -> b.Behaviour:
    """A Behaviour that fits an option's banks, relays, sources and loads; `changed` replaces fields of it."""
    seasons = [season.season for season in option.energy.seasons] or ["season"]
    made = b.Behaviour(
        seed=1,
        step_s=60.0,
        days=tuple(_day(option, season, sun) for season, sun in zip(seasons, (1.0, 0.6, 0.8, 0.4), strict=False)),
        no_charge=_no_charge(option, seasons[-1]),
        neglect=_neglect(option, seasons[-1]),
        cut_offs=_cut_offs(option),
        cranking=_cranking(option, seasons),
        recharge=_recharge(option),
        year=_year(option),
        years=_years(option),
        what_if=_what_if(option, seasons[-1]),
        troubles=_troubles(option),
        assumptions=_assumptions(option),
        tolerance_v=0.15,
    )
    return replace(made, **changed)


def event(time_h: float, code: b.EventCode, item: str, **values: Any) -> b.Event:
    """An event with its values; `margin_v` and `uncertain` are fields of its own."""
    margin_v, uncertain = values.pop("margin_v", None), values.pop("uncertain", False)
    return b.Event(round(time_h * 3600.0, 1), code, item, values, margin_v, uncertain)


def bank_of(option: OptionResult, lithium: bool) -> str | None:
    """Key of the first bank that is lithium, or that is not."""
    return next((bank.key for bank in option.banks if (bank.chemistry == "lithium") == lithium), None)


def own_bank(option: OptionResult) -> str:
    """Key of the bank from which the engine starts: a starter battery, else lead, else the first."""
    started = next((bank.key for bank in option.banks if bank.role == "start"), None)
    return started or bank_of(option, lithium=False) or option.banks[0].key


def relays_of(option: OptionResult) -> list[str]:
    """Keys of what joins and parts by itself."""
    return [device.key for device in option.devices if device.kind in ("contactor", "vsr")]


def _any_load(option: OptionResult, critical: bool) -> str:
    found = next((load.key for load in option.loads if load.critical == critical), None)
    return found or option.loads[0].key


def _source(option: OptionResult, *kinds: str) -> str | None:
    return next((source.key for source in option.sources if source.kind in kinds), None)


def _sun(hour: float) -> float:
    return max(0.0, math.sin(math.pi * (hour - 6.2) / 11.8)) ** 1.3 if 6.2 < hour < 18.0 else 0.0


def _engine(hour: float) -> float:
    return 1.0 if ENGINE_FROM_H <= hour < ENGINE_TO_H else 0.0


def _use_a(hour: float) -> float:
    return 8.0 + (6.0 if 18.5 < hour < 22.5 else 0.0) + (3.0 if int(hour * 3.0) % 2 else 0.0)


def _joined(hour: float) -> float:
    return 0.0 if 15.4 < hour < 17.9 else 1.0


def _hours() -> list[float]:
    return [n * SAMPLE_S / 3600.0 for n in range(int(24 * 3600 / SAMPLE_S) + 1)]


def _trace(item: str, quantity: b.Quantity, values: list[float]) -> b.Trace:
    return b.Trace(item, quantity, tuple(round(value, 4) for value in values))


def _day_traces(option: OptionResult, sun: float) -> tuple[b.Trace, ...]:
    hours = _hours()
    sun_a = [30.0 * sun * _sun(h) if _source(option, "solar") else 0.0 for h in hours]
    engine_a = [50.0 * _engine(h) if _source(option, "alternator", "generator") else 0.0 for h in hours]
    net = [s + e - _use_a(h) for h, s, e in zip(hours, sun_a, engine_a, strict=True)]
    volts = [13.2 + 0.016 * n - 0.05 * (1.0 - _joined(h)) for h, n in zip(hours, net, strict=True)]
    buses = [d.key for d in option.devices if d.kind in ("main_bus", "start_bus")]
    made = [_trace(bus, "voltage_v", [v + 0.02 * n for v in volts]) for n, bus in enumerate(buses)]
    for bank in option.banks:
        part = 0.85 if bank.chemistry == "lithium" else 0.15 if bank.role != "start" else 0.02
        taken = [part * n * (_joined(h) if part > 0.5 else 1.0) for h, n in zip(hours, net, strict=True)]
        share, shares = 0.75 if part > 0.5 else 0.97, []
        for current in taken:
            share = min(1.0, max(0.1, share + current * SAMPLE_S / 3600.0 / max(bank.capacity_ah, 1.0)))
            shares.append(share)
        made += [
            _trace(bank.key, "voltage_v", [v - 0.01 for v in volts]),
            _trace(bank.key, "current_a", [-current for current in taken]),
            _trace(bank.key, "charge_share", shares),
            _trace(bank.key, "temperature_c", [28.0 + 4.0 * _sun(h) for h in hours]),
        ]
    for source in option.sources:
        given = sun_a if source.kind == "solar" else engine_a if source.kind in ("alternator", "generator") else None
        if given is not None:
            stage = [0.0 if g <= 0.0 else 3.0 if 15.4 < h < 17.9 else 2.0 if h > 13.0 else 1.0 for g, h in
                     zip(given, hours, strict=True)]  # fmt: skip
            made += [_trace(source.key, "current_a", given), _trace(source.key, "stage", stage)]
    made.append(_trace("loads", "current_a", [-_use_a(h) for h in hours]))
    made += [
        _trace(relay, "closed", [_joined(h) if relay.endswith("contactor") else _engine(h) for h in hours])
        for relay in relays_of(option)
    ]
    return tuple(made)


def _day_events(option: OptionResult) -> tuple[b.Event, ...]:
    lithium, lead = bank_of(option, lithium=True), bank_of(option, lithium=False)
    solar, engine = _source(option, "solar"), _source(option, "alternator", "generator")
    found = []
    for relay in relays_of(option):
        if relay.endswith("contactor"):
            found += [
                event(8.67, "relay_joins", relay, cause="bus_lifted", bank=lithium, voltage_v=13.31, margin_v=0.06,
                      uncertain=True),
                event(15.4, "relay_parts", relay, cause="full", bank=lithium, voltage_v=14.2, charge_share=1.0,
                      margin_v=0.2),
                event(17.9, "relay_joins", relay, cause="bus_below", bank=lithium, voltage_v=13.22, margin_v=0.22),
            ]  # fmt: skip
        else:
            found += [
                event(18.05, "relay_joins", relay, cause="threshold", voltage_v=13.3, margin_v=0.31),
                event(19.4, "relay_parts", relay, cause="threshold", voltage_v=12.8, margin_v=0.18),
            ]
    if solar:
        found += [
            event(6.2, "sun_begins", solar, current_a=0.4),
            event(6.3, "bulk", solar, voltage_v=13.1),
            event(13.0, "absorption", solar, voltage_v=14.2, current_a=18.3),
            event(15.0, "float", solar, voltage_v=13.5, current_a=6.1),
            event(18.0, "sun_ends", solar),
        ]
    if engine:
        found += [
            event(ENGINE_FROM_H, "engine_on", engine, cause="evening", charge_share=0.72),
            event(ENGINE_TO_H, "engine_off", engine, hours_h=1.25, charge_share=0.81),
        ]
    if lithium:
        found += [
            event(15.35, "bank_full", lithium, voltage_v=14.2, charge_share=1.0),
            event(15.38, "charge_blocked", lithium, cause="cell_high", voltage_v=14.3, margin_v=0.08, uncertain=True),
            event(16.0, "charge_freed", lithium, voltage_v=13.5),
            event(3.0, "bank_low", lithium, voltage_v=12.7, charge_share=0.2, margin_v=0.3),
            event(4.0, "discharge_blocked", lithium, cause="cell_low", voltage_v=12.0, margin_v=0.2),
            event(6.4, "discharge_freed", lithium, voltage_v=12.9),
        ]
    elif lead:
        found += [event(15.35, "bank_full", lead, voltage_v=14.4, charge_share=1.0),
                  event(3.0, "bank_low", lead, voltage_v=12.0, charge_share=0.4)]  # fmt: skip
    load = _any_load(option, critical=False)
    relay = next(iter(relays_of(option)), load)
    found += [
        event(4.1, "load_dark", load, cause="cut_out", voltage_v=11.7, margin_v=0.2),
        event(6.5, "load_back", load, voltage_v=12.6),
        event(4.05, "collapse", load, voltage_v=10.9, power_w=700.0),
        event(4.2, "chatter", relay, count=7, within_s=300.0),
    ]
    return tuple(sorted(found, key=lambda e: (e.time_s, e.code)))


def _energy(option: OptionResult, sun: float) -> tuple[b.EnergyFlow, ...]:
    made: list[b.EnergyFlow] = []
    for source in option.sources:
        wh = {"solar": 2600.0 * sun, "alternator": 760.0, "generator": 900.0}.get(source.kind, 0.0)
        made.append(b.EnergyFlow(source.key, "source", wh))
    made += [b.EnergyFlow(load.key, "load", round(load.wh_per_day, 1)) for load in option.loads]
    for n, bank in enumerate(option.banks):
        made += [
            b.EnergyFlow(bank.key, "bank_in", 1500.0 / (n + 1)),
            b.EnergyFlow(bank.key, "bank_out", 1420.0 / (n + 1)),
        ]
    made += [b.EnergyFlow("cables", "loss", 46.0), b.EnergyFlow("banks", "loss", 120.0)]
    return tuple(made)


SCENES: Final = (
    ("night", 3.0), ("morning", 8.7), ("charging", 12.0), ("full", 15.6), ("dusk", 17.9), ("engine", 18.6),
)  # fmt: skip


def _scene(option: OptionResult, code: str, hour: float, sun: float) -> b.Scene:
    solar_a = round(30.0 * sun * _sun(hour), 2) if _source(option, "solar") else 0.0
    engine_a = 50.0 * _engine(hour) if _source(option, "alternator", "generator") else 0.0
    use_a = _use_a(hour)
    contactor = [relay for relay in relays_of(option) if relay.endswith("contactor")]
    others = [relay for relay in relays_of(option) if relay not in contactor]
    opened = (contactor if not _joined(hour) else []) + (others if not _engine(hour) else [])
    net = use_a - solar_a - engine_a
    giving = [bank for bank in option.banks if bank.role != "start"] or list(option.banks)
    banks_a = tuple((bank.key, round(net / len(giving), 3) if bank in giving else 0.0) for bank in option.banks)
    sources_a = tuple(
        (s.key, solar_a if s.kind == "solar" else engine_a if s.kind in ("alternator", "generator") else 0.0)
        for s in option.sources
    )
    at_ends = {**dict(banks_a), **dict(sources_a)}
    branches = [
        b.BranchCurrent(c.key, round(abs(at_ends.get(c.circuit, use_a / 12.0)), 3))
        for c in option.conductors
        if c.pole == "positive"
    ]
    buses = tuple((d.key, 13.2) for d in option.devices if d.kind in ("main_bus", "start_bus"))
    shares = tuple((bank.key, 0.8) for bank in option.banks)
    return b.Scene(code, hour * 3600.0, tuple(opened), tuple(branches), buses, shares, banks_a, sources_a, use_a)


def _day(option: OptionResult, season: str, sun: float) -> b.Day:
    scenes = tuple(_scene(option, code, hour, sun) for code, hour in SCENES)
    engine_h = 1.25 if _source(option, "alternator", "generator") else 0.0
    traces, events = _day_traces(option, sun), _day_events(option)
    return b.Day(season, SAMPLE_S, traces, events, _energy(option, sun), scenes, engine_h, _audit(1440))


def _audit(steps: int) -> b.Audit:
    return b.Audit(steps, 3.1e-13, 4.2e-5, 6, 0, 0)


def _falling(option: OptionResult, days: float) -> tuple[b.Trace, ...]:
    count = int(days) * 4 + 1
    made = []
    for n, bank in enumerate(option.banks):
        lasts = days * (0.4 + 0.2 * n) if bank.role != "start" else days * 9.0
        shares = [max(0.0, 0.9 * (1.0 - 0.25 * t / lasts)) for t in range(count)]
        made += [
            _trace(bank.key, "charge_share", shares),
            _trace(bank.key, "voltage_v", [10.6 + 2.5 * min(1.0, 1.6 * share) for share in shares]),
        ]
    return tuple(made)


def _no_charge(option: OptionResult, season: str) -> b.NoCharge:
    plain, needed = _any_load(option, critical=False), _any_load(option, critical=True)
    banks = sum(bank.usable_ah for bank in option.banks if bank.role != "start")
    first = round(max(0.5, banks * 12.0 / (USE_W * 24.0)), 3)
    inverter = next((load.key for load in option.loads if load.key.endswith("inverter")), plain)
    order = (
        b.Dark(inverter, (first - 0.2) * 86400.0, critical=False, voltage_v=12.1),
        b.Dark(plain, first * 86400.0, critical=False, voltage_v=11.8),
        b.Dark(needed, (first + 0.6) * 86400.0, critical=True, voltage_v=11.0),
    )
    events = (
        event((first - 0.2) * 24.0, "load_dark", inverter, cause="cut_out", voltage_v=12.1, margin_v=0.1,
              uncertain=True),
        event(first * 24.0, "load_dark", plain, cause="dead", voltage_v=11.8),
    )  # fmt: skip
    return b.NoCharge(season, 14.0, first - 0.2, first + 0.6, 0.3, order, _falling(option, 6.0), 21600.0, events)


def _neglect(option: OptionResult, season: str) -> b.Neglect:
    started = any(bank.role == "start" for bank in option.banks)
    emptied = []
    for n, bank in enumerate(option.banks):
        if bank.role == "start":
            emptied.append(b.Emptied(bank.key, None, 0.93, 12.6))
        else:
            emptied.append(b.Emptied(bank.key, 9.4 + 2.0 * n, 0.02, 10.4))
    starts = []
    for day in (0.0, 7.0, 14.0, 21.0, 28.0):
        volts = 10.9 - (0.012 if started else 0.11) * day
        margin = volts - MINIMUM_V
        verdict: b.Verdict = "fails" if margin < -0.15 else "uncertain" if margin < 0.15 else "starts"
        starts.append(b.StartOnDay(day, round(volts, 3), MINIMUM_V, round(margin, 3), verdict, "own_bank"))
    until = max((s.day for s in starts if s.verdict == "starts"), default=None)
    lasting = _any_load(option, critical=False)
    events = (event(9.4 * 24.0, "bank_low", emptied[0].bank, voltage_v=11.4, charge_share=0.1),)
    return b.Neglect(
        season, lasting, 28.0, tuple(emptied), tuple(starts), until, _falling(option, 28.0), 21600.0, events
    )


def _cut_offs(option: OptionResult) -> tuple[b.CutOff, ...]:
    bank = bank_of(option, lithium=True)
    if bank is None:
        return ()
    bus = next((d.key for d in option.devices if d.kind == "main_bus"), "buses.main")
    lasting, dark = _any_load(option, critical=True), _any_load(option, critical=False)
    inverter = next((load.key for load in option.loads if load.key.endswith("inverter")), dark)
    return (
        b.CutOff("charging_hard", bank, bus, 14.2, 13.9, 15.1, 16.0, -55.0, (lasting, dark), (), (), True),
        b.CutOff("inverter_full", bank, bus, 12.9, 11.8, None, 16.0, 64.8, (lasting,), (dark,), (inverter,), True),
        b.CutOff("night_passage", bank, bus, 13.1, 12.6, None, 16.0, 12.0, (lasting, dark), (), (), None),
    )


def _cranking(option: OptionResult, seasons: list[str]) -> tuple[b.Cranking, ...]:
    rows = []
    states = [*((season, 5.0, 10.9) for season in seasons), ("no_charge", 6.0, 10.1), ("neglect", 28.0, 7.8)]
    ways: list[b.CrankingFrom] = ["own_bank", "joined"]
    if bank_of(option, lithium=True):
        ways.append("lithium")
    if len(option.banks) > 1:
        ways.append("emergency")
    for after, day, volts in states:
        for n, way in enumerate(ways):
            found = volts + 0.3 * n
            if any(bank.role == "start" for bank in option.banks) and way == "own_bank":
                found = 10.6
            margin = found - MINIMUM_V
            verdict: b.Verdict = "fails" if margin < -0.15 else "uncertain" if margin < 0.15 else "starts"
            rows.append(b.Cranking(after, day, way, 18.0, round(found, 3), MINIMUM_V, round(margin, 3), verdict))
    rows.append(b.Cranking("neglect", 28.0, "joined", 18.0, 9.7, MINIMUM_V, 0.1, "uncertain"))
    rows.append(b.Cranking("neglect", 28.0, "lithium", 18.0, None, MINIMUM_V, None, "fails"))
    return tuple(rows)


def _recharge(option: OptionResult) -> tuple[b.Recharge, ...]:
    made = []
    for source in option.sources:
        hot = 98.0 if source.kind == "alternator" else None
        made += [
            b.Recharge(source.key, 0.72, 1.0, 3.4, 24.0, hot, 0.41, 0.5),
            b.Recharge(source.key, 0.2, 1.0, None if source.kind == "solar" else 9.8, 24.0, hot, 0.47, 0.5),
        ]
    return tuple(made)


def _year(option: OptionResult) -> b.Year:
    banks, lead, lithium, monthly = [], [], [], []
    for bank in option.banks:
        flooded = bank.chemistry != "lithium"
        life_by = "calendar" if not flooded else "sulphation" if bank.role != "start" else "cycles"
        banks.append(b.BankYear(bank.key, 41.0 if flooded else 160.0, 0.22, 0.55, 5.5 if flooded else 14.0, life_by))  # type: ignore[arg-type]
        monthly.append((bank.key, (9, 8, 8, 7, 6, 2, 0, 1, 3, 6, 8, 9)))
        if flooded:
            lead.append(b.LeadCare(bank.key, 5.6, 19.0, 0.06, 22.0, 0.4, 0.52))
        else:
            lithium.append(b.LithiumCare(bank.key, 610.0, 220.0, 3, 0.18))
    return b.Year(
        engine_h=286.0, generator_h=0.0, nights_low=14, low_share=0.2, dark_h=9.0, critical_dark_h=0.0,
        solar_wh=702000.0, unused_solar_wh=118000.0, loads_wh=1058500.0, banks=tuple(banks), lead=tuple(lead),
        lithium=tuple(lithium), monthly_full=tuple(monthly), audit=_audit(525600),
    )  # fmt: skip


def _spread(quantity: Any, item: str, least: float, most: float) -> b.Spread:
    values = [least + (most - least) * (n / (QUANTILES - 1)) ** 1.6 for n in range(QUANTILES)]
    return b.Spread(quantity, item, tuple(round(value, 4) for value in values))


def _years(option: OptionResult) -> b.Years:
    spreads = [
        _spread("engine_h", "", 190.0, 430.0),
        _spread("generator_h", "", 0.0, 60.0),
        _spread("nights_low", "", 2.0, 39.0),
        _spread("dark_h", "", 0.0, 40.0),
        _spread("critical_dark_h", "", 0.0, 6.0),
    ]
    for bank in option.banks:
        spreads += [
            _spread("equivalent_cycles", bank.key, 30.0, 60.0), _spread("deepest_share", bank.key, 0.4, 0.9),
            _spread("life_years", bank.key, 3.0, 7.0),
        ]  # fmt: skip
        if bank.chemistry != "lithium":
            spreads.append(_spread("full_charges_per_month", bank.key, 2.0, 9.0))
    errors = tuple((quantity, 0.012) for quantity in get_args(b.Spread.__annotations__["quantity"])) or (
        ("engine_h", 0.012), ("nights_low", 0.03),
    )  # fmt: skip
    return b.Years(200, 1, 300.0, tuple(spreads), errors, _audit(105120))


FACTORS: Final = (0.6, 0.8, 1.0, 1.25, 1.5)


def _what_if(option: OptionResult, season: str) -> b.WhatIf:
    """Grid of 5 × 5 × 5."""
    usable_wh = sum(bank.usable_ah for bank in option.banks if bank.role != "start") * 12.0
    autonomy, alone, engine, starts, until = [], [], [], [], []
    for use in FACTORS:
        for bank in FACTORS:
            for solar in FACTORS:
                used = USE_W * 24.0 * use
                short = used - 2000.0 * solar
                autonomy.append(round(min(30.0, usable_wh * bank / short), 3) if short > 1.0 else 30.0)
                alone.append(round(usable_wh * bank / used, 3))
                engine.append(round(max(0.0, short) / 700.0, 3))
                good = any(entry.role == "start" for entry in option.banks)
                lasts = 28.0 if good else min(28.0, 11.0 * bank / use)
                starts.append(1.0 if lasts >= 28.0 else 0.5 if lasts > 22.0 else 0.0)
                until.append(round(lasts, 3))
    return b.WhatIf(
        FACTORS,
        FACTORS,
        FACTORS,
        season,
        30.0,
        tuple(autonomy),
        tuple(alone),
        tuple(engine),
        tuple(starts),
        tuple(until),
    )


def _troubles(option: OptionResult) -> tuple[b.Trouble, ...]:
    lithium, lead = bank_of(option, lithium=True), bank_of(option, lithium=False)
    bank = lead or lithium or option.banks[0].key
    relay = next(iter(relays_of(option)), bank)
    charger = _source(option, "solar", "shore", "alternator") or bank
    load = _any_load(option, critical=False)
    entries: list[tuple[Any, str, str, float, Values]] = [
        ("chatter", relay, "day", 15000.0, {"count": 7, "within_s": 300.0}),
        ("collapse", load, "no_charge", 345600.0, {"voltage_v": 10.9, "power_w": 700.0}),
        ("bank_never_full", bank, "year", 0.0, {"longest_days": 46.0, "charge_v": 14.2}),
        ("charger_never_restarts", charger, "day", 72000.0, {"restart_v": 12.8, "lowest_v": 13.1}),
        ("absorption_held", charger, "day", 50000.0, {"held_h": 5.2, "loads_a": 9.0}),
        ("absorption_cut_short", charger, "day", 55400.0, {"after_h": 0.4, "relay": relay}),
        ("join_missed", relay, "day", 66000.0, {"difference_v": 0.3, "rule_v": 0.1}),
        ("management_opens", lithium or bank, "day", 55380.0, {"cause": "cell_high", "voltage_v": 14.3}),
        ("source_stranded", charger, "day", 55380.0, {"peak_v": 16.2, "limit_v": 16.0}),
        ("never_joins", relay, "year", 0.0, {"days": 365.0}),
        ("never_parts", relay, "year", 0.0, {"days": 365.0}),
    ]
    return tuple(b.Trouble(*entry) for entry in entries)


def _assumptions(option: OptionResult) -> tuple[b.DayAssumption, ...]:
    bank = option.banks[0].key
    slow, share, stays = {"fast_s": 60.0, "slow_s": 7200.0}, {"efficiency_share": 0.85}, {"stays_share": 0.6}
    return (
        b.DayAssumption(bank, "slow_parts", {**slow}, "common_practice", "", "common practice"),
        b.DayAssumption(bank, "charge_efficiency", {**share}, "common_practice", "", "from memory"),
        b.DayAssumption("", "cloudy_spells", {**stays}, "common_practice", "", "common practice"),
    )
