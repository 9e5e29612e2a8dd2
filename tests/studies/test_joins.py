"""First current when a relay closes: i0 = ΔU/ΣR."""

import pytest

from proposal.parts.chemistry import cell_count, ocv_v
from proposal.studies.joins.result import Join
from proposal.studies.joins.study import EMPTY_SHARE, FULL_SHARE, first_currents
from proposal.studies.network.assemble import CHARGER_DROOP_V, CONTACT_OHM
from tests.generate import cell, designed
from tests.studies.hand import OHM_PER_M, RULES, Hand, battery_part

LEAD = {"chemistry": "agm", "voltage": "12 V", "resistance": "4 mohm"}
LITHIUM_OHM, LEAD_OHM = 0.005, 0.004


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
    """The lead takes what it accepts; the charger holds its voltage less its droop at that current."""
    hand = two_banks().source("shore", "far", 100.0, 14.4)
    accepted_a = 40.0  # absorbed glass mat of 100 Ah: 0.4 per hour
    far_v = 14.4 - CHARGER_DROOP_V * accepted_a / 100.0
    assert joins(hand)["near_empty"].difference_v == pytest.approx(far_v - rest_v(EMPTY_SHARE), abs=1e-6)
    assert joins(hand)["far_empty"] == joins(two_banks())["far_empty"]


def test_an_emergency_switch_beside_the_relay_changes_nothing() -> None:
    """It is open in ordinary use: the two sides stay two sides."""
    beside = two_banks("vsr").device("switch", "links.vsr.emergency", "near", "far", "links.vsr")
    assert joins(beside) == joins(two_banks("vsr"))


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
    assert [(j.relay, j.situation) for j in found] == [(r, s) for r in relays for s in ("near_empty", "far_empty")]
    assert all(j.current_a == pytest.approx(j.difference_v / j.resistance_ohm) for j in found)
