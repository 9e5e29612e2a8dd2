"""Page 7: all cautions, and what stands above these pages."""

from proposal.book.blocks import Block, Bullets, Heading, Page
from proposal.book.pages.context import Book
from proposal.book.pages.index import caution_words
from proposal.book.sentences import cautions
from proposal.book.writer import plain


def page(book: Book) -> Page:
    """The usual cautions by topic, those of the business, and the deference in full."""
    blocks: list[Block] = []
    for group in cautions.GROUPS:
        blocks.append(Heading(book.text(group.title), 2, group.anchor))
        blocks.append(Bullets(tuple(caution_words(book, caution) for caution in group.cautions)))
    own = book.results.vessel.installer_cautions
    if own:
        title = book.text(cautions.INSTALLER_TITLE, installer=book.results.vessel.installer)
        blocks += [Heading(title, 2, "installer"), Bullets(tuple(plain(text) for text in own))]
    blocks += [
        Heading(book.text(cautions.DEFERENCE_TITLE), 2, "deference"),
        Bullets(tuple(book.writer.words(sentence) for sentence in cautions.DEFERENCE_FULL)),
    ]
    return Page(
        "cautions", book.text(cautions.TITLE), ("client", "installer", "owner"), tuple(blocks),
        book.writer.words(book.either(cautions.LEAD, cautions.LEAD_RECORD)),
    )  # fmt: skip
