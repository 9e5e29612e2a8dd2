"""What must never be quiet: settings and circuits that chatter, collapse, never fill, never restart, never join."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from proposal.facts import Values
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import DAY_S, Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import Record, told_rows
from proposal.studies.behaviour.result import CutOff, Trouble, Year

LONGEST_WITHOUT_FULL_DAYS = 14.0
"""Lead that sees no full charge for longer is called neglected. Common practice, no source."""
FLOAT_WHILE_LOW_S, LOW_SHARE = 2 * 3600.0, 0.85
HELD_LONG_S = 5 * 3600.0
CUT_SHORT_S = 1800.0
MISSED_S = 4 * 3600.0
MANAGEMENT = {c.BMS_HIGH: "cell_high", c.BMS_LOW: "cell_low", c.BMS_COLD: "cold"}


def troubles(
    lab: Lab,
    days: Sequence[tuple[str, Machine]],
    longer: Sequence[tuple[str, Machine]],
    year: Year,
    cut: Sequence[CutOff],
) -> tuple[Trouble, ...]:
    """All troubles: of recorded ordinary days, of the longer runs, of the year, and of the cut-offs."""
    found: list[Trouble] = []
    for run, machine in (*days, *longer):
        found += _events(lab, run, machine, ordinary=run not in ("no_charge", "neglect"))
    for run, machine in days:
        found += _recorded(lab, run, machine)
    for care in year.lead:
        if care.longest_without_full_days > LONGEST_WITHOUT_FULL_DAYS:
            charge_v = float(lab.fine.season_rows(c.M_BANK, c.BANK, len(lab.fine.banks))[0][
                lab.fine.banks.index(care.bank), c.FULL_V])  # fmt: skip
            values = {"longest_days": care.longest_without_full_days, "charge_v": charge_v}
            found.append(Trouble("bank_never_full", care.bank, "year", 0.0, {**values}))
    for row in cut:
        if row.peak_v is not None and row.peak_v > row.limit_v:
            # a field holds its current longer than a solar controller does
            order = sorted(lab.circuit.sources, key=lambda s: (s.kind != "alternator", s.kind != "solar"))
            key = order[0].key if order else row.bank
            found.append(
                Trouble("source_stranded", key, row.situation, 0.0, {"peak_v": row.peak_v, "limit_v": row.limit_v})
            )
    known: dict[tuple[str, str, str], Trouble] = {}
    for trouble in found:
        known.setdefault((trouble.code, trouble.item, trouble.run), trouble)
    return tuple(known.values())


def _events(lab: Lab, run: str, machine: Machine, *, ordinary: bool) -> list[Trouble]:
    found = []
    from_s = float(machine.arrays[c.M_AUDIT][c.A_TIME_S]) - DAY_S if run in lab.seasons else 0.0
    for row in told_rows(machine):
        time_s, code, item, cause, volts = row[0] - from_s, int(row[1]), int(row[2]), int(row[3]), row[4]
        if time_s < 0.0:
            continue
        if code == c.E_CHATTER:
            count = int(machine.arrays[c.M_SET][c.TROUBLE_PER_H]) + 1
            found.append(Trouble("chatter", machine.relays[item], run, time_s, {"count": count, "within_s": 3600.0}))
        elif code in (c.E_CHARGE_BLOCKED, c.E_DISCHARGE_BLOCKED) and ordinary and cause in MANAGEMENT:
            if cause == c.BMS_COLD and machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))[0, item, c.HEATER_W]:
                continue  # its heater answers to that
            values: Values = {"cause": MANAGEMENT[cause], "voltage_v": volts}
            found.append(Trouble("management_opens", machine.banks[item], run, time_s, values))
        elif code == c.E_COLLAPSE:
            load = lab.circuit.load[machine.loads[item]]
            watts = load.current_a * lab.circuit.system_v
            found.append(Trouble("collapse", load.key, run, time_s, {"power_w": watts, "voltage_v": volts}))
    return found


def _recorded(lab: Lab, run: str, machine: Machine) -> list[Trouble]:
    record, found = Record(machine), []
    step_s = float(machine.arrays[c.M_SET][c.STEP_S])
    shares = np.sum([record.bank(b, 1) * machine.arrays[c.M_HOUSE][b] for b in range(len(machine.banks))], axis=0)
    rows = machine.season_rows(c.M_SOURCE, c.SOURCE, max(1, len(machine.sources)))
    season = int(machine.arrays[c.M_SEASON][-1])
    for s, key in enumerate(machine.sources):
        stage = record.source(s, 0)
        alive = record.port_v(int(machine.arrays[c.M_SOURCE_PORT][s])) > machine.arrays[c.M_SET][c.LOW_LOAD_V]
        low = (stage == c.FLOAT) & (shares < LOW_SHARE) & alive
        if low.sum() * step_s >= FLOAT_WHILE_LOW_S:
            port = int(machine.arrays[c.M_SOURCE_PORT][s])
            values = {
                "restart_v": float(rows[season, s, c.RESTART_V]),
                "lowest_v": float(record.port_v(port)[low].min()),
                "lowest_share": float(shares[low].min()),
            }
            at_s = float(record.time_s[int(low.argmax())]) % DAY_S
            found.append(Trouble("charger_never_restarts", key, run, at_s, {**values}))
        held = stage == c.ABSORPTION
        if held.sum() * step_s >= HELD_LONG_S and rows[season, s, c.TAIL_A] >= 0.0:
            at_s = float(record.time_s[int(held.argmax())]) % DAY_S
            loads_a = float(record.loads_a()[held].mean())
            held_h = float(held.sum()) * step_s / 3600.0
            found.append(Trouble("absorption_held", key, run, at_s, {"held_h": held_h, "loads_a": loads_a}))
    found += _cut_short(machine, run)
    return found + _relays(lab, run, machine, record)


def _cut_short(machine: Machine, run: str) -> list[Trouble]:
    """Absorption that ends by its tail soon after the bank beside it has parted."""
    found, parted, began = [], (-1e9, -1), {}
    end_s = float(machine.arrays[c.M_AUDIT][c.A_TIME_S])
    for row in machine.events.tolist():
        time_s, code, item, cause = row[0], int(row[1]), int(row[2]), int(row[3])
        if code == c.E_ABSORPTION:
            began[item] = time_s
        elif code == c.E_PARTS:
            parted = (time_s, item)
        elif code == c.E_FLOAT and cause == c.SRC_TAIL and time_s >= end_s - DAY_S and time_s - parted[0] < CUT_SHORT_S:
            after_h = (time_s - began.get(item, time_s)) / 3600.0
            values = {"after_h": after_h, "relay": machine.relays[parted[1]]}
            at_s = time_s - (end_s - DAY_S)
            found.append(Trouble("absorption_cut_short", machine.sources[item], run, at_s, {**values}))
    return found


def _relays(lab: Lab, run: str, machine: Machine, record: Record) -> list[Trouble]:
    found = []
    step_s = float(machine.arrays[c.M_SET][c.STEP_S])
    relays = machine.block(c.M_RELAY, c.RELAY)
    for r, key in enumerate(machine.relays):
        if key.endswith(".emergency"):
            continue
        closed, row = record.closed(r), relays[r]
        if row[c.R_KIND] == c.VSR and closed.all():
            found.append(Trouble("never_parts", key, run, 0.0, {"days": 1.0}))
        elif not closed.any():
            found.append(Trouble("never_joins", key, run, 0.0, {"days": 1.0}))
        elif row[c.R_KIND] == c.CONTACTOR and row[c.LITHIUM_ABOVE_V] > -1e8:
            b = int(row[c.R_BANK])
            bus = record.port_v(machine.bus_row[lab.circuit.banks[b].bus])
            below = record.bank(b, 5) - bus
            missed = (closed == 0.0) & (below > row[c.LITHIUM_ABOVE_V])
            if missed.sum() * step_s >= MISSED_S:
                at = int(missed.argmax())
                values = {
                    "difference_v": float(below[missed].max()),
                    "rule_v": float(row[c.LITHIUM_ABOVE_V]),
                    "falls_s": float(row[c.HOLD_S]),
                }
                bank = lab.circuit.banks[b].key
                found.append(Trouble("join_missed", bank, run, float(record.time_s[at]) % DAY_S, {**values}))
    return found
