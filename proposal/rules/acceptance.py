"""Findings that somebody accepts, by name and with a reason. They stay visible; some nobody can accept."""

from collections.abc import Iterable

from proposal.rules.finding import RawFinding
from proposal.spec.options import AcceptedRisk

NEVER_ACCEPTED = frozenset({"positive_unfused", "breaking_capacity_low"})
"""An unfused positive, and a fuse that cannot break: no reason makes either tolerable. Common practice, no source."""
NEVER_WHERE_PEOPLE_SLEEP = frozenset({"vent_small", "gas_reaches_people"})
"""Gas of batteries where people sleep: as little."""


def acceptable(finding: RawFinding) -> bool:
    """Whether anybody can accept a finding at all."""
    if finding.id in NEVER_WHERE_PEOPLE_SLEEP and finding.values.get("people_sleep"):
        return False
    return finding.id not in NEVER_ACCEPTED


def acceptance(finding: RawFinding, accepted: Iterable[AcceptedRisk]) -> AcceptedRisk | None:
    """Who accepts a finding and why: the entry for its item before one for every item; None: nobody, or nobody can."""
    if not acceptable(finding):
        return None
    named = [entry for entry in accepted if entry.finding == finding.id]
    exact = next((entry for entry in named if entry.item == finding.item), None)
    return exact or next((entry for entry in named if not entry.item), None)


def idle_acceptances(findings: Iterable[RawFinding], accepted: Iterable[AcceptedRisk]) -> tuple[AcceptedRisk, ...]:
    """Entries that accept nothing: misspelt, for a finding that is gone, or for one that nobody can accept."""
    entries = tuple(accepted)
    used = {id(entry) for finding in findings if (entry := acceptance(finding, entries)) is not None}
    return tuple(entry for entry in entries if id(entry) not in used)


def open_dangers(findings: Iterable[RawFinding], accepted: Iterable[AcceptedRisk]) -> tuple[RawFinding, ...]:
    """Dangers that fire and that nobody accepts."""
    entries = tuple(accepted)
    return tuple(
        f for f in findings if f.severity == "danger" and f.outcome == "fires" and acceptance(f, entries) is None
    )


def on_first_page(finding: RawFinding) -> bool:
    """Whether the client reads it on page one: every danger that fires, accepted or not."""
    return finding.severity == "danger" and finding.outcome == "fires"
