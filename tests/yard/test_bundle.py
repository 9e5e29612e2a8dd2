from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from proposal.yard.bundle import RACY_NS, Glance, book_name, glance, is_racy, read_bundle
from tests.yard.conftest import add_project, add_record


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    """A project with a record, a ledger and a photo."""
    folder = add_project(tmp_path / "vessels", "boat")
    add_record(folder, "any")
    (folder / "record" / "photos").mkdir()
    (folder / "record" / "photos" / "box.jpg").write_bytes(b"a photo")
    return folder


def seen(folder: Path) -> Glance:
    return glance(str(folder), book_name(folder), {})


def content(folder: Path) -> str:
    return read_bundle(folder, {}).content()


def _append(path: Path) -> None:
    with path.open("ab") as stream:
        stream.write(b"\n# more\n")


CHANGES: dict[str, Callable[[Path], None]] = {
    "the spec": lambda boat: _append(boat / "spec.yaml"),
    "the installer's file": lambda boat: _append(boat.parent / "installer.yaml"),
    "the price book": lambda boat: _append(boat.parent / "prices.yaml"),
    "the ledger": lambda boat: _append(boat / "designations.txt"),
    "the ledger is gone": lambda boat: (boat / "designations.txt").unlink(),
    "an entry": lambda boat: _append(boat / "record" / "01-hand-over.yaml"),
    "one more entry": lambda boat: (boat / "record" / "02-visit.yaml").write_text("x"),
    "seals": lambda boat: (boat / "record" / "seals.txt").write_text("1"),
    "a photo": lambda boat: (boat / "record" / "photos" / "more.png").write_bytes(b""),
    "a photo is gone": lambda boat: (boat / "record" / "photos" / "box.jpg").unlink(),
    "an archive": lambda boat: ((boat / "sealed").mkdir(), (boat / "sealed" / "a.zip").write_bytes(b""))[0],
    "an installer's file of its own": lambda boat: shutil.copy(boat.parent / "installer.yaml", boat) and None,
}


@pytest.mark.parametrize("what", CHANGES)
def test_every_change_shows_at_a_glance_and_in_the_content(boat: Path, what: str) -> None:
    before = seen(boat), content(boat)
    CHANGES[what](boat)
    after = seen(boat), content(boat)
    assert before[0] != after[0]
    assert before[1] != after[1]


def test_the_same_size_and_time_of_another_file_shows_all_the_same(boat: Path) -> None:
    spec = boat / "spec.yaml"
    before = seen(boat)
    known = spec.stat()
    other = spec.with_name("other")
    other.write_bytes(spec.read_bytes().replace(b"a", b"b"))
    other.replace(spec)
    os.utime(spec, ns=(known.st_atime_ns, known.st_mtime_ns))
    assert spec.stat().st_size == known.st_size
    assert seen(boat) != before


def test_a_new_time_alone_changes_no_content(boat: Path) -> None:
    before = seen(boat), content(boat)
    os.utime(boat / "spec.yaml", (1, 1))
    assert seen(boat) != before[0]
    assert content(boat) == before[1]


def test_a_project_that_moves_keeps_its_content(boat: Path) -> None:
    before = content(boat)
    moved = boat.with_name("elsewhere")
    boat.rename(moved)
    assert content(moved) == before


def test_what_changed_a_moment_ago_is_not_trusted(boat: Path) -> None:
    now_ns = max((boat / "spec.yaml").stat().st_ctime_ns, (boat / "record" / "01-hand-over.yaml").stat().st_ctime_ns)
    look = seen(boat)
    assert is_racy(look, now_ns)
    assert is_racy(look, now_ns + RACY_NS - 1)
    assert not is_racy(look, now_ns + 10 * RACY_NS)


def test_many_photos_are_no_times(boat: Path) -> None:
    for number in range(8):
        (boat / "record" / "photos" / f"{number}.jpg").write_bytes(b"")
    assert not is_racy(seen(boat), 10**19)


def test_a_pipe_in_place_of_a_file_is_not_waited_for(boat: Path) -> None:
    (boat / "designations.txt").unlink()
    os.mkfifo(boat / "designations.txt")
    os.mkfifo(boat / "installer.yaml")
    bundle = read_bundle(boat, {})
    assert "designations.txt" not in dict(bundle.files)
    assert bundle.shared == ()


def test_links_out_of_a_project_are_not_read_and_its_installer_may_be_one(boat: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("secret", encoding="utf-8")
    (boat / "designations.txt").unlink()
    (boat / "designations.txt").symlink_to(secret)
    real = boat.parent / "installer.yaml"
    kept = tmp_path / "kept.yaml"
    real.rename(kept)
    real.symlink_to(kept)
    bundle = read_bundle(boat, {})
    assert not any(b"secret" in data for _, data in bundle.files)
    assert [name for name, _ in bundle.shared] == ["../installer.yaml", "../prices.yaml"]


def test_entries_that_cannot_be_read_are_not_passed_over(boat: Path) -> None:
    """Else a vessel would show as it stood before them, or as its proposal."""
    (boat / "record" / "02-change.yaml").symlink_to("01-entry.yaml")
    (boat / "record" / "03-change.YML").write_bytes(b"kind: visit")
    found = dict(read_bundle(boat, {}).files)
    assert (found["record/02-change.yaml"], found["record/03-change.YML"]) == (b"", b"kind: visit")
    (boat / "record").rename(boat / "kept")
    (boat / "record").symlink_to("record")
    assert dict(read_bundle(boat, {}).files)["record/01-cannot-be-read.yaml"] == b""


def test_a_huge_file_is_not_read_whole(boat: Path) -> None:
    with (boat / "spec.yaml").open("wb") as stream:
        stream.truncate(50_000_000_000)
    assert len(dict(read_bundle(boat, {}).files)["spec.yaml"]) < 1_000_000


def test_a_shared_file_is_read_once_in_a_run(boat: Path) -> None:
    add_project(boat.parent, "second")
    known: dict[str, bytes | None] = {}
    first, second = (read_bundle(folder, known) for folder in (boat, boat.with_name("second")))
    assert first.shared[1][1] is second.shared[1][1]
