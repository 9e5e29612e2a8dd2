"""Page: the files that are made beside the record, to be printed, stuck on, and handed on."""

from proposal.book.blocks import Fact, Facts, Page, Paragraph
from proposal.book.pages.context import Book
from proposal.book.pages.emergency import RECORD_CODE
from proposal.book.pages.emergency_steps import record_address
from proposal.book.sentences import aboard as words
from proposal.book.tables import Strong
from proposal.book.writer import plain

PAGE_ID = "aboard"
FOLDER = "aboard"


def page(book: Book) -> Page:
    """Each file by its name, and what it is for."""
    names = [name for name in words.FILES if name != RECORD_CODE or record_address(book.results)]
    files = tuple(Fact(name, plain(book.text(words.FILES[name]))) for name in names)
    read = book.writer.words(words.READ, folder=Strong(FOLDER), installer=book.results.vessel.installer)
    title, lead = book.text(words.TITLE), book.writer.words(words.LEAD)
    return Page(PAGE_ID, title, ("owner", "installer"), (Paragraph(read), Facts(files)), lead)
