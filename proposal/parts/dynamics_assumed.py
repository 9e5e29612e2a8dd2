"""What `dynamics` takes for a battery whose maker does not state it: codes, figures, and where they come from."""

from __future__ import annotations

from proposal.facts import Values
from proposal.parts import chemistry
from proposal.parts.dynamics import cell_spread_v, charge_max_a, full_v, gas_a, heater_w, management
from proposal.parts.dynamics_table import charging_efficiency, cited, efficiency_rows, figure, self_discharge_per_month
from proposal.parts.lead import REFERENCE_C
from proposal.parts.tables import row_citation
from proposal.sources import Citation
from proposal.spec.pricebook import BatteryPart

Assumed = tuple[str, Values, Citation]
_SUREST_LAST = ("from memory", "common practice", "corroborated", "definition")


def assumptions(part: BatteryPart) -> tuple[Assumed, ...]:
    """Code, values at 25 °C and source of each figure that nobody stated of one battery, in a fixed order.

    Where several rows make one figure, the source is that of the least sure.
    """
    return (*_of_any(part), *(_of_lead(part) if chemistry.is_lead(part.chemistry) else _of_lithium(part)))


def _of_any(part: BatteryPart) -> list[Assumed]:
    kind = part.chemistry
    found: list[Assumed] = [
        ("battery_rest", {"chemistry": kind}, chemistry.citation("rest_voltage", kind)),
        ("battery_cold_capacity", {"chemistry": kind}, chemistry.citation("temperature_capacity", kind)),
        (
            "battery_polarisation",
            {
                "fast_share": figure("fast polarisation share", kind),
                "fast_s": figure("fast polarisation time", kind),
                "slow_share": figure("slow polarisation share", kind),
                "slow_s": figure("slow polarisation time", kind),
            },
            cited("slow polarisation share", kind),
        ),
        ("battery_peukert", {"exponent": chemistry.peukert(kind)}, chemistry.citation("peukert", kind)),
        (
            "battery_charge_efficiency",
            {"low_share": charging_efficiency(kind)[1][0], "high_share": charging_efficiency(kind)[1][-1]},
            min(map(row_citation, efficiency_rows(kind)), key=lambda c: _SUREST_LAST.index(c.status)),
        ),
        (
            "battery_full",
            {"full_v": full_v(part, REFERENCE_C), "tail_share": figure("full charge tail", kind)},
            cited("full charge tail", kind),
        ),
    ]
    resistance = chemistry.battery_resistance(part)
    if resistance.drop_assumed:
        found.append(
            ("battery_resistance", {"resistance_ohm": resistance.for_drop_ohm}, resistance.drop_citation),
        )
    if part.charge_max_a is None:
        found.append(("battery_charge_limit", {"current_a": charge_max_a(part)}, cited("max charge current", kind)))
    if part.self_discharge_per_month is None:
        share, citation = self_discharge_per_month(kind)
        found.append(("battery_self_discharge", {"share_per_month": share}, citation))
    return found


def _of_lead(part: BatteryPart) -> list[Assumed]:
    kind = part.chemistry
    return [
        (
            "battery_taper",
            {"charge_share": figure("taper start", kind), "cell_v": figure("gassing voltage", kind)},
            cited("taper start", kind),
        ),
        (
            "battery_surface_charge",
            {"share": figure("surface charge", kind), "slow_s": figure("slow polarisation time", kind)},
            cited("surface charge", kind),
        ),
        (
            "battery_cold_charging",
            {"halves_k": figure("acceptance halves in the cold", kind)},
            cited("acceptance halves in the cold", kind),
        ),
        (
            "battery_gassing",
            {"current_a": gas_a(part, REFERENCE_C), "cell_v": figure("gassing reference voltage", kind)},
            cited("gassing current", kind),
        ),
        (
            "battery_sulphation",
            {
                "share_per_day": figure("sulphation", kind),
                "below_share": figure("sulphation below", kind),
                "after_days": figure("sulphation begins after", kind),
            },
            cited("sulphation", kind),
        ),
    ]


def _of_lithium(part: BatteryPart) -> list[Assumed]:
    kind, own = part.chemistry, management(part)
    found: list[Assumed] = [
        (
            "battery_hysteresis",
            {"width_v": figure("rest voltage hysteresis", kind) / 1000.0 * chemistry.cell_count(part)},
            cited("rest voltage hysteresis", kind),
        ),
        (
            "battery_releases",
            {"high_free_v": own.high_free_v, "low_free_v": own.low_free_v, "delay_s": own.delay_s},
            cited("management delay", kind),
        ),
    ]
    if part.cell_spread_v is None:
        found.append(("battery_cell_spread", {"spread_v": cell_spread_v(part)}, cited("cell spread taken", kind)))
    if part.cuts_above_v is None:
        found.append(("battery_cuts_above", {"high_v": own.high_v}, cited("management ends charging", kind)))
    if part.cuts_below_v is None:
        found.append(("battery_cuts_below", {"low_v": own.low_v}, cited("management ends discharging", kind)))
    if part.coldest_charge_c is None:
        found.append(("battery_coldest_charge", {"coldest_c": own.coldest_charge_c}, cited("coldest charge", kind)))
    if part.separate_switches is None:
        found.append(("battery_separate_switches", {}, cited("separate switches", kind)))
    if part.heated and part.heater_w is None:
        found.append(("battery_heater", {"power_w": heater_w(part)}, cited("heater power", kind)))
    return found
