"""Results of a vessel → its row in the index of a yard, and that row as text that is kept."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any

from proposal.circuit.model import Circuit
from proposal.errors import Problem
from proposal.facts import SEVERITIES
from proposal.results.codec import plain
from proposal.results.evaluate import Evaluated
from proposal.results.letters import letter_of
from proposal.results.model import DeviceResult, Finding, OptionResult, Results
from proposal.results.pricing import GROUPS, pieces
from proposal.results.record_model import RecordResult
from proposal.results.rows import nearest
from proposal.results.yard_model import (
    YardDefect,
    YardFinding,
    YardFuse,
    YardOption,
    YardPart,
    YardProblem,
    YardRow,
    YardSeal,
    YardStatus,
    YardTest,
    YardUpkeep,
)
from proposal.spec.seals import DO_NOT_ENERGISE

MOST_PROBLEMS = 5
"""How many problems of a project a row tells; it counts the others."""


def row_of(
    made: Evaluated, *, entries_count: int = 0, seals: Sequence[YardSeal] = (), archives: Sequence[str] = ()
) -> YardRow:
    """The row of a vessel.

    Parameters: its results; how many entries its record has; its seals; the names of its archives. Pure.
    """
    results, record = made.results, made.results.record
    vessel = results.vessel
    letters = _letters(results)
    told = list(zip(letters, results.options, strict=True))
    return YardRow(
        status=_status(record, entries_count, seals),
        name=vessel.name,
        number=vessel.number,
        revision=vessel.revision,
        kind=vessel.kind,
        date=vessel.date,
        rule_family=vessel.rule_family,
        rule_title=vessel.rule_family_title,
        rule_edition=vessel.rule_edition,
        made_by=results.made_by,
        locale=vessel.locale,
        currency=results.options[0].price.currency,
        chosen="" if record is None else record.letter,
        options=tuple(YardOption(x, o.title, o.price.total, o.price.unpriced_lines) for x, o in told),
        entries_count=entries_count,
        latest_date="" if record is None else record.latest_date,
        seals=tuple(seals),
        archives=tuple(archives),
        hindrances_count=0 if record is None else len(record.hindrances),
        findings=_findings(told),
        tests=() if record is None else tuple(_tests(record)),
        defects=() if record is None else tuple(_defects(record)),
        upkeep=() if record is None else tuple(_upkeep(record, made.designations)),
        parts=tuple(p for x, o in told for p in _parts(x, o, made.circuits[o.id], made, record is not None)),
        fuses=tuple(f for x, o in told for d in o.devices for f in _fuse(x, d)),
        problems=(),
        more_problems=0,
    )


def row_of_problems(
    problems: Sequence[Problem], made_by: str, *, seals: Sequence[YardSeal] = (), archives: Sequence[str] = ()
) -> YardRow:
    """The row of a project that cannot be computed: the first of its problems, and how many more there are."""
    first = tuple(YardProblem(p.file, p.line, p.column, p.what, p.allowed, p.written) for p in problems[:MOST_PROBLEMS])
    return replace(
        _empty(made_by),
        problems=first,
        more_problems=len(problems) - len(first),
        seals=tuple(seals),
        archives=tuple(archives),
    )


def row_of_archives(
    vessel: tuple[str, str, str], seals: Sequence[YardSeal], archives: Sequence[str], made_by: str
) -> YardRow:
    """The row of a vessel of which only sealed archives are there; the last one says how it was sealed.

    Parameters: name, number and revision, empty where no archive says them; seals, as the archives say, the last one
    last; names of all archives.
    """
    condemned = seals[-1].do_not_energise if seals else archives[-1].removesuffix(".zip").endswith(DO_NOT_ENERGISE)
    name, number, revision = vessel
    return replace(
        _empty(made_by),
        status="do_not_energise" if condemned else "sealed",
        name=name,
        number=number,
        revision=revision,
        latest_date=seals[-1].date if seals else "",
        entries_count=seals[-1].entries_count if seals else 0,
        seals=tuple(seals),
        archives=tuple(archives),
    )


def _empty(made_by: str) -> YardRow:
    return YardRow(
        status="mistakes", name="", number="", revision="", kind="", date="", rule_family="", rule_title="",
        rule_edition="", made_by=made_by, locale="", currency="", chosen="", options=(), entries_count=0,
        latest_date="", seals=(), archives=(), hindrances_count=0, findings=(), tests=(), defects=(), upkeep=(),
        parts=(), fuses=(), problems=(), more_problems=0,
    )  # fmt: skip


def row_text(row: YardRow) -> bytes:
    """A row as it is kept; equal rows give equal bytes."""
    return (json.dumps(plain(row), ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def row_from(text: bytes) -> YardRow:
    """The row in a text of `row_text`. Raises ValueError for any other."""
    found: YardRow = _reader().validate_json(text, strict=False)
    return found


@cache
def _reader() -> Any:
    from pydantic import TypeAdapter  # noqa: PLC0415 - only reading needs it

    return TypeAdapter(YardRow)


def _letters(results: Results) -> list[str]:
    if results.record is not None:
        return [results.record.letter]
    return [letter_of(number) for number in range(len(results.options))]


def _status(record: RecordResult | None, entries_count: int, seals: Sequence[YardSeal]) -> YardStatus:
    """A record with hindrances must not be energised, sealed or not; one is sealed when a seal closes all entries."""
    if record is None:
        return "proposal"
    if record.hindrances:
        return "do_not_energise"
    closed = max((seal.entries_count for seal in seals), default=0)
    return "sealed" if closed >= max(entries_count, 1) else "fitted"


def _findings(told: Iterable[tuple[str, OptionResult]]) -> tuple[YardFinding, ...]:
    """Findings of all options, those that several have once, by severity, check and item."""
    letters: dict[tuple[str, ...], list[str]] = {}
    first: dict[tuple[str, ...], Finding] = {}
    for letter, option in told:
        for finding in option.findings:
            key = (finding.id, _cause(finding), finding.item, finding.outcome, finding.accepted_by or "")
            first.setdefault(key, finding)
            own = letters.setdefault(key, [])
            if letter not in own:
                own.append(letter)
    rows = [
        YardFinding(
            f.id, f.number, _cause(f), f.severity, f.outcome, f.item, f.designation, f.title, f.accepted_by or "",
            tuple(letters[key]),
        )
        for key, f in first.items()
    ]  # fmt: skip
    return tuple(sorted(rows, key=lambda f: (SEVERITIES.index(f.severity), f.outcome != "fires", f.number)))


def _cause(finding: Finding) -> str:
    found = finding.values.get("cause") or finding.values.get("effect")
    return found if isinstance(found, str) else ""


def _tests(record: RecordResult) -> Iterator[YardTest]:
    for test in record.tests:
        if test.outcome == "fail":
            yield YardTest(test.test, test.item, test.designation, test.title, "fail")
        elif test.danger and test.outcome != "pass":
            yield YardTest(test.test, test.item, test.designation, test.title, "missing")


def _defects(record: RecordResult) -> Iterator[YardDefect]:
    for defect in record.defects:
        if not defect.mended_on:
            yield YardDefect(defect.id, defect.what, defect.severity, defect.designation, defect.mend_by)


def _upkeep(record: RecordResult, names: Mapping[str, str]) -> Iterator[YardUpkeep]:
    for task in record.upkeep:
        items = tuple(dict.fromkeys(called for key in task.items if (called := nearest(names, key))))
        yield YardUpkeep(task.task, items, task.last_on, task.due_on)


def _fuse(letter: str, device: DeviceResult) -> Iterator[YardFuse]:
    if device.kind != "fuse" or device.fault_a is None:
        return
    if device.interrupt_a is not None and device.interrupt_a >= device.fault_a:
        return
    yield YardFuse(
        device.key, device.designation, device.title, device.part_id or "", device.part_title, device.interrupt_a,
        device.fault_a, "unknown" if device.interrupt_a is None else "under", letter,
    )  # fmt: skip


def _parts(letter: str, option: OptionResult, circuit: Circuit, made: Evaluated, fitted: bool) -> Iterator[YardPart]:
    """Parts of the circuit, equipment that stays among them, and extras; in the order of groups and titles."""
    counts: dict[str, Decimal] = {}
    items: dict[str, list[str]] = {}
    for key, part, count in _used(circuit):
        counts[part] = counts.get(part, Decimal(0)) + count
        called = nearest(made.designations, key)
        if called and called not in items.setdefault(part, []):
            items[part].append(called)
    cables = {c.part_id for c in circuit.conductors}
    titles, groups = _told(option, circuit)
    for line in option.price_lines:
        if line.part_id is not None and line.key.startswith("part."):
            counts.setdefault(line.part_id, line.quantity)
    rows = [
        YardPart(
            part, titles.get(part, part), groups.get(part, "other"), float(round(count, 1)),
            "metre" if part in cables else "piece", tuple(items.get(part, ())), letter, fitted,
        )
        for part, count in counts.items()
    ]  # fmt: skip
    yield from sorted(rows, key=lambda p: (GROUPS.index(p.group), p.title, p.part))


def _used(circuit: Circuit) -> Iterator[tuple[str, str, Decimal]]:
    for battery in circuit.batteries:
        yield battery.key, battery.part_id, Decimal(battery.series_count)
    for key, part_id, count in pieces(circuit):
        if part_id is not None:
            yield key, part_id, Decimal(count)
    for conductor in circuit.conductors:
        if conductor.part_id is not None:
            yield conductor.key, conductor.part_id, Decimal(str(round(conductor.length_m, 3)))


def _told(option: OptionResult, circuit: Circuit) -> tuple[dict[str, str], dict[str, Any]]:
    """Titles and groups of parts: from the price lines, and of what stays aboard from what it is."""
    lines = [line for line in option.price_lines if line.part_id is not None]
    titles = {line.part_id or "": line.title for line in reversed(lines)}
    groups: dict[str, Any] = {line.part_id or "": line.group for line in reversed(lines)}
    for battery in circuit.batteries:
        titles.setdefault(battery.part_id, battery.part.title)
        groups.setdefault(battery.part_id, "battery")
    for device in option.devices:
        if device.part_id is not None:
            titles.setdefault(device.part_id, device.part_title)
            groups.setdefault(device.part_id, "protection" if device.kind == "fuse" else "switching")
    for part_id in (c.part_id for c in circuit.conductors):
        groups.setdefault(part_id or "", "cable")
    for part_id in (*(s.part_id for s in circuit.sources), *(c.part_id for c in circuit.converters)):
        groups.setdefault(part_id or "", "charging")
    return titles, groups
