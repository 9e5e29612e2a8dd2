"""Symbols after the ideas of IEC 60617, drawn along +x so that one drawing serves every direction. Lengths in mm.

Series symbols take the length they have to bridge: the body stays as it is, its leads grow.
"""

from dataclasses import replace
from functools import lru_cache

from proposal.drawings.primitives import Arc, Letter, Mark, Point, Round, Stroke, Symbol
from proposal.drawings.text import SMALLEST_MM

BODY_MM = 7.0
"""Length of a series symbol's body."""


def _box(x: float, half_length: float, half_width: float, *, blank: bool = True) -> Stroke:
    left, right = x - half_length, x + half_length
    corners = ((left, half_width), (right, half_width), (right, -half_width), (left, -half_width), (left, half_width))
    return Stroke(corners, blank=blank)


def _frame(x: float, half_length: float, near: float, far: float) -> Stroke:
    left, right = x - half_length, x + half_length
    return Stroke(((left, far), (right, far), (right, near), (left, near), (left, far)))


def _direct(at: Point) -> tuple[Mark, ...]:
    """Direct current: a whole line over a broken one."""
    return (
        Stroke(((-1.4, 0.45), (1.4, 0.45)), 0.3, about=at),
        Stroke(((-1.4, -0.45), (-0.6, -0.45)), 0.3, about=at),
        Stroke(((0.6, -0.45), (1.4, -0.45)), 0.3, about=at),
    )


def _alternating(at: Point) -> tuple[Mark, ...]:
    """Alternating current: one wave."""
    wave = ((-1.5, 0.0), (-1.15, 0.55), (-0.75, 0.75), (-0.35, 0.55), (0.0, 0.0))
    points = wave + tuple((-x, -y) for x, y in reversed(wave[:-1]))
    return (Stroke(points, 0.3, about=at),)


def _converter(x: float, near: str, far: str) -> tuple[Mark, ...]:
    """A converter's box around x: what goes in at the far side, what comes out at the near one."""
    signs = {"dc": _direct, "ac": _alternating}
    return (
        _box(x, 4.0, 4.5),
        Stroke(((x - 4.0, -4.5), (x + 4.0, 4.5))),
        *signs[near]((x - 1.9, 2.2)),
        *signs[far]((x + 1.9, -2.2)),
    )


def _leads(length: float, middle: float, body: float) -> tuple[Mark, ...]:
    return (
        Stroke(((0.0, 0.0), (middle - body / 2, 0.0))),
        Stroke(((middle + body / 2, 0.0), (length, 0.0))),
    )


def _blade(middle: float) -> tuple[Mark, ...]:
    """An open contact: it opens towards the left of its axis."""
    return (Stroke(((middle + 3.5, 0.0), (middle + 3.5 - _BLADE_REACH_MM, _BLADE_RISE_MM))),)


def _fuse(length: float, middle: float) -> Symbol:
    return Symbol("fuse", (_box(middle, 3.2, 1.3), Stroke(((0.0, 0.0), (length, 0.0)))), length, 1.5, 1.5)


_BLADE_RISE_MM, _BLADE_REACH_MM = 2.6, 6.4


def closed(symbol: Symbol) -> Symbol:
    """The same relay or switch with its contact closed: the blade lies on the axis, from one lead to the other."""

    def straight(mark: Mark) -> Mark:
        if not isinstance(mark, Stroke) or len(mark.points) != 2:
            return mark
        (x0, y0), (x1, y1) = mark.points
        blade = y0 == 0.0 and y1 == _BLADE_RISE_MM and abs(x0 - x1 - _BLADE_REACH_MM) < 1e-9
        return Stroke(((x0, 0.0), (x0 - BODY_MM, 0.0)), 0.7) if blade else mark

    return replace(symbol, marks=tuple(map(straight, symbol.marks)))


def _switch(length: float, middle: float) -> Symbol:
    bar = Stroke(((middle - 3.5, 1.1), (middle - 3.5, -1.1)))
    return Symbol("switch", (*_leads(length, middle, BODY_MM), bar, *_blade(middle)), length, 2.8, 1.3)


def _contact(length: float, middle: float) -> tuple[Mark, ...]:
    bow = Arc((middle - 2.7, 0.0), 0.8, 180.0, 360.0)
    return (*_leads(length, middle, BODY_MM), bow, *_blade(middle))


def _contactor(length: float, middle: float) -> Symbol:
    coil = _frame(middle, 1.5, 5.0, 9.5)
    link = Stroke(((middle, 1.6), (middle, 5.0)), 0.25, dashed=True)
    return Symbol("contactor", (*_contact(length, middle), coil, link), length, 9.8, 1.3)


def _driven(length: float, middle: float) -> Symbol:
    return Symbol("contactor", _contact(length, middle), length, 2.8, 1.3)


def _vsr(length: float, middle: float) -> Symbol:
    coil = _frame(middle, 2.4, 5.0, 10.4)
    link = Stroke(((middle, 1.6), (middle, 5.0)), 0.25, dashed=True)
    marks = (*_contact(length, middle), coil, link, Letter((middle, 7.7), "U", 3.0))
    return Symbol("vsr", marks, length, 10.7, 1.3)


def _shunt(length: float, middle: float) -> Symbol:
    tap = ((middle - 2.0, -1.3), (middle - 2.0, -4.0), (middle + 2.0, -4.0), (middle + 2.0, -1.3))
    marks = (
        *_leads(length, middle, 6.4),
        _box(middle, 3.2, 1.3),
        Stroke(tap[:2], 0.25),
        Stroke((tap[1], (middle - 2.0, -5.1)), 0.25),
        Stroke((tap[3], (middle + 2.0, -5.1)), 0.25),
        Round((middle, -7.2), 2.9),
        Letter((middle, -7.2), "A", 3.0),
    )
    return Symbol("shunt", marks, length, 1.5, 10.3)


def _dc_dc(length: float, middle: float) -> Symbol:
    return Symbol("dc_dc", (*_leads(length, middle, 8.0), *_converter(middle, "dc", "dc")), length, 4.7, 4.7)


_SERIES = {
    "fuse": _fuse,
    "switch": _switch,
    "contactor": _contactor,
    "driven_contactor": _driven,
    "vsr": _vsr,
    "shunt": _shunt,
    "dc_dc": _dc_dc,
}


@lru_cache(maxsize=512)
def series(kind: str, length_mm: float, middle_mm: float) -> Symbol:
    """Symbol of a series device whose pins are `length_mm` apart and whose body stands `middle_mm` from the first."""
    return _SERIES[kind](length_mm, middle_mm)


@lru_cache(maxsize=64)
def battery(length_mm: float) -> Symbol:
    """A battery of cells, positive pin at the origin, negative one `length_mm` further."""
    marks: list[Mark] = [Stroke(((0.0, 0.0), (3.0, 0.0)))]
    for x in (3.0, 6.4):
        marks.append(Stroke(((x, 4.2), (x, -4.2))))
        marks.append(Stroke(((x + 1.7, 2.0), (x + 1.7, -2.0)), 0.9))
    marks.append(Stroke(((4.7, 0.0), (6.4, 0.0)), 0.25, dashed=True))
    marks.append(Stroke(((8.1, 0.0), (length_mm, 0.0))))
    return Symbol("battery", tuple(marks), length_mm, 4.4, 4.4)


def _battery() -> Symbol:
    return battery(11.0)


def _load() -> Symbol:
    arrow = Stroke(((4.4, 1.3), (4.4, -1.3), (6.8, 0.0), (4.4, 1.3)), filled=True)
    return Symbol("load", (Stroke(((0.0, 0.0), (2.5, 0.0))), _box(5.5, 3.0, 4.2), arrow), 8.5, 4.4, 4.4)


def _inverter() -> Symbol:
    marks = (Stroke(((0.0, 0.0), (2.0, 0.0))), *_converter(6.0, "dc", "ac"))
    return Symbol("inverter", marks, 10.0, 4.7, 4.7)


def _machine(name: str, letter: str) -> Symbol:
    marks = (Stroke(((0.0, 0.0), (2.0, 0.0))), Round((6.2, 0.0), 4.2), Letter((6.2, 0.0), letter, 4.0))
    return Symbol(name, marks, 10.4, 4.4, 4.4)


def _alternator() -> Symbol:
    marks = (
        Stroke(((0.0, 0.0), (2.0, 0.0))),
        Round((6.4, 0.0), 4.4),
        Letter((7.3, 0.0), "G", 3.4),
        *_direct((4.2, 0.0)),
    )
    return Symbol("alternator", marks, 10.8, 4.6, 4.6)


def _behind_converter(name: str, near: str, far: str, *front: Mark, length: float) -> Symbol:
    marks = (
        Stroke(((0.0, 0.0), (2.0, 0.0))),
        *_converter(6.0, near, far),
        Stroke(((10.0, 0.0), (12.0, 0.0))),
        *front,
    )
    return Symbol(name, marks, length, 4.9, 4.9)


def _solar() -> Symbol:
    cells = [_box(15.0, 3.0, 4.5)]
    cells += [Stroke(((12.0, y), (18.0, y)), 0.25) for y in (-1.5, 1.5)]
    cells += [Stroke(((15.0, -4.5), (15.0, 4.5)), 0.25)]
    return _behind_converter("solar", "dc", "dc", *cells, length=18.2)


def _shore() -> Symbol:
    plug = (Arc((15.0, 0.0), 3.0, 90.0, 270.0), Stroke(((15.0, 3.0), (15.0, -3.0))))
    prongs = tuple(Stroke(((15.0, y), (17.4, y)), 0.5) for y in (-1.5, 1.5))
    return _behind_converter("shore", "dc", "ac", *plug, *prongs, length=17.6)


def _generator() -> Symbol:
    front = (Round((16.0, 0.0), 4.0), Letter((16.9, 0.0), "G", 3.4), *_alternating((13.9, 0.0)))
    return _behind_converter("generator", "dc", "ac", *front, length=20.2)


def _wind() -> Symbol:
    hub = (15.5, 0.0)
    tips = ((12.9, 3.4), (12.9, -3.4), (19.4, 0.0))
    blades = tuple(Stroke((hub, tip), 0.7) for tip in tips)
    return _behind_converter("wind", "dc", "ac", *blades, Round(hub, 0.8, filled=True), length=19.6)


def _reference() -> Symbol:
    outline = ((2.0, 3.0), (6.0, 3.0), (8.5, 0.0), (6.0, -3.0), (2.0, -3.0), (2.0, 3.0))
    return Symbol("reference", (Stroke(((0.0, 0.0), (2.0, 0.0))), Stroke(outline, blank=True)), 8.5, 3.2, 3.2)


def _arriving() -> Symbol:
    outline = ((2.0, 0.0), (4.5, 3.0), (8.5, 3.0), (8.5, -3.0), (4.5, -3.0), (2.0, 0.0))
    return Symbol("reference", (Stroke(((0.0, 0.0), (2.0, 0.0))), Stroke(outline, blank=True)), 8.5, 3.2, 3.2)


def _negative() -> Symbol:
    return Symbol("negative", (Stroke(((0.0, 0.0), (3.0, 0.0))), Stroke(((3.0, 4.0), (3.0, -4.0)), 0.9)), 3.5, 4.2, 4.2)


def _open() -> Symbol:
    return Symbol("open", (Round((0.7, 0.0), 0.7),), 1.4, 1.0, 1.0)


def _controller() -> Symbol:
    return Symbol("controller", (_box(5.0, 5.0, 5.0), Letter((5.0, 0.0), "U I", 3.0)), 10.0, 5.2, 5.2)


@lru_cache(maxsize=64)
def end(kind: str) -> Symbol:
    """Symbol of an end device, its first pin at the origin and its body beyond it."""
    machines = {"motor": "M", "starter": "M"}
    if kind in machines:
        return _machine(kind, machines[kind])
    makers = {
        "battery": _battery,
        "load": _load,
        "inverter": _inverter,
        "alternator": _alternator,
        "solar": _solar,
        "shore": _shore,
        "generator": _generator,
        "wind": _wind,
        "reference": _reference,
        "arriving": _arriving,
        "negative": _negative,
        "open": _open,
        "controller": _controller,
    }
    return makers[kind]()


def _small_contactor() -> Symbol:
    marks = (*_contact(10.0, 4.5), _frame(4.5, 1.4, 2.9, 4.4), Stroke(((4.5, 1.4), (4.5, 2.9)), 0.25, dashed=True))
    return Symbol("contactor", marks, 10.0, 4.4, 1.3)


def _small_vsr() -> Symbol:
    marks = (
        *_leads(10.0, 3.6, BODY_MM),
        Arc((0.9, 0.0), 0.8, 180.0, 360.0),
        *_blade(3.6),
        Letter((8.6, 2.2), "U", 2.6),
    )
    return Symbol("vsr", marks, 10.0, 4.0, 1.3)


def _small_shunt() -> Symbol:
    return Symbol("shunt", (*_leads(10.0, 5.0, 6.4), _box(5.0, 3.2, 1.3)), 10.0, 1.3, 1.3)


def _small_source(kind: str) -> Symbol:
    """The part of a source in front of its converter."""
    marks = [_moved(mark, -9.5) for mark in end(kind).marks[-_FRONT[kind] :]]
    return Symbol(kind, tuple(marks), 10.0, 4.6, 4.6)


_FRONT = {"solar": 4, "shore": 4, "generator": 3, "wind": 4}
"""How many of a source's last marks stand for what is in front of the converter."""


_SMALL = 0.78


def _moved(mark: Mark, dx: float, scale: float = 1.0) -> Mark:
    def at(p: Point) -> Point:
        return (p[0] + dx) * scale, p[1] * scale

    if isinstance(mark, Stroke):
        if mark.about is not None:
            offsets = tuple((x * scale, y * scale) for x, y in mark.points)
            return replace(mark, about=at(mark.about), points=offsets)
        return replace(mark, points=tuple(at(p) for p in mark.points))
    if isinstance(mark, Letter):
        return replace(mark, center=at(mark.center), size_mm=max(SMALLEST_MM, mark.size_mm * scale))
    return replace(mark, center=at(mark.center), radius_mm=mark.radius_mm * scale)


@lru_cache(maxsize=64)
def sample(kind: str) -> Symbol:
    """The symbol as the legend shows it: lying, at most 9 mm long and 3.7 mm to either side."""
    small = {"contactor": _small_contactor, "vsr": _small_vsr, "shunt": _small_shunt}
    if kind in _FRONT:
        full = _small_source(kind)
    elif kind in small:
        full = small[kind]()
    else:
        full = series(kind, 11.0, 5.5) if kind in _SERIES else end(kind)
    marks = tuple(_moved(mark, 0.0, _SMALL) for mark in full.marks)
    return replace(full, marks=marks, length_mm=full.length_mm * _SMALL)
