"""Archives and their ledger on a disk that fills up, in runs that are killed, and beside each other."""

import contextlib
import multiprocessing
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from proposal import files as files_module
from proposal.archive import bag, place
from proposal.archive.examine import examine
from proposal.archive.place import add_line, recover, sealed_before, sealing
from proposal.errors import MachineError, SpecError, UsageError
from proposal.files import MARKER, write_tree
from proposal.spec.recorded import load_record
from proposal.spec.seals import SealLine, load_seals
from tests.archive.small import record_in, small_facts, small_files, tree


def seal(project: Path, out: Path, *, zipped: bool = False, **more: object) -> Path:
    """What the command does, with stand-in files."""
    with sealing(project):
        record = load_record(project)
        recover(project, out, record, load_seals(project))
        seals = load_seals(project)
        facts, files = small_facts(record, seals, **more), small_files(record, seals, **more)
        return place.place(project, out, files, facts, zipped=zipped)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    record_in(tmp_path / "wren" if (tmp_path / "wren").mkdir() is None else tmp_path)
    return tmp_path / "wren"


@pytest.mark.parametrize("zipped", [False, True])
def test_an_archive_and_its_line_are_there(project: Path, tmp_path: Path, zipped: bool) -> None:
    out = tmp_path / "out"
    for number in (1, 2):
        target = seal(project, out, zipped=zipped)
        assert target.name == f"wren-ours-wr-1-seal-{number}" + (".zip" if zipped else "")
    lines = load_seals(project)
    assert [line.number for line in lines] == [1, 2]
    for line in lines:
        found = sealed_before(out, line, zipped=zipped)
        assert found is not None
        assert found.intact
        assert found.tag_sum == line.sha256
    assert found.facts is not None
    assert found.facts.previous == lines[0].sha256
    beside = {"wren-ours-wr-1-seal-1", "wren-ours-wr-1-seal-2"}
    assert {p.name for p in out.iterdir()} == (
        {f"{name}.zip{end}" for name in beside for end in ("", ".sha256")} if zipped else beside
    )
    assert sorted(p.name for p in (project / "record").iterdir()) == ["01-entry.yaml", "seals.txt"]


@pytest.mark.parametrize("zipped", [False, True])
def test_what_stands_in_its_place_is_never_replaced(project: Path, tmp_path: Path, zipped: bool) -> None:
    target = tmp_path / "out" / ("wren-ours-wr-1-seal-1" + (".zip" if zipped else ""))
    target.mkdir(parents=True)
    (target / "mine").write_text("precious")
    with pytest.raises((MachineError, UsageError), match="is there already; nothing was changed"):
        seal(project, tmp_path / "out", zipped=zipped)
    assert tree(target) == {"mine": b"precious"}
    assert sorted(p.name for p in (project / "record").iterdir()) == ["01-entry.yaml"]


def test_a_line_that_is_torn_is_not_joined_to_the_next(project: Path) -> None:
    record = load_record(project)
    path = project / "record" / "seals.txt"
    path.write_text("# ours")
    add_line(project, small_facts(record).line("a" * 64))
    assert path.read_text().startswith("# ours\n1 2026-12-04 aaaa")
    assert path.read_text().endswith("\n")


# --- a run that was cut short -----------------------------------------------------------------------------------------


def cut_short(monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    def end(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(place, step, end)


@pytest.mark.parametrize("elsewhere", [False, True])
def test_an_archive_without_its_line_gets_it_from_the_next_run(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, elsewhere: bool
) -> None:
    """Also where the next run writes to another folder: the note in the record tells."""
    with monkeypatch.context() as patch:
        cut_short(patch, "add_line")
        with pytest.raises(KeyboardInterrupt):
            seal(project, tmp_path / "out")
    assert load_seals(project) == ()
    record_in(project, 2)
    second = seal(project, tmp_path / ("other" if elsewhere else "out"))
    assert [line.number for line in load_seals(project)] == [1, 2]
    assert second.name.endswith("seal-2")
    assert sorted(p.name for p in (project / "record").iterdir()) == ["01-entry.yaml", "02-entry.yaml", "seals.txt"]


def test_an_archive_whose_line_was_lost_with_the_note_is_known_again(project: Path, tmp_path: Path) -> None:
    seal(project, tmp_path / "out")
    kept = (project / "record" / "seals.txt").read_bytes()
    (project / "record" / "seals.txt").unlink()
    line = recover(project, tmp_path / "out", load_record(project), ())
    assert line is not None
    assert f"{line}\n".encode() == kept == (project / "record" / "seals.txt").read_bytes()


def test_only_an_intact_archive_of_this_record_is_taken(project: Path, tmp_path: Path) -> None:
    target = seal(project, tmp_path / "out")
    (project / "record" / "seals.txt").unlink()
    shutil.copytree(target, tmp_path / "kept")
    (target / "data/record.pdf").write_bytes(b"other")
    assert recover(project, tmp_path / "out", load_record(project), ()) is None
    (tmp_path / "other").mkdir()
    other = record_in(tmp_path / "other").entries[0].document.path
    other.write_text(other.read_text(encoding="utf-8").replace("B Fitter", "C Fitter"), encoding="utf-8")
    shutil.rmtree(target)
    (tmp_path / "kept").rename(target)
    assert recover(tmp_path / "other", tmp_path / "out", load_record(tmp_path / "other"), ()) is None
    assert recover(project, tmp_path / "out", load_record(project), ()) is not None


@pytest.mark.parametrize("note", [b"", b"\xff", b"/nowhere/at/all/x\n", b"relative\n", b"x" * 20_000])
def test_a_note_that_leads_nowhere_is_passed_over(project: Path, tmp_path: Path, note: bytes) -> None:
    (project / "record" / place.NOTE).write_bytes(note)
    seal(project, tmp_path / "out")
    assert sorted(p.name for p in (project / "record").iterdir()) == ["01-entry.yaml", "seals.txt"]


@pytest.mark.parametrize("name", ["precious.zip", "x-seal-2.zip", "../seal/x-seal-1.zip", "x-seal-1"])
def test_a_note_from_anywhere_removes_nothing_of_others(project: Path, tmp_path: Path, name: str) -> None:
    """A project that somebody sends may hold a note: it must not make this tool clear up elsewhere."""
    (tmp_path / "seal").mkdir()
    target = tmp_path / "seal" / name
    kept = {f"{target.name}.sha256": b"a" * 64 + b"  " + target.name.encode() + b"\n"}
    if not name.startswith(("x-seal-1", "..")):
        kept |= {f".{target.name}.new-1": b"mine", f".{target.name}.old-1": b"mine"}
    for file, data in kept.items():
        (tmp_path / "seal" / file).write_bytes(data)
    (project / "record" / place.NOTE).write_text(f"{target}\n")
    seal(project, tmp_path / "out")
    assert tree(tmp_path / "seal") == kept


def test_a_sum_beside_no_zip_goes_only_where_it_is_one(project: Path, tmp_path: Path) -> None:
    target = tmp_path / "x-seal-1.zip"
    beside = tmp_path / "x-seal-1.zip.sha256"
    for data, stays in ((b"my own notes", True), (b"a" * 64 + b"  x-seal-1.zip\n", False)):
        beside.write_bytes(data)
        (project / "record" / place.NOTE).write_text(f"{target}\n")
        with sealing(project):
            recover(project, tmp_path / "out", load_record(project), ())
        assert beside.exists() == stays


def test_nothing_is_written_through_a_link(project: Path, tmp_path: Path) -> None:
    for name in (place.NOTE, "seals.txt"):
        (project / "record" / name).unlink(missing_ok=True)
        (project / "record" / name).symlink_to(tmp_path / "elsewhere")
        with contextlib.suppress(SpecError):
            seal(project, tmp_path / "out")
        assert not (tmp_path / "elsewhere").exists()
    with pytest.raises(SpecError, match="is no file of its own"):
        load_seals(project)
    (project / "record" / ".seal.lock").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(MachineError, match="cannot write"):
        seal(project, tmp_path / "out")
    assert not (tmp_path / "elsewhere").exists()


# --- killed at random -------------------------------------------------------------------------------------------------


def killed(work: Callable[[], None], after_s: float) -> None:
    """Do something in a child process and kill it after a while."""
    child = os.fork()
    if child == 0:  # pragma: no cover - ends by the kill
        with contextlib.suppress(BaseException):
            while True:
                work()
        os._exit(1)
    time.sleep(after_s)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the work ended by itself"


def nothing_is_lost(project: Path, out: Path, entry: bytes, known: Sequence[SealLine]) -> bool:
    """After a kill: entry and lines are there, and with the next run's recovery an archive for each line.

    Returns whether the kill had fallen between an archive and its line.
    """
    assert (project / "record" / "01-entry.yaml").read_bytes() == entry
    ledger = project / "record" / "seals.txt"
    before = "".join(f"{line}\n" for line in known)
    now = ledger.read_text() if ledger.exists() else ""
    assert now.startswith(before), "a line of the ledger was lost"
    with sealing(project):
        found = recover(project, out, load_record(project), load_seals(project))
    lines = load_seals(project)
    whole = {p.name.removesuffix(".zip") for p in out.glob("[!.]*") if p.suffix != ".sha256"} if out.exists() else set()
    assert whole == {line.name for line in lines}, "an archive without a line, or a line without one"
    for line in lines[-3:]:
        checked = [sealed_before(out, line, zipped=z) for z in (False, True)]
        assert [c.faults for c in checked if c is not None] == [()]
    shown = sorted(p.name for p in (project / "record").iterdir())
    assert shown in (["01-entry.yaml", "seals.txt"], ["01-entry.yaml"]), shown
    return found is not None


STEPS = {"open", "write", "flush", "fsync", "close", "mkdir", "rename", "replace", "unlink", "rmdir"}


def killed_at(work: Callable[[], object], step: int) -> bool:
    """Do something in a child process that kills itself after so many calls of the file system; False: it needed less.

    Moments at chance hardly ever fall between two writes of one line; these do.
    """
    child = os.fork()
    if child == 0:  # pragma: no cover - ends by the kill
        count = 0

        def watch(_frame: object, event: str, made: object) -> None:
            nonlocal count
            if event == "c_return" and getattr(made, "__name__", "") in STEPS:
                count += 1
                if count == step:
                    os.kill(os.getpid(), signal.SIGKILL)

        code = 1
        with contextlib.suppress(BaseException):
            sys.setprofile(watch)
            work()
            code = 0
        sys.setprofile(None)
        os._exit(code)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, "the work failed"
    return os.WIFSIGNALED(status)


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("zipped", [False, True])
@pytest.mark.parametrize("stride", [7, pytest.param(1, marks=pytest.mark.slow)])
def test_sealing_that_is_killed_after_any_step_loses_nothing(
    project: Path, tmp_path: Path, zipped: bool, stride: int
) -> None:
    out = tmp_path / "out"
    seal(project, out, zipped=zipped)
    entry = (project / "record" / "01-entry.yaml").read_bytes()
    step, between, lines = 1, 0, load_seals(project)
    while killed_at(lambda: seal(project, out, zipped=zipped), step):
        between += nothing_is_lost(project, out, entry, lines)
        lines = load_seals(project)
        step += stride
    assert step > 30
    assert between > 0, "no kill fell between the archive and its line"
    assert [p.name for p in out.iterdir() if p.name.startswith(".")] == []


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("times", [20, pytest.param(200, marks=pytest.mark.slow)])
def test_sealing_that_is_killed_at_any_moment_loses_nothing(project: Path, tmp_path: Path, times: int) -> None:
    chance = random.Random(times)  # noqa: S311 - moments, no secrets
    out = tmp_path / "out"
    begun = time.monotonic()
    seal(project, out)
    longest_s = 1.3 * (time.monotonic() - begun)
    entry = (project / "record" / "01-entry.yaml").read_bytes()
    between = 0
    lines = load_seals(project)
    for turn in range(times):
        zipped = turn % 2 == 1
        killed(lambda: seal(project, out, zipped=zipped), chance.uniform(0.0, longest_s))  # noqa: B023 - done with at once
        before = len(lines)
        between += nothing_is_lost(project, out, entry, lines)
        lines = load_seals(project)
        # on a busy machine one seal takes far longer than another: the moments follow what the last one came to
        longest_s *= 0.9 if len(lines) > before else 1.15
    last = seal(project, out)
    assert examine(last).intact
    assert [p.name for p in out.iterdir() if p.name.startswith(".")] == []
    assert len(load_seals(project)) > 2
    if times > 100:
        assert between > 0, "no kill fell between the archive and its line"


OLD = {f"{n}": b"old" * 100 for n in range(8)}
NEW = {f"{n}": b"new" * 300 for n in range(5)} | {"deep/er": b"new"}


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("way", ["exchange", "two steps"])
@pytest.mark.parametrize("stride", [3, pytest.param(1, marks=pytest.mark.slow)])
def test_a_build_that_is_killed_after_any_step_leaves_old_or_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: str, stride: int
) -> None:
    if way == "two steps":
        monkeypatch.setattr(files_module, "_exchange", lambda _one, _other: False)
    folder = tmp_path / "output"
    seen = []
    step = 1
    write_tree(folder, OLD)
    while killed_at(lambda: write_tree(folder, NEW), step):
        there = folder if folder.exists() else next(tmp_path.glob(".output.old-*"))
        assert way == "two steps" or there == folder
        found = tree(there)
        assert found.pop(MARKER)
        seen.append(["old", "new"][[OLD, NEW].index(found)])
        write_tree(folder, OLD)
        assert [p.name for p in tmp_path.iterdir()] == ["output"]
        step += stride
    assert set(seen) == {"old", "new"}


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("way", ["exchange", "two steps"])
@pytest.mark.parametrize("times", [10, pytest.param(200, marks=pytest.mark.slow)])
def test_a_build_that_is_killed_at_any_moment_leaves_old_or_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: str, times: int
) -> None:
    if way == "two steps":
        monkeypatch.setattr(files_module, "_exchange", lambda _one, _other: False)
    chance = random.Random(times)  # noqa: S311 - moments, no secrets
    folder = tmp_path / "output"
    write_tree(folder, OLD)

    def build() -> None:
        write_tree(folder, NEW)
        write_tree(folder, OLD)

    for _ in range(times):
        killed(build, chance.uniform(0.0, 0.03))
        there = folder if folder.exists() else next(tmp_path.glob(".output.old-*"))
        assert way == "two steps" or there == folder
        found = tree(there)
        assert found.pop(MARKER)
        assert found in (OLD, NEW)
    write_tree(folder, NEW)
    assert [p.name for p in tmp_path.iterdir()] == ["output"]


# --- at the same time, and on a full disk -----------------------------------------------------------------------------


def _seal_some(project: str, out: str) -> None:
    for _ in range(3):
        seal(Path(project), Path(out))


@pytest.mark.skipif(sys.platform == "win32", reason="cannot fork there")
def test_two_that_seal_at_once_make_one_chain(project: Path, tmp_path: Path) -> None:
    context = multiprocessing.get_context("fork")
    running = [context.Process(target=_seal_some, args=(str(project), str(tmp_path / "out"))) for _ in range(2)]
    for process in running:
        process.start()
    for process in running:
        process.join(120)
    assert [process.exitcode for process in running] == [0, 0]
    lines = load_seals(project)
    assert [line.number for line in lines] == list(range(1, 7))
    for before, line in zip((None, *lines), lines, strict=False):
        found = sealed_before(tmp_path / "out", line, zipped=False)
        assert found is not None
        assert found.intact
        assert found.facts is not None
        assert found.facts.previous == (before.sha256 if before is not None else None)


def test_one_that_waits_too_long_says_so(project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(place, "WAIT_S", 0.1)
    with sealing(project), pytest.raises(MachineError, match="another run is still"):
        seal(project, tmp_path / "out")
    assert load_seals(project) == ()


@pytest.mark.parametrize("zipped", [True, pytest.param(False, marks=pytest.mark.slow)])
def test_a_failure_at_any_step_leaves_the_record_as_it_was(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, zipped: bool
) -> None:
    seal(project, tmp_path / "out", zipped=zipped)
    before = tree(tmp_path)
    real, calls = os.fsync, [0, 0]

    def failing(handle: int) -> None:
        calls[0] += 1
        if calls[0] == calls[1]:
            raise OSError(28, "No space left on device")
        real(handle)

    ends = []
    for step in range(1, 100):
        shutil.copytree(tmp_path, home := tmp_path.with_name(f"{tmp_path.name}-{step}"))
        monkeypatch.setattr(os, "fsync", failing)
        calls[:] = [0, step]
        try:
            seal(home / "wren", home / "out", zipped=zipped)
        except MachineError as error:
            ends.append(str(error))
        else:
            break
        monkeypatch.setattr(os, "fsync", real)
        with sealing(home / "wren"):
            recover(home / "wren", home / "out", load_record(home / "wren"), load_seals(home / "wren"))
        now = tree(home)
        if now != before:  # the archive was in its place already, and now has its line
            assert [line.number for line in load_seals(home / "wren")] == [1, 2]
            assert set(before) < set(now)
        seal(home / "wren", home / "out", zipped=zipped)
    assert len(ends) > 5
    assert all("the disk is full: free some space" in end for end in ends)


FULL = """
import sys
from pathlib import Path
home = Path(sys.argv[1])
from tests.archive.small import record_in
from tests.archive.test_place import seal
from proposal.errors import MachineError
import tests.archive.small as small
(home / "wren").mkdir()
record_in(home / "wren")
seal(home / "wren", home / "out")
before = sorted(str(p) for p in home.rglob("*"))
small.PAGES = {**small.PAGES, "site/large.svg": b"<svg>" + bytes(2_000_000)}
for zipped in (False, True):
    import os
    small.PAGES["site/large.svg"] = os.urandom(2_000_000)
    try:
        seal(home / "wren", home / "out", zipped=zipped)
    except MachineError as error:
        assert "the disk is full" in str(error) and error.exit_code == 4, error
    else:
        raise SystemExit("nothing failed")
    after = [str(p) for p in home.rglob("*")]
    assert sorted(after) == before, after
small.PAGES = {}
seal(home / "wren", home / "out")
print("kept")
"""


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("unshare"), reason="needs a mount of its own")
def test_a_disk_that_is_really_full_keeps_what_was_sealed(tmp_path: Path) -> None:
    mount = f'mount -t tmpfs -o size=900k tmpfs "{tmp_path}" || exit 77; exec "$@" "{tmp_path}"'
    done = subprocess.run(
        ["unshare", "-rm", "sh", "-c", mount, "sh", sys.executable, "-c", FULL],
        capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2],
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(Path(__file__).parents[2])},
    )  # fmt: skip
    if done.returncode == 77 or "unshare" in done.stderr:
        pytest.skip("this machine allows no mount")
    assert (done.returncode, done.stdout) == (0, "kept\n"), done.stderr


def test_the_sum_of_a_line_is_that_of_the_tag_manifest(project: Path, tmp_path: Path) -> None:
    target = seal(project, tmp_path / "out")
    (line,) = load_seals(project)
    assert line.sha256 == bag.sum_of((target / bag.TAG_MANIFEST).read_bytes())
