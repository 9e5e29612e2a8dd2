"""The photos of Marram's record are those that the script draws, and say that nobody took them."""

from __future__ import annotations

import io
import itertools

import pytest
from PIL import Image, ImageChops, ImageStat

from tests.invented_photos import FOLDER, HEIGHT, LOCATED, MARK, PHOTOS, WIDTH, encoded

GPS = 0x8825
DESCRIPTION = 0x010E
LARGEST_BYTES = 40_000
# another build of the JPEG or type library rounds elsewhere; another scene differs by more than ten
MOST_APART = 1.0


def kept_photo(name: str) -> Image.Image:
    return Image.open(io.BytesIO((FOLDER / name).read_bytes()))


def test_every_committed_photo_is_drawn_and_every_drawn_one_committed() -> None:
    assert sorted(path.name for path in FOLDER.iterdir()) == sorted(PHOTOS)


@pytest.mark.parametrize("name", PHOTOS)
def test_a_committed_photo_is_what_the_script_draws(name: str) -> None:
    data = (FOLDER / name).read_bytes()
    assert len(data) <= LARGEST_BYTES
    kept, drawn = (Image.open(io.BytesIO(each)) for each in (data, encoded(name)))
    assert (kept.format, kept.size) == ("JPEG", (WIDTH, HEIGHT))
    assert sum(ImageStat.Stat(ImageChops.difference(kept, drawn)).mean) / 3.0 <= MOST_APART
    assert dict(kept.getexif()) == dict(drawn.getexif())
    assert kept.getexif().get_ifd(GPS) == drawn.getexif().get_ifd(GPS)


def test_scenes_differ_by_far_more_than_two_drawings_of_one() -> None:
    pictures = [PHOTOS[name]() for name in sorted(PHOTOS)]
    for one, other in itertools.pairwise(pictures):
        assert sum(ImageStat.Stat(ImageChops.difference(one, other)).mean) / 3.0 > 10.0 * MOST_APART


@pytest.mark.parametrize("name", PHOTOS)
def test_a_photo_says_that_it_is_invented(name: str) -> None:
    kept = kept_photo(name)
    assert "INVENTED FOR DEMONSTRATION" in kept.getexif()[DESCRIPTION]
    assert "INVENTED FOR DEMONSTRATION" in MARK
    band = kept.crop((0, HEIGHT - 30, WIDTH // 2, HEIGHT)).convert("RGB")
    red, green, blue = (part.tobytes() for part in band.split())
    yellow = sum(r > 150 and g > 120 and b < 120 for r, g, b in zip(red, green, blue, strict=True))
    assert yellow > 500


def test_one_photo_tells_a_place_in_the_open_sea() -> None:
    located = {name for name in PHOTOS if kept_photo(name).getexif().get_ifd(GPS)}
    assert located == {LOCATED}
    place = kept_photo(LOCATED).getexif().get_ifd(GPS)
    assert (place[1], place[3]) == ("S", "W")
