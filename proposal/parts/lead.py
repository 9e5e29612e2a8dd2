"""How lead-acid batteries are charged, warm and cold, what gas they then give, and at what charge they freeze.

Shares are fractions, temperatures in °C, voltages of cells in series. Each table row has its source; see `citation`.
"""

from __future__ import annotations

import functools

from proposal.parts.chemistry import cell_count
from proposal.parts.curves import Curve
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import BatteryPart, Chemistry

REFERENCE_C = 25.0
"""Temperature that charge voltages are stated for."""
_TABLE_CELLS = 6
_NAMES = {"flooded": "flooded", "agm": "AGM", "gel": "gel"}
_STATED = Citation("maker_sheets", "as the price book states it", "corroborated")


def charge_voltage(part: BatteryPart) -> tuple[float, Citation]:
    """Absorption voltage of one battery at 25 °C [V]: the maker's, else the highest that is usual for its chemistry."""
    if part.charge_v is not None:
        return part.charge_v, _STATED
    row = next(
        r for r in rows("battery_params", "absorption voltage 25 C") if r["applies_to"] == _NAMES[part.chemistry]
    )
    return float(row["high"]) * cell_count(part) / _TABLE_CELLS, row_citation(row)


@functools.cache
def compensation_v_per_k() -> float:
    """Change of one cell's right charge voltage with temperature [V/K]: the middle of the published range, −4 mV/K."""
    (row,) = rows("battery_params", "temperature compensation")
    return (float(row["low"]) + float(row["high"])) / 2000.0


def compensated_v(volts: float, cells: int, temperature_c: float) -> float:
    """The right charge voltage [V] of cells in series at a temperature: U = U_25 + n·c·(T − 25 °C)."""
    return volts + cells * compensation_v_per_k() * (temperature_c - REFERENCE_C)


def freezing_c(charge_share: float) -> float:
    """Temperature [°C] at which the acid freezes at a charge (0 to 1): lower the fuller. Linear between the rows."""
    return _freezing().held(charge_share)


def charge_that_freezes_at(temperature_c: float) -> float:
    """Charge (0 to 1) at which the acid freezes at a temperature: below it, it is ice. 1 where it always is."""
    falling = _freezing()
    return Curve.of((-c, share) for share, c in zip(falling.xs, falling.ys, strict=True)).held(-temperature_c)


def absorption_h(capacity_ah: float, current_a: float) -> float:
    """Hours that the absorption voltage is to be held: t = 0.42·C/I, I [A] what the bank takes when it begins.

    From memory (makers' manuals): it decides nothing alone.
    """
    return 0.42 * capacity_ah / current_a


@functools.cache
def _freezing() -> Curve:
    found = rows("battery_params", "freezing point")
    shares = (float(row["applies_to"].removeprefix("lead-acid at ").removesuffix(" %")) / 100 for row in found)
    return Curve.of(zip(shares, (float(row["low"]) for row in found), strict=True))


def freezing_citation() -> Citation:
    """Where the freezing points come from."""
    return row_citation(rows("battery_params", "freezing point")[0])


def gas_ma_per_ah(chemistry: Chemistry) -> float:
    """Current that makes gas at boost charge [mA/Ah]: 20 vented, 8 valve-regulated (EN 62485-2, table of I_gas)."""
    kind = "flooded" if chemistry == "flooded" else "valve regulated"
    return next(float(r["low"]) for r in rows("battery_params", "gas current at boost") if r["applies_to"] == kind)


def vent_m3_per_h(cells: int, gas_current_ma_per_ah: float, capacity_ah: float) -> float:
    """Air that keeps hydrogen thin [m³/h]: Q = 0.05·n·I_gas·C/1000 (EN IEC 62485-2)."""
    return 0.05 * cells * gas_current_ma_per_ah * capacity_ah / 1000.0


def opening_cm2(air_m3_per_h: float) -> float:
    """Free area of inlet and of outlet [cm²] for so much air without a fan: A = 28·Q (EN IEC 62485-2)."""
    return 28.0 * air_m3_per_h
