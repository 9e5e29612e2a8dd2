"""The calendar file: read back by its library, and by hand against RFC 5545."""

from __future__ import annotations

import dataclasses
import datetime
import re

import icalendar
import pytest

from proposal.publish.calendar import calendar_file
from proposal.results.model import Results
from tests import recorded_project as recorded

HOSTILE = 'A;B,C\\D"E:\nBEGIN:VEVENT\r\nSUMMARY:evil\x00\u202e ö船😀' * 3


@pytest.fixture(scope="module")
def results() -> Results:
    return recorded.marram().results


@pytest.fixture(scope="module")
def data(results: Results) -> bytes:
    return calendar_file(results)


@pytest.fixture(scope="module")
def hostile(results: Results) -> bytes:
    row = dataclasses.replace(results.vessel, name=HOSTILE, installer=HOSTILE, number=HOSTILE)
    banks = tuple(dataclasses.replace(b, title=HOSTILE) for b in results.options[0].banks)
    return calendar_file(
        dataclasses.replace(results, vessel=row, options=(dataclasses.replace(results.options[0], banks=banks),))
    )


def events(data: bytes) -> dict[str, icalendar.Event]:
    found = icalendar.Calendar.from_ical(data).walk("VEVENT")
    return {str(event["summary"]).partition(": ")[2]: event for event in found}


def test_every_task_that_is_due_has_its_event(results: Results, data: bytes) -> None:
    assert results.record is not None
    due = sorted(row.due_on for row in results.record.upkeep if row.due_on)
    found = sorted(str(e.decoded("dtstart").isoformat()) for e in icalendar.Calendar.from_ical(data).walk("VEVENT"))
    assert found == due
    assert len(found) == len(results.record.upkeep) - 1  # fresh joints were torqued


def test_a_task_repeats_from_the_day_on_which_it_was_done_last(data: bytes) -> None:
    alarms = events(data)["Try every alarm"]
    assert alarms.decoded("dtstart") == datetime.date(2028, 1, 8)  # 30 days after 2027-12-09
    assert alarms.decoded("dtend") == datetime.date(2028, 1, 9)
    assert alarms["rrule"].to_ical() == b"FREQ=DAILY;INTERVAL=30"
    assert events(data)["Tighten all joints"]["rrule"].to_ical() == b"FREQ=DAILY;INTERVAL=365"


def test_each_event_reminds_before_its_day(data: bytes) -> None:
    for name, event in events(data).items():
        (alarm,) = event.walk("VALARM")
        assert alarm["action"] == "DISPLAY"
        before = alarm.decoded("trigger")
        often = int(event["rrule"]["interval"][0])
        assert before == datetime.timedelta(days=-14 if often > 300 else -1), name


def test_what_comes_once_does_not_repeat(results: Results) -> None:
    assert results.record is not None
    rows = tuple(
        dataclasses.replace(row, due_on="2027-01-03") if row.task == "retorque_first" else row
        for row in results.record.upkeep
    )
    made = dataclasses.replace(results, record=dataclasses.replace(results.record, upkeep=rows))
    assert "rrule" not in events(calendar_file(made))["Tighten fresh joints once more"]


def test_an_event_keeps_its_name_and_counts_on(results: Results, data: bytes) -> None:
    assert results.record is not None
    earlier = dataclasses.replace(
        results.record,
        entries=results.record.entries[:1],
        latest_date="2026-12-04",
        upkeep=tuple(dataclasses.replace(row, due_on="2027-01-03") for row in results.record.upkeep),
    )
    first, second = events(calendar_file(dataclasses.replace(results, record=earlier))), events(data)
    for name, event in second.items():
        assert str(event["uid"]) == str(first[name]["uid"])
        assert (int(first[name]["sequence"]), int(event["sequence"])) == (1, 2)
    assert len({str(event["uid"]) for event in second.values()}) == len(second)
    other = dataclasses.replace(results, vessel=dataclasses.replace(results.vessel, number="another"))
    assert {str(e["uid"]) for e in events(calendar_file(other)).values()}.isdisjoint(
        {str(e["uid"]) for e in second.values()}
    )


def test_the_clock_is_not_asked(results: Results, data: bytes) -> None:
    assert calendar_file(results) == data
    assert set(re.findall(rb"DTSTAMP:(\S+)", data)) == {b"20271210T000000Z"}


@pytest.mark.parametrize("name", ["data", "hostile"])
def test_lines_end_and_fold_as_the_standard_asks(request: pytest.FixtureRequest, name: str) -> None:
    found: bytes = request.getfixturevalue(name)
    assert found.endswith(b"\r\n")
    lines = found.removesuffix(b"\r\n").split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert not any(b"\r" in line or b"\n" in line for line in lines)
    for line in lines:
        line.decode()  # no sign is cut in two
    whole = found.replace(b"\r\n ", b"").decode().removesuffix("\r\n").split("\r\n")
    assert all(re.fullmatch(r"[A-Z-]+(;[A-Z]+=[A-Z]+)?:[^\x00-\x08\x0a-\x1f\x7f]*", line) for line in whole)
    assert whole[0] == "BEGIN:VCALENDAR"
    assert whole[-1] == "END:VCALENDAR"
    for wanted in ("UID", "DTSTAMP", "DTSTART;VALUE=DATE", "SUMMARY", "DESCRIPTION"):
        starts = sum(1 for line in whole if line.startswith(f"{wanted}:"))
        assert starts >= whole.count("BEGIN:VEVENT")


def test_hostile_text_stays_text(data: bytes, hostile: bytes) -> None:
    plain, bad = icalendar.Calendar.from_ical(data), icalendar.Calendar.from_ical(hostile)
    assert len(bad.walk("VEVENT")) == len(plain.walk("VEVENT"))
    assert hostile.replace(b"\r\n ", b"").count(b"\r\nBEGIN:VEVENT") == len(plain.walk("VEVENT"))
    for event in bad.walk("VEVENT"):
        assert 'A;B,C\\D"E: BEGIN:VEVENT SUMMARY:evil' in str(event["summary"])
        assert "\u202e" not in str(event["description"])


def test_a_proposal_has_no_calendar(results: Results) -> None:
    with pytest.raises(ValueError, match="record"):
        calendar_file(dataclasses.replace(results, record=None))
