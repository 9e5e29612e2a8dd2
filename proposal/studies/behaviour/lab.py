"""Where scenarios are set up: machines at both steps, weather, use, and what is changed for a question."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.vessel import DAYS_OF_YEAR
from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.assembly.defaults import DAY_S, HOUR_S
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.run import instant
from proposal.studies.behaviour.machine import Array, Machine
from proposal.studies.behaviour.patterns import PATTERNS, aboard
from proposal.studies.behaviour.sky import SAMPLES_OF_DAY
from proposal.studies.behaviour.weather import Sunshine, calendar, clearness, sunshine, wind_w

STEP_S, YEARS_STEP_S, COARSE_S = 60.0, 120.0, 600.0
"""Of what is shown, of the many years, and of the grid of what-if: the longest whose error is small for each."""
FULL_LITHIUM = 0.99
"""Lithium at rest after a full charge; the last of it is only there while a charger holds it."""
LEFT_ON_LEAST_H = 3.0
FLAT_SHARE = 0.1
"""Charge within reach at which a bank is called flat."""


class Lab:
    """One option, ready for questions."""

    def __init__(
        self, spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, seed: int
    ) -> None:
        self.spec, self.circuit, self.family, self.catalogue, self.seed = spec, circuit, family, catalogue, seed
        self.seasons = tuple(spec.spec.climate.seasons)
        self.scale = circuit.system_v / 12.0

    def _built(self, step_s: float) -> Machine:
        return build_machine(self.spec, self.circuit, self.family, self.catalogue, seed=self.seed, step_s=step_s)

    @cached_property
    def fine(self) -> Machine:
        """The machine by the minute."""
        return self._built(STEP_S)

    @cached_property
    def yearly(self) -> Machine:
        """The machine by two minutes."""
        return self._built(YEARS_STEP_S)

    @cached_property
    def coarse(self) -> Machine:
        """The machine by ten minutes."""
        return self._built(COARSE_S)

    @cached_property
    def suns(self) -> dict[str, Sunshine]:
        """What each array can give."""
        return {s.key: sunshine(self.spec, s.key) for s in self.circuit.sources if s.kind == "solar"}

    @cached_property
    def season_of_day(self) -> Array:
        """Season of each day of the year, by number."""
        return calendar(self.spec.spec.climate).astype(np.float64)

    @cached_property
    def ordinary_sun(self) -> Array:
        """Sources × seasons × 25: an ordinary day of each season; wind at its mean, as current."""
        table = np.zeros((max(1, len(self.circuit.sources)), len(self.seasons), SAMPLES_OF_DAY))
        for n, source in enumerate(self.circuit.sources):
            if source.kind == "solar":
                for season in range(len(self.seasons)):
                    table[n, season] = self.suns[source.key].ordinary_w(season)
            elif source.kind == "wind":
                table[n, :] = self.spec.source(source.key).mean_w / source.charge_v  # type: ignore[union-attr]
        return table

    def year_sun(self, year: int) -> Array:
        """Sources × 365 × 25 of a seeded year."""
        table = np.zeros((max(1, len(self.circuit.sources)), DAYS_OF_YEAR, SAMPLES_OF_DAY))
        for n, source in enumerate(self.circuit.sources):
            if source.kind == "solar":
                sun = self.suns[source.key]
                table[n] = sun.year_w(clearness(self.seed, year, sun.mean_clearness))
            elif source.kind == "wind":
                table[n] = wind_w(self.spec, source.key, self.seed, year) / source.charge_v
        return table

    # --- set up -------------------------------------------------------------------------------------------------------

    def ordinary(self, base: Machine, season: int, days: int, *, there: bool = True, sun: bool = True) -> Machine:
        """A machine for some equal days of a season, banks full."""
        machine = base.copy()
        machine.sun(self.ordinary_sun if sun else np.zeros_like(self.ordinary_sun))
        whole = np.ones(days)
        # the last day of a row of days is the one that is shown: it has the first pattern
        variant = np.arange(days, 0, -1.0) % PATTERNS
        variant[-1] = 0.0
        machine.calendar(whole * season, whole * season, whole, variant, whole * (1.0 if there else 0.0))
        self.fill(machine, season)
        return machine

    def year(self, base: Machine, year: int) -> Machine:
        """A machine for a seeded year, banks full."""
        machine = base.copy()
        machine.sun(self.year_sun(year))
        draws = np.random.Generator(np.random.PCG64(np.random.SeedSequence([self.seed, year, 3])))
        days = np.arange(DAYS_OF_YEAR, dtype=np.float64)
        there = aboard(self.spec, self.seed, year).astype(np.float64)
        variant = draws.integers(PATTERNS, size=DAYS_OF_YEAR).astype(np.float64)
        machine.calendar(self.season_of_day, days, np.ones(DAYS_OF_YEAR), variant, there)
        self.fill(machine, int(self.season_of_day[0]))
        return machine

    def fill(self, machine: Machine, season: int, share: float | None = None) -> None:
        """All banks full, or house banks at a share; as warm as their place."""
        state = machine.block(c.M_STATE, c.STATE)
        rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))[season]
        state[:, :] = 0.0
        for b, bank in enumerate(self.circuit.banks):
            full = 1.0 if bank.chemistry != "lithium" else FULL_LITHIUM
            state[b, c.S] = share if share is not None and bank.role in ("house", "both") else full
            state[b, c.WARM] = rows[b, c.AMBIENT_C]
        for r in range(len(machine.relays)):
            machine.block(c.M_RS, c.RELAY_STATE)[r, c.COUNT_KNOWN] = 1.0 if share is None else 0.0
        machine.arrays[c.M_V][:] = self.circuit.system_v * 1.05

    def silence(self, machine: Machine) -> None:
        """Nothing charges: no engine, no generator, no shore, no sun, no wind."""
        setting = machine.arrays[c.M_SET]
        setting[c.USES_ENGINE] = setting[c.USES_GENERATOR] = 0.0
        machine.arrays[c.M_SUN][:] = 0.0
        machine.season_rows(c.M_SOURCE, c.SOURCE, max(1, len(machine.sources)))[:, :, c.FOR_S] = 0.0

    @cached_property
    def left_on(self) -> str | None:
        """The load that somebody forgets: stated, or the one that draws most of those that run for hours."""
        stated = self.spec.spec.system.left_on
        if stated is not None and f"loads.{stated}" in self.circuit.load:
            return f"loads.{stated}"
        plain = [
            x for x in self.circuit.loads
            if not (x.away or x.always_on or x.critical or x.high_current) and x.hours_h >= LEFT_ON_LEAST_H
        ]  # fmt: skip
        written = self.spec.load
        return max(plain, key=lambda x: x.current_a * written(x.key).duty).key if plain else None

    def leave_on(self, machine: Machine, key: str) -> None:
        """When nobody is aboard, one load stays switched on all day long."""
        n = machine.loads.index(key)
        row = machine.block(c.M_LOAD, c.LOAD)[n]
        group, share = int(row[c.L_GROUP]), self.spec.load(key).duty
        shape = (2, machine.size(c.N_VARIANTS), machine.size(c.N_SLOTS))
        on = machine.arrays[c.M_PAT_ON].copy().reshape(*shape, -1)
        already = on[0, :, :, n].copy()
        on[0, :, :, n] = share
        amps = machine.arrays[c.M_PAT_I].copy().reshape(*shape, -1)
        watts = machine.arrays[c.M_PAT_P].copy().reshape(*shape, -1)
        loss = machine.arrays[c.M_PAT_W].copy().reshape(*shape, -1)
        added = (share - already) * row[c.L_CURRENT]
        if row[c.L_CONSTANT_POWER] > 0.0:
            power = added * self.circuit.system_v
            watts[0, :, :, group] += power + (row[c.L_IDLE_W] if not already.any() else 0.0)
            loss[0, :, :, group] += row[c.L_OHM] * power**2
        else:
            amps[0, :, :, group] += added
        for which, values in ((c.M_PAT_ON, on), (c.M_PAT_I, amps), (c.M_PAT_P, watts), (c.M_PAT_W, loss)):
            machine.arrays[which] = values.reshape(-1)

    def scale_use(self, machine: Machine, factor: float) -> None:
        """All loads as much longer on."""
        for which, power in ((c.M_PAT_I, 1), (c.M_PAT_P, 1), (c.M_PAT_W, 2), (c.M_PAT_ON, 1)):
            machine.arrays[which] = machine.arrays[which] * factor**power

    def scale_banks(self, machine: Machine, factor: float, only: Iterable[str] | None = None) -> None:
        """House banks as much larger: more of the same batteries in parallel."""
        chosen = [b.key for b in self.circuit.banks if b.role in ("house", "both")] if only is None else list(only)
        rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))
        for b, key in enumerate(machine.banks):
            if key in chosen:
                for column in (c.Q_AS, c.CHARGE_MAX, c.GAS_A, c.RATE_A, c.SELF_A, c.FULL_TAIL_A, c.HEAT_J_PER_K):
                    rows[:, b, column] *= factor
                for column in (c.R0, c.R1, c.R2, c.R_ACCEPT, c.R_EMPTY):
                    rows[:, b, column] /= factor

    def scale_sun(self, machine: Machine, factor: float) -> None:
        """As much more panel, and controller with it."""
        machine.arrays[c.M_SUN] = machine.arrays[c.M_SUN] * factor
        rows = machine.season_rows(c.M_SOURCE, c.SOURCE, max(1, len(machine.sources)))
        for s, source in enumerate(self.circuit.sources):
            if source.kind == "solar":
                rows[:, s, c.LIMIT_A] *= factor
                rows[:, s, c.DROOP_OHM] /= factor

    def age(self, machine: Machine, capacity: float, resistance: float) -> None:
        """Banks that have lost capacity and gained resistance, as shares of new ones."""
        rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))
        rows[:, :, c.CAP] *= capacity
        for column in (c.R0, c.R1, c.R2):
            rows[:, :, column] *= resistance

    # --- instants -----------------------------------------------------------------------------------------------------

    def settle_at(self, machine: Machine, season: int, ahead_s: float) -> bool:
        """Settle the network of a machine as everything in it stands; `season` −1: the coldest day."""
        season = len(self.seasons) if season < 0 else season
        banks, sources = len(machine.banks) * c.BANK, max(1, len(machine.sources)) * c.SOURCE
        sources = len(machine.sources) * c.SOURCE
        return bool(machine.call(instant, season * banks, season * sources, ahead_s))

    def volts(self, machine: Machine, key: str) -> float:
        """Voltage of a port [V]."""
        return float(machine.arrays[c.M_V][machine.port_of[key]])


__all__ = ["DAY_S", "FLAT_SHARE", "HOUR_S", "STEP_S", "YEARS_STEP_S", "Lab"]
