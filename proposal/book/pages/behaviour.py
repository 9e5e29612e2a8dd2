"""Page of the days: which option to take and why, then everything that the simulation shows, side by side."""

from proposal.book.blocks import Block, Callout, Page, SideBySide
from proposal.book.pages.behaviour_books import assumed, computed, troubles
from proposal.book.pages.behaviour_choice import choice, face
from proposal.book.pages.behaviour_days import ordinary, storyboard
from proposal.book.pages.behaviour_out import cranking, cut_offs, neglect, no_charge
from proposal.book.pages.behaviour_what_if import what_if
from proposal.book.pages.behaviour_year import care, cost, recharge, year
from proposal.book.pages.context import Book
from proposal.book.pages.lived import lived
from proposal.book.sentences import behaviour as words

ID = "behaviour"


def pages(book: Book) -> tuple[Page, ...]:
    """The page; none where no option's days were simulated."""
    options = lived(book)
    if not options:
        return ()
    parts = (neglect, no_charge, ordinary, cut_offs, cranking, recharge, care, year, cost, what_if, storyboard,
             troubles, assumed, computed)  # fmt: skip
    tolerance = book.writer.cell(options[0].at, "tolerance_v")
    blocks: list[Block] = [
        choice(book, options),
        SideBySide(tuple(face(book, option) for option in options)),
        Callout(
            book.text(words.UNCERTAIN_TITLE), (book.writer.words(words.UNCERTAIN, tolerance=tolerance),), "unknown"
        ),
    ]
    for part in parts:
        blocks += part(book, options)
    return (
        Page(
            ID, book.text(words.TITLE), ("client", "owner", "installer"), tuple(blocks), book.writer.words(words.LEAD)
        ),
    )
