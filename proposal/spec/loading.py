"""Reads a project: the vessel's spec, the installer's file and the price book, every problem of all files at once."""

from functools import lru_cache
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

from proposal.errors import Problem, SpecError, UsageError
from proposal.frozen import frozen
from proposal.reading import MAX_BYTES, Document, Lay, read, read_text, text_of
from proposal.spec.installer import Installer
from proposal.spec.pricebook import PriceBook
from proposal.spec.project import Spec
from proposal.spec.references import complaints
from proposal.spec.versions import spec_of_today

M = TypeVar("M", bound=BaseModel)

SPEC_FILE = "spec.yaml"
INSTALLER_FILE = "installer.yaml"
LARGEST_SPEC_BYTES = 300_000
LARGEST_PRICE_BOOK_BYTES = 3_000_000


@frozen
class Project:
    """A folder that was read: spec, installer, price book, each with its positions.

    ``chosen``: the option that was built, where a record says so; None: all are proposed.
    """

    folder: Path
    spec: Document[Spec]
    installer: Document[Installer]
    prices: Document[PriceBook]
    chosen: str | None = None

    @property
    def option_ids(self) -> tuple[str, ...]:
        """The options that are computed, in the order of the spec."""
        return tuple(self.spec.value.options) if self.chosen is None else (self.chosen,)


def load_project(folder: Path, *, lay: Lay | None = None, chosen: str | None = None) -> Project:
    """Read the project in `folder`, with what `lay` lays over its spec; `chosen` as in `Project`.

    The installer's file is taken from the folder itself or else from its parent, and the price book from beside that.
    Raises SpecError with every problem of all three files, MachineError where a file cannot be opened.
    """
    problems: list[Problem] = []
    spec = installer = prices = None
    try:
        path, most = folder / SPEC_FILE, LARGEST_SPEC_BYTES
        spec = read(path, Spec, max_bytes=most, also=complaints, migrate=spec_of_today, lay=lay)
    except SpecError as error:
        problems += error.problems
    own = folder / INSTALLER_FILE
    installer_path = own if own.exists() else folder.parent / INSTALLER_FILE
    try:
        installer = _shared(text_of(installer_path, MAX_BYTES), str(installer_path), Installer)
    except SpecError as error:
        problems += error.problems
    if installer is not None:
        try:
            name = installer.value.price_book
            path = _beside(installer_path, name, installer)
            prices = _shared(text_of(path, LARGEST_PRICE_BOOK_BYTES), str(path), PriceBook)
        except SpecError as error:
            problems += error.problems
        except UsageError:
            line, column = installer.position(("price_book",))
            what = "price_book: there is no such file beside this one"
            problems.append(Problem(str(installer_path), line, column, what, "the name of a price book", name))
    if spec is None or installer is None or prices is None or problems:
        raise SpecError(problems)
    if prices.value.currency != installer.value.currency:
        line, column = installer.position(("currency",))
        what = f"currency: the price book {name} is in another currency"
        raise SpecError([Problem(str(installer_path), line, column, what, prices.value.currency)])
    return Project(folder, spec, installer, prices, chosen)


@lru_cache(maxsize=8)
def _shared(text: str, file: str, model: type[M]) -> Document[M]:
    """A file that many projects and all states of one share: parsed once in a run while its text stays the same."""
    return read_text(text, file, model)


def price_book_of(installer_path: Path) -> Path:
    """The price book that an installer's file names. Raises SpecError where that is wrong, UsageError, MachineError."""
    installer = _shared(text_of(installer_path, MAX_BYTES), str(installer_path), Installer)
    return _beside(installer_path, installer.value.price_book, installer)


def _beside(installer_path: Path, name: str, installer: Document[Installer]) -> Path:
    """The price book must lie beside the installer's file: a path from a file never leads elsewhere."""
    if Path(name).name != name or name in ("", ".", ".."):
        line, column = installer.position(("price_book",))
        raise SpecError(
            [Problem(str(installer_path), line, column, "price_book is not a plain file name", "prices.yaml", name)]
        )
    return installer_path.parent / name
