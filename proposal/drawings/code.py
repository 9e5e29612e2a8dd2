"""A text as a square code that a telephone's camera reads, drawn as one path."""

from proposal.drawings.emit import COLOURS, escape

QUIET = 4
"""Empty squares around the code, as ISO/IEC 18004 asks for. From memory."""
LARGEST_MODULE_MM = 1.0
WIDTH_MM = 62.0
"""Of the drawing, with its quiet zone: a long text's squares are then still half a millimetre wide."""


def square_code(text: str, *, prefix: str, title: str, description: str, language: str) -> bytes:
    """The text in a code of ISO/IEC 18004 as SVG bytes, with error correction of level M, in UTF-8.

    Parameters: text, up to 2331 bytes; prefix, the drawing's id; title and description, what it is for those who
    cannot see it. Same input, same bytes. Raises ValueError for a text that no code holds.
    """
    import segno  # noqa: PLC0415 - only where a record is drawn

    code = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8")
    rows = [list(row) for row in code.matrix]
    size = len(rows) + 2 * QUIET
    width = min(WIDTH_MM, size * LARGEST_MODULE_MM)
    runs = ((y + QUIET, start + QUIET, length) for y, row in enumerate(rows) for start, length in _runs(row))
    path = "".join(f"M{x} {y}h{length}v1h-{length}z" for y, x, length in runs)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}" width="{width:g}mm" height="{width:g}mm"'
        f' viewBox="0 0 {size} {size}" role="img" lang="{escape(language)}" shape-rendering="crispEdges"'
        f' aria-labelledby="{prefix}--title {prefix}--desc">'
        f'<title id="{prefix}--title">{escape(title)}</title><desc id="{prefix}--desc">{escape(description)}</desc>'
        f'<rect width="{size}" height="{size}" fill="{COLOURS["paper"]}"/>'
        f'<path d="{path}" fill="#000000"/></svg>\n'
    ).encode()


def _runs(row: list[int]) -> list[tuple[int, int]]:
    """Where each run of dark squares begins, and how long it is."""
    found: list[tuple[int, int]] = []
    for x, dark in enumerate(row):
        if not dark:
            continue
        if found and sum(found[-1]) == x:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        else:
            found.append((x, 1))
    return found
