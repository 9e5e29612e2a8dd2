from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Command, change


@pytest.fixture
def lone(projects: Path) -> Path:
    """The smallest demonstration project and one that is wrong."""
    for name in ("marram", "dunlin", "frostbit"):
        (projects / name / "spec.yaml").unlink()
    (projects / "odd").mkdir()
    (projects / "odd" / "spec.yaml").write_text("nothing: right\n", encoding="utf-8")
    return projects


@pytest.mark.usefixtures("bare_site")
def test_a_yard_is_indexed_and_again_when_something_changes(command: Command, lone: Path) -> None:
    ended = command("yard", lone, "--today", "2026-11-26", "--jobs", "1")
    assert (ended.code, ended.err) == (0, "")
    assert ended.out == f"yard: {lone / 'yard' / 'index.html'} (2 vessels, 2 computed)\n"
    again = command("yard", lone, "--today", "2026-11-26", "--jobs", "1")
    assert "(2 vessels, " in again.out
    change(lone / "skarn" / "spec.yaml", "  name: Skarn\n", "  name: Other\n")
    assert command("yard", lone, "--today", "2026-11-26", "--jobs", "1").code == 0
    made = json.loads((lone / "yard" / "yard.json").read_text(encoding="utf-8"))
    assert [(v["path"], v["row"]["name"]) for v in made["vessels"]] == [("odd", ""), ("skarn", "Other")]


@pytest.mark.usefixtures("bare_site")
def test_it_goes_where_it_is_told(command: Command, lone: Path, tmp_path: Path) -> None:
    assert command("yard", lone, "--out", tmp_path / "index").code == 0
    assert (tmp_path / "index" / "vessels.csv").is_file()
    assert not (lone / "yard").exists()


def test_a_folder_of_somebody_else_is_left_alone(command: Command, lone: Path, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "note.txt").write_text("mine", encoding="utf-8")
    ended = command("yard", lone, "--out", tmp_path / "mine")
    assert ended.code == 4
    assert "files that this tool did not write" in ended.err
    assert [p.name for p in (tmp_path / "mine").iterdir()] == ["note.txt"]


@pytest.mark.parametrize(
    "switch",
    [("--today", "tomorrow"), ("--today", "2026-02-30"), ("--jobs", "0"), ("--jobs", "many"), ("--jobs", "65")],
)
def test_switches_that_say_nothing_are_refused(command: Command, lone: Path, switch: tuple[str, str]) -> None:
    ended = command("yard", lone, *switch)
    assert ended.code == 3
    assert switch[0] in ended.err


def test_no_folder_is_a_usage_error(command: Command, tmp_path: Path) -> None:
    ended = command("yard", tmp_path / "nowhere")
    assert ended.code == 3
    assert "there is no folder" in ended.err


def test_no_cluster_is_the_machines_no(command: Command, lone: Path) -> None:
    ended = command("yard", lone, "--scheduler", "tcp://127.0.0.1:9")
    assert ended.code == 4
    assert "no cluster answers at tcp://127.0.0.1:9" in ended.err
    assert not (lone / "yard").exists()
