"""Writing: complete or not at all, whatever happens in between."""

import errno
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from proposal import files
from proposal.errors import MachineError
from proposal.files import (
    MARKER,
    add_lines,
    fill_scratch,
    mark_used,
    may_write,
    private_folder,
    remove_oldest,
    write_file,
    write_tree,
)

OLD = {"index.html": b"old", "drawings/a.svg": b"old", "drawings/deep/b.svg": b"old"}
NEW = {"index.html": b"new", "search/index.json": b"new"}


def contents(folder: Path) -> dict[str, bytes]:
    found = {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert found.pop(MARKER)
    return found


def beside(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.parent.iterdir() if path != folder)


def no_exchange(_one: Path, _other: Path) -> bool:
    return False


@pytest.fixture(params=["exchange", "two steps"])
def _both_ways(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.param == "two steps":
        monkeypatch.setattr(files, "_exchange", no_exchange)


@pytest.mark.usefixtures("_both_ways")
def test_a_folder_is_made_and_replaced_as_a_whole(tmp_path: Path) -> None:
    folder = tmp_path / "projects" / "output"
    write_tree(folder, OLD)
    assert contents(folder) == OLD
    write_tree(folder, NEW)
    assert contents(folder) == NEW
    assert not (folder / "drawings").exists()
    assert beside(folder) == []


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    write_tree(tmp_path / "out", {})
    assert contents(tmp_path / "out") == {}
    (tmp_path / "own").mkdir()
    write_tree(tmp_path / "own", NEW)
    assert contents(tmp_path / "own") == NEW


def test_a_folder_of_somebody_else_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "boat.jpg").write_bytes(b"precious")
    with pytest.raises(MachineError, match=r"did not write; nothing was changed · give an empty"):
        write_tree(tmp_path / "photos", NEW)
    assert [path.name for path in (tmp_path / "photos").iterdir()] == ["boat.jpg"]
    assert beside(tmp_path / "photos") == []


def test_a_file_in_the_place_of_the_folder_is_kept(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"precious")
    with pytest.raises(MachineError, match="is a file, not a folder"):
        write_tree(tmp_path / "out", NEW)
    with pytest.raises(MachineError, match="choose another folder"):
        write_tree(tmp_path / "out" / "below", NEW)
    assert (tmp_path / "out").read_bytes() == b"precious"


def test_a_link_is_followed_and_stays(tmp_path: Path) -> None:
    write_tree(tmp_path / "real", OLD)
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_tree(tmp_path / "link", NEW)
    assert (tmp_path / "link").is_symlink()
    assert contents(tmp_path / "real") == NEW


@pytest.mark.parametrize(
    "name", ["../up", "/root", "", ".", "a//b", "a/../b", "a/./b", "a\\b", "a\0b", "c:/x", "a/", MARKER, 'a"b', "a?b"]
)
def test_no_path_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    write_tree(tmp_path / "out", OLD)
    with pytest.raises(ValueError, match="is not a path inside"):
        write_tree(tmp_path / "out", {"index.html": b"", name: b""})
    assert contents(tmp_path / "out") == OLD


def test_a_name_cannot_be_file_and_folder(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="both a file and a folder"):
        write_tree(tmp_path / "out", {"a": b"", "a/b": b""})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("_both_ways")
@pytest.mark.parametrize(
    ("number", "advice"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EDQUOT, "used up"),
        (errno.EACCES, "you may not write there"),
        (errno.EROFS, "can only be read"),
        (errno.EIO, "check the disk"),
    ],
)
def test_a_failure_at_any_step_keeps_the_last_good_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, advice: str
) -> None:
    folder = tmp_path / "out"
    write_tree(folder, OLD)
    real_fsync, calls = os.fsync, [0, 0]

    def failing(handle: int) -> None:
        calls[0] += 1
        if calls[0] == calls[1]:
            raise OSError(number, os.strerror(number))
        real_fsync(handle)

    monkeypatch.setattr(os, "fsync", failing)
    steps = len(NEW) + 3  # files, marker, one folder inside, the folder itself; after that comes the swap
    for step in range(1, steps + 1):
        calls[:] = [0, step]
        with pytest.raises(MachineError, match=advice):
            write_tree(folder, NEW)
        assert contents(folder) == OLD
        assert beside(folder) == []
    calls[:] = [0, steps + 2]
    write_tree(folder, NEW)
    assert contents(folder) == NEW


def test_a_swap_that_fails_half_way_puts_the_old_folder_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "out"
    write_tree(folder, OLD)
    monkeypatch.setattr(files, "_exchange", no_exchange)
    real_rename, calls = Path.rename, [0]

    def failing(path: Path, target: Path) -> Path:
        calls[0] += 1
        if calls[0] == 2:
            raise OSError(errno.EIO, "broken")
        return real_rename(path, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(MachineError, match="broken"):
        write_tree(folder, NEW)
    assert calls[0] == 3
    assert contents(folder) == OLD
    assert beside(folder) == []


KILLED = """
import os, signal, sys
from pathlib import Path
from proposal import files
step, steps, two_steps, folder = 0, int(sys.argv[1]), sys.argv[2] == "two steps", Path(sys.argv[3])
def counted(real):
    def call(*arguments, **keywords):
        global step
        step += 1
        if step == steps:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*arguments, **keywords)
    return call
if two_steps:
    files._exchange = lambda one, other: False
os.fsync, Path.rename, files._exchange = counted(os.fsync), counted(Path.rename), counted(files._exchange)
files.shutil.rmtree = counted(files.shutil.rmtree)
files.write_tree(folder, {"index.html": b"new", "search/index.json": b"new"})
print("done")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("way", ["exchange", "two steps"])
def test_a_run_killed_at_any_step_loses_nothing_and_is_cleaned_up(tmp_path: Path, way: str) -> None:
    for step in range(1, 50):
        folder = tmp_path / str(step) / "out"
        write_tree(folder, OLD)
        done = subprocess.run(
            [sys.executable, "-c", KILLED, str(step), way, str(folder)], capture_output=True, text=True, check=False
        )
        if done.returncode == 0:
            assert done.stdout == "done\n"
            break
        assert done.returncode == -signal.SIGKILL, done.stderr
        if folder.exists():
            assert contents(folder) in (OLD, NEW)
        else:  # between the two renames; the old folder stands beside
            assert way == "two steps"
            (aside,) = folder.parent.glob(".out.old-*")
            assert contents(aside) == OLD
        with pytest.MonkeyPatch.context() as patch:  # even a next run that fails brings the folder back
            patch.setattr(files, "_fill", _no_space)
            with pytest.raises(MachineError, match="full"):
                write_tree(folder, NEW)
        assert contents(folder) in (OLD, NEW)
        assert beside(folder) == []
        write_tree(folder, {"index.html": b"newer"})
        assert contents(folder) == {"index.html": b"newer"}
        assert beside(folder) == []
    else:
        pytest.fail("the run never came to its end")
    assert step > 7


def _no_space(*_arguments: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


FULL_DISK = """
import sys
from pathlib import Path
from proposal.errors import MachineError
from proposal.files import write_file, write_tree
folder = Path(sys.argv[1]) / "out"
write_tree(folder, {"a": b"old"})
write_file(folder.parent / "f", b"old")
for write in (lambda: write_tree(folder, {"a": bytes(10**6)}), lambda: write_file(folder.parent / "f", bytes(10**6))):
    try:
        write()
    except MachineError as error:
        assert "the disk is full" in str(error), error
    else:
        raise SystemExit("nothing failed")
assert (folder / "a").read_bytes() == b"old" and (folder.parent / "f").read_bytes() == b"old"
assert sorted(p.name for p in folder.parent.iterdir()) == ["f", "out"], list(folder.parent.iterdir())
print("kept")
"""


@pytest.mark.skipif(not shutil.which("unshare"), reason="needs a mount of its own")
def test_a_disk_that_is_really_full_keeps_the_last_good_output(tmp_path: Path) -> None:
    mount = f'mount -t tmpfs -o size=300k tmpfs "{tmp_path}" || exit 77; exec "$@" "{tmp_path}"'
    done = subprocess.run(
        ["unshare", "-rm", "sh", "-c", mount, "sh", sys.executable, "-c", FULL_DISK],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    if done.returncode == 77 or "unshare" in done.stderr:
        pytest.skip("this machine allows no mount")
    assert (done.returncode, done.stdout) == (0, "kept\n"), done.stderr


WRITER = """
import sys
from pathlib import Path
from proposal.files import add_lines, write_file, write_tree
me, folder = sys.argv[1], Path(sys.argv[2])
for turn in range(6):
    data = f"{me} {turn}".encode()
    write_tree(folder, {"a": data, "b/c": data, "d": data})
    write_file(folder.parent / "whole", data * 5000)
    add_lines(folder.parent / "ledger", f"{me} {turn}\\nall {turn}\\n")
"""


def test_writers_at_the_same_time_do_not_harm_each_other(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    running = [subprocess.Popen([sys.executable, "-c", WRITER, str(me), str(folder)]) for me in range(4)]
    assert [process.wait(timeout=120) for process in running] == [0, 0, 0, 0]
    assert set(contents(folder)) == {"a", "b/c", "d"}
    assert len(set(contents(folder).values())) == 1
    whole = (tmp_path / "whole").read_bytes()
    assert whole == whole[: len(whole) // 5000] * 5000
    lines = (tmp_path / "ledger").read_text().splitlines()
    assert sorted(lines) == sorted(f"{me} {turn}" for me in (*range(4), "all") for turn in range(6))
    assert beside(folder) == ["ledger", "whole"]


def test_a_writer_waits_only_so_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "LOCK_WAIT_S", 0.1)
    folder = tmp_path / "out"
    write_tree(folder, OLD)
    with files._locked(folder), pytest.raises(MachineError, match="another run is still writing"):
        write_tree(folder, NEW)
    assert contents(folder) == OLD
    write_tree(folder, NEW)
    assert beside(folder) == []


def test_a_file_is_replaced_whole_and_keeps_its_rights(tmp_path: Path) -> None:
    path = tmp_path / "new" / "spec.yaml"
    write_file(path, b"one")
    path.chmod(0o640)
    write_file(path, b"two")
    assert path.read_bytes() == b"two"
    assert path.stat().st_mode & 0o777 == 0o640
    assert beside(path) == []


def test_a_file_that_cannot_be_written_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "spec.yaml"
    write_file(path, b"one")
    monkeypatch.setattr(os, "fsync", _no_space)
    with pytest.raises(MachineError, match="the disk is full"):
        write_file(path, b"two")
    assert path.read_bytes() == b"one"
    assert beside(path) == []


def test_lines_are_added_at_the_end(tmp_path: Path) -> None:
    path = tmp_path / "ledger"
    add_lines(path, "F1 banks.house.fuse\n")
    add_lines(path, "F2 größer\nF3 banks.house.switch\n")
    assert path.read_text(encoding="utf-8") == "F1 banks.house.fuse\nF2 größer\nF3 banks.house.switch\n"
    path.write_bytes(b"without an end")
    add_lines(path, "next")
    assert path.read_bytes() == b"without an end\nnext\n"


def test_a_line_that_is_there_is_not_added_again(tmp_path: Path) -> None:
    path = tmp_path / "ledger"
    add_lines(path, "F1 banks.house.fuse\n")
    before = path.stat()
    add_lines(path, "F1 banks.house.fuse\n")
    add_lines(path, "")
    assert path.stat() == before
    add_lines(path, "F1 banks.house.fuse\nF2 banks.lead.fuse\n")
    assert path.read_bytes() == b"F1 banks.house.fuse\nF2 banks.lead.fuse\n"


def test_nothing_to_add_makes_no_file(tmp_path: Path) -> None:
    add_lines(tmp_path / "ledger", "")
    assert not (tmp_path / "ledger").exists()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a place where nobody may write")
def test_a_place_where_nobody_may_write_is_named() -> None:
    with pytest.raises(MachineError, match=r"cannot write /sys/nowhere/out: .* · "):
        write_tree(Path("/sys/nowhere/out"), NEW)


# --- what may be removed again ---------------------------------------------------------------------------------------


def aged(folder: Path, **sizes: int) -> None:
    """Files of some bytes, the first one used longest ago."""
    for second, (name, size) in enumerate(sizes.items()):
        (folder / name).write_bytes(b"x" * size)
        os.utime(folder / name, (1000 + second, 1000 + second))


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize(
    ("count", "size", "left"),
    [
        (4, 1000, "abcd"), (3, 1000, "bcd"), (1, 1000, "d"), (0, 1000, ""),
        (9, 100, "abcd"), (9, 99, "bcd"), (9, 40, "d"), (9, 39, ""),
    ],
)  # fmt: skip
def test_the_oldest_go_until_number_and_size_fit(tmp_path: Path, count: int, size: int, left: str) -> None:
    aged(tmp_path, a=10, b=20, c=30, d=40)
    remove_oldest(tmp_path, "?", count, size)
    assert names(tmp_path) == list(left)


def test_what_was_used_again_is_young_and_other_names_are_left_alone(tmp_path: Path) -> None:
    aged(tmp_path, a=1, b=1, c=1, other=1)
    mark_used(tmp_path / "a")
    remove_oldest(tmp_path, "?", 1, 10)
    assert names(tmp_path) == ["a", "other"]
    mark_used(tmp_path / "gone")
    remove_oldest(tmp_path / "nowhere", "?", 1, 10)


def test_a_folder_counts_with_all_that_is_in_it(tmp_path: Path) -> None:
    for name in ("1", "2"):
        (tmp_path / name / "deep").mkdir(parents=True)
        (tmp_path / name / "deep" / "file").write_bytes(b"x" * 100_000)
    os.utime(tmp_path / "1", (1000, 1000))
    remove_oldest(tmp_path, "*", 9, 150_000)
    assert names(tmp_path) == ["2"]


def test_a_link_is_removed_and_not_what_it_leads_to(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter").write_text("dear")
    (tmp_path / "cache").mkdir()
    (tmp_path / "cache" / "link").symlink_to(tmp_path / "mine")
    remove_oldest(tmp_path / "cache", "*", 0, 0)
    assert names(tmp_path / "cache") == []
    assert names(tmp_path / "mine") == ["letter"]


def test_whether_a_folder_can_be_written(tmp_path: Path) -> None:
    assert may_write(tmp_path / "new" / "deeper")
    assert names(tmp_path / "new" / "deeper") == []
    (tmp_path / "file").touch()
    assert not may_write(tmp_path / "file" / "deeper")


def test_a_private_folder_is_this_users_alone_and_gone_at_the_end() -> None:
    script = (
        "import os; from proposal.files import private_folder; made = private_folder(); "
        "(made / 'x').write_text('x'); print(made, oct(made.stat().st_mode & 0o777))"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    run = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True)
    made, mode = run.stdout.split()
    assert mode == "0o700"
    assert not Path(made).exists()
    assert private_folder() != private_folder()


def test_a_scratch_folder_holds_exactly_what_it_is_given(tmp_path: Path) -> None:
    fill_scratch(tmp_path, {"a/b/one": b"1", "two": b"2", "same": b"3"})
    kept = (tmp_path / "same").stat().st_mtime_ns
    os.utime(tmp_path / "same", ns=(kept, kept - 10**9))
    fill_scratch(tmp_path, {"c/three": b"3", "same": b"3", "two": b"other"})
    found = {p.relative_to(tmp_path).as_posix(): p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    assert found == {"c/three": b"3", "same": b"3", "two": b"other"}
    assert (tmp_path / "same").stat().st_mtime_ns == kept - 10**9
    assert not (tmp_path / "a").exists()


@pytest.mark.parametrize("name", ["../x", "a/../../x", "/x", "a//x", "", ".", "a\0x"])
def test_a_scratch_folder_is_not_left(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="is not a path inside the folder"):
        fill_scratch(tmp_path / "here", {"good": b"", name: b"evil"})
    assert list(tmp_path.iterdir()) == []
