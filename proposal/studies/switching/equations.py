"""Formulae of switching, as pure functions of numbers."""

from math import log

CHARGED_TIMES = 3.0
"""After three time constants a capacitor is at 1 − e⁻³, 95 % of the voltage behind its resistor."""


def surge_a(open_v: float, loop_ohm: float) -> float:
    """First current into an uncharged capacitor: i₀ = U/R [A]. Source: circuit theory.

    The loop's inductance makes the real peak smaller, so it is an upper bound.
    """
    return open_v / loop_ohm


def time_constant_s(loop_ohm: float, capacitance_f: float) -> float:
    """τ = R·C [s]. Source: circuit theory."""
    return loop_ohm * capacitance_f


def stored_j(capacitance_f: float, open_v: float) -> float:
    """Energy in a charged capacitor, and as much in the resistor that charged it: W = C·U²/2 [J]."""
    return 0.5 * capacitance_f * open_v**2


def precharge_ohm(open_v: float, limit_a: float, loop_ohm: float) -> float:
    """Resistance to put into a loop so that the first current does not pass a limit: U/I − R, not below 0 [Ω]."""
    return max(0.0, open_v / limit_a - loop_ohm)


def precharge_s(resistance_ohm: float, capacitance_f: float) -> float:
    """Time until a capacitor is charged to 95 % through a resistance: 3·R·C [s]."""
    return CHARGED_TIMES * time_constant_s(resistance_ohm, capacitance_f)


def above_s(peak_a: float, limit_a: float, constant_s: float) -> float:
    """For how long a current that falls as e^(−t/τ) stays above a limit: τ·ln(i₀/i) [s], 0 where it starts below."""
    return constant_s * log(peak_a / limit_a) if peak_a > limit_a > 0.0 else 0.0


def held_v(set_v: float, current_a: float, resistance_ohm: float) -> float:
    """Voltage when a current finds only a resistance behind a voltage: U = E + I·R [V]. Source: Ohm's law."""
    return set_v + current_a * resistance_ohm
