from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from proposal.errors import MachineError, UsageError
from proposal.files import write_tree
from proposal.yard import find as finding
from proposal.yard.find import MOST_DEPTH, archives_in, find, printable


def project(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "spec.yaml").write_text("x: y\n", encoding="utf-8")
    return folder


def test_projects_are_found_at_any_depth_and_in_one_order(tmp_path: Path) -> None:
    for name in ("b", "a/deep/er", "a", "c d"):
        project(tmp_path / name)
    (tmp_path / "empty").mkdir()
    assert find(tmp_path).projects == ("a", "a/deep/er", "b", "c d")


def test_the_folder_itself_may_be_a_project(tmp_path: Path) -> None:
    project(tmp_path)
    assert find(tmp_path).projects == (".",)


@pytest.mark.parametrize("name", [".hidden", "output", "sealed", "record"])
def test_what_is_no_place_for_a_project_is_not_entered(tmp_path: Path, name: str) -> None:
    project(tmp_path / name / "inside")
    assert find(tmp_path).projects == ()


def test_links_are_not_followed(tmp_path: Path) -> None:
    elsewhere = project(tmp_path / "elsewhere" / "real")
    home = tmp_path / "home"
    (home / "linked").parent.mkdir()
    (home / "linked").symlink_to(elsewhere, target_is_directory=True)
    (home / "round").symlink_to(home, target_is_directory=True)
    (home / "file").mkdir()
    (home / "file" / "spec.yaml").symlink_to(elsewhere / "spec.yaml")
    assert find(home).projects == ()


def test_what_this_tool_wrote_and_unpacked_archives_are_no_projects(tmp_path: Path) -> None:
    write_tree(tmp_path / "published", {"spec.yaml": b"x: y\n"})
    (project(tmp_path / "bag") / "bagit.txt").write_text("BagIt-Version: 1.0\n", encoding="utf-8")
    assert find(tmp_path).projects == ()


def test_a_pipe_is_no_spec(tmp_path: Path) -> None:
    (tmp_path / "odd").mkdir()
    os.mkfifo(tmp_path / "odd" / "spec.yaml")
    assert find(tmp_path).projects == ()


def test_too_deep_is_not_looked_at(tmp_path: Path) -> None:
    deepest = "/".join(str(n) for n in range(MOST_DEPTH))
    project(tmp_path / deepest)
    project(tmp_path / deepest / "more")
    assert find(tmp_path).projects == (deepest,)


def test_archives_without_a_project_are_found(tmp_path: Path) -> None:
    project(tmp_path / "here")
    for name in ("here", "gone"):
        (tmp_path / name / "sealed").mkdir(parents=True)
    assert find(tmp_path).sealed == ("gone",)


def test_archives_are_zips_and_bags_and_nothing_half_written(tmp_path: Path) -> None:
    sealed = tmp_path / "sealed"
    for folder in ("bag", ".bag.new-7", "folder"):
        (sealed / folder).mkdir(parents=True)
    for name in ("bag/bagit.txt", ".bag.new-7/bagit.txt", "other.zip", "note.txt", ".half.zip"):
        (sealed / name).write_bytes(b"")
    (sealed / "linked.zip").symlink_to(sealed / "other.zip")
    assert archives_in(tmp_path) == ("bag", "other.zip")
    assert archives_in(tmp_path / "nowhere") == ()


def test_a_folder_that_cannot_be_read_is_told_and_stops_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    project(tmp_path / "open")
    (tmp_path / "shut").mkdir()
    scan: Any = os.scandir

    def refusing(path: Any) -> Any:
        if str(path).endswith("shut"):
            raise PermissionError(13, "Permission denied")
        return scan(path)

    monkeypatch.setattr(os, "scandir", refusing)
    found = find(tmp_path)
    assert (found.projects, found.unread) == (("open",), (("shut", "Permission denied"),))


def test_no_folder_is_a_usage_error(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="there is no folder"):
        find(tmp_path / "nowhere")


def test_too_many_projects_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(finding, "MOST_VESSELS", 2)
    for name in "ab":
        project(tmp_path / name)
    assert len(find(tmp_path).projects) == 2
    project(tmp_path / "c")
    with pytest.raises(MachineError, match="more than 2 projects"):
        find(tmp_path)


def test_a_name_that_is_no_text_can_be_printed() -> None:
    name = os.fsdecode(b"caf\xe9")
    assert printable(name) == "caf\\xe9"
    assert printable("café/boat") == "café/boat"
