"""Bytes of a vessel's files → bytes of its row: one pure function, wherever it runs."""

import importlib.metadata
import os
import secrets
import shutil
import tempfile
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path, PurePath

import proposal
from proposal.archive.facts import SealFacts, parse_facts
from proposal.errors import MachineError, Problem, ProposalError, SpecError
from proposal.files import fill_scratch
from proposal.frozen import frozen
from proposal.results.computed import computed, made_by
from proposal.results.store import stamp_of
from proposal.results.yard_model import YardRow, YardSeal
from proposal.results.yard_row import row_of, row_of_archives, row_of_problems, row_text
from proposal.spec.loading import SPEC_FILE
from proposal.spec.recorded import PHOTO_FOLDER, RECORD_FOLDER
from proposal.spec.seals import SealLine, load_seals
from proposal.yard.bundle import ABOVE, Bundle, digest_of
from proposal.yard.find import SEALED, printable

PROJECT = "project"
"""What a project's folder is called while its row is made: no name of a folder is in a row."""


DEPENDED_ON = (
    "results", "rules", "design", "studies", "parts", "circuit", "codes", "spec", "reading", "units", "errors.py",
    "facts.py", "frozen.py", "sources.py", "archive/facts.py", "yard/bundle.py", "yard/row.py",
)  # fmt: skip
"""What of the program a row depends on, code and tables."""
_ARCHIVE = f"{SEALED}/"
LIBRARIES = ("numpy", "pydantic", "pyyaml")


@frozen
class Task:
    """A vessel to be done: its number among all, and its bytes; those that many share by their digest."""

    number: int
    own: Bundle
    shared: tuple[tuple[str, str], ...]


@frozen
class Chunk:
    """Vessels done in one go. `shared`: bytes by digest. `stamp`: the program that must do it, if not empty."""

    tasks: tuple[Task, ...]
    shared: tuple[tuple[str, bytes], ...]
    stamp: str = ""


@frozen
class Made:
    """A vessel's row as text; `whole` is False where the program failed: such a row is not kept."""

    number: int
    text: bytes
    whole: bool


def rows_of(chunk: Chunk) -> list[Made]:
    """The rows of some vessels.

    Equal bytes give equal rows. What is wrong with a vessel, or with the program at it, is in its row and stops none.
    Raises MachineError where another program than the one that asks would do it.
    """
    if chunk.stamp and chunk.stamp != row_stamp():
        raise MachineError(
            "the workers run another version of this program or of its libraries", "install the same on all machines"
        )
    with _scratch() as home:
        return [_made(task, dict(chunk.shared), home) for task in chunk.tasks]


def crashed(task: Task, what: str) -> Made:
    """The row of a vessel at which the process that made it ended."""
    return Made(task.number, row_text(_failed(task.own, what)), False)


def _made(task: Task, shared: dict[str, bytes], home: Path) -> Made:
    try:
        row, whole = _row(task, shared, home)
        return Made(task.number, row_text(row), whole)
    except Exception as error:  # one vessel never stops the others
        return Made(task.number, row_text(_failed(task.own, f"{type(error).__name__}: {error}")), False)


def _failed(bundle: Bundle, what: str) -> YardRow:
    problem = Problem(SPEC_FILE, 1, 1, printable(f"the program failed at this vessel, which is a fault of it: {what}"))
    return row_of_problems([problem], made_by(), archives=bundle.archives)


def _row(task: Task, shared: dict[str, bytes], home: Path) -> tuple[YardRow, bool]:
    folder = home / PROJECT
    bundle = task.own
    archives = tuple(printable(name) for name in bundle.archives)
    facts = [fact for name, data in bundle.files if name.startswith(_ARCHIVE) and (fact := _facts(data)) is not None]
    facts.sort(key=lambda fact: (fact.number, fact.name))
    if not any(name == SPEC_FILE for name, _ in bundle.files) and archives:
        last = (facts[-1].vessel, facts[-1].proposal_number, facts[-1].revision) if facts else ("", "", "")
        return row_of_archives(last, [_told_seal(made) for made in facts], archives, made_by()), True
    files = {f"{PROJECT}/{name}": data for name, data in bundle.files if not name.startswith(_ARCHIVE)}
    files |= {f"{PROJECT}/{RECORD_FOLDER}/{PHOTO_FOLDER}/{name}": b"" for name in bundle.photos}
    files |= {_below(name): shared[digest] for name, digest in task.shared}
    fill_scratch(home, files)
    seals: tuple[YardSeal, ...] = ()
    try:
        seals = tuple(_seal(line, facts, archives) for line in load_seals(folder))
        made = computed(folder, sheets=False, history=False)
        count = 0 if made.record is None else len(made.record.entries)
        return row_of(made.evaluated, entries_count=count, seals=seals, archives=archives), True
    except SpecError as error:
        problems = [_told(problem, home) for problem in error.problems]
    except ProposalError as error:
        problems = [Problem(SPEC_FILE, 1, 1, _without(str(error), home))]
    return row_of_problems(problems, made_by(), seals=seals, archives=archives), True


def _facts(data: bytes) -> SealFacts | None:
    """What an archive says of itself; None where it is damaged, or of a later form than this release reads."""
    try:
        return parse_facts(data)
    except ValueError:
        return None


def _told_seal(made: SealFacts) -> YardSeal:
    condemned = made.state == "do_not_energise"
    return YardSeal(made.number, made.date, made.name, len(made.entries), condemned, _version(made), archive=True)


def _seal(line: SealLine, facts: Sequence[SealFacts], archives: Sequence[str]) -> YardSeal:
    by = next((_version(made) for made in facts if made.name == line.name), "")
    here = line.name in archives or f"{line.name}.zip" in archives
    day = line.date.isoformat()
    return YardSeal(line.number, day, line.name, line.entries_count, line.do_not_energise, by, archive=here)


def _version(made: SealFacts) -> str:
    return f"proposal {made.made_with.get('proposal', '')}".strip()


def _below(name: str) -> str:
    return name.removeprefix(ABOVE) if name.startswith(ABOVE) else f"{PROJECT}/{name}"


def _told(problem: Problem, home: Path) -> Problem:
    texts = (problem.what, problem.allowed, problem.written)
    file = _without(problem.file, home)
    return Problem(file, problem.line, problem.column, *(_without(text, home) for text in texts))


def _without(text: str, home: Path) -> str:
    """A text as it would be where the project really lies: files told from the project's folder."""
    for place, instead in ((home / PROJECT, ""), (home, ABOVE)):
        text = text.replace(f"{place}{_SLASH}", instead)
    return printable(text.replace(str(home / PROJECT), "."))


_SLASH = "\\" if PurePath("a/b").as_posix() != str(PurePath("a/b")) else "/"
_NAME = f"proposal-yard-{secrets.token_hex(12)}"
"""Not to be guessed; processes that are copies of one share it, hence the numbers of process and thread behind it."""


@contextmanager
def _scratch() -> Iterator[Path]:
    """A folder that only this user can use, of one name in a process, so that what was parsed there is known again."""
    home = Path(tempfile.gettempdir()) / f"{_NAME}-{os.getpid()}-{threading.get_ident()}"
    home.mkdir(mode=0o700)
    try:
        yield home
    finally:
        shutil.rmtree(home, ignore_errors=True)


@cache
def row_stamp() -> str:
    """Which program makes rows: all that results depend on, Python and processor, libraries."""
    home = Path(proposal.__file__).parent
    versions = [f"{name} {importlib.metadata.version(name)}" for name in LIBRARIES]
    return stamp_of(home, [proposal.__version__, *versions], depended_on=DEPENDED_ON)


def in_chunks(tasks: Iterable[tuple[int, Bundle]], size: int, stamp: str = "") -> Iterator[Chunk]:
    """Vessels in chunks of a size, each with the shared bytes that it needs."""
    waiting: list[Task] = []
    shared: dict[str, bytes] = {}
    for number, bundle in tasks:
        places = tuple((name, digest_of(data)) for name, data in bundle.shared)
        shared |= {digest_of(data): data for _, data in bundle.shared}
        own = Bundle(bundle.files, (), bundle.photos, bundle.archives)
        waiting.append(Task(number, own, places))
        if len(waiting) == size:
            yield Chunk(tuple(waiting), tuple(shared.items()), stamp)
            waiting, shared = [], {}
    if waiting:
        yield Chunk(tuple(waiting), tuple(shared.items()), stamp)
