"""Results with a record → the as-built book: cover and pages in reading order."""

from collections.abc import Mapping, Sequence

from proposal.book import blocks
from proposal.book.opening import context_of
from proposal.book.pages import (
    aboard,
    behaviour,
    cables,
    cautions,
    charts,
    codes,
    consents,
    difference,
    emergency,
    failures,
    findings,
    ladder,
    numbers,
    option,
    record_fitted,
    record_index,
    record_kept,
    record_protection,
    record_verdict,
    switching_plan,
    tests,
    upkeep,
)
from proposal.book.pages.context import Book
from proposal.book.pages.index import three_cautions
from proposal.book.photos import PublishedPhoto
from proposal.book.refs import Located
from proposal.book.sentences import cautions as caution_words
from proposal.book.sentences import names, renderers, surveyor
from proposal.book.sentences import record as words
from proposal.book.writer import joined
from proposal.results.model import Results


def make_record_book(results: Results, drawings: Sequence[str], photos: Mapping[str, PublishedPhoto]) -> blocks.Book:
    """All pages of an as-built record.

    Parameters: results with their record; drawings, as in `make_book`; photos as published, by the name of their file
    in the project: one that is missing is named, not shown. Same results and photos, same book.
    Raises ValueError for results without a record.
    """
    book = context_of(results, drawings)
    (faced,) = book.options
    found = book.record.item.difference
    differs = (difference.page(book, Located(found, f"{book.record.path}.difference")),) if found is not None else ()
    upkept = (upkeep.page(book),) if book.record.item.upkeep else ()
    measured = book.record.item.tests
    tested = (tests.page(book, measured, f"{book.record.path}.tests"),) if measured else ()
    anchors = tuple(((t.test, t.item, t.end), tests.anchor_of(t)) for t in measured)
    targets = record_verdict.Targets(
        tests=tests.PAGE_ID if tested else "",
        test_anchors=anchors,
        emergency=emergency.PAGE_ID,
        upkeep=upkeep.PAGE_ID if upkept else "",
        difference=differs[0].id if differs else "",
    )
    pages = (
        record_index.page(book, faced, targets),
        record_fitted.page(book, faced, targets.difference),
        *differs,
        record_protection.page(book, faced),
        *tested,
        record_kept.defects(book, faced),
        record_kept.log(book, faced),
        record_kept.photos(book, faced, photos),
        emergency.page(book),
        *upkept,
        aboard.page(book),
        option.page(book, faced),
        *behaviour.pages(book),
        cables.page(book),
        charts.page(book),
        ladder.page(book),
        failures.page(book),
        switching_plan.page(book),
        findings.page(book),
        cautions.page(book),
        consents.page(book),
        codes.page(book),
        *record_fitted.parts(book, faced),
        numbers.page(book),
        *behaviour.basis(book),
    )
    return blocks.Book(_cover(book), pages, book.writer.language.tag, book.record.item.latest_date)


def _cover(book: Book) -> blocks.Cover:
    vessel, record, writer = book.results.vessel, book.record.item, book.writer
    (faced,) = book.options
    system_v = writer.cell(book.vessel, "system_v")
    latest = writer.cells.date(record.latest_date)
    if vessel.description:
        subtitle = book.text(words.SUBTITLE, system_v=system_v.text, description=vessel.description)
    else:
        subtitle = book.text(words.SUBTITLE_PLAIN, system_v=system_v.text)
    count = writer.cells.count(len(record.entries), f"{book.record.path}.entries.length")
    first = record.entries[0] if record.entries else None
    handed = writer.words(
        words.COVER_BY_ON, date=writer.cells.date(record.date), by=first.by if first is not None else vessel.installer
    )
    built = writer.words(surveyor.COVER_OPTION, letter=faced.letter, title=faced.option.title)
    kind = book.text(names.KINDS_OF_VESSEL[vessel.kind])
    facts = [
        (words.COVER_RECORD, writer.words(surveyor.COVER_NUMBER_TEXT, number=vessel.number, revision=vessel.revision)),
        (words.COVER_ENTRIES, writer.words(words.COVER_ENTRIES_TEXT, count=count, date=latest)),
        (words.COVER_HANDED_OVER, handed),
        (words.COVER_AGREED, record_index.agreed_words(book)),
        (words.COVER_OPTION, built),
        (surveyor.COVER_SYSTEM, writer.words(surveyor.COVER_SYSTEM_TEXT, system_v=system_v, kind=kind)),
        (surveyor.COVER_RULES, joined((vessel.rule_family_title, vessel.rule_edition), ": ")),
    ]
    contact = joined((text for text in (vessel.client_contact, vessel.installer_contact) if text), " · ")
    if contact.parts:
        facts.append((surveyor.COVER_CONTACT, contact))
    todo = record_verdict.first_words(book)
    return blocks.Cover(
        title=vessel.name,
        subtitle=subtitle,
        prepared_for=vessel.client,
        prepared_by=vessel.installer,
        licence=vessel.installer_licence,
        facts=tuple(blocks.Fact(book.text(name), said) for name, said in facts),
        cautions=three_cautions(book),
        deference=book.text(caution_words.DEFERENCE),
        labels=tuple((key, book.text(said)) for key, said in (renderers.LABELS | renderers.RECORD_LABELS).items()),
        running=book.text(words.RUNNING, number=vessel.number, date=latest),
        warning=book.text(words.WARNING) if todo else "",
        warning_more=book.text(words.WARNING_MORE, first=todo) if todo else "",
    )
