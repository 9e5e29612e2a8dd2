"""JSON Schema, as far as ours use it (draft 2020-12). A keyword that is not here is an error."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

SILENT = {"title", "description", "$schema", "$defs", "default", "examples", "format", "x-unit"}
TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,), "array": (list,), "string": (str,), "boolean": (bool,), "null": (type(None),),
    "number": (int, float), "integer": (int,),
}  # fmt: skip


def violations(
    value: Any, schema: dict[str, Any], top: dict[str, Any] | None = None, at: str = ""
) -> Iterator[tuple[str, str]]:
    """Where and how a value breaks the schema. An object may have no key that the schema does not name."""
    top = top if top is not None else schema
    if unheard := schema.keys() - SILENT - _KEYWORDS.keys():
        raise NotImplementedError(f"{sorted(unheard)} at {at}")
    if "properties" in schema and "additionalProperties" not in schema:
        schema = {**schema, "additionalProperties": False}
    for keyword in schema.keys() & _KEYWORDS.keys():
        yield from _KEYWORDS[keyword](value, schema, top, at)


def _ref(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    yield from violations(value, top["$defs"][schema["$ref"].removeprefix("#/$defs/")], top, at)


def _type(value: Any, schema: Any, _: Any, at: str) -> Iterator[tuple[str, str]]:
    wanted = schema["type"]
    if isinstance(wanted, list):
        if not any(isinstance(value, TYPES[one]) for one in wanted):
            yield at, f"{value!r} is none of {wanted}"
    elif not isinstance(value, TYPES[wanted]) or (isinstance(value, bool) and wanted != "boolean"):
        yield at, f"{value!r} is no {wanted}"


def _enum(value: Any, schema: Any, _: Any, at: str) -> Iterator[tuple[str, str]]:
    if value not in schema["enum"]:
        yield at, f"{value!r} is none of {schema['enum']}"


def _any_of(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    if all(any(True for _ in violations(value, one, top, at)) for one in schema["anyOf"]):
        yield at, f"{value!r} fits none of {schema['anyOf']}"


def _properties(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, one in schema["properties"].items():
            if name in value:
                yield from violations(value[name], one, top, _under(at, name))


def _additional(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    allowed = schema["additionalProperties"]
    if isinstance(value, dict) and allowed is not True:
        for name in value.keys() - schema.get("properties", {}).keys():
            if allowed is False:
                yield _under(at, name), "is not in the schema"
            else:
                yield from violations(value[name], allowed, top, _under(at, name))


def _required(value: Any, schema: Any, _: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict) and (missing := [name for name in schema["required"] if name not in value]):
        yield at, f"lacks {missing}"


def _items(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, list):
        for number, one in enumerate(value[len(schema.get("prefixItems", ())) :]):
            yield from violations(one, schema["items"], top, _under(at, str(number)))


def _prefix_items(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, list):
        for number, (one, wanted) in enumerate(zip(value, schema["prefixItems"], strict=False)):
            yield from violations(one, wanted, top, _under(at, str(number)))


def _count(value: Any, schema: Any, _: Any, at: str) -> Iterator[tuple[str, str]]:
    least, most = schema.get("minItems", 0), schema.get("maxItems", float("inf"))
    if isinstance(value, list) and not least <= len(value) <= most:
        yield at, f"has {len(value)} items"


def _length(value: Any, schema: Any, _: Any, at: str) -> Iterator[tuple[str, str]]:
    least, most = schema.get("minLength", 0), schema.get("maxLength", float("inf"))
    if isinstance(value, str) and not least <= len(value) <= most:
        yield at, f"has {len(value)} characters"


def _pattern(value: Any, schema: Any, _: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, str) and not re.search(schema["pattern"], value):
        yield at, f"{value!r} is not of the form {schema['pattern']}"


def _names(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name in value:
            yield from violations(name, schema["propertyNames"], top, _under(at, name))


def _pattern_properties(value: Any, schema: Any, top: Any, at: str) -> Iterator[tuple[str, str]]:
    for name, one in value.items() if isinstance(value, dict) else ():
        for pattern, wanted in schema["patternProperties"].items():
            if re.search(pattern, name):
                yield from violations(one, wanted, top, _under(at, name))


def _under(at: str, name: str) -> str:
    return f"{at}.{name}" if at else name


_KEYWORDS = {
    "$ref": _ref, "type": _type, "enum": _enum, "anyOf": _any_of, "properties": _properties, "required": _required,
    "additionalProperties": _additional, "items": _items, "prefixItems": _prefix_items, "minItems": _count,
    "maxItems": _count, "minLength": _length, "maxLength": _length, "pattern": _pattern, "propertyNames": _names,
    "patternProperties": _pattern_properties,
}  # fmt: skip
