"""The structure tree of a tagged PDF, walked through."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pikepdf


def elements(document: pikepdf.Pdf) -> Iterator[Any]:
    """Every structure element of a document, in reading order."""
    yield from _below(document.Root.StructTreeRoot.K, set())


def _below(node: Any, seen: set[tuple[int, int]]) -> Iterator[Any]:
    if isinstance(node, pikepdf.Array):
        for child in node:
            yield from _below(child, seen)
    elif isinstance(node, pikepdf.Dictionary):
        if node.is_indirect and node.objgen in seen:
            return
        seen.add(node.objgen)
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from _below(node.K, seen)
