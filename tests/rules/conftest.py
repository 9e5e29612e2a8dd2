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
from proposal.results.evaluate import evaluate
from proposal.rules.finding import Evidence, RawFinding
from proposal.rules.registry import CHECKS, run_check
from proposal.spec.loading import load_project
from proposal.spec.overlay import effective
from proposal.studies.behaviour import result as b
from proposal.studies.joins.study import first_currents
from tests.sample_behaviour import sample_behaviour

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


class Days:
    """Days of the test boat in which all is well, and ways to let one thing go wrong in them."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        results = evaluate(bench.project, {}, "test").results
        self._options = {option.id: option for option in results.options}
        self._calm: dict[str, b.Behaviour] = {}

    def calm(self, name: str) -> b.Behaviour:
        if name not in self._calm:
            made = sample_behaviour(self._options[name])
            started = tuple(replace(c, starter_v=11.0, verdict="starts") for c in made.cranking)
            days = tuple(replace(day, engine_h=0.0) for day in made.days)
            dark = replace(made.no_charge, first_dark_days=9.0, critical_dark_days=9.5, uncertain_days=0.3)
            lead = tuple(
                replace(c, full_charges_per_month=8.0, longest_without_full_days=5.0, sulphated_share=0.01, water_l=0.1)
                for c in made.year.lead
            )
            monthly = tuple((bank, (3,) * 12) for bank, _ in made.year.monthly_full)
            lithium = tuple(replace(c, high_warm_h=0.0, cut_offs=0) for c in made.year.lithium)
            recharge = tuple(replace(r, mean_share=0.3, peak_share=0.5) for r in made.recharge)
            assert made.neglect is not None
            emptied = tuple(b.Emptied(e.bank, None, 0.9, 12.7) for e in made.neglect.emptied)
            starts = tuple(replace(s, starter_v=11.0, verdict="starts") for s in made.neglect.starts)
            neglect = replace(made.neglect, emptied=emptied, starts=starts, starts_until_days=28.0)
            self._calm[name] = replace(
                made, days=days, no_charge=dark, neglect=neglect, cranking=started, recharge=recharge, troubles=(),
                cut_offs=(), year=replace(
                    made.year, lead=lead, lithium=lithium, monthly_full=monthly, dark_h=0.0, critical_dark_h=0.0
                ),
                years=replace(made.years, spreads=()),
            )  # fmt: skip
        return self._calm[name]

    def put(self, name: str, spec: Mapping[str, Any] | None = None, prices: Any = None, **changed: Any) -> Evidence:
        """An option with its days, some fields of them replaced."""
        evidence = self.bench.option(name, spec, prices)
        return replace(evidence, behaviour=replace(self.calm(name), **changed))

    def trouble(
        self, name: str, code: Any, item: str, spec: Mapping[str, Any] | None = None, prices: Any = None,
        run: str = "summer", at_h: float = 18.5, **values: Any,
    ) -> Evidence:  # fmt: skip
        """An option in whose days there is one trouble."""
        return self.put(name, spec, prices, troubles=(b.Trouble(code, item, run, at_h * 3600.0, values),))

    def lead(self, name: str, spec: Mapping[str, Any] | None = None, **care: Any) -> Evidence:
        """An option whose lead banks are kept otherwise."""
        year = self.calm(name).year
        return self.put(name, spec, year=replace(year, lead=tuple(replace(c, **care) for c in year.lead)))

    def neglect(self, name: str, spec: Mapping[str, Any] | None = None, **changed: Any) -> Evidence:
        """An option that is left alone otherwise."""
        neglect = self.calm(name).neglect
        assert neglect is not None
        return self.put(name, spec, neglect=replace(neglect, **changed))


@pytest.fixture(scope="session")
def days(bench: Bench) -> Days:
    return Days(bench)
