"""The maintenance calendar: a file of RFC 5545 that any calendar takes in."""

from __future__ import annotations

import datetime
import hashlib
from typing import TYPE_CHECKING

from proposal.book.calendar import CalendarEvent, calendar_events, calendar_title
from proposal.book.opening import context_of
from proposal.results.model import Results

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//proposal//upkeep of a vessel//EN"


def calendar_file(results: Results) -> bytes:
    """Return the upkeep list as a calendar: one event of a whole day for each task, repeated as the list says.

    Dates are those of the upkeep list. An event keeps its UID as long as number, name and task stay, and counts the
    record's entries as its sequence, so that a later file takes the place of an earlier one. Its time stamp is the day
    of the latest entry: same record, same bytes. Raises ``ValueError`` for results without a record.
    """
    from icalendar import Calendar  # noqa: PLC0415 - only where a record is published

    record = results.record
    if record is None:
        raise ValueError("results without a record have no upkeep list")
    book = context_of(results)
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", calendar_title(book))
    stamp = datetime.datetime.combine(
        datetime.date.fromisoformat(record.latest_date), datetime.time(), tzinfo=datetime.UTC
    )
    for event in calendar_events(book):
        calendar.add_component(_event(event, stamp, len(record.entries)))
    data: bytes = calendar.to_ical()
    return data


def _event(event: CalendarEvent, stamp: datetime.datetime, entries_count: int) -> Event:
    from icalendar import Alarm, Event  # noqa: PLC0415

    day = datetime.date.fromisoformat(event.day)
    made = Event()
    made.add("uid", hashlib.sha256(event.name.encode("utf-8", "replace")).hexdigest()[:40])
    made.add("dtstamp", stamp)
    made.add("sequence", entries_count)
    made.add("dtstart", day)
    if day < datetime.date.max:
        made.add("dtend", day + datetime.timedelta(days=1))
    if event.every_days is not None:
        made.add("rrule", {"freq": "daily", "interval": event.every_days})
    made.add("summary", event.title)
    made.add("description", event.text)
    made.add("transp", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", event.title)
    alarm.add("trigger", datetime.timedelta(days=-event.warns_days))
    made.add_component(alarm)
    return made
