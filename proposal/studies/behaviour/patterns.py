"""When loads run: a handful of seeded days by the minute for each load, each with exactly the hours that the spec says.

Hours are placed in the window of `when`, cycles of a duty fall where their seeded phase puts them. Cumulated running
time is taken at each full minute, so that nothing is lost to the grid.
"""

import zlib
from dataclasses import field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from proposal.circuit.model import Circuit
from proposal.circuit.model import Load as CircuitLoad
from proposal.frozen import frozen
from proposal.spec.equipment import Load
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.vessel import DAYS_OF_YEAR
from proposal.studies.behaviour.result import DayAssumption
from proposal.studies.behaviour.sky import Array
from proposal.studies.behaviour.weather import COMMON, calendar

PATTERNS = 8
MINUTES = 1440
WINDOWS_H = {
    "any": (7.0, 22.0),
    "morning": (6.0, 10.0),
    "day": (9.0, 17.0),
    "evening": (18.0, 23.0),
    "night": (20.0, 30.0),
}
"""Local solar time. By common practice; hours that do not fit make their window wider on both sides."""
SLACK_MIN = 30.0
BURSTS_BELOW_MIN, BURST_MIN = 36.0, 3.0
"""What runs less than this a day, or by itself, comes in bursts: pumps, flushing, an alarm's test."""
INVERTER_RUN_MIN = 10.0
DECK_GEAR_MIN = 8.5 * 60.0
"""Windlass and thruster work when the day's trip begins, with the engine running."""
COMPRESSOR_CYCLE_MIN, OTHER_CYCLE_MIN = 35.0, 10.0
CYCLE_SPREAD = 0.2
WEEKEND_SHARE = 2.0 / 7.0
WEEK = 7


@frozen
class Patterns:
    """Use of all loads, in the order of `circuit.loads`, by the minutes of an ordinary day aboard.

    `on`: share of its running current in each minute, shape (loads, patterns, 1440); `standby_w`: what each takes all
    day besides, its own standby and its inverter's idle draw [W], shape (loads,); `stays`: it goes on when nobody is
    aboard, shape (loads,). Standby of those that do not stay ends with them, as in the energy balance.
    """

    loads: tuple[str, ...]
    on: Array = field(compare=False, repr=False)
    standby_w: Array = field(compare=False, repr=False)
    stays: NDArray[np.bool_] = field(compare=False, repr=False)
    assumptions: tuple[DayAssumption, ...] = ()


def day_patterns(spec: EffectiveSpec, circuit: Circuit, seed: int) -> Patterns:
    """Eight seeded days of all loads; each day's running time is exactly hours · duty.

    A load's days depend on the seed and its own name alone, so that another load beside it does not move them.
    """
    written = [spec.load(load.key) for load in circuit.loads]
    known = (PATTERNS, seed, tuple((w.hours_h, w.duty, w.when, w.standby_w) for w in written))
    key = ("day patterns", known)
    if key not in circuit.memo:
        circuit.memo[key] = _day_patterns(circuit, written, seed)
    found: Patterns = circuit.memo[key]
    return found


def _day_patterns(circuit: Circuit, written: list[Load], seed: int) -> Patterns:
    on = np.zeros((len(written), PATTERNS, MINUTES))
    for number, (load, section) in enumerate(zip(circuit.loads, written, strict=True)):
        name = zlib.crc32(load.key.encode())
        draws = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, name])))
        for pattern in range(PATTERNS):
            on[number, pattern] = _day(load, section, draws)
    on.flags.writeable = False
    silent = sum(w.when is None and 0.0 < w.hours_h < 24.0 for w in written)
    values: dict[str, Any] = {"loads": silent, "from_h": WINDOWS_H["any"][0], "until_h": WINDOWS_H["any"][1]}
    said = (DayAssumption("loads", "times_of_day", values, COMMON.source, COMMON.clause, COMMON.status),)
    return Patterns(
        tuple(load.key for load in circuit.loads),
        on,
        np.array([w.standby_w + load.idle_w for w, load in zip(written, circuit.loads, strict=True)]),
        np.array([load.away or load.always_on for load in circuit.loads], dtype=bool),
        said if silent else (),
    )


def _day(load: CircuitLoad, section: Load, draws: np.random.Generator) -> Array:
    """Running share of each minute of one day, shape (1440,); its sum is 60·hours·duty."""
    hours_min = 60.0 * section.hours_h
    if hours_min <= 0.0 or section.duty <= 0.0:
        return np.zeros(MINUTES)
    # more than 24 h a day is no time, but the energy balance counts it, and so it is counted here
    more, hours_min = max(1.0, hours_min / MINUTES), min(hours_min, float(MINUTES))
    begins, lengths = _runs(load, section, hours_min, draws)
    clock = np.arange(2 * MINUTES + 1, dtype=float)
    corners = np.column_stack([begins, begins + lengths]).ravel()
    switched = np.column_stack([np.cumsum(lengths) - lengths, np.cumsum(lengths)]).ravel()
    running = _cycled(np.interp(clock, corners, switched), hours_min, section.duty, draws)
    minutes = np.clip(np.diff(running), 0.0, 1.0)  # rounding of the cumulated time leaves 1e-13 either way
    return more * (minutes[:MINUTES] + minutes[MINUTES:])


def _runs(load: CircuitLoad, section: Load, hours_min: float, draws: np.random.Generator) -> tuple[Array, Array]:
    """When it is switched on, and for how long each time [min]; at most into the next day, which is folded back."""
    automatic = section.when is None and (load.away or load.always_on)
    first_h, last_h = (0.0, 24.0) if automatic else WINDOWS_H[section.when or "any"]
    deck_gear = load.high_current and load.inverter_id is None
    if deck_gear and section.when in (None, "any", "morning"):
        return np.array([DECK_GEAR_MIN]), np.array([hours_min])
    wide = min(max(60.0 * (last_h - first_h), hours_min + SLACK_MIN), float(MINUTES))
    opens = 30.0 * (first_h + last_h) - wide / 2.0
    run_min = hours_min
    if load.high_current:
        run_min = INVERTER_RUN_MIN
    elif hours_min <= BURSTS_BELOW_MIN or (automatic and hours_min < MINUTES):
        run_min = BURST_MIN
    count = max(1, int(np.ceil(hours_min / run_min)))
    lengths = np.full(count, hours_min / count)
    gaps = np.sort(draws.random(count)) * max(0.0, wide - hours_min)
    begins = opens % MINUTES + gaps + np.cumsum(lengths) - lengths
    return begins, lengths


def _cycled(switched: Array, hours_min: float, duty: float, draws: np.random.Generator) -> Array:
    """Running time [min] by then, where `switched` is the time that it was switched on by then.

    Cycles of unequal length, each running for the share `duty` of itself; they begin at a seeded phase.
    """
    if duty >= 1.0:
        return switched
    usual_min = COMPRESSOR_CYCLE_MIN if hours_min >= MINUTES else OTHER_CYCLE_MIN
    count = max(1, round(hours_min / usual_min))
    lengths = 1.0 + CYCLE_SPREAD * (2.0 * draws.random(count) - 1.0)
    lengths *= hours_min / lengths.sum()
    ends = np.cumsum(lengths)
    ends[-1] = hours_min
    begins = np.concatenate([[0.0], ends[:-1]])
    corners = np.column_stack([begins, begins + duty * (ends - begins)]).ravel()
    runs = np.column_stack([duty * begins, duty * ends]).ravel()
    corners, runs = np.append(corners, hours_min), np.append(runs, duty * hours_min)
    phase = hours_min * draws.random()
    turned = switched + phase
    rounds = np.floor(turned / hours_min)
    by_then: Array = rounds * duty * hours_min + np.interp(turned - rounds * hours_min, corners, runs)
    return by_then - float(np.interp(phase, corners, runs))


def aboard(spec: EffectiveSpec, seed: int, year: int) -> NDArray[np.bool_]:
    """Days of a seeded year on which people live aboard, shape (365,).

    In each season as many as its `use` asks for, to the nearest day: up to two in seven they are weekends, beyond that
    whole weeks. On the ordinary day people are aboard.
    """
    draws = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, year, 2])))
    week_day = (np.arange(DAYS_OF_YEAR) + int(draws.integers(WEEK))) % WEEK
    there = np.zeros(DAYS_OF_YEAR, dtype=bool)
    season_of_day = calendar(spec.spec.climate)
    for number, season in enumerate(spec.spec.climate.seasons.values()):
        days = np.flatnonzero(season_of_day == number)
        wanted = round(season.use * len(days))
        weeks = days // WEEK if season.use > WEEKEND_SHARE else (days + 7 - week_day[days]) // WEEK
        rank = draws.permutation(DAYS_OF_YEAR + 2 * WEEK)[weeks].astype(float)
        if season.use <= WEEKEND_SHARE:  # weekends first, in a drawn order, then any other day
            rank += np.where(week_day[days] >= WEEK - 2, 0.0, 2.0 * DAYS_OF_YEAR)
        there[days[np.argsort(rank, kind="stable")[:wanted]]] = True
    return there
