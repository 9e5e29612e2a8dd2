"""A project with a record on the disk: a demonstration project fitted as designed, then what a test says of it."""

import shutil
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from proposal.cli.project import read_ledger
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.model import OptionResult
from proposal.results.record_model import TestRow
from proposal.results.recorded.evaluated import evaluate_recorded
from proposal.spec.loading import load_project
from proposal.spec.recorded import load_record, load_recorded

PROJECTS = Path(__file__).parents[1] / "projects"


@cache
def _proposed(folder: Path, option_id: str) -> OptionResult:
    made = evaluate(load_project(folder), read_ledger(folder), "a test", sheets=False, tests=True)
    return next(o for o in made.results.options if o.id == option_id)


def as_designed(folder: Path, option_id: str) -> dict[str, dict[str, str]]:
    """Pins for every conductor and device of an option as proposed."""
    option = _proposed(folder, option_id)
    pins = {c.key: {"is": c.part_id or c.size} for c in option.conductors}
    return pins | {d.key: {"is": d.part_id} for d in option.devices if d.part_id}


def all_passed(folder: Path, option_id: str) -> list[dict[str, Any]]:
    """A reading that passes for each test that the option as proposed needs."""
    return [passing(row) for row in _proposed(folder, option_id).tests if row.asked]


def passing(row: TestRow) -> dict[str, Any]:
    """A reading in the middle of what passes; by its auxiliary contact where a contactor is open."""
    said: dict[str, Any] = {"test": row.test, "item": row.item, "end": row.end, "how": "by the auxiliary contact"}
    said = {key: text for key, text in said.items() if text and (key != "how" or row.test == "contactor_open")}
    if not row.unit or row.test == "contactor_open":
        return {**said, "passed": "yes"}
    low = row.low if row.low is not None else 0.0
    value = 0.5 * (low + row.high) if row.high is not None else 1.5 * low or row.expected or 5.0
    said["value"] = f"{value:.6g} {row.unit}"
    if row.expected_at_a is not None:
        said["at"] = f"{row.expected_at_a:.6g} A"
    return {**said, "wanted": said["value"]} if row.wanting else said


def hand_over(folder: Path, option_id: str, **more: Any) -> dict[str, Any]:
    """The first entry: an option fitted just as it was designed, every test of it passed."""
    first = {"entry_version": "1", "kind": "hand_over", "title": "Handed over", "date": "2026-12-04", "by": "A Fitter"}
    fitted, measured = as_designed(folder, option_id), all_passed(folder, option_id)
    return {**first, "option": option_id, "fitted": fitted, "measured": measured, **more}


def later(kind: str = "change", date: str = "2027-06-01", **more: Any) -> dict[str, Any]:
    """A later entry."""
    return {"entry_version": "1", "kind": kind, "title": "Later", "date": date, "by": "B Fitter", **more}


def write_entry(folder: Path, number: int, entry: Mapping[str, Any]) -> Path:
    """Write an entry's file; days stand without quotes, all other texts as they are."""
    home = folder / "record"
    home.mkdir(exist_ok=True)
    path = home / f"{number:02d}-entry.yaml"
    path.write_text(yaml.safe_dump(dict(entry), sort_keys=False, allow_unicode=True), encoding="utf-8")
    return path


def project_with(tmp_path: Path, name: str, entries: Sequence[Mapping[str, Any]]) -> Path:
    """A copy of a demonstration project's own files with these entries in its record."""
    home = tmp_path / "projects"
    folder = home / name
    folder.mkdir(parents=True)
    for file in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / file, home / file)
    for file in ("spec.yaml", "designations.txt"):
        shutil.copy(PROJECTS / name / file, folder / file)
    for number, entry in enumerate(entries, 1):
        write_entry(folder, number, entry)
    return folder


def evaluated(folder: Path, *, sheets: bool = False, history: bool = True) -> Evaluated:
    """The project as its record says that it was fitted, without days."""
    record = load_record(folder)
    return evaluate_recorded(
        load_project(folder), record, lambda n: load_recorded(folder, record.until(n)), read_ledger(folder), "a test",
        sheets=sheets, history=history,
    )  # fmt: skip
