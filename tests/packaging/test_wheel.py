"""What is in the wheel: everything that the program reads, nothing foreign, and it runs from there."""

from __future__ import annotations

import configparser
import json
import os
import subprocess
import sys
import zipfile
from collections import Counter
from email import message_from_string
from pathlib import Path, PurePosixPath

import pytest

ROOT = Path(__file__).parents[2]
TEMPLATES = "proposal/publish/templates"
KINDS_OF_FILE = {".py", ".csv", ".json", ".typed", ".yaml", ".html", ".j2", ".css", ".js", ".po", ".mo"}


def sources(folder: Path) -> set[str]:
    found = (path.relative_to(folder) for path in folder.rglob("*") if path.is_file())
    return {path.as_posix() for path in found if "__pycache__" not in path.parts}


def names(wheel: Path) -> list[str]:
    with zipfile.ZipFile(wheel) as archive:
        return archive.namelist()


def test_it_is_the_package_and_the_templates_and_nothing_else(wheel: Path) -> None:
    package = {f"proposal/{name}" for name in sources(ROOT / "proposal")}
    templates = {f"{TEMPLATES}/{name}" for name in sources(ROOT / "site_templates")}
    inside = names(wheel)
    assert not [name for name, count in Counter(inside).items() if count > 1]
    shared = {f"proposal/cli/starter/{name}" for name in ("installer.yaml", "prices.yaml")}
    assert {name for name in inside if ".dist-info/" not in name} == package | templates | shared


def test_its_files_are_of_the_kinds_that_we_write(wheel: Path) -> None:
    """No font, picture, byte code or library of somebody else: those come as dependencies."""
    own = [PurePosixPath(name) for name in names(wheel) if ".dist-info/" not in name]
    assert {path.suffix for path in own} <= KINDS_OF_FILE


@pytest.mark.parametrize(
    "pattern",
    [
        "proposal/py.typed",
        "proposal/codes/tables/*.csv",
        "proposal/parts/tables/*.csv",
        "proposal/cli/starter/spec.yaml",
        f"{TEMPLATES}/*.j2",
        f"{TEMPLATES}/css/*.css",
        f"{TEMPLATES}/js/*.js",
        f"{TEMPLATES}/theme/*.html",
    ],
)
def test_it_holds_what_the_program_reads(wheel: Path, pattern: str) -> None:
    assert [name for name in names(wheel) if PurePosixPath(name).match(pattern)]


def test_its_metadata(installed: Path) -> None:
    (info,) = installed.glob("proposal-*.dist-info")
    commands = configparser.ConfigParser()
    commands.read(info / "entry_points.txt", encoding="utf-8")
    assert dict(commands["console_scripts"]) == {"proposal": "proposal.cli.main:run"}
    metadata = message_from_string((info / "METADATA").read_text(encoding="utf-8"))
    assert metadata["Requires-Python"] == ">=3.11"
    assert metadata["License-Expression"] == "MIT"
    assert (info / "licenses" / "LICENSE").read_bytes() == (ROOT / "LICENSE").read_bytes()


def run(installed: Path, folder: Path, code: str, *arguments: str) -> str:
    """Run Python on the wheel's files alone, from a folder that is not the checkout."""
    home = "import proposal; assert proposal.__file__.startswith(sys.path[0]), proposal.__file__"
    command = [sys.executable, "-c", f"import sys; sys.path[0] = {str(installed)!r}; {home}; {code}", *arguments]
    made = subprocess.run(
        command, cwd=folder, env=os.environ | {"PYTHONUTF8": "1"}, capture_output=True, text=True, check=False
    )
    assert made.returncode == 0, made.stdout + made.stderr
    return made.stdout


def test_the_templates_come_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    said = run(installed, tmp_path, "from proposal.publish.templates import folder; print(folder())")
    assert Path(said.strip()) == installed / TEMPLATES


@pytest.mark.parametrize("kind", ["spec", "installer", "prices", "results"])
def test_the_installed_program_prints_its_schemas(installed: Path, tmp_path: Path, kind: str) -> None:
    code = "from proposal.cli.main import run; run()"
    schema = json.loads(run(installed, tmp_path, code, "schema", "--kind", kind))
    assert schema["type"] == "object"
    assert schema["properties"]
