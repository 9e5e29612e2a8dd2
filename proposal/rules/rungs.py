"""Rungs of the voltage ladder against each other: their edges, the facts of a pair, which source reaches which bank."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.rules.finding import Evidence
from proposal.rules.paths import all_but, reach
from proposal.studies.ladder.result import Ladder, Rung


def low_v(rung: Rung) -> float:
    """Lowest voltage at which a setting may act at 25 °C [V]."""
    return rung.value_v - rung.tolerance_v


def high_v(rung: Rung) -> float:
    """Highest voltage at which a setting may act at 25 °C [V]."""
    return rung.value_v + rung.tolerance_v


def pair(lower: Rung, upper: Rung) -> Values:
    """Two rungs of which the first ought to lie below the second, and what lies between them [V], less than nothing."""
    return {
        "lower_item": lower.item,
        "lower_v": lower.value_v,
        "lower_tolerance_v": lower.tolerance_v,
        "upper_item": upper.item,
        "upper_v": upper.value_v,
        "upper_tolerance_v": upper.tolerance_v,
        "margin_v": low_v(upper) - high_v(lower),
    }


def in_reach(evidence: Evidence, item: str, bank: Bank) -> bool:
    """Whether a source or DC-DC charger charges a bank once every relay is closed; emergency switches stay open."""
    start = {s.key: s.positive for s in evidence.circuit.sources}
    start |= {c.key: c.out_positive for c in evidence.circuit.converters}
    reached = reach(evidence.positive, start[item], all_but(*evidence.emergency))
    return any(battery.positive in reached for battery in evidence.strings(bank))


def highest_charge(evidence: Evidence, ladder: Ladder, bank: Bank) -> Rung | None:
    """The highest absorption voltage that reaches a bank."""
    return max((r for r in ladder.all("absorption") if in_reach(evidence, r.item, bank)), key=high_v, default=None)
