"""Ordinary days: each season's own day after days of the same kind, with its scenes and where its energy went."""

from __future__ import annotations

import numpy as np

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.network import ANCHOR_S
from proposal.studies.behaviour.lab import DAY_S, Lab
from proposal.studies.behaviour.machine import Array, Machine
from proposal.studies.behaviour.margins import with_margins
from proposal.studies.behaviour.reading import Record, audit_of, events, traces
from proposal.studies.behaviour.result import BranchCurrent, Day, EnergyFlow, Scene
from proposal.studies.network.apart import apart
from proposal.studies.network.shape import entering

WARM_UP_DAYS = 9
SAMPLE_SLOTS = 5
NOTHING_A = 0.01
SETTLED_SLOTS = 10
"""A scene shows things some minutes after what brought them about."""


def ordinary_day(lab: Lab, season: int) -> tuple[Day, Machine]:
    """The last of ten equal days of a season, and the machine at its end."""
    machine = lab.ordinary(lab.fine, season, WARM_UP_DAYS + 1)
    slots = machine.size(c.N_SLOTS)
    machine.run(0, WARM_UP_DAYS * slots)
    before = machine.copy()
    machine.block(c.M_LS, c.LOAD_STATE)[:, c.TAKEN_J] = 0.0
    machine.keep_record(1, slots)
    machine.run(WARM_UP_DAYS * slots, (WARM_UP_DAYS + 1) * slots)
    from_s = WARM_UP_DAYS * DAY_S
    happened = events(lab, machine, from_s, from_s + DAY_S)
    happened = with_margins(lab, before, happened, WARM_UP_DAYS * slots, (WARM_UP_DAYS + 1) * slots)
    engine_s = machine.days[WARM_UP_DAYS, c.D_ENGINE_S] + machine.days[WARM_UP_DAYS, c.D_GENERATOR_S]
    day = Day(
        lab.seasons[season],
        SAMPLE_SLOTS * 60.0,
        traces(lab, machine, 0, SAMPLE_SLOTS),
        happened,
        energy(machine, before),
        scenes(lab, machine),
        float(engine_s) / 3600.0,
        audit_of([machine]),
    )
    return day, machine


def energy(machine: Machine, before: Machine) -> tuple[EnergyFlow, ...]:
    """Where a recorded day's energy came from and went [Wh]."""
    record, step_h = Record(machine), machine.arrays[c.M_SET][c.STEP_S] / 3600.0
    found: list[EnergyFlow] = []

    def gone(which: int, width: int, column: int, n: int) -> float:
        now, then = machine.block(which, width)[n, column], before.block(which, width)[n, column]
        return float(now - then) / 3600.0

    for s, key in enumerate(machine.sources):
        found.append(EnergyFlow(key, "source", gone(c.M_SS, c.SOURCE_STATE, c.GIVEN_J, s)))
    for n, key in enumerate(machine.loads):
        found.append(EnergyFlow(key, "load", gone(c.M_LS, c.LOAD_STATE, c.TAKEN_J, n)))
    warmed = 0.0
    for b, key in enumerate(machine.banks):
        watts = record.bank(b, 0) * record.port_v(b)
        taken, given = float(-watts[watts < 0.0].sum()) * step_h, float(watts[watts > 0.0].sum()) * step_h
        found += [EnergyFlow(key, "bank_in", taken), EnergyFlow(key, "bank_out", given)]
        warmed += taken - given - gone(c.M_STATE, c.STATE, c.WORK_J, b)
    audit, then = machine.arrays[c.M_AUDIT], before.arrays[c.M_AUDIT]
    cables = float(audit[c.A_NETWORK_J] - then[c.A_NETWORK_J]) / 3600.0
    links = 0.0
    for link in machine.converters:
        into = record.port_a(machine.port_of[f"{link}.input"]) * record.port_v(machine.port_of[f"{link}.input"])
        out = record.port_a(machine.port_of[f"{link}.output"]) * record.port_v(machine.port_of[f"{link}.output"])
        links += max(0.0, float(-(into + out).sum()) * step_h) if len(machine.converters) == 1 else 0.0
    found += [EnergyFlow("cables", "loss", cables), EnergyFlow("banks", "loss", max(0.0, warmed))]
    given = sum(f.energy_wh for f in found if f.role in ("source", "bank_out"))
    used = sum(f.energy_wh for f in found if f.role in ("load", "bank_in")) + cables
    found.append(EnergyFlow("devices", "loss", max(0.0, given - used)))
    return tuple(found)


def scenes(lab: Lab, machine: Machine) -> tuple[Scene, ...]:
    """The states of a recorded day that are worth a picture, in the order of time."""
    record = Record(machine)
    solar = np.zeros(len(record.rows))
    for s, source in enumerate(lab.circuit.sources):
        if source.kind == "solar":
            solar = solar + record.source(s, 1)
    picked: dict[str, int] = {"night": 3 * 60}
    if solar.max() > 1.0:
        rises = int(np.argmax(solar > 0.25 * solar.max()))
        picked |= {"morning": rises, "charging": int(np.argmax(solar))}
    stages = [record.source(s, 0) for s in range(len(machine.sources))]
    floats = [int(np.argmax(stage == c.FLOAT)) for stage in stages if (stage == c.FLOAT).any()]
    if floats:
        picked["full"] = min(floats) + SETTLED_SLOTS
    engine = np.maximum(record.engine(0), record.engine(1))
    if engine.any():
        picked["engine"] = int(np.argmax(engine > 0.0)) + SETTLED_SLOTS
    after_noon = np.arange(len(solar)) > 14 * 60
    if solar.max() > 1.0:
        picked["dusk"] = int(np.argmax(after_noon & (solar < 0.05 * solar.max())))
    last = len(record.rows) - 1
    order = sorted(((min(row, last), code) for code, row in picked.items()))
    return tuple(scene(lab, machine, code, row) for row, code in order)


def scene(lab: Lab, machine: Machine, code: str, row: int) -> Scene:
    """Currents of all branches at a row of the record, solved on the whole network."""
    record, circuit = Record(machine), lab.circuit
    opened = tuple(key for r, key in enumerate(machine.relays) if record.closed(r)[row] == 0.0)
    banks_a = tuple((key, round(float(record.bank(b, 0)[row]), 4)) for b, key in enumerate(machine.banks))
    sources_a = tuple((key, round(float(record.source(s, 1)[row]), 4)) for s, key in enumerate(machine.sources))
    injected = [*_loads(lab, machine, record, row), *_ends(lab, machine, record, row)]
    amps = _branches(lab, frozenset(opened), injected)
    buses = tuple(
        (bus.key, round(float(record.port_v(machine.port_of[bus.key])[row]), 4))
        for bus in circuit.buses
        if bus.key in machine.port_of
    )
    shares = tuple((key, round(float(record.bank(b, 1)[row]), 5)) for b, key in enumerate(machine.banks))
    branches = tuple(BranchCurrent(key, round(a, 4) + 0.0) for key, a in amps.items() if abs(a) > NOTHING_A)
    taken = round(float(record.loads_a()[row]), 4)
    return Scene(code, float(record.time_s[row]) % DAY_S, opened, branches, buses, shares, banks_a, sources_a, taken)


Injected = tuple[str, str, float]


def _loads(lab: Lab, machine: Machine, record: Record, row: int) -> list[Injected]:
    """Each load's current at its own pins: the share of its group that its pattern asks for."""
    circuit, found = lab.circuit, []
    groups, loads = machine.block(c.M_GROUP, c.GROUP), machine.block(c.M_LOAD, c.LOAD)
    slot, day = row, len(machine.arrays[c.M_SEASON]) - 1
    variant = int(machine.arrays[c.M_VARIANT][day])
    there = int(machine.arrays[c.M_ABOARD][day])
    shape = (2, machine.size(c.N_VARIANTS), machine.size(c.N_SLOTS), -1)
    on = machine.arrays[c.M_PAT_ON].reshape(shape)[there, variant, slot % machine.size(c.N_SLOTS)]
    for g, key in enumerate(machine.groups):
        total = float(record.group_a(g)[row])
        if total == 0.0:
            continue
        port = int(groups[g, c.G_PORT])
        volts = max(float(record.port_v(port)[row]), 1.0)
        members = range(int(groups[g, c.G_FIRST]), int(groups[g, c.G_FIRST] + groups[g, c.G_COUNT]))
        wanted = [float(on[n] * loads[n, c.L_CURRENT] + loads[n, c.L_IDLE_W] / volts) for n in members]
        if not members or sum(wanted) <= 0.0:
            if key in circuit.load or (circuit.starter is not None and key == circuit.starter.key):
                load = circuit.load.get(key) or circuit.starter
                found.append((load.positive, load.negative, -total))  # type: ignore[union-attr]
            continue
        for n, part in zip(members, wanted, strict=True):
            load = circuit.load[machine.loads[n]]
            found.append((load.positive, load.negative, -total * part / sum(wanted)))
    return found


def _ends(lab: Lab, machine: Machine, record: Record, row: int) -> list[Injected]:
    """What banks, charge sources, coils and DC-DC chargers send in at their pins."""
    circuit, found = lab.circuit, []
    for b, bank in enumerate(circuit.banks):
        anchor = ANCHOR_S * float(record.port_v(b)[row])
        for key in bank.strings:
            string = circuit.battery[key]
            amps = (float(record.bank(b, 0)[row]) + anchor) / len(bank.strings)
            found.append((string.positive, string.negative, amps))
    for s, source in enumerate(circuit.sources):
        found.append((source.positive, source.negative, float(record.source(s, 1)[row])))
    relays = machine.block(c.M_RELAY, c.RELAY)
    for controller in circuit.controllers:
        r = machine.relays.index(controller.contactor)
        if record.closed(r)[row] > 0.0:
            found.append((controller.supply, controller.negative, -float(relays[r, c.COIL_A])))
    for link in circuit.converters:
        into, out = machine.port_of[f"{link.key}.input"], machine.port_of[f"{link.key}.output"]
        alone = [p for p in (into, out) if list(machine.port_of.values()).count(p) == 1]
        if into in alone:
            found.append((link.in_positive, link.in_negative, float(record.port_a(into)[row])))
        if out in alone:
            found.append((link.out_positive, link.out_negative, float(record.port_a(out)[row])))
    return found


def _branches(lab: Lab, opened: frozenset[str], injected: list[Injected]) -> dict[str, float]:
    """Currents of all conductors and devices [A] for what enters at pairs of nodes."""
    reduced = apart(lab.circuit, lab.family, opened)
    shape = reduced.shape
    live = [entry for entry in injected if entry[0] in shape.index and entry[1] in shape.index]
    positive, negative = shape.rows(e[0] for e in live), shape.rows(e[1] for e in live)
    amps = np.array([e[2] for e in live])
    into: Array = entering(len(shape.row), positive, negative, amps)
    rows = np.bincount(shape.row, into, shape.size + 1)[: shape.size]
    trunk_v = np.append(reduced.inverse_ohm[:-1, :-1] @ rows, 0.0)
    volts = reduced.everywhere(trunk_v, into)
    branch_a = (volts[shape.starts] - volts[shape.ends]) / reduced.branch_ohm
    names = [r.key for r in reduced.network.resistors]
    return {key: float(a) for key, a in zip(names, branch_a.tolist(), strict=True) if key not in opened}
