"""The pages of a book as typed blocks. Site and PDF render the same blocks, so they cannot disagree.

A text is plain text: renderers encode it. Words and tables have a module of their own, which the command line shares.
"""

from dataclasses import field
from typing import Literal

from proposal.book.moving import (
    Moment,
    SliderAnswer,
    SliderAxis,
    SliderFace,
    Sliders,
    Step,
    Steps,
    Timeline,
    Timelines,
)
from proposal.book.tables import Cell, Column, Link, Row, Strong, Table, Tone, Words
from proposal.frozen import frozen

Audience = Literal["client", "installer", "surveyor", "owner"]


@frozen
class Heading:
    """A heading inside a page; level 2 or 3. `anchor` is unique in the page."""

    text: str
    level: Literal[2, 3]
    anchor: str
    on_paper: bool = True
    """Whether the PDF has it: one over blocks that are on the site alone has no place there. Nothing links to it."""


@frozen
class Paragraph:
    """Running text."""

    words: Words
    tone: Tone = "plain"


@frozen
class Bullets:
    """A list; numbered where the order matters."""

    items: tuple[Words, ...]
    numbered: bool = False


@frozen
class Callout:
    """A box that must not be overlooked."""

    title: str
    body: tuple[Words, ...]
    tone: Tone
    large: bool = False
    """Is the answer of its page."""


@frozen
class KeyFigure:
    """One number that decides, with what it means in a few words."""

    label: str
    figure: Words
    note: Words
    tone: Tone = "plain"


@frozen
class KeyFigures:
    """A row of numbers that decide."""

    figures: tuple[KeyFigure, ...]


@frozen
class OptionFace:
    """One option in a side-by-side view: letter, title, price and the figures that differ."""

    letter: str
    title: str
    pitch: str
    page: str
    figures: tuple[KeyFigure, ...]
    reasons: tuple[Words, ...]


@frozen
class SideBySide:
    """Options beside each other."""

    faces: tuple[OptionFace, ...]


@frozen
class Figure:
    """A drawing or chart by its file name under drawings/; `alt` says what it shows, not that it is a picture."""

    drawing: str
    alt: str
    caption: str
    landscape: bool = False
    """Wants a landscape page of its own in the PDF and zoom on the site."""
    wide: bool = False
    """As wide as the page; on a phone it slides."""
    on_paper: bool = True
    """Whether the PDF has it."""
    tall: bool = False
    """A wide one that has much in it, and so gets more than half of a page of the PDF."""


@frozen
class Chart:
    """A small drawing with what it tells: the words are read below it, `alt` says the same in their place."""

    drawing: str
    alt: str
    words: Words
    anchor: str
    tone: Tone = "plain"


@frozen
class Charts:
    """Small drawings side by side, as many as the page is wide for."""

    charts: tuple[Chart, ...]


@frozen
class Photo:
    """A photo by its file name under photos/, with what is read below it; `alt` says what it shows."""

    file: str
    alt: str
    words: Words
    anchor: str
    width_px: int
    height_px: int


@frozen
class Photos:
    """Photos side by side, as many as the page is wide for."""

    photos: tuple[Photo, ...]


@frozen
class Fact:
    """One named value of a definition list (cover, title block, assumptions)."""

    name: str
    words: Words


@frozen
class Facts:
    """Named values in two columns."""

    facts: tuple[Fact, ...]


@frozen
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
    | Charts
    | Photos
    | Facts
    | Signature
    | Timelines
    | Steps
    | Sliders
)


@frozen
class Page:
    """A page of the book; `id` is its file name on the site, `lead` one sentence under the title."""

    id: str
    title: str
    audiences: tuple[Audience, ...]
    blocks: tuple[Block, ...]
    lead: Words = field(default_factory=lambda: Words(()))


@frozen
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
    warning: str = ""
    """A few words, large on the first page of site and PDF, small on every other; empty: nothing to warn of."""
    warning_more: str = ""
    """What follows the warning on the first page."""


@frozen
class Book:
    """Cover and pages, in reading order; language tag for the documents."""

    cover: Cover
    pages: tuple[Page, ...]
    language: str
    date: str


__all__ = [
    "Audience",
    "Block",
    "Book",
    "Bullets",
    "Callout",
    "Cell",
    "Chart",
    "Charts",
    "Column",
    "Cover",
    "Fact",
    "Facts",
    "Figure",
    "Heading",
    "KeyFigure",
    "KeyFigures",
    "Link",
    "Moment",
    "OptionFace",
    "Page",
    "Paragraph",
    "Photo",
    "Photos",
    "Row",
    "SideBySide",
    "Signature",
    "SliderAnswer",
    "SliderAxis",
    "SliderFace",
    "Sliders",
    "Step",
    "Steps",
    "Strong",
    "Table",
    "Timeline",
    "Timelines",
    "Tone",
    "Words",
]
