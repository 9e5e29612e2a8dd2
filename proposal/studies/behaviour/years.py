"""A year, and many seeded years: use of the engine, dark hours, how banks are kept and what wears them."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from proposal.parts.chemistry import is_lead
from proposal.spec.vessel import DAYS_OF_YEAR
from proposal.studies.behaviour import wear
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import YEARS_STEP_S, Lab
from proposal.studies.behaviour.machine import Array, Machine
from proposal.studies.behaviour.reading import audit_of
from proposal.studies.behaviour.result import BankYear, LeadCare, LithiumCare, Spread, Year, Years

Flags = NDArray[np.bool_]
DAYS_OF_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
QUANTILES = np.linspace(0.0, 1.0, 21)
OLDEST_CAPACITY, OLDEST_RESISTANCE = 0.8, 2.0
"""A battery at the end of its life: a fifth of its capacity gone, resistance doubled. Common practice, no source."""
THRESHOLD_OFF_12V, CHARGER_OFF_12V = 0.05, 0.05
"""Standard deviation of what relays and chargers misread, at 12 V. Common practice, no source."""
LONGEST_LIFE_YEARS = 50.0
AUDITED = 20
"""Of many years so many are audited in full."""


def one_year(lab: Lab) -> tuple[Year, Machine]:
    """A year of ordinary weather by the minute, everything as new; and the machine at its end."""
    machine = lab.year(lab.fine, 0)
    machine.run(0, DAYS_OF_YEAR * machine.size(c.N_SLOTS))
    return told(lab, machine), machine


def told(lab: Lab, machine: Machine) -> Year:
    """What the books of a year say."""
    days = machine.days
    banks, lead, lithium, monthly = [], [], [], []
    for b, bank in enumerate(lab.circuit.banks):
        books = days[:, c.DAY + b * c.DAY_BANK : c.DAY + (b + 1) * c.DAY_BANK]
        banks.append(_bank_year(lab, machine, b, books))
        full = books[:, c.B_FULL] > 0.0
        monthly.append((bank.key, _by_month(full)))
        if bank.chemistry == "lithium":
            lithium.append(
                LithiumCare(
                    bank.key,
                    float(books[:, c.B_HIGH_S].sum()) / 3600.0,
                    float(books[:, c.B_HIGH_WARM_S].sum()) / 3600.0,
                    _cut_offs(machine, b),
                    float(books[:, c.B_LOW].min()),
                )
            )
        else:
            lead.append(_lead_care(lab, machine, b, books, full))
    return Year(
        engine_h=float(days[:, c.D_ENGINE_S].sum()) / 3600.0,
        generator_h=float(days[:, c.D_GENERATOR_S].sum()) / 3600.0,
        nights_low=int(days[:, c.D_NIGHT_LOW].sum()),
        low_share=float(machine.arrays[c.M_SET][c.NIGHT_LOW]),
        dark_h=float(days[:, c.D_DARK_S].sum()) / 3600.0,
        critical_dark_h=float(days[:, c.D_CRITICAL_DARK_S].sum()) / 3600.0,
        solar_wh=float(days[:, c.D_SOLAR_J].sum()) / 3600.0,
        unused_solar_wh=float(days[:, c.D_UNUSED_J].sum()) / 3600.0,
        loads_wh=float(days[:, c.D_LOADS_J].sum()) / 3600.0,
        banks=tuple(banks),
        lead=tuple(lead),
        lithium=tuple(lithium),
        monthly_full=tuple(monthly),
        audit=audit_of([machine]),
    )


def _cut_offs(machine: Machine, b: int) -> int:
    return sum(1 for row in machine.events.tolist() if int(row[1]) == c.E_DISCHARGE_BLOCKED and int(row[2]) == b)


def _by_month(full: Flags) -> tuple[int, ...]:
    ends = np.cumsum(DAYS_OF_MONTH)
    return tuple(int(part.sum()) for part in np.split(full, ends[:-1]))


def _temperatures_c(machine: Machine, b: int) -> Array:
    rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))
    return np.asarray(rows[machine.arrays[c.M_SEASON].astype(int), b, c.AMBIENT_C])


def _lead_care(lab: Lab, machine: Machine, b: int, books: Array, full: Flags) -> LeadCare:
    bank = lab.circuit.banks[b]
    string = lab.circuit.battery[bank.strings[0]]
    batteries = len(bank.strings) * string.series_count
    gassed_ah = float(books[:, c.B_GAS_AS].sum()) / 3600.0
    longest = float(np.max(wear.days_since_full(full, 1.0), initial=0.0))
    return LeadCare(
        bank.key,
        float(full.sum()) / 12.0,
        longest,
        float(machine.block(c.M_STATE, c.STATE)[b, c.SULPHATED]),
        gassed_ah,
        wear.water_l(string.part, gassed_ah / len(bank.strings)) * batteries,
        float(books[:, c.B_LOW].min()),
    )


def _bank_year(lab: Lab, machine: Machine, b: int, books: Array) -> BankYear:
    bank = lab.circuit.banks[b]
    part = lab.circuit.battery[bank.strings[0]].part
    cycles = wear.rainflow(np.column_stack([books[:, c.B_LOW], books[:, c.B_HIGH]]).reshape(-1))
    sulphated = float(machine.block(c.M_STATE, c.STATE)[b, c.SULPHATED]) if is_lead(part.chemistry) else 0.0
    years = len(books) / DAYS_OF_YEAR
    found = wear.life(part, cycles, _temperatures_c(machine, b), sulphated, years)
    return BankYear(
        bank.key,
        float(wear.equivalent_cycles(cycles)),
        float(wear.mean_depth_share(cycles)),
        float(1.0 - books[:, c.B_LOW].min()),
        float(min(found.life_years, LONGEST_LIFE_YEARS)),
        found.life_by,
    )


# --- many years -------------------------------------------------------------------------------------------------------


def many_years(lab: Lab, reference: Year, count: int, threads: int) -> Years:
    """Seeded years by the coarser step: weather, days aboard, ages of the banks, what relays and chargers misread.

    `step_error`: the first year again by that step, with the very same weather and everything as new.
    """
    lab.yearly, lab.suns, lab.season_of_day  # noqa: B018 - made once, before threads share them
    again = lab.year(lab.yearly, 0)
    again.run(0, DAYS_OF_YEAR * again.size(c.N_SLOTS))
    error = _step_error(reference, told(lab, again))
    machines = list(range(1, count + 1))
    if threads > 1:
        with ThreadPoolExecutor(threads) as pool:
            found = list(pool.map(lambda year: _seeded(lab, year), machines))
    else:
        found = [_seeded(lab, year) for year in machines]
    rows = [row for row, _ in found]
    audit = audit_of([m for _, m in found if m is not None])
    audit = replace(audit, steps=audit.steps * count // max(1, min(count, AUDITED)))
    return Years(count, lab.seed, YEARS_STEP_S, _spreads(lab, rows), error, audit)


def _seeded(lab: Lab, year: int) -> tuple[Year, Machine | None]:
    machine = lab.year(lab.yearly, year)
    draws = np.random.Generator(np.random.PCG64(np.random.SeedSequence([lab.seed, year, 4])))
    rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))
    for b in range(len(machine.banks)):
        worn = draws.random()
        rows[:, b, c.CAP] *= 1.0 - (1.0 - OLDEST_CAPACITY) * worn
        for column in (c.R0, c.R1, c.R2):
            rows[:, b, column] *= 1.0 + (OLDEST_RESISTANCE - 1.0) * worn
    relays = machine.block(c.M_RELAY, c.RELAY)
    for r in range(len(machine.relays)):
        relays[r, c.OFFSET_ONE_V], relays[r, c.OFFSET_OTHER_V] = draws.normal(0.0, THRESHOLD_OFF_12V * lab.scale, 2)
    sources = machine.season_rows(c.M_SOURCE, c.SOURCE, max(1, len(machine.sources)))
    for s in range(len(machine.sources)):
        off_v = draws.normal(0.0, CHARGER_OFF_12V * lab.scale)
        sources[:, s, c.ABSORB_V] += off_v
        sources[:, s, c.FLOAT_V] += off_v
    machine.run(0, DAYS_OF_YEAR * machine.size(c.N_SLOTS))
    return told(lab, machine), machine if year <= AUDITED else None


def _quantities(year: Year) -> dict[tuple[str, str], float]:
    found = {
        ("engine_h", ""): year.engine_h,
        ("generator_h", ""): year.generator_h,
        ("nights_low", ""): float(year.nights_low),
        ("dark_h", ""): year.dark_h,
        ("critical_dark_h", ""): year.critical_dark_h,
    }
    for care in year.lead:
        found["full_charges_per_month", care.bank] = care.full_charges_per_month
    for bank in year.banks:
        found["equivalent_cycles", bank.bank] = bank.equivalent_cycles
        found["deepest_share", bank.bank] = bank.deepest_share
        found["life_years", bank.bank] = bank.life_years
    return found


def _spreads(lab: Lab, rows: Sequence[Year]) -> tuple[Spread, ...]:
    each = [_quantities(row) for row in rows]
    kinds = {s.kind for s in lab.circuit.sources}
    left_out = {("engine_h", "")} if "alternator" not in kinds else set()
    if "generator" not in kinds:
        left_out.add(("generator_h", ""))
    return tuple(
        Spread(key[0], key[1], tuple(float(q) for q in np.quantile([row[key] for row in each], QUANTILES)))  # type: ignore[arg-type]
        for key in each[0]
        if key not in left_out
    )


def _step_error(fine: Year, coarse: Year) -> tuple[tuple[str, float], ...]:
    """By quantity, the largest difference as a share of what the fine step gives (at least of one hour, night, …)."""
    found: dict[str, float] = {}
    one, other = _quantities(fine), _quantities(coarse)
    for (name, item), value in one.items():
        error = abs(other[name, item] - value) / max(abs(value), 1.0)
        found[name] = max(found.get(name, 0.0), error)
    return tuple(found.items())
