"""Choices of look that both renderers make alike: how a table behaves when narrow, which tint an option has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from proposal.book.blocks import Table

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


def option_tint(letter: str) -> str:
    """Return the tint's name for an option letter."""
    place = ord(letter[0].lower()) - ord("a") if letter else 0
    return TINTS[place % len(TINTS)]
