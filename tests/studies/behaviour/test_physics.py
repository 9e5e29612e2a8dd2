"""Lead and lithium through a contactor, sources and relays in a whole boat: each effect with its sign.

Companion of `test_battery_physics`, which asks the same of single batteries. What each is held to stands beside it;
where nothing is printed, it is common practice. Parts of days, plain Python.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from tests.generate import designed, project

HOUR_S, SLOTS_H = 3600.0, 30
LEAD, LITHIUM, STARTER = 0, 1, 2
SHARED, DEDICATED = ("marram", 0), ("marram", 1)
NO_V = -1e9


@cache
def made(name: str, option: int) -> Machine:
    built = project(name)[option]
    return build_machine(built.spec, designed(built).circuit, built.family, built.catalogue, seed=1, step_s=120.0)


def boat(which: tuple[str, int], shares: list[float], *, sun_w: object = 0.0, loads: float = 1.0) -> Machine:
    """A day from midnight: banks at their charge, the sun [W] by the hour, no engine, no shore, all loads scaled."""
    machine = made(*which).copy()
    state = machine.block(c.M_STATE, c.STATE)
    state[:, c.S] = shares
    sun = np.zeros((len(machine.sources), 1, 25))
    if "sources.solar" in machine.sources:
        sun[machine.sources.index("sources.solar"), 0] = sun_w
    machine.sun(sun)
    zero, one = np.zeros(2), np.ones(2)
    machine.calendar(zero, zero, one, zero, one)
    machine.arrays[c.M_SET][[c.USES_ENGINE, c.USES_GENERATOR]] = 0.0
    sources(machine)[:, c.FOR_S] = 0.0
    for table in (c.M_PAT_I, c.M_PAT_P, c.M_PAT_ON):
        machine.arrays[table] = machine.arrays[table] * loads
    machine.arrays[c.M_PAT_W] = machine.arrays[c.M_PAT_W] * loads**2
    return machine


def run(machine: Machine, hours: float, *, from_h: float = 0.0) -> None:
    machine.run(round(SLOTS_H * from_h), round(SLOTS_H * (from_h + hours)), quick=False)
    audit = machine.arrays[c.M_AUDIT]
    assert audit[c.A_UNSETTLED] == 0
    assert audit[c.A_CAPPED] == 0
    assert np.isfinite(machine.arrays[c.M_STATE]).all()


def sources(machine: Machine) -> np.ndarray:
    return machine.season_rows(c.M_SOURCE, c.SOURCE, len(machine.sources))[0]


def banks(machine: Machine) -> np.ndarray:
    return machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))[0]


def relay(machine: Machine, number: int = 0) -> np.ndarray:
    return machine.block(c.M_RELAY, c.RELAY)[number]


def held(machine: Machine, number: int = 0) -> np.ndarray:
    return machine.block(c.M_RS, c.RELAY_STATE)[number]


def share(machine: Machine, bank: int) -> float:
    return float(machine.block(c.M_STATE, c.STATE)[bank, c.S])


def volts(machine: Machine, bank: int) -> float:
    return float(machine.arrays[c.M_V][bank])


def when(machine: Machine, code: int, item: int = 0) -> list[float]:
    """Times of one kind of event [h]."""
    return [float(e[0]) / HOUR_S for e in machine.events if int(e[1]) == code and int(e[2]) == item]


def stuck(machine: Machine, number: int, closed: bool) -> None:
    """A contact that no longer moves: nothing that is watched may switch it."""
    held(machine, number)[c.CLOSED] = 1.0 if closed else 0.0
    rows = machine.block(c.M_COND, c.CONDITION)
    of_relays = {c.VSR_JOIN, c.VSR_RELEASE, c.CON_JOIN, c.CON_FULL, c.CON_EMPTY, c.CON_DISCHARGING, c.LATCH_FREE}
    kept = [row for row in rows if not (int(row[0]) in {*of_relays, c.CON_COUNTED} and int(row[1]) == number)]
    watch(machine, np.array(kept))


def watch(machine: Machine, conditions: np.ndarray) -> None:
    machine.arrays[c.M_COND] = conditions.astype(float).reshape(-1)
    machine.arrays[c.M_SIZES][c.N_CONDITIONS] = len(conditions)
    machine.arrays[c.M_SINCE], machine.arrays[c.M_FLAG] = (
        np.full(len(conditions) + 1, -1.0),
        np.zeros(len(conditions) + 1),
    )


# --- charge sources --------------------------------------------------------------------------------------------------


def absorbing(opens_above_v: float) -> Machine:
    machine = boat(SHARED, [0.97, 0.93], sun_w=560.0, loads=0.2)
    relay(machine)[c.OPENS_ABOVE_V] = opens_above_v
    sources(machine)[0, c.TAIL_A] = 12.0
    watch(machine, np.vstack([machine.block(c.M_COND, c.CONDITION), [c.SRC_TAIL, 0]]))
    run(machine, 7.0, from_h=9.0)
    return machine


def test_lithium_that_opens_ends_absorption_early() -> None:
    """The charger sees loads, lead and lithium as one current: once lithium is gone it takes the rest for a tail."""
    parts, stays = absorbing(13.95), absorbing(NO_V)
    assert when(parts, c.E_PARTS)
    opened, floats = when(parts, c.E_PARTS)[0], when(parts, c.E_FLOAT)[0]
    assert 0.0 < floats - opened < 0.2
    assert floats < min(when(stays, c.E_FLOAT), default=16.0)
    assert share(parts, LITHIUM) < share(stays, LITHIUM)
    assert share(parts, LEAD) <= share(stays, LEAD) + 1e-3


def test_an_alternator_gets_hot_and_gives_less() -> None:
    """Common practice: half to two thirds of the cold current after half an hour, by the time constant stated."""
    machine = boat(DEDICATED, [0.6, 0.3, 0.9])
    setting, row = machine.arrays[c.M_SET], sources(machine)[1]
    row[c.COLD_A], row[c.HOT_A], row[c.LIMIT_A] = 88.0, 55.0, 110.0
    setting[c.USES_ENGINE], setting[c.ENGINE_MODE], setting[c.ENGINE_FROM_S] = 1.0, 1.0, 9.0 * HOUR_S
    setting[c.ENGINE_MOST_S] = 4.0 * HOUR_S
    given = []
    for hour in (9.0, 9.5, 10.0, 12.0):
        run(machine, 0.05, from_h=hour)
        given.append(float(machine.block(c.M_SS, c.SOURCE_STATE)[1, c.GIVES_A]))
        run(machine, 0.45, from_h=hour + 0.05)
    assert given[0] == pytest.approx(88.0, rel=0.05)
    assert given[0] > given[1] > given[2] > given[3]
    assert given[3] == pytest.approx(55.0, rel=0.05)


# --- the contactor ---------------------------------------------------------------------------------------------------


def dusk(lithium_above_v: float) -> Machine:
    """Full lead at a charger's float, lithium apart at 60 %; the charger is switched off at 20:00."""
    machine = boat(SHARED, [1.0, 0.6])
    held(machine)[c.CLOSED] = 0.0
    row = sources(machine)[2]
    row[c.FROM_S], row[c.FOR_S], row[c.ABSORB_V], row[c.FLOAT_V] = 18.0 * HOUR_S, 2.0 * HOUR_S, 13.5, 13.5
    relay(machine)[c.JOINS_BELOW_V], relay(machine)[c.LITHIUM_ABOVE_V] = 0.1, lithium_above_v
    run(machine, 6.0, from_h=18.0)
    return machine


def test_at_dusk_nearly_equal_is_missed_and_at_or_below_is_not() -> None:
    """The bus falls through the lithium's voltage within a minute; with "nearly equal" lead carries the night."""
    equal, below = dusk(0.1), dusk(NO_V)
    assert not when(equal, c.E_JOINS)
    (joined,) = when(below, c.E_JOINS)
    assert 20.0 <= joined < 20.1
    assert share(below, LEAD) > 0.99
    assert share(equal, LEAD) < 0.95
    assert share(equal, LITHIUM) > share(below, LITHIUM)
    assert volts(equal, LEAD) < volts(below, LEAD)


def test_after_full_lithium_waits_until_the_bus_has_fallen() -> None:
    """Float lies above lithium at rest: without a latch it would join again at once, and part again, all day long."""
    machine = boat(SHARED, [0.97, 0.95], sun_w=[*[560.0] * 16, 0.0, *[0.0] * 8], loads=0.3)
    relay(machine)[c.OPENS_ABOVE_V] = 13.9
    sources(machine)[0, c.ABSORB_S] = 20.0 * HOUR_S
    run(machine, 9.0, from_h=9.0)
    (parted,) = when(machine, c.E_PARTS)
    joined = when(machine, c.E_JOINS)
    assert parted < 15.0 < joined[0]
    assert not when(machine, c.E_CHATTER)


def test_after_empty_lithium_waits_until_something_charges() -> None:
    """It rises again at rest; joined at once it would be emptied by turns. Common practice: from 13.2 V of the bus."""
    machine = boat(SHARED, [0.9, 0.12], sun_w=[*[0.0] * 8, *[450.0] * 17])
    relay(machine)[c.OPENS_BELOW_V] = 12.9
    run(machine, 8.0)
    assert len(when(machine, c.E_PARTS)) == 1
    assert not when(machine, c.E_JOINS)
    assert volts(machine, LITHIUM) > volts(machine, LEAD)
    run(machine, 3.0, from_h=8.0)
    at_v = next(e[4] for e in machine.events if int(e[1]) == c.E_JOINS)
    assert at_v >= 13.2 - 0.01


def test_stuck_open_empties_lead_and_stuck_closed_empties_lithium() -> None:
    """Which bank suffers: lead alone carries the loads, or nothing keeps lithium from its own cut-off."""
    night = {name: boat(SHARED, [1.0, 0.25]) for name in ("works", "open", "closed")}
    stuck(night["open"], 0, False)
    stuck(night["closed"], 0, True)
    for machine in night.values():
        relay(machine)[c.OPENS_BELOW_V] = 12.95
        run(machine, 12.0, from_h=12.0)
    assert when(night["works"], c.E_PARTS)
    assert share(night["open"], LITHIUM) == pytest.approx(0.25, abs=0.001)
    assert share(night["open"], LEAD) < share(night["works"], LEAD) < share(night["closed"], LEAD)
    assert share(night["closed"], LITHIUM) < share(night["works"], LITHIUM) < share(night["open"], LITHIUM)
    for name in ("open", "closed"):
        assert not when(night[name], c.E_PARTS)
        assert not when(night[name], c.E_JOINS)


def test_a_held_coil_takes_what_it_says() -> None:
    """I·t: 0.5 A for twelve hours are 6 Ah that a latching contactor does not take."""
    held_open, coil = [], 0.5
    for amps in (0.0, coil):
        machine = boat(SHARED, [1.0, 0.8])
        relay(machine)[c.COIL_A] = amps
        run(machine, 12.0)
        held_open.append(sum(machine.block(c.M_STATE, c.STATE)[:, c.COULOMB]) / 3600.0)
    assert held_open[0] - held_open[1] == pytest.approx(coil * 12.0, rel=0.02)


# --- the voltage-sensitive relay -------------------------------------------------------------------------------------


def flat_start(delay_s: float, gap_v: float) -> Machine:
    """A flat starter battery; the relay senses the house side, which the sun lifts."""
    machine = boat(DEDICATED, [0.9, 0.3, 0.05], sun_w=[0.0] * 8 + [250.0] * 17, loads=0.3)
    stuck(machine, 0, False)
    row = relay(machine, 1)
    row[c.SENSE_ONE] = next(r for r, pair in enumerate(machine.pairs) if pair[0] == "links.vsr.to_fused")
    row[c.DELAY_S], row[c.RELEASES_V] = delay_s, row[c.JOINS_V] - gap_v
    run(machine, 3.0, from_h=8.0)
    return machine


def test_a_flat_start_battery_makes_a_hasty_relay_chatter() -> None:
    """It closes, the bus sags, it opens: with a short delay and a narrow gap again and again (common practice)."""
    hasty, patient = flat_start(15.0, 0.1), flat_start(120.0, 0.8)
    assert len(when(hasty, c.E_JOINS, 1)) > 10
    assert when(hasty, c.E_CHATTER, 1)
    assert not when(patient, c.E_CHATTER, 1)
    assert len(when(patient, c.E_JOINS, 1)) <= 3
    assert share(patient, STARTER) >= share(hasty, STARTER)


# --- age and cold ----------------------------------------------------------------------------------------------------


def test_aged_lead_sags_more_and_lasts_less() -> None:
    """80 % of its capacity and twice its resistance: the end of life by common practice."""
    found = []
    for capacity, resistance in ((1.0, 1.0), (0.8, 2.0)):
        machine = boat(SHARED, [1.0, 0.5])
        stuck(machine, 0, False)
        rows = banks(machine)
        rows[LEAD, c.CAP] *= capacity
        rows[LEAD, [c.R0, c.R1, c.R2]] *= resistance
        run(machine, 10.0)
        found.append((volts(machine, LEAD), share(machine, LEAD)))
    assert found[1][0] < found[0][0] - 0.05
    assert found[1][1] == pytest.approx(found[0][1], abs=0.02)  # what was drawn; less is left of it


def frost(warms: bool) -> Machine:
    machine = boat(("frostbit", 1), [0.5, 1.0] if made("frostbit", 1).banks[0] == "banks.lithium" else [1.0, 0.5])
    lithium = machine.banks.index("banks.lithium")
    rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))
    rows[:, :, c.AMBIENT_C] = -8.0
    if not warms:
        rows[:, lithium, c.HEATER_W] = 0.0
    machine.block(c.M_STATE, c.STATE)[:, c.WARM] = -8.0
    shore = machine.sources.index("sources.shore")
    sources(machine)[shore, [c.FROM_S, c.FOR_S]] = HOUR_S, 20.0 * HOUR_S
    run(machine, 8.0)
    return machine


def test_a_heater_lets_frozen_lithium_charge_and_takes_its_energy() -> None:
    """A pack's sheet: no charge below 0 °C. A heater works while something charges; its energy is on the books."""
    cold, warm = frost(False), frost(True)
    lithium = cold.banks.index("banks.lithium")
    assert when(cold, c.E_CHARGE_BLOCKED, lithium)
    assert not when(cold, c.E_CHARGE_FREED, lithium)
    assert share(cold, lithium) <= 0.5
    assert when(warm, c.E_CHARGE_FREED, lithium)
    assert share(warm, lithium) > 0.6
    assert warm.block(c.M_STATE, c.STATE)[lithium, c.WARM] >= 0.0
    assert warm.arrays[c.M_AUDIT][c.A_LOADS_J] > cold.arrays[c.M_AUDIT][c.A_LOADS_J]
