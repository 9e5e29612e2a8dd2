"""Banks by season: what each battery is at the temperature of its place, strings in parallel taken together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from proposal.circuit.model import Bank
from proposal.parts.chemistry import is_lead, temperature_capacity_share
from proposal.parts.dynamics import dynamics
from proposal.studies.behaviour.assembly.defaults import (
    DAY_S,
    END_OF_DISCHARGE_CELL_V,
    HEAT_J_PER_KG_K,
    HEAT_TAU_S,
    HOUR_S,
    LIVED_IN_SHARE,
)
from proposal.studies.behaviour.assembly.draft import Draft
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.banks import EMPTY_KNEE
from proposal.studies.behaviour.machine import Array


def season_temperatures(draft: Draft, bank: Bank) -> list[float]:
    """A bank's temperature in each season, and on the coldest day [°C]: its place as the season shifts it."""
    place, seasons = draft.circuit.place[bank.place], draft.spec.spec.climate.seasons.values()
    days = sum(s.days for s in seasons) or 1.0
    mean_c = sum(s.temperature_c * s.days for s in seasons) / days
    # where people sleep it is heated or shaded: a quarter of the season's swing comes through
    share = LIVED_IN_SHARE if place.people_sleep else 1.0
    shifted = [place.usual_c + share * (s.temperature_c - mean_c) for s in seasons]
    return [min(max(t, place.coldest_c), place.hottest_c) for t in shifted] + [place.coldest_c]


def lay_banks(draft: Draft) -> None:  # noqa: PLR0915 - a row of numbers, one after the other
    """Parameters and first state of each bank, and which of them people look at."""
    circuit, arrays = draft.circuit, draft.arrays
    banks = circuit.banks
    rows = np.zeros((len(draft.seasons) + 1, len(banks), c.BANK))
    curves: list[tuple[Sequence[float], Sequence[float]]] = []
    effs: list[tuple[Sequence[float], Sequence[float]]] = []
    state = np.zeros((len(banks), c.STATE))
    for b, bank in enumerate(banks):
        strings = [circuit.battery[key] for key in bank.strings]
        part, series, parallel = strings[0].part, strings[0].series_count, len(strings)
        for season, temp_c in enumerate(season_temperatures(draft, bank)):
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
    arrays[c.M_REST_X], arrays[c.M_REST_V], draft.sizes[c.N_CURVE] = _padded(curves)
    arrays[c.M_EFF_X], arrays[c.M_EFF_V], draft.sizes[c.N_EFF] = _padded(effs)
    # people look at the bank that is used day by day: beside lithium, lead is only the reserve
    serving = [bank for bank in banks if bank.role in ("house", "both")]
    used = [bank for bank in serving if bank.chemistry == "lithium"] or serving
    house = np.array([rows[0, b, c.Q_AS] if bank in used else 0.0 for b, bank in enumerate(banks)])
    arrays[c.M_HOUSE] = house / max(house.sum(), 1e-9)


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
