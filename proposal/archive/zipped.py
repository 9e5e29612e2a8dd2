"""An archive as one zip, and out of it again without trusting it.

What is read comes from anywhere: names that lead elsewhere, links, encrypted or repeated entries, and files that swell
beyond all measure are refused before a byte of them is written.
"""

import hashlib
import io
import os
import stat
import struct
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from proposal.archive.bag import bad_name
from proposal.files import put_new

SUM_ENDING = ".sha256"
MOST_BYTES = 2_000_000_000
MOST_FILES = 50_000
MOST_SWELLING = 60
"""Unpacked bytes for each byte of the zip: pages and results come to about ten, a bomb to a thousand."""
ALWAYS_BYTES = 20_000_000
"""So much may be unpacked from any zip, however small."""
_EARLIEST = (1980, 1, 1, 0, 0, 0)
_PLAIN_FILE = 0o100644 << 16
_ON_UNIX = 3
_END = struct.Struct("<4sHHHHIIH")
_LOCATOR_BYTES = 20
_MOST_DIRECTORY_BYTES = 30_000_000
_IN_DIRECTORY_MORE_BYTES = 16
"""An entry's head in the directory is longer by so much than the one in front of its bytes."""


class ZipProblem(ValueError):  # noqa: N818 - it is told as what is wrong with a zip
    """A zip that is damaged or not to be trusted, in words for its reader."""


def zip_bytes(name: str, files: Mapping[str, bytes]) -> bytes:
    """A zip of files under one folder; equal files give equal bytes with one release of zlib."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, allowZip64=False) as archive:
        for path in sorted(files):
            entry = zipfile.ZipInfo(f"{name}/{path}", _EARLIEST)
            entry.create_system, entry.external_attr = _ON_UNIX, _PLAIN_FILE
            archive.writestr(entry, files[path], zipfile.ZIP_DEFLATED, 9)
    return made.getvalue()


def sum_line(name: str, data: bytes) -> bytes:
    """What stands beside a zip, in the form of sha256sum."""
    return f"{hashlib.sha256(data).hexdigest()}  {name}\n".encode()


def unpack(path: Path, into: Path) -> Path:
    """Unpack a zip into an empty folder of our own and return its only folder.

    Raises ZipProblem for whatever is not as `zip_bytes` writes it, OSError.
    """
    try:
        with path.open("rb") as stream:
            count = _look_at_its_end(stream, path.stat().st_size)
            stream.seek(0)
            with zipfile.ZipFile(stream) as archive:
                entries = archive.infolist()
                if len(entries) != count:
                    raise ZipProblem(f"holds {len(entries)} entries, and its end names another number")
                _look_at_entries(entries, path.stat().st_size)
                _look_between(stream, entries, path.stat().st_size)
                for entry in entries:
                    _unpack_one(archive, entry, into)
    except ZipProblem:
        raise
    except (zipfile.BadZipFile, zlib.error, EOFError, struct.error) as error:
        raise ZipProblem(f"is damaged: {error}") from error
    except (NotImplementedError, RuntimeError, ValueError) as error:
        raise ZipProblem(f"is not a zip as this tool writes it: {error}") from error
    return into / entries[0].filename.split("/")[0]


def peek(path: Path, name: str, most_bytes: int) -> bytes | None:
    """The bytes of `name` in the one folder of a zip, unpacked from no more than is asked for; nothing is proven.

    None where it is not there, is larger, or the zip is damaged or none.
    """
    try:
        with path.open("rb") as stream:
            _look_at_its_end(stream, path.stat().st_size)
            stream.seek(0)
            with zipfile.ZipFile(stream) as archive:
                entry = archive.getinfo(f"{archive.infolist()[0].filename.split('/')[0]}/{name}")
                if entry.file_size > most_bytes:
                    return None
                with archive.open(entry) as member:
                    data = member.read(most_bytes + 1)
    except (OSError, ZipProblem, zipfile.BadZipFile, zlib.error, EOFError, struct.error):
        return None
    except (KeyError, IndexError, NotImplementedError, RuntimeError, ValueError):
        return None
    return data if len(data) <= most_bytes else None


def _look_at_its_end(stream: io.BufferedReader, size: int) -> int:
    """The directory of the zip must be of sane size and end the file, before anything builds on it. Returns how many
    entries it is said to have.
    """
    if size < _END.size:
        raise ZipProblem("is no zip")
    if size > MOST_BYTES:
        raise ZipProblem(f"is larger than {MOST_BYTES // 10**9} GB")
    stream.seek(max(0, size - _END.size - _LOCATOR_BYTES))
    if stream.read(_LOCATOR_BYTES).startswith(b"PK\6\7"):
        raise ZipProblem("speaks of a second directory, which this tool does not write")
    stream.seek(size - _END.size)
    mark, disk, first, here, count, length, offset, remark = _END.unpack(stream.read(_END.size))
    if mark != b"PK\5\6" or remark:
        raise ZipProblem("does not end as a zip of this tool does")
    if disk or first or here != count or offset + length + _END.size != size:
        raise ZipProblem("has a directory that does not fit the file")
    if not 0 < count <= MOST_FILES or length > _MOST_DIRECTORY_BYTES:
        raise ZipProblem(f"has {count} entries in {length} bytes, and up to {MOST_FILES} are taken")
    return int(count)


def _look_at_entries(entries: list[zipfile.ZipInfo], size: int) -> None:
    seen: set[str] = set()
    top = entries[0].filename.split("/")[0]
    unpacked = 0
    for entry in entries:
        name = entry.filename
        shown = name[:100]
        if name != entry.orig_filename or (what := bad_name(name)) is not None:
            raise ZipProblem(f"holds {shown!r}, which {what if name == entry.orig_filename else 'leads elsewhere'}")
        if not name.startswith(f"{top}/"):
            raise ZipProblem(f"holds {shown!r} outside its folder {top!r}")
        if name.casefold() in seen:
            raise ZipProblem(f"holds {shown!r} twice")
        seen.add(name.casefold())
        if entry.flag_bits & 0x1:
            raise ZipProblem(f"holds {shown!r} encrypted")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise ZipProblem(f"holds {shown!r} packed in an unusual way")
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG) or entry.is_dir():
            raise ZipProblem(f"holds {shown!r}, which is no plain file")
        if entry.extra or entry.comment:
            raise ZipProblem(f"holds {shown!r} with more about it than this tool writes")
        unpacked += entry.file_size
    both = next((up for name in seen for up in map(str, PurePosixPath(name).parents) if up in seen), None)
    if both is not None:
        raise ZipProblem(f"holds {both[:100]!r} as a file and as a folder")
    if unpacked > min(MOST_BYTES, max(ALWAYS_BYTES, MOST_SWELLING * size)):
        raise ZipProblem(f"would swell to {unpacked} bytes; so much is not unpacked")


def _look_between(stream: io.BufferedReader, entries: list[zipfile.ZipInfo], size: int) -> None:
    """Entries must follow each other without a gap, each with the head that the directory tells: nothing lies hidden,
    and no other reader takes something else out of it.
    """
    at = length = 0
    for entry in entries:
        head = entry.FileHeader(zip64=False)
        stream.seek(at)
        if entry.header_offset != at or entry.flag_bits & 0x8 or stream.read(len(head)) != head:
            raise ZipProblem(f"holds {entry.filename[:100]!r} in another way than its directory says")
        at += len(head) + entry.compress_size
        length += len(head) + _IN_DIRECTORY_MORE_BYTES
    if at + length + _END.size != size:
        raise ZipProblem("holds bytes that belong to none of its files")


def _unpack_one(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, into: Path) -> None:
    target = into.joinpath(*entry.filename.split("/"))
    os.makedirs(target.parent, exist_ok=True)
    with archive.open(entry) as packed:
        put_new(target, packed, entry.file_size)
