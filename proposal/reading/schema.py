"""The JSON Schema of a model as editors check against it, and what it says about one place in a file."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from proposal.reading.tree import Loc, Node, Tree

Schema = dict[str, Any]


class _AsWritten(GenerateJsonSchema):
    """Single-valued defaults as a person would write them, no others; and no null: nothing in a file is null."""

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        found = super().default_schema(schema)
        default = schema.get("default")
        writer = getattr(_reader(schema["schema"]), "write", None)
        if writer and default is not None:
            found["default"] = writer(default)
        elif isinstance(default, bool):
            found["default"] = "yes" if default else "no"
        elif not isinstance(default, str | int | Decimal) or default == "":
            found.pop("default", None)
        return found

    def literal_schema(self, schema: core_schema.LiteralSchema) -> JsonSchemaValue:
        found = super().literal_schema(schema)
        numbers = [int(word) for word in schema["expected"] if isinstance(word, str) and word.isdecimal()]
        # an editor takes an unquoted 1 for a number, the reader takes it for the text "1"
        return {"enum": [*schema["expected"], *numbers]} if numbers else found

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def _reader(schema: Any) -> Any:
    """The object whose method reads the text of a field, None when there is none."""
    while isinstance(schema, dict):
        function = schema.get("function")
        if isinstance(function, dict) and hasattr(function.get("function"), "__self__"):
            return function["function"].__self__
        schema = schema.get("schema")
    return None


def json_schema(model: type[BaseModel]) -> Schema:
    """The JSON Schema of the files that ``read`` reads into ``model``."""
    return model.model_json_schema(schema_generator=_AsWritten)


class Shape:
    """What the schema of a model allows at a place in a file."""

    def __init__(self, model: type[BaseModel]) -> None:
        self._root = json_schema(model)

    def at(self, loc: Loc, tree: Tree) -> list[Schema]:
        """The plain schemas (no references, no unions) that fit at ``loc`` of ``tree``."""
        found = list(self._plain(self._root, tree.root))
        for depth, part in enumerate(loc, 1):
            node = tree.value(loc[:depth])
            found = [plain for schema in found for step in _step(schema, part) for plain in self._plain(step, node)]
        return found

    def tags(self, loc: Loc, tree: Tree) -> set[str]:
        """What the section at ``loc`` says of its own kind, where a union of kinds may stand."""
        node = tree.value(loc)
        steps = [step for schema in self.at(loc[:-1], tree) for step in _step(schema, loc[-1])] if loc else [self._root]
        said = [node.get(key) for key in self._marks(steps)] if isinstance(node, dict) else []
        return {tag for tag in said if isinstance(tag, str)}

    def kinds(self, loc: Loc, key: str, tree: Tree) -> set[str]:
        """The values that ``key`` may have in the section at ``loc``, whichever kind it is."""
        return {
            str(choice)
            for schema in self.at(loc, tree)
            for field in [self._resolved(schema.get("properties", {}).get(key, {}))]
            for choice in [*field.get("enum", []), *([field["const"]] if "const" in field else [])]
        }

    def example(self, schema: Schema) -> str:
        """A value that ``schema`` takes, as a person would write it; '' when it gives none."""
        for plain in self._plain(schema, None):
            given = plain.get("examples") or plain.get("enum") or ([plain["const"]] if "const" in plain else [])
            if given and isinstance(given, list):
                return "yes" if given[0] is True else str(given[0])
        return ""

    def _marks(self, schemas: list[Schema]) -> Iterator[str]:
        for schema in map(self._resolved, schemas):
            if "discriminator" in schema:
                yield schema["discriminator"]["propertyName"]
            yield from self._marks(schema.get("anyOf", []) + schema.get("oneOf", []))

    def _resolved(self, schema: Schema) -> Schema:
        while "$ref" in schema:
            name = schema["$ref"].rpartition("/")[2]
            schema = {**self._root["$defs"][name], **{key: schema[key] for key in schema if key != "$ref"}}
        return schema

    def _plain(self, schema: Schema, node: Node | None) -> Iterator[Schema]:
        schema = self._resolved(schema)
        branches = schema.get("anyOf", []) + schema.get("oneOf", []) + schema.get("allOf", [])
        mark = schema.get("discriminator")
        if mark and isinstance(node, dict):
            chosen = mark["mapping"].get(str(node.get(mark["propertyName"])))
            branches = [{"$ref": chosen}] if chosen else branches
        if not branches:
            yield schema
        for branch in branches:
            yield from self._plain(branch, node)


def _step(schema: Schema, part: str | int) -> list[Schema]:
    if isinstance(part, int):
        fixed = schema.get("prefixItems", [])
        found = fixed[part] if part < len(fixed) else schema.get("items")
        return [found] if isinstance(found, dict) else []
    if part in schema.get("properties", {}):
        return [schema["properties"][part]]
    return [
        *(found for found in [schema.get("additionalProperties")] if isinstance(found, dict)),
        *schema.get("patternProperties", {}).values(),
    ]
