"""Is an archive what it was when it was sealed? Every file that is not is named; nothing in it is trusted.

Remade from the files, the bag's own texts must be the same bytes: so no flipped bit passes, wherever it lies.
"""

import contextlib
import hashlib
import logging
import os
import stat
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from proposal.archive import bag, sshsig
from proposal.archive.facts import PROJECT, SEAL_FILE, SealFacts, parse_facts
from proposal.archive.zipped import SUM_ENDING, ZipProblem, unpack
from proposal.errors import MachineError, UsageError
from proposal.frozen import frozen
from proposal.spec.recorded import PHOTO_FOLDER, RECORD_FOLDER
from proposal.spec.seals import LARGEST_SEALS_BYTES, SEALS_FILE, SealLine, parse_seals

RECORD = f"{bag.PAYLOAD}{PROJECT}{RECORD_FOLDER}/"
SEAL = f"{bag.PAYLOAD}{SEAL_FILE}"
LARGEST_TEXT_BYTES = 20_000_000
MOST_ENTRIES_OF_FOLDERS = 200_000
LONGEST_PATH_BYTES = 1000
LONGEST_SHOWN = 200
ROOT_FILES = {bag.BAGIT, bag.INFO, bag.MANIFEST, bag.TAG_MANIFEST, bag.SIGNATURE}


@frozen
class Fault:
    """A file that is not as it was sealed, and in which way."""

    path: str
    what: str

    def __str__(self) -> str:
        return f"{self.path} {self.what}"


@frozen
class Examined:
    """What an archive was found to be. Without faults `facts`, `tag_sum` and `ledger` are those that were sealed.

    `ledger`: the seals before this one, as it carries them; `signed`: its signature, where it has one that is good.
    """

    faults: tuple[Fault, ...]
    tag_sum: str
    facts: SealFacts | None
    ledger: tuple[SealLine, ...]
    signed: sshsig.Signed | None

    @property
    def intact(self) -> bool:
        """Whether nothing was found."""
        return not self.faults


@contextlib.contextmanager
def opened(path: Path) -> Iterator[tuple[Path | None, tuple[Fault, ...]]]:
    """The folder of an archive, a zip being unpacked into a private one, and what is wrong with the zip itself.

    None: it could not be unpacked. Raises UsageError for what is no archive at all, MachineError.
    """
    if _kind(path) == stat.S_IFDIR:
        if not any(_kind(path / name) for name in (bag.BAGIT, bag.MANIFEST, bag.PAYLOAD)):
            raise UsageError(f"{path} is no sealed record: it holds neither {bag.BAGIT} nor {bag.MANIFEST}")
        yield path, ()
        return
    if _kind(path) != stat.S_IFREG:
        raise UsageError(f"there is no archive {str(path)!r}: give the folder of a sealed record, or its zip")
    faults = _outer(path)
    with tempfile.TemporaryDirectory(prefix="proposal-verify-") as home:
        root = None
        try:
            root = unpack(path, Path(home))
        except ZipProblem as error:
            faults = (*faults, Fault(path.name, str(error)))
        except OSError as error:
            raise MachineError(
                f"cannot unpack {path}: {error.strerror}",
                "free some space in the folder of temporary files, or unpack it yourself and verify the folder",
            ) from error
        yield root, faults


def _kind(path: Path) -> int:
    """Whether it is a folder or a plain file, as in `stat`; 0: it is not there. Raises MachineError."""
    try:
        return stat.S_IFMT(path.stat().st_mode)
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return 0
    except OSError as error:
        raise MachineError(f"cannot read {_shown(str(path))}: {error.strerror}", "check name and rights") from error


def examine(root: Path | None, also: tuple[Fault, ...] = ()) -> Examined:
    """Look at every file of an archive's folder; `also`: faults that are known already, None: these are all.

    Takes what `opened` gives. Raises MachineError.
    """
    if root is None:
        return Examined(also, "", None, (), None)
    faults = list(also)
    try:
        sums, sizes = _survey(root, faults)
        text = {name: _text(root / name) for name in ROOT_FILES if name in sums}
        info = _tags(sums, sizes, text, faults)
        _payload(sums, text.get(bag.MANIFEST, b""), faults)
        tags = text.get(bag.TAG_MANIFEST, b"")
        signed = _signature(text.get(bag.SIGNATURE), tags, info, faults)
        facts = _facts(root, sums, info, faults)
        ledger: tuple[SealLine, ...] = ()
        if facts is not None and not faults:
            ledger = _ledger(root, sums, facts, faults)
        if not faults:
            _second_opinion(root, faults)
    except OSError as error:
        where = error.filename or root
        raise MachineError(f"cannot read {where}: {error.strerror}", "check the medium and the rights") from error
    found = tuple(sorted(dict.fromkeys(faults), key=lambda fault: fault.path))
    return Examined(found, sums.get(bag.TAG_MANIFEST, ""), facts, ledger, signed)


def _outer(path: Path) -> tuple[Fault, ...]:
    """What the sum beside a zip says of it."""
    beside = path.with_name(path.name + SUM_ENDING)
    if not beside.is_file():
        return (Fault(path.name, f"is not proven intact: its sum {beside.name} is not beside it"),)
    try:
        said = _text(beside)
        with path.open("rb") as stream:
            found = hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise MachineError(f"cannot read {path}: {error.strerror}", "check the medium and the rights") from error
    if said == f"{found}  {path.name}\n".encode():
        return ()
    if said[:64] == found.encode():
        return (Fault(beside.name, f"is not what stands beside a zip of this name: {found[:8]}…  {path.name}"),)
    return (Fault(path.name, f"has changed, or its sum in {beside.name} has"),)


def _survey(root: Path, faults: list[Fault]) -> tuple[dict[str, str], dict[str, int]]:
    """Sum and size of every plain file under a folder by path; links and special files are faults."""
    sums: dict[str, str] = {}
    sizes: dict[str, int] = {}
    folders = [""]
    count = 0
    while folders:
        inside = folders.pop()
        entries = sorted(os.scandir(root / inside), key=lambda entry: entry.name)
        count += len(entries)
        if count > MOST_ENTRIES_OF_FOLDERS:
            faults.append(Fault(_shown(inside or "."), "holds too many files"))
            return sums, sizes
        if not entries:
            faults.append(Fault(_shown(inside or "."), "is an empty folder, which is not part of the seal"))
        for entry in entries:
            path = f"{inside}/{entry.name}" if inside else entry.name
            mode = entry.stat(follow_symlinks=False).st_mode
            if stat.S_ISDIR(mode) and len(os.fsencode(path)) > LONGEST_PATH_BYTES:
                faults.append(Fault(_shown(path), "lies too deep"))
            elif stat.S_ISDIR(mode):
                folders.append(path)
            elif not stat.S_ISREG(mode):
                faults.append(Fault(_shown(path), "is a link or no plain file"))
            else:
                with open(entry.path, "rb") as stream:
                    sums[path] = hashlib.file_digest(stream, "sha256").hexdigest()
                    sizes[path] = stream.tell()
    return sums, sizes


def _text(path: Path) -> bytes:
    """The first bytes of a file: more than any text of a bag has are not needed to know that it is none."""
    with path.open("rb") as stream:
        return stream.read(LARGEST_TEXT_BYTES)


def _tags(
    sums: Mapping[str, str], sizes: Mapping[str, int], text: Mapping[str, bytes], faults: list[Fault]
) -> dict[str, str]:
    """The bag's own files at its root. Returns its information, empty where it cannot be taken."""
    wanted = (bag.BAGIT, bag.INFO, bag.MANIFEST, bag.TAG_MANIFEST)
    faults += [Fault(name, "is missing") for name in wanted if name not in sums]
    faults += [
        Fault(_shown(path), "is not part of the seal")
        for path in sums
        if path not in ROOT_FILES and not path.startswith(bag.PAYLOAD)
    ]
    if text.get(bag.BAGIT, bag.BAGIT_TXT) != bag.BAGIT_TXT:
        faults.append(Fault(bag.BAGIT, "has changed: it is the same in every archive"))
    listed = bag.parse_manifest(text.get(bag.TAG_MANIFEST, b""))
    if bag.TAG_MANIFEST in text and (listed is None or listed.keys() != set(bag.TAG_FILES)):
        faults.append(Fault(bag.TAG_MANIFEST, "has changed: it is not written as it was sealed"))
    for name, value in (listed or {}).items():
        if name in bag.TAG_FILES and name in sums and value != sums[name]:
            faults.append(Fault(name, f"has changed, or its sum in {bag.TAG_MANIFEST} has"))
    if bag.INFO not in text:
        return {}
    info = bag.parse_info(text[bag.INFO])
    if info is None:
        faults.append(Fault(bag.INFO, "has changed: it is not written as it was sealed"))
        return {}
    there = bag.oxum(size for path, size in sizes.items() if path.startswith(bag.PAYLOAD))
    if info["Payload-Oxum"] != there:
        faults.append(Fault(bag.INFO, f"counts {info['Payload-Oxum']} bytes and files, and there are {there}"))
    return info


def _payload(sums: Mapping[str, str], manifest: bytes, faults: list[Fault]) -> None:
    """What the bag carries against its manifest."""
    listed = bag.parse_manifest(manifest)
    if listed is None:
        faults.append(Fault(bag.MANIFEST, "has changed: it is not written as it was sealed"))
        return
    for path, value in listed.items():
        if not path.startswith(bag.PAYLOAD):
            faults.append(Fault(bag.MANIFEST, f"has changed: it lists {_shown(path)!r}"))
        elif path not in sums:
            faults.append(Fault(_shown(path), "is missing"))
        elif sums[path] != value:
            faults.append(Fault(_shown(path), "has changed"))
    for path in sums:
        if path.startswith(bag.PAYLOAD) and path not in listed:
            faults.append(Fault(_shown(path), "is not part of the seal"))
        elif path.startswith(bag.PAYLOAD) and (what := bag.bad_name(path)) is not None:
            faults.append(Fault(_shown(path), what))


def _signature(
    armoured: bytes | None, tags: bytes, info: Mapping[str, str], faults: list[Fault]
) -> sshsig.Signed | None:
    named = info.get("Signed-With-Key", bag.NONE)
    if armoured is None:
        if named != bag.NONE:
            faults.append(Fault(bag.SIGNATURE, f"is missing, and the seal was signed with the key {named}"))
        return None
    try:
        signed = sshsig.parse(armoured)
        sshsig.check(signed, tags)
    except sshsig.SignatureProblem as error:
        faults.append(Fault(bag.SIGNATURE, str(error)))
        return None
    if info and signed.fingerprint != named:
        faults.append(Fault(bag.SIGNATURE, f"is by the key {signed.fingerprint}, and the seal names {named}"))
        return None
    return signed


def _facts(root: Path, sums: Mapping[str, str], info: Mapping[str, str], faults: list[Fault]) -> SealFacts | None:
    """What the seal says of itself, held against the bag's information and the files of the record."""
    if SEAL not in sums:
        faults.append(Fault(SEAL, "is missing"))
        return None
    try:
        facts = parse_facts(_text(root / SEAL))
    except ValueError as error:
        if any(fault.path == SEAL for fault in faults):  # it is another file than was sealed, and says anything
            return None
        raise UsageError(f"{root.name} {error}: verify it with that release") from None
    if facts is None:
        faults.append(Fault(SEAL, "is not written as a seal is"))
        return None
    said = {label: value for label, value in info.items() if label != "Payload-Oxum"}
    if info and bag.info_text(facts.info() | {"Payload-Oxum": ""}) != bag.info_text(said | {"Payload-Oxum": ""}):
        faults.append(Fault(SEAL, f"says otherwise than {bag.INFO}"))
    entries = {RECORD + file: value for file, value in facts.entries}
    photos = {f"{RECORD}{PHOTO_FOLDER}/{file}": value for file, _, value in facts.photos}
    for path, value in {**entries, **photos}.items():
        if sums.get(path) != value:
            faults.append(Fault(_shown(path), f"is not what {SEAL} says of it"))
    known = {*entries, *photos, RECORD + SEALS_FILE}
    beyond = [path for path in sums if path.startswith(RECORD) and path not in known]
    faults += [Fault(_shown(path), f"is nothing that {SEAL} names") for path in beyond]
    return facts


def _ledger(root: Path, sums: Mapping[str, str], facts: SealFacts, faults: list[Fault]) -> tuple[SealLine, ...]:
    """The seals before this one, as it carries them; what they closed must be here unchanged."""
    path = RECORD + SEALS_FILE
    text = _text(root / path)[:LARGEST_SEALS_BYTES] if path in sums else b""
    try:
        seals, wrong = parse_seals(text.decode())
    except UnicodeDecodeError:
        seals, wrong = (), [(1, "is not UTF-8 text")]
    faults += [Fault(path, f"line {line}: {what}") for line, what in wrong]
    if len(seals) != facts.number - 1 or (seals[-1].sha256 if seals else None) != facts.previous:
        faults.append(Fault(path, f"does not lead to seal {facts.number}"))
    for seal in seals:
        too_many = seal.entries_count > len(facts.entries)
        if too_many or facts.entries_sum(seal.entries_count) != seal.entries_sha256:
            faults.append(Fault(path, f"line of seal {seal.number}: the entries it closed have changed since"))
    return seals


def _second_opinion(root: Path, faults: list[Fault]) -> None:
    """Another reader of bags, which knows nothing of this tool."""
    import bagit  # noqa: PLC0415 - only here

    logging.getLogger("bagit").setLevel(logging.CRITICAL)
    try:
        bagit.Bag(str(root)).validate()
    except bagit.BagError as error:
        faults.append(Fault(bag.MANIFEST, f"is not taken by another reader of bags: {error}"))


def _shown(path: str) -> str:
    """A path from anywhere, fit for a terminal: on one line, without what would move its cursor or turn its text."""
    plain = "".join(
        ch if ch.isprintable() else ch.encode("unicode_escape").decode() for ch in path[: LONGEST_SHOWN + 1]
    )
    return plain if len(path) <= LONGEST_SHOWN else f"{plain[:LONGEST_SHOWN]}…"
