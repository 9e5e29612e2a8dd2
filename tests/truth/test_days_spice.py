"""The kernel of the days against ngspice (Debian), which is given the whole circuit, fine steps and nothing reduced."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from tests.generate import Built, build, designed, project, spec_of
from tests.truth.days_spice import DAY_S, Deck, simulate

VOLTAGE_MV, CHARGE_SHARE, STARTER_SHARE, EVENT_S = 5.0, 5e-4, 1e-3, 30.0
HOUR = np.arange(25)
NEAR_EVENTS_S = 60.0
"""Rows nearer than this to a switching are left out of the voltages: both switch within seconds of each other, and a
row of the record is the middle of the last part of its minute."""


@dataclass(frozen=True)
class Day:
    """A machine before its day, the same after it, and what it was made from."""

    before: Machine
    after: Machine
    circuit: Circuit
    family: RuleFamily


def run_day(built: Built, sun_w: dict[str, np.ndarray], prepare) -> Day:  # type: ignore[no-untyped-def]
    circuit = designed(built).circuit
    machine = build_machine(built.spec, circuit, built.family, built.catalogue, seed=1, step_s=60.0)
    sun = np.zeros((len(machine.sources), 1, 25))
    for key, watts in sun_w.items():
        sun[machine.sources.index(key), 0] = watts
    machine.sun(sun)
    zero, one = np.zeros(1), np.ones(1)
    machine.calendar(zero, zero, one, zero, one)
    machine.keep_record(1, 1440)
    # whatever goes dark comes back at another minute here and there: that is for other tests
    machine.block(c.M_LOAD, c.LOAD)[:, c.L_CUT_V] = machine.block(c.M_GROUP, c.GROUP)[:, c.G_CUT_V] = 1.0
    prepare(machine)
    after = machine.copy()
    after.run(0, 1440, quick=False)
    return Day(machine, after, circuit, built.family)


def engine_daily(machine: Machine, from_h: float, for_h: float) -> None:
    setting = machine.arrays[c.M_SET]
    setting[c.USES_ENGINE], setting[c.ENGINE_MODE] = 1.0, 1.0
    setting[c.DECK_FOR_S] = 0.0  # no engine while the windlass works: its sag is one of the events
    setting[c.ENGINE_FROM_S], setting[c.ENGINE_MOST_S] = 3600.0 * from_h, 3600.0 * for_h


def charge(machine: Machine, shares: list[float]) -> None:
    machine.block(c.M_STATE, c.STATE)[:, c.S] = shares


def contactor(machine: Machine, above_v: float, below_v: float) -> None:
    row = machine.block(c.M_RELAY, c.RELAY)[0]
    row[c.OPENS_ABOVE_V], row[c.OPENS_BELOW_V], row[c.WAITS_S] = above_v, below_v, 240.0


CLOUDS_W = np.interp(HOUR, [0, 6, 8, 11, 12, 13, 14, 17, 18, 24], [0, 0, 480, 560, 0, 520, 450, 250, 0, 0])


@cache
def shared() -> Day:
    """Empty at night, joined by the sun, parted by the windlass and by clouds."""

    def prepare(machine: Machine) -> None:
        charge(machine, [0.97, 0.62])
        contactor(machine, 14.3, 13.12)
        engine_daily(machine, 20.0, 1.0)

    return run_day(project("marram")[0], {"sources.solar": CLOUDS_W}, prepare)


@cache
def dedicated() -> Day:
    """The same, and a starter battery that the engine joins to the house; its relay lets go with the last charge."""

    def prepare(machine: Machine) -> None:
        charge(machine, [0.97, 0.62, 0.95])
        contactor(machine, 14.3, 13.1)
        engine_daily(machine, 9.5, 1.0)

    return run_day(project("marram")[1], {"sources.solar": CLOUDS_W}, prepare)


@cache
def filled() -> Day:
    """Parted as full under the sun, joined by each cloud: the latch of a full bank."""
    watts = np.interp(
        HOUR, [0, 6, 7, 10, 11, 12, 14, 15, 16, 17, 18, 24], [0, 0, 500, 560, 0, 560, 560, 0, 500, 400, 0, 0]
    )

    def prepare(machine: Machine) -> None:
        charge(machine, [0.97, 0.9])
        contactor(machine, 13.95, 12.0)

    return run_day(project("marram")[0], {"sources.solar": watts}, prepare)


HUT = """
spec_version: 1
client: {name: Somebody}
vessel: {name: Something, kind: boat}
proposal: {number: H-1, date: 2026-05-31}
system: {voltage: 24 V, insulation: 105 °C}
climate:
  places:
    cabin: {title: Cabin, coldest: 5 °C, usual: 15 °C, hottest: 30 °C}
    engine: {title: Engine space, coldest: 5 °C, usual: 30 °C, hottest: 50 °C, engine_space: yes}
  seasons: {all: {title: The year, days: 365 days, sun: 4 h, temperature: 15 °C}}
engine: {starter_current: 150 A, starter_inrush: unknown, minimum_cranking_voltage: 18 V, route: short}
routes:
  short: {length: 2 m, place: engine, sheathed: yes}
  house: {length: 3 m, place: cabin, sheathed: yes}
  between: {length: 5 m, place: engine, sheathed: yes}
  aft: {length: 7 m, place: cabin, sheathed: yes}
  lamps: {length: 9 m, place: cabin}
panels:
  aft: {title: Aft panel, route: aft}
loads:
  lamps: {title: Lamps, power: 60 W, hours: 5 h, when: evening, panel: aft, route: lamps}
  cooler: {title: Cooler, power: 90 W, hours: 24 h, duty: 50 %, constant_power: yes, route: lamps}
  heater: {title: Heater fan, current: 4 A, hours: 10 h, when: night, panel: aft, route: house}
  kettle: {title: Kettle, power: 400 W, hours: 1 h, when: day, constant_power: yes, route: house}
  alarm: {title: Alarm, current: 0.5 A, hours: 24 h, always_on: yes, side: start, route: short}
sources:
  solar: {kind: solar, title: Solar, power: 800 W, open_circuit: 80 V, short_circuit: 14 A,
          controller: solar_100_50_24v, voltage: 28.4 V, place: cabin, route: house}
  alternator: {kind: alternator, title: Alternator, current: 60 A, hot_current: 35 A,
               voltage: 28.2 V, side: start, route: short}
options:
  one: {title: One bank, arrangement: one_bank,
        banks: {house: {title: House, battery: agm_12v_110, series: 2, place: cabin, route: house}}}
  two:
    title: House and starter
    arrangement: house_and_starter
    house: house
    start: starter
    banks:
      house: {title: House, battery: agm_12v_110, series: 2, parallel: 2, place: cabin, route: house}
      starter: {title: Starter, battery: start_12v_100, series: 2, place: engine, route: short}
    vsr: {route: between, joins: 26.6 V, releases: 25.6 V, senses: both}
"""


@cache
def hut() -> Day:
    """24 V, two strings, a relay that senses both sides: sun and engine join, a cloud and the night part."""
    watts = np.interp(HOUR, [0, 6, 7, 9, 10, 11, 12, 13, 15, 16, 17, 24], [0, 0, 500, 600, 0, 0, 550, 600, 0, 0, 0, 0])

    def prepare(machine: Machine) -> None:
        charge(machine, [0.86, 0.9])
        engine_daily(machine, 19.0, 1.0)

    return run_day(build(spec_of(HUT), "two"), {"sources.solar": watts}, prepare)


DAYS = {"shared": shared, "dedicated": dedicated, "filled": filled, "hut": hut}


def spans(machine: Machine, begins: int, *ends: int) -> dict[int, list[tuple[float, float]]]:
    """From one kind of event of an item to the next of others [s]."""
    found: dict[int, list[tuple[float, float]]] = {}
    for event in machine.events:
        at, code, item = float(event[0]), int(event[1]), int(event[2])
        open_now = found.setdefault(item, [])
        if code == begins:
            open_now.append((at, 2.0 * DAY_S))
        elif code in ends and open_now and open_now[-1][1] > DAY_S:
            open_now[-1] = (open_now[-1][0], at)
    return {item: rows for item, rows in found.items() if rows}


def switchings(machine: Machine, relay: int) -> list[tuple[float, bool]]:
    codes = (c.E_JOINS, c.E_PARTS)
    return [(float(e[0]), int(e[1]) == c.E_JOINS) for e in machine.events if int(e[1]) in codes and int(e[2]) == relay]


@pytest.mark.reference
@pytest.mark.slow
@pytest.mark.parametrize("name", DAYS)
def test_a_day_is_that_of_ngspice_with_the_whole_circuit(name: str, tmp_path: Path) -> None:
    day = DAYS[name]()
    machine = day.after
    audit = machine.arrays[c.M_AUDIT]
    assert audit[c.A_UNSETTLED] == audit[c.A_CAPPED] == 0
    engine = spans(machine, c.E_ENGINE_ON, c.E_ENGINE_OFF).get(0, [])
    floats = spans(machine, c.E_FLOAT, c.E_BULK, c.E_SUN_ENDS)
    truth = simulate(Deck(day.before, day.circuit, day.family).build(floats, engine), tmp_path)

    ours = {r: switchings(machine, r) for r in range(len(machine.relays))}
    theirs = {r: truth.switchings(f"relay{r}") if f"relay{r}" in truth.found else [] for r in ours}
    assert sum(map(len, ours.values())) >= 5
    order = [sorted((at, r, on) for r, rows in side.items() for at, on in rows) for side in (ours, theirs)]
    assert [row[1:] for row in order[0]] == [row[1:] for row in order[1]]
    late_s = [abs(one[0] - other[0]) for one, other in zip(*order, strict=True)]
    assert max(late_s) <= EVENT_S, late_s

    times = machine.records[:, 0]
    calm = np.ones(len(times), dtype=bool)
    for row in machine.events:
        calm &= np.abs(times - row[0]) > NEAR_EVENTS_S
    assert calm.mean() > 0.95
    first = 1 + 2 * machine.size(c.N_PORTS) + machine.size(c.N_SEEN)
    report = [f"{name}: {len(late_s)} events, at most {max(late_s):.1f} s apart"]
    for b, key in enumerate(machine.banks):
        off_mv = 1e3 * (truth.at(f"v{b}", times) - machine.records[:, 1 + 2 * b])[calm]
        share = truth.at(f"s{b}", times + 30.0) - machine.records[:, first + 6 * b + 1]
        allowed = STARTER_SHARE if day.circuit.banks[b].role == "start" else CHARGE_SHARE
        rms_mv = float(np.sqrt((off_mv**2).mean()))
        report.append(f"{key}: {rms_mv:.2f} mV rms, charge {100 * np.abs(share).max():.4f} %")
        assert rms_mv <= VOLTAGE_MV, report
        assert np.abs(share).max() <= allowed, report
