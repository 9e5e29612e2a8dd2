"""A YAML text as a tree of text, lists and sections, with the place of every key and value."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

import yaml

from proposal.errors import Problem

Loc: TypeAlias = tuple[str | int, ...]
Place: TypeAlias = tuple[int, int]
Node: TypeAlias = "str | list[Node] | dict[str, Node]"

MAX_DEPTH = 20
MAX_BAD_CHARACTERS = 100
# Controls, marks that reorder text, invisible signs and tags, line breaks that only some programs see, non-characters.
HIDDEN = re.compile(
    "[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\uffff"
    "\ud800-\udfff\U000e0000-\U000e0fff]|\r(?!\n)"
)


class Unquoted(str):
    """Text that stands in the file without quotes."""

    __slots__ = ()


class Elsewhere(tuple[int, int]):
    """A place, line and column, in another file than the tree's own."""

    file: str

    @classmethod
    def of(cls, place: Place, file: str) -> Elsewhere:
        """The place in that file; one that says its file already keeps it."""
        if isinstance(place, cls):
            return place
        made = cls(place)
        made.file = file
        return made


class _StopError(Exception):
    """Nothing further of the file can be read; the problem is already noted."""


class Tree:
    """The file: ``root`` of str, list and dict, and its ``problems``.

    ``places`` are those of values, of the key for sections and lists; ``keys`` those of keys; ``starts`` those where
    sections and lists begin.
    ``broken`` says that the tree is not complete; ``spoilt`` holds the locs whose value was refused here, ``taken``
    where it is said of locs that they were taken out.
    """

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.places: dict[Loc, Place] = {(): (1, 1)}
        self.keys: dict[Loc, Place] = {}
        self.starts: dict[Loc, Place] = {}
        self.taken: dict[Loc, Place] = {}
        self.spoilt: set[Loc] = set()
        self.root: Node = {}
        self.broken = self._has_hidden_characters(text)
        if self.broken:
            return
        self._events: Iterator[Any] = iter(yaml.CSafeLoader(text).get_event, None)
        try:
            self._read()
        except _StopError:
            self.broken = True
        except yaml.YAMLError as error:
            self.broken = True
            self._unreadable(error)

    def value(self, loc: Loc) -> Node | None:
        """What stands at ``loc``, None when nothing does."""
        node: Any = self.root
        for part in loc:
            inside = part in node if isinstance(node, dict) else isinstance(node, list) and part in range(len(node))
            if not inside:
                return None
            node = node[part]
        return node  # type: ignore[no-any-return]

    def lay(self, loc: Loc, node: Node, places: Mapping[Loc, Place], place: Place) -> None:
        """Put a copy of ``node`` at ``loc``, in place of what stands there; sections that are missing are made.

        ``places`` are those inside the node, by their loc in it, ``place`` its own. At the end of a list one more entry
        can be laid. Raises KeyError where ``loc`` leads through something that is no section and no entry of a list.
        """
        here: Any = self.root
        for depth, part in enumerate(loc[:-1], 1):
            if isinstance(here, dict) and isinstance(part, str) and part not in here:
                here[part] = {}
                self.keys[loc[:depth]] = self.places[loc[:depth]] = place
            here = _inside(here, part)
        last, copied = loc[-1], _copied(node)
        if isinstance(here, list) and last == len(here):
            here.append(copied)
        elif isinstance(here, dict):
            here[last] = copied
        else:
            _inside(here, last)
            here[last] = copied
        self._forget(loc)
        found = {(*loc, *inner): there for inner, there in places.items()} | {loc: place}
        self.places |= found
        self.keys |= found

    def take_out(self, loc: Loc, place: Place | None = None) -> None:
        """Remove a key of a section or an entry of a list, with all that stands there; later entries move up.

        What is then found to be missing is said to be so at ``place``. Raises KeyError where there is nothing.
        """
        here: Any = self.root
        for part in loc[:-1]:
            here = _inside(here, part)
        last = loc[-1]
        _inside(here, last)
        del here[last]
        self._forget(loc)
        if place is not None:
            self.taken[loc] = place
        if isinstance(last, int):
            for number in range(last, len(here)):
                self._move((*loc[:-1], number + 1), (*loc[:-1], number))

    def _forget(self, loc: Loc) -> None:
        """Whatever was known of the places at ``loc`` and in it."""
        for known in (self.places, self.keys, self.starts, self.taken):
            for old in [old for old in known if old[: len(loc)] == loc]:
                del known[old]
        self.spoilt = {old for old in self.spoilt if old[: len(loc)] != loc}

    def _move(self, loc: Loc, to: Loc) -> None:
        """What is known of ``loc`` and in it is known of ``to`` from now on."""
        for known in (self.places, self.keys, self.starts, self.taken):
            for old in [old for old in known if old[: len(loc)] == loc]:
                known[(*to, *old[len(loc) :])] = known.pop(old)
        self.spoilt = {(*to, *old[len(loc) :]) if old[: len(loc)] == loc else old for old in self.spoilt}

    def place_of_value(self, loc: Loc) -> Place:
        """Where the value at ``loc`` stands; its key where it begins on a later line than the key."""
        start = self.starts.get(loc)
        return start if start and start[0] == self.places[loc][0] else self.places[loc]

    def place_of_key(self, loc: Loc) -> Place:
        """Where the key of ``loc`` stands; the item itself for a list."""
        return self.keys.get(loc) or self.places.get(loc, (1, 1))

    def _has_hidden_characters(self, text: str) -> bool:
        for number, match in enumerate(HIDDEN.finditer(text)):
            if number == MAX_BAD_CHARACTERS:
                break
            line = text.count("\n", 0, match.start()) + 1
            column = match.start() - text.rfind("\n", 0, match.start())
            if match[0] == "\t":
                problem = Problem(self.file, line, column, "a tab stands here", "spaces")
            else:
                what = f"an invisible or control character (U+{ord(match[0]):04X}) stands here"
                problem = Problem(self.file, line, column, what, "visible characters and spaces")
            self.problems.append(problem)
        return bool(self.problems)

    def _read(self) -> None:
        documents = 0
        for event in self._events:
            if not isinstance(event, yaml.DocumentStartEvent):
                continue
            documents += 1
            if documents == 2:
                self._say(event.start_mark, "a second document begins here", "one document in a file")
                raise _StopError
            first = next(self._events)
            self.root = self._node(first, (), 0)
            self.places[()] = _place(first)
        if documents == 0 or self.root == "":
            self.problems.append(Problem(self.file, 1, 1, "the file is empty", "sections of key: value"))
            raise _StopError

    def _node(self, event: Any, loc: Loc, depth: int) -> Node:
        self.places[loc] = _place(event)
        if _is_plain(event):
            return event.value if event.style else Unquoted(event.value)
        if isinstance(event, yaml.AliasEvent):
            self._say(event.start_mark, "an alias (*) is not taken", "the value itself, or quotes", f"*{event.anchor}")
            self.spoilt.add(loc)
            return Unquoted()
        self._refuse_extras(event, loc)
        if isinstance(event, yaml.ScalarEvent):
            return event.value if event.style else Unquoted(event.value)
        if depth == MAX_DEPTH:
            self._say(event.start_mark, f"this is nested deeper than {MAX_DEPTH} levels", "fewer levels")
            raise _StopError
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(loc, depth)
        return self._section(loc, depth)

    def _refuse_extras(self, event: Any, loc: Loc) -> bool:
        """Note an anchor, a tag, and hidden characters that came in by an escape; whether there were any."""
        known = len(self.problems)
        if event.anchor:
            self._say(event.start_mark, "an anchor (&) is not taken", "the value alone, or quotes", f"&{event.anchor}")
        if event.tag is not None:
            self._say(event.start_mark, "a tag (!) is not taken", "the value alone, or quotes", event.tag)
        if isinstance(event, yaml.ScalarEvent) and event.style == '"' and (hidden := HIDDEN.search(event.value)):
            what = f"the text holds an invisible or control character (U+{ord(hidden[0]):04X})"
            self._say(event.start_mark, what, "visible characters and spaces", event.value)
        if len(self.problems) == known:
            return False
        self.spoilt.add(loc)
        return True

    def _list(self, loc: Loc, depth: int) -> Node:
        items: list[Node] = []
        while not isinstance(event := next(self._events), yaml.SequenceEndEvent):
            items.append(self._node(event, (*loc, len(items)), depth + 1))
        return items

    def _section(self, loc: Loc, depth: int) -> Node:
        section: dict[str, Node] = {}
        while not isinstance(event := next(self._events), yaml.MappingEndEvent):
            key = self._key(event, loc, depth)
            here = (*loc, key)
            if key in section:
                what = f"`{clip(key)}` is here twice, first in line {self.keys[here][0]}"
                self._say(event.start_mark, what, "each key once", key)
            if key in section or not key:
                self._skip(depth)
                continue
            self.keys[here] = _place(event)
            section[key] = self._node(next(self._events), here, depth + 1)
            if not isinstance(section[key], str):
                self.starts[here], self.places[here] = self.places[here], self.keys[here]
            elif section[key] == "" and re.fullmatch("[0-9]+([^0-9].*)?", key):
                self._comma_split(loc, section, key)
        return section

    def _comma_split(self, loc: Loc, section: dict[str, Node], key: str) -> None:
        """``{length: 4,2 m}`` is two entries to YAML, and one with a decimal comma to whoever wrote it."""
        before, whole = ([("", ""), *section.items()])[-2]
        line, column = self.place_of_key((*loc, before))
        on_one_line = line == self.keys[(*loc, key)][0]
        if on_one_line and isinstance(whole, Unquoted) and re.fullmatch("[+-]?[0-9]+", whole):
            del section[key]
            what = f"`{clip(before)}` has a decimal comma; write {whole}.{clip(key)}"
            line, column = self.places[(*loc, before)]
            self.problems.append(Problem(self.file, line, column, what, "a decimal point", clip(f"{whole},{key}")))
            self.spoilt.add((*loc, before))

    def _key(self, event: Any, loc: Loc, depth: int) -> str:
        """Read a key; one that is no word is noted and read past, and comes back empty."""
        if _is_plain(event) and event.value:
            return str(event.value)
        if isinstance(event, yaml.ScalarEvent) and event.value:
            if self._refuse_extras(event, (*loc, event.value)):
                return ""
            return str(event.value)
        self._say(event.start_mark, "a key must be a word", "key: value")
        if isinstance(event, yaml.CollectionStartEvent):
            self._skip(depth, event)
        return ""

    def _skip(self, depth: int, event: Any = None) -> None:
        """Read past one value, noting only what would stop the reading."""
        level = 0
        while True:
            event = event or next(self._events)
            if isinstance(event, yaml.CollectionStartEvent):
                level += 1
                if depth + level > MAX_DEPTH:
                    self._say(event.start_mark, f"this is nested deeper than {MAX_DEPTH} levels", "fewer levels")
                    raise _StopError
            elif isinstance(event, yaml.CollectionEndEvent):
                level -= 1
            if level == 0:
                return
            event = None

    def _say(self, mark: Any, what: str, allowed: str = "", written: str = "") -> None:
        self.problems.append(Problem(self.file, mark.line + 1, mark.column + 1, what, allowed, clip(written)))

    def _unreadable(self, error: yaml.YAMLError) -> None:
        said = str(getattr(error, "problem", None) or "")
        _, what, allowed, at_start = next(entry for entry in _YAML_WORDS if entry[0] in said)
        marks = [getattr(error, name, None) for name in ("context_mark", "problem_mark")]
        mark = next(filter(None, marks if at_start else reversed(marks)), None)
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        self.problems.append(Problem(self.file, line, column, what, allowed))


def _inside(node: Any, part: str | int) -> Any:
    """What stands under a key or at a place of a list. Raises KeyError."""
    if isinstance(node, dict) and part in node:
        return node[part]
    if isinstance(node, list) and isinstance(part, int) and 0 <= part < len(node):
        return node[part]
    raise KeyError(part)


def _copied(node: Node) -> Node:
    """The same node in lists and sections of its own: what is laid once may be changed where it lies."""
    if isinstance(node, dict):
        return {key: _copied(inner) for key, inner in node.items()}
    return [_copied(inner) for inner in node] if isinstance(node, list) else node


def _is_plain(event: Any) -> bool:
    """Whether an event is a scalar that cannot hold anything to refuse, as nearly all are."""
    return type(event) is yaml.ScalarEvent and event.tag is None and not event.anchor and event.style != '"'


def _place(event: Any) -> Place:
    mark = event.start_mark
    return (mark.line + 1, mark.column + 1)


def one_line(text: str) -> str:
    """Show ``text`` on one line, with line breaks and invisible or control characters spelt out."""
    return re.sub(r"[\r\n]|" + HIDDEN.pattern, lambda match: f"\\u{ord(match[0]):04x}", text)


def clip(text: str) -> str:
    """Show ``text`` on one line, at most 60 characters."""
    shown = one_line(text[:61])
    return shown if len(shown) <= 60 else shown[:59] + "…"


_ALIKE = "the same indentation as its neighbours"
_QUOTED = "the text in quotes"
# What the parser says, in words: its words, what, allowed, and whether the place is where the construct begins.
_YAML_WORDS: tuple[tuple[str, str, str, bool], ...] = (
    ("mapping values are not allowed", "a colon stands where none belongs",
     "one key: value on a line, indented like its neighbours; a text with a colon in quotes", False),
    ("found unexpected ':'", "a colon stands where none belongs", "key: value; a text with a colon in quotes", False),
    ("expected node content", "a sign stands where a value belongs", "a value, or the text in quotes", False),
    ("comment or line break", "a text stands where none belongs", "after | or > a new line", False),
    ("<document start>", "this does not fit the lines above", _ALIKE, False),
    ("could not find expected ':'", "this line has no colon after its key", "key: value", True),
    ("did not find expected key", "this does not fit the lines above", _ALIKE, False),
    ("did not find expected '-'", "this does not fit the list above", "- before each item, all indented alike", False),
    ("did not find expected ',' or", "a bracket opens here and is not closed rightly",
     "commas between the items and a closing bracket", True),
    ("found unexpected end of stream", "a quote opens here and is not closed", "a closing quote", True),
    ("found unexpected document indicator", "a quote opens here and is not closed", "a closing quote", True),
    ("escape", "a backslash in double quotes has a meaning of its own", "single quotes", False),
    ("cannot start any token", "a text cannot begin with this character", _QUOTED, False),
    ("block sequence entries are not allowed", "a list cannot begin here", "- at the beginning of a line", False),
    ("alphabetic or numeric character", "a text cannot begin with * or &", _QUOTED, True),
    ("tag", "a tag (!) is not taken", "the value alone, or quotes", True),
    ("directive", "a line cannot begin with %", _QUOTED, True),
    ("nesting", "this is nested too deep", "fewer levels", False),
    ("", "the file cannot be read from here on", "key: value, sections indented by spaces, lists with -", False),
)  # fmt: skip
