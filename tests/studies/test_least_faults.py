"""Least prospective fault currents: closed forms drawn by hand, what holds on generated circuits, and W40, W41."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.circuit.designations import assign
from proposal.circuit.model import Circuit
from proposal.parts.chemistry import cell_count, cold_resistance_factor, ocv_v
from proposal.results.rows import conductor_rows
from proposal.studies.faults.least import LEAST_CHARGE_SHARE, least_case, least_faults
from proposal.studies.faults.study import fault_currents, standard_currents
from proposal.studies.network.assemble import AGED_RESISTANCE_FACTOR, CONTACT_OHM, assemble
from proposal.studies.network.equations import conductor_ohm
from proposal.studies.network.result import Resistor
from proposal.studies.protection.study import feeds
from tests.generate import CELLS, Built, cell, designed
from tests.studies.hand import OHM_PER_M, PLACE, RULES, Hand, battery_part
from tests.truth.tableau import solve_tableau

LOW_V = ocv_v("lithium", LEAST_CHARGE_SHARE, cell_count(battery_part()))
COLD_C = -18.0
WEAK_OHM = 0.005 * AGED_RESISTANCE_FACTOR * cold_resistance_factor("lithium", COLD_C)
with (Path(__file__).parents[1] / "truth" / "worked_examples.csv").open(encoding="utf-8", newline="") as stream:
    WORKED = {row["id"]: row for row in csv.DictReader(stream)}


def cold(hand: Hand) -> Circuit:
    """The circuit with its place as cold as the coldest night."""
    return replace(hand.circuit(), places=(replace(PLACE, coldest_c=COLD_C, hottest_c=50.0),))


def hot_m(length_m: float) -> float:
    """Resistance [Ω] of a conductor at its insulation's limit of 105 °C (IEC 60228: 0.00393 per kelvin)."""
    return OHM_PER_M * length_m * (1.0 + 0.00393 * 85.0)


def test_the_case_is_what_makes_a_current_least() -> None:
    """I = E(20 %)/(1.5·k_cold·R + r·l·(1 + α·85 K)): one bank, cold and aged, conductors at 105 °C."""
    hand = Hand().battery("a", "post").cable("a.main", "post", "end", 4.0)
    found = least_faults(cold(hand), RULES, {})
    assert found.by_node["end"] == ("a", pytest.approx(LOW_V / (WEAK_OHM + hot_m(4.0)), rel=1e-12))
    assert found.at("nowhere") is None


def test_a_charge_source_helps_nothing() -> None:
    hand = Hand().battery("a", "post").cable("a.main", "post", "end", 4.0)
    alone = least_faults(cold(hand), RULES, {}).at("end")
    assert least_faults(cold(hand.source("s", "end", 60.0)), RULES, {}).at("end") == alone


def test_the_weaker_of_two_banks_makes_the_least_current() -> None:
    hand = Hand().battery("a", "post").battery("b", "bus").cable("a.main", "post", "bus", 3.0)
    found = least_faults(cold(hand), RULES, {})
    assert found.by_node["bus"] == ("a", pytest.approx(LOW_V / (WEAK_OHM + hot_m(3.0)), rel=1e-12))
    assert found.by_node["post"] == ("b", pytest.approx(LOW_V / (WEAK_OHM + hot_m(3.0)), rel=1e-12))


def test_strings_of_one_bank_stand_together() -> None:
    hand = Hand().battery("a.s1", "post", bank="a").battery("a.s2", "post", bank="a")
    assert least_faults(cold(hand), RULES, {}).at("post") == pytest.approx(2.0 * LOW_V / WEAK_OHM, rel=1e-12)


def test_an_emergency_switch_is_open_as_in_ordinary_use() -> None:
    hand = Hand().battery("a", "a").battery("b", "b").device("switch", "l.emergency", "a", "b", "links.vsr")
    hand.cable("load", "b", "end", 2.0)
    assert least_faults(cold(hand), RULES, {}).by_node["end"][0] == "b"


def test_a_fuse_sees_the_far_end_of_what_it_guards() -> None:
    hand = Hand().battery("a", "post").device("fuse", "a.fuse", "post", "fused").cable("a.main", "fused", "end", 5.0)
    circuit = cold(hand)
    (seen,) = least_faults(circuit, RULES, feeds(circuit)).seen
    expected = LOW_V / (WEAK_OHM + CONTACT_OHM["fuse"] + hot_m(5.0))
    assert (seen.conductor, seen.node, seen.fuse, seen.bank) == ("a.main", "end", "a.fuse", "a")
    assert seen.current_a == pytest.approx(expected, rel=1e-12)
    assert seen.through_fuse_a == pytest.approx(expected, rel=1e-9)


def test_a_link_is_seen_from_both_sides_each_by_its_own_fuse() -> None:
    """A fuse at each end of a link: a fault at the other end, fed by the bank on the fuse's side."""
    hand = Hand().battery("a", "a").battery("b", "b")
    hand.device("fuse", "l.from_fuse", "a", "one").cable("link", "one", "other", 6.0)
    hand.device("fuse", "l.to_fuse", "other", "b")
    circuit = cold(hand)
    found = {(s.fuse, s.node): s for s in least_faults(circuit, RULES, feeds(circuit)).of_conductor("link")}
    expected = LOW_V / (WEAK_OHM + CONTACT_OHM["fuse"] + hot_m(6.0))
    assert set(found) == {("l.from_fuse", "other"), ("l.to_fuse", "one")}
    for seen, bank in zip(found.values(), ("a", "b"), strict=True):
        assert (seen.bank, seen.through_fuse_a) == (bank, pytest.approx(expected, rel=1e-9))


def test_fuses_side_by_side_share_what_flows() -> None:
    """Two equal strings of one bank, each with its fuse: each sees half of a fault behind both."""
    hand = Hand().battery("a.s1", "p1", bank="a").battery("a.s2", "p2", bank="a")
    hand.device("fuse", "a.s1.fuse", "p1", "bus").device("fuse", "a.s2.fuse", "p2", "bus").cable("x", "bus", "end", 2.0)
    circuit = cold(hand)
    for seen in least_faults(circuit, RULES, feeds(circuit)).of_conductor("x"):
        assert seen.through_fuse_a == pytest.approx(seen.current_a / 2.0, rel=1e-9)


@given(length_m=st.floats(0.1, 50.0), more_m=st.floats(0.1, 50.0))
def test_a_longer_conductor_never_has_the_larger_fault(length_m: float, more_m: float) -> None:
    def both(metres: float) -> tuple[float, float]:
        circuit = cold(Hand().battery("a", "post").cable("a.main", "post", "end", metres))
        least = least_faults(circuit, RULES, {}).at("end")
        assert least is not None
        return fault_currents(circuit, RULES)[1].at("end"), least

    near, far = both(length_m), both(length_m + more_m)
    assert near[0] > far[0] > 0.0
    assert near[1] > far[1] > 0.0


@given(amps=st.floats(1.0, 500.0), length_m=st.floats(0.1, 20.0))
def test_one_more_source_never_lowers_the_highest(amps: float, length_m: float) -> None:
    hand = Hand().battery("a", "post").cable("a.main", "post", "end", length_m)
    before = fault_currents(hand.circuit(), RULES)[1]
    with_source = fault_currents(hand.source("s", "end", amps).circuit(), RULES)[1]
    with_bank = fault_currents(hand.battery("b", "end").circuit(), RULES)[1]
    for node in ("post", "end"):
        assert before.at(node) < with_source.at(node) < with_bank.at(node)


CASES = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)


@CASES
def test_the_least_is_never_above_the_highest(built: Built) -> None:
    made = designed(built)
    assert made.least_faults.by_node.keys() == made.faults.by_node.keys()
    for node, (_, least_a) in made.least_faults.by_node.items():
        assert 0.0 < least_a < made.faults.at(node), node


@CASES
def test_every_fuse_with_a_battery_before_it_sees_what_it_guards(built: Built) -> None:
    made = designed(built)
    wanted = {
        (key, feed.key)
        for key, both in made.feeds.items()
        for end in both.ends
        for feed in end
        if feed.kind == "fuse" and feed.limited_a is None
    }
    seen = {(s.conductor, s.fuse) for s in made.least_faults.seen}
    assert seen <= wanted
    for device in made.circuit.devices:
        for guarded in device.guards if device.kind == "fuse" else ():
            assert (guarded, device.key) in seen or (guarded, device.key) not in wanted, device.key
    for least in made.least_faults.seen:
        assert 0.0 < least.through_fuse_a <= least.current_a * (1.0 + 1e-9)
        assert least.current_a >= made.least_faults.by_node[least.node][1] * (1.0 - 1e-12)


@CASES
def test_a_real_short_in_the_tableau_drives_the_same_current_through_the_fuse(built: Built) -> None:
    """A nano-ohm between two nodes, solved by another method with the branch currents as unknowns."""
    made = designed(built)
    for least in made.least_faults.seen[:: max(1, len(made.least_faults.seen) // 4)]:
        network = assemble(made.circuit, least_case(made.circuit, least.bank), built.family)
        short = Resistor("short", least.node, made.circuit.node[least.node].mate, 1e-9, 20.0)
        found = solve_tableau(replace(network, resistors=(*network.resistors, short)))
        assert found.current_a["short"] == pytest.approx(least.current_a, rel=1e-5)
        assert abs(found.current_a[least.fuse]) == pytest.approx(least.through_fuse_a, rel=1e-5)


@CASES
def test_the_standards_currents_stand_in_order(built: Built) -> None:
    """Quasi-steady below peak below Thévenin: a full battery rests above 1.05 of its nominal voltage."""
    made = designed(built)
    found = standard_currents(made.circuit, made.fault_network)
    assert found.keys() == made.faults.by_node.keys()
    for node, standard in found.items():
        assert 0.0 < standard.quasi_steady_a < standard.peak_a < made.faults.at(node)


def test_from_memory_w40_w41_through_the_study() -> None:
    # IEC 61660-1, battery clause, from memory: 12 V, 5 milliohm, 2 m of 35 mm² class 2 (IEC 60228: 0.524 ohm per km)
    assert {WORKED[row]["status"] for row in ("W40", "W41")} == {"from memory"}
    loop_m = conductor_ohm(0.524e-3, 2.0, 20.0) / OHM_PER_M
    hand = Hand().battery("a", "post", chemistry="flooded", voltage="12 V").cable("a.main", "post", "end", loop_m)
    circuit = hand.circuit()
    network, faults = fault_currents(circuit, RULES)
    found = standard_currents(circuit, network)["end"]
    assert found.peak_a == pytest.approx(float(WORKED["W40"]["expected"]), rel=1e-3)
    assert found.quasi_steady_a == pytest.approx(float(WORKED["W41"]["expected"]), rel=1e-3)
    assert faults.at("end") > found.peak_a


def test_a_makers_short_circuit_current_is_not_raised_by_the_standard() -> None:
    """1.05 of the nominal voltage lies below a full battery's: the peak at its posts stays below the stated current."""
    circuit = Hand().battery("a", "post", chemistry="agm", voltage="12 V", short_circuit="3350 A").circuit()
    network, faults = fault_currents(circuit, RULES)
    assert faults.at("post") == pytest.approx(3350.0, rel=1e-12)
    assert standard_currents(circuit, network)["post"].peak_a < 3350.0


@CASES
def test_both_ends_of_every_conductor_have_a_highest_and_a_least(built: Built) -> None:
    made = designed(built)
    rows = conductor_rows(made, built.family, assign({}, [made.circuit]))
    assert len(rows) == len(made.circuit.conductors)
    for row in rows:
        for least_a, highest_a in ((row.least_fault_from_a, row.fault_from_a), (row.least_fault_to_a, row.fault_to_a)):
            assert least_a is not None
            assert 0.0 < least_a < highest_a, row.key
