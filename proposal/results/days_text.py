"""Days as text and back, exactly: what is read has the same bits as what was computed, and so gives the same bytes.

A small decoder made from the type hints of the dataclasses: an unchanged option must cost next to nothing.
"""

import dataclasses
import functools
import json
import types
import typing
import zlib
from collections.abc import Callable
from typing import Any, Literal

from proposal.studies.behaviour.result import Behaviour

QUICK = 1
"""Level of compression: more of it saves a tenth of the size and takes three times as long."""

Reader = Callable[[Any], Any]


def encode(behaviour: Behaviour) -> bytes:
    """Compressed JSON with every digit of each float. Raises TypeError, ValueError for what JSON does not know."""
    text = json.dumps(behaviour, ensure_ascii=False, allow_nan=False, separators=(",", ":"), default=_plain)
    return zlib.compress(text.encode(), QUICK)


def decode(data: bytes) -> Behaviour:
    """Days from what `encode` made of them. Raises ValueError for anything else."""
    try:
        made = json.loads(zlib.decompress(data))
        days: Behaviour = _reader(Behaviour)(made)
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, zlib.error, RecursionError) as error:
        raise ValueError(f"no days of this release: {error}") from error
    return days


def _plain(value: Any) -> Any:
    """A dataclass as the list of its fields, numpy's numbers as Python's."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return [getattr(value, f.name) for f in dataclasses.fields(value)]
    item = getattr(value, "item", None)
    if item is None:
        raise TypeError(f"{type(value).__name__} in the days")
    return item()


@functools.cache
def _reader(hint: Any) -> Reader:
    """What turns JSON's value into one of a type."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if dataclasses.is_dataclass(hint):
        return _row_reader(typing.cast(type, hint))
    if hint is float:
        return _number
    if origin in (typing.Union, types.UnionType):
        return _either_reader(inner)
    made: dict[Any, Callable[[tuple[Any, ...]], Reader]] = {
        tuple: _tuple_reader,
        Literal: lambda known: _one_of(frozenset(known)),
        dict: lambda _: _plain_reader(dict),
    }
    return made[origin](inner) if origin in made else _plain_reader(hint)


def _row_reader(cls: type) -> Reader:
    hints = typing.get_type_hints(cls)
    readers = [_reader(hints[f.name]) for f in dataclasses.fields(cls)]

    def read(values: Any) -> Any:
        if type(values) is not list:
            raise ValueError(f"no {cls.__name__}")
        return cls(*[reader(value) for reader, value in zip(readers, values, strict=True)])

    return read


def _tuple_reader(inner: tuple[Any, ...]) -> Reader:
    if len(inner) == 2 and inner[1] is Ellipsis:
        each = _reader(inner[0])
        if inner[0] is float:
            return _numbers
        return lambda values: tuple([each(value) for value in _listed(values)])
    readers = [_reader(hint) for hint in inner]
    return lambda values: tuple([r(value) for r, value in zip(readers, _listed(values), strict=True)])


def _either_reader(inner: tuple[Any, ...]) -> Reader:
    """None, or else the one other type that the days' unions have."""
    others = [hint for hint in inner if hint is not types.NoneType]
    if len(others) != 1:
        return lambda value: value  # a plain value of several kinds is what JSON makes of it
    other = _reader(others[0])
    return lambda value: None if value is None else other(value)


def _plain_reader(kind: type) -> Reader:
    def read(value: Any) -> Any:
        if not isinstance(value, kind):
            raise ValueError(f"no {kind.__name__}")
        return value

    return read


def _one_of(known: frozenset[Any]) -> Reader:
    def read(value: Any) -> Any:
        if value not in known:
            raise ValueError(f"{value!r} is not known")
        return value

    return read


def _number(value: Any) -> Any:
    if type(value) is float or type(value) is int:
        return value
    raise ValueError("no number")


def _numbers(values: Any) -> Any:
    """The bulk of it, so no look at each alone."""
    if not set(map(type, _listed(values))) <= {float, int}:
        raise ValueError("no numbers")
    return tuple(values)


def _listed(values: Any) -> Any:
    if type(values) is not list:
        raise ValueError("no list")
    return values
