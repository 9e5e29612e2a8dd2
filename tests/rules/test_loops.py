"""Checks 39 and 50: currents in circles, and currents that no meter sees."""

from dataclasses import replace

import pytest

from proposal.circuit.model import Conductor, SeriesDevice

# --- 39 --------------------------------------------------------------------------------------------------------------


def beside(bench, evidence, kind=None):
    """Something that joins the two sides of the converter: a relay, or a plain conductor."""
    circuit = evidence.circuit
    (converter,) = circuit.converters
    ends = (converter.in_positive, converter.out_positive)
    if kind is None:
        way = replace(circuit.conductors[0], key="links.tie.positive", from_node=ends[0], to_node=ends[1])
        assert isinstance(way, Conductor)
        return bench.circuit(evidence, conductors=(*circuit.conductors, way))
    relay = SeriesDevice("links.tie.relay", "links.tie", kind, "positive", *ends)
    return bench.circuit(evidence, devices=(*circuit.devices, relay))


def test_a_relay_beside_a_converter_closes_a_loop(bench):
    """30 A at 14.2 V and 95 %: 22.4 W turn into heat."""
    evidence = beside(bench, bench.option("converter"), "vsr")
    finding = bench.only(evidence, "converter_loops", "links.dc_dc")
    assert (finding.outcome, finding.values["cause"], finding.values["first_item"]) == (
        "fires", "relay", "links.tie.relay",
    )  # fmt: skip
    assert finding.values["current_a"] == 30.0
    assert finding.values["lost_w"] == pytest.approx(30.0 * 14.2 * (1.0 / 0.95 - 1.0))


def test_a_conductor_beside_a_converter_closes_a_loop_too(bench):
    finding = bench.only(beside(bench, bench.option("converter")), "converter_loops", "links.dc_dc")
    assert finding.values["cause"] == "conductor"


def test_a_hand_switch_for_emergencies_is_no_loop(bench):
    evidence = bench.option("converter")
    (converter,) = evidence.circuit.converters
    ends = (converter.in_positive, converter.out_positive)
    tie = SeriesDevice("links.tie.emergency", "links.tie", "switch", "positive", *ends)
    assert bench.found(bench.circuit(evidence, devices=(*evidence.circuit.devices, tie)), "converter_loops") == []


def test_a_converter_alone_is_no_loop(bench):
    assert bench.found(bench.option("converter"), "converter_loops") == []
    assert bench.tested(bench.option("converter"), "converter_loops") == 1
    assert bench.tested(bench.option("one"), "converter_loops") == 0


@pytest.mark.parametrize(
    ("one", "other", "outcome"),
    [("engine", "always", "fires"), ("always", None, "undecided"), (None, None, "undecided")],
)
def test_two_converters_that_feed_each_other(bench, one, other, outcome):
    evidence = bench.option("converter")
    (first,) = evidence.circuit.converters
    back = replace(
        first, key="links.back", from_bus=first.to_bus, to_bus=first.from_bus, in_positive=first.out_positive,
        out_positive=first.in_positive, output_a=10.0, runs_with=other,
    )  # fmt: skip
    looped = bench.circuit(evidence, converters=(replace(first, runs_with=one), back))
    (finding,) = bench.found(looped, "converter_loops")
    assert (finding.outcome, finding.values["cause"], finding.values["first_item"]) == (
        outcome,
        "converter",
        "links.back",
    )
    assert finding.values["current_a"] == 10.0


# --- 50 --------------------------------------------------------------------------------------------------------------


def test_all_negatives_behind_the_shunt(bench):
    assert bench.found(bench.option("one"), "shunt_bypassed") == []
    assert bench.tested(bench.option("one"), "shunt_bypassed") == 1


def test_a_negative_that_leads_past_the_shunt(bench):
    evidence = bench.option("one")
    (shunt,) = (d for d in evidence.circuit.devices if d.kind == "shunt")
    past = replace(
        next(c for c in evidence.circuit.conductors if c.pole == "negative"), key="links.past.negative",
        from_node=shunt.from_node, to_node=shunt.to_node,
    )  # fmt: skip
    finding = bench.only(
        bench.circuit(evidence, conductors=(*evidence.circuit.conductors, past)), "shunt_bypassed", shunt.key
    )
    assert (finding.outcome, finding.values["cause"], finding.values["bank"]) == ("fires", "path", "banks.lead")


@pytest.mark.parametrize(
    ("field", "item", "amps"),
    [("loads.radio", "loads.radio", 5.0), ("sources.shore", "sources.shore", 30.0), ("engine", "engine", 250.0)],
)
@pytest.mark.parametrize(("where", "fires"), [("battery", True), ("bus", False), (None, False)])
def test_what_lands_on_the_battery_itself(bench, field, item, amps, where, fires):
    found = bench.found(bench.option("one", {f"{field}.negative_to": where}), "shunt_bypassed")
    assert [(f.item, f.values["cause"]) for f in found] == ([(item, "landed")] if fires else [])
    assert all(f.values["current_a"] == amps for f in found)


def test_a_bank_without_a_shunt_has_nothing_to_bypass(bench):
    """The starter battery of this option has none; the house, with one, lies behind the open relay."""
    assert bench.found(bench.option("vented", {"engine.negative_to": "battery"}), "shunt_bypassed") == []
