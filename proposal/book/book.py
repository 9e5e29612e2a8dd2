"""Results → book: cover and pages in reading order."""

from collections.abc import Sequence

from proposal.book import blocks
from proposal.book.opening import context_of
from proposal.book.pages import (
    behaviour,
    cables,
    cautions,
    charts,
    codes,
    compare,
    consents,
    failures,
    findings,
    index,
    ladder,
    numbers,
    option,
    price,
    switching_plan,
    tests,
)
from proposal.book.pages.context import Book
from proposal.book.pages.index import three_cautions
from proposal.book.sentences import cautions as caution_words
from proposal.book.sentences import names, renderers, surveyor
from proposal.book.writer import joined, plain
from proposal.results.model import Results


def make_book(results: Results, drawings: Sequence[str]) -> blocks.Book:
    """All pages of a proposal.

    Parameters: results; drawings, the file names that exist (`A-single-line.svg`, `A-single-line-2.svg`,
    `A-picture.svg`, `A-ladder.svg`, in any case of the letter). Numbers are written in the locale and currency of the
    results. Same results, same book.
    """
    book = context_of(results, drawings)
    pages = (
        index.page(book),
        compare.page(book),
        *behaviour.pages(book),
        *(option.page(book, faced) for faced in book.options),
        price.page(book),
        cables.page(book),
        charts.page(book),
        ladder.page(book),
        failures.page(book),
        switching_plan.page(book),
        tests.sheet(book),
        findings.page(book),
        cautions.page(book),
        consents.page(book),
        codes.page(book),
        numbers.page(book),
        *behaviour.basis(book),
    )
    return blocks.Book(_cover(book), pages, book.writer.language.tag, results.vessel.date)


def _cover(book: Book) -> blocks.Cover:
    vessel, writer = book.results.vessel, book.writer
    system_v = writer.cell(book.vessel, "system_v")
    if vessel.description:
        subtitle = book.text(surveyor.BOOK_SUBTITLE, system_v=system_v.text, description=vessel.description)
    else:
        subtitle = book.text(surveyor.BOOK_SUBTITLE_PLAIN, system_v=system_v.text)
    date = writer.cells.date(vessel.date)
    kind = book.text(names.KINDS_OF_VESSEL[vessel.kind])
    options = joined(
        (book.text(surveyor.COVER_OPTION, letter=f.letter, title=f.option.title) for f in book.options), " · "
    )
    facts = [
        (
            surveyor.COVER_NUMBER,
            writer.words(surveyor.COVER_NUMBER_TEXT, number=vessel.number, revision=vessel.revision),
        ),
        (surveyor.COVER_DATE, plain(date)),
        (surveyor.COVER_VALID, writer.one(book.vessel, "valid_days")),
        (surveyor.COVER_SYSTEM, writer.words(surveyor.COVER_SYSTEM_TEXT, system_v=system_v, kind=kind)),
        (surveyor.COVER_RULES, joined((vessel.rule_family_title, vessel.rule_edition), ": ")),
        (surveyor.COVER_OPTIONS, options),
    ]
    contact = joined((text for text in (vessel.client_contact, vessel.installer_contact) if text), " · ")
    if contact.parts:
        facts.append((surveyor.COVER_CONTACT, contact))
    return blocks.Cover(
        title=vessel.name,
        subtitle=subtitle,
        prepared_for=vessel.client,
        prepared_by=vessel.installer,
        licence=vessel.installer_licence,
        facts=tuple(blocks.Fact(book.text(name), words) for name, words in facts),
        cautions=three_cautions(book),
        deference=book.text(caution_words.DEFERENCE),
        labels=tuple((key, book.text(words)) for key, words in renderers.LABELS.items()),
        running=book.text(surveyor.RUNNING, number=vessel.number, revision=vessel.revision, date=date),
    )
