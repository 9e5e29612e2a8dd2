"""Formulae of energy and charge, as pure functions of numbers."""


def load_wh_per_day(power_w: float, hours_h: float, duty_share: float, standby_w: float) -> float:
    """Energy of a load in a day: W = P·t·duty + P_standby·24 h [Wh]. Source: definition."""
    return power_w * hours_h * duty_share + standby_w * 24.0


def solar_wh_per_day(array_w: float, sun_h: float, performance_share: float) -> float:
    """Energy of an array in a day: W = P_stc · full-sun hours · performance [Wh]. Source: definition."""
    return array_w * sun_h * performance_share


def autonomy_days(usable_wh: float, use_wh_per_day: float) -> float | None:
    """Days until the usable energy is used up with no charge: W/W' [d]; None where nothing is used."""
    return usable_wh / use_wh_per_day if use_wh_per_day > 0 else None


def charge_hours(charge_ah: float, current_a: float, efficiency: float) -> float | None:
    """Hours to bring a charge back: t = Q/(η·I) [h]; None without current.

    Source: charger owner manuals, hours = Ah·depth/(A·0.8) for lead (corroborated trade figure).
    """
    return charge_ah / (efficiency * current_a) if current_a > 0 else None
