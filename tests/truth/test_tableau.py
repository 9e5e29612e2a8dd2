"""Kirchhoff's laws, power balance and every law of a load or source, on every case of generated circuits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from proposal.circuit.model import Circuit
from proposal.design.step import MOST_ROUNDS
from proposal.studies.flow.study import load_flow
from proposal.studies.network.result import Network, Solution
from tests.generate import CELLS, PROJECT_NAMES, Built, cell, designed, options_of, project, seeded, texts
from tests.truth.tableau import solve_tableau

KIRCHHOFF_A = 1e-6
POWER_SHARE = 1e-6
AGREES = 1e-9


def laws_hold(network: Network, solution: Solution) -> None:
    """What a solution must satisfy whatever method found it, from its voltages and currents alone."""
    volts, amps, given = solution.voltage_v, solution.current_a, solution.given_a
    left_a = dict.fromkeys(network.nodes, 0.0)
    for r in network.resistors:
        assert amps[r.key] == pytest.approx((volts[r.from_node] - volts[r.to_node]) / r.resistance_ohm, abs=1e-9)
        left_a[r.from_node] -= amps[r.key]
        left_a[r.to_node] += amps[r.key]
    ports = [p for p in network.ports if p.key not in solution.collapsed]
    for source in (*network.emfs, *ports):
        left_a[source.positive] += given[source.key]
        left_a[source.negative] -= given[source.key]
        assert solution.port_v[source.key] == pytest.approx(volts[source.positive] - volts[source.negative], abs=1e-9)
    assert max(abs(a) for a in left_a.values()) < KIRCHHOFF_A
    assert solution.kirchhoff_a < KIRCHHOFF_A
    power_w = [given[s.key] * solution.port_v[s.key] for s in (*network.emfs, *ports)]
    lost_w = sum(amps[r.key] ** 2 * r.resistance_ohm for r in network.resistors)
    turned_w = sum(abs(w) for w in power_w) + lost_w
    assert abs(sum(power_w) - lost_w) <= POWER_SHARE * max(turned_w, 1.0)
    assert abs(solution.power_error_w) <= POWER_SHARE * max(turned_w, 1.0)
    for emf in network.emfs:
        law_a = (emf.emf_v - solution.port_v[emf.key]) / emf.resistance_ohm
        law_a = law_a if emf.accepts_a is None else max(law_a, -emf.accepts_a)
        assert given[emf.key] == pytest.approx(law_a, abs=1e-6)
    for port in ports:
        if port.law == "current":
            assert given[port.key] == -port.current_a
        elif port.law == "power":
            assert -given[port.key] * solution.port_v[port.key] == pytest.approx(port.power_w, rel=1e-9)
        else:
            wanted_a = (port.set_v - solution.port_v[port.key]) / port.droop_ohm
            assert given[port.key] == pytest.approx(min(max(wanted_a, 0.0), port.current_a), abs=1e-6)


def tableau_agrees(network: Network, solution: Solution, system_v: float) -> None:
    """Every voltage and current of a solution against the sparse tableau, relative to the largest of its kind."""
    if solution.collapsed:
        assert not solve_tableau(network).settled
        network = replace(network, ports=tuple(p for p in network.ports if p.key not in solution.collapsed))
    answer = solve_tableau(network, solution.port_v)
    assert answer.settled
    largest_a = max(10.0, *(abs(a) for a in answer.given_a.values()))
    for ours, theirs, scale in (
        (solution.voltage_v, answer.voltage_v, system_v),
        (solution.current_a, answer.current_a, largest_a),
        (solution.given_a, answer.given_a, largest_a),
    ):
        assert ours.keys() == theirs.keys()
        assert max((abs(ours[key] - theirs[key]) for key in ours), default=0.0) <= AGREES * scale


def everything_holds(built: Built) -> None:
    flow = designed(built).flow
    assert set(flow.networks) == set(flow.solutions)
    for case, network in flow.networks.items():
        laws_hold(network, flow.solutions[case])
        tableau_agrees(network, flow.solutions[case], built.circuit.system_v)


@pytest.mark.parametrize(("arrangement", "volts"), CELLS)
def test_laws_hold_in_every_arrangement_at_every_voltage(arrangement: str, volts: int) -> None:
    everything_holds(cell(arrangement, volts))


@pytest.mark.parametrize("name", PROJECT_NAMES)
def test_laws_hold_on_the_demonstration_projects(name: str) -> None:
    for built in project(name):
        everything_holds(built)


def bent_sizes(built: Built, seed: int) -> Circuit:
    """The circuit with any size on any conductor: thin ones on the way to large loads, thick ones to small."""
    rng = np.random.default_rng(seed)
    sizes = rng.choice(len(built.family.sizes), size=len(built.circuit.conductors))
    conductors = zip(built.circuit.conductors, sizes, strict=True)
    return built.circuit.with_parts(
        conductors=tuple(replace(c, size=built.family.sizes[n]) for c, n in conductors)
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(8))
def test_laws_hold_at_sizes_that_nobody_would_choose(seed: int) -> None:
    for built in seeded(1000 + seed, most_loads=12):
        flow = load_flow(bent_sizes(built, seed), built.family)
        for case, network in flow.networks.items():
            laws_hold(network, flow.solutions[case])


@settings(max_examples=8, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(texts(most_loads=4))
def test_any_spec_gets_a_design_on_which_the_laws_hold(text: str) -> None:
    for built in options_of(text):
        made = built.design()
        assert made.rounds < MOST_ROUNDS
        for case, network in made.flow.networks.items():
            laws_hold(network, made.flow.solutions[case])


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(2000, 2200))
def test_laws_hold_on_many_generated_circuits(seed: int) -> None:
    for built in seeded(seed):
        everything_holds(built)
        flow = load_flow(bent_sizes(built, seed), built.family)
        for case, network in flow.networks.items():
            laws_hold(network, flow.solutions[case])
            tableau_agrees(network, flow.solutions[case], built.circuit.system_v)
