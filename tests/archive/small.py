"""A small archive made of stand-in files, for tests of what surrounds its content."""

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from proposal.archive.facts import SealFacts, archive_name
from proposal.archive.gather import sealed_files
from proposal.archive.sshsig import fingerprint, public_bytes
from proposal.spec.recorded import Record, load_record
from proposal.spec.seals import SealLine
from tests.recorded_project import later, write_entry

MADE_WITH = {"proposal": "0.1.0", "results_version": "1", "rule_family": "iso_boats", "numpy": "2.0"}
PAGES = {"site/index.html": b"<h1>Wren</h1>\n", "site/drawings/a.svg": b"<svg/>\n" * 5, "record.pdf": b"%PDF-1.7\n"}


def record_in(folder: Path, count: int = 1) -> Record:
    """A record of so many entries that names an option and nothing more."""
    write_entry(folder, 1, later("hand_over", "2026-12-04", option="one"))
    for number in range(2, count + 1):
        write_entry(folder, number, later("visit", f"2027-01-{number:02d}"))
    return load_record(folder)


def small_facts(record: Record, seals: Sequence[SealLine] = (), **more: Any) -> SealFacts:
    """What the next seal of a record says of itself."""
    state = more.get("state", "sealed")
    facts = {
        "name": archive_name("Wren (ours)", "WR-1", len(seals) + 1, state), "vessel": "Wren (ours)",
        "proposal_number": "WR-1", "revision": "A", "installer": "Brön & Sons", "number": len(seals) + 1,
        "date": record.entries[-1].value.date.isoformat(), "state": state,
        "previous": seals[-1].sha256 if seals else None, "content_sha256": "0" * 64, "days": True, "pages": True,
        "signed_with": None, "made_with": MADE_WITH, "entries": tuple((e.file, e.sha256) for e in record.entries),
        "photos": (("fuse box.jpg", "1" * 64, hashlib.sha256(b"a photo").hexdigest()),),
    }  # fmt: skip
    return SealFacts(**(facts | more))


def small_files(record: Record, seals: Sequence[SealLine] = (), key: Any = None, **more: Any) -> dict[str, bytes]:
    """All files of the archive of the next seal."""
    if key is not None:
        more["signed_with"] = fingerprint(public_bytes(key))
    facts = small_facts(record, seals, **more)
    project = {"spec.yaml": b"spec_version: 1\n", "record/photos/fuse box.jpg": b"a photo"}
    project |= {f"record/{e.file}": e.document.path.read_bytes() for e in record.entries}
    if seals:
        project["record/seals.txt"] = "".join(f"{line}\n" for line in seals).encode()
    return sealed_files(facts, project, b'{"results_version": 1}\n', PAGES, key)


def write(folder: Path, files: dict[str, bytes]) -> Path:
    """Write files under a folder."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


def tree(folder: Path) -> dict[str, bytes]:
    """Every file under a folder by its path."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
