"""A bag against RFC 8493: by checks written from its text, and by another reader of bags."""

import hashlib
import re
import subprocess
from pathlib import Path

import bagit
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.archive import bag
from tests.archive.small import record_in, small_files, write

INFO = {label: f"a {label}" for label in bag.LABELS}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write(tmp_path / "bag", small_files(record_in(tmp_path)))


def test_another_reader_of_bags_takes_it(folder: Path) -> None:
    made = bagit.Bag(str(folder))
    assert made.validate()
    assert made.version_info == (1, 0)
    assert made.info["External-Identifier"] == "wren-ours-wr-1-seal-1"
    assert made.info["Bagging-Date"] == "2026-12-04"


def test_it_is_a_bag_by_the_words_of_the_rfc(folder: Path) -> None:
    """RFC 8493, sections 2.1 to 2.3 and 3."""
    # 2.1.1: exactly two lines, version and encoding, UTF-8 without a byte-order mark
    assert (folder / "bagit.txt").read_bytes() == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    # 2.1.2: the payload lies under data/
    payload = {p.relative_to(folder).as_posix() for p in (folder / "data").rglob("*") if p.is_file()}
    # 2.1.3: a manifest lists every payload file once: sum, blank, path from the base with /
    lines = (folder / "manifest-sha256.txt").read_text(encoding="utf-8").splitlines()
    listed = {}
    for line in lines:
        found = re.fullmatch(r"([0-9a-f]{64})[ \t]+(data/\S.*)", line)
        assert found is not None
        assert found[2] not in listed
        listed[found[2]] = found[1]
    assert listed.keys() == payload
    for path, value in listed.items():
        assert hashlib.sha256((folder / path).read_bytes()).hexdigest() == value
        # 2.1.3: no CR, LF or % that would have to be encoded
        assert not set(path) & set("\r\n%")
    # 2.2.1: a tag manifest lists tag files and never itself or another tag manifest
    tags = dict(reversed(line.split("  ")) for line in (folder / "tagmanifest-sha256.txt").read_text().splitlines())
    assert tags.keys() == {"bag-info.txt", "bagit.txt", "manifest-sha256.txt"}
    for path, value in tags.items():
        assert hashlib.sha256((folder / path).read_bytes()).hexdigest() == value
    # 2.2.2: label, colon, one blank, value; Payload-Oxum is bytes, full stop, count
    info = dict(line.split(": ", 1) for line in (folder / "bag-info.txt").read_text(encoding="utf-8").splitlines())
    sizes = [(folder / path).stat().st_size for path in payload]
    assert info["Payload-Oxum"] == f"{sum(sizes)}.{len(sizes)}"
    assert re.fullmatch(r"\d{4}-\d{2}-\d{2}", info["Bagging-Date"])
    # 3: complete and valid; nothing is to be fetched
    assert not (folder / "fetch.txt").exists()


def test_its_lists_are_checked_with_a_common_tool(folder: Path) -> None:
    for name in ("tagmanifest-sha256.txt", "manifest-sha256.txt"):
        subprocess.run(["sha256sum", "-c", "--quiet", name], cwd=folder, check=True)


def test_equal_files_give_equal_bytes_in_any_order(tmp_path: Path) -> None:
    files = {"b": b"2", "a": b"1", "c/d": b"3"}
    assert bag.bag(files, INFO) == bag.bag(dict(reversed(files.items())), INFO)
    record = record_in(tmp_path)
    assert small_files(record) == small_files(record)


@pytest.mark.parametrize(
    "name",
    ["../a", "/a", "a//b", "a/./b", "", "a/", "C:/a", "a\\b", "a\nb", "a\rb", "a%0Ab", "a:b", "a?b", "a*b", 'a"b',
     "a|b", " a", "a ", "a.", "a/b./c", "e\u0301", "a\udc80", "a\x7f", "x" * 201, "x/" * 220 + "x"],
)  # fmt: skip
def test_a_name_that_not_everybody_reads_alike_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match=r"leads|characters|blank|Unicode|long"):
        bag.bag({name: b""}, INFO)


@pytest.mark.parametrize("name", ["a", "fuse box.jpg", "sub/é.txt", "x" * 195, "a-b_c.d", "größer/ñ"])
def test_usual_names_are_taken(name: str) -> None:
    assert f"data/{name}" in bag.bag({name: b""}, INFO)


def test_a_value_stays_on_its_line() -> None:
    text = bag.info_text(
        {**INFO, "Payload-Oxum": "1.1", "Vessel": "Wren\nSeal-State: sealed\r\n \u2028x", "Seal-State": " "}
    )
    info = bag.parse_info(text)
    assert info is not None
    assert info["Vessel"] == "Wren Seal-State: sealed x"
    assert info["Seal-State"] == "none"
    assert text.count(b"\n") == len(bag.LABELS)


def test_only_its_own_bytes_are_read_back(tmp_path: Path) -> None:
    files = small_files(record_in(tmp_path))
    manifest, info = files[bag.MANIFEST], files[bag.INFO]
    assert bag.parse_manifest(manifest) is not None
    assert bag.parse_info(info) is not None
    lines = manifest.splitlines(keepends=True)
    others = [
        b"".join(reversed(lines)), manifest + lines[-1], manifest[:-1], manifest + b"\n", manifest.upper(),
        manifest.replace(b"  ", b" *"), manifest.replace(b"\n", b"\r\n"), b"\xef\xbb\xbf" + manifest, b"\xff", b"# x\n",
    ]  # fmt: skip
    assert [bag.parse_manifest(text) for text in others] == [None] * len(others)
    lines = info.splitlines(keepends=True)
    others = [
        b"".join(reversed(lines)), info + lines[0], info[:-1], info + b"\n", info.replace(b": ", b":"),
        info.replace(b": ", b":  "), info.replace(b"\n", b"\r\n"), b"".join(lines[1:]), b"\xff", b"",
    ]  # fmt: skip
    assert [bag.parse_info(text) for text in others] == [None] * len(others)


@settings(max_examples=40)
@given(st.dictionaries(st.text(min_size=1), st.binary(), max_size=4))
def test_any_files_come_as_a_bag_or_not_at_all(files: dict[str, bytes]) -> None:
    try:
        made = bag.bag(files, INFO)
    except ValueError:
        return
    listed = bag.parse_manifest(made[bag.MANIFEST])
    assert listed == {f"data/{name}": hashlib.sha256(data).hexdigest() for name, data in files.items()}
