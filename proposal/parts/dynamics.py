"""How one battery behaves in time: rest, polarisation, charging, gassing, loss by itself, and its management.

Of one battery as it is bought; n cells in series. Currents are positive while it charges. Figures that its maker does
not state come from `tables/battery_dynamics.csv`, `ocv_*.csv`, `self_discharge.csv`, and `chemistry`.
"""

from __future__ import annotations

import functools
import math

from proposal.frozen import frozen
from proposal.parts import chemistry
from proposal.parts.dynamics_table import charging_efficiency, figure, most, self_discharge_per_month
from proposal.parts.lead import REFERENCE_C, charge_voltage, compensated_v
from proposal.parts.self_discharge import DAYS_PER_MONTH, HOURS_PER_DAY
from proposal.spec.pricebook import BatteryPart, Chemistry

TABLE_CELLS = 6
"""Cells of a 12 V lead battery, for which its published voltages stand."""
_LITHIUM_TABLE_CELLS = 4


@frozen
class Management:
    """The state machine inside a lithium battery. Voltages of the battery; it sees its worst cell, not the mean.

    It ends charging above `high_v` and allows it again below `high_free_v`; ends discharging below `low_v` and allows
    it again above `low_free_v`; each after `delay_s`. No charge below `coldest_charge_c`, again from `coldest_warm_c`,
    to which a heater of `heater_w` (0: none) warms it. `separate_switches`: it can end charging alone.
    """

    high_v: float
    low_v: float
    high_free_v: float
    low_free_v: float
    delay_s: float
    coldest_charge_c: float
    coldest_warm_c: float
    separate_switches: bool
    heater_w: float


@frozen
class Dynamics:
    """One battery at one temperature, charge share s from 0 to 1 of `capacity_ah`.

    Terminal voltage U = E(s) + h + v_fast + v_slow + i·R0 + i_main·R_c·s/(1 + knee − s) (the last while charging);
    each v relaxes to i·R with its time. Charging: i = i_main + gas, gas = gas_a·exp(gas_per_v·(U − gas_v)); of i_main
    the share efficiency(s) is stored. h moves between ±`hysteresis_v` within `hysteresis_share` of charge. Put out of
    reach by discharge at I above `rate_a`: (I/rate_a)^(peukert − 1), back with `recovery_s`.
    Of what the bend drops the share `surface_share` comes and goes with `slow_s` (surface charge), the rest at once:
    v_slow relaxes to i·`slow_ohm` + that share of the bend's. Near full little more than gas flows.
    Full: at or above `full_v` with less than `tail_share` of its capacity per hour. Sulphation: the share of capacity
    lost a day below `sulphation_below_share`, once `sulphation_after_days` have passed since it was full.
    """

    cells: int
    rest_share: tuple[float, ...]
    rest_v: tuple[float, ...]
    capacity_ah: float
    resistance_ohm: float
    fast_ohm: float
    fast_s: float
    slow_ohm: float
    slow_s: float
    charge_ohm: float
    knee_share: float
    charge_max_a: float
    efficiency_share: tuple[float, ...]
    efficiency: tuple[float, ...]
    gas_a: float
    gas_v: float
    gas_per_v: float
    peukert: float
    rate_a: float
    recovery_s: float
    hysteresis_v: float
    hysteresis_share: float
    self_discharge_a: float
    full_v: float
    tail_share: float
    cell_spread_v: float
    management: Management | None
    sulphation_per_day: float
    sulphation_below_share: float
    sulphation_after_days: float
    surface_share: float


def dynamics(part: BatteryPart, temperature_c: float) -> Dynamics:
    """What one battery is at a temperature [°C]. Pure; the maker's figures where the price book has them."""
    kind, cells, lead = part.chemistry, chemistry.cell_count(part), chemistry.is_lead(part.chemistry)
    cold = chemistry.cold_resistance_factor(kind, temperature_c)
    series_ohm = chemistry.battery_resistance(part).for_drop_ohm * cold
    shares, cell_v = rest_curve(kind)
    efficiency_share, efficiency = charging_efficiency(kind)
    return Dynamics(
        cells=cells,
        rest_share=shares,
        rest_v=tuple(cells * volts for volts in cell_v),
        capacity_ah=part.capacity_ah * min(1.0, chemistry.temperature_capacity_share(kind, temperature_c)),
        resistance_ohm=series_ohm,
        fast_ohm=series_ohm * figure("fast polarisation share", kind),
        fast_s=figure("fast polarisation time", kind),
        slow_ohm=series_ohm * figure("slow polarisation share", kind),
        slow_s=figure("slow polarisation time", kind),
        charge_ohm=_charge_ohm_at(part, temperature_c),
        knee_share=figure("charge knee", kind) if lead else 1.0,
        charge_max_a=charge_max_a(part),
        efficiency_share=efficiency_share,
        efficiency=efficiency,
        gas_a=gas_a(part, temperature_c),
        gas_v=figure("gassing reference voltage", kind) * cells if lead else 0.0,
        gas_per_v=figure("gassing voltage coefficient", kind) / cells if lead else 0.0,
        peukert=chemistry.peukert(kind),
        rate_a=part.capacity_ah / 20.0,
        recovery_s=figure("slow polarisation time", kind),
        hysteresis_v=0.0 if lead else cells * figure("rest voltage hysteresis", kind) / 2000.0,
        hysteresis_share=1.0 if lead else figure("hysteresis turns over in", kind),
        self_discharge_a=self_discharge_a(part, temperature_c),
        full_v=full_v(part, temperature_c),
        tail_share=figure("full charge tail", kind),
        cell_spread_v=0.0 if lead else cell_spread_v(part),
        management=None if lead else management(part),
        sulphation_per_day=sulphation_per_day(kind, temperature_c),
        sulphation_below_share=figure("sulphation below", kind) if lead else 0.0,
        sulphation_after_days=figure("sulphation begins after", kind) if lead else 0.0,
        surface_share=figure("surface charge", kind) if lead else 0.0,
    )


# --- each by itself --------------------------------------------------------------------------------------------------


@functools.cache
def rest_curve(kind: Chemistry) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Charge shares, and the voltage of one cell at rest at each; strictly rising.

    Lead: `ocv_lead.csv`, taken as it is at all temperatures. Lithium: as `chemistry.ocv_v`, but for the very top, which
    is the model's: a charger's voltage must be reached on the curve, and that above 99 % is no voltage at rest.
    """
    found = chemistry.rest_points(kind)
    if chemistry.is_lead(kind):
        return found.xs, found.ys
    return found.xs, (*found.ys[:-1], figure("top of the lithium rest curve", kind))


def charge_ohm(part: BatteryPart) -> float:
    """What charging meets beyond the series resistance, R_c of R_c·s/(1 + knee − s) [ohm], lead at 25 °C.

    From where charging at C/5 begins to taper (80 % charge at 2.40 V a cell): the whole resistance there is
    (U − E(0.8))/(C/5), less the series one and both polarisations. A chemistry that takes twice the current of
    flooded lead has half of that. At least a tenth of the whole. The form: Schiffer and others 2007.
    """
    kind, cells = part.chemistry, chemistry.cell_count(part)
    share, knee = figure("taper start", kind), figure("charge knee", kind)
    takes = most("max charge current", kind) / most("max charge current", "flooded")
    rate_a = figure("taper start rate", kind) * takes * part.capacity_ah
    whole_ohm = (figure("gassing voltage", kind) * cells - chemistry.ocv_v(kind, share, cells)) / rate_a
    known = 1.0 + figure("fast polarisation share", kind) + figure("slow polarisation share", kind)
    left_ohm = whole_ohm - known * chemistry.battery_resistance(part).for_drop_ohm
    return max(left_ohm, 0.1 * whole_ohm) * (1.0 + knee - share) / share


def _charge_ohm_at(part: BatteryPart, temperature_c: float) -> float:
    if not chemistry.is_lead(part.chemistry):
        return 0.0
    doubled_by_k = figure("acceptance halves in the cold", part.chemistry)
    return charge_ohm(part) * math.exp2((REFERENCE_C - temperature_c) / doubled_by_k)


def charge_max_a(part: BatteryPart) -> float:
    """Most that it takes [A]: the maker's limit, else the highest that is usual for the chemistry."""
    if part.charge_max_a is not None:
        return part.charge_max_a
    return most("max charge current", part.chemistry) * part.capacity_ah


def gas_a(part: BatteryPart, temperature_c: float) -> float:
    """Gassing current [A] at the reference voltage: I_0·C/100 Ah·exp(c_T·(T − 25 °C)); lithium none."""
    kind = part.chemistry
    if not chemistry.is_lead(kind):
        return 0.0
    warm_a = figure("gassing current", kind) / 1000.0 * part.capacity_ah / 100.0
    return warm_a * math.exp(figure("gassing temperature coefficient", kind) * (temperature_c - REFERENCE_C))


def self_discharge_a(part: BatteryPart, temperature_c: float) -> float:
    """What it loses by itself [A]: the maker's share a month, else the middle of the range; doubles with each 10 K."""
    share = part.self_discharge_per_month
    if share is None:
        share, _ = self_discharge_per_month(part.chemistry)
    doubled = math.exp2((temperature_c - REFERENCE_C) / figure("self-discharge doubles by", part.chemistry))
    return share * part.capacity_ah / (DAYS_PER_MONTH * HOURS_PER_DAY) * doubled


def sulphation_per_day(kind: Chemistry, temperature_c: float) -> float:
    """Share of capacity that a day without a full charge takes; doubles with each 10 K; lithium none."""
    if not chemistry.is_lead(kind):
        return 0.0
    doubles_by_k = figure("sulphation doubles by", kind)
    return figure("sulphation", kind) * math.exp2((temperature_c - REFERENCE_C) / doubles_by_k)


def full_v(part: BatteryPart, temperature_c: float) -> float:
    """Voltage from which a charge counts as full [V].

    Lead: 14.2 V, or 0.1 V below its charge voltage where that is lower (gel), and less in the heat by the compensation
    of chargers. Lithium: 0.1 V below the maker's charge voltage (of 4 cells), else 3.5 V a cell.
    """
    cells = chemistry.cell_count(part)
    if not chemistry.is_lead(part.chemistry):
        if part.charge_v is None:
            return figure("full charge voltage", part.chemistry) * cells
        return part.charge_v - 0.1 * cells / _LITHIUM_TABLE_CELLS
    below_v = charge_voltage(part)[0] - 0.1 * cells / TABLE_CELLS
    warm_v = min(figure("full charge voltage", part.chemistry) * cells / TABLE_CELLS, below_v)
    return compensated_v(warm_v, cells, max(REFERENCE_C, temperature_c))


def cell_spread_v(part: BatteryPart) -> float:
    """The highest cell above the mean near full [V]."""
    return figure("cell spread taken", part.chemistry) / 1000.0 if part.cell_spread_v is None else part.cell_spread_v


def management(part: BatteryPart) -> Management:
    """The management of one lithium battery: its maker's thresholds, else those of the table."""
    kind, cells = part.chemistry, chemistry.cell_count(part)
    high_v = part.cuts_above_v or figure("management ends charging", kind) * cells
    low_v = part.cuts_below_v or figure("management ends discharging", kind) * cells
    coldest_c = figure("coldest charge", kind) if part.coldest_charge_c is None else part.coldest_charge_c
    return Management(
        high_v=high_v,
        low_v=low_v,
        high_free_v=min(figure("management allows charging", kind) * cells, high_v - 0.05 * cells),
        low_free_v=max(figure("management allows discharging", kind) * cells, low_v + 0.1 * cells),
        delay_s=figure("management delay", kind),
        coldest_charge_c=coldest_c,
        coldest_warm_c=max(
            figure("warm enough again", kind), coldest_c + figure("warm enough again above coldest", kind)
        ),
        separate_switches=part.separate_switches is not False,
        heater_w=heater_w(part),
    )


def heater_w(part: BatteryPart) -> float:
    """What its heater draws [W]: the maker's, else by the energy that it holds; 0 without a heater."""
    if not part.heated:
        return 0.0
    return part.heater_w or figure("heater power", part.chemistry) * part.capacity_ah * part.voltage_v
