"""The bilge pump: its fuse, how long its bank lasts with no charge, and whether an alarm calls in time."""

import math
from collections.abc import Iterator

from proposal.circuit.model import Bank, Load, SeriesDevice
from proposal.facts import Values
from proposal.parts.fuse_curves import time_curve
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.paths import Branch, banks_at, reach
from proposal.spec.pricebook import FusePart

RESERVE_H = 48.0
"""From full, nobody aboard and nothing charging. Common practice, no source."""
HOURS_PER_DAY = 24.0
MUST_STAY = ("bilge_pump", "high_water_alarm")
"""What serves these stays alive whatever is switched off."""


def bilge_pump_at_risk(evidence: Evidence) -> Examined:
    """47. A bilge pump with a fuse that does not protect it, too little in reserve, or no high-water alarm.

    Fuse: no larger than the pump's maker allows, and its curve surely clears the current of a blocked rotor. Reserve:
    t = W_usable / W_day [h] of the banks that feed it, full, relays open, with every load on them that stays on when
    nobody is aboard. Boats with an always-on load of which nobody says what it serves are asked. Common practice.
    """
    pumps = [load for load in evidence.circuit.loads if evidence.spec.load(load.key).serves == "bilge_pump"]
    objections: list[Objection] = []
    if not pumps:
        nameless = [x for x in evidence.circuit.loads if x.always_on and evidence.spec.load(x.key).serves is None]
        if nameless and evidence.spec.spec.vessel.kind == "boat":
            objections.append(undecided(nameless[0].key, "what_it_serves", cause="unnamed"))
        return Examined(len(objections), tuple(objections))
    unsure: dict[str, list[Objection]] = {}
    for pump in pumps:
        for found in (*_pump_fuse(evidence, pump), *_pump_reserve(evidence, pump)):
            if found.values.get("find_out") == "fuse_curve":
                unsure.setdefault(str(found.values["part"]), []).append(found)
            else:
                objections.append(found)
    objections += [alike[0] for alike in unsure.values()]
    if all(load.serves != "high_water_alarm" for load in evidence.spec.spec.loads.values()):
        objections.append(fires(pumps[0].key, cause="no_alarm"))
    return Examined(len(pumps), tuple(objections))


def feeding(evidence: Evidence, node: str, *, through_switches: bool = True) -> tuple[Bank, ...]:
    """Banks that reach a node with every relay and contactor open, emergency switches too.

    `through_switches`: other hand switches count as closed; else as open.
    """
    shut = ("contactor", "vsr") if through_switches else ("contactor", "vsr", "switch")

    def passes(branch: Branch) -> bool:
        return getattr(branch, "kind", "") not in shut and branch.key not in evidence.emergency

    return banks_at(evidence.circuit, reach(evidence.positive, node, passes))


def _pump_fuse(evidence: Evidence, pump: Load) -> Iterator[Objection]:
    written = evidence.spec.load(pump.key)
    for fuse in evidence.devices("fuse"):
        if fuse.circuit != pump.key or not isinstance(fuse.part, FusePart):
            continue
        rating_a = fuse.part.rating_a
        if written.maker_fuse_a is None:
            yield undecided(fuse.key, "maker_fuse", cause="fuse_large", rating_a=rating_a)
        elif above(rating_a, written.maker_fuse_a):
            yield fires(fuse.key, cause="fuse_large", rating_a=rating_a, limit_a=written.maker_fuse_a)
        if written.locked_rotor_a is None:
            yield undecided(fuse.key, "locked_rotor", cause="blocked", rating_a=rating_a)
        else:
            yield from _pump_blocked(fuse, fuse.part, written.locked_rotor_a)


def _pump_blocked(fuse: SeriesDevice, part: FusePart, blocked_a: float) -> Iterator[Objection]:
    """No fuse opens at its rating or below; above it the curve decides, and one from memory decides nothing."""
    curve = time_curve(part)
    known = curve is not None and curve.tells_clearing
    least_a = curve.clearing_a(math.inf) if curve is not None else None
    needed_a = part.rating_a * blocked_a / least_a if least_a else None
    facts: Values = {
        "cause": "blocked", "part": part.title, "rating_a": part.rating_a, "blocked_a": blocked_a,
        "clears_above_a": least_a, "largest_a": needed_a,
    }  # fmt: skip
    if not above(blocked_a, part.rating_a):
        yield fires(fuse.key, **facts)
    elif curve is None or not known or curve.remembered:
        yield undecided(fuse.key, "fuse_curve", None if curve is None else curve.citation, **facts)
    elif math.isinf(curve.clearing_s(blocked_a)):
        yield fires(fuse.key, **facts)


def _pump_reserve(evidence: Evidence, pump: Load) -> Iterator[Objection]:
    banks = feeding(evidence, pump.positive)
    keys = {bank.key for bank in banks}
    usable_wh = sum(held.usable_wh for held in evidence.energy.banks if held.bank in keys)
    worst = next(day for day in evidence.energy.days if day.season == evidence.energy.worst_season)
    used_wh = dict(worst.loads_wh)
    left_on = [x for x in evidence.circuit.loads if x.away or x.always_on or x.key == pump.key]
    here = [x for x in left_on if keys & {bank.key for bank in feeding(evidence, x.positive)}]
    day_wh = sum(used_wh[x.key] for x in here)
    reserve_h = HOURS_PER_DAY * usable_wh / day_wh if day_wh > 0 else math.inf
    if banks and above(RESERVE_H, reserve_h):
        capacity_ah = sum(evidence.capacity_ah(bank) for bank in banks)
        yield fires(
            pump.key, cause="reserve", bank=banks[0].key, reserve_h=reserve_h, limit_h=RESERVE_H, day_wh=day_wh,
            usable_wh=usable_wh, capacity_ah=capacity_ah, capacity_needed_ah=capacity_ah * RESERVE_H / reserve_h,
        )  # fmt: skip
