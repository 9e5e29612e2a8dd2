"""Formulae of joining, as pure functions of numbers."""

from math import exp


def as_first_s(settled_share: float, decay_s: float) -> float:
    """For how long the first current would bring as much heat as one that falls from it to a share k of it [s].

    ∫(i/i₀)² dt over three time constants τ with i/i₀ = k + (1 − k)·exp(−t/τ):
    τ·((1 − k)²·(1 − e⁻⁶)/2 + 2·k·(1 − k)·(1 − e⁻³) + 3·k²). Source: definition of the Joule integral.
    """
    k = settled_share
    return decay_s * ((1.0 - k) ** 2 * (1.0 - exp(-6.0)) / 2.0 + 2.0 * k * (1.0 - k) * (1.0 - exp(-3.0)) + 3.0 * k**2)
