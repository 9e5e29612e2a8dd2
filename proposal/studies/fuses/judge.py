"""Holds a part against what is asked of a fuse. What rests on values from memory alone stays undecided."""

import math
from collections.abc import Iterable, Mapping

from proposal.circuit.model import Circuit
from proposal.facts import Values
from proposal.parts.fuse_curves import TimeCurve, time_curve
from proposal.spec.pricebook import FusePart
from proposal.studies.fuses.equations import MELTING_SHARE
from proposal.studies.fuses.far_end import far_end
from proposal.studies.fuses.result import (
    CURVE,
    ROUNDING,
    Answer,
    Demanded,
    FuseDemand,
    MustPass,
    Ruling,
    Trip,
    Verdict,
    ruled,
)
from proposal.studies.fuses.selective import Fitted, selective

_WORST: tuple[Answer, ...] = ("fails", "undecided", "passes")


def fitted_of(circuit: Circuit) -> dict[str, Fitted]:
    """Parts and curves of a circuit's fuses by key, of those for which a part was found."""
    return {d.key: Fitted(d.key, d.part, time_curve(d.part)) for d in circuit.devices if isinstance(d.part, FusePart)}


def judge(
    demand: FuseDemand, part: FusePart, curve: TimeCurve | None, fitted: Mapping[str, Fitted] | None = None
) -> Verdict:
    """How a part stands on each demand that arises; of several items under one demand the worst decides.

    Parameters: the part's curve, None where nothing is known; `fitted` parts and curves of the other fuses by key, for
    selectivity with those that stand nearer to the batteries.
    """
    others = fitted or {}
    softer = (
        [_lets_pass(point, part, curve) for point in demand.must_pass],
        [far_end(guarded, demand.fault_max_a, curve) for guarded in demand.guarded],
        [
            selective(Fitted(demand.fuse, part, curve), others[n.fuse], n.current_share, n.fault_a)
            for n in demand.upstream
            if n.fuse in others
        ],
        [_before_cut_off(trip, demand.fault_max_a, curve) for trip in demand.trips],
    )
    return Verdict((*hard(demand, part), *(worst(found) for found in softer if found)))


def as_inner(
    demand: FuseDemand, part: FusePart, curve: TimeCurve | None, fitted: Mapping[str, Fitted]
) -> tuple[Ruling, ...]:
    """How a part stands towards the fuses further out: one ruling on selectivity for each that is fitted."""
    own = Fitted(demand.fuse, part, curve)
    return tuple(
        selective(fitted[n.fuse], own, n.current_share, n.fault_a) for n in demand.downstream if n.fuse in fitted
    )


def hard(demand: FuseDemand, part: FusePart) -> tuple[Ruling, ...]:
    """The rulings that need no curve: voltage, breaking capacity, rating."""
    window, rating_a = demand.window, part.rating_a
    inside = _reaches(rating_a, window.smallest_a) and _reaches(window.largest_a, rating_a)
    rating: Values = {"rating_a": rating_a, "smallest_a": window.smallest_a, "largest_a": window.largest_a}
    voltage: Values = {"rating_v": part.voltage_max_v, "highest_v": demand.highest_v}
    breaking: Values = {"interrupt_a": part.interrupt_a, "fault_a": demand.needed_a}
    return (
        _plain("voltage", _reaches(part.voltage_max_v, demand.highest_v), voltage),
        _plain("breaking", _reaches(part.interrupt_a, demand.needed_a), breaking),
        _plain("rating", inside, rating),
    )


def worst(rulings: Iterable[Ruling]) -> Ruling:
    """The ruling that weighs most: what fails, then what would by values from memory, then what is open."""
    return min(rulings, key=lambda r: (_WORST.index(r.answer), _WORST.index(r.remembered or "passes")))


def _plain(demand: Demanded, passes: bool, values: Values) -> Ruling:
    return Ruling(demand, "passes" if passes else "fails", values=values)


def _reaches(value: float, limit: float) -> bool:
    return value >= limit - ROUNDING * abs(limit)


def _lets_pass(point: MustPass, part: FusePart, curve: TimeCurve | None) -> Ruling:
    """A start or inrush below ⅔ of the minimum melting current at its duration; a rating is carried without end."""
    values: Values = {
        "item": point.item, "kind": point.kind, "current_a": point.current_a, "duration_s": point.duration_s,
        "rating_a": part.rating_a,
    }  # fmt: skip
    if _reaches(part.rating_a, point.current_a):
        return Ruling("must_pass", "passes", values=values | {"limit_a": part.rating_a})
    melts_a = curve.melting_a(point.duration_s) if curve is not None else None
    if curve is None or melts_a is None:
        return Ruling("must_pass", "undecided", CURVE, values=values)
    limit_a = max(part.rating_a, MELTING_SHARE * melts_a)
    values |= {"melts_a": melts_a, "limit_a": limit_a}
    if not _reaches(limit_a, point.current_a):
        return ruled("must_pass", False, (curve,), values, "inrush_time" if point.duration_assumed else "")
    # beyond its last gate a real fuse may melt sooner than the constant I²t says
    return ruled("must_pass", True, (curve,), values, beyond=curve.beyond_gates(melts_a))


def _before_cut_off(trip: Trip, fault_max_a: float, curve: TimeCurve | None) -> Ruling:
    """A fault behind a branch fuse ends before the lithium's own cut-off, at the current at which that comes."""
    values: Values = {"bank": trip.bank, "fault_a": fault_max_a, "current_a": trip.first_a, "trip_s": trip.trip_s}
    if trip.first_a is None or trip.trip_s is None:
        return Ruling("cut_off", "undecided", "trip_current", values=values)
    if not _reaches(fault_max_a, trip.first_a):
        return Ruling("cut_off", "passes", values=values)
    if curve is None or not curve.tells_clearing:
        return Ruling("cut_off", "undecided", CURVE, values=values)
    clears_s = curve.clearing_s(trip.first_a)
    values |= {"clears_s": clears_s if math.isfinite(clears_s) else None}
    passes = _reaches(trip.trip_s, clears_s)
    # beyond its last gate a real fuse may clear sooner than the constant I²t says
    return ruled("cut_off", passes, (curve,), values, beyond=not passes and curve.beyond_gates(trip.first_a))
