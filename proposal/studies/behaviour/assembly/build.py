"""Circuit → machine: the arrays that the kernel steps, made from the one reduction of the circuit."""

from __future__ import annotations

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.assembly.banks import lay_banks
from proposal.studies.behaviour.assembly.defaults import (
    CHATTER_PER_HOUR,
    DECK_FOR_S,
    DECK_FROM_S,
    ENGINE_ABOVE,
    ENGINE_BELOW,
    ENGINE_DAILY_FROM_S,
    ENGINE_EVENING_FROM_S,
    ENGINE_UNTIL_S,
    GENERATOR_MOST_H,
    HOUR_S,
    LOW_LOAD_SHARE,
    NIGHT_FROM_S,
    NIGHT_LOW,
    SETTLED_V,
)
from proposal.studies.behaviour.assembly.draft import Draft
from proposal.studies.behaviour.assembly.loads import lay_loads
from proposal.studies.behaviour.assembly.ports import lay_ports, matrix, relay_devices, watched_rows
from proposal.studies.behaviour.assembly.relays import lay_relays
from proposal.studies.behaviour.assembly.sources import lay_sources
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import MOST_EVENTS, Machine, lay_scratch
from proposal.studies.behaviour.patterns import day_patterns


def build_machine(
    spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, *, seed: int, step_s: float
) -> Machine:
    """The machine of an option: everything as new, as it is usually set, with no weather yet and banks full.

    Seasons of the spec come first among its parameter rows; the last row is that of the coldest day, for cranking.
    """
    draft = Draft(spec, circuit, family, catalogue, day_patterns(spec, circuit, seed), step_s)
    for bank in circuit.banks:  # a bank's port is its own row, whatever lands on the same posts
        draft.rows.pairs.append(("bank", bank.key))
    ports = lay_ports(draft)
    loads = lay_loads(draft)
    relays = relay_devices(draft)
    watched = watched_rows(draft, relays)
    draft.arrays[c.M_SEEN] = np.array([float(r) for r in watched] or [0.0])
    count_ports = draft.count_ports
    first_relay = len(draft.rows.pairs)
    z = matrix(draft, [(d.from_node, d.to_node) for d in relays], {d.key for d in relays})
    every = first_relay + len(relays)
    lay_banks(draft)
    lay_sources(draft, ports)
    lay_relays(draft, relays)
    _settings(draft)
    sizes = draft.sizes
    sizes[c.N_BANKS], sizes[c.N_PORTS], sizes[c.N_ALL] = len(circuit.banks), count_ports, every
    sizes[c.N_RELAYS], sizes[c.N_SOURCES] = len(relays), len(circuit.sources)
    sizes[c.N_CONVERTERS], sizes[c.FIRST_RELAY] = len(circuit.converters), first_relay
    sizes[c.N_SEASONS], sizes[c.MOST_EVENTS], sizes[c.N_SEEN] = len(draft.seasons) + 1, MOST_EVENTS, len(watched)
    sizes[c.RECORD_WIDTH] = (
        1 + 2 * count_ports + len(watched) + 6 * len(circuit.banks) + len(relays) + 4 * len(circuit.sources) + 2
        + 3 * int(sizes[c.N_GROUPS])
    )  # fmt: skip
    arrays = draft.arrays
    arrays[c.M_SIZES], arrays[c.M_Z] = sizes, z.reshape(-1)
    lay_scratch(arrays)
    arrays[c.M_V][:] = 12.5 * draft.scale
    arrays[c.M_EVENTS], arrays[c.M_AUDIT] = np.zeros(MOST_EVENTS * c.EVENT), np.zeros(c.AUDIT)
    first_seen = {bus.key: draft.rows.index[bus.positive, bus.negative] for bus in circuit.buses
                  if (bus.positive, bus.negative) in draft.rows.index}  # fmt: skip
    return Machine(
        arrays,
        tuple(b.key for b in circuit.banks),
        tuple(s.key for s in circuit.sources),
        tuple(d.key for d in relays),
        tuple(x.key for x in loads),
        tuple(draft.groups),
        tuple(k.key for k in circuit.converters),
        tuple(draft.rows.pairs),
        ports,
        first_seen,
        draft.seasons,
    )


def _settings(draft: Draft) -> None:
    spec, scale = draft.spec.spec, draft.scale
    setting = np.zeros(25)
    kinds = {s.kind for s in draft.circuit.sources}
    daily = spec.system.engine_runs == "every_day" or (spec.system.engine_runs is None and spec.vessel.kind == "camper")
    setting[c.STEP_S], setting[c.SCALE], setting[c.TOLERANCE] = draft.step_s, scale, SETTLED_V
    setting[c.LOW_LOAD_V] = LOW_LOAD_SHARE * draft.circuit.system_v
    setting[c.ENGINE_MODE] = 1.0 if daily else 2.0
    below = spec.system.engine_below_share
    setting[c.ENGINE_BELOW] = ENGINE_BELOW if below is None else below
    setting[c.ENGINE_STOP] = min(0.95, setting[c.ENGINE_BELOW] + ENGINE_ABOVE)
    setting[c.ENGINE_MOST_S] = spec.system.engine_h_per_day * HOUR_S
    setting[c.ENGINE_FROM_S] = ENGINE_DAILY_FROM_S if daily else ENGINE_EVENING_FROM_S
    setting[c.ENGINE_UNTIL_S] = ENGINE_UNTIL_S
    setting[c.GENERATOR_MOST_S] = GENERATOR_MOST_H * HOUR_S
    setting[c.USES_ENGINE] = 1.0 if "alternator" in kinds and setting[c.ENGINE_MOST_S] > 0.0 else 0.0
    setting[c.USES_GENERATOR] = 1.0 if "generator" in kinds and not setting[c.USES_ENGINE] else 0.0
    # windlass and thruster work with the engine running
    gear = any(x.high_current and x.inverter_id is None and x.hours_h > 0.0 for x in draft.circuit.loads)
    setting[c.DECK_FROM_S], setting[c.DECK_FOR_S] = (
        DECK_FROM_S,
        DECK_FOR_S if gear and "alternator" in kinds else 0.0,
    )
    setting[c.NIGHT_LOW], setting[c.NIGHT_FROM_S] = NIGHT_LOW, NIGHT_FROM_S
    setting[c.TROUBLE_PER_H], setting[c.CUT_BANK], setting[c.CUT_AT_S] = CHATTER_PER_HOUR, -1.0, 1e18
    setting[c.SYSTEM_V], setting[c.LOCATES] = draft.circuit.system_v, 1.0
    draft.arrays[c.M_SET] = setting
