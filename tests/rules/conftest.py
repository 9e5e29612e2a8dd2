"""A small frozen boat in every arrangement, and tools to change one thing: in the spec, or in what was built."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from proposal.circuit.build import build_circuit
from proposal.codes.chosen import chosen_family
from proposal.design.step import design
from proposal.parts.catalogue import Catalogue
from proposal.rules.finding import Evidence, RawFinding
from proposal.rules.registry import CHECKS, run_check
from proposal.spec.loading import load_project
from proposal.spec.overlay import effective
from proposal.studies.joins.study import first_currents

FOLDER = Path(__file__).parent / "boat"


def changed(model: Any, path: str, value: Any) -> Any:
    """A copy of frozen models and dicts with one entry replaced."""
    name, _, rest = path.partition(".")
    if isinstance(model, BaseModel):
        new = changed(getattr(model, name), rest, value) if rest else value
        return model.model_copy(update={name: new})
    return {**model, name: changed(model[name], rest, value) if rest else value}


class Bench:
    """The test boat. Changes of the spec go through the whole computation; `fit` and others change its outcome only."""

    def __init__(self) -> None:
        self.project = load_project(FOLDER)
        self._made: dict[str, Evidence] = {}

    def option(
        self, name: str, spec: Mapping[str, Any] | None = None, prices: Mapping[str, Any] | None = None
    ) -> Evidence:
        if not spec and not prices:
            if name not in self._made:
                self._made[name] = self._make(name, {}, {})
            return self._made[name]
        return self._make(name, spec or {}, prices or {})

    def _make(self, name: str, spec: Mapping[str, Any], prices: Mapping[str, Any]) -> Evidence:
        vessel, book = self.project.spec.value, self.project.prices.value
        for path, value in spec.items():
            vessel = changed(vessel, path.replace("OPTION", f"options.{name}"), value)
        for path, value in prices.items():
            book = changed(book, f"parts.{path}", value)
        laid = effective(vessel, self.project.installer.value, name)
        catalogue, rules = Catalogue.of(book, laid.parts), chosen_family(laid, self.project.installer.value)
        made = design(build_circuit(laid, catalogue, rules), laid.pins, catalogue, rules)
        return Evidence(made, laid, rules, first_currents(made.circuit, rules), catalogue)

    @staticmethod
    def pins(evidence: Evidence) -> dict[str, str]:
        """Everything as it was chosen, so that a further change moves nothing else."""
        circuit = evidence.circuit
        return {c.key: c.size.label for c in circuit.conductors} | {
            d.key: d.part_id for d in (*circuit.devices, *circuit.buses) if d.part_id is not None
        }

    @staticmethod
    def found(evidence: Evidence, check: str, item: str | None = None) -> list[RawFinding]:
        run = run_check(next(c for c in CHECKS if c.id == check), evidence)
        return [f for f in run.findings if item is None or f.item == item]

    @staticmethod
    def tested(evidence: Evidence, check: str) -> int:
        return run_check(next(c for c in CHECKS if c.id == check), evidence).tested

    def only(self, evidence: Evidence, check: str, item: str) -> RawFinding:
        (finding,) = self.found(evidence, check, item)
        return finding

    def fit(self, evidence: Evidence, item: str, **ratings: Any) -> Evidence:
        """Another rating in a device or bus that is fitted."""
        circuit = evidence.circuit
        part = (circuit.device.get(item) or circuit.bus[item]).part
        return self.fit_part(evidence, item, part.model_copy(update=ratings))

    def fit_part(self, evidence: Evidence, item: str, part: Any) -> Evidence:
        circuit = evidence.circuit
        devices = tuple(replace(d, part=part) if d.key == item else d for d in circuit.devices)
        buses = tuple(replace(b, part=part) if b.key == item else b for b in circuit.buses)
        return self.circuit(evidence, devices=devices, buses=buses)

    def fit_all_fuses(self, evidence: Evidence, **ratings: Any) -> Evidence:
        devices = tuple(
            replace(d, part=d.part.model_copy(update=ratings)) if d.kind == "fuse" else d
            for d in evidence.circuit.devices
        )
        return self.circuit(evidence, devices=devices)

    def set_device(self, evidence: Evidence, item: str, **changes: Any) -> Evidence:
        devices = tuple(replace(d, **changes) if d.key == item else d for d in evidence.circuit.devices)
        return self.circuit(evidence, devices=devices)

    @staticmethod
    def circuit(evidence: Evidence, **changes: Any) -> Evidence:
        changes = {"memo": {}, **changes}
        return replace(evidence, design=replace(evidence.design, circuit=replace(evidence.circuit, **changes)))

    @staticmethod
    def solved(evidence: Evidence, case: str, field: str, values: Any) -> Evidence:
        """Another solution of a case: a field's dict with some entries replaced, or the field itself."""
        flow = evidence.design.flow
        old = getattr(flow.solutions[case], field)
        new = replace(flow.solutions[case], **{field: {**old, **values} if isinstance(old, dict) else values})
        made = replace(flow, solutions={**flow.solutions, case: new})
        return replace(evidence, design=replace(evidence.design, flow=made))

    @staticmethod
    def drop(evidence: Evidence, item: str, **changes: Any) -> Evidence:
        drops = {**evidence.design.drops, item: replace(evidence.design.drops[item], **changes)}
        return replace(evidence, design=replace(evidence.design, drops=drops))


@pytest.fixture(scope="session")
def bench() -> Bench:
    return Bench()
