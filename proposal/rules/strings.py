"""Batteries in one bank: joined while unequal, tapped in the middle, in series without leave."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.parts.chemistry import battery_resistance, cell_count, charge_share
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.studies.sharing.equations import largest_link_ohm
from proposal.studies.sharing.result import Sharing

LARGEST_SPREAD = 0.1
"""Largest path resistance over the mean of a bank's strings, less 1. Common practice, no source."""
APART_V = 0.1
"""Difference of 12 V batteries above which they are brought to one voltage before they are joined. Common practice."""
_CELLS_OF_12V = {"lithium": 4}


def parallel_paths_uneven(evidence: Evidence) -> Examined:
    """22. Resistances of the paths through the strings of a bank more than 10 % above their mean. Common practice.

    A path counts by the share that it takes of a current from the whole bank, in the solved network. Undecided where
    the batteries' own resistance is assumed and twice as much, or half, would turn the verdict.
    """
    objections = []
    for found in evidence.sharing:
        spread = found.spread
        assumed = found.bank in evidence.banks_of_assumed_resistance
        if assumed and above(2.0 * spread, LARGEST_SPREAD) and not above(spread / 2.0, LARGEST_SPREAD):
            objections.append(undecided(found.bank, "battery_resistance", **_uneven(evidence, found)))
        elif above(spread, LARGEST_SPREAD):
            objections.append(fires(found.bank, **_uneven(evidence, found)))
    return Examined(len(evidence.sharing), tuple(objections))


def _uneven(evidence: Evidence, found: Sharing) -> Values:
    """What is uneven, and what a chain needs: leads from both its ends, or links of a size."""
    hardest = found.hardest
    facts: Values = {
        "bank": found.bank, "spread_share": found.spread, "limit_share": LARGEST_SPREAD, "battery": hardest.key,
        "most_share": hardest.share, "even_share": 1.0 / len(found.strings), "current_a": hardest.usual_a,
    }  # fmt: skip
    chain = found.chain
    if chain is None:
        return {**facts, "cause": "leads"}
    take_off = evidence.spec.bank(found.bank).take_off
    if take_off == "same_end" and not above(chain.both_ends, LARGEST_SPREAD):
        return {**facts, "cause": "same_end", "both_ends_share": chain.both_ends}
    largest_ohm = largest_link_ohm(len(found.strings), chain.battery_ohm, take_off, LARGEST_SPREAD)
    link = evidence.circuit.conductor[f"{found.strings[1].key}.link_positive"]
    for size in evidence.family.sizes:
        if not above(evidence.family.resistance_20c_ohm_per_m(size).value * link.length_m, largest_ohm):
            return {**facts, "cause": "links", "size": size.label}
    return {**facts, "cause": "own_bus"}


def batteries_joined_unequal(evidence: Evidence) -> Examined:
    """23. Batteries of one bank more than 0.1 V apart (at 12 V) when they are joined. Common practice, no source.

    Measured voltages decide, unless the batteries are brought to one voltage first. In parallel the first current is
    ΔU over the resistance of both batteries and their leads. Banks that stay as fitted are joined already.
    """
    objections, count = [], 0
    for bank in evidence.circuit.banks:
        spec = evidence.spec.bank(bank.key)
        if spec.parallel * spec.series < 2 or spec.stays:
            continue
        count += 1
        if spec.equalised:
            continue
        if len(spec.rest_voltages_v) < 2:
            objections.append(undecided(bank.key, "rest_voltages", battery_count=spec.parallel * spec.series))
            continue
        found = _apart(evidence, bank, spec.rest_voltages_v)
        objections += [found] if found is not None else []
    return Examined(count, tuple(objections))


def _apart(evidence: Evidence, bank: Bank, rest_v: tuple[float, ...]) -> Objection | None:
    battery = evidence.strings(bank)[0]
    cells = cell_count(battery.part)
    limit_v = APART_V * (cells / _CELLS_OF_12V.get(bank.chemistry, 6))
    low_v, high_v = min(rest_v), max(rest_v)
    if not above(high_v - low_v, limit_v):
        return None
    apart = charge_share(bank.chemistry, high_v, cells) - charge_share(bank.chemistry, low_v, cells)
    facts: Values = {"difference_v": high_v - low_v, "limit_v": limit_v, "apart_share": apart}
    if len(bank.strings) < 2:
        return fires(bank.key, cause="series", **facts)
    leads_ohm = sum(
        r.resistance_ohm
        for r in evidence.design.flow.networks["usual"].resistors
        if r.key.startswith((f"{bank.strings[0]}.", f"{bank.strings[1]}."))
    )
    loop_ohm = 2.0 * battery_resistance(battery.part).for_fault_ohm + leads_ohm
    return fires(bank.key, cause="parallel", **facts, current_a=(high_v - low_v) / loop_ohm, resistance_ohm=loop_ohm)


def tapped_mid_bank(evidence: Evidence) -> Examined:
    """25. A load fed from the middle of a bank in series: what it takes, half the bank never gives.

    The uneven charge grows by I·t each day [Ah]. With a balancer it depends on what that moves. Common practice.
    """
    objections, count = [], 0
    for load in evidence.circuit.loads:
        written = evidence.spec.load(load.key)
        side = evidence.circuit.bus[load.bus].side
        rows = [b for b in evidence.circuit.banks if evidence.strings(b)[0].series_count > 1]
        if not rows:
            continue
        count += 1
        if not written.tapped:
            continue
        half_v = evidence.circuit.system_v / 2.0
        amps = written.current_a if written.current_a is not None else (written.power_w or 0.0) / half_v
        bank = next((b for b in rows if evidence.circuit.bus[b.bus].side == side), rows[0])
        facts: Values = {
            "bank": bank.key, "current_a": amps, "uneven_ah": amps * written.hours_h * written.duty,
            "power_w": amps * half_v,
        }  # fmt: skip
        if evidence.spec.bank(bank.key).balanced:
            objections.append(undecided(load.key, "balancer_current", **facts))
        else:
            objections.append(fires(load.key, **facts))
    return Examined(count, tuple(objections))


def series_not_allowed(evidence: Evidence) -> Examined:
    """26. Lithium batteries in series without their maker's leave, without balancing, or with too weak a switch.

    The switch of one battery's management opens against the whole string: it must break the highest voltage that the
    system reaches. Common practice, no source.
    """
    objections: list[Objection] = []
    rows = [b for b in evidence.lithium if evidence.strings(b)[0].series_count > 1]
    for bank in rows:
        battery = evidence.strings(bank)[0]
        part, count = battery.part, battery.series_count
        balanced = evidence.spec.bank(bank.key).balanced
        known: list[Objection] = []
        if part.series_max is not None and count > part.series_max:
            known.append(fires(bank.key, cause="leave", battery_count=count, allowed_count=part.series_max))
        if balanced is False:
            known.append(fires(bank.key, cause="balancing", battery_count=count))
        if part.switch_max_v is not None and above(evidence.highest_v, part.switch_max_v):
            known.append(fires(bank.key, cause="switch", voltage_v=evidence.highest_v, limit_v=part.switch_max_v))
        if not known and None in (part.series_max, balanced, part.switch_max_v):
            known.append(undecided(bank.key, "series_facts", battery_count=count, voltage_v=evidence.highest_v))
        objections += known
    return Examined(len(rows), tuple(objections))
