"""The few words that the renderers need themselves; a book in another language brings its own in ``Cover.labels``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from proposal.book.blocks import Book

DEFAULTS: Final[Mapping[str, str]] = {
    "contents": "Contents",
    "page": "Page",
    "of": "of",
    "previous": "Previous",
    "next": "Next",
    "search": "Search",
    "menu": "Pages",
    "skip": "Skip to the content",
    "drawing": "Drawing",
    "open_drawing": "Open the drawing on its own",
    "zoom_in": "Zoom in",
    "zoom_out": "Zoom out",
    "zoom_fit": "Whole drawing",
    "zoom_help": "Drag to move, arrow keys to scroll, Ctrl and wheel to zoom.",
    "prepared_for": "Prepared for",
    "prepared_by": "Prepared by",
    "option": "Option",
    "read_more": "Read more about it",
    "reasons": "Choose this if",
    "cautions": "Cautions",
    "name": "Name",
    "place_date": "Place and date",
    "signature": "Signature",
    "step": "Step",
    "as_proposed": "As proposed",
    "filter": "Show only rows with",
    "rows": "Rows:",
    "each_position": "The same as a table",
    "attached_spec": "What was entered for the vessel",
    "attached_entry": "An entry of the vessel's record",
    "attached_results": "Everything that was computed, as data",
    "attached_designations": "Which item has which designation",
    "attached_photo": "A photo of the record",
    "tone_good": "Good",
    "tone_caution": "Caution",
    "tone_danger": "Danger",
    "tone_unknown": "Not known",
}
"""Key and English wording; these are all the keys that ``Cover.labels`` may carry."""


def labels(book: Book) -> dict[str, str]:
    """Return the wording by key: the book's own where it has one, else the English default.

    Raises ``ValueError`` for a key that no renderer knows.
    """
    own = dict(book.cover.labels)
    if unknown := sorted(own.keys() - DEFAULTS.keys()):
        raise ValueError(f"labels that no renderer knows: {', '.join(unknown)}")
    return {**DEFAULTS, **own}
