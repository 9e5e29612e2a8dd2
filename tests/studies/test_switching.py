"""Contactors, relays and switches: what they carry, make and break; capacitors; sources that lose their battery."""

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.circuit.model import Circuit
from proposal.parts.chemistry import cell_count, ocv_v
from proposal.spec.pricebook import RelayPart
from proposal.studies.flow.cases import flow_cases
from proposal.studies.flow.study import load_flow
from proposal.studies.joins.study import first_currents
from proposal.studies.network.assemble import CONTACT_OHM
from proposal.studies.switching.equations import (
    above_s,
    held_v,
    precharge_ohm,
    precharge_s,
    stored_j,
    surge_a,
    time_constant_s,
)
from proposal.studies.switching.result import Store, Switched, Switching
from proposal.studies.switching.study import switching
from tests.generate import cell, designed
from tests.studies.hand import OHM_PER_M, RULES, Hand, battery_part
from tests.truth.reference import printed

WORKED = {row["id"]: row for row in printed("worked_examples")}
LEAD = {"chemistry": "agm", "voltage": "12 V", "resistance": "4 mohm"}
POSITIVE = st.floats(1e-3, 1e3)


# --- formulae --------------------------------------------------------------------------------------------------------


def test_a_capacitor_behind_a_resistor_by_the_textbook() -> None:
    """10 mF on 12 V through 10 Ω: 1.2 A, 100 ms, 0.72 J; 95 % after 300 ms (1 − e⁻³ = 0.9502)."""
    assert surge_a(12.0, 10.0) == pytest.approx(1.2)
    assert time_constant_s(10.0, 0.01) == pytest.approx(0.1)
    assert stored_j(0.01, 12.0) == pytest.approx(0.72)
    assert precharge_s(10.0, 0.01) == pytest.approx(0.3)
    assert 1.0 - math.exp(-precharge_s(10.0, 0.01) / 0.1) == pytest.approx(0.95, abs=0.001)


def test_energy_lost_in_the_resistor_is_what_the_capacitor_holds() -> None:
    """∫i²R dt of a charging capacitor, summed in small steps, is ½CU² whatever the resistor."""
    for ohm in (0.01, 3.0):
        constant_s, first_a = time_constant_s(ohm, 0.02), surge_a(24.0, ohm)
        step_s = constant_s / 1000.0
        lost_j = sum((first_a * math.exp(-n * step_s / constant_s)) ** 2 * ohm * step_s for n in range(20_000))
        assert lost_j == pytest.approx(stored_j(0.02, 24.0), rel=2e-3)


@given(POSITIVE, POSITIVE, POSITIVE)
def test_the_resistor_that_is_advised_keeps_to_the_limit(open_v: float, limit_a: float, loop_ohm: float) -> None:
    ohm = precharge_ohm(open_v, limit_a, loop_ohm)
    assert surge_a(open_v, loop_ohm + ohm) <= limit_a * (1.0 + 1e-9)
    assert ohm == 0.0 or surge_a(open_v, loop_ohm + 0.99 * ohm) > limit_a


@given(POSITIVE, POSITIVE, POSITIVE)
def test_when_the_time_above_a_limit_is_up_the_current_is_at_it(
    peak_a: float, limit_a: float, constant_s: float
) -> None:
    seconds = above_s(peak_a, limit_a, constant_s)
    if peak_a <= limit_a:
        assert seconds == 0.0
    else:
        assert peak_a * math.exp(-seconds / constant_s) == pytest.approx(limit_a)


def test_the_published_voltage_of_lead_that_is_left() -> None:
    """14.2 V behind 10 mΩ with 55 A is 14.75 V: Ohm's law."""
    assert held_v(14.2, 55.0, 0.010) == pytest.approx(14.75)


# --- currents --------------------------------------------------------------------------------------------------------


def relay_part(**fields: str) -> RelayPart:
    usual = {"kind": "contactor", "title": "Relay", "rating": "100 A", "voltage_max": "80 V"}
    return RelayPart.model_validate(usual | fields)


def fitted(circuit: Circuit, key: str, **changes: Any) -> Circuit:
    devices = tuple(replace(d, **changes) if d.key == key else d for d in circuit.devices)
    return replace(circuit, devices=devices)


def studied(circuit: Circuit, *stores: Store) -> Switching:
    cases = {case.id: case for case in flow_cases(circuit)}
    return switching(circuit, RULES, cases, load_flow(circuit, RULES), first_currents(circuit, RULES), stores)


def met(circuit: Circuit, key: str) -> Switched:
    (found,) = (d for d in studied(circuit).devices if d.key == key)
    return found


def one_way() -> Hand:
    """Battery ─switch─ load of 10 A."""
    return Hand().battery("li", "li").device("switch", "li.switch", "li", "bus").load("loads.pump", "bus", 10.0)


def test_a_switch_carries_what_its_only_load_takes() -> None:
    found = met(one_way().circuit(), "li.switch")
    assert found.lasting.current_a == pytest.approx(10.0)
    assert (found.minutes.current_a, found.seconds.current_a, found.closing.current_a) == (0.0, 0.0, 0.0)
    assert found.opening.current_a == 0.0  # a hand does not open it by itself
    assert found.coil is None
    assert dict(found.currents)["usual"] == pytest.approx(10.0)


@pytest.mark.parametrize(("hours_h", "of_minutes"), [(5.0 / 60.0, True), (0.1, False)])
def test_a_load_that_runs_five_minutes_a_day_is_one_of_minutes(hours_h: float, of_minutes: bool) -> None:
    made = one_way().circuit()
    (load,) = made.loads
    made = replace(made, loads=(replace(load, high_current=True, hours_h=hours_h),))
    found = met(made, "li.switch")
    assert (found.minutes.case, found.lasting.case) == (("full.pump", "") if of_minutes else ("", "full.pump"))


def joined() -> Hand:
    """Start ─vsr─ house, each lead of 4 mΩ, a windlass of 100 A on the start side."""
    hand = (
        Hand()
        .battery("start", "start", bank="banks.start", **LEAD)
        .battery("house", "house", bank="banks.house", **LEAD)
    )
    hand.device("vsr", "links.vsr.relay", "start", "house", "links.vsr")
    return hand.load("loads.windlass", "start", 100.0)


def test_with_every_relay_joined_two_equal_banks_share_a_windlass() -> None:
    """Current divider: 4 mΩ of the one against 4 mΩ and the contact of the relay in series with the other."""
    made = joined().circuit()
    (load,) = made.loads
    found = met(replace(made, loads=(replace(load, high_current=True),)), "links.vsr.relay")
    share = 0.004 / (0.008 + CONTACT_OHM["vsr"])
    assert found.minutes.case == "joined.windlass"
    assert found.minutes.current_a == pytest.approx(100.0 * share, rel=1e-9)
    assert found.opening.current_a == pytest.approx(100.0 * share, rel=1e-9)
    assert found.lasting.current_a == 0.0  # open in all that lasts: nothing charges here


def test_closing_is_the_largest_first_current() -> None:
    made = joined().source("engine", "start", 50.0, 14.4).circuit()
    largest = max(first_currents(made, RULES), key=lambda join: join.current_a)
    found = met(made, "links.vsr.relay")
    assert (found.closing.current_a, found.closing.case) == (largest.current_a, largest.situation)


@pytest.mark.parametrize(("coil", "coil_a", "unpowered"), [("held", 0.45, "opens"), ("latching", 0.0005, "stays")])
def test_w63_w64_coils_over_a_day_and_without_power(coil: str, coil_a: float, unpowered: str) -> None:
    """Sellers' pages: 0.45 A all day is 10.8 Ah, 0.5 mA of a latching relay 0.012 Ah; that one stays without power."""
    made = fitted(joined().circuit(), "links.vsr.relay", part=relay_part(coil=coil, coil_current=f"{coil_a} A"))
    found = met(made, "links.vsr.relay").coil
    assert found is not None
    held_ah, latching_ah = (float(word) for word in WORKED["W63"]["expected"].split(" ; "))
    assert found.ah_per_day == pytest.approx(held_ah if coil == "held" else latching_ah)
    assert found.power_w == pytest.approx(coil_a * 12.0)
    latched, held = WORKED["W64"]["expected"].split(" ; ")
    assert {"closed": "stays", "open": "opens"}[held if coil == "held" else latched] == found.unpowered == unpowered
    assert found.least_v is None  # there is no engine


# --- capacitors ------------------------------------------------------------------------------------------------------


def inverter(hand: Hand, farad: float | None = 0.01) -> tuple[Circuit, Store]:
    hand.load("loads.inverter", "bus", 50.0)
    return hand.circuit(), Store("loads.inverter", farad, None, None)


def test_a_relay_between_a_battery_and_dead_capacitors() -> None:
    """U/R with 0.9 of the stated 5 mΩ, 2 m of conductor and the contact."""
    hand = Hand().battery("li", "li", bank="banks.li").cable("li.main", "li", "near", 2.0)
    made, store = inverter(hand.device("contactor", "relay", "near", "bus", "links.tie"))
    made = fitted(made, "relay", part=relay_part(make="500 A"))
    (surge,) = studied(made, store).surges
    part = battery_part()
    open_v = ocv_v(part.chemistry, 1.0, cell_count(part))
    loop_ohm = 0.9 * 0.005 + 2.0 * OHM_PER_M + CONTACT_OHM["contactor"]
    assert (surge.through, surge.kind, surge.limit_a) == ("relay", "relay_make", 500.0)
    assert surge.peak_a == pytest.approx(open_v / loop_ohm, rel=1e-6)
    assert surge.energy_j == pytest.approx(0.5 * 0.01 * open_v**2)
    assert surge.resistor_ohm == pytest.approx(open_v / 500.0 - loop_ohm, rel=1e-6)
    assert surge.precharge_s == pytest.approx(3.0 * 0.01 * open_v / 500.0, rel=1e-6)


def test_another_battery_on_the_bus_keeps_the_capacitors_charged() -> None:
    hand = Hand().battery("li", "near", bank="banks.li").battery("pb", "bus", bank="banks.pb", **LEAD)
    made, store = inverter(hand.device("contactor", "relay", "near", "bus", "links.tie"))
    assert studied(made, store).surges == ()


def test_strings_of_a_bank_share_a_surge_by_their_resistances() -> None:
    hand = Hand().battery("one", "bus", bank="banks.li").battery("two", "bus", bank="banks.li", resistance="10 mohm")
    made, store = inverter(hand)
    made = replace(made, batteries=tuple(replace(b, cut_off=True) for b in made.batteries))
    (surge,) = studied(made, store).surges
    assert (surge.kind, surge.through) == ("management", "one")
    assert surge.peak_a == pytest.approx(surge.open_v / surge.loop_ohm * 2.0 / 3.0)


def test_a_bank_that_never_switches_itself_off_wakes_no_bus() -> None:
    made, store = inverter(Hand().battery("li", "bus", bank="banks.li"))
    assert studied(made, store).surges == ()


# --- what is left ----------------------------------------------------------------------------------------------------


def alternator(hand: Hand, node: str) -> Circuit:
    made = hand.source("sources.alternator", node, 50.0, 14.4).circuit()
    return replace(made, sources=tuple(replace(s, kind="alternator") for s in made.sources))


def test_an_opened_relay_leaves_the_lead_beyond_one_metre() -> None:
    """U = E + I·R: 14.4 V, what the alternator gives, 4 mΩ and 1 m at 20 °C."""
    hand = Hand().battery("li", "li", bank="banks.li").device("contactor", "relay", "li", "bus", "banks.li")
    hand.battery("pb", "pb", bank="banks.pb", **LEAD).cable("pb.main", "pb", "bus", 1.0)
    (loss,) = (x for x in studied(alternator(hand, "bus")).losses if x.item == "relay")
    assert (loss.event, loss.left) == ("relay", ("banks.pb",))
    assert loss.resistance_ohm == pytest.approx(0.004 + OHM_PER_M, rel=1e-6)
    assert loss.voltage_v == pytest.approx(14.4 + loss.current_a * (0.004 + OHM_PER_M), rel=1e-9)
    assert 0.0 < loss.current_a <= 50.0


def test_nothing_left_has_no_voltage() -> None:
    hand = Hand().battery("li", "li", bank="banks.li").device("switch", "li.switch", "li", "bus", "banks.li")
    (loss,) = studied(alternator(hand, "bus")).losses
    assert (loss.event, loss.item, loss.left, loss.voltage_v) == ("switch", "li.switch", (), None)


def test_management_comes_before_relays_and_relays_before_hands() -> None:
    hand = Hand().battery("li", "li", bank="banks.li").device("switch", "li.switch", "li", "mid", "banks.li")
    made = alternator(hand.device("contactor", "relay", "mid", "bus", "banks.li"), "bus")
    made = replace(made, batteries=tuple(replace(b, cut_off=True) for b in made.batteries))
    assert [(x.event, x.item) for x in studied(made).losses] == [
        ("management", "banks.li"), ("relay", "relay"), ("switch", "li.switch"),
    ]  # fmt: skip


def test_what_opens_without_taking_a_battery_is_no_loss() -> None:
    hand = Hand().battery("li", "bus", bank="banks.li").device("switch", "loads.switch", "bus", "panel", "loads")
    assert studied(alternator(hand.load("loads.pump", "panel", 1.0), "bus")).losses == ()


def test_loads_go_dark_with_lithium_and_not_with_lead_beside_it() -> None:
    def dark(hand: Hand) -> tuple[str, ...]:
        made = hand.load("loads.radio", "bus", 2.0).circuit()
        cut = tuple(replace(b, cut_off=b.bank == "banks.li") for b in made.batteries)
        (found,) = studied(replace(made, batteries=cut)).darks
        return found.loads

    assert dark(Hand().battery("li", "bus", bank="banks.li")) == ("loads.radio",)
    beside = Hand().battery("li", "bus", bank="banks.li").battery("pb", "bus", bank="banks.pb", **LEAD)
    assert dark(beside) == ()


# --- whole circuits --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("volts", [12, 24, 48])
@pytest.mark.parametrize(
    "arrangement", ["house_and_starter", "lead_and_lithium", "lead_and_lithium_with_starter", "lithium_with_dc_dc"]
)
def test_laws_that_hold_for_every_circuit(arrangement: str, volts: int) -> None:
    built = cell(arrangement, volts)
    made = designed(built)
    circuit = made.circuit
    cases = {case.id: case for case in flow_cases(circuit)}
    joins = first_currents(circuit, built.family)
    inverters = [Store(x.key, 0.01, None, None) for x in circuit.loads if x.inverter_id is not None]
    found = switching(circuit, built.family, cases, made.flow, joins, inverters)
    assert [d.key for d in found.devices] == [
        d.key for d in circuit.devices if d.kind in ("contactor", "vsr", "switch")
    ]
    for device in found.devices:
        currents = dict(device.currents)
        largest = max((p.current_a for p in (device.lasting, device.minutes, device.seconds)), default=0.0)
        assert largest == pytest.approx(max(currents.values(), default=0.0), abs=2e-6)
        assert all(amps >= 0.0 for amps in currents.values())
        for peak in (device.lasting, device.minutes, device.seconds):
            assert peak.case == "" or currents[peak.case] == peak.current_a
    for surge in found.surges:
        assert surge.peak_a <= surge.open_v / surge.loop_ohm * (1.0 + 1e-9)
    for loss in found.losses:
        assert (loss.voltage_v is None) is (loss.left == ())
        assert loss.voltage_v is None or loss.voltage_v >= next(
            s.charge_v for s in circuit.sources if s.key == loss.source
        )
