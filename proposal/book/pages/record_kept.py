"""Photos, defects, change log and seals of a record."""

from collections.abc import Mapping

from proposal.book.blocks import (
    Block,
    Bullets,
    Callout,
    Fact,
    Facts,
    Heading,
    Page,
    Paragraph,
    Photo,
    Photos,
    Row,
    Strong,
    Words,
)
from proposal.book.pages.context import SEVERITY_TONES, Book, Faced, table
from proposal.book.pages.record_words import dated, finding_words, item_text, item_words, path_text, sum_cell
from proposal.book.photos import PublishedPhoto
from proposal.book.refs import Located, each
from proposal.book.sentences import names
from proposal.book.sentences import record_pages as words
from proposal.book.writer import joined, plain
from proposal.facts import SEVERITIES
from proposal.results.record_model import DefectRow, EntryRow, FindingName, PhotoRow, SealRow

SEAL_FILE = "tagmanifest-sha256.txt"
"""The file of an archive whose sum stands for all of it."""


def photos(book: Book, faced: Faced, published: Mapping[str, PublishedPhoto]) -> Page:
    """Photos by place, those that exist as files, and a table of all with their sums."""
    found = list(each(book.record.item.photos, f"{book.record.path}.photos"))
    blocks: list[Block] = []
    if not found:
        blocks.append(Paragraph(book.writer.words(words.PHOTOS_NONE)))
    if any(row.item.invented for row in found):
        every = all(row.item.invented for row in found)
        told = book.writer.words(words.PHOTOS_INVENTED if every else words.PHOTOS_INVENTED_SOME)
        blocks.append(Callout(book.text(words.PHOTO_INVENTED), (told,), "caution"))
    by_place: dict[str, list[tuple[int, Located[PhotoRow]]]] = {}
    for number, row in enumerate(found, 1):
        by_place.setdefault(row.item.place, []).append((number, row))
    for group, rows in enumerate(by_place.values(), 1):
        shown = tuple(
            _photo(book, faced, row, published[row.item.file], number)
            for number, row in rows
            if row.item.file in published
        )
        if shown:
            place = rows[0][1].item.place or book.text(words.PHOTO_PLACE_NONE)
            blocks += [Heading(place, 2, f"place.{group}"), Photos(shown)]
    if found:
        columns = book.columns(
            words.COLUMN_PHOTO, words.COLUMN_SHOWS, words.COLUMN_PLACE, words.COLUMN_TAKEN, words.COLUMN_MARKS,
            words.COLUMN_SUM,
        )  # fmt: skip
        rows_made = [_photo_row(book, faced, row, published) for row in found]
        blocks.append(table(book.text(words.PHOTOS_TABLE), columns, rows_made, dense=True))
    title, lead = book.text(words.PHOTOS_TITLE), book.writer.words(words.PHOTOS_LEAD)
    return Page("photos", title, ("owner", "surveyor", "installer"), tuple(blocks), lead)


def _photo(book: Book, faced: Faced, at: Located[PhotoRow], file: PublishedPhoto, number: int) -> Photo:
    row, writer = at.item, book.writer
    runs = [writer.words(words.PHOTO_PLAIN, title=row.title)]
    if row.item:
        named = item_words(book, faced, row.item, row.designation, row.item_title)
        runs = [writer.words(words.PHOTO_OF, item=named, title=row.title)]
    runs.append(writer.words(words.PHOTO_TAKEN, date=writer.cells.date(row.date), by=row.by))
    runs += [plain(Strong(mark)) for mark in _marks(book, row, file)]
    alt = book.text(words.PHOTO_ALT, title=row.title)
    return Photo(file.file, alt, joined(runs, " "), f"photo.{number}", file.width_px, file.height_px)


def _marks(book: Book, row: PhotoRow, published: PublishedPhoto | None) -> list[str]:
    marks = [words.PHOTO_HIDDEN] if row.hidden else []
    marks += [words.PHOTO_INVENTED] if row.invented else []
    marks += [words.PHOTO_LOCATED] if published is not None and published.located else []
    return [book.text(mark) for mark in marks]


def _photo_row(book: Book, faced: Faced, at: Located[PhotoRow], published: Mapping[str, PublishedPhoto]) -> Row:
    row = at.item
    marks = _marks(book, row, published.get(row.file))
    marks += [book.text(words.PHOTO_MISSING)] if row.file not in published else []
    taken = joined((dated(book, at, row.date), row.by))
    return Row(
        (
            plain(row.title),
            item_words(book, faced, row.item, row.designation, row.item_title) if row.item else plain(),
            plain(row.place),
            taken,
            joined(marks, " "),
            plain(sum_cell(row.sha256, f"{at.path}.sha256")),
        ),
        tone="caution" if row.invented else "plain",
    )


def defects(book: Book, faced: Faced) -> Page:
    """What is open, the worst first; what was mended, and how."""
    found = list(each(book.record.item.defects, f"{book.record.path}.defects"))
    still = sorted((d for d in found if not d.item.mended_on), key=lambda d: SEVERITIES.index(d.item.severity))
    done = [d for d in found if d.item.mended_on]
    blocks: list[Block] = [Heading(book.text(words.OPEN_HEADING), 2, "open")]
    if still:
        columns = book.columns(
            words.COLUMN_SEVERITY, (words.COLUMN_DEFECT, "wide"), words.COLUMN_WHERE, words.COLUMN_FOUND,
            words.COLUMN_MEND_BY, words.COLUMN_DOES,
        )  # fmt: skip
        blocks.append(table(book.text(words.OPEN_TABLE), columns, (_open(book, faced, d) for d in still)))
    else:
        blocks.append(Paragraph(book.writer.words(words.OPEN_NONE), "good"))
    blocks.append(Heading(book.text(words.MENDED_HEADING), 2, "mended"))
    if done:
        columns = book.columns(
            words.COLUMN_SEVERITY, (words.COLUMN_DEFECT, "wide"), words.COLUMN_WHERE, words.COLUMN_FOUND,
            words.COLUMN_MENDED, (words.COLUMN_HOW, "wide"),
        )  # fmt: skip
        blocks.append(table(book.text(words.MENDED_TABLE), columns, (_mended(book, faced, d) for d in done)))
    else:
        blocks.append(Paragraph(book.writer.words(words.MENDED_NONE)))
    title, lead = book.text(words.DEFECTS_TITLE), book.writer.words(words.DEFECTS_LEAD)
    return Page("defects", title, ("owner", "installer", "surveyor"), tuple(blocks), lead)


def _found_cells(book: Book, faced: Faced, at: Located[DefectRow]) -> tuple[Words, ...]:
    row = at.item
    return (
        plain(book.text(names.SEVERITIES[row.severity])),
        plain(row.what),
        item_words(book, faced, row.item, row.designation, row.item_title),
        dated(book, at, row.found_on, "found_entry"),
    )


def _open(book: Book, faced: Faced, at: Located[DefectRow]) -> Row:
    row = at.item
    day = book.writer.cells.date(row.mend_by) if row.mend_by else book.text(words.NO_DAY)
    return Row(
        (*_found_cells(book, faced, at), plain(day), plain(row.by or book.text(words.NOBODY))),
        anchor=f"defect.{row.id}",
        tone=SEVERITY_TONES[row.severity],
    )


def _mended(book: Book, faced: Faced, at: Located[DefectRow]) -> Row:
    row = at.item
    entry = book.writer.count_of(at, "mended_entry")
    date = book.writer.cells.date(row.mended_on)
    when = book.writer.words(words.MENDED_ON, date=date, by=row.mended_by, entry=entry)
    cells = (*_found_cells(book, faced, at), when, plain(row.mended_how))
    return Row(cells, anchor=f"defect.{row.id}", tone="good")


def log(book: Book, faced: Faced) -> Page:
    """The entries, the latest first, and the seals."""
    entries = list(each(book.record.item.entries, f"{book.record.path}.entries"))
    seals = list(each(book.record.item.seals, f"{book.record.path}.seals"))
    dates = {seal.item.number: seal.item.date for seal in seals}
    blocks: list[Block] = []
    for entry in reversed(entries):
        blocks += _entry(book, faced, entry, dates)
    blocks.append(Heading(book.text(words.SEALS_HEADING), 2, "seals"))
    if seals:
        columns = book.columns(
            (words.COLUMN_SEAL, "right"), words.COLUMN_DATE, words.COLUMN_NAME, (words.COLUMN_ENTRIES, "right"),
            (words.COLUMN_SEAL_SUM, "wide"),
        )  # fmt: skip
        blocks.append(
            table(book.text(words.SEALS_TABLE, file=SEAL_FILE), columns, (_seal(book, seal) for seal in seals))
        )
    else:
        blocks.append(Paragraph(book.writer.words(words.SEALS_NONE)))
    title, lead = book.text(words.LOG_TITLE), book.writer.words(words.LOG_LEAD)
    return Page("log", title, ("owner", "surveyor", "installer"), tuple(blocks), lead)


def _entry(book: Book, faced: Faced, at: Located[EntryRow], seals: Mapping[int, str]) -> list[Block]:
    row, writer = at.item, book.writer
    kind, date = book.text(words.ENTRY_KINDS[row.kind]), writer.cells.date(row.date)
    by = writer.words(words.ENTRY_BY_LICENCE, by=row.by, licence=row.licence) if row.licence else plain(row.by)
    changed = joined(path_text(book, faced, path) for path in row.changes)
    pairs = (
        (words.ENTRY_NUMBER, writer.count_of(at, "number")),
        (words.ENTRY_BY, by),
        (words.ENTRY_CHANGED, changed if changed.parts else plain(book.text(words.ENTRY_NOTHING))),
        (words.ENTRY_NEW, _findings(book, faced, row.new)),
        (words.ENTRY_GONE, _findings(book, faced, row.gone)),
        (words.ENTRY_WITH, _with(book, at)),
        (words.ENTRY_DANGERS, writer.count_of(at, "dangers_count")),
        (words.ENTRY_SEAL, _closed_by(book, at, seals)),
        (words.ENTRY_FILE, plain(row.file)),
        (words.ENTRY_SUM, plain(sum_cell(row.sha256, f"{at.path}.sha256"))),
    )
    heading = book.text(words.ENTRY_HEADING, kind=kind, date=date, title=row.title)
    blocks: list[Block] = [Heading(heading, 2, f"entry.{row.number}")]
    if row.notes:
        blocks.append(Bullets(tuple(plain(note) for note in row.notes)))
    return [*blocks, Facts(tuple(Fact(book.text(name), said) for name, said in pairs))]


def _with(book: Book, at: Located[EntryRow]) -> Words:
    """How many readings, photos and defects an entry brought, each that there is."""
    record, number = book.record.item, at.item.number
    groups = (
        (words.ENTRY_PHOTOS, "photos", "entry", [photo.entry for photo in record.photos]),
        (words.ENTRY_DEFECTS, "defects", "found_entry", [defect.found_entry for defect in record.defects]),
        (words.ENTRY_MENDED, "defects", "mended_entry", [defect.mended_entry for defect in record.defects]),
    )
    runs = []
    if count := at.item.readings_count:
        cell = book.writer.cells.count(count, f"{at.path}.readings_count")
        runs.append(book.writer.several(words.ENTRY_READINGS, count, count=cell))
    for message, rows, field, found in groups:
        if count := found.count(number):
            cell = book.writer.cells.count(count, f"{book.record.path}.{rows}[{field}={number}].length")
            runs.append(book.writer.several(message, count, count=cell))
    return joined(runs) if runs else plain(book.text(words.ENTRY_NOTHING))


def _findings(book: Book, faced: Faced, found: tuple[FindingName, ...]) -> Words:
    runs = [
        book.writer.words(
            words.FINDING_AT, title=finding_words(book, faced, name), item=item_text(book, faced, name.item)
        )
        for name in found
    ]
    return joined(runs, "; ") if runs else plain(book.text(words.ENTRY_NONE))


def _closed_by(book: Book, at: Located[EntryRow], seals: Mapping[int, str]) -> Words:
    number = at.item.seal
    if number is None:
        return plain(book.text(words.ENTRY_OPEN))
    cell = book.writer.count_of(at, "seal")
    if number not in seals:
        return book.writer.words(words.ENTRY_SEAL_NUMBER, seal=cell)
    return book.writer.words(words.ENTRY_SEAL_DATED, seal=cell, date=book.writer.cells.date(seals[number]))


def _seal(book: Book, at: Located[SealRow]) -> Row:
    itself = book.text(words.SEAL_ITSELF, file=SEAL_FILE)
    return Row(
        (
            book.writer.count_of(at, "number"),
            plain(book.writer.cells.date(at.item.date)),
            plain(at.item.name),
            book.writer.count_of(at, "entries_count"),
            plain(sum_cell(at.item.sha256, f"{at.path}.sha256") if at.item.sha256 else itself),
        ),
        anchor=f"seal.{at.item.number}",
    )
