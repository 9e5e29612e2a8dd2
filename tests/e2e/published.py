"""Reads what was published as a stranger would: pages with an HTML parser, the PDF as text, numbers as printed."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Any

import lxml.html
import pymupdf

NUMBER = re.compile(
    r"^(?P<sign>-?)€?(?P<digits>\d{1,3}(?:,\d{3})*|\d+)(?P<places>\.\d+)?(?:E(?P<power>-?\d+))?(?P<rest>.*)$"
)
EXACT = re.compile(r"-?\d+(?:\.\d+)?")
SCALES = {
    "mΩ": Decimal(1000), "kΩ": Decimal("0.001"), "%": Decimal(100), "kWh": Decimal("0.001"), "min": Decimal(1) / 60,
    "ms": Decimal(1000), "mm": Decimal(1000), "mA": Decimal(1000), "mV": Decimal(1000),
}  # fmt: skip
"""What a printed unit makes of the JSON's number, whose unit stands in its key (ohm, share, wh, s)."""
THREE_DIGITS = {"m", "mm²", "A", "V", "mΩ"}
"""Units in which an installer builds: fewer digits are printed only where the value has no more."""
MARGIN = re.compile(r"(\d+\.(\d{1,2}))\u00a0V")
STARTS = {"Yes": 1.0, "Perhaps": 0.5, "No": 0.0}
MARKS = re.compile(r"[✓▲◆]\u00a0")


def agrees(text: str, value: Any, ref: str) -> bool:
    """Whether a printed text says the JSON's value, as exactly as its own last digit can."""
    if value is None:
        return text.startswith("–")
    if text == value or (ref.endswith("clock_s") and text == _clock(value)) or _of_days(text, value, ref):
        return True
    found = NUMBER.match(text)
    if found is None:
        return False
    printed = Decimal(found["sign"] + found["digits"].replace(",", "") + (found["places"] or ""))
    if isinstance(value, str):  # money and quantities: exact
        return EXACT.fullmatch(value) is not None and printed == Decimal(value)
    unit = found["rest"].removeprefix("\u00a0")
    scale = Decimal(24) if unit == "h" and "days" in ref.rpartition(".")[2] else SCALES.get(unit, Decimal(1))
    last = Decimal(1).scaleb(-len((found["places"] or ".")[1:]) + int(found["power"] or 0))
    printed, exact = printed.scaleb(int(found["power"] or 0)), Decimal(repr(value)) * scale
    off = abs(printed - exact)
    if unit in THREE_DIGITS and not found["power"] and off > max(Decimal("0.006") * abs(exact), Decimal("0.006")):
        return False
    return off <= last * Decimal("0.500001")


def _of_days(text: str, value: Any, ref: str) -> bool:
    """What the page of the days prints in another way: times, verdicts, and amounts whose direction words tell."""
    name = ref.rpartition(".")[2].rstrip("[]0123456789") if ".behaviour." in ref else ""
    if name == "time_s":
        days = NUMBER.match(text) if text.endswith(("\u00a0days", "\u00a0day")) else None
        hours = text.endswith("\u00a0h") and agrees(text, value / 3600.0, "hours_h")
        return agrees(text, value / 86400.0, "days") if days else hours or text == _clock(value)
    if name == "lowest_share":  # drawn below what its kind calls empty, a battery is empty
        return value < 0.0 and agrees(text, 0.0, "lowest_share")
    if name == "starts":
        return STARTS.get(text) == value
    if name == "margin_v":  # beside a tolerance of a tenth or two, a tenth is as much as can be said
        found = MARGIN.fullmatch(text)
        return found is not None and abs(float(found[1]) - abs(value)) <= 0.5 * 10.0 ** -len(found[2]) + 1e-9
    return name == "banks_a" and agrees(text, abs(value), "banks_a")


def _clock(seconds: float) -> str:
    return f"{int(seconds % 86400) // 3600:02d}:{int(seconds % 3600) // 60:02d}"


def squeeze(text: str) -> str:
    """Text without white space: lines break where they will. Ligatures count as the letters they stand for."""
    return "".join(unicodedata.normalize("NFKC", text).split())


@dataclass(frozen=True)
class Line:
    """A row of a table on the site: the text of its cells, and its numbers by their place in the JSON."""

    page: str
    table: str
    anchor: str
    cells: tuple[str, ...]
    numbers: dict[str, str]


@dataclass
class Published:
    """An output folder."""

    folder: Path

    @cached_property
    def results(self) -> Any:
        """The decoded results.json."""
        return json.loads((self.folder / "results.json").read_text(encoding="utf-8"))

    @cached_property
    def pages(self) -> dict[str, Any]:
        """Every page of the site, parsed, by its name."""
        return {
            path.stem: lxml.html.fromstring(path.read_text(encoding="utf-8"))
            for path in sorted(self.folder.glob("*.html"))
        }

    def numbers(self) -> Iterator[tuple[str, str, str]]:
        """Page, place in the JSON and printed text of every number on the site, in reading order."""
        for name, page in self.pages.items():
            for span in page.xpath("//span[@data-ref]"):
                yield name, span.get("data-ref"), span.text_content()

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """Every row of every table on the site but headings, in reading order."""
        found = []
        for name, page in self.pages.items():
            for table in page.xpath("//table"):
                for row in table.xpath("./tbody/tr[not(contains(@class, 'row--group'))]"):
                    cells = tuple(_read(cell) for cell in row.xpath("./th | ./td"))
                    numbers = {s.get("data-ref"): s.text_content() for s in row.xpath(".//span[@data-ref]")}
                    found.append(Line(name, table.get("aria-label", ""), row.get("id", ""), cells, numbers))
        return tuple(found)

    def lines_about(self, ref: str, page: str) -> list[Line]:
        """The rows of a page with a number of the item at a place in the JSON."""
        return [x for x in self.lines if x.page == page and any(n.startswith(f"{ref}.") for n in x.numbers)]

    @cached_property
    def pdf_pages(self) -> tuple[str, ...]:
        """The text of each page of the PDF, as it was typed into it."""
        with pymupdf.open(self.folder / "proposal.pdf") as document:
            return tuple(page.get_text() for page in document)

    @cached_property
    def pdf_text(self) -> str:
        """The text of the PDF without white space and marks, and without what is repeated on each page."""
        running = f"{self.results['vessel']['name']}\n{self.results['vessel']['number']} · revision"
        kept = []
        for text in self.pdf_pages:
            before, found, after = text.partition(running)
            kept.append(before + (re.sub(r"^.*?Page\s+\d+\s+of\s+\d+\n?", "", after, flags=re.S) if found else ""))
        return squeeze(MARKS.sub("", "".join(kept)))


def _read(cell: Any) -> str:
    """The visible text of a table cell: without what only a screen reader says, and without marks."""
    for unseen in cell.xpath(".//*[contains(@class, 'unseen') or @aria-hidden='true']"):
        unseen.text = ""
    return MARKS.sub("", cell.text_content()).strip().removeprefix("\u00a0")
