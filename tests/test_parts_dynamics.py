"""How a battery behaves in time, against the published figures that each is calibrated on."""

import math
import typing

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.parts import chemistry
from proposal.parts.dynamics import Dynamics, dynamics
from proposal.spec.pricebook import BatteryPart, Chemistry

CHEMISTRIES: tuple[Chemistry, ...] = typing.get_args(Chemistry)
LEAD = tuple(kind for kind in CHEMISTRIES if kind != "lithium")


def battery(kind: Chemistry, capacity_ah: float = 100, **more: object) -> BatteryPart:
    volts = 12.8 if kind == "lithium" else 12
    stated = {"kind": "battery", "title": "B", "chemistry": kind, "voltage": f"{volts} V"}
    return BatteryPart.model_validate({**stated, "capacity": f"{capacity_ah} Ah", **more})


def at(found: Dynamics, share: float) -> float:
    """Resting voltage at a charge."""
    pairs = zip(found.rest_share, found.rest_v, strict=True)
    points = list(pairs)
    for (s0, v0), (s1, v1) in zip(points, points[1:], strict=False):
        if share <= s1:
            return v0 + (share - s0) / (s1 - s0) * (v1 - v0)
    raise AssertionError(share)


def charging_a(found: Dynamics, share: float, volts: float) -> float:
    """What the main reaction takes after long at one voltage."""
    bends_ohm = found.charge_ohm * share / (1 + found.knee_share - share)
    return (volts - at(found, share)) / (found.resistance_ohm + found.fast_ohm + found.slow_ohm + bends_ohm)


# --- at rest ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", CHEMISTRIES)
def test_the_rest_curve_rises_strictly_over_the_whole_charge(kind: Chemistry) -> None:
    found = dynamics(battery(kind), 25)
    assert (found.rest_share[0], found.rest_share[-1]) == (0, 1)
    for values in (found.rest_share, found.rest_v):
        assert all(low < high for low, high in zip(values, values[1:], strict=False))


@pytest.mark.parametrize(
    ("kind", "share", "rest_v"),
    [("flooded", 1.0, 12.65), ("flooded", 0.5, 12.24), ("flooded", 0.0, 11.89),  # BCI table
     ("lithium", 0.05, 12.546), ("lithium", 0.5, 13.112), ("lithium", 0.9, 13.287), ("lithium", 1.0, 14.594)],
)  # fmt: skip  # published example cell
def test_rest_as_published(kind: Chemistry, share: float, rest_v: float) -> None:
    assert at(dynamics(battery(kind), 25), share) == pytest.approx(rest_v, abs=0.001)
