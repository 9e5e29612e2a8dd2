"""The clear sky over a panel, hour by hour of local solar time, and what a module makes of it.

All years have 365 days; a day has the 25 samples 0:00 to 24:00, straight between them. Local solar time is the mean
one: longitude shifts the date by hours and moves the answer little.
"""

import functools

import numpy as np
from numpy.typing import NDArray

from proposal.sources import Citation
from proposal.spec.vessel import DAYS_OF_YEAR

Array = NDArray[np.float64]

SAMPLES_OF_DAY = 25
YEAR_BEGINS_S = 1_672_531_200.0
"""2023-01-01 in UTC, a year without a 29th of February; another one moves the sun by minutes."""
DELTA_T_S, REFRACTION_DEG = 67.0, 0.5667
"""How far the earth's turning lags, and refraction at the horizon: the usual values of the solar position algorithm."""
LINKE_TURBIDITY = 3.0
TURBIDITY_SOURCE = Citation("ineichen_perez2002", "turbidity of clean, warm air", "common practice")
GROUND_ALBEDO = 0.2
HORIZON_DEG = 89.9
STANDARD_W_PER_M2 = 1000.0
STANDARD_CELL_C = 25.0
HEAT_LOSS_U0, HEAT_LOSS_U1 = 25.0, 6.84
"""W/(m²K) and W/(m²K) per m/s of wind: open-rack modules, D. Faiman 2008, as pvlib has them (corroborated)."""
USUAL_WIND_M_PER_S = 1.0
POWER_PER_K = -0.0035
"""Of crystalline silicon, 1/K; makers state −0.003 to −0.0045 (common practice)."""
HALF_SINE_PEAK_W_PER_M2 = 1000.0


@functools.lru_cache(maxsize=64)
def clear_sky_w_per_m2(
    latitude_deg: float,
    longitude_deg: float,
    tilt_deg: float,
    azimuth_deg: float,
    days: tuple[int, ...] = tuple(range(DAYS_OF_YEAR)),
) -> Array:
    """Irradiance of a cloudless sky on a plane [W/m²], shape (days, 25), at sea level.

    Parameters: north and east positive; azimuth 180 ° faces south; days since the 1st of January. Sun by the solar
    position algorithm, beam and haze by Ineichen and Perez with a turbidity of 3, sky taken as equally bright all over.
    Source: pvlib (nrel_spa, ineichen_perez2002).
    """
    import pvlib  # noqa: PLC0415 - heavy, and needed only where a position is known

    hours = np.add.outer(24.0 * np.asarray(days, float), np.arange(SAMPLES_OF_DAY, dtype=float)).ravel()
    utc_h = hours - longitude_deg / 15.0
    zenith, azimuth = sun_position_deg(YEAR_BEGINS_S + 3600.0 * utc_h, latitude_deg, longitude_deg)
    up = zenith < HORIZON_DEG
    beyond = pvlib.irradiance.get_extra_radiation(1.0 + np.floor(utc_h[up] / 24.0))
    air = pvlib.atmosphere.get_relative_airmass(zenith[up])
    bright = pvlib.clearsky.ineichen(zenith[up], air, LINKE_TURBIDITY, altitude=0.0, dni_extra=beyond)
    parts = (np.asarray(bright[name], float) for name in ("dni", "ghi", "dhi"))
    over_all = np.zeros(len(hours))
    over_all[up] = plane_w_per_m2(tilt_deg, azimuth_deg, zenith[up], azimuth[up], *parts)
    plane: Array = over_all.reshape(len(days), SAMPLES_OF_DAY)
    plane.flags.writeable = False
    return plane


def sun_position_deg(
    unix_s: Array,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float = 0.0,
    air_mbar: float = 1013.25,
    air_c: float = 12.0,
) -> tuple[Array, Array]:
    """Zenith distance as seen through the air, and azimuth from north over east [°], at seconds since 1970 in UTC.

    Source: the solar position algorithm (nrel_spa), as in pvlib.
    """
    import pvlib  # noqa: PLC0415

    found = pvlib.spa.solar_position(
        unix_s, latitude_deg, longitude_deg, elevation_m, air_mbar, air_c, DELTA_T_S, REFRACTION_DEG
    )
    return found[0], found[4]


def plane_w_per_m2(
    tilt_deg: float,
    azimuth_deg: float,
    sun_zenith_deg: Array,
    sun_azimuth_deg: Array,
    beam: Array,
    level: Array,
    diffuse: Array,
) -> Array:
    """Irradiance on a tilted plane [W/m²]: beam·cos(incidence) + diffuse·(1 + cos t)/2 + level·albedo·(1 − cos t)/2.

    Beam is that square to the sun, level the whole on flat ground. Source: physics (isotropic sky).
    """
    tilt, zenith = np.radians(tilt_deg), np.radians(sun_zenith_deg)
    turned = np.radians(np.asarray(sun_azimuth_deg) - azimuth_deg)
    incidence = np.cos(zenith) * np.cos(tilt) + np.sin(zenith) * np.sin(tilt) * np.cos(turned)
    ground = level * GROUND_ALBEDO * (1.0 - np.cos(tilt)) / 2.0
    plane: Array = beam * np.maximum(incidence, 0.0) + diffuse * (1.0 + np.cos(tilt)) / 2.0 + ground
    return plane


def half_sine_w_per_m2(days: int = DAYS_OF_YEAR) -> Array:
    """A sky that nobody knows the place of: the same half sine from 6:00 to 18:00 every day, shape (days, 25)."""
    hours = np.arange(SAMPLES_OF_DAY, dtype=float)
    bow = np.maximum(np.sin(np.pi * (hours - 6.0) / 12.0), 0.0)
    bow[(hours <= 6.0) | (hours >= 18.0)] = 0.0
    return np.tile(HALF_SINE_PEAK_W_PER_M2 * bow, (days, 1))


def cell_temperature_c(plane: Array, air_c: Array | float, wind_m_per_s: float = USUAL_WIND_M_PER_S) -> Array:
    """Temperature of a module's cells [°C]: T = T_air + G/(u0 + u1·v). Source: D. Faiman 2008, as in pvlib."""
    heated: Array = air_c + plane / (HEAT_LOSS_U0 + HEAT_LOSS_U1 * wind_m_per_s)
    return heated


def dc_share(plane: Array, cell_c: Array | float, power_per_k: float = POWER_PER_K) -> Array:
    """Output of an array over its nameplate: G/1000 · (1 + γ·(T − 25)), not below nothing.

    Source: the DC model of PVWatts, as in pvlib.
    """
    made: Array = np.maximum(plane / STANDARD_W_PER_M2 * (1.0 + power_per_k * (cell_c - STANDARD_CELL_C)), 0.0)
    return made


def daily_sum_h(samples: Array) -> Array:
    """Hours at 1 that a day's samples stand for: the area under straight lines between them, over the last axis."""
    area: Array = (samples[..., 1:] + samples[..., :-1]).sum(axis=-1) / 2.0
    return area
