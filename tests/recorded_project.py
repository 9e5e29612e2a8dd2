"""A project with a record on the disk: a demonstration project fitted as designed, then what a test says of it."""

import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml

from proposal.cli.project import read_ledger
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.recorded.evaluated import evaluate_recorded
from proposal.spec.loading import load_project
from proposal.spec.recorded import load_record, load_recorded

PROJECTS = Path(__file__).parents[1] / "projects"


def as_designed(folder: Path, option_id: str) -> dict[str, dict[str, str]]:
    """Pins for every conductor and device of an option as proposed."""
    made = evaluate(load_project(folder), read_ledger(folder), "a test", sheets=False)
    option = next(o for o in made.results.options if o.id == option_id)
    pins = {c.key: {"is": c.part_id or c.size} for c in option.conductors}
    return pins | {d.key: {"is": d.part_id} for d in option.devices if d.part_id}


def hand_over(folder: Path, option_id: str, **more: Any) -> dict[str, Any]:
    """The first entry: an option fitted just as it was designed."""
    first = {"entry_version": "1", "kind": "hand_over", "title": "Handed over", "date": "2026-12-04", "by": "A Fitter"}
    return {**first, "option": option_id, "fitted": as_designed(folder, option_id), **more}


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


def evaluated(folder: Path, *, sheets: bool = False) -> Evaluated:
    """The project as its record says that it was fitted, without days."""
    record = load_record(folder)
    return evaluate_recorded(
        load_project(folder), record, lambda n: load_recorded(folder, record.until(n)), read_ledger(folder), "a test",
        sheets=sheets,
    )  # fmt: skip
