"""Walks through a book: every run of words with where it stands, every cell, every text."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

from proposal.book import blocks as b


def runs(book: b.Book) -> Iterator[tuple[str, b.Words]]:
    """Every run of words of the pages and the cover: (page and block, run)."""
    for fact in book.cover.facts:
        yield f"cover, {fact.name}", fact.words
    for caution in book.cover.cautions:
        yield "cover, cautions", caution
    for page in book.pages:
        yield f"{page.id}, lead", page.lead
        for number, block in enumerate(page.blocks):
            for run in _runs(block):
                yield f"{page.id}, block {number} {type(block).__name__}", run


def _runs(item: Any) -> Iterator[b.Words]:
    if isinstance(item, b.Words):
        yield item
    elif isinstance(item, tuple):
        for entry in item:
            yield from _runs(entry)
    elif dataclasses.is_dataclass(item):
        for field in dataclasses.fields(item):
            yield from _runs(getattr(item, field.name))


def cells(book: b.Book) -> Iterator[tuple[str, b.Cell]]:
    """Every cell with where it stands."""
    for where, run in runs(book):
        for part in run.parts:
            if isinstance(part, b.Cell):
                yield where, part
            elif isinstance(part, b.Strong) and isinstance(part.text, b.Cell):
                yield where, part.text


def texts(book: b.Book) -> Iterator[tuple[str, str]]:
    """Every text that is read, apart from cells: (where, text)."""
    cover = book.cover
    for name in ("title", "subtitle", "prepared_for", "prepared_by", "licence", "deference", "running"):
        yield f"cover, {name}", getattr(cover, name)
    for fact in cover.facts:
        yield "cover, facts", fact.name
    for where, run in runs(book):
        for part in run.parts:
            if isinstance(part, str):
                yield where, part
            elif isinstance(part, (b.Strong, b.Link)) and isinstance(part.text, str):
                yield where, part.text
    for page in book.pages:
        yield f"{page.id}, title", page.title
        for block in page.blocks:
            for text in _titles(block):
                yield f"{page.id}, {type(block).__name__}", text


def _titles(block: Any) -> Iterator[str]:
    """Texts of a block that are no runs of words."""
    if isinstance(block, b.Heading):
        yield block.text
    elif isinstance(block, b.Callout):
        yield block.title
    elif isinstance(block, b.Table):
        yield block.caption
        yield from (column.title for column in block.columns)
        yield from (row.group for row in block.rows if row.group)
    elif isinstance(block, b.KeyFigures):
        yield from (figure.label for figure in block.figures)
    elif isinstance(block, b.SideBySide):
        for face in block.faces:
            yield face.title
            yield face.pitch
            yield from (figure.label for figure in face.figures)
    elif isinstance(block, b.Figure):
        yield block.alt
        yield block.caption
    elif isinstance(block, b.Signature):
        yield block.statement
        yield from block.parties


def said(run: b.Words) -> str:
    """A run as it is read."""
    found = []
    for part in run.parts:
        text = part if isinstance(part, str) else part.text
        found.append(text if isinstance(text, str) else text.text)
    return "".join(found)
