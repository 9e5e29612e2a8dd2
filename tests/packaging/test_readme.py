"""The README: two commands of one line each, and links that lead somewhere; the lock agrees with the dependencies."""

from __future__ import annotations

import re
import subprocess
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
LOCK = (ROOT / "requirements.lock").read_text(encoding="utf-8")


def commands() -> list[str]:
    return re.findall(r"^```sh\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_it_opens_with_the_job_then_a_picture_then_the_commands() -> None:
    places = [README.index(sign) for sign in ("every client asks", "![", "```sh")]
    assert places == sorted(places)


def test_there_are_two_commands_of_one_line_each() -> None:
    first, second = commands()
    assert first.count("\n") == second.count("\n") == 1
    assert first.rstrip().endswith("proposal build projects/marram --as-proposed")
    assert "pytest" in second


@pytest.mark.parametrize("number", [1, 2])
def test_the_gate_on_a_bare_machine_takes_the_commands_from_here(number: int) -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    function = re.search(r"^readme_command\(\) \{.*?^\}", script, re.MULTILINE | re.DOTALL)
    assert function
    said = subprocess.run(
        ["bash", "-c", f"{function[0]}\nreadme_command {number}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout == commands()[number - 1]
    assert said.stdout.strip() not in script


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(document: str) -> None:
    text = (ROOT / document).read_text(encoding="utf-8")
    targets = [target for target in re.findall(r"\]\(([^)#]+)[^)]*\)", text) if "://" not in target]
    assert [target for target in targets if not (ROOT / target).exists()] == []


def locked() -> dict[str, str]:
    return dict(re.findall(r"^([A-Za-z0-9._-]+)==([^\s;]+)", LOCK, re.MULTILINE))


def test_the_lock_holds_every_dependency_at_a_version_that_fits() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [Requirement(text) for text in project["dependencies"] + project["optional-dependencies"]["dev"]]
    versions = {canonicalize_name(name): version for name, version in locked().items()}
    wrong = [
        str(need) for need in wanted if not need.specifier.contains(versions.get(canonicalize_name(need.name), "0"))
    ]
    assert wrong == [], "run .ci/lock"


def test_the_lock_is_one_version_of_each_package_with_hashes() -> None:
    entries = re.findall(r"^([A-Za-z0-9._-]+)==.*(?:\n +--hash=sha256:[0-9a-f]{64}(?: \\)?)+$", LOCK, re.MULTILINE)
    assert len(entries) == len(set(entries)) == len(locked())
