"""Bands of what may be read, as pure functions of numbers in one unit."""

from proposal.studies.commissioning.result import Band


def about(expected: float, share: float, plus: float) -> Band:
    """A figure with its tolerance either way: x ± (s·|x| + p), not below zero.

    Parameters: expected x and plus p in one unit, share s (fraction). Source: common practice, `tables/tests.csv`.
    """
    either = share * abs(expected) + plus
    return Band(max(0.0, expected - either), expected + either)


def above_at_most(expected: float, share: float) -> Band:
    """No more than a share above a figure: x·(1 + s). Source: common practice, `tables/tests.csv`."""
    return Band(None, expected * (1.0 + share))


def contact(current_a: float, limit_v_per_a: float) -> Band:
    """No more than a contact may lose at a current [V]: U = I·u. Source: common practice, 50 mV for each 100 A."""
    return Band(None, current_a * limit_v_per_a)


def at_current(expected: float, current_a: float, expected_at_a: float) -> float:
    """A figure that grows with the current, at another one: x·I/I₀ (Ohm's law)."""
    return expected * current_a / expected_at_a


def moved(band: Band, by: float) -> Band:
    """A band about another middle, as wide as before and not below zero."""
    low = None if band.low is None else max(0.0, band.low + by)
    return Band(low, None if band.high is None else band.high + by)
