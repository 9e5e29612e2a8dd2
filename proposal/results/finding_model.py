"""Rows that stand in an option's results and in a difference between two of them."""

from typing import Literal

from proposal.facts import Severity, Values
from proposal.frozen import frozen
from proposal.sources import Status


@frozen
class CitationResult:
    """Where a number or rule comes from."""

    source: str
    clause: str
    status: Status


@frozen
class Finding:
    """One objection, or one thing to find out first. `refused_to`: who wants to accept it, where nobody can."""

    id: str
    number: int
    severity: Severity
    outcome: Literal["fires", "undecided"]
    item: str
    designation: str
    title: str
    where: str
    values: Values
    citation: CitationResult
    accepted_by: str | None
    accepted_because: str | None
    refused_to: str | None


def is_danger(finding: Finding) -> bool:
    """Whether a finding is a danger that fires: it stands on the first page, accepted or not."""
    return finding.severity == "danger" and finding.outcome == "fires"


def is_open_danger(finding: Finding) -> bool:
    """Whether a finding is a danger that fires and that nobody has accepted."""
    return is_danger(finding) and finding.accepted_by is None
