"""Energy from the spec's hours and seasons and the circuit's banks and sources."""

from typing import Literal

from proposal.circuit.model import Bank, Circuit
from proposal.parts.chemistry import charge_efficiency, is_lead, temperature_capacity_share, usable_share
from proposal.spec.equipment import ShoreSource, SolarSource, WindSource
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.vessel import Season
from proposal.studies.energy.equations import autonomy_days, charge_hours, load_wh_per_day, solar_wh_per_day
from proposal.studies.energy.result import Autonomy, BankEnergy, Charging, Day, Energy

HOURS_PER_DAY = 24.0


def energy(spec: EffectiveSpec, circuit: Circuit) -> Energy:
    """A day's balance of every season, autonomy, charging times, battery mass and standing drain.

    Losses: what charging takes more than discharging gives back, on the energy that goes through the banks; the held
    coil of a contactor counts as a load. The season with the lowest balance before the engine is the worst.
    """
    banks = tuple(_bank(circuit, bank) for bank in circuit.banks)
    days = tuple(_day(spec, circuit, key, season) for key, season in spec.spec.climate.seasons.items())
    worst = min(days, key=lambda d: d.free_wh - d.use_wh - d.loss_wh)
    return Energy(
        days, worst.season, banks, _autonomy(circuit, banks, worst), _charging(circuit, banks, worst),
        sum(b.series_count * b.part.mass_kg for b in circuit.batteries), _drain_a(spec, circuit),
    )  # fmt: skip


def _bank(circuit: Circuit, bank: Bank) -> BankEnergy:
    """Capacity at the coldest temperature of the bank's place; usable share by chemistry."""
    strings = [circuit.battery[key] for key in bank.strings]
    part = strings[0].part
    return BankEnergy(
        bank.key,
        strings[0].series_count * part.voltage_v,
        len(strings) * part.capacity_ah,
        usable_share(part.chemistry),
        min(1.0, temperature_capacity_share(part.chemistry, circuit.place[bank.place].coldest_c)),
    )


def _coil_w(circuit: Circuit) -> float:
    coils = [circuit.device[c.contactor].part for c in circuit.controllers]
    return sum(getattr(part, "coil_a", 0.0) for part in coils) * circuit.system_v


def _loads_wh(spec: EffectiveSpec, circuit: Circuit, use_share: float) -> tuple[tuple[str, float], ...]:
    """Loads that stay on when nobody is aboard count every day, the others on the share of days of use."""
    entries = []
    for load in circuit.loads:
        written = spec.load(load.key)
        running_w = load.current_a * circuit.system_v
        standby_w = written.standby_w + load.idle_w
        whole_wh = load_wh_per_day(running_w, written.hours_h, written.duty, standby_w)
        entries.append((load.key, whole_wh * (1.0 if load.away or load.always_on else use_share)))
    coil_w = _coil_w(circuit)
    if coil_w:
        entries.append((circuit.controllers[0].key, coil_w * HOURS_PER_DAY))
    return tuple(entries)


def _sources_wh(spec: EffectiveSpec, circuit: Circuit, season: Season) -> tuple[tuple[str, float], ...]:
    given = []
    for source in circuit.sources:
        written = spec.source(source.key)
        if isinstance(written, SolarSource):
            reaches = written.performance * (1.0 - written.shading)
            given.append((source.key, solar_wh_per_day(written.power_w, season.sun_h, reaches)))
        elif isinstance(written, WindSource):
            given.append((source.key, written.mean_w * HOURS_PER_DAY))
        elif isinstance(written, ShoreSource):
            given.append((source.key, source.lasting_a * source.charge_v * written.hours_h))
    return tuple(given)


def _day(spec: EffectiveSpec, circuit: Circuit, key: str, season: Season) -> Day:
    loads = _loads_wh(spec, circuit, season.use)
    sources = _sources_wh(spec, circuit, season)
    use_wh = sum(wh for _, wh in loads)
    free_wh = sum(wh for _, wh in sources)
    house = [b for b in circuit.banks if b.role in ("house", "both")]
    efficiency = max((charge_efficiency(b.chemistry) for b in house), default=1.0)
    # About half of a day's use is drawn while nothing charges; that half goes through the banks.
    loss_wh = 0.5 * use_wh * (1.0 / efficiency - 1.0)
    missing_wh = max(0.0, use_wh + loss_wh - free_wh)
    kinds = {s.key: s.kind for s in circuit.sources}
    made_up_by: Literal["engine", "generator", ""] = (
        "engine" if "alternator" in kinds.values() else "generator" if "generator" in kinds.values() else ""
    )
    wanted = "alternator" if made_up_by == "engine" else made_up_by
    power_w = sum(s.lasting_a * s.charge_v for s in circuit.sources if s.kind == wanted)
    engine_h = missing_wh / power_w if power_w > 0 else (0.0 if missing_wh == 0 else None)
    engine_wh = missing_wh if power_w > 0 else 0.0
    return Day(key, loads, sources, loss_wh, engine_wh, engine_h, made_up_by)


def _autonomy(circuit: Circuit, banks: tuple[BankEnergy, ...], worst: Day) -> tuple[Autonomy, ...]:
    critical = {x.key for x in circuit.loads if x.critical or x.always_on}
    critical_wh = sum(wh for key, wh in worst.loads_wh if key in critical)
    by_key = {b.bank: b for b in banks}
    house = [by_key[b.key] for b in circuit.banks if b.role in ("house", "both")]
    entries = [("house", sum(b.usable_wh for b in house))] + [(b.bank, b.usable_wh) for b in house]
    return tuple(
        Autonomy(key, wh, worst.use_wh, autonomy_days(wh, worst.use_wh), autonomy_days(wh, critical_wh))
        for key, wh in entries
    )


def _charging(circuit: Circuit, banks: tuple[BankEnergy, ...], worst: Day) -> tuple[Charging, ...]:
    """From the usable depth to full with one source alone, after what the loads take on average."""
    house = {b.key: b for b in circuit.banks if b.role in ("house", "both")}
    charge_ah = sum(b.usable_ah for b in banks if b.bank in house)
    efficiency = min((charge_efficiency(b.chemistry) for b in house.values()), default=1.0)
    lead_only = all(is_lead(b.chemistry) for b in house.values())
    if not lead_only:
        efficiency = max(charge_efficiency(b.chemistry) for b in house.values())
    mean_a = worst.use_wh / HOURS_PER_DAY / circuit.system_v
    entries = []
    for source in circuit.sources:
        spare_a = max(0.0, source.lasting_a - mean_a)
        entries.append(Charging(source.key, charge_ah, spare_a, charge_hours(charge_ah, spare_a, efficiency)))
    return tuple(entries)


def _drain_a(spec: EffectiveSpec, circuit: Circuit) -> float:
    """What flows when everything is switched off: standby of all loads that stay on, held coils, meters [A]."""
    standby_w = sum(spec.load(x.key).standby_w for x in circuit.loads if x.away or x.always_on)
    meters_a = sum(getattr(d.part, "meter_a", 0.0) for d in circuit.devices if d.kind == "shunt")
    return (standby_w + _coil_w(circuit)) / circuit.system_v + meters_a
