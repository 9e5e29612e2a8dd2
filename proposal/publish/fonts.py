"""The body text's font files, from the font package; site and PDF use the same two weights."""

from __future__ import annotations

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


def _home() -> Path:
    import font_source_sans_pro  # noqa: PLC0415 - it lists its files when imported

    return Path(font_source_sans_pro.font_directory)
