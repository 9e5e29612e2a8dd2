"""The kernel of the days against closed forms: two banks, relaxation, Peukert, constant power, energy and charge."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.studies.behaviour.kernel import columns as c
from tests.studies.behaviour.small import Cell, machine, run, state, volts_now
from tests.truth.reference import one

EMPTY_V, SPAN_V = 12.0, 1.2
LEAK_A = 3e-4
"""What the insulation of two banks takes, 10 µS each, which keeps every network in place."""


def tank(charge_ah: float, start: float, ohm: float) -> Cell:
    """A bank whose voltage rises straight with its charge: a capacitor of charge / span."""
    return Cell(charge_ah, [0.0, 1.0], [EMPTY_V, EMPTY_V + SPAN_V], start, {c.R0: ohm})


# --- two banks find each other ---------------------------------------------------------------------------------------


def test_two_banks_equalise_as_two_capacitors() -> None:
    """i(t) = ΔV/R·e^(−t/τ), τ = R·C1·C2/(C1 + C2). Source: circuit theory. The midpoint rule errs by (h/τ)²/12."""
    one_ah, other_ah, link_ohm = 100.0, 50.0, 0.05
    cells = [tank(one_ah, 0.8, 0.004), tank(other_ah, 0.3, 0.006)]
    found = machine(cells, [(1, 2, link_ohm)], step_s=30.0)
    ohm = link_ohm + 0.004 + 0.006
    one_f, other_f = one_ah * 3600.0 / SPAN_V, other_ah * 3600.0 / SPAN_V
    tau_s = ohm * one_f * other_f / (one_f + other_f)
    first_a = 0.5 * SPAN_V / ohm
    volts_now(found)
    assert state(found, 0, c.AMPS) == pytest.approx(first_a, abs=LEAK_A)
    assert state(found, 1, c.AMPS) == pytest.approx(-first_a, abs=LEAK_A)
    for slots in (40, 80, 160):
        run(found, slots, first=int(found.arrays[c.M_AUDIT][c.A_STEPS]))
        t_s = 30.0 * found.arrays[c.M_AUDIT][c.A_STEPS]
        volts_now(found)
        assert state(found, 0, c.AMPS) == pytest.approx(first_a * math.exp(-t_s / tau_s), rel=1e-4, abs=LEAK_A)


def test_halving_the_step_quarters_the_error() -> None:
    """Second order: the current after twenty minutes against the closed form, at 400 s and 200 s."""
    ohm, farad = 0.012, 100.0 * 3600.0 / SPAN_V
    exact = 0.6 / ohm * math.exp(-1200.0 / (ohm * farad / 2.0))
    errors = []
    for step_s in (400.0, 200.0):
        found = machine([tank(100.0, 0.8, 0.001), tank(100.0, 0.3, 0.001)], [(1, 2, 0.01)], step_s=step_s)
        run(found, round(1200.0 / step_s))
        volts_now(found)
        errors.append(abs(state(found, 0, c.AMPS) - exact))
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.1)


def test_what_one_bank_gives_the_other_gets() -> None:
    found = machine([tank(100.0, 0.8, 0.004), tank(50.0, 0.3, 0.006)], [(1, 2, 0.05)])
    run(found, 200)
    given_ah = (0.8 - state(found, 0, c.S)) * 100.0
    assert given_ah == pytest.approx((state(found, 1, c.S) - 0.3) * 50.0, rel=1e-3)
    assert given_ah > 10.0


# --- relaxation ------------------------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(
    step_s=st.sampled_from([1.0, 7.5, 60.0, 300.0, 1800.0]),
    fast_s=st.floats(5.0, 600.0),
    slow_s=st.floats(600.0, 20000.0),
    amps=st.floats(1.0, 120.0),
)
def test_polarisation_is_exact_for_any_step(step_s: float, fast_s: float, slow_s: float, amps: float) -> None:
    """U = E − I·(R0 + R1·(1 − e^(−t/τ1)) + R2·(1 − e^(−t/τ2))) under steady current: no error of the step."""
    bank = Cell(1e9, [0.0, 1.0], [13.0, 13.0], 0.5, {c.R0: 0.004, c.R1: 0.002, c.T1: fast_s, c.R2: 0.006, c.T2: slow_s})
    found = machine([bank], amps=amps, step_s=step_s)
    run(found, 3)
    t_s = 3.0 * step_s
    expected = 13.0 - amps * (0.004 + 0.002 * -math.expm1(-t_s / fast_s) + 0.006 * -math.expm1(-t_s / slow_s))
    assert volts_now(found)[0] == pytest.approx(expected, abs=1e-5)


# --- rate ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("amps", [5.0, 10.0, 25.0, 60.0])
def test_peukert(amps: float) -> None:
    """t = H·(C/(I·H))^k: 100 Ah at the 20 hour rate, k = 1.25; what is then left out of reach comes back in rest."""
    rate_h, power = 20.0, 1.25
    bank = tank(100.0, 1.0, 0.01)
    bank.row[c.RATE_POWER], bank.row[c.RATE_A], bank.row[c.RECOVER_S] = power - 1.0, 100.0 / rate_h, 7200.0
    hours = rate_h * (100.0 / (amps * rate_h)) ** power
    found = machine([bank], amps=amps, step_s=40.0)
    slots = int(hours * 90.0)
    run(found, slots)
    slot_share = amps * (amps * rate_h / 100.0) ** (power - 1.0) * 40.0 / 360_000.0
    assert -1e-4 < state(found, 0, c.S) - state(found, 0, c.W) < slot_share
    assert state(found, 0, c.S) == pytest.approx(1.0 - amps * slots / 9000.0, abs=1e-4)
    before = state(found, 0, c.W)
    found.arrays[c.M_PAT_I][:] = 0.0
    run(found, 180, first=slots)
    assert state(found, 0, c.W) == pytest.approx(before * math.exp(-1.0), rel=1e-3, abs=1e-9)


def hours_to_empty(capacity_ah: float, rated_a: float, power: float, amps: float) -> float:
    """Hours until nothing is within reach: full slots, and of the last one what was left."""
    bank = tank(capacity_ah, 1.0, 0.01)
    bank.row[c.RATE_POWER], bank.row[c.RATE_A] = power - 1.0, rated_a
    found = machine([bank], amps=amps, step_s=60.0)
    slots, before = 0, 1.0
    while True:
        run(found, 1, first=slots)
        left = state(found, 0, c.S) - state(found, 0, c.W)
        if left <= 0.0:
            return (slots + before / (before - left)) / 60.0
        slots, before = slots + 1, left


def test_peukert_of_a_worked_example() -> None:
    """W46: 100 Ah at 1 A, k = 1.2, drawn on with 5 A."""
    row = one("worked_examples", id="W46")
    assert hours_to_empty(100.0, 1.0, 1.2, 5.0) == pytest.approx(float(row["expected"]), rel=1e-4)


def test_from_memory_peukert_at_the_twenty_hour_rate() -> None:
    """W45: 100 Ah at the 20 hour rate, k = 1.2, drawn on with 10 A."""
    row = one("worked_examples", id="W45")
    assert row["status"] == "from memory"
    assert hours_to_empty(100.0, 5.0, 1.2, 10.0) == pytest.approx(float(row["expected"]), rel=1e-4)


def test_a_voltage_sensitive_relay_over_a_trace() -> None:
    """W62: joins at 13.7 V and releases at 12.8 V; what lies between keeps it as it is.

    Its edges are inclusive; at the very edge rounding decides, so inputs there go 10 µV beyond.
    """
    row = one("worked_examples", id="W62")
    inputs = [float(word) for word in row["inputs"].split("input ")[1].split(",")]
    beyond_v = {13.7: 1e-5, 12.8: -1e-5}
    sensed, other = (Cell(1e9, [0.0, 1.0], [12.6, 12.6], 0.5, {c.R0: 0.001}) for _ in range(2))
    found = machine([sensed, other], vsr={c.JOINS_V: 13.7, c.RELEASES_V: 12.8, c.R_OHM: 1e9})
    states = []
    for slot, volts in enumerate(inputs):
        found.arrays[c.M_REST_V][:2] = volts + beyond_v.get(volts, 0.0)
        run(found, 1, first=slot)
        states.append(str(int(found.block(c.M_RS, c.RELAY_STATE)[0, c.CLOSED])))
    assert ",".join(states) == row["expected"]


# --- constant power --------------------------------------------------------------------------------------------------


@settings(max_examples=20, deadline=None)
@given(emf_v=st.floats(10.0, 15.0), ohm=st.floats(0.005, 0.2), share=st.floats(0.001, 0.97))
def test_constant_power(emf_v: float, ohm: float, share: float) -> None:
    """V = (E + √(E² − 4·R·P))/2 up to the most that the source can give, E²/4R."""
    watts = share * emf_v**2 / (4.0 * ohm)
    bank = Cell(1e9, [0.0, 1.0], [emf_v, emf_v], 0.5, {c.R0: ohm})
    found = machine([bank], watts=watts, step_s=1.0)
    run(found, 1)
    expected = 0.5 * (emf_v + math.sqrt(emf_v**2 - 4.0 * ohm * watts))
    assert found.arrays[c.M_V][0] == pytest.approx(expected, rel=1e-5)


def test_more_power_than_a_source_has_is_no_quiet_voltage() -> None:
    """Above E²/4R there is no solution; the load is then far below any voltage at which it could work."""
    bank = Cell(1e9, [0.0, 1.0], [12.0, 12.0], 0.5, {c.R0: 0.1})
    found = machine([bank], watts=1.05 * 12.0**2 / 0.4, step_s=1.0)
    run(found, 1)
    unsettled = found.arrays[c.M_AUDIT][c.A_UNSETTLED] > 0
    assert unsettled or found.arrays[c.M_V][0] < 6.0


# --- books -----------------------------------------------------------------------------------------------------------


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_energy_of_a_bank_is_what_it_gave_and_what_it_lost(seed: int) -> None:
    """∫E·dQ = ∫U·I·dt + ∫I²·R0·dt of a bank with a series resistance alone, steps of 60 s; charge to 1e-11."""
    draw = np.random.default_rng(seed)
    bank = tank(100.0, 0.6, 0.01)
    found = machine([bank])
    amps = np.repeat(draw.uniform(-20.0, 25.0, 24), 5)
    for aboard in range(2):
        found.arrays[c.M_PAT_I][aboard * 1440 : aboard * 1440 + len(amps)] = amps
    lost_j = terminal_j = moved_as = 0.0
    for slot in range(len(amps)):
        run(found, 1, first=slot)
        own_a = state(found, 0, c.AMPS)
        terminal_j += found.arrays[c.M_V][0] * own_a * 60.0
        lost_j += own_a**2 * 0.01 * 60.0
        moved_as += own_a * 60.0
    work_j = -state(found, 0, c.WORK_J)
    assert work_j == pytest.approx(terminal_j + lost_j, abs=1e-7 * np.abs(amps).sum() * 60.0 * 13.0)
    assert (0.6 - state(found, 0, c.S)) * 360_000.0 == pytest.approx(moved_as, abs=1e-9 * np.abs(amps).sum() * 60.0)
    audit = found.arrays[c.M_AUDIT]
    assert audit[c.A_BANKS_J] == pytest.approx(terminal_j, rel=1e-9, abs=1e-3)
    assert audit[c.A_UNSETTLED] == audit[c.A_CAPPED] == 0


def test_charging_stores_what_its_efficiency_says_and_the_rest_is_gas() -> None:
    bank = Cell(100.0, [0.0, 1.0], [12.0, 12.8], 0.5, {c.R0: 0.005}, efficiency=0.8)
    found = machine([bank], amps=-10.0)
    run(found, 60)
    assert state(found, 0, c.S) == pytest.approx(0.5 + 0.08, abs=LEAK_A / 100.0)
    assert state(found, 0, c.GAS_AS) == pytest.approx(10.0 * 3600.0 * 0.2, rel=1e-4)
    assert state(found, 0, c.IN_AS) == pytest.approx(36_000.0, rel=1e-4)


def test_self_discharge_empties_without_a_current() -> None:
    bank = tank(100.0, 0.8, 0.005)
    bank.row[c.SELF_A] = 0.01
    found = machine([bank], step_s=600.0)
    run(found, 144)
    assert state(found, 0, c.S) == pytest.approx(0.8 - 0.01 * 24.0 / 100.0, abs=1e-4 * 0.35)
