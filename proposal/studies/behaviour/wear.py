"""What days of use do to a battery: cycles and their depth, life, water, sulphation. Pure; shares are fractions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Literal

import numpy as np
import numpy.typing as npt

from proposal.frozen import frozen
from proposal.parts.chemistry import cell_count, is_lead
from proposal.parts.dynamics import sulphation_per_day
from proposal.parts.dynamics_table import figure
from proposal.parts.life import calendar_years, cycles_to_end, end_of_life_share, lost_gas_share
from proposal.spec.pricebook import BatteryPart

Floats = npt.NDArray[np.float64]
LifeBy = Literal["cycles", "calendar", "sulphation"]

FARADAY_C_PER_MOL = 96485.33212
WATER_G_PER_MOL = 18.01528
WATER_G_PER_AH = WATER_G_PER_MOL / (2.0 * FARADAY_C_PER_MOL) * 3600.0
"""Water that 1 Ah of gassing splits in one cell: two electrons a molecule (Faraday)."""
SMALLEST_DEPTH_SHARE = 0.005
"""Swings below half a percent of the charge are no cycles: they are the ripple of loads and controllers."""


@frozen
class Cycle:
    """Cycles of one depth: `count` is 1, or 0.5 for a way that was not taken back. Source: ASTM E1049."""

    depth_share: float
    mean_share: float
    count: float


@frozen
class Life:
    """Expected life by the rule of thumb [years], and what ends it; each way by itself."""

    life_years: float
    life_by: LifeBy
    cycles_years: float
    calendar_years: float
    sulphation_years: float


def turning_points(series: Sequence[float] | Floats) -> Floats:
    """The first value, each peak and valley, and the last: where the direction changes. Repeats count once."""
    values = np.asarray(series, dtype=np.float64)
    moved = np.concatenate(([True], np.diff(values) != 0.0)) if len(values) else np.zeros(0, dtype=bool)
    values = values[moved]
    if len(values) < 3:
        return values
    rising = np.diff(values) > 0.0
    turns = np.concatenate(([True], rising[1:] != rising[:-1], [True]))
    return values[turns]


def rainflow(series: Sequence[float] | Floats) -> tuple[Cycle, ...]:
    """Cycles in a series, each swing paired with the one that takes it back.

    The three-point method of ASTM E1049: of the last three turning points X is the newer range and Y the one before;
    while X ≥ Y, Y is a cycle, or half of one where it holds the first point. What remains are halves.
    """
    found: list[Cycle] = []
    open_points: list[float] = []
    for point in turning_points(series).tolist():
        open_points.append(point)
        while len(open_points) >= 3:
            older, middle, newest = open_points[-3:]
            if abs(newest - middle) < abs(middle - older):
                break
            if len(open_points) == 3:
                found.append(_cycle(older, middle, 0.5))
                del open_points[0]
            else:
                found.append(_cycle(older, middle, 1.0))
                del open_points[-3:-1]
    found += [_cycle(one, other, 0.5) for one, other in pairwise(open_points)]
    return tuple(found)


def _cycle(one: float, other: float, count: float) -> Cycle:
    return Cycle(abs(other - one), 0.5 * (one + other), count)


def equivalent_cycles(cycles: Iterable[Cycle]) -> float:
    """As many whole cycles as take the same charge: Σ n·d."""
    return sum(cycle.count * cycle.depth_share for cycle in cycles)


def mean_depth_share(cycles: Iterable[Cycle]) -> float:
    """Mean depth, each cycle weighed by the charge that it takes: Σ n·d² / Σ n·d. 0 where there is none."""
    kept = [cycle for cycle in cycles if cycle.depth_share >= SMALLEST_DEPTH_SHARE]
    taken = equivalent_cycles(kept)
    return sum(cycle.count * cycle.depth_share**2 for cycle in kept) / taken if taken else 0.0


def deepest_share(cycles: Iterable[Cycle]) -> float:
    """The deepest of the cycles; 0 where there is none."""
    return max((cycle.depth_share for cycle in cycles), default=0.0)


def worn_share(part: BatteryPart, cycles: Iterable[Cycle]) -> float:
    """Share of a battery's cycle life that is used up: Σ n/N(d) (Palmgren and Miner); ripple is left out."""
    return sum(
        cycle.count / cycles_to_end(part, min(1.0, cycle.depth_share))
        for cycle in cycles
        if cycle.depth_share >= SMALLEST_DEPTH_SHARE
    )


def life(
    part: BatteryPart,
    cycles: Iterable[Cycle],
    temperatures_c: Iterable[float],
    sulphated: float,
    over_years: float = 1.0,
) -> Life:
    """Years that a battery lasts if each year is as the `over_years` that were followed: the shortest of three ways.

    cycles: 1/(worn share a year); calendar: `parts.life.calendar_years` at `temperatures_c` of equal spells;
    sulphation: until the `sulphated` share of those years has grown to the end of life, in proportion.
    Infinite where nothing of the kind goes on. Source: rules of thumb, `parts/tables/battery_life.csv`.
    """
    worn = worn_share(part, cycles)
    by: dict[LifeBy, float] = {
        "cycles": over_years / worn if worn else float("inf"),
        "calendar": calendar_years(part, temperatures_c),
        "sulphation": over_years * end_of_life_share(part) / sulphated if sulphated else float("inf"),
    }
    shortest = min(by, key=lambda way: by[way])
    return Life(by[shortest], shortest, by["cycles"], by["calendar"], by["sulphation"])


def water_l(part: BatteryPart, gassed_ah: float) -> float:
    """Water that one battery loses [l] while its gassing current carries `gassed_ah`: 0.336 g/Ah in each cell.

    Valve-regulated batteries make most of it water again (`battery_life.csv`). Source: Faraday's law.
    """
    if not is_lead(part.chemistry):
        return 0.0
    return WATER_G_PER_AH * gassed_ah * cell_count(part) * lost_gas_share(part) / 1000.0


def days_since_full(full: Sequence[bool] | npt.NDArray[np.bool_], step_days: float) -> Floats:
    """Days since the last sample at which it was full, for samples `step_days` apart; it is full before the first."""
    places = np.arange(1.0, len(full) + 1.0)
    last_full = np.maximum.accumulate(np.where(full, places, 0)) if len(full) else places
    return (places - last_full) * step_days


def sulphated_share(
    part: BatteryPart,
    shares: Sequence[float] | Floats,
    full: Sequence[bool] | npt.NDArray[np.bool_],
    temperatures_c: Sequence[float] | Floats,
    step_days: float,
) -> float:
    """Share of capacity that sulphation takes from lead, over samples `step_days` apart.

    Each day below 80 % charge, once 14 days have passed since it was full, takes `sulphation_per_day`. The figures
    are from memory: it ranks ways of use and decides nothing alone. Lithium: 0.
    """
    if not is_lead(part.chemistry):
        return 0.0
    late = days_since_full(full, step_days) > figure("sulphation begins after", part.chemistry)
    low = np.asarray(shares) < figure("sulphation below", part.chemistry)
    degrees, which = np.unique(np.round(np.asarray(temperatures_c, dtype=np.float64), 1), return_inverse=True)
    per_day = np.array([sulphation_per_day(part.chemistry, one) for one in degrees.tolist()])
    return float(np.sum(per_day[which][late & low]) * step_days)
