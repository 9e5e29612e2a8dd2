"""Rows of protection for charts, made from a design alone: the same data that the results hold, with plain choices."""

from math import isfinite

from proposal.design.result import Design
from proposal.parts.fuse_curves import time_curve
from proposal.results.model import (
    CitationResult,
    CurveGate,
    GuardedResult,
    MustPassResult,
    NeighbourResult,
    ProtectionResult,
)
from proposal.spec.pricebook import FusePart

K = 143.0
CITED = CitationResult("iec60364_5_54", "", "from memory")


def _finite(seconds: float | None) -> float | None:
    return seconds if seconds is not None and isfinite(seconds) else None


def protections(design: Design) -> tuple[ProtectionResult, ...]:
    """One row for each fuse."""
    made = []
    circuit = design.circuit
    fuses = [d for d in circuit.devices if d.kind == "fuse"]
    for number, device in enumerate(fuses, start=1):
        part = device.part if isinstance(device.part, FusePart) else None
        curve = time_curve(part) if part is not None else None
        guarded = []
        for key in device.guards:
            seen = next((s for s in design.least_faults.of_fuse(device.key) if s.conductor == key), None)
            size = circuit.conductor[key].size
            assert size is not None
            area = size.area_mm2
            through = seen.through_fuse_a if seen else None
            clears = curve.clearing_s(through) if curve is not None and through else None
            guarded.append(
                GuardedResult(
                    key, key, None, area, K, CITED, seen.current_a if seen else None, seen.bank if seen else "",
                    through, _finite(clears), (K * area / through) ** 2 if through else None,
                )
            )  # fmt: skip
        least = min((g.through_fuse_a for g in guarded if g.through_fuse_a is not None), default=None)
        inrush = [x.inrush_a for x in circuit.loads if x.key == device.circuit and x.inrush_a]
        before = {f.key for c in device.guards for f in design.feeds[c].from_end if f.kind == "fuse"} - {device.key}
        top = [f.key for f in fuses if f.at_battery and f.key != device.key][:2]
        upstream = tuple(NeighbourResult(key, 1.0) for key in sorted(before)) or tuple(
            NeighbourResult(key, 1.0) for key in top
        )
        down = tuple(NeighbourResult(f.key, 1.0) for f in fuses if device.at_battery and not f.at_battery)[:3]
        gates = () if curve is None else tuple(
            CurveGate(g.current_a, _finite(g.melts_after_s), g.clears_before_s) for g in curve.gates
        )  # fmt: skip
        made.append(
            ProtectionResult(
                device.key, f"F{number}", "", device.part_id, part.title if part else "",
                part.fuse_class if part else None, part.rating_a if part else None, part.interrupt_a if part else None,
                max(design.faults.at(device.from_node), design.faults.at(device.to_node)), least,
                guarded[0].clears_s if guarded else None, gates, CITED if curve else None,
                bool(curve and curve.from_maker), bool(curve and curve.remembered), tuple(guarded),
                tuple(MustPassResult(device.circuit, "inrush", amps, 0.2, True) for amps in inrush),
                upstream, down, (), (),
            )
        )  # fmt: skip
    return tuple(made)
