"""Small networks with answers that can be written down: circuit theory, no other source needed."""

import pytest

from proposal.studies.network.equations import constant_power_v
from proposal.studies.network.reduced import reduce_network, thevenin
from proposal.studies.network.result import Emf, Network, Port, Resistor
from proposal.studies.network.solve import solve


def network(resistors, emfs, ports=()):
    nodes = {"ref": None}
    for item in (*resistors,):
        nodes |= {item.from_node: None, item.to_node: None}
    for item in (*emfs, *ports):
        nodes |= {item.positive: None, item.negative: None}
    return Network("case", "20", "ref", tuple(nodes), (), tuple(resistors), tuple(emfs), tuple(ports), ())


def battery(volts, ohm, name="e", node="plus", accepts_a=None):
    return Emf(name, node, "ref", volts, ohm, accepts_a)


def solved(*parts):
    return solve(reduce_network(network(*parts)))


def test_two_batteries_through_a_resistance():
    # i = ΔU/ΣR
    found = solved(
        [Resistor("w", "a", "b", 0.01, 20.0)], [battery(14.4, 0.002, "x", "a"), battery(11.8, 0.003, "y", "b")]
    )
    assert found.current_a["w"] == pytest.approx((14.4 - 11.8) / 0.015, rel=1e-12)


def test_constant_power_behind_a_resistance():
    # U = (E + sqrt(E² − 4RP))/2
    load = Port("p", "far", "ref", "power", power_w=800.0)
    found = solved([Resistor("w", "plus", "far", 0.01, 20.0)], [battery(12.6, 0.005)], [load])
    assert found.port_v["p"] == pytest.approx(constant_power_v(12.6, 0.015, 800.0), abs=1e-9)
    assert found.solved


@pytest.mark.parametrize("share", [0.999, 1.001])
def test_a_load_past_maximum_power_is_named_and_never_given_a_voltage(share):
    most_w = 12.6**2 / (4 * 0.015)
    load = Port("p", "far", "ref", "power", power_w=share * most_w)
    found = solved([Resistor("w", "plus", "far", 0.01, 20.0)], [battery(12.6, 0.005)], [load])
    assert found.solved is (share < 1.0)
    assert found.collapsed == (() if share < 1.0 else ("p",))
    assert ("p" in found.port_v) is (share < 1.0)


def test_fault_current_is_open_voltage_over_what_is_seen():
    # V/Z_kk, two batteries in parallel behind one conductor
    made = reduce_network(
        network([Resistor("w", "plus", "far", 0.004, 20.0)], [battery(12.8, 0.006, "x"), battery(12.8, 0.003, "y")])
    )
    volts, ohm = thevenin(made, "far", "ref")
    assert volts == pytest.approx(12.8)
    assert ohm == pytest.approx(0.004 + 0.002)


def test_superposition():
    # with constant currents the network is linear: the sum of what each does alone
    wires = [Resistor("w", "plus", "far", 0.02, 20.0)]
    cell = [battery(12.6, 0.01)]
    one, other = Port("p", "far", "ref", "current", 10.0), Port("q", "plus", "ref", "current", 25.0)
    idle = solved(wires, cell).voltage_v["far"]
    both = solved(wires, cell, [one, other]).voltage_v["far"]
    alone = [solved(wires, cell, [port]).voltage_v["far"] for port in (one, other)]
    assert both - idle == pytest.approx(sum(v - idle for v in alone), abs=1e-12)


@pytest.mark.parametrize(
    ("emf_v", "given_a"),
    [(12.0, 40.0), (14.19, (14.4 - 14.19) / (0.005 + 0.00125)), (14.5, 0.0)],
)
def test_a_charger_limits_then_regulates_then_stops(emf_v, given_a):
    # i = clip((U_set − U)/R_droop, 0, I_max)
    charger = Port("c", "plus", "ref", "charger", 40.0, set_v=14.4, droop_ohm=0.00125)
    found = solved([Resistor("w", "plus", "far", 1.0, 20.0)], [battery(emf_v, 0.005)], [charger])
    assert found.given_a["c"] == pytest.approx(given_a, abs=1e-9)


def test_a_battery_takes_no_more_than_it_accepts_and_the_other_takes_the_rest():
    charger = Port("c", "plus", "ref", "charger", 100.0, set_v=14.4, droop_ohm=0.0005)
    lead, lithium = battery(12.2, 0.004, "lead", accepts_a=30.0), battery(13.1, 0.002, "lithium")
    found = solved([Resistor("w", "plus", "far", 1.0, 20.0)], [lead, lithium], [charger])
    assert found.given_a["lead"] == pytest.approx(-30.0, abs=1e-9)
    assert found.given_a["lithium"] == pytest.approx(-70.0, abs=1e-9)


def test_a_lone_battery_that_accepts_little_lets_its_charger_regulate():
    charger = Port("c", "plus", "ref", "charger", 100.0, set_v=14.4, droop_ohm=0.0005)
    found = solved([Resistor("w", "plus", "far", 1.0, 20.0)], [battery(12.2, 0.004, accepts_a=30.0)], [charger])
    assert found.given_a["e"] == pytest.approx(-30.0, abs=1e-9)
    assert found.port_v["c"] == pytest.approx(14.4 - 30.0 * 0.0005, abs=1e-9)


def test_a_rested_lead_battery_floats_beside_lithium_and_gives_when_it_sags():
    lead, lithium = battery(12.7, 0.004, "lead", accepts_a=0.0), battery(13.2, 0.002, "lithium")
    wires = [Resistor("w", "plus", "far", 0.0001, 20.0)]
    assert solved(wires, [lead, lithium]).given_a["lead"] == pytest.approx(0.0, abs=1e-9)
    heavy = Port("p", "far", "ref", "current", 400.0)
    sagging = solved(wires, [lead, lithium], [heavy])
    # superposition of two sources in parallel: U = (E1·G1 + E2·G2 − I)/(G1 + G2)
    volts = (12.7 / 0.004 + 13.2 / 0.002 - 400.0) / (1 / 0.004 + 1 / 0.002)
    assert sagging.port_v["lead"] == pytest.approx(volts, abs=1e-9)
    assert sagging.given_a["lead"] == pytest.approx((12.7 - volts) / 0.004, abs=1e-7)
