"""Settings of charge sources, relays and inverters that stand in each other's way: the rest of check 55."""

from collections.abc import Iterator

from proposal.circuit.model import Bank, Load, SeriesDevice, Source
from proposal.facts import Values
from proposal.parts.chemistry import cell_count
from proposal.rules.finding import Evidence, Objection, above, fires, undecided
from proposal.rules.paths import all_but, reach
from proposal.rules.rungs import high_v, in_reach, low_v, pair
from proposal.rules.thresholds import share_at
from proposal.sources import Citation
from proposal.studies.ladder.result import Ladder, Rung

HOLD_V_PER_CELL = 3.475
"""Highest standby voltage on a maker's sheet: 13.9 V for four cells of lithium iron phosphate."""
GENTLE_V_PER_CELL = 3.40
"""What the trade holds lithium at: 13.6 V for four cells, from memory."""
HOLD = Citation("maker_sheets", "standby voltage of a lithium iron phosphate battery", "corroborated")
GENTLE = Citation("memory", "", "from memory")


def source_overlaps(evidence: Evidence, ladder: Ladder) -> Iterator[Objection]:
    """A source's own settings among each other, and its float against what the banks rest at."""
    for source in evidence.circuit.sources:
        yield from _own(ladder, source)
        held = ladder.of(source.key, "float")
        if held is not None:
            yield from _float(evidence, ladder, source, held)


def _own(ladder: Ladder, source: Source) -> Iterator[Objection]:
    charge, held = ladder.of(source.key, "absorption"), ladder.of(source.key, "float")
    boost, again = ladder.of(source.key, "equalise"), ladder.of(source.key, "restarts_below")
    if charge is not None and held is not None and above(held.value_v, charge.value_v):
        yield fires(source.key, cause="float_above_absorption", **pair(held, charge), set_to_v=charge.value_v)
    if charge is not None and boost is not None and above(charge.value_v, boost.value_v):
        yield fires(source.key, cause="equalise_below_absorption", **pair(charge, boost), set_to_v=charge.value_v)
    if held is not None and again is not None and above(high_v(again), held.value_v):
        facts: Values = {**pair(again, held), "set_to_v": held.value_v - again.tolerance_v}
        yield fires(source.key, cause="restarts_in_float", **facts)


def _float(evidence: Evidence, ladder: Ladder, source: Source, held: Rung) -> Iterator[Objection]:
    for bank in evidence.circuit.banks:
        if not in_reach(evidence, source.key, bank):
            continue
        full = ladder.of(bank.key, "rest_full")
        if bank.chemistry == "lithium":
            yield from _hold(evidence, source, held, bank)
        elif full is not None and above(full.value_v, low_v(held)):
            facts: Values = {**pair(full, held), "bank": bank.key, "set_to_v": full.value_v + held.tolerance_v}
            if full.citation.status == "from memory":
                yield undecided(source.key, "resting_voltage", full.citation, cause="float_below_rest", **facts)
            else:
                yield fires(source.key, cause="float_below_rest", **facts)


def _hold(evidence: Evidence, source: Source, held: Rung, bank: Bank) -> Iterator[Objection]:
    """Float that keeps lithium full for good: it ages. What the trade holds it at is remembered and decides nothing."""
    battery = evidence.strings(bank)[0]
    cells = battery.series_count * cell_count(battery.part)
    facts: Values = {
        "bank": bank.key, "float_v": held.value_v, "tolerance_v": held.tolerance_v, "limit_v": cells * HOLD_V_PER_CELL,
        "set_to_v": cells * GENTLE_V_PER_CELL - held.tolerance_v,
    }  # fmt: skip
    if above(high_v(held), cells * HOLD_V_PER_CELL):
        yield fires(source.key, HOLD, cause="float_above_hold", **facts)
    elif above(high_v(held), cells * GENTLE_V_PER_CELL):
        yield undecided(source.key, "lithium_float", GENTLE, cause="float_above_hold", **facts)


def equipment_overlaps(evidence: Evidence, ladder: Ladder) -> Iterator[Objection]:
    """Relays against what charges, inverters against what cuts the batteries off."""
    for relay in evidence.devices("vsr"):
        yield from _relay(evidence, ladder, relay)
    for load in evidence.circuit.loads:
        if load.inverter_id is not None:
            yield from _inverter(evidence, ladder, load)


def _sensed(evidence: Evidence, relay: SeriesDevice) -> tuple[Source, ...]:
    """Charge sources on a side that an open relay senses."""
    link = evidence.spec.option.vsr
    senses = link.senses if link is not None else "both"
    shut = all_but(*(d.key for d in evidence.devices("vsr")), *evidence.emergency)
    near, far = (reach(evidence.positive, node, shut) for node in (relay.from_node, relay.to_node))
    here = {"start": near, "house": far}.get(senses, near | far)
    return tuple(s for s in evidence.circuit.sources if s.positive in here)


def _relay(evidence: Evidence, ladder: Ladder, relay: SeriesDevice) -> Iterator[Objection]:
    """One source alone, or a hot one, that does not reach the joining voltage; a float that lets the relay release."""
    joins, releases = ladder.of(relay.key, "joins"), ladder.of(relay.key, "releases")
    if joins is None or releases is None or evidence.assumed(relay.key, "relay_joins"):
        return
    highest_v = max((s.charge_v for s in evidence.circuit.sources), default=0.0)
    if above(high_v(joins), highest_v):
        return  # that no source at all makes it join is for check 14
    sources = _sensed(evidence, relay)
    charges = [r for s in sources if (r := ladder.of(s.key, "absorption")) is not None]
    weakest = min(charges, key=lambda r: r.low_v, default=None)
    if weakest is not None and above(high_v(joins), weakest.low_v):
        reaches_v = weakest.low_v + weakest.tolerance_v
        facts: Values = {
            **pair(joins, weakest), "source": weakest.item, "reaches_v": reaches_v,
            "set_to_v": weakest.low_v - joins.tolerance_v,
        }  # fmt: skip
        yield fires(relay.key, cause="joins_above_charge", **facts)
    floats = [r for s in sources if (r := ladder.of(s.key, "float")) is not None]
    lowest = min(floats, key=lambda r: r.low_v, default=None)
    if lowest is not None and above(high_v(releases), lowest.low_v):
        facts = {**pair(releases, lowest), "source": lowest.item, "set_to_v": lowest.low_v - releases.tolerance_v}
        yield fires(relay.key, cause="releases_at_float", **facts)


def _inverter(evidence: Evidence, ladder: Ladder, load: Load) -> Iterator[Objection]:
    """An inverter should give up before lithium is cut off, and not while more is left than is planned with."""
    circuit = evidence.circuit
    reached = reach(evidence.positive, load.positive, all_but(*evidence.emergency))
    banks = [b for b in circuit.banks if any(s.positive in reached for s in evidence.strings(b))]
    lithium = [b for b in banks if b.chemistry == "lithium"]
    stops = ladder.of(load.key, "input_min")
    if stops is None:
        if lithium:
            yield undecided(load.key, "inverter_cut_out", cause="inverter")
        return
    for bank in lithium:
        cut = ladder.of(bank.through, "opens_below") if bank.through is not None else None
        cut = cut if cut is not None else ladder.of(bank.key, "cuts_below")
        drop_v = _drop_v(evidence, load, bank)
        if cut is not None and above(low_v(cut), stops.value_v + drop_v):
            facts: Values = {
                **pair(cut, stops), "bank": bank.key, "drop_v": drop_v, "set_to_v": high_v(cut),
            }  # fmt: skip
            yield fires(load.key, cause="inverter_outlasts", **facts)
    house = max(banks, key=lambda b: (b.chemistry == "lithium", evidence.capacity_ah(b)), default=None)
    low = ladder.of(house.key, "rest_low") if house is not None else None
    if house is not None and low is not None and above(stops.value_v, low.value_v):
        facts = {
            **pair(stops, low), "bank": house.key, "set_to_v": low.value_v,
            "left_share": share_at(evidence, house, stops.value_v),
        }  # fmt: skip
        if low.citation.status == "from memory":
            yield undecided(load.key, "resting_voltage", low.citation, cause="inverter_stops_early", **facts)
        else:
            yield fires(load.key, cause="inverter_stops_early", **facts)


def _drop_v(evidence: Evidence, load: Load, bank: Bank) -> float:
    """From a bank's posts to an inverter at full load [V], solved; nothing where that case is not."""
    solution = evidence.design.flow.solutions.get(f"full.{load.key.split('.', 1)[1]}")
    string = evidence.strings(bank)[0]
    if solution is None or load.key not in solution.port_v or string.key not in solution.port_v:
        return 0.0
    return max(0.0, solution.port_v[string.key] - solution.port_v[load.key])
