"""An archive that changed in any way is found out, and what changed is named."""

import os
import random
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric import ed25519

from proposal.archive import bag, examine, sshsig
from proposal.archive.examine import Examined, opened
from proposal.archive.place import put
from proposal.archive.zipped import sum_line, zip_bytes
from proposal.errors import MachineError, UsageError
from proposal.spec.seals import SealLine
from tests.archive.small import record_in, small_facts, small_files, tree, write

KEY = ed25519.Ed25519PrivateKey.from_private_bytes(b"7" * 32)


def looked_at(path: Path) -> Examined:
    with opened(path) as (root, outer):
        return examine.examine(root, outer) if root is not None else Examined(outer, "", None, (), None)


def told(path: Path) -> list[str]:
    return [str(fault) for fault in looked_at(path).faults]


def first_two(home: Path) -> tuple[dict[str, bytes], SealLine]:
    """Files of a second seal, and the first one's line."""
    first = record_in(home)
    line = small_facts(first).line(bag.sum_of(small_files(first)[bag.TAG_MANIFEST]))
    return small_files(record_in(home, 2), [line], KEY), line


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    files, _ = first_two(tmp_path)
    return write(tmp_path / "wren", files)


def test_an_untouched_archive_is_intact(folder: Path) -> None:
    found = looked_at(folder)
    assert found.faults == ()
    assert found.facts is not None
    assert found.facts.number == 2
    assert [line.number for line in found.ledger] == [1]
    assert found.signed is not None
    assert found.signed.fingerprint == sshsig.fingerprint(sshsig.public_bytes(KEY))
    assert found.tag_sum == bag.sum_of((folder / bag.TAG_MANIFEST).read_bytes())


def changed(folder: Path, name: str, old: bytes, new: bytes) -> None:
    data = (folder / name).read_bytes()
    assert old in data
    (folder / name).write_bytes(data.replace(old, new, 1))


def test_what_changed_is_named(folder: Path) -> None:
    changed(folder, "data/site/index.html", b"Wren", b"Wran")
    (folder / "data/record.pdf").unlink()
    (folder / "data/note.txt").write_text("hello")
    (folder / "letter.txt").write_text("dear")
    (folder / "empty").mkdir()
    (folder / "data/link").symlink_to("/etc/passwd")
    os.mkfifo(folder / "data/pipe")
    assert told(folder) == [
        "bag-info.txt counts " + _oxums(folder),
        "data/link is a link or no plain file",
        "data/note.txt is not part of the seal",
        "data/pipe is a link or no plain file",
        "data/record.pdf is missing",
        "data/site/index.html has changed",
        "empty is an empty folder, which is not part of the seal",
        "letter.txt is not part of the seal",
    ]


def _oxums(folder: Path) -> str:
    said = (folder / bag.INFO).read_text(encoding="utf-8").split("Payload-Oxum: ")[1].split("\n")[0]
    sizes = [p.stat().st_size for p in (folder / "data").rglob("*") if p.is_file() and not p.is_symlink()]
    return f"{said} bytes and files, and there are {sum(sizes)}.{len(sizes)}"


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        (bag.BAGIT, b"1.0\n", b"1.0\r\n", "bagit.txt has changed: it is the same in every archive"),
        (bag.BAGIT, b"UTF-8", b"utf-8", "bagit.txt has changed: it is the same in every archive"),
        (bag.INFO, b"Vessel: ", b"Vessel:  ", "bag-info.txt has changed: it is not written as it was sealed"),
        (bag.INFO, b"WR-1 A", b"WR-1 B", "bag-info.txt has changed, or its sum in tagmanifest-sha256.txt has"),
        (bag.MANIFEST, b"  data/", b" *data/", f"{bag.MANIFEST} has changed: it is not written as it was sealed"),
        (bag.TAG_MANIFEST, b"  bag", b" *bag", f"{bag.TAG_MANIFEST} has changed: it is not written as it was sealed"),
        (bag.SIGNATURE, b"SSH SIG", b"ssh sig", "tagmanifest-sha256.txt.sig is no signature in the form of OpenSSH"),
    ],
)  # fmt: skip
def test_the_bags_own_texts_are_held_to_their_bytes(folder: Path, name: str, old: bytes, new: bytes, says: str) -> None:
    changed(folder, name, old, new)
    assert says in told(folder)


def resealed(folder: Path, **info: str) -> None:
    """Remake all lists of a bag after its files were changed, as somebody would who covers a trace; unsigned."""
    payload = {n.removeprefix("data/"): d for n, d in tree(folder).items() if n.startswith("data/")}
    said = bag.parse_info((folder / bag.INFO).read_bytes())
    assert said is not None
    shutil.rmtree(folder)
    write(folder, bag.bag(payload, said | {"Signed-With-Key": "none"} | info))


def test_lists_that_were_remade_are_caught_by_the_signature(folder: Path) -> None:
    signature = (folder / bag.SIGNATURE).read_bytes()
    changed(folder, "data/site/index.html", b"Wren", b"Wran")
    named = sshsig.fingerprint(sshsig.public_bytes(KEY))
    resealed(folder, **{"Signed-With-Key": named})
    (folder / bag.SIGNATURE).write_bytes(signature)
    assert told(folder) == [
        "tagmanifest-sha256.txt.sig does not belong to this archive: it was signed otherwise, or changed since"
    ]
    (folder / bag.SIGNATURE).unlink()
    assert told(folder) == [f"tagmanifest-sha256.txt.sig is missing, and the seal was signed with the key {named}"]
    (folder / bag.SIGNATURE).write_bytes(
        sshsig.sign(ed25519.Ed25519PrivateKey.generate(), (folder / bag.TAG_MANIFEST).read_bytes())
    )
    assert "and the seal names SHA256:" in told(folder)[0]


def test_a_seal_that_contradicts_itself_is_not_intact(folder: Path) -> None:
    """All lists are remade, so that only what the files say of each other is left to tell."""
    kept = tree(folder)

    def after(name: str, old: bytes, new: bytes) -> list[str]:
        shutil.rmtree(folder)
        write(folder, kept)
        changed(folder, name, old, new)
        resealed(folder, **{"Signed-With-Key": sshsig.fingerprint(sshsig.public_bytes(KEY))})
        (folder / bag.SIGNATURE).write_bytes(sshsig.sign(KEY, (folder / bag.TAG_MANIFEST).read_bytes()))
        return told(folder)

    assert after("data/seal.json", b'"number": 2', b'"number": 3') != []
    assert after("data/seal.json", b'"state": "sealed"', b'"state": "do_not_energise"') == [
        "data/seal.json says otherwise than bag-info.txt"
    ]
    assert after("data/seal.json", b'"revision"', b'"Revision"') == ["data/seal.json is not written as a seal is"]
    assert after("data/project/record/01-entry.yaml", b"Later", b"Sooner") == [
        "data/project/record/01-entry.yaml is not what data/seal.json says of it"
    ]
    assert after("data/project/record/photos/fuse box.jpg", b"photo", b"other") == [
        "data/project/record/photos/fuse box.jpg is not what data/seal.json says of it"
    ]
    ledger = "data/project/record/seals.txt"
    line = kept[ledger]
    assert after(ledger, line[13:77], b"0" * 64) == [f"{ledger} does not lead to seal 2"]
    assert after(ledger, line[80:144], b"0" * 64) == [
        f"{ledger} line of seal 1: the entries it closed have changed since"
    ]
    assert after(ledger, line, b"nonsense\n")[1:] == [f"{ledger} does not lead to seal 2"]
    assert after("data/site/index.html", b"Wren", b"Wren") == []


def test_a_bag_of_somebody_elses_is_not_ours(tmp_path: Path) -> None:
    write(tmp_path / "bag", bag.bag({"a": b""}, dict.fromkeys(bag.LABELS, "x") | {"Signed-With-Key": "none"}))
    assert told(tmp_path / "bag") == ["data/seal.json is missing"]


def test_a_later_form_is_left_to_a_later_release(folder: Path) -> None:
    changed(folder, "data/seal.json", b'"seal_version": 1', b'"seal_version": 2')
    assert "data/seal.json has changed" in told(folder)
    resealed(folder)
    with pytest.raises(UsageError, match="sealed by a later release"):
        told(folder)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"file": "01-entry.yaml"', b'"file": 1'),
        (b'"file": "fuse box.jpg"', b'"file": ["fuse box.jpg"]'),
        (b'"proposal": "0.1.0"', b'"proposal": null'),
        (b'"entries": [', b'"entries": [\n  {\n   "file": "00-none.yaml",\n   "sha256": null\n  },'),
        (b'"photos": [', b'"photos": [\n  "abc",'),
    ],
)
def test_what_a_seal_says_is_text_and_nothing_else(folder: Path, old: bytes, new: bytes) -> None:
    """Also in an archive whose lists all agree: an entry without a sum would not be missed."""
    changed(folder, "data/seal.json", old, new)
    resealed(folder, **{"Signed-With-Key": "none"})
    assert told(folder) == ["data/seal.json is not written as a seal is"]


def test_names_from_anywhere_are_fit_for_a_terminal(folder: Path) -> None:
    """A name that clears the screen, turns the text or is no text, and folders that no path reaches."""
    for name in (b"data/\x1b[2Jx", b"data/\xe2\x80\xaegpj.exe", b"data/\xff\nintact"):
        path = os.path.join(os.fsencode(folder), name)
        os.mkdir(path)
    home = os.getcwd()
    os.chdir(folder / "data")
    try:
        for _ in range(20):
            os.mkdir("y" * 250)
            os.chdir("y" * 250)
    finally:
        os.chdir(home)
    said = told(folder)
    shutil.rmtree(folder / "data" / ("y" * 250))
    assert all(line.isprintable() and len(line) < 300 for line in said)
    for name in ("data/\\x1b[2Jx", "data/\\u202egpj.exe", "data/\\udcff\\nintact"):
        assert f"{name} is an empty folder, which is not part of the seal" in said
    assert any("lies too deep" in line for line in said)


def test_what_is_no_archive_is_a_mistake_of_the_command(tmp_path: Path) -> None:
    for name in (".", "nowhere", "a\0b"):
        with pytest.raises(UsageError, match=r"no sealed record|there is no archive"):
            told(tmp_path / name)


def test_what_cannot_be_read_is_the_machines_no(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any) -> Any:
        raise OSError(5, "Input/output error", "data/x")

    with pytest.raises(MachineError, match="File name too long"):
        told(folder / ("x" * 300))
    monkeypatch.setattr(examine, "_survey", broken)
    with pytest.raises(MachineError, match="cannot read data/x: Input/output error"):
        told(folder)


# --- zips ------------------------------------------------------------------------------------------------------------


@pytest.fixture
def packed(tmp_path: Path) -> Path:
    files, _ = first_two(tmp_path)
    put(tmp_path / "wren.zip", files)
    return tmp_path / "wren.zip"


def test_a_zip_with_its_sum_is_intact(packed: Path) -> None:
    assert told(packed) == []


def test_a_zip_without_its_sum_is_not_proven(packed: Path) -> None:
    beside = packed.with_name("wren.zip.sha256")
    line = beside.read_bytes()
    beside.unlink()
    assert told(packed) == ["wren.zip is not proven intact: its sum wren.zip.sha256 is not beside it"]
    beside.write_bytes(line.replace(b"wren", b"wran"))
    assert told(packed)[0].startswith("wren.zip.sha256 is not what stands beside a zip of this name")
    beside.write_bytes(line.replace(line[:4], b"0000"))
    assert told(packed) == ["wren.zip has changed, or its sum in wren.zip.sha256 has"]


def test_in_a_zip_that_changed_the_file_is_named(packed: Path) -> None:
    files, _ = first_two(packed.parent)
    data = zip_bytes("wren", files | {"data/site/index.html": b"changed"})
    packed.write_bytes(data)
    assert told(packed)[-2:] == ["data/site/index.html has changed", "wren.zip has changed, or its sum in "
                                 "wren.zip.sha256 has"]  # fmt: skip
    packed.with_name("wren.zip.sha256").write_bytes(sum_line("wren.zip", data))
    assert told(packed)[-1] == "data/site/index.html has changed"


def test_a_hostile_zip_is_a_fault_and_nothing_is_left_of_it(packed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    scratch = packed.parent / "tmp"
    scratch.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(scratch))
    data = zip_bytes("wren", {"a": b""}).replace(b"wren/a", b"../x/a")
    packed.write_bytes(data)
    packed.with_name("wren.zip.sha256").write_bytes(sum_line("wren.zip", data))
    assert told(packed) == ["wren.zip holds '../x/a', which leads elsewhere"]
    assert list(scratch.iterdir()) == []
    assert not (packed.parent.parent / "x").exists()


# --- single bits -----------------------------------------------------------------------------------------------------


def flips(folder: Path, count: int, seed: int) -> list[str]:
    """Flip single bits at random places of all files and names of an archive; returns those that went unseen."""
    chance = random.Random(seed)  # noqa: S311 - places, no secrets
    files = tree(folder)
    unseen = []
    names = sorted(files)
    # by the byte, and the bag's own texts as often as all else together
    weights = [len(files[name]) if name.startswith("data/") else 0 for name in names]
    own = [name for name in names if not name.startswith("data/")]
    for turn in range(count):
        kind = turn % 4
        name = (
            chance.choice(own) if kind < 2 else chance.choices(names, weights)[0] if kind == 2 else chance.choice(names)
        )
        if kind == 3:
            old = os.fsencode(name)
            at = chance.randrange(8 * len(old))
            new = bytearray(old)
            new[at // 8] ^= 1 << at % 8
            if not _renamed(folder, old, bytes(new)):
                continue
            if looked_at(folder).intact:
                unseen.append(f"{name}: name, bit {at}")
            _renamed(folder, bytes(new), old)
            continue
        at = chance.randrange(8 * len(files[name]))
        data = bytearray(files[name])
        data[at // 8] ^= 1 << at % 8
        (folder / name).write_bytes(data)
        if looked_at(folder).intact:
            unseen.append(f"{name}: bit {at}")
        (folder / name).write_bytes(files[name])
    assert looked_at(folder).intact
    return unseen


def _renamed(folder: Path, old: bytes, new: bytes) -> bool:
    """Give a file another name, in the place of none; False where no file system takes it."""
    source, target = os.path.join(os.fsencode(folder), old), os.path.join(os.fsencode(folder), new)
    if b"\0" in new or os.path.lexists(target) or not os.path.isdir(os.path.dirname(target)):
        return False
    os.rename(source, target)
    return True


@pytest.mark.parametrize("count", [200, pytest.param(1000, marks=pytest.mark.slow)])
def test_no_flipped_bit_goes_unseen(folder: Path, count: int) -> None:
    assert flips(folder, count, seed=count) == []


@pytest.mark.parametrize("count", [50, pytest.param(500, marks=pytest.mark.slow)])
def test_no_flipped_bit_of_a_zip_or_of_its_sum_goes_unseen(packed: Path, count: int) -> None:
    chance = random.Random(count)  # noqa: S311 - places, no secrets
    for path in (packed, packed.with_name("wren.zip.sha256")):
        whole = path.read_bytes()
        for _ in range(count):
            at = chance.randrange(8 * len(whole))
            data = bytearray(whole)
            data[at // 8] ^= 1 << at % 8
            path.write_bytes(data)
            assert told(packed), f"{path.name}: bit {at}"
        path.write_bytes(whole)
    assert told(packed) == []


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="needs sha256sum")
def test_what_a_stranger_is_told_to_type_finds_a_change(folder: Path) -> None:
    """The commands of READ-ME-FIRST.txt as they stand there."""
    text = (folder / "data/READ-ME-FIRST.txt").read_text(encoding="utf-8")
    (command,) = [line.strip() for line in text.splitlines() if line.strip().startswith("sha256sum -c")]
    assert subprocess.run(["sh", "-c", command], cwd=folder, check=True, capture_output=True).stdout == b"intact\n"
    changed(folder, "data/record.pdf", b"1.7", b"1.8")
    assert subprocess.run(["sh", "-c", command], cwd=folder, check=False, capture_output=True).returncode != 0
