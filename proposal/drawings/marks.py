"""Marks on a single-line sheet: a halo under an item, a cloud round its words, and a triangle with a letter in it.

Told by shape and letter: what is new has a whole cloud and a triangle that points up, what is otherwise the same with
another letter, what is removed a broken cloud and a triangle that points down.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import pairwise
from math import cos, pi, radians, sin
from typing import TYPE_CHECKING, Literal

from proposal.drawings.primitives import Item, Letter, Point, Stroke, Symbol, Text, Wire
from proposal.drawings.text import ASCENT, DESCENT, SMALLEST_MM, width_mm

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit

Mark = Literal["new", "changed", "removed"]
MARKS: tuple[Mark, ...] = ("new", "changed", "removed")
_STRONGEST: tuple[Mark, ...] = ("removed", "new", "changed")
"""The first of them stands where several fall on one item of the drawing."""
TRIANGLE_WIDE_MM, TRIANGLE_HIGH_MM = 6.2, 5.2
PAD_MM = 1.3
"""From a label to the outermost point of its cloud."""
GAP_MM = 0.8
SHIFT_MM = PAD_MM + TRIANGLE_WIDE_MM + GAP_MM
"""By how much the words of a marked item stand further off."""
_BULGE_MM, _SCALLOP_MM = 0.6, 2.6
_HALO_MM, _BAR_HALO_MM, _AROUND_MM = 2.2, 0.9, 0.7


def cloud_mm(block_mm: float) -> float:
    """Height of the cloud round a label of this height."""
    return max(block_mm, TRIANGLE_HIGH_MM) + 2 * PAD_MM


def marks_on(circuit: "Circuit", marks: Mapping[str, Mark], drawn: Iterable[str]) -> dict[str, Mark]:
    """Marks by the key of what is drawn: batteries for a bank, a contactor for its controller.

    `drawn`: keys of the conductors that the drawing has; the mark of another one stands at its mate, the positive.
    """
    there = set(drawn)
    found: dict[str, list[Mark]] = {}
    for key, mark in marks.items():
        for own in _drawn_as(circuit, key, there):
            found.setdefault(own, []).append(mark)
    return {key: min(several, key=_STRONGEST.index) for key, several in found.items()}


def _drawn_as(circuit: "Circuit", key: str, drawn: set[str]) -> list[str]:
    strings = [b.key for b in circuit.batteries if b.bank == key]
    controller = next((c.contactor for c in circuit.controllers if c.key == key), None)
    if strings or controller is not None:
        return strings or [str(controller)]
    conductor = circuit.conductor.get(key)
    if conductor is None or key in drawn:
        return [key]
    mates = [c for c in circuit.conductors if c.circuit == conductor.circuit and c.key in drawn]
    return [min(mates, key=lambda c: (c.purpose != conductor.purpose, c.key)).key] if mates else []


def marked(items: Iterable[Item], marks: Mapping[str, Mark], letters: Mapping[Mark, str]) -> list[Item]:
    """The items, halos below those that are marked, clouds and triangles above all. None marked: as they are."""
    drawn = list(items)
    if not marks:
        return drawn
    halos, clouds = [], []
    for item in drawn:
        mark = marks.get(item.key) if item.key else None
        if mark is None or item.kind in ("frame", "legend"):
            continue
        if (halo := _halo(item)) is not None:
            halos.append(halo)
        if item.texts:
            clouds.append(_cloud(item, mark, letters[mark]))
    return [*halos, *drawn, *clouds]


def _halo(item: Item) -> Item | None:
    """A pale ground under a symbol's body, or along a conductor or bar."""
    wires: tuple[Wire, ...]
    if item.symbol is not None:
        turn, (x, y) = radians(item.theta), item.at
        box = _body(item.symbol)
        corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]), (box[0], box[1]))
        points = tuple(
            (round(x + a * cos(turn) - b * sin(turn), 3), round(y - a * sin(turn) - b * cos(turn), 3))
            for a, b in corners
        )
        wires = (Wire(points, 0.3, "halo", fill="halo"),)
    else:
        more = _BAR_HALO_MM if item.kind == "bus" else _HALO_MM
        wires = tuple(replace(w, width_mm=w.width_mm + more, ink="halo") for w in item.wires)
    return Item("halo", wires=wires) if wires else None


def _body(symbol: Symbol) -> tuple[float, float, float, float]:
    """Corners of a symbol's marks without its leads, in its own frame, and a little more."""
    xs, ys = [], []
    for mark in symbol.marks:
        if isinstance(mark, Stroke):
            about = mark.about or (0.0, 0.0)
            points = [(about[0] + x, about[1] + y) for x, y in mark.points]
            reach = 0.0
        else:
            points = [mark.center]
            reach = mark.size_mm / 2 if isinstance(mark, Letter) else mark.radius_mm
        if reach or any(abs(y) > 1e-6 for _, y in points):
            xs += [x + d for x, _ in points for d in (-reach, reach)]
            ys += [y + d for _, y in points for d in (-reach, reach)]
    if not xs:
        return 0.0, -_AROUND_MM, symbol.length_mm, _AROUND_MM
    return min(xs) - _AROUND_MM, min(ys) - _AROUND_MM, max(xs) + _AROUND_MM, max(ys) + _AROUND_MM


def _cloud(item: Item, mark: Mark, letter: str) -> Item:
    """The cloud round the words of an item, with the triangle to their left."""
    left = min(t.x for t in item.texts)
    right = max(t.x + width_mm(t.text, t.size_mm, t.bold) for t in item.texts)
    top = min(t.y - ASCENT * t.size_mm for t in item.texts)
    bottom = max(t.y + DESCENT * t.size_mm for t in item.texts)
    middle, high = (top + bottom) / 2, cloud_mm(bottom - top)
    x0 = left - GAP_MM - TRIANGLE_WIDE_MM
    box = (x0 - PAD_MM, middle - high / 2, right + PAD_MM, middle + high / 2)
    cloud = Wire(scallops(box), 0.3, "plum", dashed=mark == "removed")
    data = (("mark", mark), ("of", item.key))
    return replace(
        triangle(mark, letter, (x0, middle)), wires=(cloud, *triangle(mark, letter, (x0, middle)).wires), data=data
    )


def triangle(mark: Mark, letter: str, at: Point, size_mm: float = SMALLEST_MM) -> Item:
    """A triangle with a letter of this size in it; `at` is the middle of its left side [mm]."""
    x, y = at
    scale = size_mm / SMALLEST_MM
    half, wide = TRIANGLE_HIGH_MM * scale / 2, TRIANGLE_WIDE_MM * scale
    sign = -1.0 if mark == "removed" else 1.0
    base, tip = y + sign * half, y - sign * half
    corners = ((x, base), (x + wide, base), (x + wide / 2, tip), (x, base))
    letter_x = x + (wide - width_mm(letter, size_mm, True)) / 2
    # the letter stands where the triangle is wide, just off its base
    letter_y = base + scale * (0.25 + 0.76 * SMALLEST_MM if sign < 0 else -0.25 - 0.24 * SMALLEST_MM)
    text = Text(letter_x, letter_y, letter, size_mm, True)
    return Item("mark", wires=(Wire(corners, 0.35, "plum", fill="paper"),), texts=(text,))


def strongest(marks: Iterable[Mark]) -> Mark | None:
    """What stands where several fall on one item of the drawing."""
    return min(marks, key=_STRONGEST.index, default=None)


def scallops(box: tuple[float, float, float, float]) -> tuple[Point, ...]:
    """The outline of a cloud in a box: arcs that bulge outwards, their outermost points on the box's sides."""
    x0, y0, x1, y1 = (box[0] + _BULGE_MM, box[1] + _BULGE_MM, box[2] - _BULGE_MM, box[3] - _BULGE_MM)
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
    points: list[Point] = [corners[0]]
    for (ax, ay), (bx, by) in pairwise(corners):
        length = abs(bx - ax) + abs(by - ay)
        count = max(1, round(length / _SCALLOP_MM))
        ux, uy = (bx - ax) / length, (by - ay) / length
        for arc in range(count):
            for step in range(1, 7):
                along = (arc + step / 6) * length / count
                out = _BULGE_MM * sin(pi * step / 6)
                points.append((round(ax + ux * along + uy * out, 3), round(ay + uy * along - ux * out, 3)))
    return tuple(points)
