"""Relays with their rules, and all conditions that relays, managements and chargers watch."""

from __future__ import annotations

import numpy as np

from proposal.circuit.model import Bank, SeriesDevice
from proposal.spec.options import ContactorLink
from proposal.studies.behaviour.assembly.defaults import (
    HOLDS_S,
    JOINS_AFTER_EMPTY_12V,
    JOINS_BELOW_12V,
    PARTING_SHARE_PER_H,
    UNSET_V,
    VSR_DELAY_S,
)
from proposal.studies.behaviour.assembly.draft import Draft
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Array
from proposal.studies.network.assemble import device_ohm


def lay_relays(draft: Draft, relays: list[SeriesDevice]) -> None:
    """Parameters and first state of each relay, and all conditions with what they are for."""
    circuit, arrays = draft.circuit, draft.arrays
    count = max(1, len(relays))
    rows, state = np.zeros((count, c.RELAY)), np.zeros((count, c.RELAY_STATE))
    conditions: list[tuple[int, int]] = []
    through = {bank.through: bank for bank in circuit.banks if bank.through}
    link = draft.spec.option.contactor
    for r, device in enumerate(relays):
        row, node = rows[r], circuit.node
        ends = [draft.rows.index[end, node[end].mate] for end in (device.from_node, device.to_node)]
        stated = dict(device.settings)
        row[c.R_OHM], row[c.R_BANK], row[c.SENSE_OTHER] = device_ohm(device), -1.0, -1.0
        state[r, c.SWITCHED_S] = state[r, c.HOUR_FROM_S] = -1e9
        if device.kind == "vsr":
            row[c.R_KIND], row[c.DELAY_S] = c.VSR, _vsr_delay_s(draft, device.key)
            row[c.JOINS_V], row[c.RELEASES_V] = stated["joins_v"], stated["releases_v"]
            row[c.SENSE_ONE] = ends[1] if device.senses == "to" else ends[0]
            if device.senses == "both":
                row[c.SENSE_OTHER] = ends[1]
            conditions += [(c.VSR_JOIN, r), (c.VSR_RELEASE, r)]
        elif device.key in through:
            _contactor(draft, row, r, through[device.key], device, ends, link, conditions)
            state[r, c.CLOSED] = 1.0
        elif device.kind == "contactor":
            state[r, c.CLOSED], row[c.R_KIND] = 1.0, c.CONTACTOR
    for b, bank in enumerate(circuit.banks):
        if circuit.battery[bank.strings[0]].cut_off and bank.chemistry == "lithium":
            conditions += [(kind, b) for kind in range(c.BMS_HIGH, c.BMS_WARM + 1)]
    settings = arrays[c.M_SOURCE].reshape(-1, max(1, len(circuit.sources)), c.SOURCE)[0]
    for s, source in enumerate(circuit.sources):
        kinds = [c.SRC_ABSORB]
        if settings[s, c.FLOAT_V] > UNSET_V:  # one that only holds its voltage has nothing to go over to
            kinds += [c.SRC_TIMER, c.SRC_RESTART]
            if draft.spec.source(source.key).tail_a is not None:
                kinds.append(c.SRC_TAIL)
        conditions += [(kind, s) for kind in kinds]
    arrays[c.M_RELAY], arrays[c.M_RS] = rows.reshape(-1), state.reshape(-1)
    arrays[c.M_COND] = np.array(conditions or [(0, 0)], dtype=np.float64).reshape(-1)
    draft.sizes[c.N_CONDITIONS] = len(conditions)
    arrays[c.M_SINCE], arrays[c.M_FLAG] = np.full(len(conditions) + 1, -1.0), np.zeros(len(conditions) + 1)


def _contactor(
    draft: Draft,
    row: Array,
    r: int,
    bank: Bank,
    device: SeriesDevice,
    ends: list[int],
    link: ContactorLink | None,
    conditions: list[tuple[int, int]],
) -> None:
    circuit, stated = draft.circuit, dict(device.settings)
    row[c.R_KIND], row[c.R_BANK] = c.CONTACTOR, draft.by_key[bank.key]
    at_bus = link is not None and link.sense_at == "bus"
    row[c.SENSE_ONE], row[c.SENSE_OTHER] = ends[1], ends[1] if at_bus else ends[0]
    row[c.DELAY_S] = 2.0
    row[c.HOLD_S] = HOLDS_S if link is None or link.holds_s is None else link.holds_s
    row[c.WAITS_S] = 0.0 if link is None or link.waits_s is None else link.waits_s
    above_v = link.joins_above_v if link is not None else None
    row[c.JOINS_ABOVE_V] = UNSET_V if above_v is None else above_v
    row[c.EMPTY_JOINS_V] = JOINS_AFTER_EMPTY_12V * draft.scale if above_v is None else above_v
    below_v = stated.get("joins_below_v")
    if below_v is None and above_v is None:
        below_v = JOINS_BELOW_12V * draft.scale
    row[c.JOINS_BELOW_V] = UNSET_V if below_v is None else below_v
    row[c.LITHIUM_ABOVE_V] = stated.get("lithium_above_v", UNSET_V)
    row[c.OPENS_ABOVE_V] = stated.get("opens_above_v", UNSET_V)
    row[c.OPENS_BELOW_V] = stated.get("opens_below_v", UNSET_V)
    row[c.FULL_SHARE] = UNSET_V if link is None or link.opens_full_share is None else link.opens_full_share
    row[c.EMPTY_SHARE] = UNSET_V if link is None or link.opens_empty_share is None else link.opens_empty_share
    lead = [b for b in circuit.banks if b.chemistry != "lithium" and b.bus == bank.bus]
    row[c.LEAD_BANK] = draft.by_key[lead[0].key] if lead else -1.0
    if stated.get("parts_on_discharge") and lead:
        ah = sum(circuit.battery[key].part.capacity_ah for key in lead[0].strings)
        row[c.PARTS_A] = PARTING_SHARE_PER_H * ah
    row[c.COIL_A] = getattr(device.part, "coil_a", 0.0) if device.driven_as != "latching" else 0.0
    bus = circuit.bus[bank.bus]
    row[c.COIL_PORT] = draft.rows.index.get((bus.positive, bus.negative), draft.by_key[bank.key])
    kinds = [c.CON_JOIN, c.CON_FULL, c.CON_EMPTY, c.CON_DISCHARGING, c.LATCH_FREE, c.CON_COUNTED]
    conditions += [(kind, r) for kind in kinds]


def _vsr_delay_s(draft: Draft, key: str) -> float:
    link = draft.spec.option.vsr
    return link.delay_s if key.startswith("links.vsr.") and link is not None else VSR_DELAY_S
