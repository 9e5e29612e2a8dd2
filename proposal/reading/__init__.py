"""YAML files of a person, read with the place of every word, so that each mistake can be pointed at.

Every scalar reaches the model as text, exactly as typed; the types of ``reading`` and ``units`` turn it into values.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from proposal.errors import MachineError, Problem, SpecError, UsageError
from proposal.frozen import frozen
from proposal.reading.fields import Day, Money, MonthDay, Name, PlainText, TextOrBlank, WholeNumber, YesNo
from proposal.reading.schema import json_schema
from proposal.reading.tree import Elsewhere, Loc, Node, Place, Tree
from proposal.reading.wording import Fault, problems_found, problems_of

__all__ = [
    "MAX_BYTES",
    "MAX_PROBLEMS",
    "Check",
    "Day",
    "Document",
    "Elsewhere",
    "Fault",
    "Lay",
    "Loc",
    "Migrate",
    "Money",
    "MonthDay",
    "Name",
    "Node",
    "Place",
    "PlainText",
    "TextOrBlank",
    "Tree",
    "WholeNumber",
    "YesNo",
    "json_schema",
    "plain_bytes",
    "read",
    "read_text",
    "text_of",
]

M = TypeVar("M", bound=BaseModel)
Check = Callable[[Any], Iterable[tuple[Loc, str, str]]]
Migrate = Callable[[Any], Any]
Lay = Callable[[Tree], Iterable[Problem]]
"""Lays over the tree what other files change in it, and says what cannot be laid."""

MAX_BYTES = 1_000_000
MAX_PROBLEMS = 100


@frozen
class Document(Generic[M]):
    """A file that was read: its model, where everything stood, and the texts as they stood there."""

    value: M
    path: Path
    places: Mapping[Loc, Place] = field(repr=False)
    root: Any = field(default=None, repr=False)

    def position(self, loc: Loc) -> Place:
        """Line and column (from 1) of the value at ``loc``, of the key when it is a section or a list.

        A loc that does not stand in the file gives the place of its longest known beginning.
        """
        while loc and loc not in self.places:
            loc = loc[:-1]
        return self.places[loc]

    def file_of(self, loc: Loc) -> str:
        """The file in which the value at ``loc`` stands, as `position` finds it."""
        return str(getattr(self.position(loc), "file", self.path))


def read(
    path: Path,
    model: type[M],
    *,
    max_bytes: int = MAX_BYTES,
    also: Check | None = None,
    migrate: Migrate | None = None,
    lay: Lay | None = None,
) -> Document[M]:
    """Read the YAML file at ``path`` into ``model``.

    ``migrate`` turns the tree of an older version into one of today's before anything else looks at it; ``lay`` then
    lays over it what other files change.

    ``also`` is given the tree as it was read (text, lists, sections) and yields what it finds wrong in it as
    (loc, what, allowed); so that its findings come out together with all others, it runs on faulty trees too.
    Raises SpecError with every problem of the file, UsageError when there is no such file, MachineError when it
    cannot be opened.
    """
    return read_text(text_of(path, max_bytes), str(path), model, also=also, migrate=migrate, lay=lay)


def plain_bytes(path: Path, most_bytes: int) -> bytes:
    """The first bytes of a plain file. Raises OSError, also for a pipe or a device, of which no end may ever come."""
    with open(path, "rb", opener=_without_waiting) as stream:
        if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
            raise OSError(errno.EINVAL, "it is no plain file", str(path))
        return stream.read(most_bytes)


def _without_waiting(name: str, flags: int) -> int:
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))


def text_of(path: Path, max_bytes: int = MAX_BYTES) -> str:
    """The text of a file. Raises as ``read`` does for what is no text, too large, not there or not to be opened."""
    try:
        raw = plain_bytes(path, max_bytes + 1)
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError, ValueError):
        raise UsageError(f"there is no file {str(path)!r}") from None
    except OSError as error:
        advice = "check the name and the rights of the file"
        raise MachineError(f"cannot read {path}: {error.strerror or error}", advice) from error
    if len(raw) > max_bytes:
        raise SpecError([Problem(str(path), 1, 1, "the file is too large", f"up to {max_bytes} bytes")])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8-sig", "replace")
        place = (before.count("\n") + 1, len(before) - before.rfind("\n"))
        raise SpecError([Problem(str(path), *place, "this is not UTF-8 text", "a file saved as UTF-8")]) from None


def read_text(
    text: str,
    file: str,
    model: type[M],
    *,
    also: Check | None = None,
    migrate: Migrate | None = None,
    lay: Lay | None = None,
) -> Document[M]:
    """Read ``text``, called ``file`` in problems, into ``model``, as ``read`` does.

    Raises SpecError with every problem.
    """
    tree = Tree(text, file)
    problems = tree.problems
    value: M | None = None
    if not tree.broken:
        if migrate:
            tree.root = migrate(tree.root)
        if lay:
            problems = problems + list(lay(tree))
        try:
            value = model.model_validate(tree.root)
        except ValidationError as error:
            problems = problems + problems_of(error, tree, model)
        if also:
            problems = problems + problems_found(also(tree.root), tree, problems)
    if problems or value is None:
        raise SpecError(_in_order(problems, file))
    return Document(value, Path(file), tree.places, tree.root)


def _in_order(problems: list[Problem], file: str) -> list[Problem]:
    """Each problem once, those of ``file`` first; of very many the first ones, and how many more there are."""
    ordered = sorted(dict.fromkeys(problems), key=lambda p: (p.file != file, p.file, p.line, p.column))
    if len(ordered) <= MAX_PROBLEMS:
        return ordered
    rest = ordered[MAX_PROBLEMS - 1]
    more = f"and {len(ordered) - MAX_PROBLEMS + 1} more problems from here on"
    return [*ordered[: MAX_PROBLEMS - 1], Problem(rest.file, rest.line, rest.column, more)]
