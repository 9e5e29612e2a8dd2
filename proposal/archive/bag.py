"""A bag by RFC 8493, BagIt 1.0: what it carries lies under `data/`, with the SHA-256 sum of each file in a manifest.

Written in one way only, in memory: whoever remakes manifests from the files gets the same bytes, or something changed.
"""

import hashlib
import re
import unicodedata
from collections.abc import Iterable, Mapping

BAGIT_TXT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
BAGIT, INFO = "bagit.txt", "bag-info.txt"
MANIFEST, TAG_MANIFEST = "manifest-sha256.txt", "tagmanifest-sha256.txt"
SIGNATURE = f"{TAG_MANIFEST}.sig"
PAYLOAD = "data/"
TAG_FILES = (INFO, BAGIT, MANIFEST)
"""Files that the tag manifest has sums of, in its order."""
LABELS = (
    "Source-Organization", "External-Description", "External-Identifier", "Bagging-Date", "Payload-Oxum",
    "Bag-Software-Agent", "Vessel", "Proposal-Number", "Seal-Number", "Seal-State", "Previous-Seal", "Signed-With-Key",
)  # fmt: skip
NONE = "none"
_LABEL_LINE = re.compile(r"([A-Z][A-Za-z]*(?:-[A-Z][A-Za-z]*)*): (\S(?:.*\S)?)")


def sum_of(data: bytes) -> str:
    """SHA-256 as 64 digits."""
    return hashlib.sha256(data).hexdigest()


def bag(payload: Mapping[str, bytes], info: Mapping[str, str]) -> dict[str, bytes]:
    """All files of a bag by path.

    Parameters: payload, by path under `data/`; info, a text for each of LABELS but Payload-Oxum.
    Raises ValueError for a name that cannot stand in a manifest, KeyError for a label that is missing.
    """
    files = {PAYLOAD + name: data for name, data in payload.items()}
    for path in files:
        if (what := bad_name(path)) is not None:
            raise ValueError(f"{path!r} {what}")
    full = {**info, "Payload-Oxum": oxum(len(data) for data in files.values())}
    files[BAGIT] = BAGIT_TXT
    files[INFO] = info_text(full)
    files[MANIFEST] = manifest_text({path: sum_of(data) for path, data in files.items() if path.startswith(PAYLOAD)})
    files[TAG_MANIFEST] = manifest_text({path: sum_of(files[path]) for path in TAG_FILES})
    return files


def bad_name(path: str) -> str | None:
    """What is wrong with the path of a file, which must read the same to every system and in every manifest."""
    parts = path.split("/")
    if any(part in ("", ".", "..") for part in parts) or re.match(r"[A-Za-z]:", path):
        return "leads elsewhere"
    if any(ch in '\\:*?"<>|%' or ord(ch) < 32 or ord(ch) == 127 for ch in path):
        return "has characters that not every system takes in a name"
    if any(part != part.strip(" ") or part.endswith(".") for part in parts):
        return "has a blank at an end or a full stop at its end"
    if unicodedata.normalize("NFC", path) != path or any(0xD800 <= ord(ch) < 0xE000 for ch in path):
        return "is not in composed Unicode"
    if len(path.encode()) > 400 or any(len(part.encode()) > 200 for part in parts):
        return "is too long"
    return None


def oxum(sizes: Iterable[int]) -> str:
    """Bytes and count of what a bag carries, as its information has them."""
    every = list(sizes)
    return f"{sum(every)}.{len(every)}"


def manifest_text(sums: Mapping[str, str]) -> bytes:
    """The text of a manifest: in the order of its paths, readable by `sha256sum -c`."""
    return "".join(f"{sums[path]}  {path}\n" for path in sorted(sums)).encode()


def parse_manifest(text: bytes) -> dict[str, str] | None:
    """Sums by path, or None for anything but the bytes that `manifest_text` writes."""
    try:
        lines = text.decode().split("\n")
    except UnicodeDecodeError:
        return None
    found = {line[66:]: line[:64] for line in lines[:-1]}
    ours = all(re.fullmatch(r"[0-9a-f]{64}", value) and bad_name(path) is None for path, value in found.items())
    return found if ours and manifest_text(found) == text else None


def info_text(info: Mapping[str, str]) -> bytes:
    """The text of `bag-info.txt`: each label once, in one order, each value on one line."""
    return "".join(f"{label}: {_one_line(info[label]) or NONE}\n" for label in LABELS).encode()


def parse_info(text: bytes) -> dict[str, str] | None:
    """Values by label, or None for anything but the bytes that `info_text` writes."""
    try:
        found = [_LABEL_LINE.fullmatch(line) for line in text.decode().split("\n")[:-1]]
    except UnicodeDecodeError:
        return None
    info = {line[1]: line[2] for line in found if line is not None}
    return info if info.keys() == set(LABELS) and info_text(info) == text else None


def _one_line(text: str) -> str:
    return " ".join("".join(ch if ch.isprintable() else " " for ch in text).split())
