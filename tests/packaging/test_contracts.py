"""The import contracts in pyproject.toml are complete, and each of them can fail."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
MAY_DRAW = {"cli", "yard", "archive", "publish", "book", "drawings"}


def contracts() -> list[dict[str, Any]]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return list(project["tool"]["importlinter"]["contracts"])


def test_the_heavy_contract_names_every_part_below_drawings() -> None:
    parts = {path.stem for path in (ROOT / "proposal").iterdir() if path.is_dir() or path.suffix == ".py"}
    below = {name for name in parts if not name.startswith("_")} - MAY_DRAW
    (heavy,) = (contract for contract in contracts() if str(contract["name"]).startswith("Heavy"))
    assert set(heavy["source_modules"]) == {f"proposal.{name}" for name in below}


@pytest.mark.parametrize(
    ("module", "line", "broken"),
    [
        ("spec/project.py", "import proposal.codes.family", "Layers"),
        ("units/__init__.py", "import proposal.facts, proposal.parts", "Layers"),
        ("results/model.py", "import jinja2", "Heavy"),
        ("studies/faults/study.py", "import proposal.studies.joins.study", "Studies: none"),
        ("studies/faults/study.py", "import proposal.studies.flow.cases", "Studies: the cases"),
        ("errors.py", "import proposal.reading", "No circles"),
    ],
)
def test_a_broken_contract_is_seen(tmp_path: Path, module: str, line: str, broken: str) -> None:
    shutil.copytree(ROOT / "proposal", tmp_path / "proposal", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    with (tmp_path / "proposal" / module).open("a", encoding="utf-8") as file:
        file.write(f"\n{line}\n")
    run = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-logo", "--no-cache"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 1, run.stdout + run.stderr
    assert [text for text in run.stdout.splitlines() if text.startswith(broken) and text.endswith("BROKEN")]
