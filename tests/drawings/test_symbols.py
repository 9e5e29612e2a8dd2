"""Symbols: pins where the layout believes them, and extents that bound every mark."""

from math import cos, radians, sin

import pytest

from proposal.drawings.icons import icon
from proposal.drawings.primitives import Arc, Letter, Mark, Point, Round, Stroke, Symbol
from proposal.drawings.sheet import LEGEND
from proposal.drawings.symbols import battery, end, sample, series

SERIES = ("fuse", "switch", "contactor", "driven_contactor", "vsr", "shunt", "dc_dc")
ENDS = (
    "battery", "load", "inverter", "motor", "starter", "alternator", "solar", "shore", "generator", "wind", "reference",
    "arriving", "negative", "open", "controller",
)  # fmt: skip


def extent(mark: Mark) -> list[Point]:
    if isinstance(mark, Stroke):
        about = mark.about or (0.0, 0.0)
        if mark.about is None:
            return list(mark.points)
        reach = max(max(abs(x), abs(y)) for x, y in mark.points)
        return [(about[0] + dx, about[1] + dy) for dx in (-reach, reach) for dy in (-reach, reach)]
    if isinstance(mark, Letter):
        half = mark.size_mm * 0.4
        return [(mark.center[0], mark.center[1] - half), (mark.center[0], mark.center[1] + half)]
    if isinstance(mark, Arc):
        x, y = mark.center
        angles = [mark.from_deg + k * (mark.to_deg - mark.from_deg) / 16 for k in range(17)]
        return [(x + mark.radius_mm * cos(radians(t)), y + mark.radius_mm * sin(radians(t))) for t in angles]
    assert isinstance(mark, Round)
    (x, y), r = mark.center, mark.radius_mm
    return [(x - r, y), (x + r, y), (x, y - r), (x, y + r)]


def bounded(symbol: Symbol) -> None:
    points = [p for mark in symbol.marks for p in extent(mark)]
    assert max(y for _, y in points) <= symbol.left_mm + 1e-9, symbol.name
    assert min(y for _, y in points) >= -symbol.right_mm - 1e-9, symbol.name
    assert min(x for x, _ in points) >= -1e-9, symbol.name
    assert max(x for x, _ in points) <= symbol.length_mm + 1e-9, symbol.name


def starts(symbol: Symbol) -> set[Point]:
    return {p for mark in symbol.marks if isinstance(mark, Stroke) and mark.about is None for p in mark.points}


@pytest.mark.parametrize("kind", SERIES)
@pytest.mark.parametrize(("length", "middle"), [(10.0, 5.0), (24.0, 12.0), (40.0, 15.0)])
def test_series_symbols_reach_from_pin_to_pin(kind: str, length: float, middle: float) -> None:
    symbol = series(kind, length, middle)
    assert {(0.0, 0.0), (length, 0.0)} <= starts(symbol)
    bounded(symbol)


@pytest.mark.parametrize("kind", ENDS)
def test_end_symbols_have_their_pin_at_the_origin(kind: str) -> None:
    symbol = end(kind)
    bounded(symbol)
    if kind not in ("open", "controller"):
        assert (0.0, 0.0) in starts(symbol)


def test_a_battery_has_a_pin_at_either_end() -> None:
    assert {(0.0, 0.0), (17.0, 0.0)} <= starts(battery(17.0))


@pytest.mark.parametrize("kind", LEGEND)
def test_samples_fit_their_cell_of_the_legend(kind: str) -> None:
    points = [p for mark in sample(kind).marks for p in extent(mark)]
    assert max(abs(y) for _, y in points) <= 3.95
    assert min(x for x, _ in points) >= -1.5
    assert max(x for x, _ in points) <= 10.6


@pytest.mark.parametrize("kind", ["solar", "alternator", "shore", "generator", "wind", "battery", "loads", "starter"])
def test_icons_are_about_as_large_as_they_say(kind: str) -> None:
    points = [p for mark in icon(kind).marks for p in extent(mark)]
    assert 2.5 <= max(max(abs(x), abs(y)) for x, y in points) <= 4.3
