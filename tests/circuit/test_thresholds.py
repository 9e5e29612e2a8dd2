"""Voltages of relays: what the spec states stands, then what the chosen part states, then what is assumed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.circuit.thresholds import controller_tolerance_v, threshold_v, with_thresholds
from proposal.spec.pricebook import RelayPart
from tests.studies.hand import Hand

STATED = {"joins": "13.4 V", "releases": "12.7 V", "tolerance": "0.05 V"}


def part(**fields: str) -> RelayPart:
    return RelayPart.model_validate(
        {"kind": "vsr", "title": "Relay", "rating": "100 A", "voltage_max": "16 V", **fields}
    )


def circuit(**changes: object) -> Circuit:
    made = Hand().battery("a", "a").battery("b", "b").device("vsr", "relay", "a", "b").circuit()
    return replace(made, devices=(replace(made.devices[0], **changes),))


def relay(made: Circuit) -> SeriesDevice:
    return made.devices[0]


def test_the_spec_stands_before_the_part_and_the_part_before_what_is_assumed() -> None:
    made = with_thresholds(circuit(part=part(**STATED), settings=(("joins_v", 13.9),)))
    assert dict(relay(made).settings) == {"joins_v": 13.9, "releases_v": 12.7, "tolerance_v": 0.05}
    assert made.assumed == ()
    bare = with_thresholds(circuit(part=part(joins="13.4 V")))
    assert dict(relay(bare).settings) == {"joins_v": 13.4, "releases_v": 12.8, "tolerance_v": 0.1}
    assert [(a.item, a.code) for a in bare.assumed] == [("relay", "relay_releases"), ("relay", "relay_tolerance")]


def test_asked_again_it_changes_nothing() -> None:
    once = with_thresholds(circuit(part=part()))
    assert with_thresholds(once) is once


@pytest.mark.parametrize("system_v", [12.0, 24.0, 48.0])
def test_what_is_assumed_grows_with_the_system(system_v: float) -> None:
    assert threshold_v(relay(circuit()), "joins_v", system_v) == (13.3 * (system_v / 12.0), True)
    assert controller_tolerance_v(relay(circuit()), system_v) == (0.1 * (system_v / 12.0), True)


def test_a_controller_that_has_a_rule_has_a_tolerance() -> None:
    ruled = with_thresholds(circuit(kind="contactor", settings=(("joins_below_v", 0.1),)))
    assert dict(relay(ruled).settings) == {"joins_below_v": 0.1, "tolerance_v": 0.1}
    assert [a.code for a in ruled.assumed] == ["controller_tolerance"]
    stated = circuit(kind="contactor", settings=(("lithium_above_v", 0.1), ("tolerance_v", 0.02)))
    assert with_thresholds(stated) is stated
    plain = circuit(kind="contactor")
    assert with_thresholds(plain) is plain
