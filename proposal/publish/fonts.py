"""The body text's font files, from the font package; site and PDF use the same two weights."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Final

FACES: Final = {"text-regular.ttf": "SourceSansPro-Regular.ttf", "text-semibold.ttf": "SourceSansPro-Semibold.ttf"}
"""Name on the site and in the PDF's style sheet to the name in the font package."""


def fonts() -> dict[str, bytes]:
    """Return the font files by the names that the style sheets use."""
    home = _home()
    return {name: (home / file).read_bytes() for name, file in FACES.items()}


def licence() -> bytes:
    """Return the licence text of the fonts (SIL Open Font License), which travels with them."""
    return (_home() / "LICENSE.txt").read_bytes()


def width_em(text: str, strong: bool = False) -> float:
    """Return the width of ``text`` in em by the font's own advance widths; signs it lacks count as one em."""
    advances = _advances("text-semibold.ttf" if strong else "text-regular.ttf")
    return sum(advances.get(ord(sign), 1.0) for sign in text)


def covered(text: str, strong: bool = False) -> tuple[float, int]:
    """Return the width of ``text`` in em without the signs that the font lacks, and how many of these there are."""
    advances = _advances("text-semibold.ttf" if strong else "text-regular.ttf")
    known = [advances[ord(sign)] for sign in text if ord(sign) in advances]
    return sum(known), len(text) - len(known)


@lru_cache(maxsize=2)
def _advances(name: str) -> dict[int, float]:
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - only for the PDF

    with TTFont(_home() / FACES[name], lazy=True) as font:
        unit, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {code: widths[glyph][0] / unit for code, glyph in font.getBestCmap().items()}


def _home() -> Path:
    import font_source_sans_pro  # noqa: PLC0415 - it lists its files when imported

    return Path(font_source_sans_pro.font_directory)
