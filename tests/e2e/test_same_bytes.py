"""The same input gives the same bytes: site, PDF, drawings and results, whatever the clock, the seed and the place."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.e2e.conftest import project
from tests.e2e.published import Published

pytestmark = pytest.mark.slow


def _files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_two_builds_give_identical_trees(published: Callable[[str], Published], tmp_path: Path) -> None:
    first = published("marram").folder
    again = project(tmp_path / "a longer way", "marram")
    # The second build finds the ledger of the first, another clock, another hash seed and another working folder.
    (again / "designations.txt").write_bytes((first.parent / "vessel" / "designations.txt").read_bytes())
    environment = {
        **os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path)), "PYTHONHASHSEED": "4711",
        "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1", "COLUMNS": "40",
    }  # fmt: skip
    command = [sys.executable, "-c", "from proposal.cli.main import run; run()", "build", str(again), "--quiet"]
    done = subprocess.run(
        command, env=environment, cwd=tmp_path, capture_output=True, text=True, timeout=600, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    one, two = _files(first), _files(again / "output")
    assert one.keys() == two.keys()
    assert len(one) > 20
    assert [name for name in one if one[name] != two[name]] == []
    assert str(tmp_path).encode() not in b"".join(two.values())
