"""Words with their numbers and links, and the tables made of them.

A text is plain text: renderers encode it. A number reaches a page only as a `Cell`, whose `ref` says where it stands in
the JSON; its printed form is made once, when the cell is made.
"""

from typing import Literal

from proposal.frozen import frozen

Tone = Literal["plain", "good", "caution", "danger", "unknown"]


@frozen
class Cell:
    """A number as printed: value, unit, digits after the point, its formatted text, and its place in the JSON."""

    text: str
    value: float | str | None
    unit: str
    digits: int
    ref: str


@frozen
class Words:
    """A run of text pieces and cells, for example a finding's sentence. `strong` pieces are emphasised."""

    parts: tuple["str | Cell | Strong | Link", ...]


@frozen
class Strong:
    """Emphasised text."""

    text: "str | Cell"


@frozen
class Link:
    """A link to another page of the book, or to a block on it."""

    text: str
    page: str
    anchor: str = ""


@frozen
class Column:
    """A table column. `align` right for numbers. `narrow` columns may be shed into a second line on a phone."""

    title: str
    align: Literal["left", "right"] = "left"
    wide: bool = False


@frozen
class Row:
    """A table row. `anchor` lets other places link to it; `tone` marks it; `group` starts a group with that title."""

    cells: tuple[Words, ...]
    anchor: str = ""
    tone: Tone = "plain"
    group: str = ""


@frozen
class Table:
    """A table with a caption that says what it tells."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    total_rows: int = 0
    """How many of the last rows are totals."""
    dense: bool = False
    folded: bool = False
    """Whether a phone shows its caption alone until the reader opens it."""
    filters: bool = False
    """Whether the site offers a box in which its rows are filtered by words."""
