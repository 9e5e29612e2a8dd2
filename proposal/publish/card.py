"""The emergency card by itself: the blocks of its page on a single sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from markupsafe import Markup

from proposal.book.blocks import Block, Book, Figure, Heading, Page
from proposal.book.pages.emergency import EMERGENCY_CODE, PAGE_ID
from proposal.publish import templates
from proposal.publish.labels import labels
from proposal.publish.pdf import day_of, set_html
from proposal.publish.shapes import key_columns, option_tint, tone_keys

SIZES_PT: Final = (11.0, 10.4, 9.8, 9.2, 8.6, 8.0, 7.4, 6.8, 6.2, 5.6, 5.0)
"""Of the text, tried in turn until the card takes one sheet."""
_MAIN: Final = ("order", "alive", "dangers")
_ASIDE: Final = ("what",)


def card_pdf(book: Book, drawings: Mapping[str, bytes]) -> bytes:
    """Return the page of the emergency card as a tagged PDF of one sheet of A4, with the code that holds its text.

    The same input gives the same bytes. Raises ``ValueError`` for a book without that page, else as ``render_pdf``.
    """
    page = next((page for page in book.pages if page.id == PAGE_ID), None)
    if page is None:
        raise ValueError("the book has no emergency card")
    files = {f"drawing/{name}": (data, "image/svg+xml") for name, data in drawings.items() if name == EMERGENCY_CODE}
    return set_html(_html(book, page), ("common", "card"), files, sizes_pt=SIZES_PT, pdf_variant="pdf/ua-1")


def _html(book: Book, page: Page) -> str:
    environment = templates.environment(
        medium="print",
        auto="",
        label=labels(book),
        tone_keys=tone_keys,
        option_tint=option_tint,
        key_columns=key_columns,
        breaks=lambda _text: False,
        drawing=lambda name: Markup("mem:drawing/{}").format(name),
        href=lambda page_id, anchor: Markup("#"),  # noqa: ARG005 - the card has no links
    )
    return environment.get_template("card.html.j2").render(
        book=book,
        page=page,
        parts=_parts(page),
        document_title=f"{page.title} · {book.cover.title}",
        timestamp=f"{day_of(book.date)}T00:00:00Z",
    )


def _parts(page: Page) -> dict[str, list[Block]]:
    """The blocks by where they stand on the sheet: what comes first, the steps, beside them, and below."""
    found: dict[str, list[Block]] = {"first": [], "main": [], "aside": [], "rest": []}
    where = "first"
    codes: list[Block] = []
    for item in page.blocks:
        if isinstance(item, Figure):
            codes += [item] if item.drawing == EMERGENCY_CODE else []
            continue
        if isinstance(item, Heading):
            where = "main" if item.anchor in _MAIN else "aside" if item.anchor in _ASIDE else "rest"
        found[where].append(item)
    found["aside"] = codes + found["aside"]
    return found
