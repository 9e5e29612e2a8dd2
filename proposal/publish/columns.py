"""Widths of a table's columns on paper. Given to the type-setter, they save it a fifth of its time and break better."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from proposal.book.blocks import Table, Words
from proposal.publish.fonts import width_em
from proposal.publish.shapes import LONG_WORD, Part, is_number, short, text_of, whole

_PADDING_EM: Final = 1.0
# Sentences in a column narrower than this read badly; more than the other helps nobody.
_SENTENCE_EM: Final = 15.0
_WIDEST_EM: Final = 40.0
# What the print style sheet sets: type size, and the paper between its margins.
_TYPE_PT: Final = {False: 8.8, True: 7.8}
_UPRIGHT_PT: Final = 172 * 72 / 25.4
_LANDSCAPE_PT: Final = 257 * 72 / 25.4


def table_width(table: Table) -> str:
    """Return how a table finds room on paper: ``upright``, ``broad`` on a landscape page, or ``tight`` if wider."""
    least = sum(least for least, _ in _columns(table))
    if least <= _UPRIGHT_PT / _TYPE_PT[table.dense]:
        return "upright"
    return "broad" if least <= _LANDSCAPE_PT / _TYPE_PT[table.dense] else "tight"


def column_shares(table: Table) -> tuple[float, ...]:
    """Return each column's share of the table's width in percent.

    Every column gets what its longest unbreakable piece needs; what is left goes by the length of the texts.
    """
    columns = _columns(table)
    room = (_UPRIGHT_PT if table_width(table) == "upright" else _LANDSCAPE_PT) / _TYPE_PT[table.dense]
    least, wish = (sum(column[n] for column in columns) for n in (0, 1))
    if wish <= room:
        widths = [wished for _, wished in columns]
    elif least >= room:
        widths = [needed for needed, _ in columns]
    else:
        fill = (room - least) / (wish - least)
        widths = [needed + (wished - needed) * fill for needed, wished in columns]
    return tuple(round(100 * width / sum(widths), 2) for width in widths)


def breaks(text: str) -> bool:
    """Return whether a number's text must be kept on one line although it has a space to break at."""
    return " " in text and whole(text)


@lru_cache(maxsize=256)
def _columns(table: Table) -> tuple[tuple[float, float], ...]:
    """Least and wished width of each column in em."""
    found = []
    for n, column in enumerate(table.columns):
        runs = [row.cells[n] for row in table.rows]
        around = _PADDING_EM + (1.5 if n == 0 and any(row.tone != "plain" for row in table.rows) else 0.0)
        lengths = sorted(sum(width_em(text_of(part), n == 0) for part in run.parts) for run in runs)
        # the usual text, or most of the longest, so that a few long ones do not become a tower of words
        usual = min(max(lengths[len(lengths) * 9 // 10], 0.6 * lengths[-1]), _WIDEST_EM) if lengths else 0.0
        least = max([_word_em(column.title, True), *(_least_em(run, n == 0) for run in runs)])
        if column.wide:
            least = max(least, min(usual, _SENTENCE_EM))
        found.append((least + around, max(least, usual) + around))
    return tuple(found)


def _least_em(run: Words, strong: bool) -> float:
    if short(run):
        return sum(width_em(text_of(part), strong) for part in run.parts)
    return max((_piece_em(part, strong) for part in run.parts), default=0.0)


def _piece_em(part: Part, strong: bool) -> float:
    text = text_of(part)
    return width_em(text, strong) if is_number(part) and whole(text) else _word_em(text, strong)


def _word_em(text: str, strong: bool) -> float:
    # Longer words may break anywhere, so they need not fit.
    words = text.replace("-", "- ").replace("/", "/ ").split(" ")
    return max(width_em(word[:LONG_WORD], strong) for word in words)
