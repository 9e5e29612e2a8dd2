"""Text on a drawing: made harmless, measured with the font's own advance widths, and wrapped to a width in mm."""

import unicodedata
from bisect import bisect_right
from functools import lru_cache
from pathlib import Path

FONT_FAMILY = "DejaVu Sans, Verdana, sans-serif"
LINE = 1.25
"""Line pitch in font sizes."""
ASCENT = 0.93
DESCENT = 0.24
SMALLEST_MM = 2.5
"""7 pt (7 × 25.4/72 = 2.47 mm): below this nothing is printed."""
_TABLE = Path(__file__).with_name("tables") / "advance_widths.csv"
_UNITS_PER_EM = 2048
_ELLIPSIS = "…"


@lru_cache(maxsize=1)
def _widths() -> tuple[tuple[int, ...], tuple[tuple[int, int, int], ...]]:
    """First code points, and (last code point, regular, bold) in 1/2048 em, of the table's ranges."""
    rows = [
        tuple(int(cell) for cell in line.split(","))
        for line in _TABLE.read_text(encoding="ascii").splitlines()
        if line[:1].isdigit()
    ]
    return tuple(row[0] for row in rows), tuple((row[1], row[2], row[3]) for row in rows)


@lru_cache(maxsize=4096)
def _advance(char: str, bold: bool) -> float:
    """Advance in em; characters outside the table take a full em where wide, else 0.8, marks that combine none."""
    firsts, rest = _widths()
    index = bisect_right(firsts, ord(char)) - 1
    if index >= 0 and ord(char) <= rest[index][0]:
        return rest[index][2 if bold else 1] / _UNITS_PER_EM
    if unicodedata.combining(char):
        return 0.0
    return 1.3 if unicodedata.east_asian_width(char) in "WF" else 0.9


@lru_cache(maxsize=8192)
def width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Width in mm of a line of text set at `size_mm`."""
    return sum(_advance(char, bold) for char in text) * size_mm


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """Text with white space collapsed and without control, direction and unassigned characters."""
    kept = []
    for char in unicodedata.normalize("NFC", text):
        category = unicodedata.category(char)
        if category in ("Zs", "Zl", "Zp") or char in "\t\n\r":
            kept.append(" ")
        elif category[0] != "C":
            kept.append(char)
    return " ".join("".join(kept).split())


def fit(text: str, room_mm: float, size_mm: float, bold: bool = False) -> str:
    """The text, or as much of it as the room takes and an ellipsis."""
    if width_mm(text, size_mm, bold) <= room_mm:
        return text
    while text and width_mm(text + _ELLIPSIS, size_mm, bold) > room_mm:
        text = text[:-1]
    return text.rstrip() + _ELLIPSIS


def _broken(word: str, room_mm: float, size_mm: float, bold: bool) -> tuple[str, str]:
    """A word cut so that its head fits: behind a hyphen of its own if there is one, else anywhere."""
    cut = len(word)
    while cut > 1 and width_mm(word[:cut] + "-", size_mm, bold) > room_mm:
        cut -= 1
    hyphen = word.rfind("-", 1, cut + 1)
    if hyphen > 0 and width_mm(word[: hyphen + 1], size_mm, bold) <= room_mm:
        return word[: hyphen + 1], word[hyphen + 1 :]
    return word[:cut] + "-", word[cut:]


@lru_cache(maxsize=4096)
def wrap(text: str, room_mm: float, size_mm: float, lines: int, bold: bool = False) -> tuple[str, ...]:
    """The text over at most `lines` lines of at most `room_mm`; what is left over ends in an ellipsis."""
    done: list[str] = []
    words = text.split(" ")
    while words and len(done) < lines:
        if len(done) == lines - 1:
            done.append(fit(" ".join(words), room_mm, size_mm, bold))
            break
        taken = 1
        while taken < len(words) and width_mm(" ".join(words[: taken + 1]), size_mm, bold) <= room_mm:
            taken += 1
        line = " ".join(words[:taken])
        if width_mm(line, size_mm, bold) <= room_mm:
            done.append(line)
            words = words[taken:]
            continue
        head, rest = _broken(line, room_mm, size_mm, bold)
        done.append(head)
        words = [rest, *words[taken:]]
    return tuple(line for line in done if line)
