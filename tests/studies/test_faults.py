"""Prospective fault currents: closed forms on circuits drawn by hand, and what holds on every generated one."""

from dataclasses import replace
from itertools import pairwise

import pytest

from proposal.parts.chemistry import full_rest_v
from proposal.studies.faults.study import fault_currents
from proposal.studies.network.assemble import CONTACT_OHM
from proposal.studies.network.result import Resistor
from tests.generate import CELLS, Built, cell, designed
from tests.studies.hand import OHM_PER_M, RULES, Hand, battery_part
from tests.truth.tableau import solve_tableau

FULL_V = full_rest_v(battery_part())
BATTERY_OHM = 0.9 * 0.005
"""IEC 61660-1, battery clause (from memory): nine tenths of the resistance hold back a fault."""


def at(hand: Hand, node: str) -> float:
    return fault_currents(hand.circuit(), RULES)[1].at(node)


def test_at_the_post_of_a_battery_its_voltage_over_its_resistance() -> None:
    """I = E/R."""
    assert at(Hand().battery("a", "post"), "post") == pytest.approx(FULL_V / BATTERY_OHM, rel=1e-12)


def test_at_the_end_of_a_conductor_its_resistance_comes_in() -> None:
    """I = E/(R + r·l)."""
    hand = Hand().battery("a", "post").cable("a.main", "post", "end", 4.0)
    assert at(hand, "end") == pytest.approx(FULL_V / (BATTERY_OHM + 4.0 * OHM_PER_M), rel=1e-12)


def test_a_fuse_counts_with_its_contact_resistance() -> None:
    hand = Hand().battery("a", "post").device("fuse", "a.fuse", "post", "end")
    assert at(hand, "end") == pytest.approx(FULL_V / (BATTERY_OHM + CONTACT_OHM["fuse"]), rel=1e-12)


def test_strings_in_parallel_add_and_batteries_in_series_do_not() -> None:
    """n strings: n·E/R; n in series: n·E/(n·R)."""
    parallel = Hand().battery("a", "post").battery("b", "post").battery("c", "post")
    assert at(parallel, "post") == pytest.approx(3.0 * FULL_V / BATTERY_OHM, rel=1e-12)
    assert at(Hand().battery("a", "post", series=4), "post") == pytest.approx(FULL_V / BATTERY_OHM, rel=1e-12)


def test_strings_through_their_own_conductors_add_each_with_its_own_resistance() -> None:
    """I = Σ E/(R + r·l): take-offs of different length share unequally."""
    hand = Hand().battery("a", "a").battery("b", "b").cable("a.link", "a", "bus", 0.5).cable("b.link", "b", "bus", 3.0)
    each = [FULL_V / (BATTERY_OHM + length * OHM_PER_M) for length in (0.5, 3.0)]
    _, faults = fault_currents(hand.circuit(), RULES)
    assert faults.at("bus") == pytest.approx(sum(each), rel=1e-12)
    assert dict(faults.by_node["bus"].feeds) == pytest.approx({"a": each[0], "b": each[1]}, rel=1e-12)


def test_a_charge_source_adds_its_full_current() -> None:
    """Superposition: E/R + I_source at the post."""
    hand = Hand().battery("a", "post").source("s", "post", 60.0)
    assert at(hand, "post") == pytest.approx(FULL_V / BATTERY_OHM + 60.0, rel=1e-12)


def test_what_the_maker_states_is_found_at_the_posts() -> None:
    hand = Hand().battery("a", "post", chemistry="agm", voltage="12 V", short_circuit="3350 A")
    assert at(hand, "post") == pytest.approx(3350.0, rel=1e-12)


def test_an_open_emergency_switch_is_taken_as_closed() -> None:
    hand = Hand().battery("a", "a").battery("b", "b").device("switch", "l.emergency", "a", "b", "links.vsr")
    closed = FULL_V / BATTERY_OHM + FULL_V / (BATTERY_OHM + CONTACT_OHM["switch"])
    assert at(hand, "a") == pytest.approx(closed, rel=1e-12)


def test_without_any_battery_there_is_no_fault() -> None:
    hand = Hand().cable("a.main", "post", "end").load("l", "end", 5.0)
    assert at(hand, "end") == 0.0


CASES = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)


@CASES
def test_feeds_make_up_the_fault_and_it_is_voltage_over_resistance(built: Built) -> None:
    for fault in designed(built).faults.by_node.values():
        assert sum(amps for _, amps in fault.feeds) == pytest.approx(fault.current_a, rel=1e-9)
        assert fault.current_a == pytest.approx(fault.open_v / fault.resistance_ohm, rel=1e-12)
        assert fault.current_a > 0.0


@CASES
def test_a_branch_end_never_sees_more_fault_current_than_the_bus_that_feeds_it(built: Built) -> None:
    """Along the branch of a load the fault current falls: bus, fuse, far end."""
    faults = designed(built).faults
    for load in built.circuit.loads:
        way = [built.circuit.bus[load.bus].positive, f"{load.key}.fused", load.positive]
        currents = [faults.at(node) for node in way]
        assert all(nearer > farther for nearer, farther in pairwise(currents))


@CASES
def test_a_real_short_in_the_tableau_carries_the_same_current(built: Built) -> None:
    """A nano-ohm between two nodes, solved by another method with the branch currents as unknowns."""
    made = designed(built)
    network = made.fault_network
    for bus in built.circuit.buses[:3]:
        short = Resistor("short", bus.positive, bus.negative, 1e-9, 20.0)
        found = solve_tableau(replace(network, resistors=(*network.resistors, short)))
        assert found.current_a["short"] == pytest.approx(made.faults.at(bus.positive), rel=1e-5)


@CASES
def test_every_charge_source_and_dc_dc_charger_adds_its_nameplate_current(built: Built) -> None:
    wanted = {s.key: max(s.rated_a, s.current_a) for s in built.circuit.sources}
    wanted |= {f"{c.key}.output": c.output_a for c in built.circuit.converters}
    for fault in designed(built).faults.by_node.values():
        fed = dict(fault.feeds)
        assert {key: fed[key] for key in wanted} == wanted
