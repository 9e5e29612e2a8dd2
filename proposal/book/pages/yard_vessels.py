"""Page: all vessels of a yard, one row each, and the figures that need somebody."""

from collections.abc import Iterator

from proposal.book.blocks import Block, Callout, Heading, KeyFigure, KeyFigures, Page, Paragraph
from proposal.book.language import Several
from proposal.book.pages.yard_context import VESSELS, Berth, YardBook
from proposal.book.sentences import names
from proposal.book.sentences import yard as words
from proposal.book.tables import Row, Tone, Words
from proposal.book.writer import joined, plain
from proposal.results.yard_model import YardRow

TONES: dict[str, Tone] = {"do_not_energise": "danger", "mistakes": "unknown"}


def page(book: YardBook) -> Page:
    """Key figures, then the table."""
    blocks: list[Block] = [KeyFigures(tuple(_figures(book)))]
    if not book.berths:
        blocks = [Callout(book.text(words.VESSELS_TITLE), (plain(book.text(words.VESSELS_NONE)),), "caution")]
    else:
        columns = book.columns(
            words.COLUMN_VESSEL, words.COLUMN_NUMBER, words.COLUMN_STATUS, words.COLUMN_OPEN, words.COLUMN_TESTS,
            words.COLUMN_UPKEEP, words.COLUMN_RECORD, words.COLUMN_OPTIONS, (words.COLUMN_PRICE, "right"),
            words.COLUMN_KIND, words.COLUMN_RULES, words.COLUMN_FOLDER,
        )  # fmt: skip
        rows = (_row(book, berth) for berth in book.berths)
        blocks.append(book.table(book.text(words.VESSELS_TABLE), columns, rows, dense=True))
    blocks += [Heading(book.text(words.FILES_HEADING), 2, "files"), Paragraph(plain(book.text(words.FILES)))]
    lead = plain(book.text(words.VESSELS_LEAD))
    return Page(VESSELS, book.text(words.VESSELS_TITLE), ("installer", "surveyor"), tuple(blocks), lead)


def _figures(book: YardBook) -> Iterator[KeyFigure]:
    rows = [berth.row for berth in book.berths]
    fuses = [(f, r) for r in rows for f in r.fuses if r.chosen]
    late = book.overdue
    stopped = sum(r.status == "do_not_energise" for r in rows)
    under = sum(f.stands == "under" for f, _ in fuses)
    wrong = sum(r.status == "mistakes" for r in rows)
    overdue = sum(map(len, late.values()))

    def counted(number: int, title: str, note: str, bad: Tone) -> KeyFigure:
        return KeyFigure(book.text(title), plain(book.count(number)), plain(note), bad if number else "good")

    fitted = book.count(sum(bool(r.chosen) for r in rows))
    proposed = book.count(sum(r.status == "proposal" for r in rows))
    note = book.text(words.FIGURE_VESSELS_NOTE, fitted=fitted, proposed=proposed)
    yield KeyFigure(book.text(words.FIGURE_VESSELS), plain(book.count(len(rows))), plain(note))
    yield counted(stopped, words.FIGURE_STOPPED, book.text(words.FIGURE_STOPPED_NOTE), "danger")
    note = book.text(words.FIGURE_FUSES_NOTE, unknown=book.count(len(fuses) - under))
    yield counted(under, words.FIGURE_FUSES, note, "danger")
    note = book.several(words.FIGURE_OVERDUE_NOTE, len(late)) if late else book.text(words.FIGURE_OVERDUE_NONE)
    yield counted(overdue, words.FIGURE_OVERDUE, note, "caution")
    yield counted(wrong, words.FIGURE_MISTAKES, book.text(words.FIGURE_MISTAKES_NOTE), "unknown")


def _row(book: YardBook, berth: Berth) -> Row:
    row = berth.row
    cells = (
        plain(row.name or berth.vessel.path),
        _number(book, berth),
        plain(_status(book, row)),
        plain(_findings(book, row)),
        plain(_tests(book, row)),
        plain(_upkeep(book, berth)),
        plain(_record(book, row)),
        plain("; ".join(book.text(words.OPTION_FITTED, letter=o.letter, title=o.title) for o in row.options)),
        _price(book, berth),
        plain(book.text(names.KINDS_OF_VESSEL[row.kind]) if row.kind in names.KINDS_OF_VESSEL else row.kind),
        plain(row.rule_title),
        plain(berth.vessel.path),
    )
    tone: Tone = TONES.get(row.status, "plain")
    if tone == "plain" and berth.number in book.overdue:
        tone = "caution"
    return Row(cells, berth.anchor, tone)


def _number(book: YardBook, berth: Berth) -> Words:
    row = berth.row
    if not row.number:
        return plain()
    number = book.writer.cells.text(row.number, f"{berth.path}.number")
    return book.writer.words(words.NUMBER, number=number, revision=row.revision)


def _status(book: YardBook, row: YardRow) -> str:
    status = book.text(words.STATUS[row.status])
    alone = row.archives and not row.number and row.status != "mistakes"
    return book.text(words.ARCHIVE_ALONE, status=status) if alone else status


def _findings(book: YardBook, row: YardRow) -> str:
    """Open findings by severity, points undecided, and how many are accepted."""
    if not row.number:
        return ""
    opened = [f for f in row.findings if not f.accepted_by]
    counts: list[tuple[Several, int]] = [
        (form, sum(f.severity == severity and f.outcome == "fires" for f in opened))
        for severity, form in (("danger", names.DANGERS), ("fault", names.FAULTS), ("advice", names.ADVICE))
    ]
    counts.append((names.UNDECIDED_COUNT, sum(f.outcome == "undecided" for f in opened)))
    told = [book.several(form, count) for form, count in counts if count]
    accepted = len(row.findings) - len(opened)
    told += [book.text(words.ACCEPTED, count=book.count(accepted))] if accepted else []
    return ", ".join(told) or book.text(words.NOTHING)


def _tests(book: YardBook, row: YardRow) -> str:
    counts = (
        (words.FAILED, sum(t.outcome == "fail" for t in row.tests)),
        (words.MISSING, sum(t.outcome == "missing" for t in row.tests)),
        (words.DEFECTS, len(row.defects)),
    )
    told = ", ".join(book.several(form, count) for form, count in counts if count)
    return told or (book.text(words.NOTHING) if row.chosen else "")


def _upkeep(book: YardBook, berth: Berth) -> str:
    late = len(book.overdue.get(berth.number, ()))
    ahead = min((t.due_on for t in berth.row.upkeep if t.due_on >= book.yard.today), default="")
    told = [book.text(words.OVERDUE, count=book.count(late))] if late else []
    told += [book.text(words.NEXT_DUE, date=book.date(ahead))] if ahead else []
    return ", ".join(told)


def _record(book: YardBook, row: YardRow) -> str:
    counts = ((words.ENTRIES, row.entries_count), (words.SEALS, len(row.seals)), (words.ARCHIVES, len(row.archives)))
    return ", ".join(book.several(form, count) for form, count in counts if count)


def _price(book: YardBook, berth: Berth) -> Words:
    row = berth.row
    prices = [
        (o.letter, book.money(o.price, row.currency, f"{berth.path}.options[{n}].price"))
        for n, o in enumerate(row.options)
    ]
    if len(prices) == 1:
        return Words((prices[0][1],))
    return joined((book.writer.words(words.PRICE_OF, letter=letter, price=price) for letter, price in prices), "; ")
