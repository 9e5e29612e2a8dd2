"""What a battery's chemistry tells when its maker does not: resting voltage, resistance, fault current, cold.

Shares are fractions; temperatures are in °C. ``citation`` says where each quantity comes from.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Sequence
from typing import Literal

from proposal.frozen import frozen
from proposal.parts.curves import Curve
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import BatteryPart, Chemistry

Quantity = Literal[
    "rest_voltage",
    "full_rest_voltage",
    "empty_rest_voltage",
    "temperature_capacity",
    "usable_share",
    "resistance",
    "cold_resistance",
    "charge_efficiency",
    "peukert",
]

CELL_V = {"flooded": 2.0, "agm": 2.0, "gel": 2.0, "lithium": 3.2}
# Cranking rating by SAE J537: at -18 °C a 12 V battery keeps 7.2 V; the electromotive force is taken as 12.6 V.
CRANKING_OPEN_V = 12.6
CRANKING_END_V = 7.2
WARM_C = 25.0
FAULT_RESISTANCE_SHARE = 0.9
"""Share of a battery's resistance that holds back the first peak of a fault. Source: IEC 61660-1, from memory.

It only raises what a fuse must break, and is not laid on a maker's short-circuit current, which is the outcome itself.
"""

_MAKER = Citation("maker_sheets", "as the price book states it", "corroborated")
_OHM = Citation("physics", "full resting voltage over 0.9 of the maker's resistance", "definition")
_CRANKING = Citation("sae_j537", "resistance from the cranking rating, warm battery", "from memory")
_RESISTANCE_ROW = {
    "flooded": "flooded 12 V 100 Ah deep cycle",
    "agm": "AGM 12 V 100 Ah",
    "gel": "gel 12 V 100 Ah",
    "lithium": "LFP 100 Ah 12.8 V pack incl. BMS",
}
_PEUKERT_ROW = {"flooded": "flooded lead-acid", "agm": "AGM", "gel": "gel", "lithium": "LFP"}
_REFERENCE_AH = 100.0
_REFERENCE_CELLS = {"flooded": 6, "agm": 6, "gel": 6, "lithium": 4}


def is_lead(chemistry: Chemistry) -> bool:
    """Whether it is one of the lead-acid chemistries."""
    return chemistry != "lithium"


def cell_count(part: BatteryPart) -> int:
    """Cells in series in one battery: nominal voltage over 2 V (lead) or 3.2 V (lithium iron phosphate)."""
    return max(1, round(part.voltage_v / CELL_V[part.chemistry]))


# --- resting voltage -------------------------------------------------------------------------------------------------


def ocv_v(chemistry: Chemistry, charge_share: float, cells: int) -> float:
    """Resting voltage [V] of ``cells`` in series at ``charge_share`` (0 to 1, held at the ends).

    Linear between the rows of the published curve. Lithium: the model curve from 5 to 99 %; its ends are limits of
    charging and discharging and no resting voltages, so 0 and 100 % are the trade's values at rest.
    """
    return cells * _rest_curve(chemistry).held(charge_share)


def charge_share(chemistry: Chemistry, rest_v: float, cells: int) -> float:
    """Charge (0 to 1) of a battery rested at ``rest_v`` [V]: the inverse of ``ocv_v``."""
    return _rest_curve(chemistry).turned().held(rest_v / cells)


def rest_points(chemistry: Chemistry) -> Curve:
    """The points of `ocv_v`: voltage of one cell [V] by charge share."""
    return _rest_curve(chemistry)


def full_rest_v(part: BatteryPart) -> float:
    """Resting voltage [V] of one fully charged battery."""
    return ocv_v(part.chemistry, 1.0, cell_count(part))


def empty_rest_v(part: BatteryPart) -> float:
    """Resting voltage [V] of one empty battery."""
    return ocv_v(part.chemistry, 0.0, cell_count(part))


# --- capacity --------------------------------------------------------------------------------------------------------


def temperature_capacity_share(chemistry: Chemistry, temperature_c: float) -> float:
    """Share of the rated capacity at ``temperature_c`` (1 at 25 °C).

    Lead: 1 / (cell-size factor), the factor linear between its rows, on along its coldest two rows below -3.9 °C and
    held above 51.7 °C. Lithium: linear between the rows, held at 1 above 25 °C, on along the last two below -20 °C,
    never below 0.
    """
    value = _capacity_curve(chemistry).on_below(temperature_c)
    return 1.0 / value if is_lead(chemistry) else max(0.0, value)


def usable_share(chemistry: Chemistry) -> float:
    """Share of the capacity that is planned for daily use. Common practice, no source."""
    return _range(_usable(chemistry))[0]


def usable_wh(part: BatteryPart) -> float:
    """Energy [Wh] of one battery planned for daily use: capacity · nominal voltage · usable share."""
    return part.capacity_ah * part.voltage_v * usable_share(part.chemistry)


def charge_efficiency(chemistry: Chemistry) -> float:
    """Charge out over charge in, full cycle. Lithium: the middle of its energy efficiency, the lower of the two."""
    return sum(_range(_efficiency(chemistry))) / 2


def peukert(chemistry: Chemistry) -> float:
    """Peukert exponent: the middle of the published range."""
    return sum(_range(_parameter("Peukert exponent", _PEUKERT_ROW[chemistry]))) / 2


# --- resistance and fault current ------------------------------------------------------------------------------------


@frozen
class Resistance:
    """Internal resistance of one warm, full battery: low for fault currents, high for voltage drops [ohm]."""

    for_fault_ohm: float
    for_drop_ohm: float
    fault_assumed: bool
    drop_assumed: bool
    fault_citation: Citation
    drop_citation: Citation


@frozen
class ShortCircuit:
    """Prospective fault current at the posts; ``assumed`` when it rests on no maker's figure."""

    current_a: float
    assumed: bool
    citation: Citation


def resistance_from_cranking_ohm(cranking_a: float) -> float:
    """Resistance [ohm] of a 12 V battery at -18 °C: (12.6 - 7.2) V / cranking rating [A]. Source: SAE J537.

    A warm battery has half to a third of it, so what follows from it is the least fault current and never the highest.
    """
    return (CRANKING_OPEN_V - CRANKING_END_V) / cranking_a


def assumed_resistance_ohm(part: BatteryPart) -> Resistance:
    """Resistance [ohm] of one battery whose maker states none.

    The published range of a 100 Ah battery · cells / reference cells · 100 Ah / capacity: its low end for faults, its
    high end for drops. A cranking rating lowers both where it shows a stronger battery: the resistance at -18 °C over
    3 for faults, over 2 for drops.
    """
    row = _parameter("internal resistance", _RESISTANCE_ROW[part.chemistry])
    scale = cell_count(part) / _REFERENCE_CELLS[part.chemistry] * _REFERENCE_AH / part.capacity_ah
    fault_ohm, drop_ohm = (milliohm / 1000 * scale for milliohm in _range(row))
    fault_citation = drop_citation = row_citation(row)
    if part.cranking_a:
        weak, strong = _range(_parameter("R from CCA", "lead-acid 12 V at -18 C"))
        cold_ohm = resistance_from_cranking_ohm(part.cranking_a) * cell_count(part) / _REFERENCE_CELLS["flooded"]
        if cold_ohm / strong < fault_ohm:
            fault_ohm, fault_citation = cold_ohm / strong, _CRANKING
        if cold_ohm / weak < drop_ohm:
            drop_ohm, drop_citation = cold_ohm / weak, _CRANKING
    return Resistance(fault_ohm, drop_ohm, True, True, fault_citation, drop_citation)


def battery_resistance(part: BatteryPart) -> Resistance:
    """Resistance [ohm] of one battery: the maker's where stated, assumed where not.

    For faults: full resting voltage / maker's short-circuit current; else 0.9 of the maker's or assumed resistance.
    For drops: the maker's resistance; else the assumed one, and never below that for faults.
    """
    assumed = assumed_resistance_ohm(part)
    fault = (FAULT_RESISTANCE_SHARE * assumed.for_fault_ohm, True, assumed.fault_citation)
    drop = (assumed.for_drop_ohm, True, assumed.drop_citation)
    if part.resistance_ohm:
        fault = (FAULT_RESISTANCE_SHARE * part.resistance_ohm, False, _OHM)
        drop = (part.resistance_ohm, False, _MAKER)
    if part.short_circuit_a:
        fault = (full_rest_v(part) / part.short_circuit_a, False, _MAKER)
    if drop[1] and fault[0] > drop[0]:
        drop = (fault[0], True, fault[2])
    return Resistance(fault[0], drop[0], fault[1], drop[1], fault[2], drop[2])


def battery_fault_a(open_v: float, resistance_ohm: float) -> float:
    """Fault current [A] at the posts of a source: open voltage [V] / resistance [ohm]. Source: circuit theory."""
    return open_v / resistance_ohm


def short_circuit_a(part: BatteryPart, series: int, parallel: int = 1) -> ShortCircuit:
    """Prospective fault current [A] of ``series`` equal batteries in each of ``parallel`` strings, warm and full.

    I = parallel · (series · V) / (series · R), R from ``battery_resistance``; the maker's figure comes back as it is.
    """
    found = battery_resistance(part)
    one_string_a = battery_fault_a(series * full_rest_v(part), series * found.for_fault_ohm)
    return ShortCircuit(parallel * one_string_a, found.fault_assumed, found.fault_citation)


def cold_resistance_factor(chemistry: Chemistry, temperature_c: float) -> float:
    """Resistance at ``temperature_c`` over that at 25 °C; held at 1 above.

    Lead: a cranking capacity of 40 % at -18 °C (US Army TM 9-8000) makes 1 / 0.40 = 2.5 there; linear to 1 at 25 °C,
    and on below. Lithium: linear between common-practice points, and on below the coldest.
    """
    return _cold_curve(chemistry).on_below(temperature_c)


# --- where it comes from ---------------------------------------------------------------------------------------------


def citation(quantity: Quantity, chemistry: Chemistry) -> Citation:
    """Where ``quantity`` of this chemistry comes from and how sure it is: the least sure row that it rests on.

    Lithium's ``rest_voltage`` is what lies between full and empty; those two have their own (see ``ocv_v``).
    """
    surest_last = ("from memory", "common practice", "corroborated", "definition")
    return row_citation(min(_BASIS[quantity](chemistry), key=lambda row: surest_last.index(row["status"])))


def _parameter(quantity: str, applies_to: str) -> dict[str, str]:
    return next(row for row in rows("battery_params", quantity) if row["applies_to"] == applies_to)


def _range(row: dict[str, str]) -> tuple[float, float]:
    return float(row["low"]), float(row["high"])


def _usable(chemistry: Chemistry) -> dict[str, str]:
    return _parameter("usable share of capacity", "lead-acid" if is_lead(chemistry) else "LFP")


def _efficiency(chemistry: Chemistry) -> dict[str, str]:
    if is_lead(chemistry):
        return _parameter("coulombic/charge efficiency, full cycle", "lead-acid")
    return _parameter("round-trip energy efficiency", "LFP")


def _rest_rows(chemistry: Chemistry) -> tuple[dict[str, str], ...]:
    if is_lead(chemistry):
        return tuple(row for row in rows("ocv_lead") if row["chemistry"] == chemistry)
    return rows("ocv_lfp")


def _charge_pct(row: dict[str, str]) -> float:
    return float(row["soc_pct"])


def _capacity_rows(chemistry: Chemistry) -> tuple[dict[str, str], ...]:
    return rows("temp_capacity", "lead-acid cell-size factor" if is_lead(chemistry) else "LFP available capacity %")


def _cold_rows(chemistry: Chemistry) -> tuple[dict[str, str], ...]:
    if is_lead(chemistry):
        return rows("temp_capacity", "lead-acid cranking capacity % at -18 C vs +27 C")
    return rows("battery_params", "resistance factor")


@functools.cache
def _rest_curve(chemistry: Chemistry) -> Curve:
    """Volts of one cell by charge share."""
    column, cells = ("ocv_12V", 6) if is_lead(chemistry) else ("cell_V", 1)
    return Curve.of((float(row["soc_pct"]) / 100, float(row[column]) / cells) for row in _rest_rows(chemistry))


@functools.cache
def _capacity_curve(chemistry: Chemistry) -> Curve:
    """Lead: cell-size factor; lithium: share of capacity; by °C."""
    per = 1 if is_lead(chemistry) else 100
    return Curve.of((float(row["temp_C"]), float(row["value"]) / per) for row in _capacity_rows(chemistry))


@functools.cache
def _cold_curve(chemistry: Chemistry) -> Curve:
    found = _cold_rows(chemistry)
    if is_lead(chemistry):
        return Curve.of([(WARM_C, 1.0), (float(found[0]["temp_C"]), 100 / float(found[0]["value"]))])
    degrees = (float(row["applies_to"].removeprefix("LFP at ").removesuffix(" C")) for row in found)
    return Curve.of(zip(degrees, (float(row["low"]) for row in found), strict=True))


_BASIS: dict[Quantity, Callable[[Chemistry], Sequence[dict[str, str]]]] = {
    "rest_voltage": lambda chemistry: _rest_rows(chemistry) if is_lead(chemistry) else _rest_rows(chemistry)[1:-1],
    "full_rest_voltage": lambda chemistry: [max(_rest_rows(chemistry), key=_charge_pct)],
    "empty_rest_voltage": lambda chemistry: [min(_rest_rows(chemistry), key=_charge_pct)],
    "temperature_capacity": _capacity_rows,
    "usable_share": lambda chemistry: [_usable(chemistry)],
    "resistance": lambda chemistry: [_parameter("internal resistance", _RESISTANCE_ROW[chemistry])],
    "cold_resistance": _cold_rows,
    "charge_efficiency": lambda chemistry: [_efficiency(chemistry)],
    "peukert": lambda chemistry: [_parameter("Peukert exponent", _PEUKERT_ROW[chemistry])],
}
