"""Checks 13 and 18: relays for minutes and seconds, and capacitors charged from nothing."""

import math
from dataclasses import replace

import pytest

from proposal.studies.switching.result import Peak

CONTACTOR, RELAY = "banks.lithium.contactor", "links.vsr.relay"


# --- 13 --------------------------------------------------------------------------------------------------------------


def meeting(evidence, item, **peaks):
    """Other currents for one device; evidence keeps the rest."""
    met = evidence.switching
    devices = tuple(
        replace(d, **{name: Peak(amps, "joined.windlass") for name, amps in peaks.items()}) if d.key == item else d
        for d in met.devices
    )
    made = replace(evidence)
    made.__dict__["switching"] = replace(met, devices=devices)
    return made


@pytest.mark.parametrize(
    ("cause", "peak", "rating"),
    [("minutes", "minutes", "five_minutes_a"), ("seconds", "seconds", "cranking_a"), ("opening", "opening", "break_a")],
)
@pytest.mark.parametrize(("amps", "fires"), [(400.0, False), (400.1, True)])
def test_currents_against_their_ratings(bench, cause, peak, rating, amps, fires):
    evidence = bench.fit(bench.option("dedicated"), RELAY, rating_a=300.0, **{rating: 400.0})
    found = bench.found(meeting(evidence, RELAY, **{peak: amps}), "relay_overloaded_for_seconds", RELAY)
    assert [(f.outcome, f.values["cause"]) for f in found] == ([("fires", cause)] if fires else [])
    for finding in found:
        assert (finding.values["current_a"], finding.values["limit_a"]) == (400.1, 400.0)
        mended = bench.fit(evidence, RELAY, **{rating: finding.values["current_a"]})
        assert bench.found(meeting(mended, RELAY, **{peak: amps}), "relay_overloaded_for_seconds") == []


@pytest.mark.parametrize(
    ("peak", "rating", "find_out"),
    [("minutes", "five_minutes_a", "minutes_rating"), ("seconds", "cranking_a", "start_rating"),
     ("opening", "break_a", "break_rating")],
)  # fmt: skip
def test_a_rating_that_is_not_stated_is_asked_for_above_the_continuous_one(bench, peak, rating, find_out):
    ratings = {"rating_a": 300.0, "five_minutes_a": None, rating: None}
    evidence = bench.fit(bench.option("dedicated"), RELAY, **ratings)
    assert bench.found(meeting(evidence, RELAY, **{peak: 300.0}), "relay_overloaded_for_seconds", RELAY) == []
    finding = bench.only(meeting(evidence, RELAY, **{peak: 300.1}), "relay_overloaded_for_seconds", RELAY)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", find_out)


def test_a_relay_that_is_forced_open_carries_nothing_of_a_start(bench):
    evidence = bench.option("dedicated", {"OPTION.vsr.opens_while_starting": True})
    evidence = meeting(bench.fit(evidence, RELAY, cranking_a=100.0), RELAY, seconds=500.0)
    assert bench.found(evidence, "relay_overloaded_for_seconds", RELAY) == []


def held(bench, opens, house_v):
    """Release below the resting lithium, and a house that a start pulls to a voltage."""
    settings = {"joins_v": 13.8, "releases_v": 12.8, "tolerance_v": 0.05, "opens_while_starting": opens}
    evidence = bench.option("dedicated", {f"OPTION.vsr.{name}": value for name, value in settings.items()})
    bus = evidence.circuit.bus["buses.main"]
    volts = {bus.positive: house_v + 0.2, bus.negative: 0.2}
    return bench.solved(evidence, "cranking_joined", "voltage_v", volts)


@pytest.mark.parametrize(("opens", "outcome"), [(False, "fires"), (None, "undecided"), (True, None)])
def test_nothing_parts_house_and_starter_while_it_is_started(bench, opens, outcome):
    found = bench.found(held(bench, opens, 10.49), "relay_overloaded_for_seconds", RELAY)
    assert [f.outcome for f in found] == ([outcome] if outcome else [])
    for finding in found:
        assert finding.values["cause"] == "not_isolated"
        assert (finding.values["voltage_v"], finding.values["limit_v"]) == (pytest.approx(10.49), 10.5)


def test_a_house_that_stays_up_needs_no_parting(bench):
    assert bench.found(held(bench, False, 10.51), "relay_overloaded_for_seconds", RELAY) == []


def test_a_relay_that_rest_releases_is_not_joined_at_a_start(bench):
    evidence = held(bench, False, 9.0)
    settings = (("joins_v", 14.0), ("releases_v", 13.5), ("tolerance_v", 0.05))
    assert bench.found(bench.set_device(evidence, RELAY, settings=settings), "relay_overloaded_for_seconds") == []


# --- 18 --------------------------------------------------------------------------------------------------------------


def lithium_alone(bench, *, farad=0.01, spec=None, **ratings):
    """A lithium bank on a dead bus with an inverter: a battery's management sees the capacitors."""
    changes = {"inverter_1000.capacitance_f": farad} | {f"lithium_230.{n}": v for n, v in ratings.items()}
    return bench.option("converter", spec or {}, changes)


def surge_of(evidence):
    (surge,) = evidence.switching.surges
    return surge


def test_peak_and_time_of_the_surge_are_those_of_a_capacitor_behind_a_resistance(bench):
    """i₀ = U/R over two equal strings; it stays above a third of i₀ for τ·ln 3; ½CU² is stored."""
    plain = surge_of(lithium_alone(bench))
    surge = surge_of(lithium_alone(bench, trip_a=plain.peak_a / 3.0, trip_s=1.0))
    assert surge.peak_a == pytest.approx(surge.open_v / surge.loop_ohm / 2.0)
    assert surge.time_constant_s == pytest.approx(surge.loop_ohm * 0.01)
    assert surge.above_s == pytest.approx(surge.time_constant_s * math.log(3.0))
    assert surge.energy_j == pytest.approx(0.5 * 0.01 * surge.open_v**2)


@pytest.mark.parametrize(("share", "fires"), [(1.001, False), (0.999, True)])
def test_a_management_system_acts_only_when_its_time_is_up(bench, share, fires):
    plain = surge_of(lithium_alone(bench))
    above_s = plain.time_constant_s * math.log(2.0)
    spec = {"loads.inverter.precharge": False}
    trip = {"trip_a": plain.peak_a / 2.0, "trip_s": above_s * share}
    found = bench.found(lithium_alone(bench, spec=spec, **trip), "inrush_closes_contactor")
    assert [(f.item, f.outcome) for f in found] == ([("banks.lithium.s1", "fires")] if fires else [])
    for finding in found:
        values = finding.values
        assert (values["limited_by"], values["limit_a"]) == ("management", plain.peak_a / 2.0)
        # the resistor halves the current when it doubles the loop; three time constants charge to 95 %
        assert values["precharge_ohm"] == pytest.approx(values["resistance_ohm"])
        assert values["precharge_s"] == pytest.approx(3.0 * 2.0 * values["resistance_ohm"] * 0.01)
        mended = {**spec, "loads.inverter.precharge_ohm": values["precharge_ohm"]}
        assert bench.found(lithium_alone(bench, spec=mended, **trip), "inrush_closes_contactor") == []


def test_what_is_not_known_of_a_surge_is_asked_for(bench):
    plain = surge_of(lithium_alone(bench))
    trip = {"trip_a": plain.peak_a / 2.0, "trip_s": 0.0}
    wanted = [
        ({"farad": None, **trip}, "input_capacitance"), ({"trip_a": None}, "trip_current"),
        ({**trip, "trip_s": None}, "trip_time"), (trip, "precharge"),
    ]  # fmt: skip
    for made, find_out in wanted:
        (finding,) = bench.found(lithium_alone(bench, **made), "inrush_closes_contactor")
        assert (finding.outcome, finding.values["find_out"]) == ("undecided", find_out)


def test_a_surge_below_the_limit_needs_no_capacitance(bench):
    plain = surge_of(lithium_alone(bench))
    evidence = lithium_alone(bench, farad=None, trip_a=plain.peak_a * 1.001)
    assert bench.found(evidence, "inrush_closes_contactor") == []
    assert bench.tested(evidence, "inrush_closes_contactor") == 1


def test_gentle_charging_answers_it(bench):
    plain = surge_of(lithium_alone(bench))
    trip = {"trip_a": plain.peak_a / 2.0, "trip_s": 0.0}
    assert (
        bench.found(lithium_alone(bench, spec={"loads.inverter.precharge": True}, **trip), "inrush_closes_contactor")
        == []
    )


def test_lithium_behind_a_contactor_that_the_bus_feeds_never_wakes_a_dead_bus(bench):
    """Its coil has no power then; a hand that may close it makes the surge."""
    evidence = bench.option("shared")
    assert evidence.switching.surges == ()
    by_hand = bench.option("shared", {"OPTION.contactor.by_hand": True}).switching.surges
    assert [(s.kind, s.load) for s in by_hand] == [("management", "loads.inverter")]


def test_a_relay_that_wakes_the_load_closes_on_its_capacitors(bench):
    """The lead taken off the house bus: only the relay from the start bus feeds the inverter then."""
    evidence = bench.option("vented", {}, {"inverter_1000.capacitance_f": 0.01})
    circuit = evidence.circuit
    gone = [b.key for b in circuit.batteries if b.bank == "banks.house"]
    alone = bench.circuit(
        evidence,
        batteries=tuple(b for b in circuit.batteries if b.key not in gone),
        banks=tuple(b for b in circuit.banks if b.key != "banks.house"),
    )
    surge = surge_of(alone)
    assert (surge.through, surge.kind) == (RELAY, "relay_make")
    for make_a, fires in ((surge.peak_a * 1.001, False), (surge.peak_a * 0.999, True)):
        found = bench.found(bench.fit(alone, RELAY, make_a=make_a), "inrush_closes_contactor")
        assert [f.values["limited_by"] for f in found] == (["relay_make"] if fires else [])
        assert all(f.values["find_out"] == "precharge" for f in found)
    (finding,) = bench.found(bench.fit(alone, RELAY, make_a=None), "inrush_closes_contactor")
    assert finding.values["find_out"] == "relay_make_rating"
