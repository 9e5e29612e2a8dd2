"""First current when a relay closes: i0 = ΔU/ΣR."""

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.parts.chemistry import cell_count, ocv_v
from proposal.studies.joins.equations import as_first_s
from proposal.studies.joins.result import Join
from proposal.studies.joins.study import EMPTY_SHARE, FULL_SHARE, first_currents
from proposal.studies.network.assemble import CONTACT_OHM
from tests.generate import cell, designed
from tests.studies.hand import OHM_PER_M, RULES, Hand, battery_part

LEAD = {"chemistry": "agm", "voltage": "12 V", "resistance": "4 mohm"}
STRONGEST = 0.9
"""Of a stated resistance, as for a short circuit (after IEC 61660-1)."""
LITHIUM_OHM, LEAD_OHM = STRONGEST * 0.005, STRONGEST * 0.004
RELAY = "relay"


def rest_v(share: float, **fields: str) -> float:
    part = battery_part(**fields)
    return ocv_v(part.chemistry, share, cell_count(part))


def two_banks(kind: str = "contactor") -> Hand:
    """Lithium ─2 m─ relay ─1 m─ lead."""
    hand = Hand().battery("li", "li", bank="banks.li").battery("pb", "pb", bank="banks.pb", **LEAD)
    of_circuit = "banks.li" if kind == "contactor" else "links.vsr"
    hand.cable("li.main", "li", "near", 2.0).device(kind, "relay", "near", "far", of_circuit)
    return hand.cable("pb.main", "far", "pb", 1.0)


def joins(hand: Hand) -> dict[str, Join]:
    return {j.situation: j for j in first_currents(hand.circuit(), RULES)}


@pytest.mark.parametrize("kind", ["contactor", "vsr"])
def test_two_banks_through_their_loop(kind: str) -> None:
    loop_ohm = LITHIUM_OHM + LEAD_OHM + 3.0 * OHM_PER_M + CONTACT_OHM[kind]
    found = joins(two_banks(kind))
    full_lead_v = rest_v(FULL_SHARE, **LEAD) - rest_v(EMPTY_SHARE)
    full_lithium_v = rest_v(FULL_SHARE) - rest_v(EMPTY_SHARE, **LEAD)
    for situation, difference_v in (("near_empty", full_lead_v), ("far_empty", full_lithium_v)):
        join = found[situation]
        if kind == "vsr" and situation == "near_empty":  # rested lead does not lift it to 13.3 V
            assert (join.ruled_by, join.current_a) == ("below_threshold", 0.0)
            assert join.free_v == pytest.approx(full_lead_v, rel=1e-9)
            continue
        assert join.difference_v == pytest.approx(abs(difference_v), rel=1e-9)
        assert join.resistance_ohm == pytest.approx(loop_ohm, rel=1e-9)
        assert join.current_a == pytest.approx(abs(difference_v) / loop_ohm, rel=1e-9)


def test_the_published_case_of_a_trade_figure() -> None:
    """14.4 V against 11.8 V over 11 mΩ is 236 A (common practice): the formula alone, on a loop made to match."""
    loop_m = (0.011 - CONTACT_OHM["contactor"] - LITHIUM_OHM - LEAD_OHM) / OHM_PER_M
    hand = Hand().battery("li", "near", bank="banks.li").battery("pb", "pb", bank="banks.pb", **LEAD)
    hand.device("contactor", "relay", "near", "far", "banks.li").cable("pb.main", "far", "pb", loop_m)
    join = joins(hand)["far_empty"]
    assert join.resistance_ohm == pytest.approx(0.011, rel=1e-9)
    assert join.current_a * 2.6 / join.difference_v == pytest.approx(236.0, rel=2e-3)


def test_a_charged_far_side_joins_at_its_charging_voltage() -> None:
    """Full batteries take next to nothing: the charger holds the voltage that it is set to, however weak it is."""
    for amps in (1.0, 100.0):
        hand = two_banks().source("shore", "far", amps, 14.4)
        assert joins(hand)["near_empty"].difference_v == pytest.approx(14.4 - rest_v(EMPTY_SHARE), abs=1e-6)
    assert joins(hand)["far_empty"] == joins(two_banks())["far_empty"]


@pytest.mark.parametrize(("short_circuit_a", "resistance_ohm"), [(None, 0.005), (4000.0, None), (4000.0, 0.005)])
def test_the_strongest_that_a_battery_can_be_counts(
    short_circuit_a: float | None, resistance_ohm: float | None
) -> None:
    """A maker's short circuit tells a lower resistance than the one for drops: full at rest over its current."""
    fields = {"resistance": f"{resistance_ohm} ohm"} if resistance_ohm else {"resistance": "0 mohm"}
    fields |= {"short_circuit": f"{short_circuit_a} A"} if short_circuit_a else {}
    hand = Hand().battery("li", "near", bank="banks.li", **fields).battery("pb", "far", bank="banks.pb", **LEAD)
    hand.device("contactor", "relay", "near", "far", "banks.li")
    lithium_ohm = LITHIUM_OHM if short_circuit_a is None else rest_v(FULL_SHARE) / short_circuit_a
    loop_ohm = lithium_ohm + LEAD_OHM + CONTACT_OHM["contactor"]
    assert joins(hand)["far_empty"].resistance_ohm == pytest.approx(loop_ohm, rel=1e-9)


def ruled(**changes: Any) -> dict[str, Join]:
    """Two banks with a charger that holds 14.4 V on the lead, and a relay with these settings."""
    circuit = two_banks().source("shore", "far", 100.0, 14.4).circuit()
    (relay,) = circuit.devices
    made = first_currents(replace(circuit, devices=(replace(relay, **changes),)), RULES)
    return {j.situation: j for j in made}


def test_a_controller_waits_until_the_two_sides_are_near() -> None:
    """0.1 V set, 0.05 V of tolerance: 0.15 V over the loop, however far apart they were before."""
    free = ruled()
    found = ruled(settings=(("joins_below_v", 0.1), ("tolerance_v", 0.05)))
    assert found["near_empty"].ruled_by == "rule"
    assert found["near_empty"].difference_v == pytest.approx(0.15)
    assert found["near_empty"].current_a == pytest.approx(0.15 / free["near_empty"].resistance_ohm)
    assert found["near_empty"].free_v == free["near_empty"].difference_v > 1.0
    assert found["far_empty"] == free["far_empty"]  # nothing is said of lithium above the bus


def test_a_rule_for_lithium_above_the_bus_bounds_the_other_direction_alone() -> None:
    free = ruled()
    found = ruled(settings=(("lithium_above_v", 0.3), ("tolerance_v", 0.1)))
    assert found["far_empty"].difference_v == pytest.approx(0.4)
    assert found["near_empty"] == free["near_empty"]


def test_a_tolerance_that_nobody_states_is_a_tenth_of_a_volt() -> None:
    assert ruled(settings=(("joins_below_v", 0.1),))["near_empty"].difference_v == pytest.approx(0.2)


def test_a_rule_wider_than_the_difference_changes_nothing() -> None:
    assert ruled(settings=(("joins_below_v", 5.0), ("lithium_above_v", 5.0))) == ruled()


def test_joined_by_hand_no_rule_holds() -> None:
    found = ruled(settings=(("joins_below_v", 0.1), ("lithium_above_v", 0.1)), by_hand=True)
    assert {j.ruled_by for j in found.values()} == {"hand"}
    assert {s: j.current_a for s, j in found.items()} == {s: j.current_a for s, j in ruled().items()}


@pytest.mark.parametrize(
    ("senses", "near_empty", "far_empty"),
    [("from", "not_sensed", "free"), ("to", "free", "not_sensed"), ("both", "free", "free"), (None, "free", "free")],
)
def test_a_relay_joins_only_on_a_side_that_it_senses(senses: Any, near_empty: str, far_empty: str) -> None:
    circuit = two_banks("vsr").source("shore", "far", 100.0, 14.4).source("sun", "near", 100.0, 14.4).circuit()
    (relay,) = circuit.devices
    found = first_currents(replace(circuit, devices=(replace(relay, senses=senses),)), RULES)
    assert [j.ruled_by for j in found] == [near_empty, far_empty]
    assert all((j.current_a > 0.0) is j.occurs for j in found)


@pytest.mark.parametrize(("above_v", "occurs"), [(-1e-6, True), (1e-6, False)])
def test_a_relay_joins_only_at_a_voltage_that_is_reached(above_v: float, occurs: bool) -> None:
    """The charger is set to 14.4 V; the relay is true to 0.1 V."""
    circuit = two_banks("vsr").source("shore", "far", 100.0, 14.4).circuit()
    (relay,) = circuit.devices
    settings = (("joins_v", 14.4 + 0.1 + above_v), ("tolerance_v", 0.1))
    found = first_currents(replace(circuit, devices=(replace(relay, settings=settings),)), RULES)
    assert found[0].occurs is occurs


def test_a_discharged_lead_bank_takes_less_before_long() -> None:
    """40 % of 100 Ah each hour (absorbed glass mat) is 40 A; lithium goes on taking what it is given."""
    found = joins(two_banks())
    first_a, lasts_s = found["far_empty"].current_a, found["far_empty"].lasts_s
    assert found["far_empty"].settles_a == 40.0
    # heat of the falling current, summed up in steps of a millisecond over three time constants of 10 s
    steps = [40.0 + (first_a - 40.0) * math.exp(-n / 10_000.0) for n in range(30_000)]
    assert lasts_s == pytest.approx(sum(amps**2 for amps in steps) * 1e-3 / first_a**2, rel=1e-3)
    assert (found["far_empty"].fuse_holds, found["near_empty"].fuse_holds) == (1.5, 1.0)
    assert found["near_empty"].settles_a == found["near_empty"].current_a
    assert found["near_empty"].lasts_s is None


def test_parts_of_a_joining_current_obey_kirchhoff() -> None:
    """All that passes the relay is charged into one side and comes from the other; parallel strings share by 1/R."""
    hand = two_banks().battery("pb2", "pb", bank="banks.pb", **{**LEAD, "resistance": "12 mohm"})
    hand.device("fuse", "pb.fuse", "far", "spur")
    join = joins(hand)["far_empty"]
    assert join.share["pb"] + join.share["pb2"] == pytest.approx(1.0, rel=1e-9)
    assert join.share["pb"] / join.share["pb2"] == pytest.approx(3.0, rel=1e-9)
    assert join.share["li"] == pytest.approx(-1.0, rel=1e-9)
    assert join.share[RELAY] == 1.0
    assert "pb.fuse" not in join.share
    assert join.through_a("pb2") == pytest.approx(join.current_a / 4.0)


def test_of_two_relays_the_other_is_as_it_gives_more() -> None:
    """Start ─vsr─ house, with lithium behind a contactor: joined to the house it would hold its empty side up."""
    hand = Hand().battery("start", "start", bank="banks.start", **LEAD).battery("pb", "house", bank="banks.pb", **LEAD)
    hand.battery("li", "li", bank="banks.li").device("contactor", "contactor", "li", "house", "banks.li")
    hand.device("vsr", "vsr", "start", "house", "links.vsr").source("engine", "start", 60.0, 14.4)
    both = {(j.relay, j.situation): j for j in first_currents(hand.circuit(), RULES)}
    hand_open = Hand().battery("start", "start", bank="banks.start", **LEAD)
    hand_open.battery("pb", "house", bank="banks.pb", **LEAD).device("vsr", "vsr", "start", "house", "links.vsr")
    alone = {j.situation: j for j in first_currents(hand_open.source("engine", "start", 60.0, 14.4).circuit(), RULES)}
    assert both["vsr", "far_empty"].current_a >= alone["far_empty"].current_a * (1 - 1e-12)


def test_an_emergency_switch_beside_the_relay_changes_nothing_for_the_relay() -> None:
    """It is open in ordinary use: the two sides stay two sides."""
    beside = two_banks("vsr").device("switch", "links.vsr.emergency", "near", "far", "links.vsr")
    made = first_currents(beside.circuit(), RULES)
    assert {j.situation: j for j in made if j.relay == RELAY} == joins(two_banks("vsr"))


def test_an_emergency_switch_joins_by_hand_whatever_the_difference() -> None:
    beside = two_banks("vsr").device("switch", "links.vsr.emergency", "near", "far", "links.vsr")
    found = {j.situation: j for j in first_currents(beside.circuit(), RULES) if j.relay == "links.vsr.emergency"}
    loop_ohm = LITHIUM_OHM + LEAD_OHM + 3.0 * OHM_PER_M + CONTACT_OHM["switch"]
    full_v = {"near_empty": rest_v(FULL_SHARE, **LEAD), "far_empty": rest_v(FULL_SHARE)}
    empty_v = {"near_empty": rest_v(EMPTY_SHARE), "far_empty": rest_v(EMPTY_SHARE, **LEAD)}
    for situation, join in found.items():
        assert join.ruled_by == "hand"
        assert join.current_a == pytest.approx((full_v[situation] - empty_v[situation]) / loop_ohm, rel=1e-9)


def test_a_relay_with_nothing_on_one_side_joins_without_current() -> None:
    hand = Hand().battery("li", "near", bank="banks.li").device("contactor", "relay", "near", "far", "banks.li")
    assert {j.current_a for j in joins(hand).values()} == {0.0}


def test_thicker_conductors_let_more_through() -> None:
    short, long = two_banks(), two_banks().cable("li.more", "li", "elsewhere")
    for situation, join in joins(short).items():  # a conductor that leads nowhere carries nothing
        assert joins(long)[situation].current_a == pytest.approx(join.current_a, rel=1e-9)
    far = Hand().battery("li", "li", bank="banks.li").battery("pb", "pb", bank="banks.pb", **LEAD)
    far.cable("li.main", "li", "near", 20.0).device("contactor", "relay", "near", "far", "banks.li")
    far.cable("pb.main", "far", "pb", 1.0)
    for situation, join in joins(short).items():
        assert join.current_a > joins(far)[situation].current_a


@pytest.mark.parametrize("volts", [12, 24, 48])
def test_every_relay_of_an_arrangement_is_judged_in_both_situations(volts: int) -> None:
    built = cell("lead_and_lithium_with_starter", volts)
    circuit = designed(built).circuit
    found = first_currents(circuit, built.family)
    relays = [d.key for d in circuit.devices if d.kind in ("contactor", "vsr")]
    relays += [d.key for d in circuit.devices if d.key.endswith(".emergency")]
    assert [(j.relay, j.situation) for j in found] == [(r, s) for r in relays for s in ("near_empty", "far_empty")]
    assert all(j.current_a == pytest.approx(j.difference_v / j.resistance_ohm) for j in found)
    assert all(j.occurs or j.current_a == 0.0 for j in found)
    assert all(0.0 <= j.difference_v <= j.free_v for j in found)


@pytest.mark.parametrize(("share", "seconds"), [(0.0, 5.0 * (1.0 - math.exp(-6.0))), (1.0, 30.0)])
def test_heat_of_a_falling_current_at_its_ends(share: float, seconds: float) -> None:
    """∫e^(−2t/τ) over 3τ is τ/2·(1 − e⁻⁶); a current that does not fall heats for all of three time constants."""
    assert as_first_s(share, 10.0) == pytest.approx(seconds)


@given(st.floats(0.0, 1.0), st.floats(0.1, 100.0))
def test_the_less_it_falls_the_longer_it_heats(share: float, decay_s: float) -> None:
    assert as_first_s(0.0, decay_s) <= as_first_s(share, decay_s) * (1 + 1e-9)
    assert as_first_s(share, decay_s) <= as_first_s(1.0, decay_s) * (1 + 1e-9)


def test_nothing_flows_through_a_relay_beside_a_closed_way() -> None:
    hand = Hand().battery("banks.a", "one").battery("banks.b", "other").cable("links.l.positive", "one", "other")
    joins = first_currents(hand.device("vsr", "links.r.vsr", "one", "other").circuit(), RULES)
    assert [(j.ruled_by, j.difference_v, j.current_a) for j in joins] == [("dead", 0.0, 0.0)] * 2
