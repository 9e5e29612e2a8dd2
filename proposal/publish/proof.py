"""What a book must fulfil before it can be rendered: ids, links, drawings and photos that exist, equal rows."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from math import prod
from types import MappingProxyType
from typing import Final

from proposal.book.blocks import (
    Block,
    Book,
    Bullets,
    Callout,
    Chart,
    Charts,
    Facts,
    Figure,
    Heading,
    KeyFigure,
    KeyFigures,
    Link,
    Page,
    Paragraph,
    Photos,
    SideBySide,
    Sliders,
    Step,
    Steps,
    Table,
    Timelines,
    Words,
)

_PAGE_ID: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_DRAWING: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*\.svg")
_PHOTO: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*\.jpg")
NO_IMAGES: Final[Mapping[str, bytes]] = MappingProxyType({})
"""Of a book without photos."""
_TAKEN: Final = frozenset({"index", "404", "search", "assets", "drawings"})


def page_file(book: Book, page_id: str) -> str:
    """Return the file name of a page on the site: the first page is ``index.html``, any other ``ID.html``."""
    return "index.html" if book.pages[0].id == page_id else f"{page_id}.html"


def anchors(page: Page) -> list[str]:
    """Return the anchors of a page, of headings, rows, charts and photos, in order."""
    found = []
    for block in page.blocks:
        if isinstance(block, Heading):
            found.append(block.anchor)
        elif isinstance(block, Table):
            found += [row.anchor for row in block.rows if row.anchor]
        elif isinstance(block, Charts):
            found += [chart.anchor for chart in block.charts]
        elif isinstance(block, Photos):
            found += [photo.anchor for photo in block.photos]
        elif isinstance(block, Steps | Sliders):
            found.append(block.anchor)
    return found


def proof(book: Book, drawings: Collection[str], images: Collection[str] = ()) -> None:
    """Check that the book can be rendered whole.

    Raises ``ValueError`` with everything that is wrong: it is a fault of the program, never of the user's spec.
    """
    if wrong := list(_faults(book, drawings, images)):
        raise ValueError("the book cannot be rendered: " + "; ".join(wrong))


def _faults(book: Book, drawings: Collection[str], images: Collection[str]) -> Iterator[str]:
    if not book.pages:
        yield "it has no page"
        return
    by_page = {page.id: anchors(page) for page in book.pages}
    if len(by_page) != len(book.pages):
        yield "two pages have one id"
    for name in drawings:
        if not _DRAWING.fullmatch(name):
            yield f"drawing name {name!r}"
    for name in images:
        if not _PHOTO.fullmatch(name):
            yield f"photo name {name!r}"
    for number, page in enumerate(book.pages):
        if not _PAGE_ID.fullmatch(page.id) or (number > 0 and page.id in _TAKEN):
            yield f"page id {page.id!r}"
        if len(set(by_page[page.id])) != len(by_page[page.id]):
            yield f"page {page.id} uses an anchor twice"
        yield from (f"page {page.id}: {what}" for what in _page_faults(page, by_page, drawings))
        for block in page.blocks:
            if isinstance(block, Photos):
                yield from (f"page {page.id}: {what}" for what in _photo_faults(block, images))
    yield from (f"cover: {what}" for run in book.cover.cautions for what in _links(run, by_page))
    yield from (f"cover: {what}" for fact in book.cover.facts for what in _links(fact.words, by_page))


def _page_faults(page: Page, by_page: dict[str, list[str]], drawings: Collection[str]) -> Iterator[str]:
    yield from _links(page.lead, by_page)
    sheets = [block.drawing for block in page.blocks if isinstance(block, Figure) and block.landscape]
    if len(set(sheets)) != len(sheets):
        yield "a sheet stands twice on it"
    for block in page.blocks:
        shown = _drawings(block)
        yield from (f"no drawing {figure.drawing!r}" for figure in shown if figure.drawing not in drawings)
        for figure in shown:
            if not figure.alt.strip():
                yield f"drawing {figure.drawing!r} without words for those who cannot see it"
        if isinstance(block, Sliders):
            yield from _slider_faults(block)
        if isinstance(block, Table):
            if any(len(row.cells) != len(block.columns) for row in block.rows):
                yield f"table {block.caption!r} has a row with another number of cells"
            if not 0 <= block.total_rows <= len(block.rows):
                yield f"table {block.caption!r} has {block.total_rows} totals in {len(block.rows)} rows"
        if isinstance(block, SideBySide):
            yield from (f"no page {face.page!r}" for face in block.faces if face.page not in by_page)
        for run in _runs(block):
            yield from _links(run, by_page)


def _drawings(block: Block) -> tuple[Figure | Chart | Step, ...]:
    if isinstance(block, Charts):
        return block.charts
    if isinstance(block, Steps):
        return block.steps
    return (block,) if isinstance(block, Figure) else ()


def _photo_faults(block: Photos, images: Collection[str]) -> Iterator[str]:
    for photo in block.photos:
        if photo.file not in images:
            yield f"no photo {photo.file!r}"
        if not photo.alt.strip():
            yield f"photo {photo.file!r} without words for those who cannot see it"
        if photo.width_px < 1 or photo.height_px < 1:
            yield f"photo {photo.file!r} has no size"


def _slider_faults(block: Sliders) -> Iterator[str]:
    wanted = prod(len(axis.positions) for axis in block.axes)
    for axis in block.axes:
        if not 0 <= axis.proposed < len(axis.positions):
            yield f"slider {axis.label!r} has no position {axis.proposed}"
    for face in block.faces:
        for answer in face.answers:
            if not len(answer.figures) == len(answer.tones) == wanted:
                yield f"sliders {block.title!r}: {answer.label!r} has not an answer for each position"


def _links(run: Words, by_page: dict[str, list[str]]) -> Iterator[str]:
    for part in run.parts:
        if not isinstance(part, Link):
            continue
        if part.page not in by_page:
            yield f"no page {part.page!r}"
        elif part.anchor and part.anchor not in by_page[part.page]:
            yield f"no anchor {part.anchor!r} on page {part.page}"


def _runs(block: Block) -> Iterator[Words]:
    """Every run of words in a block."""
    if isinstance(block, Paragraph):
        yield block.words
    elif isinstance(block, Bullets):
        yield from block.items
    elif isinstance(block, Callout):
        yield from block.body
    elif isinstance(block, KeyFigures):
        yield from _figures(block.figures)
    elif isinstance(block, Table):
        for row in block.rows:
            yield from row.cells
    elif isinstance(block, SideBySide):
        for face in block.faces:
            yield from _figures(face.figures)
            yield from face.reasons
    elif isinstance(block, Charts):
        yield from (chart.words for chart in block.charts)
    elif isinstance(block, Photos):
        yield from (photo.words for photo in block.photos)
    elif isinstance(block, Facts):
        yield from (fact.words for fact in block.facts)
    else:
        yield from _moving_runs(block)


def _moving_runs(block: Block) -> Iterator[Words]:
    if isinstance(block, Timelines):
        for line in block.lines:
            for moment in line.moments:
                yield from (moment.time, moment.words, moment.note)
    elif isinstance(block, Steps):
        for step in block.steps:
            yield from (step.title, step.words)
    elif isinstance(block, Sliders):
        yield block.note
        for row in block.table.rows:
            yield from row.cells


def _figures(figures: tuple[KeyFigure, ...]) -> Iterator[Words]:
    for figure in figures:
        yield figure.figure
        yield figure.note
