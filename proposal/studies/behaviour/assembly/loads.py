"""Loads in groups: what each pair of bars is asked for in each slot of a day."""

from __future__ import annotations

import numpy as np

from proposal.circuit.assumed import LOWEST_SHARE_OF_NOMINAL
from proposal.circuit.model import Load
from proposal.studies.behaviour.assembly.defaults import BACK_ABOVE_12V, DAY_S, INVERTER_BACK_12V, UNSET_V, USUAL_12V
from proposal.studies.behaviour.assembly.draft import Draft
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Array
from proposal.studies.network.apart import apart, is_joined


def lay_loads(draft: Draft) -> list[Load]:
    """Groups of loads; fills patterns by group. Returns the loads in the order of their groups."""
    circuit = draft.circuit
    ordered: list[Load] = []
    groups: list[tuple[str, int, int, int, int]] = []
    for bus in circuit.buses:
        here = [x for x in circuit.loads if x.bus == bus.key and not x.high_current]
        if here:
            port = draft.rows.index[bus.positive, bus.negative]
            groups.append((bus.key, port, len(ordered), len(here), -1))
            ordered += here
    for load in circuit.loads:
        if load.high_current:
            groups.append((load.key, draft.rows.index[load.positive, load.negative], len(ordered), 1, -1))
            ordered.append(load)
    if circuit.starter is not None:
        pair = (circuit.starter.positive, circuit.starter.negative)
        groups.append((circuit.starter.key, draft.rows.index[pair], len(ordered), 0, -1))
    for b, bank in enumerate(circuit.banks):
        part = circuit.battery[bank.strings[0]].part
        if part.heated:
            groups.append((f"{bank.key}.heater", b, len(ordered), 0, b))
    draft.groups = [g[0] for g in groups]
    _group_rows(draft, ordered, groups)
    return ordered


def _group_rows(draft: Draft, ordered: list[Load], groups: list[tuple[str, int, int, int, int]]) -> None:
    circuit, arrays, sizes = draft.circuit, draft.arrays, draft.sizes
    place = {key: n for n, key in enumerate(draft.patterns.loads)}
    order = [place[x.key] for x in ordered]
    every = round(DAY_S / 60.0 / (DAY_S / draft.step_s)) or 1
    on = draft.patterns.on[order].reshape(len(ordered), draft.patterns.on.shape[1], -1, every)
    rows = np.zeros((max(1, len(ordered)), c.LOAD))
    limb_ohm = _limb_ohm(draft, ordered)
    watts_on = np.zeros((*on.shape[:3], 2))  # mean of watts, mean of watts²
    amps_on = np.zeros(on.shape[:3])
    cut_of = {}
    for n, load in enumerate(ordered):
        row, standby_w = rows[n], float(draft.patterns.standby_w[order[n]])
        cut_v, back_v = _cut_v(draft, load)
        cut_of[n] = cut_v + limb_ohm[n] * load.current_a
        row[c.L_CURRENT], row[c.L_IDLE_W], row[c.L_OHM] = load.current_a, standby_w, limb_ohm[n]
        row[c.L_CUT_V], row[c.L_BACK_V], row[c.L_CRITICAL] = cut_v, back_v, 1.0 if load.critical else 0.0
        row[c.L_CONSTANT_POWER] = 1.0 if load.constant_power else 0.0
        if load.constant_power:
            watts = on[n] * load.current_a * circuit.system_v + standby_w
            lost = _lost_watts2(watts, limb_ohm[n], USUAL_12V * draft.scale)
            watts_on[n, ..., 0], watts_on[n, ..., 1] = watts.mean(axis=-1), lost.mean(axis=-1)
        else:
            amps_on[n] = on[n].mean(axis=-1) * load.current_a
            watts_on[n, ..., 0] = standby_w
    table = np.zeros((len(groups), c.GROUP))
    variants, slots = on.shape[1], on.shape[2]
    amps, watts, loss = (np.zeros((2, variants, slots, len(groups))) for _ in range(3))
    stays = draft.patterns.stays[order].astype(float)
    for g, (_, port, first, count, heats) in enumerate(groups):
        table[g, c.G_PORT], table[g, c.G_FIRST], table[g, c.G_COUNT], table[g, c.G_HEATS] = (
            port,
            first,
            count,
            heats,
        )
        table[g, c.G_CUT_V] = max([cut_of[n] for n in range(first, first + count)], default=UNSET_V)
        for n in range(first, first + count):
            rows[n, c.L_GROUP], rows[n, c.L_PORT] = g, port
            for aboard in range(2):
                share = 1.0 if aboard else stays[n]
                amps[aboard, :, :, g] += share * amps_on[n]
                watts[aboard, :, :, g] += share * watts_on[n, ..., 0]
                loss[aboard, :, :, g] += share * limb_ohm[n] * watts_on[n, ..., 1]
    means = on.mean(axis=-1)
    pattern = np.stack([means * stays[:, None, None], means]).transpose(0, 2, 3, 1)
    arrays[c.M_LOAD], arrays[c.M_GROUP] = rows.reshape(-1), table.reshape(-1)
    held = np.zeros((max(1, len(ordered)), c.LOAD_STATE))
    held[:, c.LIT] = 1.0
    arrays[c.M_LS], arrays[c.M_GNOW] = held.reshape(-1), np.zeros(len(groups) * c.G_NOW)
    arrays[c.M_PAT_I], arrays[c.M_PAT_P] = amps.reshape(-1), watts.reshape(-1)
    arrays[c.M_PAT_W], arrays[c.M_PAT_ON] = loss.reshape(-1), np.ascontiguousarray(pattern).reshape(-1)
    sizes[c.N_GROUPS], sizes[c.N_LOADS] = len(groups), len(ordered)
    sizes[c.N_VARIANTS], sizes[c.N_SLOTS] = variants, slots


def _limb_ohm(draft: Draft, ordered: list[Load]) -> list[float]:
    """Resistance of each load's own wires behind its bars [Ω]; none for those with a port of their own."""
    reduced = apart(draft.circuit, draft.family, set())
    found = []
    for load in ordered:
        bus = draft.circuit.bus[load.bus]
        own, bars = [(load.positive, load.negative)], [(bus.positive, bus.negative)]
        if load.high_current or not is_joined(reduced, own[0]):
            found.append(0.0)
            continue
        ohm = reduced.transfer_ohm(own, own) - reduced.transfer_ohm(bars, bars)
        found.append(max(0.0, float(ohm[0])))
    return found


def _cut_v(draft: Draft, load: Load) -> tuple[float, float]:
    """Below what a load goes dark, and above what it comes back [V]."""
    written = draft.spec.load(load.key)
    lowest_v = LOWEST_SHARE_OF_NOMINAL * draft.circuit.system_v
    if written.cuts_out_v is not None:
        return written.cuts_out_v, written.cuts_out_v + INVERTER_BACK_12V * draft.scale
    if load.inverter_id is not None:
        lowest_v = draft.catalogue.inverter(load.inverter_id).input_min_v or lowest_v
    return lowest_v, lowest_v + BACK_ABOVE_12V * draft.scale


def _lost_watts2(watts: Array, ohm: float, volts: float) -> Array:
    """W² for which P/V + R·W²/V³ is all that a constant power P behind R takes at a usual voltage V.

    I = 2·P/(V + √(V² − 4·R·P)); W² = P² would leave 2·(R·P/V²)² of it out: half a percent where a wire drops 5 %.
    """
    if ohm <= 0.0:
        return np.asarray(watts**2)
    amps = 2.0 * watts / (volts + np.sqrt(np.maximum(volts**2 - 4.0 * ohm * watts, 0.0)))
    return np.asarray((amps - watts / volts) * volts**3 / ohm)
