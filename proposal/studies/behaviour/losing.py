"""Lithium switches itself off at a bad moment; and how long a source really needs to charge."""

from __future__ import annotations

from typing import Literal

import numpy as np

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import DAY_S, Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import Record
from proposal.studies.behaviour.result import CutOff, Recharge

Situation = Literal["charging_hard", "inverter_full", "night_passage"]
BEARS_12V = 15.5
"""Upper end of the voltage window of equipment, 15.5 V at 12 V (ISO 10133, corroborated)."""
HALF, USABLE_SHARE, FULL_SHARE = 0.5, 0.2, 0.98
LASTS_S = 10.0
EVENING_SLOT, NIGHT_SLOT = 20 * 60, 23 * 60
FOLLOWED_H = 48.0
NOBODY_V = 60.0
"""Above this, at 12 V, nothing is left that would hold a source: no figure is given."""


def cut_offs(lab: Lab, season: int) -> tuple[CutOff, ...]:
    """Each situation for each lithium bank that can switch itself off."""
    found = []
    for b, bank in enumerate(lab.circuit.banks):
        if bank.chemistry == "lithium" and lab.circuit.battery[bank.strings[0]].cut_off:
            situations: list[Situation] = ["charging_hard", "inverter_full", "night_passage"]
            if not any(s.kind in ("alternator", "solar", "shore", "generator") for s in lab.circuit.sources):
                situations.remove("charging_hard")
            if not any(x.inverter_id for x in lab.circuit.loads):
                situations.remove("inverter_full")
            found += [_cut_off(lab, season, b, situation) for situation in situations]
    return tuple(found)


def _cut_off(lab: Lab, season: int, b: int, situation: Situation) -> CutOff:
    circuit, bank = lab.circuit, lab.circuit.banks[b]
    m = lab.ordinary(lab.fine, season, 1)
    state, held = m.block(c.M_STATE, c.STATE), m.block(c.M_RS, c.RELAY_STATE)
    for other, each in enumerate(circuit.banks):
        state[other, c.S] = HALF if each.chemistry == "lithium" else 0.95
    for r, key in enumerate(m.relays):
        charging = situation == "charging_hard" and not key.endswith(".emergency")
        held[r, c.CLOSED] = 1.0 if charging or m.block(c.M_RELAY, c.RELAY)[r, c.R_BANK] >= 0 else 0.0
    slot = NIGHT_SLOT if situation == "night_passage" else EVENING_SLOT
    on = _switch_on(lab, m, slot, inverter=situation == "inverter_full")
    if situation == "charging_hard":
        _all_sources(lab, m, season)
    lab.settle_at(m, season, LASTS_S)
    bus = circuit.bus[bank.bus]
    row = m.bus_row[bus.key]
    before_v, before_a = float(m.arrays[c.M_V][row]), float(m.block(c.M_STATE, c.STATE)[b, c.AMPS])
    given = m.block(c.M_SS, c.SOURCE_STATE)[:, c.GIVES_A].copy()
    state = m.block(c.M_STATE, c.STATE)
    state[b, c.CHARGE_BLOCKED] = state[b, c.DISCHARGE_BLOCKED] = 4.0
    peak_v = _peak_v(lab, m, season, given, row) if situation == "charging_hard" else None
    lab.settle_at(m, season, LASTS_S)
    after_v = float(m.arrays[c.M_V][row])
    dark, collapsed = _dark(m, on)
    alive = tuple(key for key in on if key not in dark)
    return CutOff(
        situation, bank.key, bus.key, before_v, max(after_v, 0.0), peak_v, _limit_v(lab), before_a, alive,
        tuple(dark), tuple(collapsed), _warned(lab, bank.key),
    )  # fmt: skip


def _switch_on(lab: Lab, m: Machine, slot: int, *, inverter: bool) -> list[str]:
    """Lay what is on at that time of the first pattern of use on the groups; the inverter at its full load."""
    groups, loads = m.block(c.M_GROUP, c.GROUP), m.block(c.M_LOAD, c.LOAD)
    shape = (2, m.size(c.N_VARIANTS), m.size(c.N_SLOTS), -1)
    tables = [m.arrays[which].reshape(shape)[1, 0, slot] for which in (c.M_PAT_I, c.M_PAT_P, c.M_PAT_W)]
    now = m.block(c.M_GNOW, c.G_NOW)
    on = []
    for g, key in enumerate(m.groups):
        now[g] = [float(table[g]) for table in tables]
        load = lab.circuit.load.get(key)
        if load is not None and load.inverter_id and inverter:
            watts = max(load.rated_a, load.current_a) * lab.circuit.system_v
            now[g] = [0.0, watts, 0.0]
        for n in range(int(groups[g, c.G_FIRST]), int(groups[g, c.G_FIRST] + groups[g, c.G_COUNT])):
            on.append(m.loads[n])  # noqa: PERF401 - beside what else each group is given
    critical = [x for x in on if lab.circuit.load[x].critical]
    running = m.arrays[c.M_PAT_ON].reshape(shape)[1, 0, slot]
    return [
        key for key in on
        if running[m.loads.index(key)] > 0.0 or loads[m.loads.index(key), c.L_IDLE_W] > 0.0 or key in critical
        or (inverter and lab.circuit.load[key].inverter_id)
    ]  # fmt: skip


def _all_sources(lab: Lab, m: Machine, season: int) -> None:
    rows = m.season_rows(c.M_SOURCE, c.SOURCE, len(m.sources))[season]
    state = m.block(c.M_SS, c.SOURCE_STATE)
    for s, source in enumerate(lab.circuit.sources):
        state[s, c.STAGE], state[s, c.AVAILABLE] = c.BULK, rows[s, c.LIMIT_A]
        if source.kind == "solar":
            state[s, c.AVAILABLE] = float(lab.ordinary_sun[s, season].max())
        elif source.kind == "alternator":
            state[s, c.AVAILABLE] = rows[s, c.COLD_A]
        elif source.kind in ("shore", "generator") and any(x.kind == "alternator" for x in lab.circuit.sources):
            state[s, c.STAGE] = c.OFF  # under way there is no shore


def _peak_v(lab: Lab, m: Machine, season: int, given: np.ndarray, row: int) -> float | None:
    """While the sources' fields die away their currents go on into what is left: U = E + I·R [V]."""
    forced = m.copy()
    rows = forced.season_rows(c.M_SOURCE, c.SOURCE, len(m.sources))
    state = forced.block(c.M_SS, c.SOURCE_STATE)
    for s, source in enumerate(lab.circuit.sources):
        rows[season, s, c.ABSORB_V] = 1000.0
        state[s, c.STAGE] = c.BULK if given[s] > 0.0 else c.OFF
        state[s, c.AVAILABLE] = given[s] * (lab.circuit.system_v * 1.2 if source.kind == "solar" else 1.0)
    if not lab.settle_at(forced, season, 0.1):
        return None
    volts = float(forced.arrays[c.M_V][row])
    return volts if volts < NOBODY_V * lab.scale else None


def _dark(m: Machine, on: list[str]) -> tuple[list[str], list[str]]:
    loads, v = m.block(c.M_LOAD, c.LOAD), m.arrays[c.M_V]
    low_v = float(m.arrays[c.M_SET][c.LOW_LOAD_V])
    dark, collapsed = [], []
    for key in on:
        row = loads[m.loads.index(key)]
        volts = float(v[int(row[c.L_PORT])])
        if volts < row[c.L_CUT_V]:
            dark.append(key)
            if row[c.L_CONSTANT_POWER] > 0.0 and low_v * 0.5 < volts < low_v:
                collapsed.append(key)
    return dark, collapsed


def _limit_v(lab: Lab) -> float:
    """The least of what connected loads bear [V]; where none says, the usual window of equipment."""
    stated = [lab.spec.load(x.key).voltage_max_v for x in lab.circuit.loads]
    return min([v for v in stated if v is not None], default=BEARS_12V * lab.scale)


def _warned(lab: Lab, bank: str) -> bool | None:
    link = lab.spec.option.contactor
    said = [lab.spec.bank(bank).warns_before, link.warns_before if link is not None else None]
    return True if True in said else False if False in said else None


# --- charging times ---------------------------------------------------------------------------------------------------


def recharges(lab: Lab, season: int, morning_share: float) -> tuple[Recharge, ...]:
    """Hours of each source that a person switches on, alone, in ordinary use."""
    found = []
    for s, source in enumerate(lab.circuit.sources):
        if source.kind in ("alternator", "shore", "generator"):
            shares = dict.fromkeys((round(morning_share, 3), USABLE_SHARE))
            found += [_recharge(lab, season, s, share) for share in shares]
    return tuple(found)


def _recharge(lab: Lab, season: int, s: int, share: float) -> Recharge:
    source = lab.circuit.sources[s]
    m = lab.ordinary(lab.fine, season, 3, sun=False)
    lab.fill(m, season, share)
    rows = m.season_rows(c.M_SOURCE, c.SOURCE, len(m.sources))
    rows[:, :, c.FOR_S] = 0.0
    setting = m.arrays[c.M_SET]
    setting[c.USES_ENGINE] = 1.0 if source.kind == "alternator" else 0.0
    setting[c.USES_GENERATOR] = 0.0
    if source.kind != "alternator":
        rows[:, s, c.FROM_S], rows[:, s, c.FOR_S] = 0.0, 2.0 * DAY_S
    setting[c.ENGINE_MODE], setting[c.ENGINE_FROM_S], setting[c.ENGINE_MOST_S] = 1.0, 0.0, 2.0 * DAY_S
    first, last = 8 * 60, 8 * 60 + int(FOLLOWED_H * 60)
    m.keep_record(1, last - first)
    m.run(first, last)
    record = Record(m)
    house = [
        (b, float(m.arrays[c.M_HOUSE][b])) for b in range(len(m.banks)) if m.arrays[c.M_HOUSE][b] > 0.0
    ]  # fmt: skip
    shares = np.sum([record.bank(b, 1) * weight for b, weight in house], axis=0)
    full = shares >= FULL_SHARE
    hours = float(np.argmax(full) + 1) / 60.0 if full.any() else None
    until = int(np.argmax(full)) + 1 if full.any() else len(shares)
    amps = record.source(s, 1)[:until]
    nameplate = max(source.rated_a, 0.1)
    hottest = None
    if source.kind == "alternator":
        place = lab.circuit.place[lab.spec.spec.routes[lab.spec.source(source.key).route].place]
        hottest = place.hottest_c + float(rows[season, s, c.HOT_RISE_K] * record.source(s, 2)[:until].max())
    return Recharge(
        source.key, share, FULL_SHARE, hours, FOLLOWED_H, hottest, float(amps.mean() / nameplate),
        float(amps.max() / nameplate),
    )  # fmt: skip
