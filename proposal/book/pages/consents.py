"""Consents and limits: whose word is needed and whether it is there, where the mains side begins, what it rests on."""

from proposal.book.blocks import Block, Fact, Facts, Heading, Link, Page, Paragraph, Row, Tone, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import client, consents
from proposal.book.writer import joined, plain
from proposal.results.model import ConsentResult

TONES: dict[str, Tone] = {"there": "good", "asked": "caution", "missing": "unknown"}


def page(book: Book) -> Page:
    """Short: a table of consents, a paragraph on the mains side, and the facts of survey and assumptions."""
    blocks = [*_needed(book), *_others(book), *_mains(book), *_basis(book)]
    return Page(
        "consents", book.text(consents.TITLE), ("client", "installer", "surveyor"), tuple(blocks),
        book.writer.words(book.either(consents.LEAD, consents.LEAD_RECORD)),
    )  # fmt: skip


def _needed(book: Book) -> list[Block]:
    """One row for each consent, with the options that need it."""
    needed: dict[str, list[tuple[Faced, Located[ConsentResult]]]] = {}
    for faced in book.options:
        for entry in each(faced.option.consents, f"{faced.path}.consents"):
            needed.setdefault(entry.item.code, []).append((faced, entry))
    heading = Heading(book.text(consents.NEEDED_HEADING), 2, "needed")
    if not needed:
        return [heading, Paragraph(book.writer.words(consents.NEEDED_NONE))]
    rows = [_row(book, entries) for entries in needed.values()]
    letters = () if book.recorded else (consents.COLUMN_OPTIONS,)
    columns = book.columns(consents.COLUMN_WHO, (consents.COLUMN_WHAT, "wide"), *letters, consents.COLUMN_PAPER)
    wanting = book.either(consents.NEEDED_WANTING, consents.NEEDED_WANTING_RECORD)
    there = all(entries[0][1].item.state == "there" for entries in needed.values())
    said = book.writer.words(consents.NEEDED_ALL if there else wanting)
    return [
        heading,
        Paragraph(said, "good" if there else "caution"),
        table(book.text(consents.NEEDED_TABLE), columns, rows),
    ]


def _row(book: Book, entries: list[tuple[Faced, Located[ConsentResult]]]) -> Row:
    faced, first = entries[0]
    text = consents.CONSENTS.get(first.item.code, consents.OTHER)
    letters = () if book.recorded else (joined((plain(other.letter) for other, _ in entries), ", "),)
    what = book.writer.fact(text.what, first.item.values, f"{first.path}.values", faced.items.naming)
    return Row(
        (plain(first.item.who or book.text(text.who)), what, *letters, _paper(book, first.item)),
        tone=TONES[first.item.state],
    )


def _paper(book: Book, entry: ConsentResult) -> Words:
    if entry.state != "there":
        return plain(book.text(consents.STATES[entry.state]))
    return _given(book, entry.given, entry.where)


def _given(book: Book, given: str, where: str) -> Words:
    there = book.writer.words(consents.STATE_THERE, date=book.writer.cells.date(given))
    return joined((there, book.writer.words(consents.STATE_PLACE, where=where)), "; ") if where else there


def _others(book: Book) -> list[Block]:
    papers = book.results.limits.papers
    if not papers:
        return []
    rows = [
        Row(
            (
                plain(paper.who),
                plain(paper.what),
                _given(book, paper.given, paper.where) if paper.given else plain(book.text(consents.STATES["asked"])),
            ),
            tone=TONES["there" if paper.given else "asked"],
        )
        for paper in papers
    ]
    columns = book.columns(consents.COLUMN_WHO, (consents.COLUMN_WHAT, "wide"), consents.COLUMN_PAPER)
    return [
        Heading(book.text(consents.OTHER_HEADING), 3, "papers"),
        table(book.text(consents.OTHER_TABLE), columns, rows),
    ]


def _mains(book: Book) -> list[Block]:
    limits, words = book.results.limits, book.writer.words
    heading = Heading(book.text(consents.MAINS_HEADING), 2, "mains")
    if not limits.mains_aboard:
        return [heading, Paragraph(words(consents.MAINS_NONE))]
    by, begins_at = limits.mains_by, limits.mains_begins_at
    if by and begins_at:
        said = Paragraph(words(consents.MAINS_BEGINS, begins_at=begins_at, by=by))
    elif begins_at:
        said = Paragraph(words(consents.MAINS_BEGINS_ONLY, begins_at=begins_at), "unknown")
    elif by:
        said = Paragraph(words(consents.MAINS_BY_ONLY, by=by), "unknown")
    else:
        said = Paragraph(words(consents.MAINS_UNKNOWN), "unknown")
    return [heading, said, Paragraph(words(consents.MAINS_RULE))]


def _basis(book: Book) -> list[Block]:
    survey, writer = book.results.survey, book.writer
    nothing = plain(book.text(consents.BASIS_NOTHING))
    items = book.options[0].items
    surveyed = plain(book.text(consents.BASIS_NOT_SURVEYED))
    if survey.date:
        date = writer.cells.date(survey.date)
        surveyed = writer.words(consents.BASIS_SURVEYED_BY, date=date, by=survey.by) if survey.by else plain(date)
    stays = joined((plain(items.phrase(item)) for item, _, _ in survey.stays), "; ")
    measured = joined(
        (writer.words(consents.BASIS_MEASURED_ONE, what=what, reading=reading) for what, reading, _ in survey.measured),
        "; ",
    )
    unknown = joined((plain(what) for what, _ in survey.unknown), "; ")
    assumed = joined((_count(book, f, "assumptions", "numbers", "assumed") for f in book.options), "; ")
    undecided = joined((_count(book, f, "findings[outcome=undecided]", "findings") for f in book.options), "; ")
    pairs = (
        (consents.BASIS_SURVEYED, surveyed),
        (consents.BASIS_STAYS, stays),
        (consents.BASIS_MEASURED, measured),
        (consents.BASIS_UNKNOWN, unknown),
        (consents.BASIS_ASSUMED, assumed),
        (consents.BASIS_UNDECIDED, undecided),
    )
    facts = tuple(Fact(book.text(name), words if words.parts else nothing) for name, words in pairs)
    numbers = Link(book.text(client.NUMBERS_LINK), "numbers")
    return [
        Heading(book.text(consents.BASIS_HEADING), 2, "basis"),
        Facts(facts),
        Paragraph(writer.words(consents.BASIS_NOTE, numbers=numbers)),
    ]


def _count(book: Book, faced: Faced, path: str, target: str, anchor: str = "") -> Words:
    """How many entries of a list an option has, linked to where they stand."""
    wanted = path.partition("=")[2].rstrip("]")
    entries = faced.option.assumptions if path == "assumptions" else faced.option.findings
    count = sum(1 for entry in entries if not wanted or getattr(entry, "outcome", "") == wanted)
    cell = book.writer.cells.count(count, f"{faced.path}.{path}.length")
    title = book.either(consents.BASIS_OPTION_LINK, consents.BASIS_FITTED_LINK)
    link = Link(book.text(title, letter=faced.letter), target, anchor or faced.anchor("findings"))
    return book.writer.words(consents.BASIS_OPTION, option=link, count=cell)
