"""Conductors at the temperature that their own currents give them: heat I²·R leaves in proportion to the rise."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from proposal.circuit.model import Circuit
from proposal.studies.flow.cases import flow_cases
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case
from proposal.studies.network.equations import conductor_c
from proposal.studies.network.result import Network, Solution
from proposal.studies.network.solve import solve_quickly
from proposal.studies.network.warmth import SETTLED_K
from tests.generate import CELLS, Built, cell, designed
from tests.studies.hand import OHM_PER_M, RULES, Hand
from tests.truth.tableau import solve_tableau

EACH = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)
HOT = Case("hot", "hot", 0.8, (("l", 100.0),))
LENGTH_M = 5.0


def one_cable(load_a: float, *, power: bool = False) -> Circuit:
    """35 mm² of 105 °C at a place of 40 °C, from a battery to one load."""
    hand = Hand().battery("a", "post").cable("c.c", "post", "end", LENGTH_M).load("l", "end", load_a)
    circuit = hand.circuit()
    loads = tuple(replace(x, constant_power=power) for x in circuit.loads)
    return replace(circuit, places=(replace(circuit.places[0], hottest_c=40.0),), loads=loads, memo={})


def bears_a(circuit: Circuit) -> float:
    c = circuit.conductors[0]
    return RULES.ampacity(c.size, c.insulation_c, 40.0, False, c.bundled_count, system_v=12.0).ampacity_a


def solved(circuit: Circuit, case: Case) -> tuple[Network, Solution]:
    solution = solve_quickly(circuit, case, RULES)
    return assemble(circuit, case, RULES, solution.warm_c), solution


def test_the_law_by_hand() -> None:
    """At half of what it may carry a quarter of the rise, at all of it the whole, and no more beyond."""
    at = np.array([0.0, 50.0, 100.0, -100.0, 300.0])
    full = np.full(5, 100.0)
    found = conductor_c(np.full(5, 40.0), np.full(5, 105.0), at, full)
    assert found == pytest.approx([40.0, 40.0 + 65.0 / 4.0, 105.0, 105.0, 105.0])


def test_a_place_above_the_limit_is_the_temperature_and_nothing_is_divided_by_zero() -> None:
    one = np.ones(1)
    assert conductor_c(90.0 * one, 75.0 * one, 10.0 * one, 0.0 * one) == pytest.approx([90.0])


def test_a_steady_current_warms_its_conductor_and_the_drop_is_that_of_warm_copper() -> None:
    circuit = one_cable(100.0)
    warm_c = 40.0 + 65.0 * (100.0 / bears_a(circuit)) ** 2
    network, solution = solved(circuit, HOT)
    assert 45.0 < warm_c < 100.0
    assert network.resistors[0].temperature_c == pytest.approx(warm_c, abs=1e-9)
    drop_v = 100.0 * OHM_PER_M * LENGTH_M * (1.0 + 0.00393 * (warm_c - 20.0))
    assert solution.voltage_v["post"] - solution.voltage_v["end"] == pytest.approx(drop_v, rel=1e-9)
    assert solution.conductor_c == {"c.c": network.resistors[0].temperature_c}


def test_above_what_it_may_carry_it_stays_at_its_limit_and_is_solved() -> None:
    network, solution = solved(one_cable(400.0), replace(HOT, loads=(("l", 400.0),)))
    assert network.resistors[0].temperature_c == 105.0
    assert solution.solved


@pytest.mark.parametrize("change", [{"temperatures": "cold"}, {"temperatures": "20"}, {"lasts": False}])
def test_cold_short_and_fault_cases_do_not_warm(change: dict[str, object]) -> None:
    circuit = one_cable(100.0)
    case = replace(HOT, **change)
    network, _ = solved(circuit, case)
    assert network.resistors[0].temperature_c == assemble(circuit, case, RULES).resistors[0].temperature_c


def test_a_constant_power_settles_where_a_slow_iteration_does() -> None:
    """Temperature and voltage by turns, each from the other, two hundred times."""
    circuit = one_cable(100.0, power=True)
    _, solution = solved(circuit, HOT)
    emf_v = assemble(circuit, HOT, RULES).emfs[0].emf_v
    warm_c, volts, power_w = 40.0, 12.0, 1200.0
    for _ in range(200):
        warm_c = 40.0 + 65.0 * (power_w / volts / bears_a(circuit)) ** 2
        ohm = OHM_PER_M * LENGTH_M * (1.0 + 0.00393 * (warm_c - 20.0)) + 0.005
        volts = emf_v - ohm * power_w / volts
    assert solution.conductor_c["c.c"] == pytest.approx(warm_c, abs=SETTLED_K)
    assert solution.port_v["l"] == pytest.approx(volts, abs=1e-4)


@EACH
def test_every_conductor_is_as_warm_as_its_solved_current_makes_it(built: Built) -> None:
    made = designed(built)
    circuit = made.circuit
    for case in flow_cases(circuit):
        network, solution = made.flow.networks[case.id], made.flow.solutions[case.id]
        for resistor in network.resistors:
            if resistor.key not in circuit.conductor:
                continue
            c = circuit.conductor[resistor.key]
            place = circuit.place[c.place]
            at_c = {"hot": place.hottest_c, "cold": place.coldest_c}[case.temperatures]
            share = min(1.0, abs(solution.current_a[c.key]) / made.ampacities[c.key].ampacity_a)
            rise_k = max(0.0, c.insulation_c - at_c) * share**2 if case.heats else 0.0
            assert resistor.temperature_c == pytest.approx(at_c + rise_k, abs=SETTLED_K), (case.id, c.key)


@EACH
def test_warmer_copper_never_gives_a_load_more_voltage(built: Built) -> None:
    made = designed(built)
    case = next(c for c in flow_cases(made.circuit) if c.id == "usual")
    cool = solve_tableau(assemble(made.circuit, case, built.family))
    warm = made.flow.solutions["usual"]
    if not cool.settled:
        return
    for load in made.circuit.loads:
        if load.key in warm.port_v:
            cool_v = cool.voltage_v[load.positive] - cool.voltage_v[load.negative]
            assert warm.port_v[load.key] <= cool_v + 1e-3
