"""The errors of pydantic as problems at a place in a file, in words that a person can act on."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from proposal.errors import InputError, Problem
from proposal.reading.schema import Shape
from proposal.reading.tree import Loc, Node, Place, Tree, clip, one_line

MAX_ERRORS = 1000
_SECTION = "a section: lines of key: value"
_LIST = "a list: lines that begin with -"
_WRONG_SHAPE = {
    **dict.fromkeys(("model_type", "model_attributes_type", "dict_type", "mapping_type", "dataclass_type"), _SECTION),
    **dict.fromkeys(("list_type", "tuple_type", "set_type", "frozen_set_type", "iterable_type"), _LIST),
    **dict.fromkeys(("string_type", "int_type", "float_type", "bool_type", "decimal_type", "date_type"), "one value"),
}
_BOUNDS = {
    "greater_than": ("is too small", "more than {gt}"),
    "greater_than_equal": ("is too small", "at least {ge}"),
    "less_than": ("is too large", "less than {lt}"),
    "less_than_equal": ("is too large", "at most {le}"),
    "too_short": ("has too few entries", "at least {min_length}"),
    "too_long": ("has too many entries", "at most {max_length}"),
    "string_too_short": ("is too short", "at least {min_length} characters"),
    "string_too_long": ("is too long", "at most {max_length} characters"),
    "string_pattern_mismatch": ("is not written in the form that is wanted here", ""),
    "int_parsing": ("is not a whole number", "a whole number, e.g. 4"),
    "int_from_float": ("is not a whole number", "a whole number, e.g. 4"),
    "float_parsing": ("is not a number", "a number, e.g. 4.2"),
    "bool_parsing": ("is neither yes nor no", "yes or no"),
    "decimal_parsing": ("is not a number", "a number, e.g. 4.2"),
    "date_from_datetime_parsing": ("is not a day", "year-month-day, e.g. 2026-05-31"),
    "date_parsing": ("is not a day", "year-month-day, e.g. 2026-05-31"),
}


class Fault(ValueError):  # noqa: N818 - a fault is what it is, and several fit in one
    """Several mistakes that a model validator found, each at a place relative to the section of the model.

    ``items`` are (loc, what, allowed): ``what`` is a whole sentence, ``allowed`` may be empty.
    """

    def __init__(self, items: Iterable[tuple[Loc, str, str]]) -> None:
        self.items = tuple(items)
        super().__init__("; ".join(what for _, what, _ in self.items))


def problems_of(error: ValidationError, tree: Tree, model: type[BaseModel]) -> list[Problem]:
    """Say every error of ``error`` at its place in ``tree``."""
    return _Teller(tree, Shape(model)).tell(error.errors(include_url=False)[:MAX_ERRORS])


def problems_found(found: Iterable[tuple[Loc, str, str]], tree: Tree, known: Sequence[Problem]) -> list[Problem]:
    """Say what a check of the tree found (loc, what, allowed), except about values that are known to be wrong."""
    taken = {(problem.file, problem.line, problem.column) for problem in known}
    told = [(loc, _at(tree, loc, what, allowed)) for loc, what, allowed in found]
    return [
        problem
        for loc, problem in told
        if not isinstance(tree.value(loc), str) or (problem.file, problem.line, problem.column) not in taken
    ]


class _Teller:
    """Turns the errors of one validation into problems."""

    def __init__(self, tree: Tree, shape: Shape) -> None:
        self.tree = tree
        self.shape = shape

    def tell(self, errors: Sequence[ErrorDetails]) -> list[Problem]:
        """Say all errors; what is wrong with one value in several ways becomes one problem."""
        placed = [(*self._split(item["loc"]), item) for item in errors]
        unknown = [loc for loc, _, item in placed if item["type"] == "extra_forbidden"]
        misspelt = {(*loc[:-1], meant) for loc in unknown if (meant := self._meant(loc))}
        deep = {loc[:end] for loc, _, item in placed for end in range(len(loc)) if item["type"] not in _WRONG_SHAPE}
        told: dict[tuple[object, ...], Problem] = {}
        for loc, rest, item in placed:
            kind = item["type"]
            named = (*loc, *rest[-1:]) if kind == "missing" else loc
            if named in misspelt or any(named[: len(spoilt)] == spoilt for spoilt in self.tree.spoilt):
                continue
            branch = bool(rest) and kind != "missing" and rest[-1] != "[key]"
            if branch and loc in deep and (kind in _WRONG_SHAPE or _cause(item, InputError)):
                continue  # another branch of the union reached further in: that is the one that was meant
            for number, problem in enumerate(self._say(loc, rest, item)):
                same = (loc, "union", number) if branch else (loc, kind, rest, number)
                told[same] = _merged(told[same], problem) if same in told else problem
        return list(told.values())

    def _split(self, loc: Loc) -> tuple[Loc, Loc]:
        """Split pydantic's loc into the part that stands in the file and the rest; names of union branches drop out."""
        real: Loc = ()
        rest: Loc = ()
        for part in loc:
            node = self.tree.value(real)
            inside = part in node if isinstance(node, dict) else isinstance(node, list) and part in range(len(node))
            if inside and not rest and isinstance(node, dict) and part in node.values():
                inside = part not in self.shape.tags(real, self.tree)
            if inside:
                real, rest = (*real, part), ()
            else:
                rest = (*rest, part)
        return real, rest

    def _say(self, loc: Loc, rest: Loc, item: ErrorDetails) -> list[Problem]:
        fault = _cause(item, Fault)
        if isinstance(fault, Fault):
            return [_at(self.tree, (*loc, *relative), what, allowed) for relative, what, allowed in fault.items]
        ways: dict[str, Callable[[], Problem]] = {
            "missing": lambda: self._missing(loc, rest),
            "extra_forbidden": lambda: self._unknown(loc),
            "union_tag_invalid": lambda: self._which_kind(loc, item),
            "union_tag_not_found": lambda: self._which_kind(loc, item),
            "literal_error": lambda: self._choice(loc, _expected(item, self._choices(loc))),
            "enum": lambda: self._choice(loc, _expected(item, self._choices(loc))),
        }
        at_key = bool(rest) and rest[-1] == "[key]"
        way = None if at_key else ways.get(item["type"])
        return [way() if way else self._value(loc, item, at_key=at_key)]

    def _value(self, loc: Loc, item: ErrorDetails, *, at_key: bool) -> Problem:
        """One value (or the key itself) is not what belongs there."""
        name = f"`{_show(loc)}`" if loc else "the file"
        kind, context = item["type"], item.get("ctx", {})
        cause = context.get("error")
        what, allowed = _BOUNDS.get(kind, ("is not taken here", ""))
        if isinstance(cause, InputError):
            what, allowed = cause.what, cause.allowed
        elif cause is not None:
            name, what = f"{name}:", str(cause) or what
        elif kind in _WRONG_SHAPE:
            what, allowed = _shape_found(self.tree.value(loc)), _WRONG_SHAPE[kind]
        elif kind in _BOUNDS:
            allowed = allowed.format_map({key: self._bound(loc, bound) for key, bound in context.items()})
        if at_key:
            return _problem(self.tree, self.tree.place_of_key(loc), f"{name} {what}", allowed, str(loc[-1]))
        value = self.tree.value(loc)
        written = value if isinstance(value, str) else ""
        return _problem(self.tree, self.tree.place_of_value(loc), f"{name} {what}", allowed, written)

    def _bound(self, loc: Loc, bound: object) -> str:
        """A bound as people write it, with the unit of the field."""
        if not isinstance(bound, int | float):
            return str(bound)
        units = [schema["x-unit"] for schema in self.shape.at(loc, self.tree) if "x-unit" in schema]
        unit, factor = units[0] if units else ("", 1.0)
        return f"{bound / factor:g} {unit}".strip()

    def _missing(self, loc: Loc, rest: Loc) -> Problem:
        name = str(rest[-1]) if rest else "one more entry"
        fields = [schema.get("properties", {}).get(name, {}) for schema in self.shape.at(loc, self.tree)]
        example = next(filter(None, map(self.shape.example, fields)), "")
        place = self.tree.place_of_key(loc) if loc else self.tree.places[()]
        place = self.tree.taken.get((*loc, name), place)
        section = f"`{_show(loc)}`" if loc else "the file"
        return _problem(
            self.tree, place, f"{section} needs `{clip(name)}`", f"e.g. {name}: {example}" if example else "", ""
        )

    def _unknown(self, loc: Loc) -> Problem:
        key = str(loc[-1])
        meant = self._meant(loc)
        known = self._known_keys(loc[:-1])
        what = f"`{clip(key)}` is not known here" + (f"; did you mean `{meant}`?" if meant else "")
        return _problem(self.tree, self.tree.place_of_key(loc), what, ", ".join(known), key)

    def _known_keys(self, loc: Loc) -> list[str]:
        schemas = self.shape.at(loc, self.tree)
        return list(dict.fromkeys(key for schema in schemas for key in schema.get("properties", {})))

    def _meant(self, loc: Loc) -> str:
        key, node = str(loc[-1]), self.tree.value(loc[:-1])
        free = [known for known in self._known_keys(loc[:-1]) if not (isinstance(node, dict) and known in node)]
        return _near(key, free)

    def _which_kind(self, loc: Loc, item: ErrorDetails) -> Problem:
        context = item.get("ctx", {})
        key = str(context.get("discriminator", "")).strip("'")
        choices = _expected(item, sorted(self.shape.kinds(loc, key, self.tree)))
        if not isinstance(self.tree.value(loc), dict):
            return self._value(loc, {**item, "type": "dict_type", "ctx": {}}, at_key=False)
        if item["type"] == "union_tag_invalid":
            return self._choice((*loc, key), choices)
        section = f"`{_show(loc)}`" if loc else "the file"
        return _problem(self.tree, self.tree.place_of_key(loc), f"{section} needs `{key}`", _one_of(choices), "")

    def _choices(self, loc: Loc) -> list[str]:
        found: list[str] = []
        for schema in self.shape.at(loc, self.tree):
            found += [str(schema["const"])] if "const" in schema else map(str, schema.get("enum", []))
        return list(dict.fromkeys(found))

    def _choice(self, loc: Loc, choices: list[str]) -> Problem:
        value = self.tree.value(loc)
        meant = _near(value, choices) if isinstance(value, str) else ""
        what = f"`{_show(loc)}` is none of the choices" + (f"; did you mean {meant}?" if meant else "")
        written = value if isinstance(value, str) else ""
        return _problem(self.tree, self.tree.place_of_value(loc), what, _one_of(choices), written)


def _at(tree: Tree, loc: Loc, what: str, allowed: str) -> Problem:
    """A problem of the value at ``loc``, or of the longest beginning of ``loc`` that stands in the file."""
    while loc and tree.value(loc) is None:
        loc = loc[:-1]
    value = tree.value(loc)
    return _problem(tree, tree.places[loc], what, allowed, value if isinstance(value, str) else "")


def _problem(tree: Tree, place: Place, what: str, allowed: str, written: str) -> Problem:
    return Problem(getattr(place, "file", tree.file), *place, one_line(what), one_line(allowed), clip(written))


def _merged(one: Problem, other: Problem) -> Problem:
    """One problem from two branches of a union: the first complaint, and everything that would be taken."""
    allowed = " or ".join(dict.fromkeys(part for part in (one.allowed, other.allowed) if part))
    return Problem(one.file, one.line, one.column, one.what, allowed, one.written)


def _cause(item: ErrorDetails, kind: type[Exception]) -> Exception | None:
    cause = item.get("ctx", {}).get("error")
    return cause if isinstance(cause, kind) else None


def _expected(item: ErrorDetails, known: list[str]) -> list[str]:
    """The choices of an error, from the schema or else from pydantic's own words."""
    if known:
        return known
    context: dict[str, Any] = item.get("ctx", {})
    words = str(context.get("expected_tags") or context.get("expected") or "")
    return [word.strip().strip("'") for word in words.replace(" or ", ", ").split(",") if word.strip()]


def _one_of(choices: list[str]) -> str:
    return choices[0] if len(choices) == 1 else f"{', '.join(choices[:-1])} or {choices[-1]}" if choices else ""


def _near(word: str, known: Iterable[str]) -> str:
    """The known word that ``word`` most likely means, '' when none is near."""
    by_small = {name.lower().replace("-", "_"): name for name in known}
    small = word.lower().replace("-", "_").replace(" ", "_")
    return by_small.get(next(iter(difflib.get_close_matches(small, by_small, n=1, cutoff=0.65)), ""), "")


def _show(loc: Loc) -> str:
    """A loc as people read it: ``options.a.banks.2`` counts entries of a list from 1."""
    return clip(".".join(str(part + 1) if isinstance(part, int) else part for part in loc))


def _shape_found(value: Node | None) -> str:
    if isinstance(value, dict):
        return "is a section"
    if isinstance(value, list):
        return "is a list"
    return "has no value" if not value else "is one value"
