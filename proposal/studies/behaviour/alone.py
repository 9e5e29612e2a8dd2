"""With nothing charging: how long the house lasts in ordinary use, and what a forgotten load does to the start."""

from __future__ import annotations

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import DAY_S, FLAT_SHARE, Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import Record, darkened, events, traces
from proposal.studies.behaviour.result import Dark, Emptied, Event, Neglect, NoCharge, StartOnDay
from proposal.studies.behaviour.starting import crank

LONGEST_DAYS = 30
LASTING_DARK_S = 3600.0
"""A load that comes back sooner was only pulled down for a while by another."""
CAPACITY_TOLERANCE = 0.05
"""How far a new battery's capacity may be from what is printed on it. Common practice, no source."""
USUAL_NEGLECT_DAYS = 14.0
HOURS_OF_DAY = 24
TOLD = ("relay_parts", "relay_joins", "discharge_blocked", "load_dark", "bank_low", "collapse", "chatter")
MOST_TOLD = 200


def no_charge(lab: Lab, season: int, followed_days: int = LONGEST_DAYS) -> tuple[NoCharge, Machine]:
    """From full banks, in ordinary use, with nothing charging; and the machine at the end."""
    machine, first, critical, order = _dark_days(lab, season, followed_days, 1.0)
    less = _dark_days(lab, season, followed_days, 1.0 - CAPACITY_TOLERANCE)[1]
    more = _dark_days(lab, season, followed_days, 1.0 + CAPACITY_TOLERANCE)[1]
    uncertain = 0.0 if less is None or more is None else 0.5 * abs(more - less)
    every = round(3600.0 / machine.arrays[c.M_SET][c.STEP_S])
    last_s = max([dark.time_s for dark in order], default=followed_days * DAY_S)
    hours = min(followed_days, last_s / DAY_S + 1.0) * HOURS_OF_DAY
    kept = tuple(
        trace.__class__(trace.item, trace.quantity, trace.values[: int(hours) + 1])
        for trace in traces(lab, machine, 0, every, banks_only=True)
    )
    happened = _worth_telling(lab, machine, hours * 3600.0)
    row = NoCharge(lab.seasons[season], float(followed_days), first, critical, uncertain, order, kept, 3600.0, happened)
    return row, machine


def _dark_days(
    lab: Lab, season: int, followed_days: int, capacity: float
) -> tuple[Machine, float | None, float | None, tuple[Dark, ...]]:
    machine = lab.ordinary(lab.fine, season, followed_days)
    lab.silence(machine)
    lab.scale_banks(machine, capacity)
    slots = followed_days * machine.size(c.N_SLOTS)
    machine.keep_record(1, slots)
    machine.run(0, slots)
    order = tuple(
        Dark(key, since_s, lab.circuit.load[key].critical, volts)
        for key, since_s, volts in darkened(machine, 0.0, LASTING_DARK_S)
    )
    plain = [d.time_s / DAY_S for d in order if not d.critical]
    needed = [d.time_s / DAY_S for d in order if d.critical]
    return machine, min(plain, default=None), min(needed, default=None), order


def neglect(lab: Lab, season: int) -> tuple[Neglect, Machine] | None:
    """Nobody aboard, nothing charges, one load is left on; does the engine still start on each day.

    None without an engine, or where there is nothing to forget.
    """
    if lab.circuit.starter is None or lab.left_on is None:
        return None
    wanted = lab.spec.spec.system.unattended_days or USUAL_NEGLECT_DAYS
    days = max(1, round(wanted))
    machine = lab.ordinary(lab.fine, season, days, there=False)
    lab.silence(machine)
    lab.leave_on(machine, lab.left_on)
    slots, every = machine.size(c.N_SLOTS), 60
    machine.keep_record(every, days * slots)
    first = crank(lab, machine, "own_bank")
    starts = [StartOnDay(0.0, *first, "own_bank")]
    kept = []
    for day in range(days):
        machine.keep_record(every, slots)
        machine.run(day * slots, (day + 1) * slots)
        kept.append(machine.records.copy())
        starts.append(StartOnDay(float(day + 1), *crank(lab, machine, "own_bank"), "own_bank"))
    machine.keep_record(every, days * slots)
    machine.arrays[c.M_REC][:] = [value for rows in kept for value in rows.reshape(-1).tolist()]
    until: float | None = None
    for start in starts:
        if start.verdict != "starts":
            break
        until = start.day
    happened = _worth_telling(lab, machine, days * DAY_S)
    row = Neglect(
        lab.seasons[season],
        lab.left_on,
        float(days),
        emptied(machine),
        tuple(starts),
        until,
        traces(lab, machine, 0, 1, banks_only=True),
        3600.0,
        happened,
    )
    return row, machine


def _worth_telling(lab: Lab, machine: Machine, until_s: float) -> tuple[Event, ...]:
    """Of a run over many days what changes something, and no more than anybody would read."""
    return tuple(e for e in events(lab, machine, 0.0, until_s) if e.code in TOLD)[:MOST_TOLD]


def emptied(machine: Machine) -> tuple[Emptied, ...]:
    """When each bank of a recorded run was flat or had switched itself off."""
    record, found = Record(machine), []
    for b, key in enumerate(machine.banks):
        share = record.bank(b, 1)
        flat = (share <= FLAT_SHARE) | (record.bank(b, 4) > 0.0)
        when = float(record.time_s[int(flat.argmax())]) / DAY_S if flat.any() else None
        volts = record.port_v(b)
        found.append(Emptied(key, when, float(share.min()), float(volts.min())))
    return tuple(found)
