"""Two fuses in series: does the outer one open before the inner one melts."""

import math
from collections.abc import Iterator

from proposal.facts import Values
from proposal.frozen import frozen
from proposal.parts.fuse_curves import TimeCurve
from proposal.spec.pricebook import FusePart
from proposal.studies.fuses.result import CURVE, ROUNDING, Ruling, ruled


@frozen
class Fitted:
    """A fuse with its part and that part's curve, None where nothing is known of it."""

    fuse: str
    part: FusePart
    curve: TimeCurve | None


def selective(outer: Fitted, inner: Fitted, share: float, fault_a: float) -> Ruling:
    """Whether the outer fuse clears every fault behind it before the inner one melts.

    Parameters: what part of the outer one's current flows in the inner one; the highest fault current [A] through the
    outer. From the lowest current that the outer surely clears up to that: t_clears(I) < t_melts(share·I), at all gates
    of both, between which both are straight in log-log. Two of one class without their maker's curves need none to
    fail: where the inner one carries as many times its rating, it melts no later. `lacking` in the values of an open
    point: the fuse whose curve is wanting.
    """
    values: Values = {
        "outer": outer.fuse, "inner": inner.fuse, "current_share": share, "fault_a": fault_a,
        "outer_rating_a": outer.part.rating_a, "inner_rating_a": inner.part.rating_a,
        "least_inner_a": outer.part.rating_a * share,
    }  # fmt: skip
    makers = outer.curve is not None and outer.curve.from_maker and inner.curve is not None and inner.curve.from_maker
    alike = outer.part.fuse_class == inner.part.fuse_class
    if not makers and alike and outer.part.rating_a * share >= inner.part.rating_a * (1.0 - ROUNDING):
        return Ruling("selective", "fails", values={**values, "cause": "ratings"})
    if outer.curve is None or not outer.curve.tells_clearing:
        return Ruling("selective", "undecided", CURVE, values={**values, "lacking": outer.fuse})
    if inner.curve is None or not inner.curve.tells_melting:
        return Ruling("selective", "undecided", CURVE, values={**values, "lacking": inner.fuse})
    curves = (outer.curve, inner.curve)
    values |= {"lacking": outer.fuse if outer.curve.remembered else inner.fuse}
    timed = _timed(outer.curve, inner.curve, share, fault_a)
    if not timed:
        # so weak a fault melts nothing, or the outer one does not surely open at all, which is told of it besides
        carried = math.isinf(inner.curve.melting_s(share * fault_a))
        return ruled("selective", True, curves, values | {"lacking": outer.fuse}, beyond=not carried)
    # beyond its last gate a real fuse may clear sooner than the constant I²t says: what fails there is open
    sure = [found for found in timed if not outer.curve.beyond_gates(found[0])]
    fails_surely = bool(sure) and not _in_time(_slowest(sure))
    current_a, clears_s, melts_s = _slowest(sure if fails_surely else timed)
    values |= {"current_a": current_a, "clears_s": clears_s, "melts_s": melts_s}
    if _in_time((current_a, clears_s, melts_s)):
        # it may melt sooner there too: what passes is open
        return ruled("selective", True, curves, values, beyond=inner.curve.beyond_gates(share * fault_a))
    return ruled("selective", False, curves, values | {"lacking": outer.fuse}, beyond=not fails_surely)


Timed = tuple[float, float, float]
"""A current through the outer fuse [A], by when it has cleared and from when on the inner one may melt [s]."""


def _timed(outer: TimeCurve, inner: TimeCurve, share: float, fault_a: float) -> list[Timed]:
    """Both times at every gate, where both are told."""
    asked = [
        (amps, outer.clearing_s(amps), inner.melting_s(share * amps)) for amps in _gates(outer, inner, share, fault_a)
    ]
    return [found for found in asked if math.isfinite(found[1]) and math.isfinite(found[2])]


def _in_time(found: Timed) -> bool:
    return found[1] < found[2] * (1.0 - ROUNDING)


def _slowest(timed: list[Timed]) -> Timed:
    """Where the outer's clearing is longest beside the inner's melting, of equals the first."""
    slowest = timed[0]
    for found in timed[1:]:
        if found[1] * slowest[2] > slowest[1] * found[2] * (1.0 + ROUNDING):
            slowest = found
    return slowest


def _gates(outer: TimeCurve, inner: TimeCurve, share: float, fault_a: float) -> Iterator[float]:
    first_a = next(g.current_a for g in outer.gates if g.clears_before_s is not None)
    for current_a in (*(g.current_a for g in outer.gates), *(g.current_a / share for g in inner.gates), fault_a):
        if first_a <= current_a <= fault_a:
            yield current_a
