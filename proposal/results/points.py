"""Voltages at loads and sense points in every case, and how the batteries of a bank share."""

from collections.abc import Iterator, Mapping

from proposal.circuit.model import Circuit
from proposal.design.result import Design
from proposal.results.model import CaseVolts, PointKind, SharingResult, StringOutResult, StringResult, VoltagePoint
from proposal.rules.finding import Evidence
from proposal.studies.flow.cases import is_cranking
from proposal.studies.sharing.result import Sharing

Pins = tuple[str, PointKind, str, str]
"""Item, kind, positive and negative node."""


def voltage_rows(design: Design, names: Mapping[str, str]) -> tuple[VoltagePoint, ...]:
    """Every load, charger, starter and sense point in the order of the circuit, in every case."""
    return tuple(_point(design, names, *pins) for pins in _pins(design.circuit))


def _pins(circuit: Circuit) -> Iterator[Pins]:
    for load in circuit.loads:
        yield load.key, "load", load.positive, load.negative
    if circuit.starter is not None:
        yield circuit.starter.key, "starter", circuit.starter.positive, circuit.starter.negative
    for source in circuit.sources:
        yield source.key, "charger", source.positive, source.negative
    for converter in circuit.converters:
        yield converter.key, "charger", converter.out_positive, converter.out_negative
    for controller in circuit.controllers:
        yield controller.key, "controller_supply", controller.supply, controller.negative
        yield controller.key, "controller_sense", controller.senses, controller.negative
    for device in circuit.devices:
        if device.kind == "vsr":
            if device.senses != "to":
                yield device.key, "relay_from", device.from_node, circuit.node[device.from_node].mate
            if device.senses != "from":
                yield device.key, "relay_to", device.to_node, circuit.node[device.to_node].mate


def _point(
    design: Design, names: Mapping[str, str], item: str, kind: PointKind, positive: str, negative: str
) -> VoltagePoint:
    volts: dict[str, float | None] = {}
    for case, solution in design.flow.solutions.items():
        plus, minus = solution.voltage_v.get(positive), solution.voltage_v.get(negative)
        volts[case] = plus - minus if plus is not None and minus is not None else None
    known = [(v, case) for case, v in volts.items() if v is not None and not is_cranking(case)]
    nothing: tuple[float | None, str] = (None, "")
    lowest_v, lowest_case = min(known, default=nothing)
    highest_v, highest_case = max(known, default=nothing)
    return VoltagePoint(
        item, names.get(item, ""), kind, positive, negative, volts.get("usual"), lowest_v, lowest_case, highest_v,
        highest_case, tuple(CaseVolts(case, v) for case, v in volts.items()),
    )  # fmt: skip


def sharing_rows(evidence: Evidence, names: Mapping[str, str]) -> tuple[SharingResult, ...]:
    """Banks with strings in parallel."""
    return tuple(_sharing(evidence, found, names) for found in evidence.sharing)


def _sharing(evidence: Evidence, found: Sharing, names: Mapping[str, str]) -> SharingResult:
    bank = evidence.bank[found.bank]
    limit_a = evidence.strings(bank)[0].part.discharge_max_a
    strings = tuple(
        StringResult(s.key, names[s.key], s.share, s.path_ohm, s.usual_a, s.most_a, s.case) for s in found.strings
    )
    outs = tuple(
        StringOutResult(o.key, names[o.key], o.case, o.current_a, limit_a, o.voltage_v, o.dark)
        for o in evidence.strings_out(found)
    )
    return SharingResult(found.bank, bank.title, bank.chained, found.spread, strings, outs)
