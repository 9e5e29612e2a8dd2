"""Charge sources and DC-DC chargers: their settings by season, as stated or as usual."""

from __future__ import annotations

import numpy as np

from proposal.circuit.assumed import HOT_SHARE_OF_NAMEPLATE
from proposal.circuit.model import Source
from proposal.spec.equipment import AlternatorSource, ShoreSource, WindSource
from proposal.studies.behaviour.assembly.banks import season_temperatures
from proposal.studies.behaviour.assembly.defaults import (
    ABSORPTION_H,
    FLOAT_12V,
    HOT_AFTER_S,
    HOT_RISE_K,
    HOUR_S,
    RESTART_12V,
    SHORE_FROM_S,
    SPEED_SHARE,
    UNSET_V,
)
from proposal.studies.behaviour.assembly.draft import Draft
from proposal.studies.behaviour.assembly.ports import source_pair
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.network.apart import is_joined
from proposal.studies.network.wired import CHARGER_DROOP_V


def lay_sources(draft: Draft, ports: dict[str, int]) -> None:
    """Parameters of charge sources by season, and of DC-DC chargers."""
    circuit, arrays = draft.circuit, draft.arrays
    count = max(1, len(circuit.sources))
    rows = np.zeros((len(draft.seasons) + 1, count, c.SOURCE))
    where = np.zeros(count)
    kinds = {
        "solar": c.SOLAR,
        "alternator": c.ALTERNATOR,
        "shore": c.SHORE,
        "generator": c.GENERATOR,
        "wind": c.WIND,
    }
    for s, source in enumerate(circuit.sources):
        where[s] = ports[source.key]
        written = draft.spec.source(source.key)
        behind_ohm = _own_wires_ohm(draft, source)
        for season in range(len(draft.seasons) + 1):
            row = rows[season, s]
            row[c.KIND], row[c.LIMIT_A], row[c.LIMB_OHM] = kinds[source.kind], source.current_a, behind_ohm
            bent_v = (written.compensation_v_per_k or 0.0) * (_charged_c(draft, source, season) - 25.0)
            row[c.ABSORB_V] = source.charge_v + bent_v
            row[c.FLOAT_V] = UNSET_V
            float_v = written.float_v
            if float_v is None and not isinstance(written, AlternatorSource | WindSource):
                float_v = FLOAT_12V * draft.scale
            if float_v is not None:
                row[c.FLOAT_V] = float_v + bent_v
            restart_v = written.restarts_below_v
            row[c.RESTART_V] = (RESTART_12V * draft.scale if restart_v is None else restart_v) + bent_v
            row[c.ABSORB_S] = (ABSORPTION_H if written.absorption_h is None else written.absorption_h) * HOUR_S
            row[c.TAIL_A] = -1.0 if written.tail_a is None else written.tail_a
            row[c.DROOP_OHM] = CHARGER_DROOP_V * draft.scale / max(source.current_a, 0.1)
            row[c.STOPPABLE] = 1.0 if written.stopped_by == "management" else 0.0
            row[c.FROM_S], row[c.HOT_TAU_S], row[c.HOT_A] = SHORE_FROM_S, HOT_AFTER_S, source.lasting_a
            if isinstance(written, ShoreSource):
                row[c.FOR_S] = written.hours_h * HOUR_S
            if isinstance(written, AlternatorSource):
                share = SPEED_SHARE if written.speed_share is None else written.speed_share
                hot_a = min(source.lasting_a or source.rated_a * HOT_SHARE_OF_NAMEPLATE, source.rated_a)
                cold_a = min(source.rated_a * share, source.current_a)
                if written.limited:
                    cold_a = min(cold_a, hot_a)
                row[c.COLD_A], row[c.HOT_A] = cold_a, min(hot_a, cold_a)
                row[c.HOT_TAU_S] = HOT_AFTER_S if written.hot_after_s is None else written.hot_after_s
                row[c.HOT_RISE_K] = HOT_RISE_K
    arrays[c.M_SOURCE], arrays[c.M_SOURCE_PORT] = rows.reshape(-1), where
    arrays[c.M_SS] = np.zeros(count * c.SOURCE_STATE)
    links = np.zeros((max(1, len(circuit.converters)), c.CONVERTER))
    for n, link in enumerate(circuit.converters):
        links[n, c.C_IN], links[n, c.C_OUT] = ports[f"{link.key}.input"], ports[f"{link.key}.output"]
        links[n, c.C_LIMIT_A], links[n, c.C_SET_V] = link.output_a, link.charge_v
        links[n, c.C_DROOP_OHM] = CHARGER_DROOP_V * draft.scale / link.output_a
        links[n, c.C_EFFICIENCY] = link.efficiency
        links[n, c.C_WITH_ENGINE] = 0.0 if link.runs_with == "always" else 1.0
        links[n, c.C_LEAST_IN_V] = 12.0 * draft.scale
    arrays[c.M_CONV], arrays[c.M_CS] = links.reshape(-1), np.zeros(max(1, len(circuit.converters)))


def _own_wires_ohm(draft: Draft, source: Source) -> float:
    """Resistance between a source's terminals and the bars at which it regulates [Ω]: I²·R of its power."""
    ends, bus = [source_pair(draft, source)], draft.circuit.bus[source.bus]
    own, bars = [(source.positive, source.negative)], [(bus.positive, bus.negative)]
    if ends != bars or not is_joined(draft.reduced, own[0]):
        return 0.0
    ohm = draft.reduced.transfer_ohm(own, own) - draft.reduced.transfer_ohm(bars, bars)
    return max(0.0, float(ohm[0]))


def _charged_c(draft: Draft, source: Source, season: int) -> float:
    """Temperature by which a source bends its voltages: that of the first bank on its bus."""
    here = [b for b in draft.circuit.banks if b.bus == source.bus] or list(draft.circuit.banks)
    return season_temperatures(draft, here[0])[season]
