"""What a machine is made of: ports of the network, banks by season, charge sources, relays, loads in groups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from proposal.circuit.assumed import HOT_SHARE_OF_NAMEPLATE, LOWEST_SHARE_OF_NOMINAL
from proposal.circuit.model import Bank, Circuit, Load, SeriesDevice, Source
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.parts.chemistry import is_lead, temperature_capacity_share
from proposal.parts.dynamics import dynamics
from proposal.spec.equipment import AlternatorSource, ShoreSource, WindSource
from proposal.spec.options import ContactorLink
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.banks import EMPTY_KNEE
from proposal.studies.behaviour.machine import ARRAYS, MOST_EVENTS, Array, Machine, lay_scratch
from proposal.studies.behaviour.patterns import Patterns, day_patterns
from proposal.studies.network.apart import apart, is_joined, port_ohm
from proposal.studies.network.assemble import device_ohm
from proposal.studies.network.case import NORMALLY_OPEN
from proposal.studies.network.wired import CHARGER_DROOP_V

UNSET_V = -1e9
HOUR_S, DAY_S = 3600.0, 86400.0
VSR_DELAY_S = 5.0
HOLDS_S = 30.0
JOINS_BELOW_12V, JOINS_AFTER_EMPTY_12V = 0.1, 13.2
FLOAT_12V, RESTART_12V, ABSORPTION_H = 13.5, 12.8, 2.0
SPEED_SHARE, HOT_AFTER_S, HOT_RISE_K = 0.8, 1800.0, 65.0
SHORE_FROM_S, ENGINE_DAILY_FROM_S, ENGINE_EVENING_FROM_S, ENGINE_UNTIL_S = (
    18 * HOUR_S,
    9 * HOUR_S,
    16.5 * HOUR_S,
    21 * HOUR_S,
)
ENGINE_BELOW, ENGINE_ABOVE = 0.5, 0.25
GENERATOR_MOST_H = 6.0
DECK_FROM_S, DECK_FOR_S = 8 * HOUR_S + 1200.0, 1800.0
"""Around the time at which patterns of use have the deck gear work. Common practice, no source."""
NIGHT_FROM_S, NIGHT_LOW = 6 * HOUR_S, 0.3
BACK_ABOVE_12V, INVERTER_BACK_12V = 1.2, 0.5
LIVED_IN_SHARE = 0.25
HEAT_J_PER_KG_K, HEAT_TAU_S = 1000.0, 8 * HOUR_S
PARTING_SHARE_PER_H = 0.05
CHATTER_PER_HOUR = 6.0
LOW_LOAD_SHARE = 0.8
USUAL_12V = 13.0
END_OF_DISCHARGE_CELL_V = 1.75
"""A lead cell's voltage at the end of the discharge by which its capacity is rated (IEC 60896-11, IEC 61056-1)."""
SETTLED_V = 1e-6


@dataclass
class Rows:
    """Pairs of nodes between which the network is seen: ports first, then what is only watched, then relays."""

    pairs: list[tuple[str, str]] = field(default_factory=list)
    index: dict[tuple[str, str], int] = field(default_factory=dict)

    def row(self, pair: tuple[str, str]) -> int:
        """The number of a pair, new or known."""
        if pair not in self.index:
            self.index[pair] = len(self.pairs)
            self.pairs.append(pair)
        return self.index[pair]


def build_machine(
    spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, *, seed: int, step_s: float
) -> Machine:
    """The machine of an option: everything as new, as it is usually set, with no weather yet and banks full.

    Seasons of the spec come first among its parameter rows; the last row is that of the coldest day, for cranking.
    """
    return _Assembly(spec, circuit, family, catalogue, day_patterns(spec, circuit, seed), step_s).machine()


class _Assembly:
    def __init__(
        self, spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, patterns: Patterns,
        step_s: float,
    ) -> None:  # fmt: skip
        self.spec, self.circuit, self.family, self.catalogue = spec, circuit, family, catalogue
        self.patterns, self.step_s = patterns, step_s
        self.scale = circuit.system_v / 12.0
        self.rows = Rows()
        self.arrays: list[Array] = [np.zeros(1) for _ in range(ARRAYS)]
        self.sizes = np.zeros(25)
        self.seasons = tuple(spec.spec.climate.seasons)
        self.by_key = {bank.key: n for n, bank in enumerate(circuit.banks)}

    def machine(self) -> Machine:
        circuit = self.circuit
        for bank in circuit.banks:  # a bank's port is its own row, whatever lands on the same posts
            self.rows.pairs.append(("bank", bank.key))
        ports = self._ports()
        loads = self._loads()
        relays = self._relay_devices()
        watched = self._watched(relays)
        self.arrays[c.M_SEEN] = np.array([float(r) for r in watched] or [0.0])
        count_ports = self.count_ports
        first_relay = len(self.rows.pairs)
        z = self._matrix([(d.from_node, d.to_node) for d in relays], {d.key for d in relays})
        every = first_relay + len(relays)
        self._banks()
        self._sources(ports)
        self._relays(relays)
        self._settings()
        sizes = self.sizes
        sizes[c.N_BANKS], sizes[c.N_PORTS], sizes[c.N_ALL] = len(circuit.banks), count_ports, every
        sizes[c.N_RELAYS], sizes[c.N_SOURCES] = len(relays), len(circuit.sources)
        sizes[c.N_CONVERTERS], sizes[c.FIRST_RELAY] = len(circuit.converters), first_relay
        sizes[c.N_SEASONS], sizes[c.MOST_EVENTS], sizes[c.N_SEEN] = len(self.seasons) + 1, MOST_EVENTS, len(watched)
        sizes[c.RECORD_WIDTH] = (
            1 + 2 * count_ports + len(watched) + 6 * len(circuit.banks) + len(relays) + 4 * len(circuit.sources) + 2
            + 3 * int(sizes[c.N_GROUPS])
        )  # fmt: skip
        arrays = self.arrays
        arrays[c.M_SIZES], arrays[c.M_Z] = sizes, z.reshape(-1)
        lay_scratch(arrays)
        arrays[c.M_V][:] = 12.5 * self.scale
        arrays[c.M_EVENTS], arrays[c.M_AUDIT] = np.zeros(MOST_EVENTS * c.EVENT), np.zeros(c.AUDIT)
        first_seen = {bus.key: self.rows.index[bus.positive, bus.negative] for bus in circuit.buses
                      if (bus.positive, bus.negative) in self.rows.index}  # fmt: skip
        return Machine(
            arrays,
            tuple(b.key for b in circuit.banks),
            tuple(s.key for s in circuit.sources),
            tuple(d.key for d in relays),
            tuple(x.key for x in loads),
            tuple(self.groups),
            tuple(k.key for k in circuit.converters),
            tuple(self.rows.pairs),
            ports,
            first_seen,
            self.seasons,
        )

    # --- ports and matrix ---------------------------------------------------------------------------------------------

    def _ports(self) -> dict[str, int]:
        circuit, found = self.circuit, {}
        for source in circuit.sources:
            found[source.key] = self.rows.row(self._source_pair(source))
        for bus in circuit.buses:
            if any(x.bus == bus.key and not x.high_current for x in circuit.loads) or bus.kind in ("main", "start"):
                found[bus.key] = self.rows.row((bus.positive, bus.negative))
        for load in circuit.loads:
            if load.high_current:
                found[load.key] = self.rows.row((load.positive, load.negative))
        if circuit.starter is not None:
            found[circuit.starter.key] = self.rows.row((circuit.starter.positive, circuit.starter.negative))
        for link in circuit.converters:
            found[f"{link.key}.input"] = self.rows.row((link.in_positive, link.in_negative))
            found[f"{link.key}.output"] = self.rows.row((link.out_positive, link.out_negative))
        self.count_ports = len(self.rows.pairs)
        return found

    def _source_pair(self, source: Source) -> tuple[str, str]:
        """A source that senses at the battery regulates the bus; one that does not, its own terminals."""
        if self.spec.source(source.key).senses == "battery":
            bus = self.circuit.bus[source.bus]
            return bus.positive, bus.negative
        return source.positive, source.negative

    def _relay_devices(self) -> list[SeriesDevice]:
        return [
            d for d in self.circuit.devices
            if d.kind in ("contactor", "vsr") or d.key.endswith(f".{NORMALLY_OPEN}")
        ]  # fmt: skip

    def _watched(self, relays: list[SeriesDevice]) -> list[int]:
        node, before = self.circuit.node, len(self.rows.pairs)
        for device in relays:
            for end in (device.from_node, device.to_node):
                self.rows.row((end, node[end].mate))
        return list(range(before, len(self.rows.pairs)))

    def _matrix(self, relay_pairs: list[tuple[str, str]], opened: set[str]) -> Array:
        """The matrix over ports, watched pairs and relays; a bank is seen as the mean of its strings."""
        reduced = apart(self.circuit, self.family, opened)
        pairs: list[tuple[str, str]] = []
        weights: list[list[tuple[int, float]]] = []
        for one, other in [*self.rows.pairs, *relay_pairs]:
            if one == "bank":
                bank = self.circuit.banks[self.by_key[other]]
                strings = [self.circuit.battery[key] for key in bank.strings]
                weights.append([(len(pairs) + n, 1.0 / len(strings)) for n in range(len(strings))])
                pairs += [(s.positive, s.negative) for s in strings]
            else:
                weights.append([(len(pairs), 1.0)])
                pairs.append((one, other))
        mix = np.zeros((len(weights), len(pairs)))
        for n, parts in enumerate(weights):
            for at, share in parts:
                mix[n, at] = share
        self.reduced = reduced
        return np.asarray(mix @ port_ohm(reduced, pairs) @ mix.T)

    # --- banks --------------------------------------------------------------------------------------------------------

    def season_temperatures(self, bank: Bank) -> list[float]:
        """A bank's temperature in each season, and on the coldest day [°C]: its place as the season shifts it."""
        place, seasons = self.circuit.place[bank.place], self.spec.spec.climate.seasons.values()
        days = sum(s.days for s in seasons) or 1.0
        mean_c = sum(s.temperature_c * s.days for s in seasons) / days
        # where people sleep it is heated or shaded: a quarter of the season's swing comes through
        share = LIVED_IN_SHARE if place.people_sleep else 1.0
        shifted = [place.usual_c + share * (s.temperature_c - mean_c) for s in seasons]
        return [min(max(t, place.coldest_c), place.hottest_c) for t in shifted] + [place.coldest_c]

    def _banks(self) -> None:  # noqa: PLR0915 - a row of numbers, one after the other
        circuit, arrays = self.circuit, self.arrays
        banks = circuit.banks
        rows = np.zeros((len(self.seasons) + 1, len(banks), c.BANK))
        curves: list[tuple[Sequence[float], Sequence[float]]] = []
        effs: list[tuple[Sequence[float], Sequence[float]]] = []
        state = np.zeros((len(banks), c.STATE))
        for b, bank in enumerate(banks):
            strings = [circuit.battery[key] for key in bank.strings]
            part, series, parallel = strings[0].part, strings[0].series_count, len(strings)
            for season, temp_c in enumerate(self.season_temperatures(bank)):
                d = dynamics(part, temp_c)
                row, ohm = rows[season, b], series / parallel
                lead = is_lead(part.chemistry)
                row[c.Q_AS] = part.capacity_ah * parallel * HOUR_S
                row[c.CAP] = min(1.0, temperature_capacity_share(part.chemistry, temp_c))
                row[c.R0], row[c.R1], row[c.R2] = d.resistance_ohm * ohm, d.fast_ohm * ohm, d.slow_ohm * ohm
                row[c.T1], row[c.T2] = d.fast_s, d.slow_s
                row[c.R_ACCEPT], row[c.KNEE] = d.charge_ohm * ohm, d.knee_share
                row[c.SURFACE] = d.surface_share
                row[c.CHARGE_MAX] = d.charge_max_a * parallel
                row[c.GAS_A], row[c.GAS_V] = d.gas_a * parallel, d.gas_v * series
                row[c.GAS_PER_V] = d.gas_per_v / series
                row[c.RATE_POWER], row[c.RATE_A] = d.peukert - 1.0, d.rate_a * parallel
                row[c.RECOVER_S] = d.recovery_s
                row[c.HYST_V], row[c.HYST_SHARE] = d.hysteresis_v * series, d.hysteresis_share
                row[c.SELF_A], row[c.LEAD] = d.self_discharge_a * parallel, 1.0 if lead else 0.0
                if lead:
                    steady = d.resistance_ohm + d.fast_ohm + d.slow_ohm
                    end_ohm = (d.rest_v[0] - END_OF_DISCHARGE_CELL_V * d.cells) / d.rate_a - steady
                    row[c.R_EMPTY] = max(0.0, EMPTY_KNEE * end_ohm) * ohm
                    row[c.SULPHATES_PER_S] = d.sulphation_per_day / DAY_S
                row[c.FULL_V], row[c.FULL_TAIL_A] = d.full_v * series, d.tail_share * part.capacity_ah * parallel
                row[c.AMBIENT_C] = temp_c
                mass_kg = max(part.mass_kg, 1.0) * series * parallel
                row[c.HEAT_J_PER_K], row[c.HEAT_TAU_S] = mass_kg * HEAT_J_PER_KG_K, HEAT_TAU_S
                row[c.SPREAD_V] = d.cell_spread_v * d.cells * series
                if d.management is not None and strings[0].cut_off:
                    own = d.management
                    row[c.MANAGED] = 1.0
                    row[c.HIGH_V], row[c.HIGH_FREE_V] = own.high_v * series, own.high_free_v * series
                    row[c.LOW_V], row[c.LOW_FREE_V] = own.low_v * series, own.low_free_v * series
                    row[c.SEPARATE] = 1.0 if own.separate_switches else 0.0
                    row[c.COLD_C], row[c.WARM_C] = own.coldest_charge_c, own.coldest_warm_c
                    row[c.HEATER_W] = own.heater_w * series * parallel
            curves.append((d.rest_share, [v * series for v in d.rest_v]))
            effs.append((d.efficiency_share, d.efficiency))
            state[b, c.S], state[b, c.WARM] = 1.0 if lead else 0.98, rows[0, b, c.AMBIENT_C]
            state[b, c.Y] = 0.0
        arrays[c.M_BANK], arrays[c.M_STATE] = rows.reshape(-1), state.reshape(-1)
        arrays[c.M_REST_X], arrays[c.M_REST_V], self.sizes[c.N_CURVE] = _padded(curves)
        arrays[c.M_EFF_X], arrays[c.M_EFF_V], self.sizes[c.N_EFF] = _padded(effs)
        # people look at the bank that is used day by day: beside lithium, lead is only the reserve
        serving = [bank for bank in banks if bank.role in ("house", "both")]
        used = [bank for bank in serving if bank.chemistry == "lithium"] or serving
        house = np.array([rows[0, b, c.Q_AS] if bank in used else 0.0 for b, bank in enumerate(banks)])
        arrays[c.M_HOUSE] = house / max(house.sum(), 1e-9)

    # --- charge sources -----------------------------------------------------------------------------------------------

    def _sources(self, ports: dict[str, int]) -> None:
        circuit, arrays = self.circuit, self.arrays
        count = max(1, len(circuit.sources))
        rows = np.zeros((len(self.seasons) + 1, count, c.SOURCE))
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
            written = self.spec.source(source.key)
            behind_ohm = self._own_wires_ohm(source)
            for season in range(len(self.seasons) + 1):
                row = rows[season, s]
                row[c.KIND], row[c.LIMIT_A], row[c.LIMB_OHM] = kinds[source.kind], source.current_a, behind_ohm
                bent_v = (written.compensation_v_per_k or 0.0) * (self._charged_c(source, season) - 25.0)
                row[c.ABSORB_V] = source.charge_v + bent_v
                row[c.FLOAT_V] = UNSET_V
                float_v = written.float_v
                if float_v is None and not isinstance(written, AlternatorSource | WindSource):
                    float_v = FLOAT_12V * self.scale
                if float_v is not None:
                    row[c.FLOAT_V] = float_v + bent_v
                restart_v = written.restarts_below_v
                row[c.RESTART_V] = (RESTART_12V * self.scale if restart_v is None else restart_v) + bent_v
                row[c.ABSORB_S] = (ABSORPTION_H if written.absorption_h is None else written.absorption_h) * HOUR_S
                row[c.TAIL_A] = -1.0 if written.tail_a is None else written.tail_a
                row[c.DROOP_OHM] = CHARGER_DROOP_V * self.scale / max(source.current_a, 0.1)
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
            links[n, c.C_DROOP_OHM] = CHARGER_DROOP_V * self.scale / link.output_a
            links[n, c.C_EFFICIENCY] = link.efficiency
            links[n, c.C_WITH_ENGINE] = 0.0 if link.runs_with == "always" else 1.0
            links[n, c.C_LEAST_IN_V] = 12.0 * self.scale
        arrays[c.M_CONV], arrays[c.M_CS] = links.reshape(-1), np.zeros(max(1, len(circuit.converters)))

    def _own_wires_ohm(self, source: Source) -> float:
        """Resistance between a source's terminals and the bars at which it regulates [Ω]: I²·R of its power."""
        ends, bus = [self._source_pair(source)], self.circuit.bus[source.bus]
        own, bars = [(source.positive, source.negative)], [(bus.positive, bus.negative)]
        if ends != bars or not is_joined(self.reduced, own[0]):
            return 0.0
        ohm = self.reduced.transfer_ohm(own, own) - self.reduced.transfer_ohm(bars, bars)
        return max(0.0, float(ohm[0]))

    def _charged_c(self, source: Source, season: int) -> float:
        """Temperature by which a source bends its voltages: that of the first bank on its bus."""
        here = [b for b in self.circuit.banks if b.bus == source.bus] or list(self.circuit.banks)
        return self.season_temperatures(here[0])[season]

    # --- relays -------------------------------------------------------------------------------------------------------

    def _relays(self, relays: list[SeriesDevice]) -> None:
        circuit, arrays = self.circuit, self.arrays
        count = max(1, len(relays))
        rows, state = np.zeros((count, c.RELAY)), np.zeros((count, c.RELAY_STATE))
        conditions: list[tuple[int, int]] = []
        through = {bank.through: bank for bank in circuit.banks if bank.through}
        link = self.spec.option.contactor
        for r, device in enumerate(relays):
            row, node = rows[r], circuit.node
            ends = [self.rows.index[end, node[end].mate] for end in (device.from_node, device.to_node)]
            stated = dict(device.settings)
            row[c.R_OHM], row[c.R_BANK], row[c.SENSE_OTHER] = device_ohm(device), -1.0, -1.0
            state[r, c.SWITCHED_S] = state[r, c.HOUR_FROM_S] = -1e9
            if device.kind == "vsr":
                row[c.R_KIND], row[c.DELAY_S] = c.VSR, self._vsr_delay_s(device.key)
                row[c.JOINS_V], row[c.RELEASES_V] = stated["joins_v"], stated["releases_v"]
                row[c.SENSE_ONE] = ends[1] if device.senses == "to" else ends[0]
                if device.senses == "both":
                    row[c.SENSE_OTHER] = ends[1]
                conditions += [(c.VSR_JOIN, r), (c.VSR_RELEASE, r)]
            elif device.key in through:
                self._contactor(row, r, through[device.key], device, ends, link, conditions)
                state[r, c.CLOSED] = 1.0
            elif device.kind == "contactor":
                state[r, c.CLOSED], row[c.R_KIND] = 1.0, c.CONTACTOR
        for b, bank in enumerate(circuit.banks):
            if circuit.battery[bank.strings[0]].cut_off and bank.chemistry == "lithium":
                conditions += [(kind, b) for kind in range(c.BMS_HIGH, c.BMS_WARM + 1)]
        for s, source in enumerate(circuit.sources):
            kinds = [c.SRC_ABSORB, c.SRC_TIMER, c.SRC_RESTART]
            if self.spec.source(source.key).tail_a is not None:
                kinds.append(c.SRC_TAIL)
            conditions += [(kind, s) for kind in kinds]
        arrays[c.M_RELAY], arrays[c.M_RS] = rows.reshape(-1), state.reshape(-1)
        arrays[c.M_COND] = np.array(conditions or [(0, 0)], dtype=np.float64).reshape(-1)
        self.sizes[c.N_CONDITIONS] = len(conditions)
        arrays[c.M_SINCE], arrays[c.M_FLAG] = np.full(len(conditions) + 1, -1.0), np.zeros(len(conditions) + 1)

    def _contactor(
        self,
        row: Array,
        r: int,
        bank: Bank,
        device: SeriesDevice,
        ends: list[int],
        link: ContactorLink | None,
        conditions: list[tuple[int, int]],
    ) -> None:
        circuit, stated = self.circuit, dict(device.settings)
        row[c.R_KIND], row[c.R_BANK] = c.CONTACTOR, self.by_key[bank.key]
        at_bus = link is not None and link.sense_at == "bus"
        row[c.SENSE_ONE], row[c.SENSE_OTHER] = ends[1], ends[1] if at_bus else ends[0]
        row[c.DELAY_S] = 2.0
        row[c.HOLD_S] = HOLDS_S if link is None or link.holds_s is None else link.holds_s
        row[c.WAITS_S] = 0.0 if link is None or link.waits_s is None else link.waits_s
        above_v = link.joins_above_v if link is not None else None
        row[c.JOINS_ABOVE_V] = UNSET_V if above_v is None else above_v
        row[c.EMPTY_JOINS_V] = JOINS_AFTER_EMPTY_12V * self.scale if above_v is None else above_v
        below_v = stated.get("joins_below_v")
        if below_v is None and above_v is None:
            below_v = JOINS_BELOW_12V * self.scale
        row[c.JOINS_BELOW_V] = UNSET_V if below_v is None else below_v
        row[c.LITHIUM_ABOVE_V] = stated.get("lithium_above_v", UNSET_V)
        row[c.OPENS_ABOVE_V] = stated.get("opens_above_v", UNSET_V)
        row[c.OPENS_BELOW_V] = stated.get("opens_below_v", UNSET_V)
        row[c.FULL_SHARE] = UNSET_V if link is None or link.opens_full_share is None else link.opens_full_share
        row[c.EMPTY_SHARE] = UNSET_V if link is None or link.opens_empty_share is None else link.opens_empty_share
        lead = [b for b in circuit.banks if b.chemistry != "lithium" and b.bus == bank.bus]
        row[c.LEAD_BANK] = self.by_key[lead[0].key] if lead else -1.0
        if stated.get("parts_on_discharge") and lead:
            ah = sum(circuit.battery[key].part.capacity_ah for key in lead[0].strings)
            row[c.PARTS_A] = PARTING_SHARE_PER_H * ah
        row[c.COIL_A] = getattr(device.part, "coil_a", 0.0) if device.driven_as != "latching" else 0.0
        bus = circuit.bus[bank.bus]
        row[c.COIL_PORT] = self.rows.index.get((bus.positive, bus.negative), self.by_key[bank.key])
        kinds = [c.CON_JOIN, c.CON_FULL, c.CON_EMPTY, c.CON_DISCHARGING, c.LATCH_FREE, c.CON_COUNTED]
        conditions += [(kind, r) for kind in kinds]

    def _vsr_delay_s(self, key: str) -> float:
        link = self.spec.option.vsr
        return link.delay_s if key.startswith("links.vsr.") and link is not None else VSR_DELAY_S

    # --- loads --------------------------------------------------------------------------------------------------------

    def _loads(self) -> list[Load]:
        """Groups of loads; fills patterns by group. Returns the loads in the order of their groups."""
        circuit = self.circuit
        ordered: list[Load] = []
        groups: list[tuple[str, int, int, int, int]] = []
        for bus in circuit.buses:
            here = [x for x in circuit.loads if x.bus == bus.key and not x.high_current]
            if here:
                port = self.rows.index[bus.positive, bus.negative]
                groups.append((bus.key, port, len(ordered), len(here), -1))
                ordered += here
        for load in circuit.loads:
            if load.high_current:
                groups.append((load.key, self.rows.index[load.positive, load.negative], len(ordered), 1, -1))
                ordered.append(load)
        if circuit.starter is not None:
            pair = (circuit.starter.positive, circuit.starter.negative)
            groups.append((circuit.starter.key, self.rows.index[pair], len(ordered), 0, -1))
        for b, bank in enumerate(circuit.banks):
            part = circuit.battery[bank.strings[0]].part
            if part.heated:
                groups.append((f"{bank.key}.heater", b, len(ordered), 0, b))
        self.groups = [g[0] for g in groups]
        self._group_rows(ordered, groups)
        return ordered

    def _group_rows(self, ordered: list[Load], groups: list[tuple[str, int, int, int, int]]) -> None:
        circuit, arrays, sizes = self.circuit, self.arrays, self.sizes
        place = {key: n for n, key in enumerate(self.patterns.loads)}
        order = [place[x.key] for x in ordered]
        every = round(DAY_S / 60.0 / (DAY_S / self.step_s)) or 1
        on = self.patterns.on[order].reshape(len(ordered), self.patterns.on.shape[1], -1, every)
        rows = np.zeros((max(1, len(ordered)), c.LOAD))
        limb_ohm = self._limb_ohm(ordered)
        watts_on = np.zeros((*on.shape[:3], 2))  # mean of watts, mean of watts²
        amps_on = np.zeros(on.shape[:3])
        cut_of = {}
        for n, load in enumerate(ordered):
            row, standby_w = rows[n], float(self.patterns.standby_w[order[n]])
            cut_v, back_v = self._cut_v(load)
            cut_of[n] = cut_v + limb_ohm[n] * load.current_a
            row[c.L_CURRENT], row[c.L_IDLE_W], row[c.L_OHM] = load.current_a, standby_w, limb_ohm[n]
            row[c.L_CUT_V], row[c.L_BACK_V], row[c.L_CRITICAL] = cut_v, back_v, 1.0 if load.critical else 0.0
            row[c.L_CONSTANT_POWER] = 1.0 if load.constant_power else 0.0
            if load.constant_power:
                watts = on[n] * load.current_a * circuit.system_v + standby_w
                lost = _lost_watts2(watts, limb_ohm[n], USUAL_12V * self.scale)
                watts_on[n, ..., 0], watts_on[n, ..., 1] = watts.mean(axis=-1), lost.mean(axis=-1)
            else:
                amps_on[n] = on[n].mean(axis=-1) * load.current_a
                watts_on[n, ..., 0] = standby_w
        table = np.zeros((len(groups), c.GROUP))
        variants, slots = on.shape[1], on.shape[2]
        amps, watts, loss = (np.zeros((2, variants, slots, len(groups))) for _ in range(3))
        stays = self.patterns.stays[order].astype(float)
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

    def _limb_ohm(self, ordered: list[Load]) -> list[float]:
        """Resistance of each load's own wires behind its bars [Ω]; none for those with a port of their own."""
        reduced = apart(self.circuit, self.family, set())
        found = []
        for load in ordered:
            bus = self.circuit.bus[load.bus]
            own, bars = [(load.positive, load.negative)], [(bus.positive, bus.negative)]
            if load.high_current or not is_joined(reduced, own[0]):
                found.append(0.0)
                continue
            ohm = reduced.transfer_ohm(own, own) - reduced.transfer_ohm(bars, bars)
            found.append(max(0.0, float(ohm[0])))
        return found

    def _cut_v(self, load: Load) -> tuple[float, float]:
        """Below what a load goes dark, and above what it comes back [V]."""
        written = self.spec.load(load.key)
        lowest_v = LOWEST_SHARE_OF_NOMINAL * self.circuit.system_v
        if written.cuts_out_v is not None:
            return written.cuts_out_v, written.cuts_out_v + INVERTER_BACK_12V * self.scale
        if load.inverter_id is not None:
            lowest_v = self.catalogue.inverter(load.inverter_id).input_min_v or lowest_v
        return lowest_v, lowest_v + BACK_ABOVE_12V * self.scale

    # --- settings -----------------------------------------------------------------------------------------------------

    def _settings(self) -> None:
        spec, scale = self.spec.spec, self.scale
        setting = np.zeros(25)
        kinds = {s.kind for s in self.circuit.sources}
        daily = spec.system.engine_runs == "every_day" or (
            spec.system.engine_runs is None and spec.vessel.kind == "camper"
        )
        setting[c.STEP_S], setting[c.SCALE], setting[c.TOLERANCE] = self.step_s, scale, SETTLED_V
        setting[c.LOW_LOAD_V] = LOW_LOAD_SHARE * self.circuit.system_v
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
        gear = any(x.high_current and x.inverter_id is None and x.hours_h > 0.0 for x in self.circuit.loads)
        setting[c.DECK_FROM_S], setting[c.DECK_FOR_S] = (
            DECK_FROM_S,
            DECK_FOR_S if gear and "alternator" in kinds else 0.0,
        )
        setting[c.NIGHT_LOW], setting[c.NIGHT_FROM_S] = NIGHT_LOW, NIGHT_FROM_S
        setting[c.TROUBLE_PER_H], setting[c.CUT_BANK], setting[c.CUT_AT_S] = CHATTER_PER_HOUR, -1.0, 1e18
        setting[c.SYSTEM_V], setting[c.LOCATES] = self.circuit.system_v, 1.0
        self.arrays[c.M_SET] = setting


def _lost_watts2(watts: Array, ohm: float, volts: float) -> Array:
    """W² for which P/V + R·W²/V³ is all that a constant power P behind R takes at a usual voltage V.

    I = 2·P/(V + √(V² − 4·R·P)); W² = P² would leave 2·(R·P/V²)² of it out: half a percent where a wire drops 5 %.
    """
    if ohm <= 0.0:
        return np.asarray(watts**2)
    amps = 2.0 * watts / (volts + np.sqrt(np.maximum(volts**2 - 4.0 * ohm * watts, 0.0)))
    return np.asarray((amps - watts / volts) * volts**3 / ohm)


def _padded(curves: Sequence[tuple[Sequence[float], Sequence[float]]]) -> tuple[Array, Array, int]:
    """Curves of unequal length side by side, the last point drawn on."""
    width = max(len(xs) for xs, _ in curves)
    x, y = np.zeros((len(curves), width)), np.zeros((len(curves), width))
    for n, (xs, ys) in enumerate(curves):
        x[n, : len(xs)], y[n, : len(ys)] = xs, ys
        for k in range(len(xs), width):
            x[n, k] = x[n, k - 1] + 1.0
            y[n, k] = y[n, k - 1] + 1e-6
    return x.reshape(-1), y.reshape(-1), width
