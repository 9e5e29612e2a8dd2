"""Rule outcomes → findings with designation, title, place in the file, and who accepted them."""

from collections.abc import Iterable, Mapping
from pathlib import PurePath
from typing import Literal

from proposal.circuit.model import Circuit
from proposal.facts import SEVERITIES
from proposal.reading import Document
from proposal.results.model import AcceptanceResult, CheckResult, CodeNoteResult, Finding
from proposal.results.rows import citation, nearest
from proposal.rules.acceptance import acceptance, idle_acceptances, refusal
from proposal.rules.finding import Evidence
from proposal.rules.notes import note_outcomes
from proposal.rules.registry import NEED_DAYS, CheckRun
from proposal.spec.options import AcceptedRisk
from proposal.spec.overlay import EffectiveSpec, spec_loc
from proposal.spec.project import Spec


def finding_rows(
    runs: Iterable[CheckRun],
    spec: EffectiveSpec,
    circuit: Circuit,
    names: Mapping[str, str],
    document: Document[Spec],
) -> tuple[Finding, ...]:
    """All findings: by severity, firing before undecided, then by the check's number and the item's key."""
    titles, rows = _titles(circuit, spec.spec), []
    for run in runs:
        for raw in run.findings:
            loc = spec_loc(spec.option_id, raw.item)
            line, column = document.position(loc)
            accepted = acceptance(raw, spec.option.accepted)
            refused = refusal(raw, spec.option.accepted)
            rows.append(
                Finding(
                    id=raw.id,
                    number=raw.number,
                    severity=raw.severity,
                    outcome=raw.outcome,
                    item=raw.item,
                    designation=names.get(raw.item, ""),
                    title=nearest(titles, raw.item),
                    where=f"{PurePath(document.file_of(loc)).name}:{line}:{column}",
                    values=raw.values,
                    citation=citation(raw.citation),
                    accepted_by=accepted.name if accepted is not None else None,
                    accepted_because=accepted.reason if accepted is not None else None,
                    refused_to=refused.name if refused is not None else None,
                )
            )
    rows.sort(key=lambda f: (SEVERITIES.index(f.severity), f.outcome == "undecided", f.number, f.item))
    return tuple(rows)


def acceptance_rows(runs: Iterable[CheckRun], spec: EffectiveSpec, *, with_days: bool) -> tuple[AcceptanceResult, ...]:
    """Every entry of the option's `accepted`, in its order, with what becomes of it."""
    found = [raw for run in runs for raw in run.findings]
    idle = {id(entry) for entry in idle_acceptances(found, spec.option.accepted)}
    refused = {id(entry) for raw in found if (entry := refusal(raw, spec.option.accepted)) is not None}

    def becomes(entry: AcceptedRisk) -> Literal["accepted", "refused", "idle", "not_asked"]:
        if id(entry) in idle:
            return "idle" if with_days or entry.finding not in NEED_DAYS else "not_asked"
        return "refused" if id(entry) in refused else "accepted"

    return tuple(
        AcceptanceResult(entry.finding, entry.item, entry.name, entry.reason, becomes(entry))
        for entry in spec.option.accepted
    )


def _titles(circuit: Circuit, spec: Spec) -> dict[str, str]:
    """The user's own words for circuits, places and routes, by key."""
    places = {f"climate.places.{name}": place.title for name, place in spec.climate.places.items()}
    routes = {f"routes.{name}": route.title or name for name, route in spec.routes.items()}
    return {**circuit.title, **places, **routes}


def check_rows(runs: Iterable[CheckRun]) -> tuple[CheckResult, ...]:
    """How each check went, fired or not, so that none can go missing."""
    return tuple(
        CheckResult(
            run.check.id,
            run.check.number,
            run.check.severity,
            run.tested,
            sum(1 for f in run.findings if f.outcome == "fires"),
            sum(1 for f in run.findings if f.outcome == "undecided"),
            citation(run.citation),
        )
        for run in runs
    )


def note_rows(evidence: Evidence, runs: Iterable[CheckRun]) -> tuple[CodeNoteResult, ...]:
    """The family's topics and how the option stands on each."""
    return tuple(
        CodeNoteResult(
            found.note.id,
            found.note.topic,
            found.note.clause,
            found.note.text,
            found.outcome,
            found.because,
            found.looked_count,
            found.note.checks,
            citation(found.note.citation),
        )
        for found in note_outcomes(evidence, tuple(runs))
    )
