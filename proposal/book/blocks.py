"""The pages of a book as typed blocks. Site and PDF render the same blocks, so they cannot disagree.

A text is plain text: renderers encode it. A number reaches a page only as a `Cell`, whose `ref` says where it stands in
the JSON; its printed form is made once, when the cell is made.
"""

from dataclasses import dataclass, field
from typing import Literal

Audience = Literal["client", "installer", "surveyor", "owner"]
Tone = Literal["plain", "good", "caution", "danger", "unknown"]


@dataclass(frozen=True, slots=True)
class Cell:
    """A number as printed: value, unit, digits after the point, its formatted text, and its place in the JSON."""

    text: str
    value: float | str | None
    unit: str
    digits: int
    ref: str


@dataclass(frozen=True, slots=True)
class Words:
    """A run of text pieces and cells, for example a finding's sentence. `strong` pieces are emphasised."""

    parts: tuple["str | Cell | Strong | Link", ...]


@dataclass(frozen=True, slots=True)
class Strong:
    """Emphasised text."""

    text: "str | Cell"


@dataclass(frozen=True, slots=True)
class Link:
    """A link to another page of the book, or to a block on it."""

    text: str
    page: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a page; level 2 or 3. `anchor` is unique in the page."""

    text: str
    level: Literal[2, 3]
    anchor: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    words: Words
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list; numbered where the order matters."""

    items: tuple[Words, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Callout:
    """A box that must not be overlooked."""

    title: str
    body: tuple[Words, ...]
    tone: Tone


@dataclass(frozen=True, slots=True)
class KeyFigure:
    """One number that decides, with what it means in a few words."""

    label: str
    figure: Words
    note: Words
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class KeyFigures:
    """A row of numbers that decide."""

    figures: tuple[KeyFigure, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A table column. `align` right for numbers. `narrow` columns may be shed into a second line on a phone."""

    title: str
    align: Literal["left", "right"] = "left"
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A table row. `anchor` lets other places link to it; `tone` marks it; `group` starts a group with that title."""

    cells: tuple[Words, ...]
    anchor: str = ""
    tone: Tone = "plain"
    group: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a caption that says what it tells."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    total_rows: int = 0
    """How many of the last rows are totals."""
    dense: bool = False


@dataclass(frozen=True, slots=True)
class OptionFace:
    """One option in a side-by-side view: letter, title, price and the figures that differ."""

    letter: str
    title: str
    pitch: str
    page: str
    figures: tuple[KeyFigure, ...]
    reasons: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Options beside each other."""

    faces: tuple[OptionFace, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing or chart by its file name under drawings/; `alt` says what it shows, not that it is a picture."""

    drawing: str
    alt: str
    caption: str
    landscape: bool = False
    """Wants a landscape page of its own in the PDF and zoom on the site."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One named value of a definition list (cover, title block, assumptions)."""

    name: str
    words: Words


@dataclass(frozen=True, slots=True)
class Facts:
    """Named values in two columns."""

    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Signature:
    """Lines for place, date and signatures."""

    parties: tuple[str, ...]
    statement: str


Block = (
    Heading
    | Paragraph
    | Bullets
    | Callout
    | KeyFigures
    | Table
    | SideBySide
    | Figure
    | Facts
    | Signature
)


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the book; `id` is its file name on the site, `lead` one sentence under the title."""

    id: str
    title: str
    audiences: tuple[Audience, ...]
    blocks: tuple[Block, ...]
    lead: Words = field(default_factory=lambda: Words(()))


@dataclass(frozen=True, slots=True)
class Cover:
    """What stands on the PDF's cover and in the site's header and footer."""

    title: str
    subtitle: str
    prepared_for: str
    prepared_by: str
    licence: str
    facts: tuple[Fact, ...]
    cautions: tuple[Words, ...]
    deference: str
    labels: tuple[tuple[str, str], ...]
    """Words the renderers need: contents, page, of, previous, next, search, drawing …"""
    running: str = ""
    """Beside the title in the site's header and the PDF's running head, e.g. revision and date; else the subtitle."""


@dataclass(frozen=True, slots=True)
class Book:
    """Cover and pages, in reading order; language tag for the documents."""

    cover: Cover
    pages: tuple[Page, ...]
    language: str
    date: str
