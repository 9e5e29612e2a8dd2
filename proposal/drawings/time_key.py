"""The key to time-current charts: a sample of every line with its meaning."""

from proposal.drawings import emit
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import LINE, SMALLEST_MM, wrap
from proposal.drawings.time_lines import MARK_MM

WIDTH_MM, ROW_MM = 84.0, 13.0
COLUMNS = 2
KEYS = ("band", "beyond", "harm", "pass", "least", "highest", "breaking", "neighbour")
_SAMPLE_MM = 9.0


def curve_key(sheet: SheetInfo, name: str, description: str) -> bytes:
    """The key as SVG. Raises KeyError if `sheet.labels` lacks a word."""
    cell = WIDTH_MM / COLUMNS
    items = []
    for number, kind in enumerate(KEYS):
        x, y = (number % COLUMNS) * cell + 1.0, (number // COLUMNS + 0.5) * ROW_MM
        words = wrap(sheet.word(f"key_{kind}"), cell - _SAMPLE_MM - 4.5, SMALLEST_MM, 4)
        first = y + SMALLEST_MM * (0.36 - LINE * (len(words) - 1) / 2.0)
        left = x + _SAMPLE_MM + 2.0
        texts = tuple(Text(left, first + i * SMALLEST_MM * LINE, line, SMALLEST_MM) for i, line in enumerate(words))
        items.append(Item("key", wires=_sample(kind, x, y), texts=texts))
    rows = -(-len(KEYS) // COLUMNS)
    return emit.svg(
        items,
        prefix=name.removesuffix(".svg"),
        size_mm=(WIDTH_MM, rows * ROW_MM),
        title=sheet.word("key_title"),
        description=description,
        accent=sheet.accent,
        language=sheet.language,
    )


def _sample(kind: str, x: float, y: float) -> tuple[Wire, ...]:
    end, half = x + _SAMPLE_MM, 2.6
    middle = x + _SAMPLE_MM / 2.0
    if kind in ("band", "beyond", "neighbour"):
        edges = ((x, y - half), (end, y + 0.4)), ((x, y - 0.4), (end, y + half))
        if kind == "neighbour":
            return tuple(Wire(edge, 0.22, "faint") for edge in edges)
        (a, b), (c, d) = edges
        dashed = kind == "beyond"
        thin, thick = Wire(edges[1], 0.3, "curve", dashed=dashed), Wire(edges[0], 0.6, "curve", dashed=dashed)
        return Wire((a, b, d, c, a), 0.0, "band", fill="band"), thin, thick
    if kind == "harm":
        return (Wire(((x, y - half), (end, y + half)), 0.7, "harm", dashed=True),)
    if kind == "pass":
        points = ((0.0, -MARK_MM), (MARK_MM, 0.0), (0.0, MARK_MM), (-MARK_MM, 0.0), (0.0, -MARK_MM))
        return (Wire(tuple((middle + dx, y + dy) for dx, dy in points), 0.2, "symbol", fill="symbol"),)
    line = ((middle, y - half), (middle, y + half))
    return (Wire(line, 0.3 if kind == "least" else 0.7, "symbol", dotted=kind == "breaking"),)
