"""Which figures moved between the results that were sealed and those that today's tool makes of the same project."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from proposal.frozen import frozen

DIGITS = 9
IDENTITIES = (("key",), ("id", "item"), ("test", "item", "end"), ("id",), ("task",), ("number",), ("file",), ("name",))
"""By which fields the rows of a list are known again, the first that tells them all apart."""
ON_DAYS = frozenset({"behaviour", "ten_years", "findings", "acceptances", "checks", "code_notes", "consents"})
"""Sections of an option that are otherwise where the days are left out."""
ON_DAYS_OF_RECORD = frozenset({"hindrances", "tests"})
_ABSENT = object()


@frozen
class Moved:
    """One value that is otherwise: where it stands, what was sealed and what it is now; None: it is not there."""

    section: str
    path: str
    old: Any
    new: Any


def moved(then: Mapping[str, Any], now: Mapping[str, Any], *, days: bool = True) -> tuple[Moved, ...]:
    """Every value that moved, numbers at nine digits, in the order of the results.

    Parameters: then and now, results as plain JSON; `days`: False leaves out what rests on the days.
    """
    return tuple(
        Moved(_section(path), ".".join(path), None if a is _ABSENT else a, None if b is _ABSENT else b)
        for path, a, b in _differences((), then, now, days)
    )


def count_values(results: Any) -> int:
    """How many single values results have."""
    if isinstance(results, Mapping):
        return sum(count_values(value) for value in results.values())
    return sum(count_values(value) for value in results) if isinstance(results, list) else 1


def same_number(one: float, other: float) -> bool:
    """Whether two numbers agree at nine digits, the last of which may be rounded either way."""
    if one == other:
        return True
    size = max(abs(one), abs(other))
    return abs(one - other) <= 1.01 * 10.0 ** (math.floor(math.log10(size)) + 1 - DIGITS)


def causes(then: Mapping[str, str], now: Mapping[str, str]) -> tuple[tuple[str, str, str], ...]:
    """What is otherwise in the versions that computed: name, then, now; empty texts where one had none."""
    names = dict.fromkeys([*then, *now])
    return tuple((n, then.get(n, ""), now.get(n, "")) for n in names if then.get(n) != now.get(n))


def _differences(path: tuple[str, ...], a: Any, b: Any, days: bool) -> Iterator[tuple[tuple[str, ...], Any, Any]]:
    if not days and _rests_on_days(path):
        return
    if path == ("made_by",):
        return
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        for name in dict.fromkeys([*a, *b]):
            yield from _differences((*path, str(name)), a.get(name, _ABSENT), b.get(name, _ABSENT), days)
    elif isinstance(a, list) and isinstance(b, list):
        mine, theirs = _by_identity(a, b)
        for name in dict.fromkeys([*mine, *theirs]):
            yield from _differences((*path, name), mine.get(name, _ABSENT), theirs.get(name, _ABSENT), days)
    elif _is_number(a) and _is_number(b):
        if not same_number(a, b):
            yield path, a, b
    elif type(a) is not type(b) or a != b:
        yield path, a, b


def _rests_on_days(path: tuple[str, ...]) -> bool:
    if path[:1] == ("options",):
        return len(path) == 3 and path[2] in ON_DAYS
    return len(path) == 2 and path[0] == "record" and path[1] in ON_DAYS_OF_RECORD


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _by_identity(a: Sequence[Any], b: Sequence[Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The rows of two lists by what they are known by; by their place where nothing tells them apart."""
    if all(isinstance(row, Mapping) for row in (*a, *b)):
        for fields in IDENTITIES:
            named = [{_identity(row, fields): row for row in rows} for rows in (a, b)]
            told = all(field in row for row in (*a, *b) for field in fields)
            if told and len(named[0]) == len(a) and len(named[1]) == len(b):
                return named[0], named[1]
    return ({str(n): row for n, row in enumerate(a)}, {str(n): row for n, row in enumerate(b)})


def _identity(row: Mapping[str, Any], fields: Sequence[str]) -> str:
    return " ".join(str(row.get(field, "")) for field in fields if row.get(field, "") != "")


def _section(path: Sequence[str]) -> str:
    """Under which heading a value is told: the option and its section, or the section of the record."""
    if path[0] == "options":
        return f"option {path[1]}: {path[2]}" if len(path) > 2 else f"option {path[1]}"
    return f"record: {path[1]}" if path[0] == "record" and len(path) > 1 else path[0]
