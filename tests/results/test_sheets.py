"""What the rows add to the studies: verdicts, alarms, order; and how near two sides must be."""

from __future__ import annotations

from pathlib import Path

import pytest

from proposal.results.sheets import SYMPTOMS, apart_v, failure_rows
from proposal.rules.joining import limits, smallest
from proposal.studies.failures.result import Failure
from proposal.studies.failures.study import failures
from proposal.studies.flow.cases import flow_cases
from tests.rules.conftest import Bench

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def boat() -> Bench:
    return Bench()


def rows(boat: Bench, option: str, spec: dict[str, object] | None = None):  # type: ignore[no-untyped-def]
    evidence = boat.option(option, spec)
    cases = {case.id: case for case in flow_cases(evidence.circuit)}
    found = failures(evidence.circuit, evidence.family, cases, evidence.design.flow)
    return failure_rows(found, evidence.spec, evidence.circuit)


def test_the_gravest_symptom_stands_first_and_in_it_what_darkens_most(boat: Bench) -> None:
    for option in boat.project.spec.value.options:
        order = [(SYMPTOMS.index(r.symptom), -len(r.dead)) for r in rows(boat, option)]
        assert order == sorted(order)


def test_only_what_is_stated_to_warn_warns(boat: Bench) -> None:
    def warned(spec: dict[str, object]) -> set[tuple[str, ...]]:
        return {r.warned_by for r in rows(boat, "shared", spec) if "banks.lithium" in r.banks_off}

    assert warned({}) == {()}
    assert warned({"OPTION.contactor.warns_before": False}) == {()}
    assert warned({"OPTION.contactor.warns_before": True}) == {("banks.lithium.contactor",)}


def test_a_high_water_alarm_warns_when_the_pump_is_dead_and_itself_is_not(boat: Bench) -> None:
    serving = {"loads.bilge_pump.serves": "bilge_pump", "loads.lights.serves": "high_water_alarm"}
    dead = {r.item: r.warned_by for r in rows(boat, "one", serving) if "loads.bilge_pump" in r.dead}
    assert dead["loads.bilge_pump"] == ("loads.lights",)
    assert dead["banks.lead"] == ()


@pytest.mark.parametrize(("volts", "verdict"), [(None, "fails"), (7.9, "fails"), (8.5, "uncertain"), (9.6, "starts")])
def test_start_verdicts_are_those_of_the_rule(boat: Bench, volts: float | None, verdict: str) -> None:
    """8.0 and 9.5 V where the engine's maker says nothing."""
    evidence = boat.option("one")
    made = Failure("starter_circuit", "start_lost", "engine", (), starter_v=volts, emergency_v=None)
    (row,) = failure_rows([made], evidence.spec, evidence.circuit)
    assert (row.start, row.emergency_start) == (verdict, "")


def test_how_near_two_sides_must_be_is_the_least_limit_times_the_loop(boat: Bench) -> None:
    evidence = boat.option("shared")
    found = apart_v(evidence)
    assert set(found) <= {j.relay for j in evidence.joins}
    for relay, volts in found.items():
        least = [
            pair[1] * join.resistance_ohm
            for join in evidence.joins
            if join.relay == relay and (pair := smallest(limits(evidence, join))) is not None
        ]
        assert volts == pytest.approx(min(least))
