"""When upkeep is due: counted by hand from the days of the record."""

from __future__ import annotations

from pathlib import Path

import pytest

from proposal.errors import SpecError
from proposal.results.recorded.upkeep import upkeep_complaints
from proposal.spec.recorded import load_record
from tests.recorded_project import HAND_OVER, VISIT, evaluated, marram, out_of_reach

LATER_CHANGE = """
entry_version: "1"
kind: change
title: Another battery
date: 2028-02-01
by: Oda Brennig
fitted:
  banks.lead: {serial: AG-99}
"""


@pytest.fixture(scope="module")
def due() -> dict[str, str]:
    record = marram().results.record
    assert record is not None
    return {row.task: row.due_on for row in record.upkeep}


def test_what_was_never_done_counts_from_the_hand_over(due: dict[str, str]) -> None:
    # handed over on 2026-12-04: thirty days on, a year of 365 days on, and twice that with the leap day of 2028
    assert due["standing_drain"] == "2027-01-03"
    assert due["vents"] == "2027-12-04"
    assert due["capacity"] == "2028-12-03"


def test_what_was_done_counts_from_the_last_time(due: dict[str, str]) -> None:
    assert due["alarms"] == "2028-01-08"
    assert due["retorque"] == "2028-12-09"
    rows = {row.task: row for row in marram().results.record.upkeep}  # type: ignore[union-attr]
    assert (rows["alarms"].last_on, rows["alarms"].last_by) == ("2027-12-09", "Ilse Varnegg")
    assert (rows["retorque"].last_on, rows["retorque"].last_by) == ("2027-12-10", "Oda Brennig")


def test_what_comes_once_is_done_with(due: dict[str, str]) -> None:
    assert due["retorque_first"] == ""


def test_fresh_joints_are_torqued_once_more(tmp_path: Path) -> None:
    made = evaluated(out_of_reach(tmp_path, HAND_OVER, VISIT, LATER_CHANGE))
    assert made.results.record is not None
    rows = {row.task: row for row in made.results.record.upkeep}
    assert rows["retorque_first"].due_on == "2028-03-02"
    assert rows["retorque_first"].last_on == "2027-01-03"


def test_of_two_on_one_day_the_later_entry_counts(tmp_path: Path) -> None:
    both = VISIT.replace("date: 2027-12-10", "date: 2026-12-04").replace(", date: 2027-12-09", "")
    made = evaluated(out_of_reach(tmp_path, HAND_OVER, both))
    assert made.results.record is not None
    rows = {row.task: row for row in made.results.record.upkeep}
    assert (rows["alarms"].last_on, rows["alarms"].last_by) == ("2026-12-04", "Ilse Varnegg")


def test_a_task_that_nobody_knows_is_named_at_its_place(tmp_path: Path) -> None:
    project = out_of_reach(tmp_path, HAND_OVER, VISIT.replace("task: retorque}", "task: retork}"))
    (problem,) = upkeep_complaints(load_record(project))
    line = VISIT.replace("task: retorque}", "task: retork}").split("\n").index("  - {task: retork}") + 1
    assert (problem.file.endswith("02-entry.yaml"), problem.line) == (True, line)
    assert "retorque" in problem.allowed
    with pytest.raises(SpecError) as caught:
        evaluated(project)
    assert problem in caught.value.problems


def test_the_last_day_of_the_calendar_is_late_enough(tmp_path: Path) -> None:
    made = evaluated(out_of_reach(tmp_path, HAND_OVER.replace("2026-12-04", "9999-12-30")))
    assert made.results.record is not None
    assert {row.due_on for row in made.results.record.upkeep} == {"9999-12-31"}
