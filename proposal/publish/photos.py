"""Photos of a record made fit to publish: upright, of one colour space and size, without what they tell in secret."""

from __future__ import annotations

import contextlib
import hashlib
import io
import re
import warnings
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Final

from PIL import Image, ImageCms, ImageFile

from proposal.book.photos import PublishedPhoto
from proposal.errors import Problem, SpecError
from proposal.frozen import frozen
from proposal.spec.recorded import Record, RecordEntry, photo_path

LARGEST_SIDE_PX: Final = 1600
MOST_PIXELS: Final = 52_000_000
"""Decoded they take 0.2 GB; cameras of telephones stay below it."""
_LONGEST_PX: Final = 20_000
_LARGEST_PROFILE_BYTES: Final = 4_000_000
_ALLOWED: Final = f"a JPEG or PNG picture of up to {MOST_PIXELS // 1_000_000} million pixels"
_SIGNS: Final = {b"\xff\xd8\xff": "JPEG", b"\x89PNG\r\n\x1a\n": "PNG"}
_JPEG: Final[dict[str, Any]] = {
    "format": "JPEG",
    "quality": 84,
    "subsampling": "4:2:0",
    "optimize": True,
    "progressive": False,
}
# EXIF 2.32: the orientation, and how such a picture is turned upright
_ORIENTATION: Final = 0x0112
_UPRIGHT: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# ISO 10918-1: tables, and the frame of a plain picture; JFIF without a small picture in it is 14 bytes
_PICTURE_SEGMENTS: Final = frozenset({0xDB, 0xC0, 0xC4})
_SCAN: Final = 0xDA
_JFIF: Final = (0xE0, 14)
_END: Final = b"\xff\xd9"
# within a picture's own data: no marker but the stuffed zero and restarts
_MARKER: Final = re.compile(rb"\xff[^\x00\xd0-\xd7]", re.DOTALL)
_GPS: Final = 0x8825
# version, latitude, longitude, height, time, heading and date; areas by name and makers' own tags stay behind
_PLACE_TAGS: Final = frozenset({0, 1, 2, 3, 4, 5, 6, 7, 16, 17, 29})
_LARGEST_PLACE_BYTES: Final = 2_000


@frozen
class Prepared:
    """A photo as published: a JPEG in sRGB, upright, named by its content.

    ``located`` tells that the place where it was taken is still in it; nothing else of its metadata ever is.
    """

    name: str
    data: bytes
    width_px: int
    height_px: int
    located: bool = False

    @property
    def published(self) -> PublishedPhoto:
        """What the book knows of it."""
        return PublishedPhoto(self.name, self.width_px, self.height_px, self.located)


def prepare(data: bytes, *, keep_location: bool) -> Prepared:
    """Make a photo fit to publish.

    JPEG and PNG are taken, by what the file is and not by its name. The longer side becomes at most 1600 px. All
    metadata go, and whatever else lies in the file; with ``keep_location`` the place (EXIF GPS) stays. The same input
    gives the same bytes. Raises ``ValueError`` that says what is wrong and what is allowed.
    """
    if not any(data.startswith(sign) for sign in _SIGNS):
        raise ValueError(f"is neither a JPEG nor a PNG picture, whatever its name says; allowed: {_ALLOWED}")
    try:
        with _strict():
            return _prepare(data, keep_location)
    except _UnfitError as error:
        raise ValueError(f"{error}; allowed: {_ALLOWED}") from None
    except Image.DecompressionBombError:
        raise ValueError(f"has too many pixels; allowed: {_ALLOWED}") from None
    except Exception as error:  # a hostile file breaks a decoder in ways that no list has
        raise ValueError(f"is damaged or cut short and cannot be shown; allowed: {_ALLOWED}") from error


def prepare_all(record: Record) -> dict[str, Prepared]:
    """Return every photo that a record names, by the name of its file there.

    A photo that several entries show keeps its place only if each of them says so. Raises ``SpecError`` with all
    problems at once, at their places in the entries.
    """
    problems: list[Problem] = []
    made: dict[str, Prepared] = {}
    for name, shown in _shown(record).items():
        keep = all(entry.value.keep_location for entry, _ in shown)
        try:
            made[name] = prepare(photo_path(record.folder, name).read_bytes(), keep_location=keep)
        except (ValueError, OSError) as error:
            problems += [_problem(entry, number, name, error) for entry, number in shown]
    if problems:
        raise SpecError(problems)
    return made


@contextlib.contextmanager
def _strict() -> Iterator[None]:
    """The decoder as it is by itself: the type-setter makes it take what is cut short, for the whole process."""
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns of sizes and odd tags; sizes are judged here
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


class _UnfitError(Exception):
    """The picture is whole, but not one that is published."""


def _shown(record: Record) -> dict[str, list[tuple[RecordEntry, int]]]:
    """Where each photo is named: entry and place in its list."""
    found: dict[str, list[tuple[RecordEntry, int]]] = {}
    for entry in record.entries:
        for number, photo in enumerate(entry.value.photos):
            found.setdefault(photo.file, []).append((entry, number))
    return found


def _problem(entry: RecordEntry, number: int, name: str, error: Exception) -> Problem:
    if isinstance(error, OSError):
        what, allowed = f"the photo {name} cannot be read: {error.strerror}", "a file that can be read"
    else:
        said, _, allowed = str(error).partition("; allowed: ")
        what = f"the photo {name} {said}" if allowed else said
    return entry.problem(("photos", number, "file"), what, allowed or f"{_ALLOWED} in record/photos")


def _prepare(data: bytes, keep_location: bool) -> Prepared:
    with Image.open(io.BytesIO(data), formats=tuple(_SIGNS.values())) as opened:
        width, height = opened.size
        if width * height > MOST_PIXELS or max(width, height) > _LONGEST_PX:
            raise _UnfitError(f"has {width} × {height} pixels, which are too many")
        if opened.format == "PNG" and getattr(opened, "n_frames", 1) > 1:
            raise _UnfitError("is a moving picture")
        if opened.format != "PNG":
            # the decoder halves a large JPEG as it goes, never below what is asked for
            opened.draft(opened.mode, (LARGEST_SIDE_PX, LARGEST_SIDE_PX))
        opened.load()  # before the metadata, of which some stand behind the picture
        turned, place = _told(opened, keep_location)
        if turned not in _UPRIGHT and _is_prepared(opened, data, place):
            return _named(data, opened, place)
        profile = opened.info.get("icc_profile") or b""
        picture = _in_srgb(_on_white(_smaller(_plain(opened))), profile)
    if turned in _UPRIGHT:
        picture = picture.transpose(_UPRIGHT[turned])
    picture.info.clear()
    written = io.BytesIO()
    picture.save(written, **_JPEG, exif=place)
    return _named(written.getvalue(), picture, place)


def _named(data: bytes, picture: Image.Image, place: bytes) -> Prepared:
    name = f"photo-{hashlib.sha256(data).hexdigest()[:16]}.jpg"
    return Prepared(name, data, picture.width, picture.height, bool(place))


def _is_prepared(picture: Image.Image, data: bytes, place: bytes) -> bool:
    """Whether a file is one that was made here: it stays as it is, so that its name stays and nothing is lost again."""
    if picture.format != "JPEG" or picture.mode != "RGB" or max(picture.size) > LARGEST_SIDE_PX:
        return False
    segments, scan = _segments(data)
    extra = [segment for marker, segment in segments if marker not in _PICTURE_SEGMENTS]
    if extra != ([place] if place else []):
        return False
    ends = _MARKER.search(data, scan + 2)
    whole = ends is not None and ends.group() == _END and ends.end() == len(data)
    return whole and getattr(picture, "quantization", None) == _own_tables()


def _segments(data: bytes) -> tuple[list[tuple[int, bytes]], int]:
    """Marker and content of what stands before the picture itself in a JPEG, and where that begins (ISO 10918-1, B)."""
    found, at = [], 2
    while data[at : at + 1] == b"\xff" and data[at + 1] != _SCAN:
        end = at + 2 + int.from_bytes(data[at + 2 : at + 4], "big")
        found.append((data[at + 1], data[at + 4 : end]))
        at = end
    return [(marker, segment) for marker, segment in found if (marker, len(segment)) != _JFIF], at


@lru_cache(maxsize=1)
def _own_tables() -> dict[int, list[int]]:
    written = io.BytesIO()
    Image.new("RGB", (16, 16)).save(written, **_JPEG)
    with Image.open(written, formats=("JPEG",)) as opened:
        tables: dict[int, list[int]] = getattr(opened, "quantization")  # noqa: B009 - of a JPEG alone
    return tables


def _told(picture: Image.Image, keep_location: bool) -> tuple[int, bytes]:
    """How the camera was held, and the EXIF that has the place alone; a picture with broken metadata tells nothing."""
    try:
        exif = picture.getexif()
        turned = exif.get(_ORIENTATION, 1)
        place = {tag: value for tag, value in _sorted(exif.get_ifd(_GPS)) if tag in _PLACE_TAGS}
        kept = Image.Exif()
        kept[_GPS] = place
        written = kept.tobytes() if keep_location and place else b""
    except Exception:  # as hostile as the picture itself
        return 1, b""
    return turned if isinstance(turned, int) else 1, written if len(written) <= _LARGEST_PLACE_BYTES else b""


def _sorted(tags: dict[int, Any]) -> Iterator[tuple[int, Any]]:
    for tag in sorted(tags):
        yield tag, tags[tag]


def _plain(picture: Image.Image) -> Image.Image:
    """In a mode that can be scaled: grey, RGB or CMYK, with alpha or without."""
    if picture.mode.startswith("I"):  # 16 bits of grey
        return picture.convert("I").point(lambda level: level * (1 / 256)).convert("L")
    if picture.mode in {"RGB", "L", "CMYK", "RGBA", "LA"} and "transparency" not in picture.info:
        return picture
    return picture.convert("RGBA" if picture.has_transparency_data else "RGB")


def _smaller(picture: Image.Image) -> Image.Image:
    factor = LARGEST_SIDE_PX / max(picture.size)
    if factor >= 1:
        return picture.copy()
    size = (max(round(picture.width * factor), 1), max(round(picture.height * factor), 1))
    return picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)


def _on_white(picture: Image.Image) -> Image.Image:
    if picture.mode not in {"RGBA", "LA"}:
        return picture
    coloured = picture.convert("RGBA")
    paper = Image.new("RGB", picture.size, "white")
    paper.paste(coloured, mask=coloured.getchannel("A"))
    return paper


def _in_srgb(picture: Image.Image, profile: bytes) -> Image.Image:
    """In sRGB by the picture's own colour profile; one that does not fit the picture is left out of account."""
    if 0 < len(profile) <= _LARGEST_PROFILE_BYTES:
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            made = ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            made = None
        if made is not None:
            return made
    return picture.convert("RGB")
