"""Who may sign: the keys of a file in the form that OpenSSH names `allowed_signers`.

A line holds names, perhaps options, kind of key, key and a remark: `yard@example.org ssh-ed25519 AAAA... the yard`.
"""

import base64
import binascii
import datetime
import re
from collections.abc import Sequence

from proposal.archive.sshsig import NAMESPACE
from proposal.frozen import frozen

_KINDS = re.compile(r"(?:ssh-|ecdsa-sha2-|rsa-sha2-)[a-z0-9-]+")
_OPTION = re.compile(r'(?:[^\s",]|"[^"]*")+')
LARGEST_SIGNERS_BYTES = 1_000_000


@frozen
class Signer:
    """One line: names, the key in wire form, what it may sign (empty: anything) and between which days."""

    names: str
    public: bytes
    namespaces: tuple[str, ...] = ()
    after: str = ""
    before: str = ""

    def may_sign(self, day: datetime.date) -> bool:
        """Whether a seal of that day counts."""
        text = day.strftime("%Y%m%d")
        return (not self.namespaces or NAMESPACE in self.namespaces) and (
            (not self.after or self.after[:8] <= text) and (not self.before or text < self.before[:8])
        )


def parse_signers(text: str) -> tuple[tuple[Signer, ...], list[tuple[int, str]]]:
    """Read a file of signers; empty lines and lines with # are passed over.

    Returns the signers, and (line number, what is wrong) for each line that cannot be taken.
    """
    signers: list[Signer] = []
    wrong: list[tuple[int, str]] = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        found = _parsed(line.split())
        if isinstance(found, str):
            wrong.append((number, found))
        else:
            signers.append(found)
    return tuple(signers), wrong


def name_of(public: bytes, signers: Sequence[Signer], day: datetime.date) -> str | None:
    """The names of a key that may have signed on a day; None: the file knows no such key, or not for that."""
    return next((s.names for s in signers if s.public == public and s.may_sign(day)), None)


def _parsed(words: list[str]) -> Signer | str:
    at = next((n for n, word in enumerate(words) if n > 0 and _KINDS.fullmatch(word)), 0)
    if at not in (1, 2) or len(words) < at + 2:
        return "is not names, kind of key and key, such as yard@example.org ssh-ed25519 AAAA..."
    try:
        public = base64.b64decode(words[at + 1], validate=True)
    except binascii.Error:
        return "its key is not in base 64"
    said = {"namespaces": "", "valid-after": "", "valid-before": ""}
    for option in _OPTION.findall(words[1]) if at == 2 else ():
        name, _, value = option.partition("=")
        if name.lower() not in said or not value:
            return f"has an option that is not known here: {name}"
        said[name.lower()] = value.strip('"')
    for name in ("valid-after", "valid-before"):
        if said[name] and not re.fullmatch(r"\d{8}(?:\d{4}(?:\d{2})?)?Z?", said[name]):
            return f"its {name} is not a day such as 20261120"
    spaces = tuple(said["namespaces"].split(",")) if said["namespaces"] else ()
    return Signer(words[0], public, spaces, said["valid-after"], said["valid-before"])
