"""Code notes of the family: how the option stands on each, from the checks that test it."""

from collections.abc import Iterable
from typing import Literal

from proposal.codes.family import CodeNote, RuleFamily
from proposal.rules.registry import LIMIT_OF_FAMILY, CheckRun

NoteOutcome = Literal["passed", "failed", "undecided", "to_be_tested"]


def note_outcomes(family: RuleFamily, runs: Iterable[CheckRun]) -> tuple[tuple[CodeNote, NoteOutcome], ...]:
    """Every note of a family with its outcome, in the family's order.

    failed: one of its checks fires, accepted or not. undecided: one could not be decided, or all that looked rest on
    limits from memory. passed: all looked and found nothing. to_be_tested: no check tests it, or none found an item to
    look at, so that it goes onto the test sheet.
    Raises KeyError for a note that names a check that was not run.
    """
    by_id = {run.check.id: run for run in runs}
    return tuple((note, _outcome([by_id[check] for check in note.checks])) for note in family.code_notes)


def _outcome(runs: list[CheckRun]) -> NoteOutcome:
    if any(run.fired for run in runs):
        return "failed"
    if any(run.undecided for run in runs):
        return "undecided"
    looked = [run for run in runs if run.tested]
    if looked and all(run.citation.status == "from memory" and run.check.id in LIMIT_OF_FAMILY for run in looked):
        return "undecided"
    return "passed" if looked else "to_be_tested"
