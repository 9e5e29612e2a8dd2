"""Design and demands → a row for each fuse: its curve, what it guards and lets pass, its neighbours, how it stands."""

import math
from collections.abc import Mapping

from proposal.design.result import Design
from proposal.parts.fuse_curves import TimeCurve
from proposal.results.model import (
    CurveGate,
    GuardedResult,
    MustPassResult,
    NeighbourResult,
    ProtectionResult,
    RulingResult,
    TripResult,
)
from proposal.results.rows import citation
from proposal.spec.pricebook import FusePart
from proposal.studies.fuses.equations import stands_s
from proposal.studies.fuses.far_end import far_end
from proposal.studies.fuses.judge import fitted_of, judge
from proposal.studies.fuses.result import FuseDemand, Guarded, Neighbour
from proposal.studies.fuses.selective import Fitted


def protection_rows(design: Design, names: Mapping[str, str]) -> tuple[ProtectionResult, ...]:
    """One row for each fuse of the circuit, in its order. `names` are designations by key."""
    circuit = design.circuit
    fitted = fitted_of(circuit)
    return tuple(
        _row(design, names, design.fuse_demands[d.key], fitted)
        for d in circuit.devices
        if d.kind == "fuse" and d.key in design.fuse_demands
    )


def _row(
    design: Design, names: Mapping[str, str], demand: FuseDemand, fitted: Mapping[str, Fitted]
) -> ProtectionResult:
    device = design.circuit.device[demand.fuse]
    part = device.part if isinstance(device.part, FusePart) else None
    curve = fitted[demand.fuse].curve if demand.fuse in fitted else None
    least = demand.least
    rulings = judge(demand, part, curve, fitted).rulings if part is not None else ()
    return ProtectionResult(
        key=demand.fuse,
        designation=names.get(demand.fuse, ""),
        title=design.circuit.title.get(device.circuit, ""),
        part_id=device.part_id,
        part_title=part.title if part is not None else "",
        fuse_class=part.fuse_class if part is not None else None,
        rating_a=part.rating_a if part is not None else None,
        interrupt_a=part.interrupt_a if part is not None else None,
        fault_max_a=demand.fault_max_a,
        least_fault_a=least.through_a if least is not None else None,
        clears_least_s=_clears(curve, least.through_a) if least is not None else None,
        curve=tuple(
            CurveGate(g.current_a, _finite(g.melts_after_s), _finite(g.clears_before_s))
            for g in (curve.gates if curve is not None else ())
        ),
        curve_citation=citation(curve.citation) if curve is not None else None,
        from_maker=curve is not None and curve.from_maker,
        remembered=curve is not None and curve.remembered,
        guarded=tuple(_guarded(each, names, curve, demand.fault_max_a) for each in demand.guarded),
        must_pass=tuple(
            MustPassResult(p.item, p.kind, p.current_a, p.duration_s, p.duration_assumed) for p in demand.must_pass
        ),
        upstream=_neighbours(demand.upstream),
        downstream=_neighbours(demand.downstream),
        trips=tuple(TripResult(t.bank, t.first_a, t.trip_s) for t in demand.trips),
        rulings=tuple(RulingResult(r.demand, r.answer, r.wanting, r.remembered, dict(r.facts)) for r in rulings),
    )


def _guarded(guarded: Guarded, names: Mapping[str, str], curve: TimeCurve | None, fault_max_a: float) -> GuardedResult:
    known = guarded.withstand
    ruling = far_end(guarded, fault_max_a, curve)
    carried = guarded.current_a <= guarded.ampacity_a
    stands = None if carried else stands_s(known.k_a_root_s_per_mm2, guarded.area_mm2, guarded.current_a)
    return GuardedResult(
        conductor=guarded.conductor,
        designation=names.get(guarded.conductor, ""),
        compound=known.compound if known.stated else None,
        area_mm2=guarded.area_mm2,
        k_a_root_s_per_mm2=known.k_a_root_s_per_mm2,
        k_citation=citation(known.citation),
        least_fault_a=guarded.current_a,
        least_bank=guarded.bank,
        through_fuse_a=guarded.through_a,
        clears_s=_clears(curve, guarded.through_a),
        stands_s=stands,
        outcome=ruling.answer,
        wanting=ruling.wanting,
    )


def _neighbours(found: tuple[Neighbour, ...]) -> tuple[NeighbourResult, ...]:
    return tuple(NeighbourResult(n.fuse, n.current_share) for n in found)


def _clears(curve: TimeCurve | None, current_a: float) -> float | None:
    return _finite(curve.clearing_s(current_a)) if curve is not None and curve.tells_clearing else None


def _finite(seconds: float | None) -> float | None:
    return seconds if seconds is not None and math.isfinite(seconds) else None
