"""A thousand networks with rings, solved by the package and by two other ways: the tableau, and ngspice (Debian)."""

from __future__ import annotations

import json
import random
from dataclasses import asdict, replace
from pathlib import Path

import pytest

from proposal.results.studied import case_row, network_row
from proposal.studies.network.reduced import reduce_network
from proposal.studies.network.result import Network, Resistor, Solution
from proposal.studies.network.solve import solve
from tests.truth.again import check_laws
from tests.truth.meshed import meshed
from tests.truth.spice import Deck, run
from tests.truth.tableau import solve_tableau
from tests.truth.test_tableau import laws_hold, tableau_agrees

VOLTS = 1e-6
SHARE = 1e-6
OF_TABLEAU = range(900)
OF_SPICE = range(900, 1000)
AT_ONCE = 30
SPOTS = 5


def solved(seed: int) -> tuple[Network, Solution]:
    network, _ = meshed(seed)
    return network, solve(reduce_network(network))


def has_ring(network: Network) -> bool:
    """More branches than a tree of its nodes would have, batteries left out."""
    return len(network.resistors) >= len(network.nodes)


def flow_agrees(seed: int) -> None:
    network, solution = solved(seed)
    laws_hold(network, solution)
    tableau_agrees(network, solution, 48.0)
    if not solution.collapsed:
        answer = solve_tableau(network, solution.port_v)
        worst_v = max(abs(solution.voltage_v[node] - answer.voltage_v[node]) for node in network.nodes)
        assert worst_v < VOLTS


def chosen(seed: int) -> tuple[Network, list[tuple[str, str]]]:
    network, pairs = meshed(seed, faulted=True)
    return network, random.Random(seed).sample(pairs, min(SPOTS, len(pairs)))  # noqa: S311 - a choice of nodes


def faults_agree(seed: int) -> None:
    network, pairs = chosen(seed)
    seen = reduce_network(network).seen(pairs)
    for number, (one, other) in enumerate(pairs):
        short = Resistor("short", one, other, 0.0, 20.0)
        answer = solve_tableau(replace(network, resistors=(*network.resistors, short)))
        assert seen.fault_a[number] == pytest.approx(answer.current_a["short"], rel=SHARE)
        fed = {emf.key: answer.given_a[emf.key] for emf in network.emfs}
        ours = dict(zip((e.key for e in network.emfs), seen.fed_a[:, number], strict=True))
        assert ours == pytest.approx(fed, rel=SHARE, abs=SHARE * abs(seen.fault_a[number]))


@pytest.mark.parametrize("seed", range(12))
def test_a_dozen_networks_with_rings(seed: int) -> None:
    assert has_ring(meshed(seed)[0])
    flow_agrees(seed)
    faults_agree(seed)


def test_the_generator_makes_every_law_and_some_of_each_state() -> None:
    seen: set[str] = set()
    for seed in range(60):
        network, solution = solved(seed)
        seen |= {port.law for port in network.ports}
        seen |= {"bound" for e in network.emfs if e.accepts_a is not None}
        seen |= {"holds" for e in network.emfs if e.accepts_a == -solution.given_a[e.key] and e.accepts_a}
        for port in network.ports:
            if port.law == "charger":
                amps = solution.given_a[port.key]
                seen.add("off" if amps == 0.0 else "limit" if amps == port.current_a else "regulates")
    assert seen >= {"current", "power", "charger", "bound", "limit", "regulates", "off"}


@pytest.mark.nightly
@pytest.mark.parametrize("first", range(OF_TABLEAU.start, OF_TABLEAU.stop, AT_ONCE))
def test_nine_hundred_networks_with_rings_against_the_tableau(first: int) -> None:
    for seed in range(first, first + AT_ONCE):
        assert has_ring(meshed(seed)[0])
        flow_agrees(seed)
        faults_agree(seed)


def of_json(row: object) -> dict:
    return json.loads(json.dumps(asdict(row)))


@pytest.mark.reference
@pytest.mark.nightly
@pytest.mark.parametrize("seed", OF_SPICE)
def test_a_hundred_networks_with_rings_against_ngspice(seed: int, tmp_path: Path) -> None:
    network, solution = solved(seed)
    laws_hold(network, solution)
    row, case = of_json(network_row(network)), of_json(case_row(network, solution))
    faulted, pairs = chosen(seed)
    still = of_json(network_row(faulted))
    decks = [Deck.of(still, short=pair) for pair in pairs]
    flow, *shorts = run([Deck.of(row, case), *decks], tmp_path)
    assert solution.solved
    check_laws(flow.volts, row, case["ports"])
    worst_v = max(abs(solution.voltage_v[node] - flow.volts[node]) for node in network.nodes)
    assert worst_v < VOLTS
    seen = reduce_network(faulted).seen(pairs)
    for number, found in enumerate(shorts):
        assert seen.fault_a[number] == pytest.approx(abs(found.amps["short"]), rel=SHARE)
