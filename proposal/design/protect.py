"""What a fuse still lacks once everything around it is chosen: starts, far-end faults, its neighbours, the cut-off.

A part that fails one of these is turned down for one that does not, and where there is none, a conductor is raised.
Both only ever grow, so that it ends; every fuse is judged against the same state, so that their order does not matter.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.design.conductors import Ladder, step_for_fuse
from proposal.design.devices import Picked
from proposal.design.fuses import Asked, Turned, battery_fuses, candidates
from proposal.facts import Reason
from proposal.parts.catalogue import Catalogue
from proposal.parts.fuse_curves import time_curve
from proposal.spec.pricebook import FusePart
from proposal.studies.fuses.judge import as_inner, judge
from proposal.studies.fuses.result import HARD, TAKEN, Demanded, FuseDemand, Ruling
from proposal.studies.fuses.selective import Fitted

WEIGHT: dict[Demanded, float] = {"far_end": 8.0, "must_pass": 4.0, "cut_off": 2.0, "selective": 1.0}
REMEMBERED_SHARE = 0.5
"""What a failure weighs that rests on remembered limits, or on a figure taken for one that is wanting.

It decides no check, but another part is better.
"""
UNKNOWN_SHARE = 0.25
"""What an open question weighs, once the first choice has failed there.

With its neighbours a fuse is left as small as it may be: there neither counts.
"""


@dataclass
class Protection:
    """What was turned down so far, by fuse and part, and on which demands a fuse's first choices failed."""

    catalogue: Catalogue
    turned: dict[str, dict[str, Turned]] = field(default_factory=dict)
    failed_on: dict[str, set[Demanded]] = field(default_factory=dict)

    def turn_down(
        self,
        circuit: Circuit,
        demands: Mapping[str, FuseDemand],
        asked: Mapping[str, Asked],
        picked: Mapping[str, Picked],
    ) -> bool:
        """Turn down every chosen part that fails, and what would fail in its place. True if a choice may change.

        What is turned down for one battery of a bank is so for all.
        """
        fitted = fitted_parts(picked, demands)
        moved = False
        for key in asked:
            found = _lacks(demands[key], fitted[key].part, fitted) if key in fitted else []
            known, failed = self.turned.setdefault(key, {}), self.failed_on.setdefault(key, set())
            failed |= {r.demand for r in found if _weight(r, frozenset()) > 0.0}
            part_id = picked[key].part_id
            lacking = _weighed(found, failed)
            if not failed or lacking is None or part_id is None:
                continue
            if part_id in known:
                if lacking.weight > known[part_id].weight:
                    known[part_id], moved = lacking, True
                continue
            for candidate_id, part, reason in candidates(asked[key], self.catalogue):
                if reason is None and candidate_id not in known:
                    lacking = _weighed(_lacks(demands[key], part, fitted), failed)
                    if lacking is not None:
                        known[candidate_id] = lacking
                        moved = True
        for fuses in battery_fuses(circuit, asked):
            joint: dict[str, Turned] = {}
            for part_id, turned in sorted((p for key in fuses for p in self.turned[key].items()), key=lambda p: p[0]):
                joint[part_id] = max(joint.get(part_id, turned), turned, key=lambda each: each.weight)
            self.turned |= {key: dict(joint) for key in fuses}
        return moved

    def forget(self, fuses: Iterable[str]) -> None:
        """Their conductors have grown: what was turned down is looked at again."""
        for key in fuses:
            self.turned.pop(key, None)


def _weight(ruling: Ruling, failed_on: Collection[Demanded]) -> float:
    """How much one ruling counts against a part; nothing where it passes, or may pass for all that is known."""
    share = 0.0
    if ruling.answer == "fails":
        share = 1.0
    elif ruling.demand != "selective" and (ruling.remembered == "fails" or ruling.wanting in TAKEN):
        share = REMEMBERED_SHARE
    elif ruling.demand != "selective" and ruling.demand in failed_on and ruling.remembered != "passes":
        share = UNKNOWN_SHARE
    return WEIGHT[ruling.demand] * share


def _weighed(found: Iterable[Ruling], failed_on: Collection[Demanded]) -> Turned | None:
    """How much a part lacks, and what of it weighs most; None: nothing."""
    weighed = [(_weight(ruling, failed_on), ruling) for ruling in found]
    heavy = [pair for pair in weighed if pair[0] > 0.0]
    if not heavy:
        return None
    return Turned(sum(weight for weight, _ in heavy), against(max(heavy, key=lambda pair: pair[0])[1]))


def fitted_parts(picked: Mapping[str, Picked], demands: Mapping[str, FuseDemand]) -> dict[str, Fitted]:
    """Parts and curves of all fuses that have one."""
    return {
        key: Fitted(key, picked[key].part, time_curve(picked[key].part))
        for key in demands
        if isinstance(picked[key].part, FusePart)
    }


def _lacks(demand: FuseDemand, part: FusePart, fitted: Mapping[str, Fitted]) -> list[Ruling]:
    """Rulings on which a part does not pass; on selectivity it is the inner of two fuses that must give way."""
    curve = time_curve(part)
    own = [r for r in judge(demand, part, curve).rulings if r.demand not in HARD]
    return [r for r in (*own, *as_inner(demand, part, curve, fitted)) if r.answer != "passes"]


def against(ruling: Ruling) -> Reason:
    """Why a part was turned down."""
    v = ruling.facts
    if ruling.answer != "fails" and ruling.remembered != "fails" and ruling.wanting not in TAKEN:
        return Reason("curve_unknown", {})
    if ruling.demand == "must_pass":
        return Reason(
            "melts_at_start",
            {
                "item": v["item"],
                "current_a": v["current_a"],
                "duration_s": v["duration_s"],
                "limit_a": v["limit_a"],
            },
        )
    if ruling.demand == "selective":
        return Reason("not_selective", {"outer": v["outer"], "inner": v["inner"]})
    if v["clears_s"] is None:
        return Reason("never_opens", {"current_a": v["current_a"]})
    if ruling.demand == "cut_off":
        return Reason("slower_than_cut_off", {"bank": v["bank"], "clears_s": v["clears_s"], "trip_s": v["trip_s"]})
    return Reason(
        "opens_late",
        {
            "conductor": v["conductor"],
            "current_a": v["current_a"],
            "clears_s": v["clears_s"],
            "stands_s": v["stands_s"],
        },
    )


def raise_for_protection(
    ladder: Ladder,
    circuit: Circuit,
    family: RuleFamily,
    catalogue: Catalogue,
    demands: Mapping[str, FuseDemand],
    asked: Mapping[str, Asked],
    picked: Mapping[str, Picked],
) -> tuple[str, ...]:
    """Raise conductors where no part passes a start or opens a far-end fault in time; the fuses concerned.

    For a start to the size that may stand behind the smallest rating that passes it, for a fault by one step.
    """
    free = {c.circuit for c in circuit.conductors if not c.pinned}
    moved = []
    for key, fitted in sorted(fitted_parts(picked, demands).items()):
        if key not in asked:
            continue
        for ruling in judge(demands[key], fitted.part, fitted.curve).failed:
            if ruling.demand == "must_pass":
                conductor = circuit.conductor[circuit.device[key].guards[0]]
                rating_a = _rating_that_passes(demands[key], asked[key], catalogue)
                within = circuit.device[key].maker_fuse_a
                if rating_a is None or (within is not None and rating_a > within):
                    continue
                step = step_for_fuse(ladder, conductor, circuit, family, rating_a)
                reason = Reason("start_melts_fuse", {"rating_a": rating_a})
            elif ruling.demand == "far_end":
                conductor = circuit.conductor[str(ruling.facts["conductor"])]
                step = ladder.at[conductor.circuit] + 1
                reason = Reason("fault_outlasts", {"fuse": key})
            else:
                continue
            if conductor.circuit in free and ladder.raise_to(conductor.circuit, step, reason):
                moved.append(key)
    return tuple(moved)


def _rating_that_passes(demand: FuseDemand, asked: Asked, catalogue: Catalogue) -> float | None:
    """The smallest rating above the window that lets every start pass by its maker's curve."""
    for _, part in catalogue.fuses():
        strong = part.voltage_max_v >= asked.highest_v and part.interrupt_a >= asked.needed_a
        if strong and part.rating_a > asked.largest_a:
            ruling = judge(demand, part, time_curve(part)).on("must_pass")
            if ruling is None or ruling.answer == "passes":
                return part.rating_a
    return None
