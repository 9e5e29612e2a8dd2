"""Items to SVG: schemdraw places the elements, a page of our own writes the bytes.

schemdraw's own SVG figure knows no ids, titles or groups, so its elements draw on `Page`, which takes the same calls.
"""

import re
import sys
from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import cos, radians, sin
from typing import Any

from proposal.drawings.primitives import Arc, Item, Mark, Point, Round, Stroke, Symbol, Text, Wire
from proposal.drawings.text import FONT_FAMILY, width_mm

COLOURS = {
    "symbol": "#1a1a1a",
    "text": "#1a1a1a",
    "positive": "#d7301f",
    "negative": "#222222",
    "frame": "#1a1a1a",
    "faint": "#6b6b6b",
    "paper": "#ffffff",
    "tint": "#f1f5f4",
    "grid": "#d4d9dc",
    "curve": "#005a94",
    "band": "#c9e0f0",
    "harm": "#b94a00",
    "leaf": "#1d7a57",
    "deep": "#7db1d6",
    "amber": "#c97a12",
    "plum": "#8a3b7b",
    "pale": "#a3abb0",
    "halo": "#eadcef",
}
_DASHED = "1.2 0.9"
_DOTTED = "0.1 0.8"
_CHAINED = "2.4 0.8 0.4 0.8"


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def escape(text: str) -> str:
    """Text as XML character data or attribute value."""
    for char, entity in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("$", "&#36;")):
        text = text.replace(char, entity)
    return text


def safe_id(key: str) -> str:
    """A key as part of an id: what is not a letter, digit, dot, underscore or hyphen becomes its code point."""
    return re.sub(r"[^A-Za-z0-9_.-]", lambda m: f"_{ord(m.group()):x}_", key)


@lru_cache(maxsize=1)
def _schemdraw() -> Any:
    """schemdraw without its matplotlib back end, which costs half a second where matplotlib is installed."""
    name = "schemdraw.backends.mpl"
    blocked = "schemdraw" not in sys.modules and name not in sys.modules
    if blocked:
        sys.modules[name] = None  # type: ignore[assignment]
    try:
        import schemdraw  # noqa: PLC0415
        import schemdraw.elements  # noqa: PLC0415
        import schemdraw.segments  # noqa: PLC0415
    finally:
        if blocked:
            del sys.modules[name]
    return schemdraw


def _upright(points: Sequence[Point], about: Point, theta: float) -> list[Point]:
    """Offsets from a point, turned back by the angle by which the symbol will be turned."""
    c, s = cos(radians(-theta)), sin(radians(-theta))
    return [(about[0] + x * c - y * s, about[1] + x * s + y * c) for x, y in points]


@lru_cache(maxsize=1024)
def _segments(symbol: Symbol, theta: float, colour: str) -> tuple[Any, ...]:
    segments = _schemdraw().segments

    def build(mark: Mark) -> Any:
        if isinstance(mark, Stroke):
            points = list(mark.points) if mark.about is None else _upright(mark.points, mark.about, theta)
            fill = colour if mark.filled else COLOURS["paper"] if mark.blank else None
            return segments.Segment(
                points, lw=mark.width_mm, color=colour, ls="--" if mark.dashed else "-", fill=fill, zorder=2
            )
        if isinstance(mark, Round):
            fill = colour if mark.filled else COLOURS["paper"]
            return segments.SegmentCircle(
                mark.center, mark.radius_mm, lw=mark.width_mm, color=colour, fill=fill, zorder=2
            )
        if isinstance(mark, Arc):
            size = 2 * mark.radius_mm
            return segments.SegmentArc(
                mark.center, size, size, theta1=mark.from_deg, theta2=mark.to_deg, lw=mark.width_mm, color=colour
            )
        return segments.SegmentText(mark.center, mark.text, fontsize=mark.size_mm, color=colour)

    return tuple(build(mark) for mark in symbol.marks)


class Page:
    """Takes the calls that schemdraw's segments make on a figure and writes SVG in mm, y downwards."""

    def __init__(self) -> None:
        self.parts: list[str] = []

    def plot(self, x: Sequence[float], y: Sequence[float], **style: Any) -> None:
        """A polyline."""
        points = " ".join(f"{_number(a)},{_number(-b)}" for a, b in zip(x, y, strict=True))
        fill = style.get("fill") or "none"
        dash = f' stroke-dasharray="{_DASHED}"' if style.get("ls") == "--" else ""
        self.parts.append(
            f'<polyline points="{points}" fill="{fill}" stroke="{style["color"]}"'
            f' stroke-width="{_number(style["lw"])}"{dash}/>'
        )

    def circle(self, center: Sequence[float], radius: float, **style: Any) -> None:
        """A circle."""
        self.parts.append(
            f'<circle cx="{_number(center[0])}" cy="{_number(-center[1])}" r="{_number(radius)}"'
            f' fill="{style.get("fill") or "none"}" stroke="{style["color"]}" stroke-width="{_number(style["lw"])}"/>'
        )

    def arc(self, center: Sequence[float], width: float, height: float, **style: Any) -> None:
        """Part of a circle, counter-clockwise from theta1 to theta2."""
        turn = style.get("angle") or 0.0
        points = []
        for theta in (style["theta1"], style["theta2"]):
            at = radians(theta + turn)
            points.append((center[0] + width / 2 * cos(at), center[1] + height / 2 * sin(at)))
        (x0, y0), (x1, y1) = points
        large = int((style["theta2"] - style["theta1"]) % 360 > 180)
        self.parts.append(
            f'<path d="M{_number(x0)} {_number(-y0)}A{_number(width / 2)} {_number(height / 2)} 0 {large} 0'
            f' {_number(x1)} {_number(-y1)}" fill="none" stroke="{style["color"]}"'
            f' stroke-width="{_number(style["lw"])}"/>'
        )

    def text(self, s: str, x: float, y: float, **style: Any) -> None:
        """A centred letter."""
        size = style["fontsize"]
        left = x - width_mm(s, size) / 2
        self.line(Text(left, -y + 0.365 * size, s, size), style["color"], ' class="letter"')

    def line(self, text: Text, colour: str, data: str = "") -> None:
        """A line of text from its left end on its baseline."""
        weight = ' font-weight="bold"' if text.bold else ""
        self.parts.append(
            f'<text{data} x="{_number(text.x)}" y="{_number(text.y)}" font-size="{_number(text.size_mm)}"{weight}'
            f' fill="{colour}">{escape(text.text)}</text>'
        )


def svg(
    items: Iterable[Item],
    *,
    prefix: str,
    size_mm: tuple[float, float],
    title: str,
    description: str,
    accent: str,
    language: str,
) -> bytes:
    """The page as SVG bytes: one group per item, with id, data attributes and title where it stands for something."""
    library = _schemdraw()
    drawing = library.Drawing(canvas="svg", show=False, inches_per_unit=1 / 25.4, margin=0)
    page = Page()
    colours = {**COLOURS, "accent": accent}
    seen: set[str] = set()
    for item in items:
        page.parts.append(_open(item, prefix, seen))
        for wire in item.wires:
            _wire(page, wire, colours)
        if item.symbol is not None:
            element = library.elements.Element()
            element.segments.extend(_segments(item.symbol, item.theta, colours[item.ink]))
            drawing.add(element.at((item.at[0], -item.at[1])).theta(item.theta))
            element._draw(page)
        for text in item.texts:
            page.line(text, colours[text.ink])
        page.parts.append("</g>")
    width, height = (_number(v) for v in size_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" role="img" lang="{escape(language)}"'
        f' aria-labelledby="{prefix}--title {prefix}--desc" font-family="{FONT_FAMILY}"'
        f' stroke-linecap="round" stroke-linejoin="round">'
        f'<title id="{prefix}--title">{escape(title)}</title><desc id="{prefix}--desc">{escape(description)}</desc>'
        f'<rect width="{width}" height="{height}" fill="{COLOURS["paper"]}" stroke="none"/>'
    )
    return (head + "".join(page.parts) + "</svg>\n").encode()


def _open(item: Item, prefix: str, seen: set[str]) -> str:
    attributes = [f'class="{item.kind}"']
    if item.key:
        name = f"{prefix}--{safe_id(item.key)}"
        while name in seen:
            name += "-again"
        seen.add(name)
        attributes = [f'id="{name}"', *attributes, f'data-key="{escape(item.key)}"']
        if item.designation:
            attributes.append(f'data-designation="{escape(item.designation)}"')
    attributes += [f'data-{name}="{escape(value)}"' for name, value in item.data]
    if item.pins:
        pins = ";".join(f"{escape(node)} {_number(x)} {_number(y)}" for node, x, y in item.pins)
        attributes.append(f'data-pins="{pins}"')
    title = f"<title>{escape(item.title)}</title>" if item.key and item.title else ""
    return f"<g {' '.join(attributes)}>{title}"


def _wire(page: Page, wire: Wire, colours: dict[str, str]) -> None:
    points = " ".join(f"{_number(x)},{_number(y)}" for x, y in wire.points)
    pattern = _DOTTED if wire.dotted else _CHAINED if wire.chained else _DASHED if wire.dashed else ""
    dash = f' stroke-dasharray="{pattern}"' if pattern else ""
    fill = colours[wire.fill] if wire.fill is not None else colours["tint"] if wire.tinted else "none"
    cap = ' stroke-linecap="butt"' if wire.width_mm >= 1.2 else ""
    page.parts.append(
        f'<polyline points="{points}" fill="{fill}" stroke="{colours[wire.ink]}"'
        f' stroke-width="{_number(wire.width_mm)}"{dash}{cap}/>'
    )
