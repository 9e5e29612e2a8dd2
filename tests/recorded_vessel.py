"""Records for tests: a demonstration project copied aside, with entries written as files beside it."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from proposal.results.evaluate import Evaluated
from proposal.results.recorded.evaluated import evaluate_recorded
from proposal.spec.loading import load_project
from proposal.spec.recorded import Record, load_record, load_recorded

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


def write(folder: Path, *entries: str, vessel: str = "marram") -> Path:
    """A copy of a demonstration project under `folder`, with these entries as its record; no telephone, no address."""
    lines = (PROJECTS / "installer.yaml").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith(("telephone:", "record_address:"))]
    (folder / "installer.yaml").write_text("".join(kept), encoding="utf-8")
    shutil.copy(PROJECTS / "prices.yaml", folder)
    project = folder / vessel
    project.mkdir()
    shutil.copy(PROJECTS / vessel / "spec.yaml", project / "spec.yaml")
    (project / "record").mkdir()
    for number, entry in enumerate(entries, 1):
        (project / "record" / f"{number:02d}-entry.yaml").write_text(entry, encoding="utf-8")
    return project


def read(project: Path) -> Record:
    return load_record(project)


def evaluated(project: Path, *, sheets: bool = True) -> Evaluated:
    record = load_record(project)
    return evaluate_recorded(
        load_project(project),
        record,
        lambda count: load_recorded(project, record.until(count)),
        {},
        "proposal 0.0.0",
        sheets=sheets,
    )


@cache
def marram() -> Evaluated:
    """Marram with two entries, once for all tests of a process."""
    folder = Path(mkdtemp(prefix="recorded-"))
    try:
        return evaluated(write(folder, HAND_OVER, VISIT))
    finally:
        shutil.rmtree(folder)
