"""From an option as proposed to what was fitted: what a record's own difference says."""

from pathlib import Path
from typing import Any

import pytest

from proposal.results.codec import from_json, to_json
from proposal.results.difference import differences, reading_differences
from proposal.results.difference_model import Difference
from tests.recorded_project import PROJECTS, evaluated, hand_over, later, project_with

OPTION = "dedicated"


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    return hand_over(PROJECTS / "marram", OPTION)


def difference_of(folder: Path) -> Difference:
    record = evaluated(folder, sheets=True).results.record
    assert record is not None
    assert record.difference is not None
    return record.difference


def test_fitted_as_designed_nothing_was_set_otherwise(tmp_path: Path, first: dict[str, Any]) -> None:
    found = difference_of(project_with(tmp_path, "marram", [first]))
    assert [i.key for i in found.items if i.causes or i.change != "changed"] == []
    assert found.findings == ()
    assert found.price.lines == (), "what is fitted is not dearer or cheaper for standing in a record"
    assert found.consents == ()
    assert all(f.before == f.after for f in found.figures)


def test_a_longer_route_and_another_part_come_with_what_follows(tmp_path: Path, first: dict[str, Any]) -> None:
    change = {"at": "routes.windlass.length", "now": "22 m", "because": "Round the anchor locker"}
    fitted = {**first["fitted"], "loads.vhf.fuse": {"is": "blade_15", "because": "In stock"}}
    folder = project_with(tmp_path, "marram", [{**first, "fitted": fitted, "changes": [change]}])
    results = evaluated(folder, sheets=True).results
    found = results.record.difference if results.record is not None else None
    assert found is not None
    caused = {i.key: {c.name: (c.before, c.after) for c in i.causes} for i in found.items if i.causes}
    assert caused["loads.windlass.positive"] == {"length_m": (11.0, 22.0)}
    assert caused["loads.vhf.fuse"]["part_id"][1] == "blade_15"
    lead = next(i for i in found.items if i.key == "loads.windlass.positive")
    before, after = next((c.before, c.after) for c in lead.consequences if c.name == "resistance_20c_ohm")
    assert isinstance(before, float)
    assert after == pytest.approx(2.0 * before, rel=1e-8)
    assert ("new", "voltage_drop_high") in {(f.change, f.after.id) for f in found.findings if f.after is not None}
    assert to_json(from_json(to_json(results))) == to_json(results)


def test_without_sheets_nothing_is_compared(tmp_path: Path, first: dict[str, Any]) -> None:
    record = evaluated(project_with(tmp_path, "marram", [first])).results.record
    assert record is not None
    assert record.difference is None


def test_two_states_of_a_record_are_compared(tmp_path: Path, first: dict[str, Any]) -> None:
    change = {"at": "routes.windlass.length", "now": "13 m", "because": "Measured"}
    one = evaluated(project_with(tmp_path / "a", "marram", [first]), sheets=True).results
    two = evaluated(project_with(tmp_path / "b", "marram", [first, later(changes=[change])]), sheets=True).results
    found = differences(one, two, OPTION, OPTION)
    assert {i.key for i in found.items if i.causes} == {"loads.windlass.positive", "loads.windlass.negative"}
    with pytest.raises(KeyError):
        differences(one, two, "shared", OPTION)


def test_readings_are_compared_where_both_have_a_record(tmp_path: Path, first: dict[str, Any]) -> None:
    read = {"test": "load_drop", "item": "loads.vhf", "end": "positive", "value": "0.05 V", "at": "5.5 A"}
    again = later("visit", measured=[{**read, "value": "0.09 V"}])
    one = evaluated(project_with(tmp_path / "a", "marram", [{**first, "measured": [read]}]), sheets=True).results
    two = evaluated(project_with(tmp_path / "b", "marram", [{**first, "measured": [read]}, again]), sheets=True).results
    (found,) = differences(one, two, OPTION, OPTION).tests
    assert (found.test, found.item, found.end, found.unit) == ("load_drop", "loads.vhf", "positive", "V")
    assert (found.value_before, found.value_after) == (0.05, 0.09)
    for state, outcome in ((one, found.outcome_before), (two, found.outcome_after)):
        assert state.record is not None
        assert outcome == next(
            t.outcome for t in state.record.tests if (t.test, t.item, t.end) == (found.test, found.item, found.end)
        )
    assert differences(one, one, OPTION, OPTION).tests == ()
    assert reading_differences(None, two.record) == ()
