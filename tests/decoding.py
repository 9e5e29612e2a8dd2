"""What a camera would read from a drawing: printed at 300 dots an inch, and decoded by a library of its own."""

from __future__ import annotations

import pymupdf
import zxingcpp
from PIL import Image


def decoded(svg: bytes) -> str:
    with pymupdf.open(stream=svg, filetype="svg") as sheet:
        return read(sheet[0])[0]


def read(page: pymupdf.Page, dpi: int = 300) -> list[str]:
    """Texts of all codes on a page."""
    pixels = page.get_pixmap(dpi=dpi)
    image = Image.frombytes("RGB", (pixels.width, pixels.height), pixels.samples)
    return [found.text for found in zxingcpp.read_barcodes(image)]
