"""Zips: read by common tools as well, and refused before anything is written where one plays a trick."""

import io
import stat
import struct
import subprocess
import sys
import warnings
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from proposal.archive import zipped
from proposal.archive.zipped import ZipProblem, peek, sum_line, unpack, zip_bytes
from tests.archive.small import record_in, small_files, tree

FILES = {
    "bagit.txt": b"one\n",
    "data/a/b.txt": b"two\n" * 500,
    "data/größe.txt": b"",
    "data/photo.jpg": bytes(range(256)),
}


def unpacked(home: Path, data: bytes) -> Path:
    (home / "in").mkdir()
    (home / "it.zip").write_bytes(data)
    return unpack(home / "it.zip", home / "in")


def crafted(*entries: tuple[zipfile.ZipInfo | str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of names that come twice
        for entry, data in entries:
            archive.writestr(entry, data)
    return made.getvalue()


def entry(name: str, mode: int = stat.S_IFREG | 0o644, **more: object) -> zipfile.ZipInfo:
    made = zipfile.ZipInfo("x")
    made.filename = name
    made.external_attr = mode << 16
    for key, value in more.items():
        setattr(made, key, value)
    return made


def test_it_comes_out_as_it_went_in(tmp_path: Path) -> None:
    root = unpacked(tmp_path, zip_bytes("wren", FILES))
    assert root == tmp_path / "in" / "wren"
    assert tree(root) == FILES


def test_equal_files_give_equal_bytes_without_a_clock() -> None:
    assert zip_bytes("wren", FILES) == zip_bytes("wren", dict(reversed(FILES.items())))
    with zipfile.ZipFile(io.BytesIO(zip_bytes("wren", FILES))) as archive:
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert archive.testzip() is None


def test_a_common_tool_takes_the_sum_beside_it(tmp_path: Path) -> None:
    data = zip_bytes("wren", FILES)
    (tmp_path / "wren.zip").write_bytes(data)
    (tmp_path / "wren.zip.sha256").write_bytes(sum_line("wren.zip", data))
    subprocess.run(["sha256sum", "-c", "--strict", "wren.zip.sha256"], cwd=tmp_path, check=True, capture_output=True)
    subprocess.run([sys.executable, "-m", "zipfile", "-t", "wren.zip"], cwd=tmp_path, check=True, capture_output=True)


TRICKS: dict[str, tuple[Callable[[], bytes], str]] = {
    "up": (lambda: crafted(("w/a", b""), ("w/../../up", b"x")), "leads elsewhere"),
    "up at once": (lambda: crafted(("../up", b"x")), "leads elsewhere"),
    "absolute": (lambda: crafted((entry("/etc/up"), b"x")), "leads elsewhere"),
    "drive": (lambda: crafted((entry("C:/up"), b"x")), "leads elsewhere"),
    "backslash": (lambda: crafted((entry("w\\..\\..\\up"), b"x")), "characters"),
    "nul": (lambda: crafted(("w/aZ.txt", b"x")).replace(b"aZ.t", b"a\0.t"), "leads elsewhere|characters"),
    "link": (lambda: crafted((entry("w/up", stat.S_IFLNK | 0o777), b"/etc/passwd")), "no plain file"),
    "pipe": (lambda: crafted((entry("w/up", stat.S_IFIFO | 0o644), b"")), "no plain file"),
    "device": (lambda: crafted((entry("w/up", stat.S_IFCHR | 0o644), b"")), "no plain file"),
    "folder": (lambda: crafted((entry("w/"), b"")), "leads elsewhere"),
    "twice": (lambda: crafted(("w/a", b"1"), (entry("w/a"), b"2")), "twice"),
    "twice, but for case": (lambda: crafted(("w/a", b"1"), ("w/A", b"2")), "twice"),
    "two tops": (lambda: crafted(("w/a", b"1"), ("v/a", b"2")), "outside its folder"),
    "no top": (lambda: crafted(("a", b"1")), "outside its folder"),
    "encrypted": (lambda: _flagged(crafted(("w/a", b"1")), 0x1), "encrypted"),
    "odd packing": (lambda: crafted((entry("w/a", compress_type=zipfile.ZIP_BZIP2), b"1")), "unusual way"),
    "extra": (lambda: crafted((entry("w/a", extra=b"\x99\x99\xa0\x0f" + bytes(4000)), b"1")), "more about it"),
    "remark on one": (lambda: crafted((entry("w/a", comment=b"x" * 9000), b"1")), "more about it"),
    "nothing": (crafted, "has 0 entries"),
    "before it": (lambda: b"#!/bin/sh\n" + zip_bytes("w", FILES), "does not fit the file"),
    "after it": (lambda: zip_bytes("w", FILES) + b"x", "does not end as"),
    "a remark at its end": (lambda: zip_bytes("w", FILES)[:-2] + b"\5\0hello", "does not end as"),
    "cut short": (lambda: zip_bytes("w", FILES)[:-200], "does not end as"),
    "no zip": (lambda: b"nothing like it" * 10, "does not end as"),
    "too short": (lambda: b"PK", "is no zip"),
    "many": (lambda: _counted(zip_bytes("w", FILES), 0xFFFF), "does not fit|entries"),
    "a file that is a folder": (lambda: crafted(("w/a/b", b"1"), ("w/A", b"2")), "as a file and as a folder"),
    "none of those it counts": (lambda: _ended(b"", 1, 0, 0), "another number"),
    "fewer than there are": (lambda: _counted(zip_bytes("w", FILES), 2), "another number"),
    "more than there are": (lambda: _counted(zip_bytes("w", FILES), 200), "another number"),
    "a second directory": (lambda: _with_second(zip_bytes("w", FILES)), "second directory"),
    "hidden in front": (lambda: _in_front(b"#!/bin/sh\n"), "in another way"),
    "hidden behind": (lambda: _before_directory(zip_bytes("w", FILES), b"hidden"), "belong to none"),
    "a head that says encrypted": (lambda: _flagged(zip_bytes("w", FILES), 0x1, only=b"PK\3\4"), "in another way"),
    "a bomb": (lambda: zip_bytes("w", {"a": bytes(30_000_000)}), "would swell to 30000000"),
}  # fmt: skip


def _ended(data: bytes, count: int, length: int, offset: int) -> bytes:
    return data + struct.pack("<4sHHHHIIH", b"PK\5\6", 0, 0, count, count, length, offset, 0)


def _directory(data: bytes) -> tuple[int, int, int]:
    """How many entries it has, its length, and where it begins."""
    return struct.unpack("<HII", data[-12:-2])


def _with_second(data: bytes) -> bytes:
    """With the records of large zips, of which most readers believe what they say."""
    count, length, offset = _directory(data)
    made = struct.pack("<4sQHHLLQQQQ", b"PK\6\6", 44, 45, 45, 0, 0, count, count, 2**62, 2**63 - 1)
    made += struct.pack("<4sLQL", b"PK\6\7", 0, len(data) - 22, 1)
    return _ended(data[:-22] + made, count, length + len(made), offset)


def _in_front(what: bytes) -> bytes:
    """A program in front of the files, and a directory that knows of it."""
    made = io.BytesIO(what)
    made.seek(0, io.SEEK_END)
    with zipfile.ZipFile(made, "a") as archive:
        archive.writestr(entry("w/a"), b"1")
    return made.getvalue()


def _before_directory(data: bytes, what: bytes) -> bytes:
    count, length, offset = _directory(data)
    return _ended(data[:offset] + what + data[offset:-22], count, length, offset + len(what))


def _flagged(data: bytes, bits: int, only: bytes = b"PK") -> bytes:
    made = bytearray(data)
    for mark, at in ((b"PK\3\4", 6), (b"PK\1\2", 8)):
        if mark.startswith(only):
            made[data.index(mark) + at] |= bits
    return bytes(made)


def _counted(data: bytes, count: int) -> bytes:
    return data[:-14] + struct.pack("<HH", count, count) + data[-10:]


@pytest.mark.parametrize("trick", TRICKS)
def test_a_trick_is_refused_before_a_byte_is_written(tmp_path: Path, trick: str) -> None:
    make, says = TRICKS[trick]
    with pytest.raises(ZipProblem, match=says):
        unpacked(tmp_path, make())
    assert list((tmp_path / "in").rglob("*")) == []
    assert sorted(p.name for p in tmp_path.iterdir()) == ["in", "it.zip"]


def test_a_zip_that_says_less_than_it_holds_swells_no_further(tmp_path: Path) -> None:
    """The directory says ten bytes and the packed data would go on: reading ends there, and the sum is wrong."""
    data = bytearray(zip_bytes("w", {"a": bytes(1_000_000)}))
    for mark, at in ((b"PK\3\4", 22), (b"PK\1\2", 24)):
        start = bytes(data).index(mark) + at
        data[start : start + 4] = struct.pack("<I", 10)
    with pytest.raises(ZipProblem, match="is damaged"):
        unpacked(tmp_path, bytes(data))
    assert all(p.stat().st_size <= 10 for p in (tmp_path / "in").rglob("*") if p.is_file())


def test_files_that_share_their_bytes_do_not_swell(tmp_path: Path) -> None:
    """Many entries of the directory that point at one block: what they say together is too much."""
    data = zip_bytes("w", {"a": bytes(19_000_000)})
    start, end = data.index(b"PK\1\2"), data.index(b"PK\5\6")
    one = data[start:end]
    entries = b"".join(one.replace(b"w/a", b"w/" + bytes([97 + n])) for n in range(20))
    tail = struct.pack("<4sHHHHIIH", b"PK\5\6", 0, 0, 20, 20, len(entries), start, 0)
    with pytest.raises(ZipProblem, match="would swell"):
        unpacked(tmp_path, data[:start] + entries + tail)


def test_more_than_is_ever_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    data = zip_bytes("w", FILES)
    monkeypatch.setattr(zipped, "MOST_FILES", 3)
    with pytest.raises(ZipProblem, match="has 4 entries"):
        unpacked(tmp_path, data)
    monkeypatch.setattr(zipped, "MOST_BYTES", len(data) - 1)
    with pytest.raises(ZipProblem, match="is larger than"):
        unpack(tmp_path / "it.zip", tmp_path / "in")


def test_a_real_archive_swells_far_less_than_is_allowed(tmp_path: Path) -> None:
    files = small_files(record_in(tmp_path))
    assert sum(map(len, files.values())) < zipped.MOST_SWELLING / 4 * len(zip_bytes("w", files))


def test_one_small_file_is_read_without_unpacking(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(zip_bytes("a", {"data/seal.json": b"x" * 1000, "data/other": b"y"}))
    assert peek(path, "data/seal.json", 1000) == b"x" * 1000
    assert peek(path, "data/seal.json", 999) is None
    assert peek(path, "data/none", 1000) is None
    assert peek(tmp_path / "none.zip", "data/seal.json", 1000) is None
    path.write_bytes(path.read_bytes()[:-1])
    assert peek(path, "data/seal.json", 1000) is None


def test_a_file_that_says_it_is_small_and_swells_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    data = zip_bytes("a", {"data/seal.json": b"x" * 3000})
    path.write_bytes(data.replace((3000).to_bytes(4, "little"), (10).to_bytes(4, "little")))
    found = peek(path, "data/seal.json", 1000)
    assert found is None or len(found) <= 1000
