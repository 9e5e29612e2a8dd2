"""Where a number stands in the JSON: items with their path, and the one way to follow a path.

A path is `options[0].conductors[12].design_current_a`. `findings[severity=danger&outcome=fires].length` counts the
entries of a list whose fields have those texts; `.length` alone counts them all.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Generic, TypeVar

from proposal.frozen import frozen

T = TypeVar("T")

_STEP = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)|\[(\d+)\]|\[([^\]]*=[^\]]*)\]|\.")


@frozen
class Located(Generic[T]):
    """A result and its path in the JSON."""

    item: T
    path: str


def each(items: Sequence[T], path: str) -> Iterator[Located[T]]:
    """The entries of a list with their paths."""
    return (Located(item, f"{path}[{number}]") for number, item in enumerate(items))


def resolve(document: object, ref: str) -> Any:
    """The value that a path leads to in the decoded JSON.

    Raises KeyError or IndexError where the path leads nowhere, ValueError where it is not a path.
    """
    here: Any = document
    at = 0
    while at < len(ref):
        step = _STEP.match(ref, at)
        if step is None:
            raise ValueError(f"not a path: {ref!r}")
        name, number, where = step.groups()
        if name is not None:
            here = len(here) if name == "length" and isinstance(here, list) else _member(here, name)
        elif number is not None:
            here = here[int(number)]
        elif where is not None:
            wanted = dict(pair.split("=", 1) for pair in where.split("&"))
            here = [entry for entry in here if all(str(_member(entry, k)) == v for k, v in wanted.items())]
        at = step.end()
    return here


def _member(here: Any, name: str) -> Any:
    if not isinstance(here, Mapping):
        raise KeyError(name)
    return here[name]
