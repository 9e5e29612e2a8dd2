"""Readings of a record against what was expected: rows with their verdicts, and what is wrong with a reading."""

import difflib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import cast

from proposal.errors import Problem
from proposal.frozen import frozen
from proposal.results.evaluate import Evaluated
from proposal.results.record_model import EarlierReading, TestRow
from proposal.results.recorded.fitted import known_items
from proposal.results.rows import citation
from proposal.spec.record import Reading, TestName
from proposal.spec.recorded import Record, RecordEntry
from proposal.studies.commissioning.judge import judge
from proposal.studies.commissioning.kinds import test_kinds
from proposal.studies.commissioning.result import Band, Basis, Expected, Judged, Taken, Unit, Wanting
from proposal.units import CURRENT, DIFFERENCE, DURATION_S, LENGTH, RESISTANCE, TORQUE, VOLTAGE, Kind, UnitError, parse

KINDS: dict[str, Kind] = {
    "V": VOLTAGE, "A": CURRENT, "K": DIFFERENCE, "N·m": TORQUE, "s": DURATION_S, "m": LENGTH, "ohm": RESISTANCE,
}  # fmt: skip
"""What a reading is read as, by the unit of its test."""
ANYWHERE = ("torque", "joint_rise")
"""Tests that may be made at any item."""

StateOf = Callable[[int], Evaluated]
"""The vessel as it stood after its first N entries, with its tests."""
RowKey = tuple[str, str, str]
"""Test, item, end."""


@frozen
class _Read:
    """A reading with its entry and its place in it."""

    entry: RecordEntry
    number: int
    reading: Reading

    def problem(self, field: str, what: str, allowed: str) -> Problem:
        return self.entry.problem(("measured", self.number, field), what, allowed)


def test_rows(
    record: Record, made: Evaluated, states: Sequence[Evaluated], state_of: StateOf | None
) -> tuple[TestRow, ...]:
    """Every test that this vessel needs and every one that was made, in the order of the test sheet.

    Parameters: record; `made`, the vessel as it was fitted, evaluated with its tests; `states`, the vessel as it was
    after each entry; `state_of`, the same of one entry, asked only where it decides (None: nothing was changed). The
    latest reading counts, older ones are kept beside it, each with the verdict that it had when it was taken, by the
    vessel as it is now where `states` lacks the tests of then. A latest one that passed in its day and would not pass
    now is undecided: what it is held against was changed since. Readings of what is no longer there are left out.
    Expects that `reading_complaints` found nothing. Raises UnitError for a reading that cannot be read.
    """
    sheet = _Sheet.of(made)
    then = {n: _Sheet.of(state) for n, state in enumerate(states, 1) if state.results.options[0].tests}
    past = _Past(then, len(record.entries), state_of)
    found: dict[RowKey, list[_Read]] = {}
    for read in _readings(record):
        key = sheet.place(read.reading)
        if key is not None:
            found.setdefault(key, []).append(read)
    made_from = {key: sheet.template(key) for key in found}
    rows = []
    for number, template in enumerate(sheet.rows):
        whole = (template.test, template.item, template.end)
        parts = [key for key, (source, _) in made_from.items() if source == number and key != whole]
        by_parts = any(item == template.item for _, item, _ in parts)
        if whole in found or (template.asked and not by_parts):
            rows.append(_judged(template, found.get(whole, ()), past))
        rows += [_judged(made_from[key][1], found[key], past) for key in parts]
    return tuple(rows)


def reading_complaints(record: Record, made: Evaluated) -> Iterator[Problem]:
    """Readings that cannot be read, or that are of a test which this vessel does not have, each at its place.

    Of an entry after which the vessel was changed the last is not said: it may have had that test then. Items that do
    not exist are the business of `fitted.item_complaints`.
    """
    sheet = _Sheet.of(made)
    changed = max((entry.number for entry in record.entries if entry.value.changes), default=0)
    for read in _readings(record):
        reading = read.reading
        key = sheet.place(reading)
        if key is not None:
            yield from _complaints(read, sheet.template(key)[1], as_it_is=read.entry.number >= changed)
        elif read.entry.number >= changed and (not reading.item or reading.item in sheet.items):
            yield from sheet.misplaced(read)


def _readings(record: Record) -> Iterator[_Read]:
    for entry in record.entries:
        for number, reading in enumerate(entry.value.measured):
            yield _Read(entry, number, reading)


@frozen
class _Sheet:
    """The expected tests of a vessel, and where a reading belongs among them."""

    rows: tuple[TestRow, ...]
    items: dict[str, tuple[str, str]]

    @staticmethod
    def of(made: Evaluated) -> "_Sheet":
        """The sheet of the one option of `made`; tests that may be made anywhere named at every item."""
        items = {key: (made.designations.get(key, ""), title) for key, (_, title) in known_items(made).items()}
        return _Sheet(made.results.options[0].tests, items)

    def place(self, reading: Reading) -> RowKey | None:
        """The row that a reading belongs to; None: the vessel has no such test."""
        ends = [row.end for row in self.rows if row.test == reading.test and row.item == reading.item]
        if reading.end in ends or "" in ends:
            return reading.test, reading.item, reading.end
        if not ends and reading.test in ANYWHERE and reading.item in self.items:
            return reading.test, reading.item, reading.end
        return None

    def template(self, key: RowKey) -> tuple[int, TestRow]:
        """The expected row that a row is made from, and its number: of the same place, of the item, of the test."""
        test, item, end = key
        numbered = [(number, row) for number, row in enumerate(self.rows) if row.test == test]
        for number, row in numbered:
            if row.item == item and row.end in (end, "") and (row.end == end or not self._has(key)):
                return number, replace(row, end=end)
        number, row = numbered[-1]
        designation, title = self.items[item]
        return number, replace(_anywhere(row), item=item, end=end, designation=designation, title=title)

    def _has(self, key: RowKey) -> bool:
        return any((row.test, row.item, row.end) == key for row in self.rows)

    def misplaced(self, read: _Read) -> Iterator[Problem]:
        """What is wrong with where a reading says that it was taken."""
        reading = read.reading
        mine = [row for row in self.rows if row.test == reading.test]
        ends = sorted(row.end for row in mine if row.item == reading.item)
        if ends:
            yield read.problem("end", f"this test has no end {reading.end!r} here", " or ".join(ends))
        elif mine:
            keys = [row.item for row in mine if row.item]
            near = difflib.get_close_matches(reading.item, keys, n=3, cutoff=0.0) if reading.item else keys[:3]
            what = "this vessel has no such test at this item" if reading.item else "this test is made at an item"
            yield read.problem("item", what, " or ".join(near) or "no `item`: it is made on the whole system")
        else:
            tests = ", ".join(dict.fromkeys(row.test for row in self.rows))
            yield read.problem("test", "this vessel has no such test", tests)


def _anywhere(row: TestRow) -> TestRow:
    """A torque at one item has the maker's figure; a joint anywhere the same limit as others."""
    kind = test_kinds()["torque"]
    if row.test != kind.test:
        return row
    cited = citation(kind.citation)
    return replace(row, unit=kind.unit, basis="maker", values={}, wanting="maker_figure", citation=cited)


def _complaints(read: _Read, row: TestRow, *, as_it_is: bool) -> Iterator[Problem]:
    """What is wrong with the figures of a reading; `as_it_is`: nothing of the vessel was changed after its entry."""
    reading, kind = read.reading, test_kinds()[read.reading.test]
    if as_it_is and reading.value is not None and not row.unit:
        yield read.problem("value", "this test is passed or not, it has no figure", "`passed: yes` or `passed: no`")
    for field, text in (("value", reading.value), ("wanted", reading.wanted)):
        if text is not None and row.unit:
            try:
                parse(KINDS[row.unit], text)
            except UnitError as error:
                yield read.problem(field, error.what, error.allowed)
    if reading.wanted is None or not as_it_is:
        return
    if not kind.takes_wanted:
        yield read.problem("wanted", "this test is judged by a figure of its own", "no `wanted`")
    elif not row.unit:
        yield read.problem("wanted", "the whole system has no one figure", "an `item` with it")
    elif not _takes_wanted(row):
        yield read.problem("wanted", "the spec says what is expected here", "no `wanted`; else a change of the spec")


def _takes_wanted(row: TestRow) -> bool:
    """Whether only the maker knows what is right here: a figure that the spec states is not said anew."""
    return bool(row.wanting) or row.basis in ("fuse", "maker")


def _taken(row: TestRow, reading: Reading) -> Taken:
    def number(text: str | None) -> float | None:
        return parse(KINDS[row.unit], text) if text is not None and row.unit else None

    wanted = number(reading.wanted) if _takes_wanted(row) else None
    return Taken(number(reading.value), reading.at_a, wanted, reading.passed, reading.how)


def _expected(row: TestRow) -> Expected:
    """An expected row as the study made it."""
    return Expected(
        cast(TestName, row.test), row.item, row.end, cast(Unit, row.unit), row.expected, Band(row.low, row.high),
        cast(Basis, row.basis), row.values, row.expected_at_a, row.asked, cast(Wanting, row.wanting),
    )  # fmt: skip


def _verdict(row: TestRow, read: _Read) -> tuple[Taken, Judged]:
    taken = _taken(row, read.reading)
    return taken, judge(_expected(row), test_kinds()[read.reading.test], taken)


@frozen
class _Past:
    """The vessel as it was after earlier entries: `sheets` by entry, and how to ask for one that is not there."""

    sheets: Mapping[int, _Sheet]
    last: int
    state_of: StateOf | None

    def row(self, read: _Read, now: TestRow) -> TestRow:
        """What was expected when a reading was taken, as far as it is at hand."""
        return self._at(self.sheets.get(read.entry.number), read, now)

    def passed(self, read: _Read, now: TestRow) -> bool:
        """Whether a reading of an entry that others followed passed in its day."""
        number = read.entry.number
        if number == self.last or self.state_of is None:
            return False
        sheet = self.sheets.get(number) or _Sheet.of(self.state_of(number))
        return _verdict(self._at(sheet, read, now), read)[1].outcome == "pass"

    @staticmethod
    def _at(sheet: _Sheet | None, read: _Read, now: TestRow) -> TestRow:
        place = sheet.place(read.reading) if sheet is not None else None
        return sheet.template(place)[1] if sheet is not None and place is not None else now


def _judged(row: TestRow, readings: Sequence[_Read], past: _Past) -> TestRow:
    """A row with its latest reading, and the earlier ones in their order."""
    if not readings:
        return row
    *before, last = readings
    taken, verdict = _verdict(row, last)
    outcome, wanting = verdict.outcome, verdict.wanting
    if outcome == "fail" and past.passed(last, row):
        outcome, wanting = "undecided", "changed_since"
    current = taken.at_a if row.expected_at_a is not None and verdict.outcome != "undecided" else None
    return replace(
        row,
        expected=verdict.expected,
        low=verdict.band.low,
        high=verdict.band.high,
        expected_at_a=row.expected_at_a if current is None else current,
        outcome=outcome,
        wanting=wanting,
        value=taken.value,
        at_a=taken.at_a,
        passed=taken.passed,
        how=last.reading.how,
        instrument=last.reading.instrument,
        by=_by(last),
        date=_day(last),
        note=last.reading.note,
        entry=last.entry.number,
        earlier=tuple(_earlier(past.row(read, row), read) for read in before),
    )


def _earlier(row: TestRow, read: _Read) -> EarlierReading:
    """An older reading, judged by what was expected of the vessel as it was then."""
    taken, verdict = _verdict(row, read)
    return EarlierReading(
        read.entry.number, _day(read), taken.value, taken.passed, verdict.outcome, taken.at_a, _by(read),
        verdict.band.low, verdict.band.high,
    )  # fmt: skip


def _by(read: _Read) -> str:
    return read.reading.by or read.entry.value.by


def _day(read: _Read) -> str:
    return (read.reading.on or read.entry.value.date).isoformat()
