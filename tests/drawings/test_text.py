"""Text: measured as the font itself measures, made harmless, wrapped within its room."""

import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.drawings.text import clean, fit, width_mm, wrap

FONTS = Path("/usr/share/fonts/truetype/dejavu")
"""Where Debian's fonts-dejavu-core puts the font; the table was read from version 2.37 of it."""


@pytest.mark.parametrize(("file", "bold"), [("DejaVuSans.ttf", False), ("DejaVuSans-Bold.ttf", True)])
def test_widths_are_the_font_s_own(file: str, bold: bool) -> None:
    if not (FONTS / file).exists():
        pytest.skip("DejaVu is not installed")
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font = TTFont(str(FONTS / file))
    cmap, hmtx = font.getBestCmap(), font["hmtx"]
    letters = [chr(c) for c in range(0x20, 0x460) if c in cmap and unicodedata.category(chr(c))[0] in "LNPSZ"]
    assert len(letters) > 600
    for letter in letters:
        own = hmtx[cmap[ord(letter)]][0] / font["head"].unitsPerEm
        if 0x180 <= ord(letter) <= 0x36F:
            continue  # not in the table
        assert width_mm(letter, 1.0, bold) == pytest.approx(own, abs=1e-9), letter


def test_known_widths() -> None:
    """DejaVu Sans 2.37: space 651, A 1401, m 1995 of 2048 units per em."""
    assert width_mm(" Am", 2048.0) == pytest.approx(651 + 1401 + 1995)


@given(st.text())
def test_clean_text_has_no_control_and_no_direction_marks(text: str) -> None:
    cleaned = clean(text)
    assert all(unicodedata.category(c)[0] != "C" and unicodedata.category(c) not in ("Zl", "Zp") for c in cleaned)
    assert cleaned == " ".join(cleaned.split(" ")).strip()
    assert clean(cleaned) == cleaned


@given(st.text(), st.floats(8.0, 80.0), st.sampled_from([2.5, 3.0, 4.2]), st.integers(1, 4), st.booleans())
def test_wrapped_lines_keep_within_their_room(text: str, room: float, size: float, lines: int, bold: bool) -> None:
    text = clean(text)
    wrapped = wrap(text, room, size, lines, bold)
    assert len(wrapped) <= lines
    widest = max((width_mm(c + "-", size, bold) for c in text), default=0.0)
    assert all(width_mm(line, size, bold) <= max(room, widest) + 1e-9 for line in wrapped)
    if not any("…" in line for line in wrapped) and "-" not in text:
        assert "".join(wrapped).replace("-", "").replace(" ", "") == text.replace(" ", "")


def test_wrapping_breaks_at_spaces_then_at_hyphens_then_anywhere() -> None:
    assert wrap("Chart plotter and instruments", 30.0, 2.5, 3) == ("Chart plotter and", "instruments")
    assert wrap("Fresh-water", 10.0, 2.5, 2) == ("Fresh-", "water")
    assert wrap("Trinkwasserpumpe", 18.0, 2.5, 2) == ("Trinkwasserp-", "umpe")
    assert wrap("one two three four", 12.0, 2.5, 2)[-1].endswith("…")
    assert wrap("", 10.0, 2.5, 2) == ()


def test_fitting_ends_in_an_ellipsis_only_where_something_is_lost() -> None:
    assert fit("short", 40.0, 2.5) == "short"
    cut = fit("x" * 300, 40.0, 2.5)
    assert cut.endswith("…")
    assert width_mm(cut, 2.5) <= 40.0
