"""Voltages at loads and sense points, conductors' temperatures and shared currents, against the solved cases."""

from __future__ import annotations

import functools
from pathlib import Path

import pytest

from proposal.circuit.model import Circuit
from proposal.results.evaluate import evaluate
from proposal.results.model import OptionResult, VoltagePoint
from proposal.spec.loading import load_project

MARRAM = Path(__file__).parents[2] / "projects" / "marram"
OPTIONS = pytest.mark.parametrize("option", ["shared", "dedicated"])


@functools.cache
def evaluated(option: str) -> tuple[OptionResult, Circuit]:
    made = evaluate(load_project(MARRAM), {}, "a test")
    return next(o for o in made.results.options if o.id == option), made.circuits[option]


def points(option: str) -> dict[tuple[str, str], VoltagePoint]:
    return {(p.item, p.kind): p for p in evaluated(option)[0].voltages}


@OPTIONS
def test_every_load_source_and_sense_point_stands_there_once(option: str) -> None:
    result, circuit = evaluated(option)
    found = points(option)
    assert len(found) == len(result.voltages)
    expected = {(x.key, "load") for x in circuit.loads} | {(s.key, "charger") for s in circuit.sources}
    expected |= {(c.key, "charger") for c in circuit.converters} | {("engine", "starter")}
    expected |= {(c.key, f"controller_{lead}") for c in circuit.controllers for lead in ("supply", "sense")}
    # the relay of the second option senses its from-side, the start bus, and no other
    expected |= {("links.vsr.relay", "relay_from")} if option == "dedicated" else set()
    assert set(found) == expected


@OPTIONS
def test_voltages_are_those_of_the_solved_cases(option: str) -> None:
    result, _ = evaluated(option)
    volts = {case.id: {n.node: n.voltage_v for n in case.nodes} for case in result.cases}
    for point in result.voltages:
        assert [v.case for v in point.volts] == [case.id for case in result.cases]
        for v in point.volts:
            plus, minus = volts[v.case][point.positive], volts[v.case][point.negative]
            assert v.voltage_v == (None if plus is None or minus is None else pytest.approx(plus - minus, abs=1e-12))


@OPTIONS
def test_lowest_and_highest_are_over_the_cases_that_last(option: str) -> None:
    for point in points(option).values():
        lasting = [v.voltage_v for v in point.volts if v.voltage_v is not None and not v.case.startswith("cranking")]
        assert (point.lowest_v, point.highest_v) == (min(lasting), max(lasting))
        assert not point.lowest_case.startswith("cranking")


def test_with_the_contactor_open_the_controller_senses_the_lithium_alone() -> None:
    sensed, supply = (
        points("shared")["banks.lithium.controller", "controller_sense"],
        points("shared")["banks.lithium.controller", "controller_supply"],
    )
    apart = {p.kind: next(v.voltage_v for v in p.volts if v.case == "reserve") for p in (sensed, supply)}
    assert apart["controller_sense"] > apart["controller_supply"] + 0.5


@OPTIONS
def test_conductors_warm_between_their_place_and_their_limit(option: str) -> None:
    result, _ = evaluated(option)
    for c in result.conductors:
        assert c.warm_c is not None
        assert c.place_c - 1e-9 <= c.warm_c <= max(c.place_c, c.insulation_c) + 1e-9
        assert c.warm_case in {case.id for case in result.cases}
    assert max(c.warm_c - c.place_c for c in result.conductors) > 5.0


@OPTIONS
def test_banks_of_two_share_evenly_and_one_can_carry_for_both(option: str) -> None:
    result, circuit = evaluated(option)
    assert [s.bank for s in result.sharing] == [b.key for b in circuit.banks if len(b.strings) > 1]
    for bank in result.sharing:
        assert [s.current_share for s in bank.strings] == pytest.approx([0.5, 0.5], rel=1e-6)
        assert bank.spread_share == pytest.approx(0.0, abs=1e-6)
        assert {out.item for out in bank.outs} == {bank.strings[0].item}
        for out in bank.outs:
            assert out.dark == ()
