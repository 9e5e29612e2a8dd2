"""What commissioning should find: bands by hand, a loop's drop by published resistances, which tests a vessel has."""

from __future__ import annotations

import csv
import functools
import typing
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.circuit.assumed import Assumed
from proposal.circuit.model import Circuit
from proposal.design.drops import CRANKING_LEG_V_AT_12V
from proposal.results import commissioning
from proposal.results.record_model import TestRow as Row
from proposal.rules.finding import Evidence
from proposal.rules.mains import LEAKY_OHM
from proposal.rules.registry import CHECKS
from proposal.rules.stopping import COLDEST_C
from proposal.spec.record import TestName as Name
from proposal.studies.commissioning import equations as eq
from proposal.studies.commissioning import kinds, loops, means, study
from proposal.studies.commissioning.result import Band
from proposal.studies.flow.result import Flow
from proposal.studies.isolation.back import EVEN_V_AT_12V
from proposal.studies.isolation.out import TELLS_V_AT_12V
from proposal.studies.joins.study import first_currents
from proposal.studies.ladder.study import TOLERANCE_V_AT_12V
from proposal.studies.network.assemble import device_ohm
from proposal.studies.network.case import Case
from proposal.studies.network.solve import solve_quickly
from tests.generate import CELLS, Built, cell, designed, project, seeded
from tests.studies.hand import OHM_PER_M, RULES, Hand

TRUTH = Path(__file__).parents[2] / "truth" / "nec_ch9_table8.csv"
TABLE = kinds.test_kinds()


def evidence_of(built: Built) -> Evidence:
    made = designed(built)
    return Evidence(made, built.spec, built.family, first_currents(made.circuit, built.family), built.catalogue)


def rows_of(built: Built) -> tuple[Row, ...]:
    return commissioning.expected_rows(evidence_of(built), {})


@functools.cache
def marram() -> dict[str, Built]:
    return {built.spec.option_id: built for built in project("marram")}


# --- the table -------------------------------------------------------------------------------------------------------


def test_every_test_has_one_row() -> None:
    assert list(TABLE) == list(typing.get_args(Name))


def test_a_test_is_one_of_danger_where_a_check_of_danger_rests_on_it() -> None:
    severity = {check.number: check.severity for check in CHECKS}
    for kind in TABLE.values():
        assert kind.danger == any(severity[number] == "danger" for number in kind.checks), kind.test


def test_tolerances_are_those_of_the_guide_to_commissioning() -> None:
    """Common practice: rated-load drop 20 % and 20 mV; contacts 50 mV for 100 A; fuses 20 %; 0.3 V each leg;
    torque 10 %; joints 10 K; drain 10 mA; sense 0.05 V; thresholds 0.1 V; shunt 1 %; sharing 10 % at 0.2 C; 10 mm.
    """
    drop, device, sharing = TABLE["load_drop"], TABLE["device_drop"], TABLE["sharing"]
    assert (drop.share, drop.plus) == (0.2, 0.02)
    assert (device.limit * 100.0, device.share) == (pytest.approx(0.05), 0.2)
    assert TABLE["cranking_drop"].limit == 0.3
    assert TABLE["torque"].share == 0.1
    assert TABLE["joint_rise"].limit == 10.0
    assert TABLE["standing_drain"].plus == 0.01
    assert TABLE["sense"].limit == 0.05
    assert TABLE["relay_joins"].plus == TABLE["relay_releases"].plus == 0.1
    assert TABLE["shunt"].share == 0.01
    assert (sharing.share, sharing.limit) == (0.1, 0.2)
    assert TABLE["battery_moves"].limit == 0.01


def test_what_other_studies_take_from_the_same_practice_is_the_same() -> None:
    assert TABLE["cranking_drop"].limit == CRANKING_LEG_V_AT_12V
    assert TABLE["rest_spread"].limit == EVEN_V_AT_12V
    assert TABLE["contactor_open"].limit == TELLS_V_AT_12V
    assert TABLE["relay_joins"].plus == TOLERANCE_V_AT_12V["switching"]
    assert TABLE["sense"].limit == TOLERANCE_V_AT_12V["charging"]
    assert TABLE["insulation"].limit == LEAKY_OHM
    assert means.COLD_C == COLDEST_C


# --- equations -------------------------------------------------------------------------------------------------------


def test_a_band_by_hand() -> None:
    """0.5 V: 20 % is 0.1 V, with 20 mV 0.12 V either way."""
    band = eq.about(0.5, 0.2, 0.02)
    assert (band.low, band.high) == (pytest.approx(0.38), pytest.approx(0.62))
    assert eq.contact(150.0, 0.0005) == Band(None, pytest.approx(0.075))
    assert eq.above_at_most(0.06, 0.2) == Band(None, pytest.approx(0.072))
    assert eq.at_current(0.5, 60.0, 120.0) == 0.25
    assert eq.moved(Band(13.2, 13.4), -0.5) == Band(pytest.approx(12.7), pytest.approx(12.9))


def test_nothing_is_expected_below_zero() -> None:
    assert eq.about(0.0, 0.2, 0.02) == Band(0.0, 0.02)
    assert eq.about(0.005, 0.0, 0.01).low == 0.0
    assert eq.moved(Band(0.1, 0.3), -1.0).low == 0.0


@given(st.floats(0.0, 1e4), st.floats(0.0, 1.0), st.floats(0.0, 10.0), st.floats(1.0, 3.0))
def test_a_band_holds_what_is_expected_and_grows_with_it(
    expected: float, share: float, plus: float, more: float
) -> None:
    band, wider = eq.about(expected, share, plus), eq.about(expected * more, share, plus)
    assert band.holds(expected)
    assert band.high is not None
    assert wider.high is not None
    assert band.low is not None
    assert wider.low is not None
    assert wider.high >= band.high
    assert wider.low >= band.low - 1e-9 * expected or share >= 1.0
    assert not band.holds(band.high * 1.001 + 1e-6)


def test_the_very_edge_of_a_band_passes_and_a_hair_beyond_does_not() -> None:
    band = Band(0.1, 0.3)
    assert band.holds(0.1)
    assert band.holds(0.1 + 0.2)  # 0.30000000000000004
    assert not band.holds(0.30001)
    assert not band.holds(0.09999)
    assert Band().holds(1e9)


# --- the drop of a loop ----------------------------------------------------------------------------------------------


def flow_of(circuit: Circuit) -> Flow:
    on = tuple((load.key, load.current_a) for load in circuit.loads)
    return Flow({}, {"usual": solve_quickly(circuit, Case("usual", "20", 0.5, on), RULES)}, {})


def drops_of(hand: Hand) -> dict[str, tuple[str, float]]:
    circuit = hand.circuit()
    return {key: (post, drop_v) for key, post, drop_v in loops.loop_drops(circuit, RULES, flow_of(circuit))}


def test_a_loop_in_series_loses_its_resistance_times_its_own_current() -> None:
    """10 m of 35 mm² and a switch, whatever else is on: I·R."""
    hand = Hand().battery("a", "post").cable("a.main", "post", "in", 6.0).device("switch", "a.switch", "in", "bus")
    hand.cable("l.main", "bus", "end", 4.0).load("loads.l", "end", 40.0).load("loads.other", "bus", 25.0)
    contact_ohm = device_ohm(hand.circuit().device["a.switch"])
    post, drop_v = drops_of(hand)["loads.l"]
    assert post == "a"
    assert drop_v == pytest.approx(40.0 * (10.0 * OHM_PER_M + contact_ohm), rel=1e-9)
    assert drops_of(hand)["loads.other"][1] == pytest.approx(25.0 * (6.0 * OHM_PER_M + contact_ohm), rel=1e-9)


def test_two_equal_batteries_halve_what_their_own_leads_lose() -> None:
    """Each gives half of the current, so its lead of 2 m loses half; the 3 m behind the bus lose all of it."""
    hand = Hand().battery("a", "post_a", bank="b").cable("a.main", "post_a", "bus", 2.0)
    hand.battery("c", "post_c", bank="b").cable("c.main", "post_c", "bus", 2.0)
    hand.cable("l.main", "bus", "end", 3.0).load("loads.l", "end", 50.0)
    assert drops_of(hand)["loads.l"][1] == pytest.approx(50.0 * (0.5 * 2.0 + 3.0) * OHM_PER_M, rel=1e-9)


def test_a_load_on_the_posts_loses_nothing() -> None:
    hand = Hand().battery("a", "post").load("loads.l", "post", 10.0)
    assert drops_of(hand)["loads.l"][1] == pytest.approx(0.0, abs=1e-12)


def test_a_battery_that_gives_nothing_is_no_way_for_the_current() -> None:
    """The emptier battery behind 1 m gives nothing: all comes through the 5 m of the fuller one."""
    hand = Hand().battery("full", "post_f", series=1, voltage="12.8 V").cable("full.main", "post_f", "bus", 5.0)
    hand.battery("lead", "post_l", chemistry="agm", voltage="12 V").cable("lead.main", "post_l", "bus", 1.0)
    hand.load("loads.l", "bus", 10.0)
    post, drop_v = drops_of(hand)["loads.l"]
    assert post == "full"
    assert drop_v == pytest.approx(10.0 * 5.0 * OHM_PER_M, rel=1e-9)


def table8_ohm_per_m(gauge: str) -> float:
    """At 20 °C, by the table's own rule R₂ = R₁·(1 + α·(T₂ − 75)), α = 0.00323 (NFPA 70, chapter 9, table 8)."""
    with TRUTH.open(encoding="utf-8", newline="") as file:
        found = [float(r["ohm_per_km_75C"]) for r in csv.DictReader(file) if r["awg"] == gauge]
    return found[-1] / 1000.0 * (1.0 + 0.00323 * (20.0 - 75.0))


def test_marrams_windlass_loses_what_published_resistances_say() -> None:
    """One battery, one loop: every cable of it by table 8 of the NEC, every device by its maker's resistance."""
    built = marram()["dedicated"]
    circuit = designed(built).circuit
    way = [c for c in circuit.conductors if c.circuit in ("loads.windlass", "banks.starter", "banks.starter.s1")]
    assert {c.pole for c in way} == {"positive", "negative"}
    ohm = sum(table8_ohm_per_m(c.size.label.removesuffix(" AWG")) * c.length_m for c in way if c.size is not None)
    ohm += sum(d.part.resistance_ohm for d in circuit.devices
               if d.circuit in ("loads.windlass", "banks.starter") and d.part is not None)  # fmt: skip
    row = next(r for r in rows_of(built) if r.test == "load_drop" and r.item == "loads.windlass")
    assert row.expected == pytest.approx(120.0 * ohm, rel=0.03)  # strands and lay: the table is 2 % above solid copper
    assert row.low == pytest.approx(0.8 * row.expected - 0.02)
    assert row.high == pytest.approx(1.2 * row.expected + 0.02)
    assert row.expected_at_a == 120.0


# --- which tests a vessel has ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("arrangement", "volts"), CELLS)
def test_every_arrangement_gets_tests_that_hold_together(arrangement: str, volts: int) -> None:
    built = cell(arrangement, volts)
    rows = rows_of(built)
    assert len({(r.test, r.item, r.end) for r in rows}) == len(rows)
    circuit = designed(built).circuit
    for row in rows:
        assert row.unit == ("" if row.basis == "works" else TABLE[row.test].unit), row  # type: ignore[index]
        assert (row.low is None or row.high is None) or row.low <= row.high, row
        assert row.outcome == "not_measured"
        if row.basis in ("calculated", "set", "fuse") and row.expected is not None and row.high is not None:
            assert Band(row.low, row.high).holds(row.expected), row
        if row.test == "contactor_open":
            assert (row.low, row.high) == (pytest.approx(0.1 * volts / 12.0), None)
        if row.basis == "set" and row.unit == "V" and row.expected is not None:
            assert row.high == pytest.approx(row.expected + 0.1 * volts / 12.0)
            assert row.low == pytest.approx(row.expected - 0.1 * volts / 12.0)
        if row.basis == "at_most" and TABLE[row.test].per_12v:  # type: ignore[index]
            assert row.high == pytest.approx(TABLE[row.test].limit * volts / 12.0)  # type: ignore[index]
    count = Counter(r.test for r in rows)
    assert count["load_drop"] == len(circuit.loads)
    assert count["contactor_open"] == sum(d.kind == "contactor" for d in circuit.devices)
    assert count["relay_joins"] == count["relay_delay"] == sum(d.kind == "vsr" for d in circuit.devices)
    assert count["sharing"] == sum(len(b.strings) for b in circuit.banks if len(b.strings) > 1)
    assert count["stops_high"] == sum(b.chemistry == "lithium" for b in circuit.banks)
    assert (count["cranking_drop"] > 0) == (circuit.starter is not None)


@pytest.mark.parametrize("seed", range(6))
def test_generated_vessels_are_asked_for_what_is_needed_for_safety(seed: int) -> None:
    for built in seeded(seed, most_loads=12):
        rows = rows_of(built)
        asked = {r.item for r in rows if r.test == "load_drop" and r.asked}
        made = designed(built)
        reached = {r.item for r in rows if r.test == "load_drop"}
        for load in made.circuit.loads:
            if load.key in reached and (load.critical or load.always_on or load.high_current):
                assert load.key in asked


def by_place(evidence: Evidence) -> dict[tuple[str, str], Row]:
    return {(r.test, r.item): r for r in commissioning.expected_rows(evidence, {})}


def test_what_nobody_states_is_wanting() -> None:
    """A fuse of whose drop its maker says nothing, a relay with assumed thresholds, a starter without a minimum."""
    evidence = evidence_of(marram()["dedicated"])
    rows = by_place(evidence)
    assert rows["relay_delay", "links.vsr.relay"].wanting == "relay_settings"
    for place in (("relay_joins", "links.vsr.relay"), ("starter_voltage", "engine"), ("device_drop", "banks.lead.fuse"),
                  ("alternator_hot", "sources.alternator")):  # fmt: skip
        assert rows[place].wanting == "", place
    circuit = evidence.circuit
    assert circuit.starter is not None
    silent = tuple(
        replace(d, part=d.part.model_copy(update={"resistance_ohm": 0.0})) if d.kind == "fuse" and d.part else d
        for d in circuit.devices
    )
    guessed = (
        Assumed("links.vsr.relay", "relay_joins", ()),
        Assumed("links.vsr.relay", "relay_releases", ()),
        Assumed("sources.alternator", "hot_alternator", ()),
    )
    bare = replace(circuit, devices=silent, assumed=guessed, starter=replace(circuit.starter, minimum_v=None))
    rows = by_place(replace(evidence, design=replace(evidence.design, circuit=bare)))
    assert rows["device_drop", "banks.lead.fuse"].wanting == "maker_drop"
    assert rows["device_drop", "banks.lead.switch"].wanting == ""
    assert rows["relay_joins", "links.vsr.relay"].wanting == "relay_settings"
    assert rows["relay_releases", "links.vsr.relay"].wanting == "relay_settings"
    assert rows["starter_voltage", "engine"].wanting == "engine_minimum"
    assert rows["starter_voltage", "engine"].low is None
    assert rows["alternator_hot", "sources.alternator"].wanting == "hot_current"


def test_a_cabin_without_an_engine_is_asked_for_no_pulling_and_no_cranking() -> None:
    for built in project("skarn"):
        tests = {r.test for r in rows_of(built)}
        assert not tests & {"battery_moves", "cranking_drop", "starter_voltage", "alternator_hot", "relay_joins"}


def test_stops_in_the_cold_are_asked_for_where_it_gets_cold() -> None:
    cold = {b.spec.option_id: {r.test for r in rows_of(b)} for b in project("skarn")}
    assert "stops_cold" in cold["heated_lithium"]
    assert "stops_cold" not in cold["vented_lead"]
    assert "stops_cold" not in {r.test for r in rows_of(marram()["dedicated"])}


def test_the_emergency_start_and_both_legs_are_asked_for_by_name() -> None:
    rows = rows_of(marram()["dedicated"])
    assert [r.end for r in rows if r.test == "cranking_drop"] == ["positive", "negative"]
    assert [r.end for r in rows if r.test == "starter_voltage"] == ["", "emergency"]
    legs = [r.expected for r in rows if r.test == "cranking_drop"]
    drop = designed(marram()["dedicated"]).drops["engine"]
    assert sum(leg for leg in legs if leg is not None) == pytest.approx(drop.drop_v, rel=1e-9)


def test_what_goes_dark_with_the_lithium_is_not_asked_to_work_without_it() -> None:
    """Its finding says so already; a test that can only fail tells nothing."""
    for built in project("skarn"):
        evidence = evidence_of(built)
        dark = {key for found in evidence.switching.darks for key in found.loads}
        tested = {r.item for r in commissioning.expected_rows(evidence, {}) if r.test == "pump_lithium_off"}
        assert not tested & dark


def test_thin_currents_are_no_test_of_a_contact() -> None:
    for row in rows_of(marram()["dedicated"]):
        if row.test == "device_drop":
            assert row.expected_at_a is not None
            assert row.expected_at_a >= study.THIN_A
    assert not [r for r in rows_of(marram()["dedicated"]) if r.item in ("links.vsr.emergency", "engine.switch")]
