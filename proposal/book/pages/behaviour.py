"""Pages of the days: which option to take and why, then all that the simulation shows; and what that rests on."""

from proposal.book.blocks import Block, Callout, Link, Page, Paragraph, SideBySide
from proposal.book.pages.behaviour_books import assumed, computed, troubles
from proposal.book.pages.behaviour_choice import choice, face
from proposal.book.pages.behaviour_days import ordinary, storyboard
from proposal.book.pages.behaviour_out import cranking, cut_offs, neglect, no_charge
from proposal.book.pages.behaviour_what_if import what_if
from proposal.book.pages.behaviour_year import care, cost, recharge, spreads, year
from proposal.book.pages.context import Book
from proposal.book.pages.lived import lived
from proposal.book.sentences import behaviour as words

ID, BASIS_ID = "behaviour", "behaviour-basis"


def pages(book: Book) -> tuple[Page, ...]:
    """The page with the answer; none where no option's days were simulated."""
    options = lived(book)
    if not options:
        return ()
    parts = [neglect, no_charge, ordinary, cut_offs, cranking, recharge, care, year, what_if, troubles]
    if not book.recorded:
        parts.insert(parts.index(what_if), cost)
    tolerance = book.writer.cell(options[0].at, "tolerance_v")
    meaning = book.writer.words(words.UNCERTAIN, tolerance=tolerance)
    blocks: list[Block] = [
        choice(book, options),
        SideBySide(tuple(face(book, option) for option in options)),
        Callout(book.text(words.UNCERTAIN_TITLE), (meaning,), "unknown"),
    ]
    for part in parts:
        blocks += part(book, options)
    link = Link(book.text(words.BASIS_LINK), BASIS_ID)
    blocks.append(Paragraph(book.writer.words(words.BASIS_SEE, link=link)))
    blocks += storyboard(book, options)  # on paper it ends the chapter, on pages of its own size
    proposed = words.LEAD if any(o.starts for o in options) else words.LEAD_NO_ENGINE
    lead = book.writer.words(book.either(proposed, words.LEAD_RECORD))
    return (Page(ID, book.text(words.TITLE), ("client", "owner", "installer"), tuple(blocks), lead),)


def basis(book: Book) -> tuple[Page, ...]:
    """The page at the end with long tables: many years, assumptions, how it was computed."""
    options = lived(book)
    if not options:
        return ()
    blocks = [block for part in (spreads, assumed, computed) for block in part(book, options)]
    lead = book.writer.words(words.BASIS_LEAD)
    return (Page(BASIS_ID, book.text(words.BASIS_TITLE), ("installer", "surveyor"), tuple(blocks), lead),)
