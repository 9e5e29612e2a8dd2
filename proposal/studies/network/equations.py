"""Formulae of the resistive network, as pure functions of numbers or of arrays of them."""

from typing import TypeVar

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Quantity = TypeVar("Quantity", float, Array)
LEAST_AMPACITY_A = 1e-6
"""Keeps a conductor that may carry nothing at its place from a division by zero: it is at its limit."""

ALPHA_20_PER_K = 0.00393
"""Temperature coefficient of copper at 20 °C (IEC 60228, temperature correction)."""


def conductor_ohm(resistance_20c_ohm_per_m: Quantity, length_m: Quantity, temperature_c: Quantity) -> Quantity:
    """Resistance of one conductor.

    Parameters: resistance_20c_ohm_per_m [Ω/m], length_m [m], temperature_c of the conductor [°C].
    R = r₂₀ · l · (1 + α·(T − 20 °C)). Source: IEC 60228, α = 0.00393 1/K.
    """
    return resistance_20c_ohm_per_m * length_m * (1.0 + ALPHA_20_PER_K * (temperature_c - 20.0))


def conductor_c(place_c: Array, limit_c: Array, current_a: Array, ampacity_a: Array) -> Array:
    """Temperature of a conductor that has carried a current for long [°C].

    Parameters: place_c and limit_c of the insulation [°C]; current_a and the ampacity there [A].
    T = T_place + (T_limit − T_place) · (I/I_z)²: heat I²·R leaves in proportion to the rise, and I_z is by definition
    what brings the conductor to its limit. Never above the limit: a current above I_z is an objection of its own, and
    no temperature of an insulation that would not last. Never below the place. Source: IEC 60287-1-1, from memory; it
    is the square-root rule of the ampacity tables the other way round.
    """
    share = np.minimum(np.abs(current_a) / np.maximum(ampacity_a, LEAST_AMPACITY_A), 1.0)
    return np.asarray(place_c + np.maximum(limit_c - place_c, 0.0) * share * share)


def charger_a(terminal_v: float, set_v: float, limit_a: float, droop_ohm: float) -> float:
    """Current of a constant-current, constant-voltage source at a terminal voltage.

    Parameters: terminal_v, set_v [V]; limit_a [A]; droop_ohm [Ω].
    i = clip((U_set − U)/R_droop, 0, I_max): a finite droop makes several such sources in parallel unique.
    """
    return min(max((set_v - terminal_v) / droop_ohm, 0.0), limit_a)


def constant_power_v(emf_v: float, resistance_ohm: float, power_w: float) -> float | None:
    """Voltage at a constant-power load behind a resistance; None past maximum power, where there is no solution.

    U = (E + √(E² − 4·R·P))/2, none for P > E²/(4·R). Source: circuit theory (arithmetic).
    """
    under_root = emf_v * emf_v - 4.0 * resistance_ohm * power_w
    return None if under_root < 0 else (emf_v + under_root**0.5) / 2.0
