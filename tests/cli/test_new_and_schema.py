from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import PROJECTS, Command, tree

KINDS = ("spec", "installer", "prices", "record", "results")


def test_new_makes_a_folder_that_checks_as_it_stands(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    ended = command("new", "sea-otter")
    assert ended.code == 0
    written = {line for line in ended.out.splitlines() if "next:" not in line}
    assert written == set(tree(tmp_path))
    assert "next: proposal build sea-otter" in ended.out
    spec = (tmp_path / "sea-otter" / "spec.yaml").read_text(encoding="utf-8")
    # The line by which editors find the schema leads to a file that is there.
    schema = spec.splitlines()[0].partition("$schema=")[2]
    assert json.loads((tmp_path / "sea-otter" / schema).read_text(encoding="utf-8"))["properties"]["options"]
    assert sum(line.lstrip().startswith("#") or " # " in line for line in spec.splitlines()) > 10
    ended = command("check", "sea-otter")
    assert ended.code in (0, 1), ended.err
    assert ended.err == ""


@pytest.mark.slow
def test_what_new_makes_builds(command: Command, tmp_path: Path) -> None:
    assert command("new", "sea-otter", "--in", tmp_path).code == 0
    ended = command("build", tmp_path / "sea-otter", "--quiet")
    assert ended.code == 0, ended.err
    out = tmp_path / "sea-otter" / "output"
    assert "Sea Otter" in (out / "index.html").read_text(encoding="utf-8")
    assert (out / "proposal.pdf").read_bytes().startswith(b"%PDF")


def test_new_goes_into_projects_where_it_is_and_leaves_what_is_there(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "projects").mkdir()
    (tmp_path / "projects" / "installer.yaml").write_bytes((PROJECTS / "installer.yaml").read_bytes() + b"# mine\n")
    assert command("new", "one").code == 0
    before = tree(tmp_path)
    assert before["projects/installer.yaml"].endswith(b"# mine\n")
    assert command("new", "two").code == 0
    after = tree(tmp_path)
    assert {name for name in after if name not in before} == {"projects/two/spec.yaml"}
    assert {name: after[name] for name in before} == before


def test_new_refuses_a_folder_that_is_there(command: Command, tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    (tmp_path / "file").write_text("mine")
    (tmp_path / "dangling").symlink_to("nowhere")
    before = tree(tmp_path)
    for name in ("taken", "file"):
        ended = command("new", name, "--in", tmp_path)
        assert ended.code == 3
        assert "nothing was changed" in ended.err
    assert tree(tmp_path) == before


NO_NAMES = ("", ".", "..", "../x", "/x", "a b", "A", "-x", "_x", "é", "x" * 64, "a\n", "a/b", "a\\b", "a.b", "a\0", "٣")


@pytest.mark.parametrize("name", NO_NAMES)
def test_new_refuses_a_name_that_is_none(command: Command, tmp_path: Path, name: str) -> None:
    ended = command("new", "--in", tmp_path, "--", name)
    assert ended.code == 3
    assert list(tmp_path.iterdir()) == []


def test_schema_writes_all_files_that_are_what_it_prints(command: Command, tmp_path: Path) -> None:
    ended = command("schema", tmp_path / "here")
    assert ended.code == 0
    assert set(tree(tmp_path)) == {f"here/{kind}.schema.json" for kind in KINDS}
    assert ended.out.splitlines() == [str(tmp_path / "here" / f"{kind}.schema.json") for kind in KINDS]
    for kind in KINDS:
        printed = command("schema", "--kind", kind).out
        assert (tmp_path / "here" / f"{kind}.schema.json").read_text(encoding="utf-8") == printed
        schema = json.loads(printed)
        assert schema["type"] == "object"
        assert schema["properties"]
    assert command("schema").out == command("schema", "--kind", "spec").out


def test_schema_into_a_file_ends_in_4(command: Command, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    ended = command("schema", tmp_path / "file")
    assert ended.code == 4
    assert (tmp_path / "file").read_text() == "mine"
