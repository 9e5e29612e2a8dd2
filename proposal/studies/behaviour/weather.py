"""Sun and wind over a year: what the installer measured or judged, spread over hours and over cloudy and clear spells.

The installer's sun hours stay the truth. The clear sky says how they fall over the day and through the season; what it
gives more than the installer's figure is cloud, drawn day by day.

Codes of what is assumed, with their values: twelve_hour_day · panel_lies tilt_deg, azimuth_deg · clear_sky_haze
turbidity · sun_above_clear_sky season, sun_h, clear_h · cloudy_spells stays_share, dullest_share · wind_spells
stays_per_hour_share; of `patterns`: times_of_day loads (how many), from_h, until_h.
"""

import functools
from dataclasses import field

import numpy as np
from numpy.typing import NDArray

from proposal.frozen import frozen
from proposal.sources import Citation
from proposal.spec.equipment import SolarSource, WindSource
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.vessel import DAYS_OF_YEAR, Climate
from proposal.studies.behaviour import sky
from proposal.studies.behaviour.result import DayAssumption
from proposal.studies.behaviour.sky import SAMPLES_OF_DAY, Array

CLEARNESS_STATES = (0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0)
"""A day's sun over that of a clear day, from overcast to clear; they give about the spread of the year cited below."""
CLEARNESS_KEPT = 0.3
"""Chance that a day's sky stays as it was: the correlation from day to day that was found in the year cited below."""
CLEARNESS_SOURCE = Citation("tmy3", "daily sums of station 723170 over the clear sky's", "corroborated")
WIND_KEPT_PER_HOUR = 0.95
WIND_SOURCE = Citation("memory", "Rayleigh wind speeds, power with their cube", "from memory")
COMMON = Citation("common_practice", "", "common practice")


def calendar(climate: Climate) -> NDArray[np.intp]:
    """Which season, by its number in the spec, each of 365 days belongs to, shape (365,): until the next one begins."""
    firsts = np.array(climate.first_days())
    since = np.subtract.outer(np.arange(DAYS_OF_YEAR), firsts) % DAYS_OF_YEAR
    # of two that begin on one day the later in the spec holds
    numbers: NDArray[np.intp] = len(firsts) - 1 - np.argmin(since[:, ::-1], axis=1)
    return numbers


@frozen
class Sunshine:
    """What one array can give.

    `clear`: W per W of array under a clear sky at the battery, losses and shade taken off, shape (365, 25);
    `mean_clearness`: share of it that leaves the installer's sun hours, shape (365,), one value a season, above 1 where
    the installer's figure is above the clear sky's; `season`: each day's season, shape (365,).
    """

    source: str
    array_w: float
    clear: Array = field(compare=False, repr=False)
    mean_clearness: Array = field(compare=False, repr=False)
    season: NDArray[np.intp] = field(compare=False, repr=False)
    assumptions: tuple[DayAssumption, ...] = ()

    def ordinary_w(self, season: int) -> Array:
        """An ordinary day of a season at its mean clearness [W], shape (25,)."""
        days = self.season == season
        if not days.any():
            return np.zeros(SAMPLES_OF_DAY)
        mean: Array = self.array_w * (self.clear[days] * self.mean_clearness[days, None]).mean(axis=0)
        return mean

    def year_w(self, clearness_of_days: Array) -> Array:
        """A year's days at the clearness of each [W], shape (365, 25)."""
        return self.array_w * self.clear * clearness_of_days[:, None]


def sunshine(spec: EffectiveSpec, source_key: str) -> Sunshine:
    """The sun on the array `source_key`: over each season its mean is sun hours · power · performance · (1 − shading).

    A module's warmth bends the day's curve; its mean effect is within `performance`. Raises KeyError where there is no
    such source, TypeError where it is none of the sun.
    """
    source, climate = spec.source(source_key), spec.spec.climate
    if not isinstance(source, SolarSource):
        raise TypeError(f"{source_key} is no solar array")
    assumed: list[DayAssumption] = []
    plane = _plane(spec, source, source_key, assumed)
    season_of_day = calendar(climate)
    clear, means = np.zeros_like(plane), np.ones(DAYS_OF_YEAR)
    for number, season in enumerate(climate.seasons.values()):
        days = season_of_day == number
        if not days.any():
            continue
        share = sky.dc_share(plane[days], sky.cell_temperature_c(plane[days], season.temperature_c))
        clear_h = float(sky.daily_sum_h(plane[days]).mean()) / sky.STANDARD_W_PER_M2
        made_h = float(sky.daily_sum_h(share).mean())
        if made_h <= 0.0:  # a season of polar night: its sun hours, if any, come as a day without a curve
            clear[days], clear_h = season.sun_h / 24.0, season.sun_h
        else:
            clear[days] = share * (clear_h / made_h)
            means[days] = season.sun_h / clear_h
        if season.sun_h > clear_h:
            told = _assumption(
                source_key, "sun_above_clear_sky", COMMON, season=season.title, sun_h=season.sun_h, clear_h=clear_h
            )
            assumed.append(told)
    clear *= source.performance * (1.0 - source.shading)
    kept = {"stays_share": CLEARNESS_KEPT, "dullest_share": CLEARNESS_STATES[0]}
    assumed.append(_assumption(source_key, "cloudy_spells", CLEARNESS_SOURCE, **kept))
    return Sunshine(source_key, source.power_w, clear, means, season_of_day, tuple(assumed))


def _plane(spec: EffectiveSpec, source: SolarSource, key: str, assumed: list[DayAssumption]) -> Array:
    """The clear sky on the array, with what had to be assumed of place and mounting."""
    position = spec.spec.climate.position
    if position is None:
        assumed.append(_assumption(key, "twelve_hour_day", COMMON))
        return sky.half_sine_w_per_m2()
    steep = round(abs(position.latitude_deg)) if spec.spec.vessel.kind == "cabin" else 0
    tilt_deg = float(steep) if source.tilt_deg is None else source.tilt_deg
    towards = 180.0 if position.latitude_deg >= 0 else 0.0
    azimuth_deg = towards if source.azimuth_deg is None else source.azimuth_deg
    if source.tilt_deg is None or (source.azimuth_deg is None and tilt_deg > 0):
        assumed.append(_assumption(key, "panel_lies", COMMON, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg))
    assumed.append(_assumption(key, "clear_sky_haze", sky.TURBIDITY_SOURCE, turbidity=sky.LINKE_TURBIDITY))
    return sky.clear_sky_w_per_m2(position.latitude_deg, position.longitude_deg, tilt_deg, azimuth_deg)


def _assumption(item: str, code: str, cited: Citation, **values: float | str) -> DayAssumption:
    return DayAssumption(item, code, dict(values), cited.source, cited.clause, cited.status)


def clearness(seed: int, year: int, means: Array) -> Array:
    """Clearness of each day of a seeded year, shape as `means`, which are the expected values, day by day.

    A chain of states: a day keeps the sky of the day before with the chance `CLEARNESS_KEPT`, else it is drawn
    anew, with chances p ∝ exp(λ·state), λ such that Σ p·state is the mean wanted. So the mean and the correlation from
    day to day are exact. Means beyond the states' range stand as they are. All arrays of a vessel see one sky: the draw
    depends on seed and year alone.
    """
    draws = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, year])))
    count = len(means)
    kept, fresh = draws.random(count) < CLEARNESS_KEPT, draws.random(count)
    kept[:1] = False
    drawn = fresh[np.maximum.accumulate(np.where(kept, 0, np.arange(count)))]
    found = np.array(means, float)
    for mean in np.unique(found):
        chances = state_chances(float(mean))
        if chances is not None:
            days = means == mean
            states = np.searchsorted(np.cumsum(chances)[:-1], drawn[days], side="right")
            found[days] = np.array(CLEARNESS_STATES)[states]
    return found


@functools.lru_cache(maxsize=256)
def state_chances(mean: float) -> tuple[float, ...] | None:
    """Chances of the states that give a mean clearness; None where no mixture of them does."""
    states = np.array(CLEARNESS_STATES)
    if not states[0] < mean < states[-1]:
        return None
    low, high = -1e4, 1e4
    for _ in range(100):
        middle = (low + high) / 2.0
        chances = _tilted(states, middle)
        low, high = (middle, high) if chances @ states < mean else (low, middle)
    return tuple(float(c) for c in _tilted(states, low))


def _tilted(states: Array, slope: float) -> Array:
    weights = np.exp(slope * states - (slope * states).max())
    tilted: Array = weights / weights.sum()
    return tilted


def wind_w(spec: EffectiveSpec, source_key: str, seed: int, year: int) -> Array:
    """Output of a wind generator through a seeded year [W], shape (365, 25); its expected value is the stated mean.

    Wind speeds are Rayleigh's, as the length of two independent normal chains by the hour; power goes with the cube, to
    the generator's highest output. On an ordinary day take the mean itself. Raises TypeError for another source.
    """
    source = spec.source(source_key)
    if not isinstance(source, WindSource):
        raise TypeError(f"{source_key} is no wind generator")
    highest_w = source.current_a * source.charge_v
    if not 0.0 < source.mean_w < highest_w:
        return np.full((DAYS_OF_YEAR, SAMPLES_OF_DAY), min(source.mean_w, highest_w))
    draws = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, year, 1])))
    steps = DAYS_OF_YEAR * 24 + 1
    first, second = _normal_chain(draws, steps), _normal_chain(draws, steps)
    cubes = (first**2 + second**2) ** 1.5
    power = source.mean_w * np.minimum(_cube_scale(highest_w / source.mean_w) * cubes, highest_w / source.mean_w)
    hours = np.add.outer(24 * np.arange(DAYS_OF_YEAR), np.arange(SAMPLES_OF_DAY))
    year_w: Array = power[hours]
    return year_w


def _normal_chain(draws: np.random.Generator, steps: int) -> Array:
    """A stationary chain of standard normal values, each correlated by `WIND_KEPT_PER_HOUR` with the one before."""
    shocks = draws.standard_normal(steps) * np.sqrt(1.0 - WIND_KEPT_PER_HOUR**2)
    shocks[0] /= np.sqrt(1.0 - WIND_KEPT_PER_HOUR**2)
    chain, last = np.empty(steps), 0.0
    for number, shock in enumerate(shocks.tolist()):
        chain[number] = last = WIND_KEPT_PER_HOUR * last + shock
    return chain


@functools.lru_cache(maxsize=64)
def _cube_scale(highest: float) -> float:
    """The factor a with E[min(a·r³, highest)] = 1, r² twice an exponential variable: taken over 20,000 quantiles."""
    quantiles = (np.arange(20_000) + 0.5) / 20_000
    cubes = (-2.0 * np.log1p(-quantiles)) ** 1.5
    low, high = 0.0, 1.0
    while np.minimum(high * cubes, highest).mean() < 1.0 and high < 1e9:
        high *= 2.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if np.minimum(middle * cubes, highest).mean() < 1.0 else (low, middle)
    return high


def wind_assumption(source_key: str) -> DayAssumption:
    """What the spells of wind rest on."""
    return _assumption(source_key, "wind_spells", WIND_SOURCE, stays_per_hour_share=WIND_KEPT_PER_HOUR)
