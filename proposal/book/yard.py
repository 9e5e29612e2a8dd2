"""A yard → book: the pages of its index."""

from proposal.book import blocks
from proposal.book.pages import yard_open, yard_parts, yard_vessels
from proposal.book.pages.yard_context import YardBook
from proposal.book.sentences import renderers
from proposal.book.sentences import yard as words
from proposal.results.yard_model import Yard


def make_yard_book(yard: Yard) -> blocks.Book:
    """All pages of a yard's index, for the site alone. Same yard, same book."""
    book = YardBook(yard)
    pages = (yard_vessels.page(book), *yard_open.pages(book), *yard_parts.pages(book))
    return blocks.Book(_cover(book), pages, book.writer.language.tag, yard.today)


def _cover(book: YardBook) -> blocks.Cover:
    today = book.date(book.yard.today)
    return blocks.Cover(
        title=book.text(words.TITLE),
        subtitle=book.several(words.SUBTITLE, len(book.berths), today=today),
        prepared_for="",
        prepared_by="",
        licence="",
        facts=(),
        cautions=(),
        deference=book.text(words.DEFERENCE),
        labels=tuple((key, book.text(text)) for key, text in renderers.LABELS.items()),
        running=book.text(words.RUNNING, today=today),
    )
