"""Single failures: one by hand, what must hold for all, and every failure solved again with a network made anew."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proposal.circuit.model import Circuit
from proposal.results.codec import plain
from proposal.results.studied import case_row, network_row
from proposal.studies.failures.effects import CHARGES_A, Change, Network
from proposal.studies.failures.result import Failure
from proposal.studies.failures.study import failures
from proposal.studies.flow.cases import flow_cases
from proposal.studies.flow.result import Flow
from proposal.studies.flow.study import load_flow
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import solve_quickly
from tests.generate import CELLS, Built, cell, designed
from tests.rules.conftest import Bench
from tests.studies.hand import OHM_PER_M, RULES, Hand
from tests.truth.again import solve_again

EACH = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)
CELL_HALF_V = 3.2781
"""Published cell at rest, half full."""


def found(built: Built) -> tuple[Circuit, Flow, tuple[Failure, ...]]:
    made = designed(built)
    cases = {case.id: case for case in flow_cases(made.circuit)}
    return made.circuit, made.flow, failures(made.circuit, built.family, cases, made.flow)


def two_strings(current_a: float) -> Circuit:
    hand = Hand()
    for n in (1, 2):
        post = f"post{n}"
        hand.battery(f"banks.b.s{n}", post, bank="banks.b").cable(f"banks.b.s{n}.positive", post, "terminal")
    hand.device("fuse", "banks.b.fuse", "terminal", "bus").load("loads.l", "bus", current_a)
    return hand.circuit()


def dark(circuit: Circuit, solution: Solution) -> set[str]:
    """Loads without voltage."""
    volts = solution.voltage_v
    return {x.key for x in circuit.loads if x.positive not in volts or x.negative not in volts}


def by_hand(circuit: Circuit) -> tuple[Network, tuple[Failure, ...]]:
    cases = {case.id: case for case in flow_cases(circuit)}
    flow = load_flow(circuit, RULES)
    return Network(circuit, RULES, cases, flow), failures(circuit, RULES, cases, flow)


def test_one_of_two_strings_open_by_hand() -> None:
    """450 A from strings of 5 mΩ and a metre of 35 mm² each, behind a fuse of 0.4 mΩ: with one open the whole of it
    flows through the other. 10 % of 12 V may be lost: 10.8 V is the least."""
    circuit = two_strings(450.0)
    network, rows = by_hand(circuit)
    open_v = 4 * CELL_HALF_V
    # either way the cable carries more than it may, and is taken at the limit of its insulation, 105 °C
    cable = circuit.conductors[0]
    bears = RULES.ampacity(cable.size, cable.insulation_c, 20.0, False, cable.bundled_count, system_v=12.0)
    assert bears.ampacity_a < 225.0
    string_ohm = 0.005 + OHM_PER_M * (1.0 + 0.00393 * 85.0)
    both_v, one_v = open_v - 450.0 * (string_ohm / 2 + 4e-4), open_v - 450.0 * (string_ohm + 4e-4)
    assert both_v > 10.8 > one_v
    usual = network.solve("usual", Change(out=frozenset({"banks.b.s1"})))
    assert network.flow.solutions["usual"].port_v["loads.l"] == pytest.approx(both_v, abs=1e-9)
    assert usual.port_v["loads.l"] == pytest.approx(one_v, abs=1e-9)
    (string,) = [f for f in rows if f.cause == "string_out"]
    assert (string.symptom, string.dead, string.low) == ("weak", (), ("loads.l",))
    assert set(string.items) == {"banks.b.s1", "banks.b.s1.positive", "banks.b.s2", "banks.b.s2.positive"}


def test_the_only_fuse_open_leaves_everything_dark_by_hand() -> None:
    _, rows = by_hand(two_strings(20.0))
    (bank,) = [f for f in rows if f.cause == "bank_off"]
    assert (bank.dead, bank.banks_off, bank.items) == (("loads.l",), ("banks.b",), ("banks.b.fuse",))


def test_a_source_lost_by_hand() -> None:
    """Two chargers of 10 and 5 A on an empty bus: without the first the second's five amperes are left."""
    hand = Hand().battery("banks.b.s1", "bus", bank="banks.b").device("fuse", "banks.b.fuse", "bus", "end")
    circuit = hand.source("sources.big", "bus", 10.0).source("sources.small", "bus", 5.0).circuit()
    _, rows = by_hand(circuit)
    (lost,) = [f for f in rows if f.item == "sources.big"]
    assert (lost.symptom, lost.lost, lost.stranded) == ("charge_lost", ("sources.big",), ())
    assert lost.charging == (("sources.small", pytest.approx(5.0)),)
    assert lost.charged == (("banks.b", pytest.approx(5.0)),)


@EACH
def test_each_failure_is_the_network_solved_anew(built: Built) -> None:
    """With a fresh memo and no reuse of solutions: dead loads, bus voltages and what still charges are the same."""
    circuit, built_flow, rows = found(built)
    cases = {case.id: case for case in flow_cases(circuit)}
    shut = {f.item: f"{f.item}.fuse" for f in rows if f.cause == "bank_off"}
    for bank, fuse in list(shut.items())[:2]:
        fresh = replace(circuit, memo={})
        opened = {name: replace(case, open_devices=case.open_devices | {fuse}) for name, case in cases.items()}
        flow = load_flow_of(fresh, built, opened)
        failure = next(f for f in rows if f.cause == "bank_off" and f.item == bank)
        usual = flow.solutions["usual"]
        assert set(failure.dead) == dark(circuit, usual) - dark(circuit, built_flow.solutions["usual"])
        for change in failure.buses:
            bus = circuit.bus[change.bus]
            volts = usual.voltage_v
            alive = bus.positive in volts and bus.negative in volts
            assert (change.after_v is not None) == alive
            if alive:
                assert change.after_v == pytest.approx(volts[bus.positive] - volts[bus.negative], abs=1e-6)


def load_flow_of(circuit: Circuit, built: Built, cases: dict[str, Case]) -> Flow:
    return Flow({}, {n: solve_quickly(circuit, cases[n], built.family) for n in ("usual", "charging")}, {})


@EACH
def test_another_method_finds_the_same_voltages(built: Built) -> None:
    """A sparse tableau with the branch currents among its unknowns, given only the network with the fuse left out."""
    circuit, _, rows = found(built)
    cases = {case.id: case for case in flow_cases(circuit)}
    for failure in (f for f in rows if f.cause == "bank_off"):
        case = replace(cases["usual"], open_devices=cases["usual"].open_devices | {f"{failure.item}.fuse"})
        solution = solve_quickly(circuit, case, built.family)
        network = assemble(circuit, case, built.family, solution.warm_c)
        state = plain(case_row(network, solution))
        volts = {network.reference: 0.0} | solve_again(plain(network_row(network)), state["ports"])
        for change in failure.buses:
            bus = circuit.bus[change.bus]
            if change.after_v is None:
                assert bus.positive not in volts or bus.negative not in volts
            else:
                assert change.after_v == pytest.approx(volts[bus.positive] - volts[bus.negative], abs=1e-6)


@EACH
def test_nothing_that_opens_lights_a_dark_load(built: Built) -> None:
    """Whatever fuse, switch or relay opens, the loads that have voltage are among those that had it."""
    circuit, flow, _ = found(built)
    network = Network(circuit, built.family, {case.id: case for case in flow_cases(circuit)}, flow)
    before = dark(circuit, flow.solutions["usual"])
    for device in circuit.devices:
        if device.circuit.startswith(("banks.", "links.", "panels.")):
            assert before <= dark(circuit, network.solve("usual", Change(opened=frozenset({device.key})))), device.key


@EACH
def test_every_fuse_switch_relay_and_negative_is_in_some_failure(built: Built) -> None:
    circuit, _, rows = found(built)
    named = {key for failure in rows for key in failure.items}
    assert {d.key for d in circuit.devices} <= named
    assert {c.key for c in circuit.conductors} <= named
    assert {s.key for s in circuit.sources} <= named
    managed = {b.key for b in circuit.batteries if b.cut_off}
    assert managed <= named


@EACH
def test_what_still_charges_is_not_what_was_lost(built: Built) -> None:
    circuit, _, rows = found(built)
    known = {s.key for s in circuit.sources} | {c.key for c in circuit.converters}
    for failure in rows:
        still = {key for key, amps in failure.charging if amps > CHARGES_A}
        assert still <= known
        assert not still & set(failure.lost)


@EACH
def test_the_engine_starts_worse_or_as_before(built: Built) -> None:
    circuit, flow, rows = found(built)
    if circuit.starter is None:
        assert all(f.starter_v is None for f in rows)
        return
    usual_v = flow.solutions["cranking"].port_v[circuit.starter.key]
    for failure in rows:
        assert failure.starter_v is None or failure.starter_v <= usual_v + 1e-9
    assert any(f.starter_v is None for f in rows)
    assert {f.symptom for f in rows if f.cause == "starter_circuit"} == {"start_lost"}


def test_a_dc_dc_charger_with_a_dead_input_gives_nothing() -> None:
    for volts in (12, 24):
        circuit, _, rows = found(cell("lithium_with_dc_dc", volts))
        for failure in rows:
            if failure.cause != "bank_off":
                continue
            for link in circuit.converters:
                bus = next((b for b in failure.buses if b.bus == link.from_bus), None)
                if bus is not None and bus.charging_v is None:
                    assert link.key not in dict(failure.charging)


def test_a_source_is_stranded_until_a_relay_joins_it_to_a_battery_by_hand() -> None:
    """A charger beyond a relay: with the relay open in use it finds nothing to start on, charging or not."""
    hand = Hand().battery("banks.b.s1", "bus", bank="banks.b").load("loads.l", "bus", 5.0)
    circuit = hand.device("vsr", "banks.b.vsr", "bus", "far").source("sources.far", "far", 10.0).circuit()
    network, _ = by_hand(circuit)
    charging = network.flow.solutions["charging"]
    joined = network.solve("usual", Change(closed=frozenset({"banks.b.vsr"})))
    apart = network.solve("usual", Change(opened=frozenset({"banks.b.vsr"})))
    assert "sources.far" in charging.given_a
    assert network.stranded(joined, charging) == ()
    assert network.stranded(apart, charging) == ("sources.far",)
    assert network.stranded(apart, charging, ("sources.far",)) == ()


@pytest.mark.parametrize("arrangement", ["lead_and_lithium", "house_and_starter"])
def test_only_the_bank_that_starts_the_engine_fails_as_a_start(arrangement: str) -> None:
    circuit, _, rows = found(cell(arrangement, 12))
    assert circuit.starter is not None
    assert {f.item for f in rows if f.cause == "battery_out"} == {circuit.starter.bus}


def test_at_home_is_what_the_house_switches_darken() -> None:
    """Neither the windlass of the start side nor the bilge pump that stays on."""
    evidence = Bench().option("vented")
    circuit = evidence.circuit
    network = Network(circuit, evidence.family, {c.id: c for c in flow_cases(circuit)}, evidence.design.flow)
    assert network.at_home == {f"loads.{name}" for name in ("fridge", "lights", "radio", "inverter")}
