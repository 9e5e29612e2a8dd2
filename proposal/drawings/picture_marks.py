"""Marks on the plain picture: a triangle and a line round each marked battery and charge source, and their key."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from proposal.drawings.marks import MARKS, TRIANGLE_HIGH_MM, TRIANGLE_WIDE_MM, Mark, strongest, triangle
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, width_mm

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit

KEY_HIGH_MM = 10.0
_EDGE_MM, _NOTE_MM = 3.0, 3.2


def picture_marks(circuit: "Circuit", items: Sequence[Item], sheet: SheetInfo, top_mm: float) -> list[Item]:
    """Marks of a picture's cards, and below it, from `top_mm` on, what their letters mean. Nothing marked: nothing."""
    marks = _marks_of_cards(circuit, sheet.marks) if sheet.marks else {}
    found = [item for item in items if item.key in marks and item.symbol is not None]
    signs = [_sign(item, marks[item.key], sheet) for item in found]
    return [*signs, *_key(sheet, {marks[item.key] for item in found}, top_mm)]


def _marks_of_cards(circuit: "Circuit", marks: Mapping[str, Mark]) -> dict[str, Mark]:
    """Marks by the key of a card: banks, and all sources of one kind together."""
    found: dict[str, Mark] = {bank.key: marks[bank.key] for bank in circuit.banks if bank.key in marks}
    for source in circuit.sources:
        mark = strongest(marks[s.key] for s in circuit.sources if s.kind == source.kind and s.key in marks)
        found |= {source.key: mark} if mark is not None else {}
    return found


def _sign(item: Item, mark: Mark, sheet: SheetInfo) -> Item:
    """A triangle at the upper right corner of a card, and a line round the card, broken for what is removed."""
    corners = item.wires[0].points
    right, top = corners[1]
    wide, high = TRIANGLE_WIDE_MM * _NOTE_MM / SMALLEST_MM, TRIANGLE_HIGH_MM * _NOTE_MM / SMALLEST_MM
    sign = triangle(mark, sheet.word(f"mark_{mark}"), (right + 1.0 - wide, top + 0.5 + high / 2), _NOTE_MM)
    outline = Wire(corners, 1.0, "plum", dashed=mark == "removed")
    return replace(sign, wires=(outline, *sign.wires), data=(("mark", mark), ("of", item.key)))


def _key(sheet: SheetInfo, used: set[Mark], top: float) -> list[Item]:
    """What the letters mean, in a line below the picture."""
    x, items = _EDGE_MM, []
    for mark in MARKS:
        if mark in used:
            sign = triangle(mark, sheet.word(f"mark_{mark}"), (x, top + KEY_HIGH_MM / 2 - 1.0), _NOTE_MM)
            words = sheet.word(f"legend_mark_{mark}")
            x += TRIANGLE_WIDE_MM * _NOTE_MM / SMALLEST_MM + 2.0
            text = Text(x, top + KEY_HIGH_MM / 2 - 1.0 + 0.36 * _NOTE_MM, words, _NOTE_MM)
            items.append(replace(sign, kind="legend", texts=(*sign.texts, text)))
            x += width_mm(words, _NOTE_MM) + 8.0
    return items
