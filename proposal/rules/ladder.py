"""Settings that stand in each other's way: pairs of rungs of the voltage ladder in the wrong order."""

from collections.abc import Iterator

from proposal.circuit.model import Bank, SeriesDevice
from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.ladder_sources import equipment_overlaps, source_overlaps
from proposal.rules.rungs import high_v, highest_charge, low_v, pair
from proposal.rules.thresholds import share_at
from proposal.studies.ladder.result import Ladder, Rung
from proposal.studies.ladder.study import voltage_ladder


def settings_overlap(evidence: Evidence) -> Examined:
    """55. A setting that cannot do what it is for, because of another one: two rungs in the wrong order.

    Compared as set at 25 °C, each with its own tolerance; what temperature makes of charging is for checks 29 and 36,
    save where a relay then joins no more. Every pair with its margin [V] and the voltage that would do. Practice.
    """
    ladder = voltage_ladder(evidence.spec, evidence.circuit, evidence.catalogue)
    objections: list[Objection] = []
    contactors = tuple(b for b in evidence.circuit.banks if b.through is not None)
    for bank in contactors:
        objections += _controller(evidence, ladder, bank, evidence.circuit.device[str(bank.through)])
    managed = tuple(b for b in evidence.circuit.banks if evidence.strings(b)[0].cut_off)
    for bank in managed:
        objections += _management(evidence, ladder, bank)
    objections += source_overlaps(evidence, ladder)
    objections += equipment_overlaps(evidence, ladder)
    inverters = sum(1 for load in evidence.circuit.loads if load.inverter_id is not None)
    relays = sum(1 for _ in evidence.devices("vsr"))
    count = len(contactors) + len(managed) + len(evidence.circuit.sources) + inverters + relays
    return Examined(count, tuple(objections))


def _controller(evidence: Evidence, ladder: Ladder, bank: Bank, contactor: SeriesDevice) -> Iterator[Objection]:
    """What opens the contactor: above all charging and below the management, and the other way round underneath."""
    key = contactor.key
    over, under = ladder.of(key, "opens_above"), ladder.of(key, "opens_below")
    if over is None or under is None:
        yield undecided(key, "controller_settings", cause="controller")
    if over is not None:
        yield from _opens_above(evidence, ladder, bank, over)
    if under is not None:
        yield from _opens_below(evidence, ladder, bank, under)
    if over is not None and under is not None and above(high_v(under), low_v(over)):
        facts: Values = {**pair(under, over), "set_to_v": low_v(over) - under.tolerance_v}
        yield fires(key, cause="window_empty", **facts)


def _opens_above(evidence: Evidence, ladder: Ladder, bank: Bank, over: Rung) -> Iterator[Objection]:
    charge = highest_charge(evidence, ladder, bank)
    if charge is not None and above(high_v(charge), low_v(over)):
        facts: Values = {
            **pair(charge, over), "set_to_v": high_v(charge) + over.tolerance_v,
            "charge_to_v": low_v(over) - charge.tolerance_v,
        }  # fmt: skip
        yield fires(over.item, cause="opens_in_charge", **facts)
    cut = ladder.of(bank.key, "cuts_above")
    if cut is not None and above(high_v(over), low_v(cut)):
        facts = {**pair(over, cut), "set_to_v": low_v(cut) - over.tolerance_v}
        yield fires(over.item, cause="opens_after_management", **facts)
    full = ladder.of(bank.key, "rest_full")
    if full is not None and above(full.value_v, low_v(over)):
        facts = {**pair(full, over), "set_to_v": full.value_v + over.tolerance_v}
        yield fires(over.item, cause="opens_at_rest", **facts)


def _opens_below(evidence: Evidence, ladder: Ladder, bank: Bank, under: Rung) -> Iterator[Objection]:
    cut = ladder.of(bank.key, "cuts_below")
    if cut is not None and above(high_v(cut), low_v(under)):
        facts: Values = {**pair(cut, under), "set_to_v": high_v(cut) + under.tolerance_v}
        yield fires(under.item, cause="opens_below_management", **facts)
    low = ladder.of(bank.key, "rest_low")
    if low is not None and above(high_v(under), low.value_v):
        facts = {
            **pair(under, low), "set_to_v": low.value_v - under.tolerance_v,
            "left_share": share_at(evidence, bank, high_v(under)),
        }  # fmt: skip
        yield fires(under.item, cause="opens_too_early", **facts)


def _management(evidence: Evidence, ladder: Ladder, bank: Bank) -> Iterator[Objection]:
    """Charging ends before the management has to; where a controller opens first, that one is looked at instead."""
    over, under = ladder.of(bank.key, "cuts_above"), ladder.of(bank.key, "cuts_below")
    if over is None or under is None:
        yield undecided(bank.key, "management_voltages", cause="management")
    if over is None or (bank.through is not None and ladder.of(bank.through, "opens_above") is not None):
        return
    charge = highest_charge(evidence, ladder, bank)
    if charge is not None and above(high_v(charge), low_v(over)):
        facts: Values = {**pair(charge, over), "charge_to_v": low_v(over) - charge.tolerance_v}
        yield fires(bank.key, cause="trips_management", **facts)
