"""What the days rest on and nobody stated."""

from __future__ import annotations

from proposal.facts import Values
from proposal.parts.dynamics_assumed import assumptions as dynamics_assumed
from proposal.sources import Citation
from proposal.spec.equipment import AlternatorSource, ShoreSource, WindSource
from proposal.studies.behaviour.assembly import defaults as a
from proposal.studies.behaviour.lab import Lab
from proposal.studies.behaviour.patterns import day_patterns
from proposal.studies.behaviour.reading import HYSTERESIS_12V, SENSOR_12V, THRESHOLD_12V
from proposal.studies.behaviour.result import DayAssumption
from proposal.studies.behaviour.weather import COMMON, wind_assumption


def assumptions(lab: Lab) -> tuple[DayAssumption, ...]:
    """All of them, in the order of the circuit; figures of equal batteries once a bank."""
    found: list[DayAssumption] = []
    for bank in lab.circuit.banks:
        part = lab.circuit.battery[bank.strings[0]].part
        found += [_row(bank.key, code, values, cited) for code, values, cited in dynamics_assumed(part)]
    for source in lab.circuit.sources:
        found += _of_source(lab, source.key)
    link = lab.spec.option.contactor
    scale = lab.scale
    for bank in lab.circuit.banks:
        if bank.through is None:
            continue
        if link is None or link.holds_s is None:
            found.append(_row(bank.through, "holds", {"holds_s": a.HOLDS_S}, COMMON))
        if link is None or (link.joins_below_v is None and link.joins_above_v is None):
            found.append(_row(bank.through, "joins_below", {"joins_below_v": a.JOINS_BELOW_12V * scale}, COMMON))
        if link is None or link.joins_above_v is None:
            found.append(_row(bank.through, "joins_after_empty", {"joins_v": a.JOINS_AFTER_EMPTY_12V * scale}, COMMON))
    for sun in lab.suns.values():
        found += sun.assumptions
    found += [wind_assumption(s.key) for s in lab.circuit.sources if s.kind == "wind"]
    found += day_patterns(lab.spec, lab.circuit, lab.seed).assumptions
    found.append(
        _row(
            "", "tolerances",
            {"threshold_v": THRESHOLD_12V * scale, "sensor_v": SENSOR_12V * scale, "rest_v": HYSTERESIS_12V * scale},
            COMMON,
        )
    )  # fmt: skip
    return tuple(_once(found))


def _of_source(lab: Lab, key: str) -> list[DayAssumption]:
    written, scale = lab.spec.source(key), lab.scale
    found = []
    if isinstance(written, AlternatorSource):
        if written.speed_share is None:
            found.append(_row(key, "alternator_speed", {"share": a.SPEED_SHARE}, COMMON))
        if written.hot_after_s is None and written.hot_a is not None:
            found.append(_row(key, "alternator_hot_after", {"hot_after_s": a.HOT_AFTER_S}, COMMON))
        if lab.spec.spec.system.engine_below_share is None:
            found.append(_row(key, "engine_below", {"share": a.ENGINE_BELOW}, COMMON))
        return found
    if isinstance(written, WindSource):
        return found
    if written.float_v is None:
        found.append(_row(key, "charger_float", {"float_v": a.FLOAT_12V * scale}, COMMON))
    if written.restarts_below_v is None:
        found.append(_row(key, "charger_restart", {"restart_v": a.RESTART_12V * scale}, COMMON))
    if written.absorption_h is None:
        found.append(_row(key, "charger_absorption", {"absorption_h": a.ABSORPTION_H}, COMMON))
    if isinstance(written, ShoreSource) and written.hours_h > 0.0:
        found.append(_row(key, "shore_hours", {"from_h": a.SHORE_FROM_S / 3600.0, "hours_h": written.hours_h}, COMMON))
    return found


def _row(item: str, code: str, values: Values, cited: Citation) -> DayAssumption:
    return DayAssumption(item, code, values, cited.source, cited.clause, cited.status)


def _once(found: list[DayAssumption]) -> list[DayAssumption]:
    seen: dict[tuple[str, str], DayAssumption] = {}
    for row in found:
        seen.setdefault((row.item, row.code), row)
    return list(seen.values())
