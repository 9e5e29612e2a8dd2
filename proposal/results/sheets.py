"""Sheets that come out of the computation → result rows: voltage ladder, single failures, switching plan."""

from collections.abc import Iterable, Mapping
from typing import Literal

from proposal.circuit.model import Circuit
from proposal.results.model import (
    BusChangeResult,
    FailureResult,
    ItemAmps,
    JoinSetting,
    LadderResult,
    RungResult,
    SwitchingStep,
    UnstatedSetting,
)
from proposal.results.rows import citation
from proposal.rules import joining
from proposal.rules.finding import Evidence
from proposal.rules.starting import Start, start_verdict
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.failures.result import Failure
from proposal.studies.isolation.result import Step
from proposal.studies.ladder.result import Ladder

SYMPTOMS = ("all_dark", "start_lost", "several_dark", "one_dark", "battery_off", "charge_lost", "weak", "unseen")


def ladder_row(ladder: Ladder) -> LadderResult:
    """The voltage ladder as the pages and the drawing read it."""
    return LadderResult(
        tuple(
            RungResult(
                r.item, r.group, r.setting, r.value_v, r.tolerance_v, r.tolerance_assumed, r.low_v, r.high_v, r.cold_v,
                r.hot_v, r.share, citation(r.citation),
            )
            for r in ladder.rungs
        ),
        tuple(UnstatedSetting(u.item, u.setting) for u in ladder.unstated),
        tuple(JoinSetting(key, difference_v) for key, difference_v in ladder.joins_below_v.items()),
    )  # fmt: skip


def failure_rows(found: Iterable[Failure], spec: EffectiveSpec, circuit: Circuit) -> tuple[FailureResult, ...]:
    """Single failures by what is seen first, those that darken most before others."""
    serves = {f"loads.{name}": load.serves for name, load in spec.spec.loads.items() if load.serves is not None}
    rows = [
        FailureResult(
            f.cause, f.symptom, f.item, f.items, f.dead, f.low, f.lost, f.stranded, f.banks_off,
            tuple(BusChangeResult(b.bus, b.before_v, b.after_v, b.charging_v) for b in f.buses),
            tuple(ItemAmps(key, amps) for key, amps in f.charging),
            tuple(ItemAmps(key, amps) for key, amps in f.charged),
            f.starter_v, _verdict(circuit, f.starter_v), f.emergency_v, _emergency(circuit, f.emergency_v),
            _warned_by(f, spec, circuit, serves),
        )
        for f in found
    ]  # fmt: skip
    return tuple(sorted(rows, key=lambda r: (SYMPTOMS.index(r.symptom), -len(r.dead))))


def _verdict(circuit: Circuit, volts: float | None) -> Start | Literal[""]:
    starter = circuit.starter
    if starter is None:
        return ""
    known = not any(a.item == starter.key and a.code == "starter_current" for a in circuit.assumed)
    return start_verdict(volts, starter.minimum_v, circuit.system_v, current_known=known)


def _emergency(circuit: Circuit, volts: float | None) -> Start | Literal[""]:
    return "" if volts is None else _verdict(circuit, volts)


def _warned_by(failure: Failure, spec: EffectiveSpec, circuit: Circuit, serves: Mapping[str, str]) -> tuple[str, ...]:
    """What sounds before or when it happens: a controller that is stated to warn, the alarm for a pump that is dead."""
    link = spec.option.contactor
    warns = link is not None and link.warns_before is True
    off = [b for b in circuit.banks if b.key in failure.banks_off and b.through is not None]
    found = [f"{b.key}.contactor" for b in off if warns]
    if any(serves.get(key) == "bilge_pump" for key in failure.dead):
        found += [key for key, what in serves.items() if what == "high_water_alarm" and key not in failure.dead]
    return tuple(found)


def switching_rows(steps: Iterable[Step]) -> tuple[SwitchingStep, ...]:
    """The switching plan, step by step."""
    return tuple(SwitchingStep(s.phase, s.code, s.items, s.values) for s in steps)


def apart_v(evidence: Evidence) -> dict[str, float]:
    """How far apart the sides of each relay may be when it first joins them [V]: what bears least, times the loop."""
    found: dict[str, float] = {}
    for join in evidence.joins:
        least = joining.smallest(joining.limits(evidence, join))
        if least is not None and join.resistance_ohm > 0.0:
            volts = least[1] * join.resistance_ohm
            found[join.relay] = min(volts, found.get(join.relay, volts))
    return found
