"""Photos as real files on disk: what is taken, what becomes of them, what is refused and with which words."""

from __future__ import annotations

import hashlib
import io
import json
import os
import struct
import subprocess
import sys
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageCms, ImageDraw, ImageFile

from proposal.errors import SpecError
from proposal.publish.photos import LARGEST_SIDE_PX, MOST_PIXELS, Prepared, prepare, prepare_all
from proposal.spec.recorded import load_record

GPS = 0x8825
PLACE = {0: b"\x02\x03\x00\x00", 1: "N", 2: (54.0, 19.0, 30.0), 3: "E", 4: (10.0, 8.0, 0.0), 7: (9.0, 30.0, 0.0)}


def _picture(width: int = 640, height: int = 480, mode: str = "RGB") -> Image.Image:
    """Red in its upper left quarter, blue elsewhere."""
    made = Image.new("RGB", (width, height), (20, 40, 200))
    ImageDraw.Draw(made).rectangle((0, 0, max(width // 2 - 1, 0), max(height // 2 - 1, 0)), fill=(220, 30, 30))
    return made.convert(mode)


def _saved(picture: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    written = io.BytesIO()
    picture.save(written, kind, **options)  # type: ignore[arg-type]
    return written.getvalue()


def _exif(orientation: int | None = None, *, place: bool = False) -> bytes:
    exif = Image.Exif()
    if orientation is not None:
        exif[0x0112] = orientation
    exif[0x010F], exif[0x0131], exif[0x9286] = "A maker", "Some software", b"ASCII\0\0\0a secret note"
    if place:
        exif[GPS] = PLACE
    return exif.tobytes()


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _png(width: int, height: int, *chunks: bytes) -> bytes:
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + b"".join(chunks) + _chunk(b"IEND", b"")


def _read(made: Prepared) -> Image.Image:
    opened = Image.open(io.BytesIO(made.data))
    opened.load()
    return opened


def _is(picture: Image.Image, x: float, y: float, colour: str) -> bool:
    red, _, blue = picture.getpixel((int(x * picture.width), int(y * picture.height)))  # type: ignore[misc]
    return (red > 150 > blue) if colour == "red" else (blue > 150 > red)


def test_a_photo_becomes_a_plain_jpeg_named_by_its_content() -> None:
    data = _saved(_picture(), exif=_exif(place=True), comment=b"a secret comment", dpi=(300, 300))
    made = prepare(data, keep_location=False)
    picture = _read(made)
    assert (picture.format, picture.mode, picture.size) == ("JPEG", "RGB", (640, 480))
    assert made.name == f"photo-{hashlib.sha256(made.data).hexdigest()[:16]}.jpg"
    assert (made.published.file, made.published.width_px, made.published.height_px) == (made.name, 640, 480)
    assert prepare(data, keep_location=False) == made


@pytest.mark.parametrize("place", [False, True])
def test_what_was_prepared_stays_as_it_is(place: bool) -> None:
    made = prepare(_saved(_picture(3000, 2000), exif=_exif(6, place=place)), keep_location=True)
    assert made.located is place
    assert prepare(made.data, keep_location=True) == made
    bare = prepare(made.data, keep_location=False)
    assert not bare.located
    assert (bare.data == made.data) is not place


@pytest.mark.parametrize("spoil", [b"PK\x03\x04", b"<html>", b"\xff\xd9", b"\0"])
def test_what_was_prepared_and_got_a_tail_loses_it(spoil: bytes) -> None:
    made = prepare(_saved(_picture()), keep_location=False)
    again = prepare(made.data + spoil, keep_location=False)
    assert again.data[-20:] != (made.data + spoil)[-20:]
    assert again.data.endswith(b"\xff\xd9")
    between = made.data[:-2] + b"\xff\xfe\x00\x08secret" + made.data[-2:]
    assert b"secret" not in prepare(between, keep_location=False).data
    comment = made.data[:2] + b"\xff\xfe\x00\x08secret" + made.data[2:]
    assert b"secret" not in prepare(comment, keep_location=False).data


def test_nothing_that_the_file_told_is_left() -> None:
    data = _saved(_picture(), exif=_exif(1, place=True), comment=b"a secret comment")
    assert len(Image.open(io.BytesIO(data)).getexif().get_ifd(GPS)) == len(PLACE)  # it was there
    made = prepare(data, keep_location=False)
    assert not made.located
    assert dict(_read(made).getexif()) == {}
    assert {marker for marker in _markers(made.data) if 0xE1 <= marker <= 0xEF or marker == 0xFE} == set()
    for told in (b"Exif", b"secret", b"A maker", b"Some software", b"ICC_PROFILE"):
        assert told not in made.data


def _markers(data: bytes) -> list[int]:
    """The markers of a JPEG before its scan (ISO 10918-1, annex B)."""
    found, at = [], 2
    while data[at + 1] != 0xDA:
        found.append(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return found


def test_the_place_stays_alone_when_it_is_wanted() -> None:
    made = prepare(_saved(_picture(), exif=_exif(6, place=True)), keep_location=True)
    exif = _read(made).getexif()
    assert made.located
    assert list(exif) == [GPS]
    kept = exif.get_ifd(GPS)
    assert kept[1] == "N"
    assert [float(part) for part in kept[2]] == [54.0, 19.0, 30.0]
    assert set(kept) == set(PLACE)
    for told in (b"secret", b"A maker", b"Some software"):
        assert told not in made.data


def test_there_is_no_place_to_keep_in_a_photo_without_one() -> None:
    with_none = prepare(_saved(_picture(), exif=_exif(1)), keep_location=True)
    assert not with_none.located
    assert with_none == prepare(_saved(_picture()), keep_location=False)


# EXIF 2.32: where the first row and column of the file lie as one looks at it
CORNERS = {1: (0, 0), 2: (1, 0), 3: (1, 1), 4: (0, 1), 5: (0, 0), 6: (1, 0), 7: (1, 1), 8: (0, 1)}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_turned_upright(orientation: int) -> None:
    made = prepare(_saved(_picture(640, 480), exif=_exif(orientation)), keep_location=False)
    picture = _read(made)
    assert picture.size == ((640, 480) if orientation < 5 else (480, 640))
    right, low = CORNERS[orientation]
    for x in (0, 1):
        for y in (0, 1):
            colour = "red" if (x, y) == (right, low) else "blue"
            assert _is(picture, 0.25 + 0.5 * x, 0.25 + 0.5 * y, colour), (x, y)


@pytest.mark.parametrize("orientation", [0, 9, 77])
def test_an_orientation_that_there_is_not_turns_nothing(orientation: int) -> None:
    data = _saved(_picture(), exif=_exif(orientation))
    assert prepare(data, keep_location=False) == prepare(_saved(_picture()), keep_location=False)


@pytest.mark.parametrize(
    ("size", "becomes"),
    [
        ((1600, 1200), (1600, 1200)),
        ((1601, 1200), (1600, 1199)),
        ((4000, 3000), (1600, 1200)),
        ((900, 3200), (450, 1600)),
        ((9000, 2), (1600, 1)),
        ((1, 1), (1, 1)),
    ],
)
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_it_is_scaled_to_what_a_page_can_show(size: tuple[int, int], becomes: tuple[int, int], kind: str) -> None:
    made = prepare(_saved(_picture(*size), kind), keep_location=False)
    assert (made.width_px, made.height_px) == becomes == _read(made).size
    assert max(becomes) <= LARGEST_SIDE_PX


@pytest.mark.parametrize("mode", ["L", "RGB", "CMYK", "1", "P", "RGBA", "LA", "I;16"])
def test_every_way_to_keep_colours_becomes_rgb(mode: str) -> None:
    source = Image.new(mode, (64, 48), 40_000) if mode == "I;16" else _picture(64, 48, mode)
    data = _saved(source, "JPEG" if mode in {"L", "CMYK"} else "PNG")
    picture = _read(prepare(data, keep_location=False))
    assert (picture.mode, picture.size) == ("RGB", (64, 48))
    if mode in {"RGB", "CMYK", "P", "RGBA"}:
        assert _is(picture, 0.2, 0.2, "red")
        assert _is(picture, 0.8, 0.8, "blue")
    if mode == "I;16":
        assert picture.getpixel((9, 9)) == pytest.approx((156, 156, 156), abs=2)  # 40000 / 256


def test_what_is_transparent_becomes_white() -> None:
    clear = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    assert _read(prepare(_saved(clear, "PNG"), keep_location=False)).getpixel((20, 15)) == (255, 255, 255)
    shown = Image.new("P", (40, 30), 3)
    shown.putpalette([value for n in range(256) for value in (n, 0, 0)])
    data = _saved(shown, "PNG", transparency=3)
    assert _read(prepare(data, keep_location=False)).getpixel((20, 15)) == (255, 255, 255)


def test_a_colour_space_of_its_own_is_brought_to_srgb() -> None:
    own = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    same = prepare(_saved(_picture(), icc_profile=own), keep_location=False)
    assert _is(_read(same), 0.2, 0.2, "red")
    junk = prepare(_saved(_picture(), icc_profile=b"no profile at all" * 20), keep_location=False)
    assert junk == prepare(_saved(_picture()), keep_location=False)
    swapped = prepare(_saved(_picture(), icc_profile=_swapped(own)), keep_location=False)
    assert _is(_read(swapped), 0.2, 0.2, "blue")
    assert b"ICC_PROFILE" not in same.data + junk.data + swapped.data


def _swapped(profile: bytes) -> bytes:
    """A profile in which what is called red is blue, and the other way round."""
    return profile.replace(b"rXYZ", b"tmpX", 1).replace(b"bXYZ", b"rXYZ", 1).replace(b"tmpX", b"bXYZ", 1)


def test_what_lies_behind_the_picture_stays_behind() -> None:
    behind = io.BytesIO()
    with zipfile.ZipFile(behind, "w") as packed:
        packed.writestr("secret.html", "<script>hidden</script>")
    data = _saved(_picture()) + behind.getvalue()
    assert zipfile.is_zipfile(io.BytesIO(data))  # picture and zip at once
    made = prepare(data, keep_location=False)
    assert made == prepare(_saved(_picture()), keep_location=False)
    assert not zipfile.is_zipfile(io.BytesIO(made.data))
    as_page = _saved(_picture(), comment=b"--><script>alert(1)</script><!--")
    assert b"script" not in prepare(as_page, keep_location=False).data


def test_a_telephones_second_picture_in_one_file_stays_behind() -> None:
    two = _saved(_picture(), "MPO", save_all=True, append_images=[Image.new("RGB", (640, 480), "lime")])
    assert getattr(Image.open(io.BytesIO(two)), "n_frames", 1) == 2
    made = prepare(two, keep_location=False)
    assert (made.width_px, made.height_px) == (640, 480)
    assert b"MPF" not in made.data


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("empty.jpg", b"", "neither a JPEG nor a PNG"),
        ("text.jpg", b"not a picture", "neither a JPEG nor a PNG"),
        ("moving.jpg", _saved(_picture(9, 9), "GIF"), "neither a JPEG nor a PNG"),
        ("layers.png", _saved(_picture(9, 9), "TIFF"), "neither a JPEG nor a PNG"),
        ("web.jpg", _saved(_picture(9, 9), "BMP"), "neither a JPEG nor a PNG"),
        ("drawn.png", b'<svg xmlns="http://www.w3.org/2000/svg"/>', "neither a JPEG nor a PNG"),
        ("printed.jpg", b"%PDF-1.7\n" + _saved(_picture(9, 9)), "neither a JPEG nor a PNG"),
        ("packed.jpg", b"PK\x03\x04" + _saved(_picture(9, 9)), "neither a JPEG nor a PNG"),
        ("script.png", b"%!PS-Adobe-3.0\nquit", "neither a JPEG nor a PNG"),
        ("head.jpg", b"\xff\xd8\xff", "damaged or cut short"),
        ("head.png", b"\x89PNG\r\n\x1a\n", "damaged or cut short"),
        ("cut.jpg", _saved(_picture())[:-900], "damaged or cut short"),
        ("cut.png", _saved(_picture(), "PNG")[:-40], "damaged or cut short"),
        ("zeros.jpg", b"\xff\xd8\xff" + bytes(5000), "damaged or cut short"),
        ("no-pixels.png", _png(0, 0), "damaged or cut short"),
        ("no-data.png", _png(40, 40, _chunk(b"IDAT", b"")), "damaged or cut short"),
        ("bad-sum.png", _png(9, 9, b"\0\0\0\x02IDATxx\0\0\0\0"), "damaged or cut short"),
        ("bomb.png", _png(30_000, 30_000, _chunk(b"IDAT", b"")), "too many pixels"),
        ("wide-bomb.png", _png(20_001, 9, _chunk(b"IDAT", b"")), "20001 × 9 pixels, which are too many"),
        ("bomb-2.png", _png(60_000, 60_000, _chunk(b"IDAT", b"")), "too many"),
        ("text-bomb.png", _png(9, 9, _chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(80_000_000)))), "damaged"),
        (
            "moving.png",
            _saved(_picture(9, 9), "PNG", save_all=True, append_images=[Image.new("RGB", (9, 9))]),
            "is a moving picture",
        ),
    ],
)
def test_what_is_no_photo_is_refused_with_what_is_allowed(tmp_path: Path, name: str, data: bytes, says: str) -> None:
    file = tmp_path / name
    file.write_bytes(data)
    with pytest.raises(ValueError, match=says) as told:
        prepare(file.read_bytes(), keep_location=False)
    assert "allowed: a JPEG or PNG picture of up to 52 million pixels" in str(told.value)


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="asks Linux for the memory that was used")
def test_a_bomb_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    # 900 million black pixels that are really there: 0.9 MB packed, 0.9 GB unpacked
    rows = zlib.compressobj(9)
    packed = b"".join(rows.compress(bytes(30_001)) for _ in range(30_000)) + rows.flush()
    bomb = tmp_path / "bomb.png"
    bomb.write_bytes(_png(30_000, 30_000, _chunk(b"IDAT", packed)))
    code = (
        "import sys; from proposal.publish.photos import prepare\n"
        "try: prepare(open(sys.argv[1], 'rb').read(), keep_location=False)\n"
        "except ValueError as error: print(error)\n"
        "print(open('/proc/self/status').read().split('VmHWM:')[1].split()[0])"
    )
    environment = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}
    command = [sys.executable, "-c", code, str(bomb)]
    said, most = subprocess.run(
        command, env=environment, check=True, capture_output=True, text=True
    ).stdout.splitlines()
    assert "30000 × 30000 pixels, which are too many" in said or "too many pixels" in said
    assert int(most) < 300_000  # kB


def test_the_limit_of_pixels_is_below_what_the_decoder_itself_warns_of() -> None:
    assert Image.MAX_IMAGE_PIXELS is not None
    assert 1.5 * MOST_PIXELS < Image.MAX_IMAGE_PIXELS
    assert MOST_PIXELS > 8192 * 6144  # a camera of 50 million pixels


def test_what_is_cut_short_is_refused_after_a_pdf_was_set_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)  # so the type-setter leaves it
    with pytest.raises(ValueError, match="cut short"):
        prepare(_saved(_picture())[:-900], keep_location=False)
    assert ImageFile.LOAD_TRUNCATED_IMAGES


def _seeded(data: bytes, seed: int) -> bytes:
    """The file with a few bytes changed."""
    import random  # noqa: PLC0415

    chosen, spoilt = random.Random(seed), bytearray(data)  # noqa: S311 - a test
    for _ in range(chosen.randint(1, 12)):
        spoilt[chosen.randrange(3, len(spoilt))] = chosen.randrange(256)
    return bytes(spoilt[: chosen.randint(20, len(spoilt))] if chosen.random() < 0.3 else spoilt)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_spoilt_files_give_a_photo_or_a_sentence(kind: str) -> None:
    own = {
        "exif": _exif(6, place=True),
        "icc_profile": ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
    }
    data = _saved(_picture(96, 64), kind, **own)
    refused = []
    for seed in range(300):
        try:
            made = prepare(_seeded(data, seed), keep_location=True)
        except ValueError as error:
            refused.append(str(error))
        else:
            assert _read(made).mode == "RGB"
    assert 20 < len(refused) < 300
    assert all("; allowed: a JPEG or PNG" in said for said in refused)


def _record(folder: Path, *entries: str) -> Path:
    home = folder / "record"
    (home / "photos").mkdir(parents=True)
    for number, text in enumerate(entries, 1):
        (home / f"{number:02d}-entry.yaml").write_text(text)
    return home


def _entry(kind: str, *photos: str, more: str = "") -> str:
    rows = "".join(f"  - {{file: {name}, title: A place}}\n" for name in photos)
    option = "option: basic\n" if kind == "hand_over" else ""
    head = f'entry_version: "1"\nkind: {kind}\ntitle: An entry\ndate: 2026-05-01\nby: R. Sample\n'
    return f"{head}{option}{more}photos:\n{rows}"


def test_all_photos_of_a_record_are_prepared_by_name(tmp_path: Path) -> None:
    more = "keep_location: yes\n"
    home = _record(
        tmp_path, _entry("hand_over", "a.jpg", "b.PNG", more=more), _entry("visit", "a.jpg"), _entry("change", "c.jpeg")
    )
    located = _saved(_picture(), exif=_exif(place=True))
    for name, data in {"a.jpg": located, "b.PNG": _saved(_picture(), "PNG"), "c.jpeg": located}.items():
        (home / "photos" / name).write_bytes(data)
    made = prepare_all(load_record(tmp_path))
    assert list(made) == ["a.jpg", "b.PNG", "c.jpeg"]
    # the visit does not say that the place of a.jpg may be told
    assert [photo.located for photo in made.values()] == [False, False, False]
    assert made["a.jpg"] == made["c.jpeg"] == prepare(located, keep_location=False)


def test_a_place_is_kept_where_the_only_entry_says_so(tmp_path: Path) -> None:
    home = _record(tmp_path, _entry("hand_over", "a.jpg", more="keep_location: yes\n"))
    (home / "photos" / "a.jpg").write_bytes(_saved(_picture(), exif=_exif(place=True)))
    made = prepare_all(load_record(tmp_path))["a.jpg"]
    assert made.located
    assert made.published.located


def _link(path: Path) -> None:
    path.symlink_to("/etc/hostname")


def _folder(path: Path) -> None:
    path.mkdir()


def _absent(path: Path) -> None:
    assert not path.exists()


def _broken(path: Path) -> None:
    path.write_bytes(_saved(_picture())[:-500])


@pytest.mark.parametrize(
    ("make", "says"),
    [(_link, "is a link"), (_folder, "there is no photo"), (_absent, "there is no photo"), (_broken, "cut short")],
)
def test_every_photo_that_is_none_is_told_at_its_place(tmp_path: Path, make: Callable[[Path], None], says: str) -> None:
    home = _record(tmp_path, _entry("hand_over", "good.jpg", "bad.jpg", "text.png"))
    (home / "photos" / "good.jpg").write_bytes(_saved(_picture()))
    (home / "photos" / "bad.jpg").write_bytes(_saved(_picture()))
    (home / "photos" / "text.png").write_text("no picture")
    record = load_record(tmp_path)
    (home / "photos" / "bad.jpg").unlink()  # a file may change after the record was read
    make(home / "photos" / "bad.jpg")
    with pytest.raises(SpecError) as told:
        prepare_all(record)
    first, second = told.value.problems
    assert (first.line, second.line) == (9, 10)
    assert first.file == str(home / "01-entry.yaml")
    assert says in first.what
    assert "bad.jpg" in first.what
    assert second.what == "the photo text.png is neither a JPEG nor a PNG picture, whatever its name says"
    assert second.allowed == "a JPEG or PNG picture of up to 52 million pixels"


@pytest.mark.slow
def test_the_same_bytes_come_out_in_another_process(tmp_path: Path) -> None:
    file = tmp_path / "a.jpg"
    file.write_bytes(_saved(_picture(3000, 2000), exif=_exif(6, place=True)))
    code = (
        "import json, sys; from proposal.publish.photos import prepare\n"
        "made = prepare(open(sys.argv[1], 'rb').read(), keep_location=True)\n"
        "print(json.dumps([made.name, made.data.hex()]))"
    )
    own = prepare(file.read_bytes(), keep_location=True)
    for seed in ("1", "99"):
        environment = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[2])}
        printed = subprocess.run(
            [sys.executable, "-c", code, str(file)], env=environment, check=True, capture_output=True, text=True
        ).stdout
        assert json.loads(printed) == [own.name, own.data.hex()]
