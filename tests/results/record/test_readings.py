"""Readings of a record beside what is expected: the latest counts, each has its verdict, mistakes have their place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from proposal.errors import SpecError
from proposal.results import commissioning
from proposal.results.evaluate import Evaluated
from proposal.results.record_model import TestRow as Row
from proposal.results.recorded import tests as judged
from proposal.rules.finding import Evidence
from proposal.spec.record import Reading
from proposal.spec.recorded import load_record
from proposal.studies.joins.study import first_currents
from tests.generate import CELLS, cell, designed
from tests.recorded_project import PROJECTS, all_passed, evaluated, hand_over, later, passing, project_with

OPTION = "dedicated"
Place = tuple[str, str, str]
Rows = Callable[..., dict[Place, Row]]
Problems = Callable[..., list[str]]
WINDLASS = {"test": "load_drop", "item": "loads.windlass", "value": "0.8 V", "at": "100 A"}


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    """As designed, with nothing measured."""
    return hand_over(PROJECTS / "marram", OPTION, measured=[])


@pytest.fixture(scope="module")
def fitted(tmp_path_factory: pytest.TempPathFactory, first: dict[str, Any]) -> Evaluated:
    """The vessel as it was fitted; no reading changes it."""
    return evaluated(project_with(tmp_path_factory.mktemp("fitted"), "marram", [first]))


def rows_of(made: Evaluated) -> dict[Place, Row]:
    assert made.results.record is not None
    return {(r.test, r.item, r.end): r for r in made.results.record.tests}


@pytest.fixture
def rows(tmp_path: Path, fitted: Evaluated) -> Rows:
    """The rows of entries that change nothing aboard."""

    def made(*entries: Mapping[str, Any]) -> dict[Place, Row]:
        record = load_record(project_with(tmp_path, "marram", entries))
        assert list(judged.reading_complaints(record, fitted)) == []
        return {(r.test, r.item, r.end): r for r in judged.test_rows(record, fitted, (), None)}

    return made


@pytest.fixture
def problems(tmp_path: Path, fitted: Evaluated) -> Problems:
    """What is wrong with the readings of entries that change nothing aboard."""

    def made(*entries: Mapping[str, Any]) -> list[str]:
        record = load_record(project_with(tmp_path, "marram", entries))
        return [str(problem) for problem in judged.reading_complaints(record, fitted)]

    return made


def measuring(first: Mapping[str, Any], *readings: Mapping[str, Any]) -> dict[str, Any]:
    return {**first, "measured": list(readings)}


def test_what_was_not_measured_is_said_to_be_missing(tmp_path: Path, first: dict[str, Any]) -> None:
    folder = project_with(tmp_path, "marram", [first])
    results = evaluated(folder).results
    assert results.record is not None
    tests = results.record.tests
    assert {t.outcome for t in tests} == {"not_measured"}
    assert all(t.asked and t.entry is None and t.value is None for t in tests)
    missing = [h for h in results.record.hindrances if h.kind == "missing_test"]
    assert [(h.id, h.item, h.end) for h in missing] == [(t.test, t.item, t.end) for t in tests if t.danger]
    asked = [t for t in results.options[0].tests if t.asked]
    assert [(t.test, t.item, t.end) for t in tests] == [(t.test, t.item, t.end) for t in asked]


def test_a_vessel_that_passed_everything_has_nothing_in_its_way(tmp_path: Path, first: dict[str, Any]) -> None:
    made = evaluated(project_with(tmp_path, "marram", [measuring(first, *all_passed(PROJECTS / "marram", OPTION))]))
    assert made.results.record is not None
    assert {(t.test, t.item, t.outcome) for t in made.results.record.tests if t.outcome != "pass"} == set()
    assert made.results.record.hindrances == ()


def test_the_latest_reading_counts_and_the_earlier_ones_stay(rows: Rows, first: dict[str, Any]) -> None:
    """0.883 V at 120 A by computation: 0.8 V at 100 A is 0.74 V and 20 %, 1.3 V at 110 A is far too much."""
    again = later(
        "visit", measured=[{**WINDLASS, "value": "1.3 V", "at": "110 A", "by": "C Fitter", "date": "2027-05-30"}]
    )
    row = rows(measuring(first, {**WINDLASS, "instrument": "Clamp"}), again)["load_drop", "loads.windlass", ""]
    assert (row.outcome, row.value, row.at_a, row.entry) == ("fail", 1.3, 110.0, 2)
    assert (row.by, row.date, row.instrument) == ("C Fitter", "2027-05-30", "")
    (before,) = row.earlier
    assert (before.entry, before.outcome, before.value, before.at_a) == (1, "pass", 0.8, 100.0)
    assert (before.by, before.date) == ("A Fitter", "2026-12-04")
    assert row.expected_at_a == 110.0
    assert row.expected == pytest.approx(0.883 * 110.0 / 120.0, rel=1e-3)
    assert row.high == pytest.approx(1.2 * row.expected + 0.02)


def test_two_readings_of_one_entry_count_in_their_order(rows: Rows, first: dict[str, Any]) -> None:
    row = rows(measuring(first, {**WINDLASS, "value": "2 V"}, WINDLASS))["load_drop", "loads.windlass", ""]
    assert row.outcome == "pass"
    assert [e.outcome for e in row.earlier] == ["fail"]


def test_a_failed_danger_test_hinders_until_it_passes(tmp_path: Path, first: dict[str, Any]) -> None:
    passed = all_passed(PROJECTS / "marram", OPTION)
    hot = {"test": "joint_rise", "item": "banks.lead", "value": "14 K"}
    bad = evaluated(project_with(tmp_path / "a", "marram", [measuring(first, *passed, hot)])).results.record
    assert bad is not None
    assert [(h.kind, h.id, h.item) for h in bad.hindrances] == [("failed_test", "joint_rise", "banks.lead")]
    mended = later("visit", measured=[{**hot, "value": "4 K"}])
    good = evaluated(project_with(tmp_path / "b", "marram", [measuring(first, *passed, hot), mended])).results.record
    assert good is not None
    assert good.hindrances == ()


def test_a_place_of_an_item_takes_the_row_of_the_item(rows: Rows, first: dict[str, Any]) -> None:
    found = rows(
        measuring(
            first,
            {"test": "joint_rise", "item": "banks.lead", "end": "positive post", "value": "3 K"},
            {"test": "joint_rise", "item": "banks.lead", "end": "negative post", "value": "12 °C"},
        ),
    )
    assert ("joint_rise", "banks.lead", "") not in found
    assert found["joint_rise", "banks.lead", "positive post"].outcome == "pass"
    other = found["joint_rise", "banks.lead", "negative post"]
    assert (other.outcome, other.value, other.unit) == ("fail", 12.0, "K")
    assert found["joint_rise", "banks.starter", ""].outcome == "not_measured"


def test_joints_and_torques_may_be_measured_anywhere(rows: Rows, first: dict[str, Any]) -> None:
    found = rows(
        measuring(
            first,
            {"test": "torque", "item": "loads.windlass.positive", "value": "12 N·m", "wanted": "11 N·m"},
            {"test": "torque", "item": "banks.lead.fuse", "value": "9 N·m"},
            {"test": "joint_rise", "item": "loads.fridge.fuse", "value": "2 K"},
        ),
    )
    torque = found["torque", "loads.windlass.positive", ""]
    assert (torque.outcome, torque.unit, torque.expected) == ("pass", "N·m", 11.0)
    assert (torque.low, torque.high) == (pytest.approx(9.9), pytest.approx(12.1))
    assert torque.designation.startswith("W")
    assert torque.title == "Windlass"
    assert (found["torque", "banks.lead.fuse", ""].outcome, found["torque", "banks.lead.fuse", ""].wanting) == (
        "undecided", "maker_figure",
    )  # fmt: skip
    assert found["torque", "", ""].outcome == "not_measured"
    assert found["joint_rise", "loads.fridge.fuse", ""].outcome == "pass"


def test_what_nobody_was_asked_to_measure_is_judged_where_it_was(rows: Rows, first: dict[str, Any]) -> None:
    found = rows(
        measuring(
            first,
            {"test": "load_drop", "item": "loads.fridge", "value": "640 mV"},
            {"test": "insulation", "value": "5 MΩ"},
        ),
    )
    assert found["load_drop", "loads.fridge", ""].outcome == "pass"
    assert not found["load_drop", "loads.fridge", ""].asked
    assert (found["insulation", "", ""].outcome, found["insulation", "", ""].value) == ("pass", 5e6)
    assert ("load_drop", "loads.freezer", "") not in found


def test_no_voltage_across_the_contactor_is_undecided(rows: Rows, first: dict[str, Any]) -> None:
    said = {"test": "contactor_open", "item": "banks.lithium.contactor", "value": "0 V", "passed": "yes"}
    row = rows(measuring(first, said))["contactor_open", "banks.lithium.contactor", ""]
    assert (row.outcome, row.wanting) == ("undecided", "offset")


def test_readings_of_what_is_gone_are_left_out(tmp_path: Path, rows: Rows, first: dict[str, Any]) -> None:
    drop = {"test": "load_drop", "item": "loads.watermaker", "value": "0.77 V"}
    gone = later(changes=[{"at": "loads.watermaker", "removed": "yes", "because": "Sold"}])
    sold = rows_of(evaluated(project_with(tmp_path / "sold", "marram", [measuring(first, drop), gone])))
    assert ("load_drop", "loads.watermaker", "") in rows(measuring(first, drop))
    assert ("load_drop", "loads.watermaker", "") not in sold


@pytest.mark.parametrize(
    ("reading", "wanted"),
    [
        ({**WINDLASS, "value": "0.8"}, "has no unit; write 0.8 V"),
        ({**WINDLASS, "value": "0.8 A"}, "is a current where a voltage belongs"),
        ({**WINDLASS, "value": "about a volt"}, "is not a voltage"),
        ({"test": "emergency_off", "value": "12 V"}, "it has no figure"),
        ({**WINDLASS, "wanted": "1 V"}, "judged by a figure of its own"),
        ({"test": "relay_joins", "item": "links.vsr.relay", "value": "13.3 V", "wanted": "13 V"}, "the spec says"),
        ({"test": "torque", "value": "12 N·m"}, "it has no figure"),
        ({"test": "torque", "item": "banks.lead.fuse", "value": "12 N·m", "wanted": "12"}, "has no unit"),
        ({"test": "stops_cold", "item": "banks.lithium", "passed": "yes"}, "has no such test"),
        ({"test": "load_drop", "item": "banks.lead", "value": "1 V"}, "no such test at this item"),
        ({"test": "load_drop", "value": "1 V"}, "made at an item"),
        ({"test": "cranking_drop", "item": "engine", "value": "0.2 V"}, "no end ''"),
    ],
)
def test_a_mistake_is_told_at_its_place(
    problems: Problems, first: dict[str, Any], reading: dict[str, str], wanted: str
) -> None:
    (said,) = problems(measuring(first, WINDLASS, reading))
    assert wanted in said
    assert "01-entry.yaml:" in said


def test_mistakes_of_all_entries_are_told_at_once(problems: Problems, first: dict[str, Any]) -> None:
    said = problems(
        measuring(first, {**WINDLASS, "value": "1"}),
        later("visit", measured=[{"test": "relay_delay", "item": "links.vsr.relay", "value": "5 V"}]),
    )
    assert len(said) == 2
    assert "01-entry.yaml" in said[0]
    assert "02-entry.yaml" in said[1]


def test_a_test_that_the_vessel_had_before_a_change_is_no_mistake(
    tmp_path: Path, rows: Rows, first: dict[str, Any]
) -> None:
    alarm = {"test": "alarm", "item": "banks.lithium", "passed": "yes"}
    quiet = later(
        changes=[{"at": f"options.{OPTION}.contactor.warns_before", "now": "no", "because": "The buzzer is broken"}]
    )
    assert ("alarm", "banks.lithium", "") in rows(measuring(first, alarm))
    silent = evaluated(project_with(tmp_path / "b", "marram", [measuring(first, alarm), quiet]))
    assert ("alarm", "banks.lithium", "") not in rows_of(silent)
    with pytest.raises(SpecError) as error:
        evaluated(project_with(tmp_path / "c", "marram", [first, {**quiet, "measured": [alarm]}]))
    (said,) = error.value.problems
    assert "no such test at this item" in str(said)


NO_ENTRY: Any = None
VSR = f"options.{OPTION}.vsr"
JOINS = {"test": "relay_joins", "item": "links.vsr.relay", "value": "13.34 V"}
RESET = later(changes=[{"at": f"{VSR}.joins", "now": "13.7 V", "because": "It joined too early"}])


def test_what_passed_before_a_change_is_undecided_after_it(tmp_path: Path, first: dict[str, Any]) -> None:
    """Set to 13.3 V and read 13.34 V; then set to 13.7 V and not read again: neither passed nor failed."""
    folder = project_with(tmp_path, "marram", [measuring(first, JOINS), RESET])
    row = rows_of(evaluated(folder))["relay_joins", "links.vsr.relay", ""]
    assert (row.outcome, row.wanting, row.value) == ("undecided", "changed_since", 13.34)
    assert (row.low, row.high) == (pytest.approx(13.6), pytest.approx(13.8))
    quick = rows_of(evaluated(folder, history=False))["relay_joins", "links.vsr.relay", ""]
    assert (quick.outcome, quick.wanting) == ("undecided", "changed_since")


def test_what_failed_before_a_change_still_fails_after_it(tmp_path: Path, first: dict[str, Any]) -> None:
    bad = {**JOINS, "value": "12.9 V"}
    made = evaluated(project_with(tmp_path, "marram", [measuring(first, bad), RESET]))
    row = rows_of(made)["relay_joins", "links.vsr.relay", ""]
    assert (row.outcome, row.wanting) == ("fail", "")


def test_an_earlier_reading_keeps_its_verdict_and_its_band(tmp_path: Path, first: dict[str, Any]) -> None:
    again = {**RESET, "measured": [{**JOINS, "value": "13.72 V"}]}
    made = evaluated(project_with(tmp_path, "marram", [measuring(first, JOINS), again]))
    row = rows_of(made)["relay_joins", "links.vsr.relay", ""]
    assert row.outcome == "pass"
    (before,) = row.earlier
    assert (before.outcome, before.value) == ("pass", 13.34)
    assert (before.low, before.high) == (pytest.approx(13.2), pytest.approx(13.4))


def test_a_makers_figure_that_the_spec_states_later_is_no_mistake(tmp_path: Path, first: dict[str, Any]) -> None:
    """An entry that is sealed cannot be mended: what it said was right when it was said."""
    delay = {"test": "relay_delay", "item": "links.vsr.relay", "value": "6 s", "wanted": "5 s"}
    stated = later(changes=[{"at": f"{VSR}.delay", "now": "20 s", "because": "Read in its manual"}])
    row = rows_of(evaluated(project_with(tmp_path / "a", "marram", [measuring(first, delay), stated])))[
        "relay_delay", "links.vsr.relay", ""
    ]  # fmt: skip
    assert (row.expected, row.outcome, row.wanting) == (20.0, "undecided", "changed_since")
    with pytest.raises(SpecError) as error:
        evaluated(project_with(tmp_path / "b", "marram", [first, {**stated, "measured": [delay]}]))
    assert "the spec says what is expected here" in str(error.value.problems[0])


@pytest.mark.parametrize(("arrangement", "volts"), CELLS)
def test_a_reading_in_the_middle_of_its_band_passes_on_every_kind_of_vessel(arrangement: str, volts: int) -> None:
    built = cell(arrangement, volts)
    made = designed(built)
    evidence = Evidence(made, built.spec, built.family, first_currents(made.circuit, built.family), built.catalogue)
    for row in commissioning.expected_rows(evidence, {}):
        reading = Reading.model_validate(passing(row))
        taken, verdict = judged._verdict(row, judged._Read(NO_ENTRY, 0, reading))
        assert verdict.outcome == "pass", (row, taken)


def test_without_sheets_the_readings_are_judged_all_the_same(tmp_path: Path, first: dict[str, Any]) -> None:
    folder = project_with(tmp_path, "marram", [measuring(first, WINDLASS)])
    quick, whole = evaluated(folder).results.record, evaluated(folder, sheets=True).results.record
    assert quick is not None
    assert whole is not None
    assert quick.tests == whole.tests
    assert quick.hindrances == whole.hindrances
