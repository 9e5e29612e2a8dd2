"""Findings that somebody accepts, by name and with a reason. They stay visible; a few kinds nobody can accept."""

import difflib
from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType

from proposal.rules.finding import RawFinding
from proposal.rules.registry import CHECKS
from proposal.spec.options import AcceptedRisk
from proposal.spec.project import Spec
from proposal.spec.references import Complaint


def _always(_: RawFinding) -> bool:
    return True


def _at_a_battery(finding: RawFinding) -> bool:
    return str(finding.values.get("source", "")).startswith("banks.")


def _where_people_sleep(finding: RawFinding) -> bool:
    return bool(finding.values.get("people_sleep"))


NEVER_ACCEPTED: Mapping[str, Callable[[RawFinding], bool]] = MappingProxyType(
    {
        "positive_unfused": _at_a_battery,
        "breaking_capacity_low": _always,
        "vent_small": _where_people_sleep,
        "gas_reaches_people": _where_people_sleep,
    }
)
"""Where no reason makes it tolerable: an unfused battery, a fuse that cannot break, gas where people sleep.

Common practice, no source.
"""


def acceptable(finding: RawFinding) -> bool:
    """Whether somebody may accept this finding."""
    never = NEVER_ACCEPTED.get(finding.id)
    return never is None or not never(finding)


def entry_for(finding: RawFinding, accepted: Iterable[AcceptedRisk]) -> AcceptedRisk | None:
    """The entry that names a finding, one for its item before one for every item; None: there is none."""
    named = [entry for entry in accepted if entry.finding == finding.id]
    exact = next((entry for entry in named if entry.item == finding.item), None)
    return exact or next((entry for entry in named if not entry.item), None)


def acceptance(finding: RawFinding, accepted: Iterable[AcceptedRisk]) -> AcceptedRisk | None:
    """Who accepts a finding and why; None: nobody does, or nobody can."""
    return entry_for(finding, accepted) if acceptable(finding) else None


def refusal(finding: RawFinding, accepted: Iterable[AcceptedRisk]) -> AcceptedRisk | None:
    """Who wants to accept a finding that nobody can accept."""
    return None if acceptable(finding) else entry_for(finding, accepted)


def idle_acceptances(findings: Iterable[RawFinding], accepted: Iterable[AcceptedRisk]) -> tuple[AcceptedRisk, ...]:
    """Entries that name nothing that was found: the finding is gone, or the item is another."""
    entries = tuple(accepted)
    used = {id(entry) for finding in findings if (entry := entry_for(finding, entries)) is not None}
    return tuple(entry for entry in entries if id(entry) not in used)


def acceptance_complaints(spec: Spec) -> Iterator[Complaint]:
    """Entries that accept a finding of which no check knows: misspelt, and so without effect."""
    known = {check.id for check in CHECKS}
    for option_id, option in spec.options.items():
        for number, entry in enumerate(option.accepted):
            if entry.finding not in known:
                near = difflib.get_close_matches(entry.finding, known, n=3, cutoff=0.6)
                loc = ("options", option_id, "accepted", number, "finding")
                yield loc, f"“{entry.finding}” is no finding", ", ".join(near) or "an id that `proposal rules` lists"
