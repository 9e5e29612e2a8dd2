"""Consents that an option needs beside the papers that the spec names; where the electrician's part begins."""

from collections.abc import Iterable
from typing import Literal

from proposal.results.model import ConsentResult, LimitsResult, OptionResult, PaperResult
from proposal.rules.consents import NeededConsent, needed_consents
from proposal.rules.finding import Evidence
from proposal.spec.project import Spec
from proposal.spec.vessel import Consent


def consent_rows(evidence: Evidence) -> tuple[ConsentResult, ...]:
    """Each consent that the option needs, and whether the paper is there."""
    papers = evidence.spec.spec.consents
    return tuple(_row(need, [p for p in papers if p.settles == need.code]) for need in needed_consents(evidence))


def _row(need: NeededConsent, papers: list[Consent]) -> ConsentResult:
    """With the first paper that is there, else with the first that is asked for."""
    given = next((paper for paper in papers if paper.given is not None), None)
    paper = given or next(iter(papers), None)
    if paper is None:
        return ConsentResult(need.code, need.item, need.values, "missing", "", "", "", "")
    date = paper.given.isoformat() if paper.given is not None else ""
    state: Literal["there", "asked"] = "there" if given is not None else "asked"
    return ConsentResult(need.code, need.item, need.values, state, paper.who, paper.what, date, paper.where)


def limits_row(spec: Spec, options: Iterable[OptionResult]) -> LimitsResult:
    """Where the mains side begins, and papers that settle none of the consents that are derived."""
    written = spec.mains
    mains = any(need.code == "mains_electrician" for option in options for need in option.consents)
    papers = [paper for paper in spec.consents if paper.settles is None]
    return LimitsResult(
        mains,
        written.by if written is not None else "",
        written.begins_at if written is not None else "",
        tuple(PaperResult(p.who, p.what, p.given.isoformat() if p.given is not None else "", p.where) for p in papers),
    )
