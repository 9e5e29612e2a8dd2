"""Page 8: code notes of the rule family, and the topics of the test sheet."""

from proposal.book.blocks import Block, Column, Heading, Page, Paragraph, Row, Tone
from proposal.book.pages.context import Book, table
from proposal.book.sentences import names, surveyor
from proposal.book.writer import plain
from proposal.results.model import CodeNoteResult

TONES: dict[str, Tone] = {"passed": "good", "undecided": "unknown", "to_be_tested": "plain"}
WORST_FIRST = ("failed", "undecided", "passed", "to_be_tested")


def page(book: Book) -> Page:
    """Topics tested by calculation with the outcome of each option; topics for the test sheet."""
    vessel = book.results.vessel
    notes = list({note.id: note for faced in book.options for note in faced.option.code_notes}.values())
    outcomes: dict[str, list[str | None]] = {
        note.id: [next((n.outcome for n in f.option.code_notes if n.id == note.id), None) for f in book.options]
        for note in notes
    }
    tested = [note for note in notes if any(o not in (None, "to_be_tested") for o in outcomes[note.id])]
    sheet = [note for note in notes if note not in tested]
    blocks: list[Block] = [Paragraph(book.writer.words(surveyor.CODES_READ))]
    if tested:
        blocks.append(Heading(book.text(surveyor.CODES_TESTED), 2, "tested"))
        blocks.append(_tested(book, tested, outcomes))
    if sheet:
        blocks += [
            Heading(book.text(surveyor.CODES_SHEET), 2, "sheet"),
            Paragraph(book.writer.words(surveyor.CODES_SHEET_NOTE)),
            _sheet(book, sheet),
        ]
    lead = book.writer.words(surveyor.CODES_LEAD, family=vessel.rule_family_title, edition=vessel.rule_edition)
    return Page("codes", book.text(surveyor.CODES_TITLE), ("installer", "surveyor"), tuple(blocks), lead)


def _tested(book: Book, notes: list[CodeNoteResult], outcomes: dict[str, list[str | None]]) -> Block:
    rows = []
    for note in notes:
        found = [outcome for outcome in outcomes[note.id] if outcome is not None]
        worst = min(found, key=WORST_FIRST.index)
        tone = _failed_tone(book, note) if worst == "failed" else TONES[worst]
        words = (plain(book.text(names.OUTCOMES[o])) if o is not None else plain() for o in outcomes[note.id])
        rows.append(Row((plain(note.topic), plain(note.text), *words, book.source(note.citation)), tone=tone))
    letters = tuple(Column(book.text(surveyor.COLUMN_OPTION, letter=f.letter)) for f in book.options)
    topic, asks, source = book.columns(surveyor.COLUMN_TOPIC, (surveyor.COLUMN_ASKS, "wide"), surveyor.COLUMN_SOURCE)
    return table(book.text(surveyor.CODES_TESTED_TABLE), (topic, asks, *letters, source), rows)


def _failed_tone(book: Book, note: CodeNoteResult) -> Tone:
    """Danger where a check of that severity fired, else caution."""
    fired = {c.severity for f in book.options for c in f.option.checks if c.id in note.checks and c.fired}
    return "danger" if "danger" in fired else "caution"


def _sheet(book: Book, notes: list[CodeNoteResult]) -> Block:
    rows = [Row((plain(note.topic), plain(note.text), book.source(note.citation), plain())) for note in notes]
    columns = book.columns(
        surveyor.COLUMN_TOPIC, (surveyor.COLUMN_ASKS, "wide"), surveyor.COLUMN_SOURCE, surveyor.COLUMN_TICK
    )
    return table(book.text(surveyor.CODES_SHEET_TABLE), columns, rows)
