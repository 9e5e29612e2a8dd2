"""The project of an archive evaluated again by this release, and held against the results that were sealed."""

from collections.abc import Mapping
from pathlib import Path

from proposal.archive.bag import PAYLOAD
from proposal.archive.facts import PROJECT, RESULTS, SealFacts
from proposal.archive.make import as_sealed, made_with, row_of
from proposal.archive.moved import ON_DAYS, ON_DAYS_OF_RECORD, Moved, causes, count_values, moved
from proposal.errors import ProposalError
from proposal.frozen import frozen
from proposal.results.codec import from_json, plain
from proposal.results.computed import computed
from proposal.results.store import DaysOf

LONGEST_PROBLEM = 500


@frozen
class Recomputed:
    """What came of it: the values that moved of all `values_count`, or the `problem` for which there is nothing.

    `causes`: name, then and now of versions that are otherwise; `left_out`: sections that rest on days left out.
    """

    problem: str
    values_count: int
    moved: tuple[Moved, ...]
    causes: tuple[tuple[str, str, str], ...]
    left_out: tuple[str, ...]

    @property
    def unexplained(self) -> bool:
        """Whether something is otherwise though the same versions computed it."""
        return bool(self.moved or self.problem) and not self.causes


def recompute(root: Path, facts: SealFacts, days: DaysOf | None) -> Recomputed:
    """Evaluate the project in the folder of an intact archive.

    Parameters: days, what simulates them; None, or a seal that has none, leaves out what rests on them. Raises nothing
    of its own: a project that today's release refuses is a `problem`.
    """
    try:
        then = plain(from_json((root / PAYLOAD / RESULTS).read_text(encoding="utf-8")))
        made = computed(root / PAYLOAD / PROJECT, days=days if facts.days else None).evaluated
        now = plain(as_sealed(made, row_of(facts), facts.state).results)
    except (ProposalError, ValueError, RecursionError) as error:
        problem = " ".join(str(error).split())[:LONGEST_PROBLEM]
        versions = made_with(None)
        # nothing was made that could name its rules: only what both know is held against each other
        known: Mapping[str, str] = {name: text for name, text in facts.made_with.items() if name in versions}
        return Recomputed(problem, 0, (), causes(known, versions), ())
    left_out = facts.days and days is None
    return Recomputed(
        "",
        count_values(then),
        moved(then, now, days=not left_out),
        causes(facts.made_with, made_with(made.results)),
        tuple(sorted([*ON_DAYS, *ON_DAYS_OF_RECORD])) if left_out else (),
    )
