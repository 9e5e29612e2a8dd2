"""A constant power past what the network can bring has no voltage to live on: that is told, with time and place."""

from __future__ import annotations

import pytest

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import events
from proposal.studies.behaviour.result import Event
from tests.generate import designed, project

SHARED = next(b for b in project("marram") if b.name.endswith("shared"))
INVERTER = "loads.inverter"


@pytest.fixture(scope="module")
def lab() -> Lab:
    made = designed(SHARED)
    return Lab(SHARED.spec, made.circuit, SHARED.family, SHARED.catalogue, 1)


def day_on_lead_alone(lab: Lab, lead_share: float) -> tuple[Machine, tuple[Event, ...]]:
    """A day with nothing charging, the lithium off, and an inverter that does not switch itself off."""
    machine = lab.ordinary(lab.fine, 0, 1)
    lab.silence(machine)
    state = machine.block(c.M_STATE, c.STATE)
    state[machine.banks.index("banks.lead"), c.S] = lead_share
    state[machine.banks.index("banks.lithium"), [c.CHARGE_BLOCKED, c.DISCHARGE_BLOCKED]] = 4.0
    row = machine.block(c.M_LOAD, c.LOAD)[machine.loads.index(INVERTER)]
    row[c.L_CUT_V] = 9.0
    machine.block(c.M_GROUP, c.GROUP)[int(row[c.L_GROUP]), c.G_CUT_V] = 9.0
    machine.run(0, 1440)
    return machine, events(lab, machine, 0.0, 86400.0)


def test_an_inverter_on_an_empty_battery_collapses_by_name_and_time(lab: Lab) -> None:
    machine, happened = day_on_lead_alone(lab, 0.4)
    told = [e for e in happened if e.code == "collapse"]
    assert [e.item for e in told] == [INVERTER]  # not the plotter, which its neighbour leaves without a voltage
    runs = machine.arrays[c.M_PAT_ON].reshape(2, machine.size(c.N_VARIANTS), 1440, -1)[1, 0]
    for event in told:
        load = lab.circuit.load[event.item]
        assert load.constant_power
        assert event.values["power_w"] == load.current_a * 12.0
        assert isinstance(event.values["voltage_v"], float)
        assert event.values["voltage_v"] < 0.8 * 12.0
        assert runs[int(event.time_s / 60.0) - 1, machine.loads.index(event.item)] > 0.0


def test_on_a_full_battery_nothing_collapses(lab: Lab) -> None:
    _, happened = day_on_lead_alone(lab, 1.0)
    assert not [e for e in happened if e.code == "collapse"]
