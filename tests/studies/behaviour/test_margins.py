"""By how much events were decided: a strong charge joins surely, one that just reaches the threshold does not."""

from __future__ import annotations

import pytest

from proposal.studies.behaviour.days import ordinary_day
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import Lab
from proposal.studies.behaviour.margins import OFFSETS_12V, shifted, with_margins
from proposal.studies.behaviour.reading import events, tolerance_v
from tests.generate import designed, project

DEDICATED = next(b for b in project("marram") if b.name.endswith("dedicated"))


@pytest.fixture(scope="module")
def lab() -> Lab:
    made = designed(DEDICATED)
    return Lab(DEDICATED.spec, made.circuit, DEDICATED.family, DEDICATED.catalogue, 1)


def day_with(lab: Lab, joins_v: float) -> tuple[float | None, bool]:
    """Margin of the first joining of the voltage-sensitive relay on a day, and whether it is uncertain."""
    before = lab.ordinary(lab.fine, 0, 1)
    r = before.relays.index("links.vsr.relay")
    before.block(c.M_RELAY, c.RELAY)[r, c.JOINS_V] = joins_v
    ran = before.copy()
    ran.run(0, 1440)
    told = with_margins(lab, before, events(lab, ran, 0.0, 86400.0), 0, 1440)
    first = next(e for e in told if e.code == "relay_joins" and e.item == "links.vsr.relay")
    return first.margin_v, first.uncertain


def test_an_engine_that_lifts_the_bus_by_a_volt_joins_surely(lab: Lab) -> None:
    margin_v, uncertain = day_with(lab, 13.3)
    assert margin_v is not None
    assert margin_v >= 0.3
    assert not uncertain


def test_a_threshold_that_the_charger_just_reaches_is_uncertain(lab: Lab) -> None:
    # the regulator holds 14.2 V: a relay that joins at 14.15 V joins, and with readings 0.08 V too low it never does
    margin_v, uncertain = day_with(lab, 14.15)
    assert margin_v is not None
    assert margin_v <= 0.05
    assert uncertain


def test_every_event_that_a_voltage_decides_has_its_margin(lab: Lab) -> None:
    day, _ = ordinary_day(lab, 0)
    decided = [e for e in day.events if e.code in ("relay_joins", "relay_parts")]
    assert decided
    for event in decided:
        assert event.margin_v in (0.0, *OFFSETS_12V)
        assert event.uncertain == (event.margin_v < tolerance_v(1.0))
    assert all(e.margin_v is None for e in day.events if e.code in ("sun_begins", "engine_on"))


def test_no_shift_changes_nothing(lab: Lab) -> None:
    before = lab.ordinary(lab.fine, 0, 1)
    same, ran = shifted(before, 0.0), before.copy()
    same.run(0, 1440)
    ran.run(0, 1440)
    assert same.events.tolist() == ran.events.tolist()
