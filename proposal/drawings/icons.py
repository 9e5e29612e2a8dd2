"""Small plain pictures for readers who don't read circuit diagrams; centred on the origin, about 8 mm across."""

from functools import lru_cache
from math import cos, pi, sin

from proposal.drawings.primitives import Arc, Letter, Mark, Round, Stroke, Symbol

_LINE_MM = 0.5


def _box(left: float, bottom: float, right: float, top: float) -> Stroke:
    return Stroke(((left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)), _LINE_MM, blank=True)


def _sun() -> tuple[Mark, ...]:
    rays = tuple(
        Stroke(((2.5 * cos(a), 2.5 * sin(a)), (3.8 * cos(a), 3.8 * sin(a))), _LINE_MM)
        for a in (i * pi / 4 for i in range(8))
    )
    return (Round((0.0, 0.0), 1.7, _LINE_MM), *rays)


def _engine() -> tuple[Mark, ...]:
    block = _box(-3.0, -2.4, 2.0, 1.4)
    head = _box(-2.2, 1.4, 1.2, 2.8)
    wheel = Round((3.0, -0.6), 1.0, _LINE_MM)
    return (block, head, wheel, Stroke(((-3.0, -0.6), (-4.0, -0.6)), _LINE_MM))


def _plug() -> tuple[Mark, ...]:
    prongs = tuple(Stroke(((x, 1.0), (x, 3.4)), 0.8) for x in (-1.2, 1.2))
    body = Stroke(
        ((-2.6, 1.0), (2.6, 1.0), (2.6, -0.4), (1.2, -2.0), (-1.2, -2.0), (-2.6, -0.4), (-2.6, 1.0)), _LINE_MM
    )
    return (*prongs, body, Stroke(((0.0, -2.0), (0.0, -3.8)), _LINE_MM))


def _generator() -> tuple[Mark, ...]:
    return (Round((0.0, 0.0), 3.4, _LINE_MM), Letter((0.0, 0.0), "G", 4.2))


def _wind() -> tuple[Mark, ...]:
    blades = tuple(
        Stroke(((0.0, 0.8), (3.2 * cos(a), 0.8 + 3.2 * sin(a))), 0.8) for a in (pi / 2, pi * 7 / 6, pi * 11 / 6)
    )
    return (Stroke(((0.0, 0.8), (0.0, -4.0)), _LINE_MM), *blades, Round((0.0, 0.8), 0.6, _LINE_MM, filled=True))


def _battery() -> tuple[Mark, ...]:
    posts = (_box(-2.6, 1.8, -1.4, 2.8), _box(1.4, 1.8, 2.6, 2.8))
    plus = (Stroke(((-2.0, 0.9), (-2.0, -0.5)), 0.4), Stroke(((-2.7, 0.2), (-1.3, 0.2)), 0.4))
    return (_box(-3.8, -2.8, 3.8, 1.8), *posts, *plus, Stroke(((1.3, 0.2), (2.7, 0.2)), 0.4))


def _lamp() -> tuple[Mark, ...]:
    base = _box(-0.9, -3.6, 0.9, -2.2)
    rays = tuple(Stroke(((x, y), (x * 1.35, 1.0 + (y - 1.0) * 1.35)), _LINE_MM) for x, y in ((-2.9, 1.9), (2.9, 1.9)))
    return (Round((0.0, 0.6), 2.6, _LINE_MM), base, *rays)


def _starter() -> tuple[Mark, ...]:
    turn = Arc((0.0, 0.0), 3.2, 40.0, 320.0, _LINE_MM)
    tip = Stroke(((1.4, 2.6), (2.45, 2.05), (2.9, 3.2)), _LINE_MM)
    return (turn, tip, Letter((0.0, 0.0), "M", 3.2))


_MAKERS = {
    "solar": _sun,
    "alternator": _engine,
    "shore": _plug,
    "generator": _generator,
    "wind": _wind,
    "battery": _battery,
    "loads": _lamp,
    "starter": _starter,
}


@lru_cache(maxsize=16)
def icon(kind: str) -> Symbol:
    """The picture for a kind of source, a battery, the loads or the starter."""
    return Symbol(kind, _MAKERS[kind](), 8.0, 4.0, 4.0)
