"""Fuses, switches, relays and buses: can each break what may flow, and stand the voltage."""

from proposal.circuit.model import Bank, Battery, SeriesDevice
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.paths import all_but, banks_at, reach
from proposal.sources import Citation
from proposal.spec.pricebook import FusePart

ASSUMED_SHARE = 2.0
"""A fault current that rests on an assumed battery counts this many times before a fuse passes. Common practice."""
TABLE_VOLTAGES_V = (12.0, 24.0)


def breaking_capacity_low(evidence: Evidence) -> Examined:
    """4. A fuse that cannot break the fault current at its place, all sources summed, or that was not found at all.

    I_interrupt < max(I_fault at its two ends) [A]. Where the fault current rests on a battery whose maker states no
    figure, neither verdict rests on the assumption alone: it fires on what is known, and passes only when twice the
    assumed share is broken too. Flooded banks at 12 and 24 V besides: the family's table by cranking rating.
    """
    fuses = tuple(evidence.devices("fuse"))
    found = [_breaks(evidence, fuse) for fuse in fuses]
    return Examined(len(fuses), tuple(objection for objection in found if objection is not None))


def _breaks(evidence: Evidence, fuse: SeriesDevice) -> Objection | None:
    faults = evidence.design.faults
    node = max((fuse.from_node, fuse.to_node), key=faults.at)
    fault_a = faults.at(node)
    if not isinstance(fuse.part, FusePart):
        window = evidence.design.windows[fuse.key]
        return fires(
            fuse.key, cause="no_part", needed_a=fault_a, highest_v=evidence.highest_v,
            smallest_a=window.smallest_a, largest_a=min(window.largest_a, fuse.maker_fuse_a or window.largest_a),
        )  # fmt: skip
    interrupt_a = fuse.part.interrupt_a
    assumed = _assumed_share(evidence, node)
    assumed_a = sum(assumed.values())
    if above(fault_a - assumed_a, interrupt_a):
        return fires(fuse.key, cause="fault", interrupt_a=interrupt_a, needed_a=fault_a, node=node)
    if above(fault_a + (ASSUMED_SHARE - 1.0) * assumed_a, interrupt_a):
        return undecided(
            fuse.key, "short_circuit_current", cause="fault", interrupt_a=interrupt_a, needed_a=fault_a,
            assumed_a=assumed_a, bank=max(assumed, key=lambda key: assumed[key]), node=node,
        )  # fmt: skip
    return _below_table(evidence, fuse, interrupt_a)


def _assumed_share(evidence: Evidence, node: str) -> dict[str, float]:
    """What batteries without a maker's figure give into the fault at a node [A], by bank."""
    fault = evidence.design.faults.by_node.get(node)
    share: dict[str, float] = {}
    for key, amps in fault.feeds if fault is not None else ():
        battery = evidence.circuit.battery.get(key)
        if battery is not None and amps > 0 and key in evidence.assumed_batteries:
            share[battery.bank] = share.get(battery.bank, 0.0) + amps
    return share


def _below_table(evidence: Evidence, fuse: SeriesDevice, interrupt_a: float) -> Objection | None:
    flooded = [bank for bank in evidence.circuit.banks if bank.chemistry == "flooded"]
    if evidence.circuit.system_v not in TABLE_VOLTAGES_V or _least_a(evidence, fuse, flooded) <= interrupt_a:
        return None
    reached = reach(evidence.positive, fuse.from_node, all_but(*evidence.emergency))
    here = [bank for bank in banks_at(evidence.circuit, reached) if bank in flooded]
    cranking_a = _cranking_a(evidence, here)
    least = evidence.family.minimum_interrupt_a(cranking_a, fuse.at_battery)
    if least is None or not above(least.value, interrupt_a):
        return None
    return fires(
        fuse.key, least.citation, cause="table", interrupt_a=interrupt_a, needed_a=least.value, cranking_a=cranking_a
    )


def _cranking_a(evidence: Evidence, banks: list[Bank]) -> float | None:
    """Sum of the cranking ratings of banks [A]; None where none is stated."""
    ratings = [battery.part.cranking_a for bank in banks for battery in evidence.strings(bank)]
    return sum(rating for rating in ratings if rating is not None) or None


def _least_a(evidence: Evidence, fuse: SeriesDevice, banks: list[Bank]) -> float:
    """What the family's table asks of a fuse if all these banks feed it [A]; 0 where it asks nothing."""
    least = evidence.family.minimum_interrupt_a(_cranking_a(evidence, banks), fuse.at_battery)
    return least.value if least is not None else 0.0


def battery_without_device(evidence: Evidence) -> Examined:
    """5. A parallel bank above the family's capacity in which a battery has no device of its own."""
    limit = evidence.family.device_per_battery_above_ah()
    banks = [b for b in evidence.circuit.banks if len(b.strings) > 1]
    if limit is None:
        return Examined(0)
    objections = []
    for bank in banks:
        bare = [battery.key for battery in evidence.strings(bank) if not _own_device(evidence, battery)]
        if bare and above(evidence.capacity_ah(bank), limit.value):
            objections.append(
                fires(
                    bank.key,
                    limit.citation,
                    capacity_ah=evidence.capacity_ah(bank),
                    limit_ah=limit.value,
                    battery_count=len(bank.strings),
                    without_count=len(bare),
                )
            )
    return Examined(len(banks), tuple(objections))


def _own_device(evidence: Evidence, battery: Battery) -> bool:
    """Whether nothing but a fuse leaves the battery's positive post."""
    at_post = [branch for _, branch in evidence.positive.get(battery.positive, ())]
    return bool(at_post) and all(isinstance(b, SeriesDevice) and b.kind == "fuse" for b in at_post)


IEC_POLARITY = Citation("iec60947_2", "breakers marked with polarity break one direction only", "from memory")


def device_voltage_low(evidence: Evidence) -> Examined:
    """6. A device whose DC voltage rating is below the highest system voltage; a polarised breaker fed from both sides.

    Highest voltage: `codes.family.highest_system_v`, not the nominal one. Shunts have no voltage
    rating of their own; a fuse that was not found is reported by `breaking_capacity_low`.
    """
    objections: list[Objection] = []
    series = [
        d for d in evidence.devices("fuse", "switch", "contactor", "vsr") if d.kind != "fuse" or d.part is not None
    ]
    parts = [*((d.key, d.part) for d in series), *((b.key, b.part) for b in evidence.circuit.buses)]
    for key, part in parts:
        rated_v = getattr(part, "voltage_max_v", None)
        if rated_v is None:
            wanted_a = evidence.design.wanted_a[key]
            objections.append(undecided(key, "part", wanted_a=wanted_a, highest_v=evidence.highest_v))
        elif above(evidence.highest_v, rated_v):
            objections.append(fires(key, cause="rating", rating_v=rated_v, highest_v=evidence.highest_v))
    objections += [
        fires(fuse.key, IEC_POLARITY, cause="polarised", highest_v=evidence.highest_v)
        for fuse in evidence.devices("fuse")
        if isinstance(fuse.part, FusePart) and fuse.part.polarised and _fed_from_both_sides(evidence, fuse)
    ]
    return Examined(len(parts), tuple(objections))


def _fed_from_both_sides(evidence: Evidence, fuse: SeriesDevice) -> bool:
    """Whether current through a fuse can come from either side: a battery or source lies behind each."""
    giving = {b.positive for b in evidence.circuit.batteries} | {s.positive for s in evidence.circuit.sources}
    giving |= {c.out_positive for c in evidence.circuit.converters}
    passes = all_but(fuse.key, *evidence.emergency)
    return all(giving & reach(evidence.positive, node, passes) for node in (fuse.from_node, fuse.to_node))
