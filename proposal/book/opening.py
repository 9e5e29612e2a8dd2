"""Results → what every page and the command line need to write about them."""

from collections.abc import Sequence

from proposal.book.cells import Cells
from proposal.book.items import Items
from proposal.book.language import Language
from proposal.book.pages.context import Book, Faced
from proposal.book.writer import Writer
from proposal.results.letters import letter_of
from proposal.results.model import Results


def context_of(results: Results, drawings: Sequence[str] = ()) -> Book:
    """A writer in the language of the results, and each option with its letter and the names of its items."""
    language = Language(results.vessel.locale)
    cells = Cells(results.vessel.locale, results.options[0].price.currency, language)
    writer = Writer(language, cells)
    chosen = results.record.letter if results.record is not None else ""
    options = tuple(
        Faced(chosen or letter_of(n), o, f"options[{n}]", Items(o, writer)) for n, o in enumerate(results.options)
    )
    return Book(results, writer, options, tuple(drawings))
