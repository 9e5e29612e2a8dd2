"""Choices of look that both renderers make alike: how a table behaves when narrow, which tint an option has."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from proposal.book.blocks import Cell, Link, Strong, Table, Words

Part = str | Cell | Strong | Link

LONG_WORD: Final = 24
"""Words longer than this may break anywhere."""
_WHOLE: Final = 20
_DESIGNATION: Final = re.compile("[A-Z][0-9]{1,5}")
TINTS: Final = "abcdef"
"""Tints that the style sheets define; option letters beyond the last begin again."""

tone_keys: Final[Mapping[str, str]] = {tone: f"tone_{tone}" for tone in ("good", "caution", "danger", "unknown")}
"""Tone to the key of its wording."""


def text_of(part: Part) -> str:
    """Return the plain text of a piece."""
    inner = part.text if isinstance(part, Strong) else part
    return inner if isinstance(inner, str) else inner.text


def is_number(part: Part) -> bool:
    """Return whether a piece is a number, emphasised or not."""
    return isinstance(part, Cell) or (isinstance(part, Strong) and isinstance(part.text, Cell))


def whole(text: str) -> bool:
    """Return whether a number's text stays on one line."""
    return len(text) <= _WHOLE


def short(run: Words) -> bool:
    """Return whether a table's cell stays on one line: it holds a number and little besides, or one designation."""
    text = "".join(map(text_of, run.parts))
    return (any(map(is_number, run.parts)) and len(text) <= _WHOLE) or _DESIGNATION.fullmatch(text) is not None


def table_shape(table: Table) -> str:
    """Return how a table is set where it is narrow: ``stack`` rows as cards, ``slide`` sideways, or ``small``.

    Tables of sentences are stacked, dense ones and those of many figures slide with their first column held, few
    columns fit.
    """
    if any(column.wide for column in table.columns) and len(table.columns) > 2 and not table.dense:
        return "stack"
    return "slide" if len(table.columns) > 4 else "small"


def option_tint(letter: str) -> str:
    """Return the tint's name for an option letter."""
    place = ord(letter[0].lower()) - ord("a") if letter else 0
    return TINTS[place % len(TINTS)]


def key_columns(count: int) -> int:
    """Return in how many columns ``count`` key figures stand on a wide page, so that rows are as even as can be."""
    if count <= 4:
        return max(count, 1)
    return 4 if count % 4 in {0, 3} and count % 3 else 3
