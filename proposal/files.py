"""The only code that writes: folders and files, moved into place when complete, so that a failure loses nothing."""

from __future__ import annotations

import atexit
import contextlib
import ctypes
import errno
import glob
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import IO

from proposal.errors import MachineError, UsageError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

MARKER = ".proposal-output"
_MARKER_TEXT = b"This folder is replaced as a whole by each build. Keep nothing of your own here.\n"
_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
LOCK_WAIT_S = 60.0
STALE_S = 86_400.0


def write_tree(folder: Path, files: Mapping[str, bytes]) -> None:
    """Replace ``folder`` by exactly ``files`` (relative path with / to content).

    Everything is written beside the folder first and moved into place at the end: until then, and after any failure,
    the last good folder stays. A folder that is not empty and was not written by this function is never replaced.
    Raises MachineError when the machine cannot do it, ValueError for a path that leaves the folder.
    """
    contents = {_checked(name): data for name, data in files.items()}
    _no_file_is_a_folder(contents)
    contents[PurePosixPath(MARKER)] = _MARKER_TEXT
    target = Path(os.path.realpath(folder))
    with _told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _locked(target):
            _clean_up(target)
            _refuse_a_stranger(target)
            fresh = _aside(target, "new")
            try:
                _fill(fresh, contents)
                _swap(fresh, target)
            finally:
                shutil.rmtree(fresh, ignore_errors=True)


def write_file(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` whole or not at all; a link is followed, rights of an old file stay.

    Raises MachineError.
    """
    target = Path(os.path.realpath(path))
    with _told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _locked(target):
            _clean_up(target)
            _replace(target, data)


def write_new_file(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` whole or not at all, where nothing of that name is there yet.

    Raises UsageError where something is, MachineError.
    """
    target = Path(os.path.abspath(path))
    with _told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _locked(target):
            _clean_up(target)
            if os.path.lexists(target):
                raise UsageError(f"{target} is there already; nothing was changed")
            fresh = _aside(target, "new")
            try:
                _put(fresh, data)
                fresh.replace(target)
                _sync_folder(target.parent)
            finally:
                fresh.unlink(missing_ok=True)


def place_tree(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put exactly ``files`` as a new folder, whole or not at all; what stands there already is never replaced.

    Raises as `write_tree` does, and MachineError where something has that name.
    """
    contents = {_checked(name): data for name, data in files.items()}
    _no_file_is_a_folder(contents)
    target = Path(os.path.realpath(folder))
    with _told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _locked(target):
            _clean_up(target)
            if os.path.lexists(target):
                raise MachineError(f"{target} is there already; nothing was changed", "move it away, then try again")
            fresh = _aside(target, "new")
            try:
                _fill(fresh, contents)
                fresh.rename(target)
                _sync_folder(target.parent)
            finally:
                shutil.rmtree(fresh, ignore_errors=True)


def clear_leftovers(path: Path) -> None:
    """Remove what a killed run left beside ``path``. Raises MachineError."""
    target = Path(os.path.realpath(path))
    with _told(target):
        if target.parent.is_dir():
            with _locked(target):
                _clean_up(target)


def put_new(path: Path, source: IO[bytes], most_bytes: int) -> None:
    """Write what ``source`` gives to a file that is not there yet. Raises ValueError beyond ``most_bytes``, OSError."""
    with path.open("xb") as stream:
        written = 0
        while block := source.read(1 << 20):
            written += len(block)
            if written > most_bytes:
                raise ValueError(f"{path.name} is longer than it said")
            stream.write(block)


def remove_file(path: Path) -> None:
    """Remove a file, if it is there. Raises MachineError."""
    with _told(path):
        path.unlink(missing_ok=True)
        _sync_folder(path.parent)


@contextlib.contextmanager
def alone(path: Path, wait_s: float) -> Iterator[None]:
    """Let one process at a time work on something for which ``path`` stands. Raises MachineError after ``wait_s``."""
    target = Path(os.path.realpath(path))
    with contextlib.ExitStack() as held:
        with _told(target):
            target.parent.mkdir(parents=True, exist_ok=True)
            held.enter_context(_locked(target, wait_s))
        yield


def mark_used(path: Path) -> None:
    """Set the time of a file to now, by which `remove_oldest` knows what was used last. Silent where that cannot be."""
    with contextlib.suppress(OSError):
        os.utime(path)


def remove_oldest(folder: Path, pattern: str, most_count: int, most_bytes: int) -> None:
    """Remove what matches ``pattern`` and was used longest ago, until that many and that much of it are left.

    What a killed run left beside such files goes after a day. Silent where a file cannot be removed or is gone already:
    another process may be about the same.
    """
    found = []
    with contextlib.suppress(OSError):
        for path in folder.glob(pattern):
            with contextlib.suppress(OSError):
                size = sum(p.stat().st_size for p in path.rglob("*")) if path.is_dir() else path.stat().st_size
                found.append((path.stat().st_mtime, str(path), size, path))
    left_bytes = most_bytes
    for number, (_, _, size, path) in enumerate(sorted(found, reverse=True)):
        left_bytes -= size
        if number >= most_count or left_bytes < 0:
            with contextlib.suppress(OSError):
                _remove(path)
    with contextlib.suppress(OSError):
        for state in ("new-*", "lock"):
            for left in folder.glob(f".{pattern}.{state}"):
                with contextlib.suppress(OSError):
                    if time.time() - left.stat().st_mtime > STALE_S:
                        _remove(left)


def may_write(folder: Path) -> bool:
    """Make a folder if need be, and tell whether files can be written there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def private_folder() -> Path:
    """A new folder that only this user can use, for this run: it is removed when the program ends. Raises OSError."""
    folder = Path(tempfile.mkdtemp(prefix="proposal-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def fill_scratch(home: Path, files: Mapping[str, bytes]) -> None:
    """Make a folder of this run's own hold exactly ``files``, relative path with / to content; nothing is synced.

    A file whose bytes are there already is left as it is. Raises ValueError for a path that leads out of it, OSError.
    """
    for name in files:
        if {"", ".", ".."} & set(name.split("/")) or "\0" in name:
            raise ValueError(f"{name!r} is not a path inside the folder")
    for path in sorted(home.rglob("*"), reverse=True):
        if path.is_dir():
            with contextlib.suppress(OSError):
                path.rmdir()
        elif path.relative_to(home).as_posix() not in files:
            path.unlink()
    for name, data in files.items():
        path = home / name
        if not path.is_file() or path.read_bytes() != data:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)


def add_lines(path: Path, lines: str) -> None:
    """Add to the end of ``path``, which need not exist yet, those of ``lines`` that it does not have.

    It is replaced as a whole, so a line is there or not, and two runs that add the same leave it once. Raises
    MachineError.
    """
    target = Path(os.path.realpath(path))
    with _told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _locked(target):
            _clean_up(target)
            before = target.read_bytes() if target.exists() else b""
            known = set(before.split(b"\n")) | {b""}
            new = [line for line in lines.encode().split(b"\n") if line not in known]
            if new:
                between = b"\n" if before and not before.endswith(b"\n") else b""
                _replace(target, before + between + b"".join(line + b"\n" for line in new))


def _replace(target: Path, data: bytes) -> None:
    """Put ``data`` in the place of a file, whose rights stay; within its lock."""
    fresh = _aside(target, "new")
    try:
        _put(fresh, data)
        if target.exists():
            shutil.copymode(target, fresh)
        fresh.replace(target)
        _sync_folder(target.parent)
    finally:
        fresh.unlink(missing_ok=True)


def _aside(target: Path, state: str) -> Path:
    return target.with_name(f".{target.name}.{state}-{os.getpid()}")


def _checked(name: str) -> PurePosixPath:
    path = PurePosixPath(name)
    bad = {"", ".", ".."} & set(name.split("/"))
    if bad or path.is_absolute() or any(character in name for character in '\\\0:*?"<>|') or name == MARKER:
        raise ValueError(f"{name!r} is not a path inside the folder")
    return path


def _no_file_is_a_folder(contents: Mapping[PurePosixPath, bytes]) -> None:
    folders = {parent for path in contents for parent in path.parents}
    for path in contents:
        if path in folders:
            raise ValueError(f"{path} is both a file and a folder")


def _refuse_a_stranger(target: Path) -> None:
    if not target.exists() or (target / MARKER).is_file():
        return
    if not target.is_dir():
        raise MachineError(f"{target} is a file, not a folder", "give another --out folder")
    if any(target.iterdir()):
        raise MachineError(
            f"{target} holds files that this tool did not write; nothing was changed",
            "give an empty or a new --out folder, or move those files away",
        )


def _fill(fresh: Path, contents: Mapping[PurePosixPath, bytes]) -> None:
    fresh.mkdir()
    folders = sorted({parent for path in contents for parent in path.parents if parent.parts})
    for parent in folders:
        (fresh / parent).mkdir()
    for path, data in sorted(contents.items()):
        _put(fresh / path, data)
    for parent in folders:
        _sync_folder(fresh / parent)
    _sync_folder(fresh)


def _put(path: Path, data: bytes) -> None:
    with path.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _sync_folder(folder: Path) -> None:
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _swap(fresh: Path, target: Path) -> None:
    """Put ``fresh`` in the place of ``target``; what stood there ends up at ``fresh`` and is removed by the caller."""
    if not target.exists():
        fresh.rename(target)
    elif not _exchange(fresh, target):
        old = _aside(target, "old")
        target.rename(old)
        try:
            fresh.rename(target)
        except OSError:
            old.rename(target)
            raise
        shutil.rmtree(old, ignore_errors=True)
    _sync_folder(target.parent)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two names in one step where the kernel and the file system can (Linux renameat2)."""
    if not sys.platform.startswith("linux"):
        return False
    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    if rename(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP):
        return False
    raise OSError(number, os.strerror(number), str(other))


def _clean_up(target: Path) -> None:
    """Remove what a killed run left beside ``target``; bring back a folder it had moved aside."""
    name = glob.escape(target.name)
    for old in sorted(target.parent.glob(f".{name}.old-*")):
        if not target.exists():
            old.rename(target)
        _remove(old)
    for fresh in target.parent.glob(f".{name}.new-*"):
        _remove(fresh)


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
    else:
        path.unlink(missing_ok=True)


@contextlib.contextmanager
def _locked(target: Path, wait_s: float | None = None) -> Iterator[None]:
    """Let one process at a time work on ``target``; the lock file is gone afterwards."""
    lock = target.with_name(f".{target.name}.lock")
    end = time.monotonic() + (LOCK_WAIT_S if wait_s is None else wait_s)
    while True:
        handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
        try:
            _lock_now(handle)
            if os.fstat(handle).st_ino == os.stat(lock).st_ino:
                break
        except FileNotFoundError:
            pass
        except OSError as error:
            if error.errno not in (errno.EAGAIN, errno.EACCES, errno.EDEADLK):
                os.close(handle)
                raise
        os.close(handle)
        if time.monotonic() > end:
            raise MachineError(f"another run is still writing {target}", "wait until it is done, then try again")
        time.sleep(0.02)
    try:
        yield
    finally:
        # removed while still held: whoever waits sees a changed file and opens anew
        with contextlib.suppress(OSError):
            lock.unlink()
        os.close(handle)


def _lock_now(handle: int) -> None:
    if sys.platform == "win32":
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextlib.contextmanager
def _told(target: Path) -> Iterator[None]:
    """Turn what the machine refuses into a MachineError with advice."""
    try:
        yield
    except OSError as error:
        advice = {
            errno.ENOSPC: "the disk is full: free some space, then try again",
            errno.EDQUOT: "your share of the disk is used up: free some space, then try again",
            errno.EACCES: "you may not write there: choose another folder or change its rights",
            errno.EPERM: "you may not write there: choose another folder or change its rights",
            errno.EROFS: "that disk can only be read: choose another folder",
            errno.ENAMETOOLONG: "the name is too long: choose a shorter folder",
            errno.EBUSY: "it is in use, perhaps as the root of a mounted disk: choose a folder inside it",
            errno.EEXIST: "a file stands where a folder should be: choose another folder",
            errno.ENOTDIR: "a file stands where a folder should be: choose another folder",
        }.get(error.errno or 0, "check the disk and the folder, then try again")
        raise MachineError(f"cannot write {target}: {error.strerror or error}", advice) from error
