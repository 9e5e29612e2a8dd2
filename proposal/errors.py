"""What can go wrong, said so that the reader can act on it; each kind carries the exit code of the command line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, order=True)
class Problem:
    """One thing that is wrong in a file that a person wrote.

    ``line`` and ``column`` count from 1. ``what`` says what is wrong, ``allowed`` what would be right,
    ``written`` what stands there now; the last two may be empty.
    """

    file: str
    line: int
    column: int
    what: str
    allowed: str = ""
    written: str = ""

    def __str__(self) -> str:
        parts = [f"{self.file}:{self.line}:{self.column}: {self.what}"]
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.written:
            parts.append(f"you wrote: {self.written}")
        return " · ".join(parts)


class ProposalError(Exception):
    """An error that the user can mend; ``exit_code`` is what the command line returns for it."""

    exit_code: ClassVar[int] = 4


class SpecError(ProposalError):
    """A file that a person wrote is wrong; ``problems`` holds everything found in it, in the order of the file."""

    exit_code: ClassVar[int] = 2

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        if not self.problems:
            raise ValueError("a SpecError needs at least one problem")
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[SpecError], tuple[tuple[Problem, ...]]]:
        return (type(self), (self.problems,))


class UsageError(ProposalError):
    """The command was called in a way it does not know."""

    exit_code: ClassVar[int] = 3


class MachineError(ProposalError):
    """The machine cannot do it: a full disk, a missing right, a missing system package.

    ``message`` says what failed, ``todo`` what the user can do about it.
    """

    exit_code: ClassVar[int] = 4

    def __init__(self, message: str, todo: str) -> None:
        self.message = message
        self.todo = todo
        super().__init__(f"{message} · {todo}" if todo else message)

    def __reduce__(self) -> tuple[type[MachineError], tuple[str, str]]:
        return (type(self), (self.message, self.todo))


class InputError(ValueError):
    """A value that a person wrote cannot be taken: ``what`` is wrong with it and what is ``allowed``."""

    def __init__(self, what: str, allowed: str = "") -> None:
        self.what = what
        self.allowed = allowed
        super().__init__(f"{what} · allowed: {allowed}" if allowed else what)

    def __reduce__(self) -> tuple[type[InputError], tuple[str, str]]:
        return (type(self), (self.what, self.allowed))
