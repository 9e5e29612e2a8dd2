"""Formulae of the voltage ladder, as pure functions of numbers."""

STANDARD_C = 25.0
"""Temperature at which charge voltages are stated."""


def compensated_v(set_v: float, per_k_v: float, temperature_c: float) -> float:
    """Charge voltage with temperature compensation [V].

    Parameters: set_v at 25 °C [V]; per_k_v of the whole battery [V/K], negative for lead; temperature_c [°C].
    U = U₂₅ + k·(T − 25 °C). Source: lead-acid charging practice (about −24 mV/K for six cells).
    """
    return set_v + per_k_v * (temperature_c - STANDARD_C)
