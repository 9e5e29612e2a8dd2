"""How long a battery lasts by the rules of thumb: cycles by their depth, years by their warmth."""

from __future__ import annotations

import math
from collections.abc import Iterable

from proposal.parts import chemistry
from proposal.parts.lead import REFERENCE_C
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import BatteryPart

DEEP_SHARE = 0.8
HALF_SHARE = 0.5
"""Depths for which cycle lives are published."""
_MAKER = Citation("maker_sheets", "as the price book states it", "corroborated")


def cycles_to_end(part: BatteryPart, depth_share: float) -> float:
    """How many cycles of one depth (above 0 to 1) a battery lasts.

    N(d) = N(0.8)·(0.8/d)^k through the published lives at 0.8 and 0.5; shallower than that the charge taken through it
    is what counts, N(d) = N(0.5)·0.5/d, which is on the safe side. The maker's life at 0.8 goes first, with the same k.
    """
    deep, half = _figure("cycles at 80 %", part), _figure("cycles at 50 %", part)
    power = math.log(half / deep) / math.log(DEEP_SHARE / HALF_SHARE)
    deep = part.cycles or deep
    if depth_share < HALF_SHARE:
        return deep * math.pow(DEEP_SHARE / HALF_SHARE, power) * HALF_SHARE / depth_share
    return deep * math.pow(DEEP_SHARE / depth_share, power)


def calendar_years(part: BatteryPart, temperatures_c: Iterable[float]) -> float:
    """Years that a battery lasts at equal spells of temperature [°C] without being used.

    Each spell wears it as 2^((T − 25 °C)/10 K) (lead), never less than 1: what cold may add is not counted on.
    """
    halves_by_k = _figure("calendar life halves by", part)
    rates = [math.exp2(max(0.0, degrees - REFERENCE_C) / halves_by_k) for degrees in temperatures_c]
    years = part.calendar_years or _figure("calendar life", part)
    return years * len(rates) / math.fsum(rates)


def end_of_life_share(part: BatteryPart) -> float:
    """Share of its capacity that a battery has lost when its life is over."""
    return _figure("end of life", part)


def lost_gas_share(part: BatteryPart) -> float:
    """Share of its gas that leaves a lead battery as water lost; the rest is made water again inside."""
    return 1.0 - _figure("gas recombined", part)


def life_citations(part: BatteryPart) -> dict[str, Citation]:
    """Where each figure comes from, by its quantity."""
    quantities = ["cycles at 80 %", "cycles at 50 %", "calendar life", "calendar life halves by", "end of life"]
    if chemistry.is_lead(part.chemistry):
        quantities.append("gas recombined")
    found = {quantity: row_citation(_row(quantity, part)) for quantity in quantities}
    if part.cycles:
        found["cycles at 80 %"] = _MAKER
    if part.calendar_years:
        found["calendar life"] = _MAKER
    return found


def _figure(quantity: str, part: BatteryPart) -> float:
    return float(_row(quantity, part)["low"])


def _row(quantity: str, part: BatteryPart) -> dict[str, str]:
    """The row for a battery; one of lead with a cranking rating is a starter battery where the table knows those."""
    names: list[str] = [part.chemistry, "all"]
    if chemistry.is_lead(part.chemistry):
        names = [*(["starter"] if part.cranking_a else []), part.chemistry, "lead", "all"]
    found = rows("battery_life", quantity)
    return next(one for name in names for one in found if one["applies_to"] == name)
