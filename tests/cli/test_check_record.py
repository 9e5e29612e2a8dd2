"""`proposal check` of a vessel with a record."""

from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Command
from tests.recorded_project import PROJECTS, hand_over, project_with

DANGER = {"vent_taped": {"what": "The vent is taped over", "severity": "danger", "item": "banks.lead.s1"}}


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    return hand_over(PROJECTS / "marram", "dedicated")


def test_a_record_against_which_nothing_speaks(command: Command, tmp_path: Path, first: dict[str, Any]) -> None:
    ended = command("check", project_with(tmp_path, "marram", [first]), "--without-days")
    assert ended.code == 0
    head = ended.out.splitlines()[0]
    assert head.startswith("As fitted, by the record up to entry 1 of 4 December 2026. Tests passed: ")
    passed, of = head.rpartition(": ")[2].rstrip(".").split(" of ")
    assert passed == of


def test_what_hinders_is_told_first_and_by_the_exit_code(
    command: Command, tmp_path: Path, first: dict[str, Any]
) -> None:
    folder = project_with(tmp_path, "marram", [{**first, "defects": DANGER}])
    ended = command("check", folder, "--without-days")
    assert ended.code == 1
    assert "The vent is taped over" in "\n".join(ended.out.splitlines()[:4])
    proposed = command("check", folder, "--without-days", "--as-proposed")
    assert proposed.code == 0
    assert "As fitted" not in proposed.out
