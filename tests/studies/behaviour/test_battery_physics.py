"""What batteries do in the kernel of the days: each effect with its sign, beside the figure that it is held to.

One battery, or two and a relay, with the figures of `parts.dynamics`; plain Python, steps of 10 to 600 s.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from proposal.parts.lead import compensated_v
from proposal.spec.pricebook import BatteryPart
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.wear import water_l
from tests.studies.behaviour.small import DAY_S, machine, real, run, state, volts_now

LEAD = ("flooded", "agm", "gel")
ABSORPTION = {c.ABSORB_V: 14.4, c.FLOAT_V: 13.5, c.LIMIT_A: 20.0, c.RESTART_V: 12.8}


def battery(kind: str, capacity_ah: float = 100.0, **more: str) -> BatteryPart:
    volts = 12.8 if kind == "lithium" else 12
    stated = {"kind": "battery", "title": "B", "chemistry": kind, "voltage": f"{volts} V"}
    return BatteryPart.model_validate({**stated, "capacity": f"{capacity_ah} Ah", **more})


def draw(found: Machine, amps: float, first: int = 0) -> None:
    """Have the load take so much from a slot of the day on."""
    slots = found.size(c.N_SLOTS)
    for aboard in range(2):
        found.arrays[c.M_PAT_I][aboard * slots + first : (aboard + 1) * slots] = amps


def stage(found: Machine) -> float:
    return float(found.arrays[c.M_SS][c.STAGE])


def to_day_end(found: Machine, done: int = 0) -> None:
    run(found, found.size(c.N_SLOTS) - done, first=done)


# --- charging lead ---------------------------------------------------------------------------------------------------


def test_bulk_ends_at_about_four_fifths() -> None:
    """A trade page: at C/5 the charge tapers from about 80 %; the slow polarisation has not all come by then."""
    found = machine([real(battery("flooded"), 25.0, 0.4)], charger=ABSORPTION)
    slot = 0
    while stage(found) < c.ABSORPTION:
        run(found, 1, first=slot)
        slot += 1
    assert 0.77 < state(found, 0, c.S) < 0.85


@pytest.mark.parametrize("kind", LEAD)
def test_the_last_fifth_takes_longer_than_the_rest(kind: str) -> None:
    """Trade: half a charge in two or three hours, the last of it in as many again and more."""
    found = machine([real(battery(kind), 25.0, 0.4)], charger=ABSORPTION)
    reached = {}
    for slot in range(1440):
        run(found, 1, first=slot)
        for share in (0.8, 0.98):
            if share not in reached and state(found, 0, c.S) >= share:
                reached[share] = slot / 60.0
    assert reached[0.8] < 3.0
    assert 2.0 < reached[0.98] - reached[0.8] < 9.0
    assert state(found, 0, c.S) < 1.0 + 1e-4  # the knee lies 1e-3 beyond full


def test_a_whole_charge_returns_what_makers_say() -> None:
    """Two makers' articles: 0.85 of the charge over a whole cycle; gas at absorption takes some more of it."""
    found = machine([real(battery("flooded"), 25.0, 0.05)], charger=ABSORPTION, step_s=120.0)
    slot = 0
    while state(found, 0, c.S) < 0.97:
        run(found, 1, first=slot)
        slot += 1
    returned = 0.92 * 360_000.0 / state(found, 0, c.IN_AS)
    assert 0.82 < returned < 0.90
    gassed = state(found, 0, c.GAS_AS) / state(found, 0, c.IN_AS)
    assert gassed == pytest.approx(1.0 - returned, abs=0.01)


@pytest.mark.parametrize("kind", LEAD)
def test_a_full_bank_on_float_takes_about_a_thousandth(kind: str) -> None:
    """Common practice: some 1 mA/Ah at 13.5 V and 25 °C, and never more charge than full."""
    found = machine([real(battery(kind), 25.0, 1.0)], charger={**ABSORPTION, c.ABSORB_V: 13.5}, step_s=300.0)
    to_day_end(found)
    assert 0.0001 < -state(found, 0, c.AMPS) / 100.0 < 0.002
    assert state(found, 0, c.S) == pytest.approx(1.0, abs=0.01)


def taken_in_an_hour_ah(kind: str, temperature_c: float, volts: float = 14.4) -> float:
    charger = {**ABSORPTION, c.ABSORB_V: volts, c.LIMIT_A: 100.0}
    found = machine([real(battery(kind), temperature_c, 0.7)], charger=charger)
    run(found, 60)
    return state(found, 0, c.IN_AS) / 3600.0


@pytest.mark.parametrize("kind", LEAD)
def test_cold_lead_takes_less_and_higher_voltage_mends_it(kind: str) -> None:
    """Common practice; the compensation that makers ask for (4 mV per cell and kelvin) is for that."""
    warm, cold = taken_in_an_hour_ah(kind, 25.0), taken_in_an_hour_ah(kind, 0.0)
    compensated = taken_in_an_hour_ah(kind, 0.0, compensated_v(14.4, 6, 0.0))
    assert cold < 0.75 * warm
    assert compensated > 1.1 * cold  # 1.18 to 1.27 by kind


def gassed_ah(temperature_c: float, volts: float, kind: str = "flooded") -> float:
    charger = {**ABSORPTION, c.ABSORB_V: volts}
    found = machine([real(battery(kind), temperature_c, 1.0)], charger=charger, step_s=300.0)
    to_day_end(found)
    return state(found, 0, c.GAS_AS) / 3600.0


def test_gas_grows_with_voltage_and_heat() -> None:
    """Schiffer and others 2007: e^(11/V) a cell, e^(0.06/K)."""
    assert gassed_ah(25.0, 14.4) > 3.0 * gassed_ah(25.0, 13.5)
    assert gassed_ah(40.0, 13.5) > 1.5 * gassed_ah(25.0, 13.5)  # part of it is charge that is not stored


def test_a_sealed_battery_loses_little_of_its_water() -> None:
    """Valve-regulated: from memory nineteen twentieths of the gas become water again inside."""
    lost = {kind: water_l(battery(kind), gassed_ah(25.0, 14.4, kind)) for kind in ("flooded", "agm")}
    assert 0.0 < lost["agm"] < 0.1 * lost["flooded"]


def test_surface_charge_after_charging_dies_away_within_hours() -> None:
    """From memory: 13.0 to 13.3 V right after, back at rest in a night."""
    found = machine([real(battery("agm"), 25.0, 0.98)], charger={**ABSORPTION, c.FOR_S: 6 * 3600.0})
    run(found, 360)
    run(found, 10, first=360)
    after_v = volts_now(found)[0]
    run(found, 110, first=370)
    later_v = volts_now(found)[0]
    to_day_end(found, 480)
    rested_v = volts_now(found)[0]
    assert 12.95 < after_v < 13.4
    assert after_v > later_v > rested_v + 0.05
    assert rested_v == pytest.approx(12.85, abs=0.03)


def test_the_plateau_of_lithium_is_float_for_warm_lead_and_too_low_for_cold() -> None:
    """2.25 V a cell at 25 °C with 4 mV/K: 13.2 V is float at 37 °C; at 10 °C it takes twice as long to nearly full.

    At neither does it count as full, which asks for 14.2 V.
    """
    float_v = 6 * 2.25
    assert compensated_v(float_v, 6, 35.0) == pytest.approx(13.2, abs=0.1)
    assert compensated_v(float_v, 6, 15.0) > 13.4 + 0.2
    hours = {}
    for degrees in (10.0, 37.0):
        found = machine(
            [real(battery("flooded"), degrees, 0.7)], charger={**ABSORPTION, c.ABSORB_V: 13.2}, step_s=300.0
        )
        for slot in range(288):
            run(found, 1, first=slot)
            if degrees not in hours and state(found, 0, c.S) >= 0.95:
                hours[degrees] = slot / 12.0
        assert state(found, 0, c.FULL_AT_S) == 0.0
    assert hours[10.0] > 2.0 * hours[37.0]


# --- drawing on lead -------------------------------------------------------------------------------------------------


def test_a_hard_draw_sags_and_comes_back() -> None:
    """Less is within reach after a hard draw than its amperes say (Peukert 1.25), and comes back within hours."""
    found = machine([real(battery("flooded"), 25.0, 0.9)], step_s=30.0)
    draw(found, 60.0)
    run(found, 60)
    put_away = state(found, 0, c.W)
    assert put_away == pytest.approx(60.0 / 200.0 * ((60.0 / 5.0) ** 0.25 - 1.0), rel=0.01)
    draw(found, 0.0)
    run(found, 1, first=60)
    sagged_v = volts_now(found)[0]
    run(found, 600, first=61)
    assert volts_now(found)[0] > sagged_v + 0.05
    assert state(found, 0, c.W) < 0.2 * put_away


def self_discharged(kind: str, temperature_c: float) -> float:
    found = machine([real(battery(kind), temperature_c, 0.9)], step_s=3600.0)
    to_day_end(found)
    return (0.9 - state(found, 0, c.S)) * 30.0


def test_self_discharge_in_a_month() -> None:
    """Remembered 4 to 10 % for flooded, 1 to 3 % for AGM; a pack's sheet 3 % at the most; doubled by 10 K."""
    assert 0.04 < self_discharged("flooded", 25.0) < 0.11
    assert 0.01 < self_discharged("agm", 25.0) < 0.035
    assert 0.01 < self_discharged("lithium", 25.0) < 0.035
    assert self_discharged("flooded", 35.0) == pytest.approx(2.0 * self_discharged("flooded", 25.0), rel=0.05)


# --- lithium ---------------------------------------------------------------------------------------------------------


def rested_v(way: float) -> float:
    """Rest at half charge, come to by charging (−1) or discharging (1)."""
    found = machine([real(battery("lithium"), 25.0, 0.5 + way * 0.2)], step_s=60.0)
    draw(found, 20.0 * way)
    run(found, 60)
    draw(found, 0.0)
    run(found, 300, first=60)
    assert state(found, 0, c.S) == pytest.approx(0.5, abs=0.003)
    return float(volts_now(found)[0])


def test_lithium_rests_higher_after_charging() -> None:
    """A battery-analytics article: 5 to 25 mV a cell apart on the plateau."""
    apart_v = rested_v(-1.0) - rested_v(1.0)
    assert 4 * 0.005 < apart_v < 4 * 0.025


def opened_at_v(spread: str) -> float:
    """Voltage of the battery at which its management ends charging."""
    part = battery("lithium", cuts_above="14.6 V", cell_spread=spread)
    found = machine([real(part, 25.0, 0.97)], charger={**ABSORPTION, c.ABSORB_V: 15.2, c.LIMIT_A: 40.0}, step_s=10.0)
    highest, slot = 0.0, 0
    while state(found, 0, c.CHARGE_BLOCKED) == 0.0:
        highest = float(found.arrays[c.M_V][0])
        run(found, 1, first=slot)
        slot += 1
    return highest


def test_a_strong_cell_opens_the_management_early() -> None:
    """The highest cell is what counts: 50 mV above the mean of four is 0.2 V of the pack."""
    assert opened_at_v("0 mV") > 14.4
    assert opened_at_v("100 mV") < opened_at_v("50 mV") < opened_at_v("0 mV")
    assert opened_at_v("50 mV") < 14.5


@pytest.mark.parametrize(("separate", "gives"), [("yes", True), ("no", False)])
def test_one_switch_takes_the_load_with_it(separate: str, gives: bool) -> None:
    part = battery("lithium", cuts_above="14.4 V", separate_switches=separate)
    charger = {**ABSORPTION, c.ABSORB_V: 15.0, c.LIMIT_A: 40.0, c.FOR_S: 3600.0}
    found = machine([real(part, 25.0, 0.97)], charger=charger, step_s=10.0)
    run(found, 359)
    assert state(found, 0, c.CHARGE_BLOCKED) > 0.0
    assert (state(found, 0, c.DISCHARGE_BLOCKED) == 0.0) is gives


def test_no_charge_below_freezing_until_it_is_warm() -> None:
    """A pack's sheet: 0 to 45 °C. Charging 3 K below that stores nothing; discharge goes on."""
    cold = machine([real(battery("lithium"), -3.0, 0.5)], charger=ABSORPTION, step_s=30.0)
    run(cold, 20)
    assert state(cold, 0, c.CHARGE_BLOCKED) >= 2.0
    assert state(cold, 0, c.S) < 0.5 + 0.002
    mild = machine([real(battery("lithium"), 8.0, 0.5)], charger=ABSORPTION, step_s=30.0)
    run(mild, 20)
    assert state(mild, 0, c.CHARGE_BLOCKED) == 0.0
    assert state(mild, 0, c.S) > 0.5 + 0.02


def test_an_empty_battery_switches_off_and_a_charger_wakes_it() -> None:
    """Published: 2.5 V a cell at the least."""
    charger = {**ABSORPTION, c.FROM_S: 3600.0}
    found = machine([real(battery("lithium"), 25.0, 0.03)], charger=charger, amps=20.0, step_s=10.0)
    run(found, 350)
    assert state(found, 0, c.DISCHARGE_BLOCKED) == 1.0
    assert found.arrays[c.M_V][0] < 9.0
    assert state(found, 0, c.S) > -0.005
    draw(found, 2.0, 359)
    run(found, 300, first=350)
    assert state(found, 0, c.S) > 0.05
    assert found.arrays[c.M_V][0] > 12.0


# --- chargers --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("load_a", "ends"), [(0.0, True), (5.0, False)])
def test_loads_hold_absorption(load_a: float, ends: bool) -> None:
    """The tail that a charger sees is loads and bank: with 5 A of loads it never sees 2 A."""
    charger = {**ABSORPTION, c.TAIL_A: 2.0}
    found = machine([real(battery("agm"), 25.0, 0.9)], charger=charger, amps=load_a, step_s=120.0)
    to_day_end(found)
    assert (stage(found) == c.FLOAT) is ends
    if not ends:
        assert state(found, 0, c.GAS_AS) > 0.0


@pytest.mark.parametrize(("restart_v", "charges"), [(12.8, False), (13.2, True)])
def test_a_charger_that_waits_below_the_plateau_never_restarts(restart_v: float, charges: bool) -> None:
    """A lithium bank at 60 % rests at 13.15 V, above the usual 12.5 to 13.0 V at which chargers begin anew."""
    charger = {**ABSORPTION, c.FLOAT_V: 13.1, c.RESTART_V: restart_v}
    found = machine([real(battery("lithium"), 25.0, 0.6)], charger=charger, step_s=120.0)
    found.arrays[c.M_SS][c.STAGE] = c.FLOAT
    run(found, 240)
    assert (state(found, 0, c.S) > 0.9) is charges


# --- a bench observation of the trade --------------------------------------------------------------------------------


def bench(joins_v: float) -> Machine:
    """Full 100 Ah of lead with a lamp of 1.36 A from 00:10 and a source of 4 A from 00:30; 200 Ah of lithium apart."""
    cells = [real(battery("agm"), 25.0, 1.0), real(battery("lithium", 200.0), 25.0, 0.68)]
    relay = {c.JOINS_V: joins_v, c.RELEASES_V: 12.8, c.DELAY_S: 5.0}
    found = machine(cells, vsr=relay, charger={**ABSORPTION, c.LIMIT_A: 4.0, c.FROM_S: 1800.0}, step_s=10.0)
    draw(found, 1.36, 60)
    return found


def test_bench_at_rest_with_a_lamp_and_with_a_source() -> None:
    """Common practice, no source: 12.80 to 12.86 V; the lamp does little; at most 2.6 A, falling within minutes."""
    found = bench(joins_v=99.0)
    assert 12.80 <= volts_now(found)[0] <= 12.86
    run(found, 180)
    assert 0.0 < 12.85 - found.arrays[c.M_V][0] < 0.05
    taken = []
    for slot in range(180, 300):
        run(found, 1, first=slot)
        taken.append(-state(found, 0, c.AMPS))
    assert 0.0 < max(taken) <= 2.65
    assert taken[-1] < 0.8 * taken[0]
    assert all(later <= before + 1e-6 for before, later in pairwise(taken[6:]))


def test_bench_lithium_joins_once_the_source_lifts_the_bus_and_takes_most() -> None:
    """It rests at 13.2 V and stays apart; then it takes more than half of what the lamp leaves of 4 A."""
    found = bench(joins_v=13.3)
    assert volts_now(found)[1] == pytest.approx(13.2, abs=0.03)
    closed = found.block(c.M_RS, c.RELAY_STATE)
    run(found, 180)
    assert closed[0, c.CLOSED] == 0.0
    run(found, 60, first=180)
    assert found.block(c.M_RS, c.RELAY_STATE)[0, c.CLOSED] == 1.0
    assert -state(found, 1, c.AMPS) > 0.5 * (4.0 - 1.36)
    assert -state(found, 0, c.AMPS) < 0.5 * (4.0 - 1.36)
    assert 13.1 < found.arrays[c.M_V][0] < 13.4


def test_all_of_it_is_followed_without_a_step_that_did_not_settle() -> None:
    found = bench(joins_v=13.3)
    run(found, round(DAY_S / 10.0) // 4)
    audit = found.arrays[c.M_AUDIT]
    assert audit[c.A_UNSETTLED] == 0
    assert audit[c.A_CAPPED] == 0
    assert np.isfinite(found.arrays[c.M_STATE]).all()
