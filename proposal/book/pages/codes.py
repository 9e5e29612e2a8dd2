"""Page 8: code notes of the rule family with outcome and evidence, and the topics of the test sheet."""

from proposal.book.blocks import Block, Column, Heading, Page, Paragraph, Row, Tone, Words
from proposal.book.pages.context import Book, table
from proposal.book.pages.telling import finding_text
from proposal.book.refs import Located, each
from proposal.book.sentences import names, surveyor
from proposal.book.writer import plain
from proposal.results.model import CodeNoteResult

TONES: dict[str, Tone] = {
    "passed": "good", "undecided": "unknown", "to_be_tested": "plain", "not_applicable": "plain",
}  # fmt: skip
WORST_FIRST = ("failed", "undecided", "passed", "to_be_tested", "not_applicable")
OPEN = ("undecided", "to_be_tested")

Notes = tuple[Located[CodeNoteResult] | None, ...]
"""One topic, option by option."""


def page(book: Book) -> Page:
    """Topics tested by calculation, outcome and evidence option by option; the test sheet; what does not apply."""
    vessel = book.results.vessel
    by_option = [{n.item.id: n for n in each(f.option.code_notes, f"{f.path}.code_notes")} for f in book.options]
    every = dict.fromkeys(note_id for notes in by_option for note_id in notes)
    topics: list[Notes] = [tuple(notes.get(note_id) for notes in by_option) for note_id in every]
    tested = [topic for topic in topics if _worst(topic) in ("failed", "undecided", "passed")]
    sheet = [topic for topic in topics if any(note is not None and note.item.outcome in OPEN for note in topic)]
    apart = [topic for topic in topics if _worst(topic) == "not_applicable"]
    blocks: list[Block] = [Paragraph(book.writer.words(surveyor.CODES_READ))]
    if tested:
        blocks += [Heading(book.text(surveyor.CODES_TESTED), 2, "tested"), _tested(book, tested)]
    if sheet:
        blocks += [
            Heading(book.text(surveyor.CODES_SHEET), 2, "sheet"),
            Paragraph(book.writer.words(surveyor.CODES_SHEET_NOTE)),
            _sheet(book, sheet),
        ]
    if apart:
        blocks += [Heading(book.text(surveyor.CODES_APART), 2, "apart"), _apart(book, apart)]
    lead = book.writer.words(
        surveyor.CODES_LEAD, family=vessel.rule_family_title, applies_to=vessel.rule_applies_to,
        edition=vessel.rule_edition,
    )  # fmt: skip
    return Page("codes", book.text(surveyor.CODES_TITLE), ("installer", "surveyor"), tuple(blocks), lead)


def _worst(topic: Notes) -> str:
    return min((note.item.outcome for note in topic if note is not None), key=WORST_FIRST.index)


def _first(topic: Notes) -> CodeNoteResult:
    return next(note.item for note in topic if note is not None)


def _tested(book: Book, topics: list[Notes]) -> Block:
    rows = []
    for topic in topics:
        note, worst = _first(topic), _worst(topic)
        tone = _failed_tone(book, note) if worst == "failed" else TONES[worst]
        stands = (_stands(book, one) for one in topic)
        rows.append(
            Row(
                (plain(note.topic), plain(note.text), *stands, _checks(book, note), book.source(note.citation)),
                tone=tone,
            )
        )
    title = book.either(surveyor.COLUMN_OPTION, surveyor.COLUMN_AS_FITTED)
    letters = tuple(Column(book.text(title, letter=f.letter)) for f in book.options)
    topic_column, asks, tests, source = book.columns(
        surveyor.COLUMN_TOPIC,
        (surveyor.COLUMN_ASKS, "wide"),
        (surveyor.COLUMN_CHECKED_FOR, "wide"),
        surveyor.COLUMN_SOURCE,
    )
    columns = (topic_column, asks, *letters, tests, source)
    return table(book.text(surveyor.CODES_TESTED_TABLE), columns, rows)


def _stands(book: Book, note: Located[CodeNoteResult] | None) -> Words:
    """Outcome and why, for one option."""
    if note is None:
        return plain()
    outcome = book.text(names.OUTCOMES[note.item.outcome])
    looked = book.writer.count_of(note, "looked_count")
    because = book.writer.words(names.BECAUSE[note.item.because], looked=looked)
    return book.writer.words(surveyor.CODES_STANDS, outcome=outcome, because=because)


def _checks(book: Book, note: CodeNoteResult) -> Words:
    """What the checks of a topic look for."""
    texts = (finding_text(check) for check in note.checks)
    return plain("; ".join(book.text(text.title) for text in texts if text is not None))


def _failed_tone(book: Book, note: CodeNoteResult) -> Tone:
    """Danger where a check of that severity fired, else caution."""
    fired = {c.severity for f in book.options for c in f.option.checks if c.id in note.checks and c.fired}
    return "danger" if "danger" in fired else "caution"


def _sheet(book: Book, topics: list[Notes]) -> Block:
    rows = []
    for topic in topics:
        note = _first(topic)
        which = [f.letter for f, one in zip(book.options, topic, strict=True) if one and one.item.outcome in OPEN]
        letters = () if book.recorded else (plain(", ".join(which)),)
        rows.append(Row((plain(note.topic), plain(note.text), book.source(note.citation), *letters, plain())))
    options = () if book.recorded else (surveyor.COLUMN_OPTIONS,)
    columns = book.columns(
        surveyor.COLUMN_TOPIC, (surveyor.COLUMN_ASKS, "wide"), surveyor.COLUMN_SOURCE, *options, surveyor.COLUMN_TICK
    )
    return table(book.text(surveyor.CODES_SHEET_TABLE), columns, rows)


def _apart(book: Book, topics: list[Notes]) -> Block:
    rows = []
    for topic in topics:
        note = next(one for one in topic if one is not None)
        why = book.writer.words(names.BECAUSE[note.item.because], looked=plain())
        rows.append(Row((plain(note.item.topic), why, book.source(note.item.citation))))
    columns = book.columns(surveyor.COLUMN_TOPIC, (surveyor.COLUMN_WHY, "wide"), surveyor.COLUMN_SOURCE)
    return table(book.text(surveyor.CODES_APART_TABLE), columns, rows)
