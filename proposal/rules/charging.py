"""Alternators: what they are asked for, and their fuses."""

from proposal.circuit.model import Source
from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.spec.equipment import AlternatorSource
from proposal.studies.flow.cases import USED_SHARE
from proposal.studies.network.case import Case
from proposal.studies.network.solve import solve_quickly

LASTING_SHARE = 0.5
"""Of an alternator's nameplate, where nobody knows what it holds hot. Common practice, no source."""
FUSE_OVER_NAMEPLATE = 1.25


def alternator_overloaded(evidence: Evidence) -> Examined:
    """30. Lithium that takes more than an alternator holds for hours, with nothing to limit it; its fuse too small.

    What it gives with all sources working, and alone; against its hot rating, or half its nameplate where that is not
    known. Fuse: at least 1.25 × nameplate, for a fuse that opens leaves it without its battery. Common practice.
    """
    objections: list[Objection] = []
    count = 0
    for source in evidence.circuit.sources:
        spec = evidence.spec.source(source.key)
        if not isinstance(spec, AlternatorSource):
            continue
        count += 1
        if evidence.lithium and not spec.limited:
            found = _asked(evidence, source, spec)
            objections += [found] if found is not None else []
        objections += _fuses(evidence, source)
    return Examined(count, tuple(objections))


def _asked(evidence: Evidence, source: Source, spec: AlternatorSource) -> Objection | None:
    limit_a = spec.hot_a if spec.hot_a is not None else LASTING_SHARE * source.rated_a
    given_a, case = evidence.design.flow.solutions["charging"].given_a.get(source.key, 0.0), "charging"
    if not above(given_a, limit_a):
        means = tuple((x.key, x.mean_a) for x in evidence.circuit.loads if not x.high_current)
        alone = Case("charging_alone", "hot", USED_SHARE, means, (source.key,))
        solution = solve_quickly(evidence.circuit, alone, evidence.family)
        given_a, case = solution.given_a.get(source.key, 0.0), alone.id
    if not above(given_a, limit_a):
        return None
    return fires(
        source.key, cause="acceptance", current_a=given_a, limit_a=limit_a, nameplate_a=source.rated_a, case=case,
        hot_rating_known=spec.hot_a is not None,
    )  # fmt: skip


def _fuses(evidence: Evidence, source: Source) -> list[Objection]:
    needed_a = FUSE_OVER_NAMEPLATE * source.rated_a
    found = []
    for fuse in evidence.devices("fuse"):
        if fuse.circuit != source.key:
            continue
        rating_a = getattr(fuse.part, "rating_a", None)
        if rating_a is None:
            found.append(undecided(fuse.key, "fuse_rating", cause="fuse", needed_a=needed_a))
        elif above(needed_a, rating_a):
            facts: Values = {"rating_a": rating_a, "needed_a": needed_a, "nameplate_a": source.rated_a}
            found.append(fires(fuse.key, cause="fuse", **facts))
    return found
