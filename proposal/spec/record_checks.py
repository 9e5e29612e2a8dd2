"""What is wrong with one entry of a record by itself, before any model is made of it."""

import re
from collections.abc import Iterator
from typing import Any

from proposal.reading import Check, Loc

PHOTO_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,120}\.(?:jpe?g|png)", re.IGNORECASE)
"""Names of photos; none leads elsewhere."""


def entry_complaints(place: int) -> Check:
    """What is wrong with one entry by itself, as (where, what, allowed)."""

    def complaints(tree: Any) -> Iterator[tuple[Loc, str, str]]:
        if not isinstance(tree, dict):
            return
        first = place == 1
        if first and tree.get("kind") not in (None, "hand_over"):
            yield ("kind",), "the first entry of a record is the hand-over", "hand_over"
        if not first and tree.get("kind") == "hand_over":
            yield ("kind",), "only the first entry of a record is the hand-over", "change or visit"
        if first and "option" not in tree:
            yield (), "the hand-over says which option was chosen", "option: one of the spec's"
        if not first and "option" in tree:
            yield ("option",), "the option is chosen in the first entry", "no `option` here"
        for number, change in _list(tree, "changes"):
            said = [key for key in ("now", "add", "removed") if key in change]
            if len(said) != 1 or change.get("removed") not in (None, "yes", "true"):
                yield ("changes", number), "a change says one thing", "one of `now`, `add` or `removed: yes`"
            if str(change.get("at", "")).split(".")[0] == "spec_version":
                yield ("changes", number, "at"), "this cannot be changed", "a path such as routes.windlass.length"
        for number, photo in _list(tree, "photos"):
            name = photo.get("file")
            if isinstance(name, str) and not PHOTO_NAME.fullmatch(name):
                yield ("photos", number, "file"), "is not the name of a photo", "a name such as fuse-box.jpg, no folder"

    return complaints


def _list(tree: dict[str, Any], name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    found = tree.get(name)
    for number, entry in enumerate(found if isinstance(found, list) else ()):
        if isinstance(entry, dict):
            yield number, entry
