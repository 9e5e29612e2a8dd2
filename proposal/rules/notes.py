"""Code notes of the family: how the option stands on each, from the checks that test it."""

from collections.abc import Iterable
from typing import Literal

from proposal.circuit.model import Bank
from proposal.codes.family import LOW_VOLTAGE_LIMIT_V, CodeNote
from proposal.frozen import frozen
from proposal.rules.finding import Evidence
from proposal.rules.registry import LIMIT_OF_FAMILY, CheckRun

NoteOutcome = Literal["passed", "failed", "undecided", "to_be_tested", "not_applicable"]
Because = Literal[
    "found_nothing", "fired", "figure_missing", "remembered", "no_check", "nothing_there", "kind", "absent"
]


BUNDLED_ABOVE = 2
"""Conductors that run together without being a bundle: those of one circuit."""


@frozen
class Standing:
    """How an option stands on a note, why, and on how many looks at items that rests."""

    note: CodeNote
    outcome: NoteOutcome
    because: Because
    looked_count: int


def aboard(evidence: Evidence) -> frozenset[str]:
    """The circumstances of `codes.family.Circumstance` that this option has."""
    circuit, vessel = evidence.circuit, evidence.spec.spec.vessel
    lithium_wh = sum(_energy_wh(evidence, bank) for bank in evidence.lithium)
    storage_wh = lithium_wh + sum(_energy_wh(evidence, bank) for bank in evidence.lead)
    found = {
        "petrol": vessel.fuel == "petrol",
        "fuel": vessel.fuel != "none",
        "mains": vessel.mains_aboard,
        "lithium": bool(evidence.lithium),
        "lithium_above_500_wh": lithium_wh > 500.0,
        "lithium_from_600_wh": lithium_wh >= 600.0,
        "storage_above_1_kwh": storage_wh > 1000.0,
        "lead": bool(evidence.lead),
        "solar": any(source.kind == "solar" for source in circuit.sources),
        "engine": evidence.spec.spec.engine is not None,
        "no_engine": evidence.spec.spec.engine is None,
        "starter": circuit.starter is not None,
        "parallel": any(len(bank.strings) > 1 for bank in circuit.banks),
        "bundled": any(c.bundled_count > BUNDLED_ABOVE for c in circuit.conductors),
        "hot": any(found.temperature_factor < 1.0 for found in evidence.design.ampacities.values()),
        "reaches_50_v": evidence.highest_v >= LOW_VOLTAGE_LIMIT_V,
        "engine_space": any(circuit.place[c.place].engine_space for c in circuit.conductors),
    }
    return frozenset(name for name, there in found.items() if there)


def _energy_wh(evidence: Evidence, bank: Bank) -> float:
    """Nominal volts × rated ampere-hours of a bank [Wh]."""
    return sum(b.series_count * b.part.voltage_v * b.part.capacity_ah for b in evidence.strings(bank))


def note_outcomes(evidence: Evidence, runs: Iterable[CheckRun]) -> tuple[Standing, ...]:
    """Every note of the family with its outcome, in the family's order.

    not_applicable: made for another kind of vessel, or for something that this option has not. failed: one of its
    checks fires, accepted or not. undecided: one could not be decided, or its rule and a limit are only remembered.
    passed: those that looked found nothing. to_be_tested: no check tests it, or none found an item to look at.
    What is undecided or to be tested goes onto the test sheet. Raises KeyError for a note that names a check that was
    not run.
    """
    by_id = {run.check.id: run for run in runs}
    kind, has = evidence.spec.spec.vessel.kind, aboard(evidence)
    factors = any(
        citation.status == "from memory"
        for found in evidence.design.ampacities.values()
        for citation in found.citations[1:]
    )
    return tuple(
        _standing(note, kind, has, [by_id[check] for check in note.checks], remembered_factors=factors)
        for note in evidence.family.code_notes
    )


def _standing(
    note: CodeNote, kind: str, has: frozenset[str], runs: list[CheckRun], *, remembered_factors: bool
) -> Standing:
    if not note.applies(kind, has):
        of_kind = not note.kinds or kind in note.kinds
        return Standing(note, "not_applicable", "absent" if of_kind else "kind", 0)
    looked_count = sum(run.tested for run in runs)
    outcome, because = _outcome(note, runs, remembered_factors=remembered_factors)
    return Standing(note, outcome, because, looked_count)


def _outcome(note: CodeNote, runs: list[CheckRun], *, remembered_factors: bool = False) -> tuple[NoteOutcome, Because]:
    if any(run.fired for run in runs):
        return "failed", "fired"
    if any(run.undecided for run in runs):
        return "undecided", "figure_missing"
    looked = [run for run in runs if run.tested]
    unsure = note.basis == "limits" or note.citation.status == "from memory"
    if unsure and any(_remembered_limit(run) for run in looked):
        return "undecided", "remembered"
    if note.basis == "factors" and remembered_factors and looked:
        return "undecided", "remembered"
    if looked:
        return "passed", "found_nothing"
    return "to_be_tested", "nothing_there" if runs else "no_check"


def _remembered_limit(run: CheckRun) -> bool:
    return run.citation.status == "from memory" and run.check.id in LIMIT_OF_FAMILY
