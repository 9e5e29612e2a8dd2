"""A yard as CSV files (RFC 4180, UTF-8) and as one JSON object."""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from proposal.facts import SEVERITIES
from proposal.results.codec import plain
from proposal.results.yard_model import YARD_VERSION, Moored, Yard

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A text that begins so, a spreadsheet runs: OWASP, CSV injection."""


def files_of(yard: Yard, texts: Sequence[bytes], key: str) -> dict[str, bytes]:
    """All tables by file name, and yard.json.

    Parameters: the yard; its rows as they are kept, which go into the JSON as they are; the key of what was made.
    """
    made = {
        "vessels.csv": _table(VESSELS, _vessels(yard)),
        "parts.csv": _table(PARTS, _parts(yard)),
        "findings.csv": _table(FINDINGS, _findings(yard)),
        "upkeep.csv": _table(UPKEEP, _upkeep(yard)),
    }
    return {**made, "yard.json": _json(yard, texts, key)}


def defused(value: object) -> object:
    """A cell: a text that a spreadsheet would take for a formula begins with an apostrophe."""
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA_SIGNS) else value


def _json(yard: Yard, texts: Sequence[bytes], key: str) -> bytes:
    """One object, a line for each vessel."""
    head: Any = {"yard_version": YARD_VERSION, "key": key, "today": yard.today, "made_by": yard.made_by}
    head["unread"] = plain(yard.unread)
    vessels = (
        b'{"path":' + json.dumps(vessel.path, ensure_ascii=False).encode() + b',"row":' + text.strip() + b"}"
        for vessel, text in zip(yard.vessels, texts, strict=True)
    )
    begun = json.dumps(head, ensure_ascii=False, separators=(",", ":")).encode().removesuffix(b"}")
    return begun + b',"vessels":[\n' + b",\n".join(vessels) + b"\n]}\n"


def _table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows([defused("" if cell is None else cell) for cell in row] for row in rows)
    return out.getvalue().encode()


VESSELS = (
    "folder", "name", "number", "revision", "kind", "date", "status", "chosen_option", "options", "entries", "seals",
    "archives", "dangers", "faults", "advice", "undecided", "accepted", "hindrances", "failed_tests", "missing_tests",
    "open_defects", "upkeep_overdue", "upkeep_next", "fuses_under_fault_current", "fuses_not_stated", "rule_family",
    "rule_edition", "currency", "price_low", "price_high", "made_by", "last_seal", "sealed_by", "problems",
    "first_problem",
)  # fmt: skip


def _vessels(yard: Yard) -> Iterator[Sequence[object]]:
    for vessel in yard.vessels:
        row = vessel.row
        opened = [f for f in row.findings if not f.accepted_by]
        fires = {s: sum(f.severity == s and f.outcome == "fires" for f in opened) for s in SEVERITIES}
        prices = sorted(o.price for o in row.options)
        due = sorted(t.due_on for t in row.upkeep if t.due_on)
        first = next((f"{p.file}:{p.line}:{p.column}: {p.what}" for p in row.problems), "")
        yield (
            vessel.path, row.name, row.number, row.revision, row.kind, row.date, row.status, row.chosen,
            " ".join(o.letter for o in row.options), row.entries_count, len(row.seals), len(row.archives),
            fires["danger"], fires["fault"], fires["advice"], sum(f.outcome == "undecided" for f in opened),
            len(row.findings) - len(opened), row.hindrances_count, sum(t.outcome == "fail" for t in row.tests),
            sum(t.outcome == "missing" for t in row.tests), len(row.defects), sum(d < yard.today for d in due),
            next((d for d in due if d >= yard.today), ""), sum(f.stands == "under" for f in row.fuses),
            sum(f.stands == "unknown" for f in row.fuses), row.rule_family, row.rule_edition, row.currency,
            prices[0] if prices else "", prices[-1] if prices else "", row.made_by,
            row.seals[-1].name if row.seals else "", row.seals[-1].made_by if row.seals else "",
            len(row.problems) + row.more_problems, first,
        )  # fmt: skip


def _named(vessel: Moored) -> tuple[str, str, str]:
    return vessel.path, vessel.row.name, vessel.row.number


PARTS = (
    "folder", "name", "number", "option", "fitted", "part", "title", "group", "count", "unit", "items",
)  # fmt: skip


def _parts(yard: Yard) -> Iterator[Sequence[object]]:
    for vessel in yard.vessels:
        for part in vessel.row.parts:
            yield (
                *_named(vessel), part.option, "yes" if part.fitted else "no", part.part, part.title, part.group,
                f"{part.count:g}", part.unit, " ".join(part.items),
            )  # fmt: skip


FINDINGS = (
    "folder", "name", "number", "finding", "check", "cause", "severity", "outcome", "item", "designation", "title",
    "accepted_by", "options",
)  # fmt: skip


def _findings(yard: Yard) -> Iterator[Sequence[object]]:
    for vessel in yard.vessels:
        for finding in vessel.row.findings:
            yield (
                *_named(vessel), finding.id, finding.number, finding.cause, finding.severity, finding.outcome,
                finding.item, finding.designation, finding.title, finding.accepted_by, " ".join(finding.options),
            )  # fmt: skip


UPKEEP = ("folder", "name", "number", "task", "items", "last_on", "due_on", "overdue")


def _upkeep(yard: Yard) -> Iterator[Sequence[object]]:
    for vessel in yard.vessels:
        for task in vessel.row.upkeep:
            late = "yes" if task.due_on and task.due_on < yard.today else "no"
            yield (*_named(vessel), task.task, " ".join(task.items), task.last_on, task.due_on, late)
