"""Formulae of the switching plan, as pure functions of numbers."""

TIME_CONSTANTS = 5.0
"""After so many time constants less than 1 % is missing: e⁻⁵ = 0.7 %."""


def precharge_s(resistor_ohm: float, capacitance_f: float) -> float:
    """Time until capacitors are charged through a resistor [s]: t = 5·R·C. Source: circuit theory."""
    return TIME_CONSTANTS * resistor_ohm * capacitance_f


def precharge_a(voltage_v: float, resistor_ohm: float) -> float:
    """First current through the resistor into empty capacitors [A]: i = U/R. Source: circuit theory."""
    return voltage_v / resistor_ohm
