"""YAML files of a person, read with the place of every word, so that each mistake can be pointed at."""

from __future__ import annotations

import datetime
import difflib
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Generic, TypeVar

import yaml
from pydantic import BaseModel, BeforeValidator, ValidationError, WithJsonSchema

from proposal.errors import InputError, MachineError, Problem, SpecError

M = TypeVar("M", bound=BaseModel)
Loc = tuple[str | int, ...]
Place = tuple[int, int]

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
MAX_PROBLEMS = 100


class Fault(ValueError):
    """Several mistakes that a model validator found, each at a place relative to the model's own section.

    ``items`` are (loc, what, allowed).
    """

    def __init__(self, items: Iterable[tuple[Loc, str, str]]) -> None:
        self.items = tuple(items)
        super().__init__("; ".join(what for _, what, _ in self.items))


class Unquoted(str):
    """Text that stands in the file without quotes."""

    __slots__ = ()


@dataclass(frozen=True)
class Document(Generic[M]):
    """A file that was read: its model and where everything stood."""

    value: M
    path: Path
    places: Mapping[Loc, Place]

    def position(self, loc: Loc) -> Place:
        """Line and column (from 1) of the longest known beginning of ``loc``."""
        while loc and loc not in self.places:
            loc = loc[:-1]
        return self.places.get(loc, (1, 1))


def read(path: Path, model: type[M], *, max_bytes: int = MAX_BYTES) -> Document[M]:
    """Read the YAML file at ``path`` into ``model``.

    Raises SpecError with every problem of the file; MachineError when it cannot be opened.
    """
    try:
        with path.open("rb") as stream:
            raw = stream.read(max_bytes + 1)
    except OSError as error:
        raise MachineError(f"cannot read {path}: {error.strerror or error}", "check the name and the rights") from error
    if len(raw) > max_bytes:
        raise SpecError([Problem(str(path), 1, 1, "the file is too large", f"up to {max_bytes} bytes")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8", "ignore")
        line = before.count("\n") + 1
        column = len(before) - (before.rfind("\n") + 1) + 1
        raise SpecError([Problem(str(path), line, column, "is not UTF-8 text", "save the file as UTF-8")]) from None
    return read_text(text, str(path), model)


def read_text(text: str, file: str, model: type[M]) -> Document[M]:
    """Read ``text``, named ``file`` in problems, into ``model``. Raises SpecError with every problem."""
    tree = _Tree(text, file)
    problems = list(tree.problems)
    value: M | None = None
    if not tree.broken:
        try:
            value = model.model_validate(tree.root)
        except ValidationError as error:
            problems += _problems(error, tree, model)
    if problems or value is None:
        raise SpecError(sorted(set(problems), key=lambda problem: (problem.line, problem.column))[:MAX_PROBLEMS])
    return Document(value, Path(file), tree.places)


# --- text to tree ----------------------------------------------------------------------------------------------------

_FORBIDDEN = re.compile(
    "[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\uffff]"
)


class _Tree:
    """The file as str, list and dict, with the place of every key and value."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.places: dict[Loc, Place] = {(): (1, 1)}
        self.keys: dict[Loc, Place] = {}
        self.root: Any = {}
        self.broken = False
        for match in _FORBIDDEN.finditer(text):
            line = text.count("\n", 0, match.start()) + 1
            column = match.start() - text.rfind("\n", 0, match.start())
            what = "a tab; use spaces" if match[0] == "\t" else f"a hidden or control character U+{ord(match[0]):04X}"
            self.problems.append(Problem(file, line, column, what))
            self.broken = True
            if len(self.problems) >= MAX_PROBLEMS:
                return
        if self.broken:
            return
        try:
            self._events = yaml.parse(text, Loader=yaml.CSafeLoader)
            self._document()
        except yaml.YAMLError as error:
            self._fail_yaml(error)

    def _say(self, mark: Any, what: str, allowed: str = "", written: str = "") -> None:
        self.problems.append(Problem(self.file, mark.line + 1, mark.column + 1, what, allowed, clip(written)))

    def _fail_yaml(self, error: yaml.YAMLError) -> None:
        self.broken = True
        mark = getattr(error, "problem_mark", None)
        place = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        what = f"the file cannot be read from here: {getattr(error, 'problem', None) or 'it is not YAML'}"
        self.problems.append(Problem(self.file, *place, what))

    def _document(self) -> None:
        for event in self._events:
            if isinstance(event, yaml.DocumentStartEvent):
                self.root = self._node(next(self._events), (), 0)
                break
        for event in self._events:
            if isinstance(event, yaml.DocumentStartEvent):
                self._say(event.start_mark, "a second document begins here", "one document in a file")
                self.broken = True
                return

    def _node(self, event: Any, loc: Loc, depth: int) -> Any:
        mark = event.start_mark
        self.places.setdefault(loc, (mark.line + 1, mark.column + 1))
        if isinstance(event, yaml.AliasEvent):
            self._say(mark, "an alias (*) is not taken", "write the value out", f"*{event.anchor}")
            return Unquoted()
        if event.anchor:
            self._say(mark, "an anchor (&) is not taken", "write the value out", f"&{event.anchor}")
        if event.tag is not None:
            self._say(mark, "a tag (!) is not taken", "write the value without it", event.tag)
        if isinstance(event, yaml.ScalarEvent):
            if _FORBIDDEN.search(event.value):
                self._say(mark, "a hidden or control character in the text", written=event.value)
            return Unquoted(event.value) if event.style in (None, "") else event.value
        if depth >= MAX_DEPTH:
            self._say(mark, f"is nested deeper than {MAX_DEPTH} levels")
            raise _StopError
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Any] = []
            while not isinstance(event := next(self._events), yaml.SequenceEndEvent):
                items.append(self._node(event, (*loc, len(items)), depth + 1))
            return items
        section: dict[str, Any] = {}
        while not isinstance(event := next(self._events), yaml.MappingEndEvent):
            key = self._node(event, (*loc, "\0key"), depth + 1)
            here = self.places.pop((*loc, "\0key"))
            if not isinstance(key, str) or not key:
                self._say(event.start_mark, "a key must be a word", written="" if not isinstance(key, str) else key)
                self._node(next(self._events), (*loc, "\0value"), depth + 1)
                continue
            key = str(key)
            if key in section:
                first = self.keys[(*loc, key)][0]
                self._say(event.start_mark, f"{key} is here twice, first in line {first}", "each key once", key)
                self._node(next(self._events), (*loc, "\0value"), depth + 1)
                continue
            self.keys[(*loc, key)] = here
            section[key] = None
            section[key] = self._node(next(self._events), (*loc, key), depth + 1)
            if isinstance(section[key], (dict, list)):
                self.places[(*loc, key)] = here
        return section


class _StopError(yaml.YAMLError):
    pass


def clip(text: str) -> str:
    """Show ``text`` on one line, at most 60 characters, control characters spelt out."""
    shown = "".join(
        character if unicodedata.category(character)[0] != "C" else f"\\u{ord(character):04x}" for character in text[:61]
    )
    return shown if len(shown) <= 60 else shown[:59] + "…"


# --- pydantic's errors in human words --------------------------------------------------------------------------------


def _problems(error: ValidationError, tree: _Tree, model: type[BaseModel]) -> list[Problem]:
    found: list[Problem] = []
    try:
        schema = model.model_json_schema()
    except Exception:  # noqa: BLE001 - hints only
        schema = {}
    for item in error.errors(include_url=False, include_input=True):
        loc, rest = _real_loc(item["loc"], tree.root)
        name = ".".join(str(part) for part in loc) or "the file"
        kind = item["type"]
        cause = item.get("ctx", {}).get("error")
        if isinstance(cause, Fault):
            for relative, what, allowed in cause.items:
                found.append(_at(tree, (*loc, *relative), what, allowed))
        elif isinstance(cause, InputError):
            found.append(_at(tree, loc, f"{loc[-1] if loc else 'it'} {cause.what}", cause.allowed))
        elif kind == "missing":
            wanted = str(rest[-1]) if rest else ""
            found.append(_at(tree, loc, f"{name} needs {wanted}", written=False))
        elif kind == "extra_forbidden":
            known = sorted({key for part in _schemas(schema) for key in part.get("properties", {})})
            near = difflib.get_close_matches(str(loc[-1]), known, n=1)
            what = f"{loc[-1]} is not known here" + (f"; did you mean {near[0]}?" if near else "")
            found.append(Problem(tree.file, *tree.keys.get(loc, tree.places[()]), what, written=clip(str(loc[-1]))))
        elif rest and rest[-1] == "[key]":
            message = f"{loc[-1]} is not a name" if cause is None else str(cause)
            found.append(Problem(tree.file, *tree.keys.get(loc, tree.places[()]), message, written=clip(str(loc[-1]))))
        else:
            found.append(_at(tree, loc, f"{name}: {cause or _words(item)}"))
    return found


def _words(item: Any) -> str:
    kind = item["type"]
    context = item.get("ctx", {})
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return "a section (lines with key: value) belongs here"
    if kind in ("list_type", "tuple_type"):
        return "a list (lines that begin with -) belongs here"
    if kind in ("literal_error", "enum"):
        return f"is not one of the choices: {context.get('expected', '')}"
    return str(item["msg"])


def _schemas(schema: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    return [schema, *schema.get("$defs", {}).values()]


def _real_loc(loc: Loc, tree: Any) -> tuple[Loc, Loc]:
    """Split pydantic's loc into the part that stands in the file and the rest; names of union branches drop out."""
    real: list[str | int] = []
    rest: list[str | int] = []
    for part in loc:
        if isinstance(tree, dict) and part in tree:
            tree = tree[str(part)]
            real.append(part)
            rest = []
        elif isinstance(tree, list) and isinstance(part, int) and part < len(tree):
            tree = tree[part]
            real.append(part)
            rest = []
        else:
            rest.append(part)
    return tuple(real), tuple(rest)


def _at(tree: _Tree, loc: Loc, what: str, allowed: str = "", *, written: bool = True) -> Problem:
    known = loc
    while known and known not in tree.places:
        known = known[:-1]
    value: Any = tree.root
    for part in known:
        value = value[part]
    shown = clip(value) if written and isinstance(value, str) else ""
    return Problem(tree.file, *tree.places[known], what, allowed, shown)


# --- types of fields -------------------------------------------------------------------------------------------------

_YAML_RESOLVER = yaml.SafeLoader.yaml_implicit_resolvers


def _converted(text: str) -> str:
    """What YAML 1.1 would silently make of an unquoted ``text``: '' when it stays text."""
    for tag, pattern in _YAML_RESOLVER.get(text[:1], []):
        if pattern.match(text):
            return str(tag).rpartition(":")[2]
    return ""


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise InputError("is not a text", "a text on one line, e.g. Starboard locker")
    if isinstance(value, Unquoted) and (not value or _converted(value)):
        raise InputError("would not be read as text by every program", f'put it in quotes: "{value}"')
    if not value.strip():
        raise InputError("is empty", "some text, or leave the line out")
    return str(value)


def _name(value: object) -> str:
    if not isinstance(value, str) or not re.fullmatch(r"[a-z][a-z0-9_]{0,39}", value):
        raise InputError("is not a name", "small letters, digits and _, beginning with a letter, up to 40, e.g. house_bank")
    return str(value)


def _yes_no(value: object) -> bool:
    answers = {"yes": True, "no": False, "true": True, "false": False}
    if not isinstance(value, str) or value not in answers:
        raise InputError("is neither yes nor no", "yes or no")
    return answers[value]


def _whole(value: object) -> int:
    if not isinstance(value, str) or not re.fullmatch(r"[+-]?(?:0|[1-9][0-9]{0,8})", value):
        raise InputError("is not a whole number", "a whole number such as 4")
    return int(value)


def _money(value: object) -> Decimal:
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{1,12}(?:\.[0-9]{1,4})?", value):
        raise InputError("is not an amount of money", "a number with a decimal point and no currency, e.g. 1249.50")
    return Decimal(value)


def _day(value: object) -> datetime.date:
    try:
        if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            return datetime.date.fromisoformat(value)
    except ValueError:
        raise InputError("is not a day of the calendar", "a day such as 2026-05-31") from None
    raise InputError("is not a day", "year-month-day, e.g. 2026-05-31")


def _typed(function: Callable[[object], Any], schema: dict[str, Any]) -> tuple[BeforeValidator, WithJsonSchema]:
    return BeforeValidator(function), WithJsonSchema(schema)


if TYPE_CHECKING:
    PlainText = str
    Name = str
    YesNo = bool
    WholeNumber = int
    Money = Decimal
    Day = datetime.date
else:
    PlainText = Annotated[str, *_typed(_text, {"type": "string", "minLength": 1})]
    Name = Annotated[str, *_typed(_name, {"type": "string", "pattern": "^[a-z][a-z0-9_]{0,39}$"})]
    YesNo = Annotated[bool, *_typed(_yes_no, {"enum": [True, False, "yes", "no"]})]
    WholeNumber = Annotated[int, *_typed(_whole, {"type": ["integer", "string"], "pattern": "^[+-]?(0|[1-9][0-9]{0,8})$"})]
    Money = Annotated[Decimal, *_typed(_money, {"type": ["number", "string"], "pattern": "^[0-9]{1,12}([.][0-9]{1,4})?$"})]
    Day = Annotated[datetime.date, *_typed(_day, {"type": "string", "format": "date"})]
