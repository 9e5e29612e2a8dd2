"""A project with a record on the disk: a copy of a demonstration project, with the entries that a test gives it."""

import shutil
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import yaml

from proposal.results.computed import computed, read_ledger
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.model import OptionResult
from proposal.results.record_model import TestRow
from proposal.spec.loading import load_project

PROJECTS = Path(__file__).parents[1] / "projects"
HAND_OVER = """
entry_version: "1"
kind: hand_over
title: Hand-over
date: 2026-12-04
by: Oda Brennig
option: dedicated
fitted:
  banks.lithium.s1: {serial: LI-0001}
  banks.lithium.s2: {serial: LI-0002}
  banks.lead: {serial: AG-77}
upkeep:
  - {task: alarms}
"""
VISIT = """
entry_version: "1"
kind: visit
title: A year on
date: 2027-12-10
by: Oda Brennig
upkeep:
  - {task: alarms, date: 2027-12-09, by: Ilse Varnegg}
  - {task: retorque}
  - {task: retorque_first, date: 2027-01-03}
"""


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


def write_entry(folder: Path, number: int, entry: Mapping[str, Any] | str) -> Path:
    """Write an entry's file: a text as it is, data with days that stand without quotes."""
    home = folder / "record"
    home.mkdir(exist_ok=True)
    path = home / f"{number:02d}-entry.yaml"
    text = entry if isinstance(entry, str) else yaml.safe_dump(dict(entry), sort_keys=False, allow_unicode=True)
    path.write_text(text, encoding="utf-8")
    return path


def project_with(tmp_path: Path, name: str, entries: Sequence[Mapping[str, Any] | str]) -> Path:
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


def out_of_reach(tmp_path: Path, *entries: str, name: str = "marram") -> Path:
    """The same with an installer who has no telephone and no address of records."""
    folder = project_with(tmp_path, name, entries)
    installer = folder.parent / "installer.yaml"
    lines = installer.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith(("telephone:", "record_address:"))]
    installer.write_text("".join(kept), encoding="utf-8")
    return folder


def evaluated(folder: Path, *, sheets: bool = False, history: bool = True) -> Evaluated:
    """The project as its record says that it was fitted, without days."""
    return computed(folder, sheets=sheets, history=history).evaluated


@cache
def marram() -> Evaluated:
    """Marram with a hand-over and a visit, its installer out of reach; once for all tests of a process."""
    folder = Path(mkdtemp(prefix="recorded-"))
    try:
        return evaluated(out_of_reach(folder, HAND_OVER, VISIT), sheets=True)
    finally:
        shutil.rmtree(folder)
