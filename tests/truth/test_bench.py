"""A bench of the trade (common practice, no source), through spec, circuit and machine: sign and order of each step.

A full 12 V lead bank of 100 Ah rests at 12.80 to 12.86 V; a lamp of 1.36 A lowers it only a little; a source of 4 A
beside the lamp charges it with at most 2.6 A, falling within minutes, since it is full; 200 Ah of lithium that rests at
13.2 V stays apart until the source lifts the bus, and then takes more than half of what the lamp leaves.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from tests.generate import build, designed, spec_of

LAMP_A, SOURCE_A, JOINS_V = 1.36, 4.0, 13.3
LAMP_FROM, SOURCE_FROM, MINUTES = 10, 30, 90
"""Minutes from the beginning."""
SPEC = f"""
spec_version: 1
client: {{name: Somebody}}
vessel: {{name: Bench, kind: cabin}}
proposal: {{number: B-1, date: 2026-05-31}}
system: {{voltage: 12 V, insulation: 105 °C}}
climate:
  places: {{bench: {{title: Bench, coldest: 15 °C, usual: 25 °C, hottest: 35 °C}}}}
  seasons: {{all: {{title: The year, days: 365 days, sun: 4 h, temperature: 25 °C}}}}
routes:
  short: {{length: 1 m, place: bench, sheathed: yes}}
loads:
  lamp: {{title: Lamp, current: {LAMP_A} A, hours: 24 h, route: short}}
sources:
  supply: {{kind: shore, title: Supply, charger: shore_12v_30, voltage: 14.2 V, hours: 24 h, route: short}}
parts:
  lead_100: {{kind: battery, title: Lead, chemistry: agm, voltage: 12 V, capacity: 100 Ah, mass: 30 kg, price: 1,
             source: a bench}}
  lithium_200: {{kind: battery, title: Lithium, chemistry: lithium, voltage: 12.8 V, capacity: 200 Ah, mass: 22 kg,
                price: 1, source: a bench}}
options:
  both:
    title: Both
    arrangement: lead_and_lithium
    banks:
      lead: {{title: Lead, battery: lead_100, place: bench, route: short}}
      lithium: {{title: Lithium, battery: lithium_200, place: bench, route: short}}
    contactor: {{driven_as: latching, joins_above: {JOINS_V} V}}
  lead_alone: {{title: Lead alone, arrangement: one_bank,
               banks: {{lead: {{title: Lead, battery: lead_100, place: bench, route: short}}}}}}
"""


@cache
def built() -> tuple[Machine, int]:
    bench = build(spec_of(SPEC), "both")
    machine = build_machine(bench.spec, designed(bench).circuit, bench.family, bench.catalogue, seed=1, step_s=60.0)
    return machine, machine.banks.index("banks.lead")


def bench() -> tuple[Machine, int, int]:
    """Lead full, lithium at the charge at which it rests at 13.2 V, apart; lamp and source by the clock."""
    machine, lead = built()
    machine, lithium = machine.copy(), 1 - lead
    state = machine.block(c.M_STATE, c.STATE)
    state[lead, c.S], state[lithium, c.S] = 1.0, 0.68
    held = machine.block(c.M_RS, c.RELAY_STATE)
    held[:, c.CLOSED] = 0.0
    machine.block(c.M_RELAY, c.RELAY)[:, c.COIL_A] = 0.0  # no coil on this bench
    source = machine.season_rows(c.M_SOURCE, c.SOURCE, len(machine.sources))
    source[:, 0, c.LIMIT_A], source[:, 0, c.FROM_S], source[:, 0, c.FOR_S] = SOURCE_A, 60.0 * SOURCE_FROM, 86400.0
    table = machine.arrays[c.M_PAT_I].reshape(2, -1, 1440, len(machine.groups))
    table[:] = 0.0
    group = next(n for n, port in enumerate(machine.block(c.M_GROUP, c.GROUP)[:, c.G_PORT]) if port >= 0)
    table[:, :, LAMP_FROM:, group] = LAMP_A
    zero, one = np.zeros(1), np.ones(1)
    machine.calendar(zero, zero, one, zero, one)
    machine.keep_record(1, MINUTES)
    return machine, lead, lithium


def volts(machine: Machine, bank: int) -> np.ndarray:
    return machine.records[:MINUTES, 1 + 2 * bank]


def taken(machine: Machine, bank: int) -> np.ndarray:
    """What a bank takes in each minute [A]."""
    return -machine.records[:MINUTES, 1 + 2 * machine.size(c.N_PORTS) + machine.size(c.N_SEEN) + 6 * bank]


def test_a_full_lead_bank_with_a_lamp_and_then_a_source() -> None:
    machine, lead, _ = bench()
    machine.block(c.M_RELAY, c.RELAY)[:, c.JOINS_ABOVE_V] = machine.block(c.M_RELAY, c.RELAY)[:, c.EMPTY_JOINS_V] = 99.0
    machine.run(0, MINUTES, quick=False)
    u, into_a = volts(machine, lead), taken(machine, lead)
    assert 12.80 <= u[5] <= 12.86
    assert 0.0 < u[5] - u[SOURCE_FROM - 1] < 0.1
    assert into_a[SOURCE_FROM - 1] == pytest.approx(-LAMP_A, abs=0.01)
    charging = into_a[SOURCE_FROM:]
    assert 0.0 < charging.max() <= SOURCE_A - LAMP_A + 0.01
    assert charging[20] < 0.8 * charging[0]
    assert charging[-1] < charging[10] < charging[3]
    assert u[-1] > u[5]


def test_lithium_joins_once_the_source_lifts_the_bus_and_takes_more_than_half() -> None:
    machine, lead, lithium = bench()
    machine.run(0, MINUTES, quick=False)
    joined = [e[0] for e in machine.events if int(e[1]) == c.E_JOINS]
    assert volts(machine, lithium)[5] == pytest.approx(13.2, abs=0.03)
    assert len(joined) == 1
    assert 60.0 * SOURCE_FROM <= joined[0] < 60.0 * (SOURCE_FROM + 20)
    after = slice(int(joined[0] / 60.0) + 2, None)
    left_a = SOURCE_A - LAMP_A
    assert np.abs(taken(machine, lithium)[:SOURCE_FROM]).max() < 1e-3  # what insulation takes
    assert (taken(machine, lithium)[after] > 0.5 * left_a).all()
    assert (taken(machine, lead)[after] < 0.5 * left_a).all()
    assert (taken(machine, lithium)[after] + taken(machine, lead)[after]).max() <= left_a + 0.01
    assert not any(int(e[1]) == c.E_PARTS for e in machine.events)
