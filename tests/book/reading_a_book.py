"""Walks through a book: every run of words with where it stands, every cell, every text."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from typing import Any

from proposal.book import blocks as b
from proposal.book.refs import resolve
from proposal.results.codec import rounded

CODE = re.compile(r"\b[a-z][a-z0-9]*(?:_[a-z0-9]+)+\b|\b(?:loads|sources|banks|buses|links|panels|engine)\.[a-z]")


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
    for name in (
        "title", "subtitle", "prepared_for", "prepared_by", "licence", "deference", "running", "warning",
        "warning_more",
    ):  # fmt: skip
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
    elif isinstance(block, b.Facts):
        yield from (fact.name for fact in block.facts)
    elif isinstance(block, b.Photos):
        yield from (photo.alt for photo in block.photos)
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


def wrong_numbers(book: b.Book, document: Any) -> Iterator[str]:
    """Cells that do not hold what the JSON has at their place."""
    for where, cell in cells(book):
        try:
            found = resolve(document, cell.ref)
        except (KeyError, IndexError, ValueError) as error:
            yield f"{where}: {cell.text!r} leads nowhere: {error!r} at {cell.ref}"
            continue
        value = rounded(cell.value) if isinstance(cell.value, float) else cell.value
        same_kind = type(found) is type(value) or {type(found), type(value)} == {int, float}
        if found != value or not same_kind:
            yield f"{where}: {cell.text!r} is not {found!r} at {cell.ref}"


def strings(value: Any) -> set[str]:
    """Every text in the JSON, keys apart."""
    if isinstance(value, str):
        return {value}
    entries = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return set().union(*(strings(entry) for entry in entries)) if entries else set()


def without(text: str, foreign: list[str]) -> str:
    """A text without the words that are not the product's own; `foreign` has the longest first."""
    for words in foreign:
        if words in text:
            text = text.replace(words, " ")
    return text


def code_words(book: b.Book, document: Any) -> Iterator[str]:
    """Texts in which a code or a key shows. A code is in the JSON too: only what a person may type is left out."""
    typed = sorted((t for t in strings(document) if " " in t or not CODE.search(t)), key=len, reverse=True)
    for where, text in texts(book):
        if CODE.search(text) and CODE.search(without(text, typed)):
            yield f"{where}: {text!r}"


def blanks(book: b.Book) -> Iterator[str]:
    """Sentences, lists and first cells of rows with nothing to read; findings that say too little."""
    for page in book.pages:
        for block in page.blocks:
            if isinstance(block, (b.Paragraph, b.Bullets, b.Callout)):
                yield from (f"{page.id}: an empty {type(block).__name__}" for r in _runs(block) if not said(r).strip())
            if isinstance(block, b.Table):
                rows = [said(row.cells[0]).strip() for row in block.rows]
                if not rows or not all(rows):
                    yield f"{page.id}: {block.caption!r} has no rows, or one without a name"
            if isinstance(block, b.Table) and page.id == "findings" and block.rows and block.rows[0].anchor:
                for row in block.rows:
                    told = [said(cell).strip() for cell in row.cells]
                    if not all(told) or told[2].count(".") < 2:
                        yield f"findings: too little is said: {told}"
