"""Degenerate and limiting states of a circuit: what is switched off, taken out, or of no length."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proposal.circuit.model import Circuit
from proposal.studies.flow.cases import flow_cases
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case, emergency_keys, relay_keys
from proposal.studies.network.reduced import reduce_network
from proposal.studies.network.result import Network, Solution
from proposal.studies.network.solve import solve, solve_quickly
from tests.generate import CELLS, Built, cell, designed
from tests.studies.hand import OHM_PER_M, RULES, Hand

EACH = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)
NIGHT = Case("night", "20", 0.8)


def solved(circuit: Circuit, case: Case) -> tuple[Network, Solution]:
    network = assemble(circuit, case, RULES)
    return network, solve(reduce_network(network))


@EACH
def test_with_nothing_switched_on_nothing_flows(built: Built) -> None:
    """Relays open too: a coil or two banks at different voltages would make a current."""
    circuit = designed(built).circuit
    off = relay_keys(circuit, "vsr") | relay_keys(circuit, "contactor")
    # banks of different chemistry on one bus still equalise; alone they do not
    first = circuit.banks[0].key
    others = frozenset(b.key for b in circuit.batteries if b.bank != first)
    _, solution = solved(circuit, replace(NIGHT, open_devices=off, batteries_out=others))
    assert max((abs(a) for a in solution.current_a.values()), default=0.0) < 1e-6


@EACH
def test_an_open_switch_kills_what_hangs_behind_it_alone(built: Built) -> None:
    circuit = designed(built).circuit
    load = circuit.loads[0]
    case = Case("one", "20", 0.8, ((load.key, load.current_a),))
    _, on = solved(circuit, case)
    _, off = solved(circuit, replace(case, open_devices=frozenset({f"{load.key}.fuse"})))
    assert load.key in on.port_v
    assert load.key not in off.port_v
    assert load.positive not in off.voltage_v or off.port_v.get(load.key) is None
    assert load.positive in off.dead


@EACH
def test_a_bank_taken_out_gives_nothing(built: Built) -> None:
    circuit = designed(built).circuit
    for bank in circuit.banks:
        _, solution = solved(circuit, replace(NIGHT, batteries_out=frozenset(bank.strings)))
        assert not set(bank.strings) & set(solution.given_a)


@EACH
def test_cases_keep_to_what_they_say(built: Built) -> None:
    """Reserve without its contactors, cranking on its own bank, charging with every source and relay."""
    made = designed(built)
    circuit, flow = made.circuit, made.flow
    vsr, contactor, emergency = relay_keys(circuit, "vsr"), relay_keys(circuit, "contactor"), emergency_keys(circuit)
    for case in flow_cases(circuit):
        open_here = set(flow.networks[case.id].open_relays)
        assert (emergency <= open_here) is not (case.id == "cranking_emergency" and bool(emergency)) or not emergency
        if case.id == "reserve":
            assert contactor | vsr <= open_here
        if case.id == "charging":
            assert not (contactor | vsr) & open_here
            assert {s.key for s in circuit.sources} <= set(flow.solutions["charging"].port_v)
        if case.id == "rest":
            taken = {p.key for p in flow.networks["rest"].ports if p.key.startswith("loads.")}
            assert taken == {x.key for x in circuit.loads if x.always_on and x.mean_a > 0}
    if circuit.starter is not None:
        given = flow.solutions["cranking"].given_a
        own = [b.key for b in circuit.batteries if b.bank == circuit.starter.bus]
        assert sum(given[key] for key in own) > 0.2 * circuit.starter.cranking_a
        assert set(contactor | vsr) <= set(flow.networks["cranking"].open_relays)


@EACH
def test_the_quick_way_of_the_design_step_finds_the_same(built: Built) -> None:
    circuit = designed(built).circuit
    for case in flow_cases(circuit):
        quick = solve_quickly(circuit, case, RULES)
        slow = solve(reduce_network(assemble(circuit, case, RULES, quick.warm_c)))
        assert quick.voltage_v == pytest.approx(slow.voltage_v, rel=1e-9, abs=1e-9)
        assert quick.current_a == pytest.approx(slow.current_a, rel=1e-9, abs=1e-6)


def test_a_conductor_of_no_length_joins_its_ends() -> None:
    hand = Hand().battery("a", "post").cable("c.none", "post", "end", 0.0).load("l", "end", 100.0)
    _, solution = solved(hand.circuit(), Case("on", "20", 0.8, (("l", 100.0),)))
    assert solution.current_a["c.none"] == pytest.approx(100.0, rel=1e-9)
    assert solution.voltage_v["post"] - solution.voltage_v["end"] == pytest.approx(0.0, abs=1e-3)
    assert solution.kirchhoff_a < 1e-6


def test_a_single_battery_and_nothing_else() -> None:
    _, solution = solved(Hand().battery("a", "post").circuit(), NIGHT)
    assert solution.given_a == {"a": pytest.approx(0.0, abs=1e-9)}
    assert solution.solved


@pytest.mark.parametrize("limit_lead", [True, False])
def test_two_unequal_batteries_on_one_bus(limit_lead: bool) -> None:
    """Without bounds i0 = ΔE/ΣR; a rested lead battery that would be charged by it floats instead."""
    hand = Hand().battery("li", "li").battery("pb", "pb", chemistry="agm", voltage="12 V").cable("c.c", "li", "pb", 2.0)
    network, solution = solved(hand.circuit(), replace(NIGHT, limit_lead=limit_lead))
    emf = {e.key: e.emf_v for e in network.emfs}
    expected_a = (emf["li"] - emf["pb"]) / (0.005 + 0.005 + 2.0 * OHM_PER_M)
    assert solution.current_a["c.c"] == pytest.approx(0.0 if limit_lead else expected_a, rel=1e-9, abs=1e-9)


def test_what_nothing_joins_to_the_reference_is_dead_and_named() -> None:
    hand = Hand().battery("a", "post").cable("c.far", "nowhere", "farther").load("l", "farther", 5.0)
    network, solution = solved(hand.circuit(), Case("on", "20", 0.8, (("l", 5.0),)))
    assert set(network.dead) == {"nowhere", "farther"}
    assert "l" not in solution.port_v
    assert set(solution.voltage_v) == {"minus", "post"}


def test_warm_copper_has_more_resistance() -> None:
    """IEC 60228: 0.393 % per kelvin; the hand-made place is 20 °C in every season, the others are the case's."""
    hand = Hand().battery("a", "post").cable("c.c", "post", "end", 10.0)
    circuit = hand.circuit()
    hot = replace(circuit, places=(replace(circuit.places[0], hottest_c=70.0, coldest_c=-30.0),), memo={})
    ohm = {
        warm: solved(hot, replace(NIGHT, temperatures=warm))[0].resistors[0].resistance_ohm
        for warm in ("hot", "20", "cold")
    }  # fmt: skip
    assert ohm["20"] == pytest.approx(10.0 * OHM_PER_M, rel=1e-12)
    assert ohm["hot"] == pytest.approx(ohm["20"] * (1.0 + 0.00393 * 50.0), rel=1e-12)
    assert ohm["cold"] == pytest.approx(ohm["20"] * (1.0 - 0.00393 * 50.0), rel=1e-12)
