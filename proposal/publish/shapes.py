"""Choices of look that both renderers make alike: how a table behaves when narrow, which tint an option has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from proposal.book.blocks import Cell, Strong, Table, Words

LONG_WORD: Final = 24
"""Words longer than this may break anywhere."""
_WHOLE: Final = 20
# Averages of the text face; a paper's width between the margins of the print style sheet.
_DIGIT_EM: Final = 0.5
_LETTER_EM: Final = 0.55
_PADDING_EM: Final = 0.9
_UPRIGHT_PT: Final = 172 * 72 / 25.4
_LANDSCAPE_PT: Final = 259 * 72 / 25.4
TINTS: Final = "abcdef"
"""Tints that the style sheets define; option letters beyond the last begin again."""

tone_keys: Final[Mapping[str, str]] = {tone: f"tone_{tone}" for tone in ("good", "caution", "danger", "unknown")}
"""Tone to the key of its wording."""


def table_shape(table: Table) -> str:
    """Return how a table is set where it is narrow: ``stack`` rows as cards, ``slide`` sideways, or ``small``.

    Tables of sentences are stacked, tables of many figures slide with their first column held, few columns fit.
    """
    if any(column.wide for column in table.columns) and len(table.columns) > 2:
        return "stack"
    return "slide" if len(table.columns) > 4 else "small"


def table_width(table: Table) -> str:
    """Return how a table finds room on paper: ``upright``, ``broad`` on a landscape page, or ``tight`` if wider.

    Estimated from the longest piece of each column that cannot break, in em of the table's own type.
    """
    columns = [
        max([_least_em(column.title)] + [_run_em(row.cells[n]) for row in table.rows], default=0.0) + _PADDING_EM
        for n, column in enumerate(table.columns)
    ]
    point = 7.8 if table.dense else 8.8
    if sum(columns) <= _UPRIGHT_PT / point:
        return "upright"
    return "broad" if sum(columns) <= _LANDSCAPE_PT / point else "tight"


def _run_em(run: Words) -> float:
    return max((_piece_em(part) for part in run.parts), default=0.0)


def _piece_em(part: object) -> float:
    inner = part.text if isinstance(part, Strong) else part
    if isinstance(inner, Cell):
        return len(inner.text) * _DIGIT_EM if whole(inner.text) else _least_em(inner.text)
    return _least_em(inner if isinstance(inner, str) else getattr(inner, "text", ""))


def _least_em(text: str) -> float:
    longest = max((len(word) for word in text.replace("-", "- ").split()), default=0)
    return min(longest, LONG_WORD) * _LETTER_EM


def whole(text: str) -> bool:
    """Return whether a number's text stays on one line."""
    return len(text) <= _WHOLE


def option_tint(letter: str) -> str:
    """Return the tint's name for an option letter."""
    place = ord(letter[0].lower()) - ord("a") if letter else 0
    return TINTS[place % len(TINTS)]


def key_columns(count: int) -> int:
    """Return in how many columns ``count`` key figures stand on a wide page, so that rows are as even as can be."""
    if count <= 4:
        return max(count, 1)
    return 4 if count % 4 in {0, 3} and count % 3 else 3
