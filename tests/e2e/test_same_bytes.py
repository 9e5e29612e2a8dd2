"""The same input gives the same bytes: site, PDF, drawings and results, whatever the clock, the seed and the place.

The days too: with a store that has them and one that is empty, on one thread and on two.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.e2e.conftest import SIMULATED, project
from tests.e2e.published import Published

pytestmark = pytest.mark.slow


def _files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _built(folder: Path, home: Path, **variables: str) -> dict[str, bytes]:
    """Build in a process of its own; returns all files."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path)), **variables}
    command = [sys.executable, "-c", "from proposal.cli.main import run; run()", "build", str(folder), "--quiet"]
    done = subprocess.run(command, env=environment, cwd=home, capture_output=True, text=True, timeout=900, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    return _files(folder / "output")


def test_two_builds_give_identical_trees(published: Callable[[str], Published], tmp_path: Path) -> None:
    first = published(SIMULATED).folder
    again = project(tmp_path / "a longer way", "marram")
    # The second build finds the ledger of the first, another clock, another hash seed and another working folder.
    (again / "designations.txt").write_bytes((first.parent / "vessel" / "designations.txt").read_bytes())
    one = _files(first)
    assert len(one) > 20
    elsewhere = {
        "PYTHONHASHSEED": "4711", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1", "COLUMNS": "40",
    }  # fmt: skip
    for days in (
        {"PROPOSAL_THREADS": "1", "PROPOSAL_CACHE": str(tmp_path / "empty")},
        {"PROPOSAL_THREADS": "2", "PROPOSAL_CACHE": str(tmp_path / "empty, too")},
        {"PROPOSAL_CACHE": str(tmp_path / "empty, too")},
    ):
        two = _built(again, tmp_path, **elsewhere, **days)
        assert one.keys() == two.keys()
        assert [name for name in one if one[name] != two[name]] == [], days
        assert str(tmp_path).encode() not in b"".join(two.values())
