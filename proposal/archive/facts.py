"""What a seal says of itself: `data/seal.json`, the bag's information, the archive's name, and a page for strangers."""

import datetime
import hashlib
import json
import re
import unicodedata
from collections.abc import Mapping
from typing import Any, Literal

from proposal.archive.bag import MANIFEST, NONE, SIGNATURE, TAG_MANIFEST
from proposal.frozen import frozen
from proposal.spec.seals import DO_NOT_ENERGISE, SealLine

SEAL_VERSION = 1
SEAL_FILE, README, RESULTS, PDF = "seal.json", "READ-ME-FIRST.txt", "results.json", "record.pdf"
SITE, PROJECT = "site/", "project/"
State = Literal["sealed", "do_not_energise"]
STATE_WORDS = {"sealed": "sealed", "do_not_energise": "DO NOT ENERGISE"}


@frozen
class SealFacts:
    """Everything that is to be known of a seal besides what it carries.

    `previous`: sum of the seal before it; `signed_with`: short name of the key; null where there is none. `entries`:
    file and sum; `photos`: file, sum of the original and of what is sealed.
    `made_with`: versions by name of the tool, its formats and rules, and the libraries that compute.
    """

    name: str
    vessel: str
    proposal_number: str
    revision: str
    installer: str
    number: int
    date: str
    state: State
    previous: str | None
    content_sha256: str
    days: bool
    pages: bool
    signed_with: str | None
    made_with: Mapping[str, str]
    entries: tuple[tuple[str, str], ...]
    photos: tuple[tuple[str, str, str], ...]

    def json(self) -> bytes:
        """The bytes of `seal.json`."""
        made = {name: getattr(self, name) for name in _FIELDS} | {"made_with": dict(self.made_with)}
        made["entries"] = [{"file": file, "sha256": value} for file, value in self.entries]
        made["photos"] = [
            {"file": file, "original_sha256": original, "sha256": value} for file, original, value in self.photos
        ]
        return (json.dumps({"seal_version": SEAL_VERSION, **made}, ensure_ascii=False, indent=1) + "\n").encode()

    def info(self) -> dict[str, str]:
        """The bag's information, its count of bytes apart."""
        return {
            "Source-Organization": self.installer,
            "External-Description": f"Record of {self.vessel} as it was fitted, measured and changed",
            "External-Identifier": self.name,
            "Bagging-Date": self.date,
            "Bag-Software-Agent": f"proposal {self.made_with.get('proposal', '')}",
            "Vessel": self.vessel,
            "Proposal-Number": f"{self.proposal_number} {self.revision}",
            "Seal-Number": str(self.number),
            "Seal-State": STATE_WORDS[self.state],
            "Previous-Seal": self.previous or NONE,
            "Signed-With-Key": self.signed_with or NONE,
        }

    def entries_sum(self, count: int) -> str:
        """The sum over its first entries, as `spec.seals.entries_sum` makes it."""
        return hashlib.sha256("".join(f"{v}  {f}\n" for f, v in self.entries[:count]).encode()).hexdigest()

    def line(self, tag_sum: str) -> SealLine:
        """Its line in the ledger."""
        count = len(self.entries)
        day = datetime.date.fromisoformat(self.date)
        return SealLine(self.number, day, tag_sum, count, self.entries_sum(count), self.content_sha256, self.name)


_FIELDS = (
    "name", "vessel", "proposal_number", "revision", "installer", "number", "date", "state", "previous",
    "content_sha256", "days", "pages", "signed_with", "made_with", "entries", "photos",
)  # fmt: skip
_TYPES: dict[str, Any] = {
    "number": int, "days": bool, "pages": bool, "previous": (str, type(None)), "signed_with": (str, type(None)),
    "made_with": dict, "entries": list, "photos": list,
}  # fmt: skip


def parse_facts(data: bytes) -> SealFacts | None:
    """Facts from `seal.json`, or None for anything but the bytes that `SealFacts.json` writes.

    Raises ValueError for a seal of a later form than this release knows.
    """
    try:
        made = json.loads(data)
        version = made.pop("seal_version")
    except (ValueError, AttributeError, KeyError, RecursionError):
        return None
    if isinstance(version, int) and version > SEAL_VERSION:
        raise ValueError(f"was sealed by a later release (form {version}, this one knows {SEAL_VERSION})")
    try:
        if any(not isinstance(made[name], _TYPES.get(name, str)) for name in _FIELDS):
            return None
        made["entries"] = tuple((e["file"], e["sha256"]) for e in made["entries"])
        made["photos"] = tuple((p["file"], p["original_sha256"], p["sha256"]) for p in made["photos"])
        texts = [*made["made_with"].values(), *(text for row in made["entries"] + made["photos"] for text in row)]
        if not all(isinstance(text, str) for text in texts):
            return None
        facts = SealFacts(**made)
        datetime.date.fromisoformat(facts.date)
        return facts if facts.json() == data and facts.state in STATE_WORDS else None
    except (KeyError, TypeError, ValueError, RecursionError):
        return None


def changed_photos(before: SealFacts, now: Mapping[str, str]) -> tuple[str, ...]:
    """Photos that an earlier seal holds and that are gone or others now; ``now``: sums by name of the originals.

    A project that was taken out of an archive has the sealed photos as its originals.
    """
    return tuple(file for file, *sums in before.photos if now.get(file) not in sums)


def archive_name(vessel: str, proposal_number: str, number: int, state: State) -> str:
    """Name of an archive: plain letters, which every system takes."""
    ending = DO_NOT_ENERGISE if state == "do_not_energise" else ""
    return f"{_slug(vessel) or 'vessel'}-{_slug(proposal_number) or 'record'}-seal-{number}{ending}"


def _slug(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain)[:60].strip("-")


def content_sum(
    project: Mapping[str, str],
    made_with: Mapping[str, str],
    state: State,
    *,
    days: bool,
    pages: bool,
    signer: str | None,
) -> str:
    """One sum over all that a seal is made from, its place in the chain apart: equal where nothing changed.

    Parameters: project, sums of its files by path, without the ledger of seals.
    """
    made = [sorted(project.items()), sorted(made_with.items()), state, days, pages, signer]
    return hashlib.sha256(json.dumps(made, ensure_ascii=False).encode()).hexdigest()


def readme(facts: SealFacts) -> bytes:
    """How a stranger opens the archive and checks it by hand."""
    lines = []
    if facts.state == "do_not_energise":
        lines += ["DO NOT ENERGISE", "", "This installation was found unsafe or unproven. Do not switch it on.", ""]
    lines += [
        f"{facts.vessel}: record of the electrical installation",
        f"Seal {facts.number} of {facts.date}, made by {facts.installer}",
        "",
        "HOW TO READ IT (no network and no special program needed; all of it lies in this folder)",
    ]
    if facts.pages:
        lines += ["  site/index.html   open it in any browser", f"  {PDF}        the same on paper, in any PDF reader"]
        lines += ["  site/aboard/      sheets to print: emergency card, labels, dates of upkeep"]
    if not facts.days:
        lines += ["  What happens over days and years was left out of it, with the findings that rest on it."]
    lines += [
        f"  {RESULTS}      every figure, as text",
        "  project/          what all of it was computed from; project/record/ holds the entries and photos",
        "",
        "HOW TO CHECK THAT NOTHING WAS CHANGED",
        "  In the folder above this one, on any system that has sha256sum (or: shasum -a 256):",
        f"    sha256sum -c --quiet {TAG_MANIFEST} && sha256sum -c --quiet {MANIFEST} && echo intact",
        f"  This proves that the files agree with the lists {MANIFEST} and {TAG_MANIFEST}.",
        f"  What stands for the whole is the sum of {TAG_MANIFEST}: compare it with what the installer",
        "  or the next seal says of it:",
        f"    sha256sum {TAG_MANIFEST}",
        "  With the program that made it: proposal verify FOLDER",
        "",
    ]
    if facts.signed_with is None:
        lines += ["It is not signed: it may be intact, and its author is unproven.", ""]
    else:
        lines += [
            f"It is signed with the key {facts.signed_with}. By hand, with the installer's public key in a file",
            "`signers` (a line: NAME ssh-ed25519 AAAA...):",
            "    ssh-keygen -Y verify -f signers -I NAME -n proposal-record \\",
            f"      -s {SIGNATURE} < {TAG_MANIFEST}",
            "",
        ]
    if facts.previous is None:
        lines += ["It is the first seal of this record.", ""]
    else:
        lines += [f"The seal before it has the sum {facts.previous}.", ""]
    return "\n".join(lines).encode()
