"""First page of a record: may it be switched on, what is fitted, who did it, what is open, and five questions."""

from proposal.book.blocks import (
    Block,
    Bullets,
    Callout,
    Fact,
    Facts,
    Figure,
    Heading,
    KeyFigure,
    KeyFigures,
    Link,
    Page,
    Paragraph,
    Strong,
    Tone,
    Words,
)
from proposal.book.pages.behaviour import ID as BEHAVIOUR_ID
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.emergency_steps import record_address
from proposal.book.pages.headline import batteries, headline
from proposal.book.pages.index import critical, three_cautions
from proposal.book.pages.record_kept import SEAL_FILE
from proposal.book.pages.record_protection import answer
from proposal.book.pages.record_verdict import Targets, accepted, energise, test_link
from proposal.book.pages.record_words import item_text, path_text
from proposal.book.pages.tests_told import failed_words
from proposal.book.refs import each
from proposal.book.sentences import cautions, client, names
from proposal.book.sentences import record as words
from proposal.book.writer import Filled, joined, plain
from proposal.facts import SEVERITIES
from proposal.results.record_model import DefectRow

MOST_CHANGES = 8
COMMANDS = {
    "verify": "proposal verify ARCHIVE",
    "sums": "sha256sum -c manifest-sha256.txt",
    "tags": f"sha256sum -c {SEAL_FILE}",
    "seal": SEAL_FILE,
}
"""What is typed; the same in every language."""


def page(book: Book, faced: Faced, targets: Targets) -> Page:
    """The record in two minutes."""
    blocks: list[Block] = [*energise(book, faced, targets), _state(book)]
    blocks += accepted(book, faced)
    for drawing in book.drawings_of(faced, "picture"):
        alt = book.text(words.PICTURE_ALT, title=faced.option.title)
        blocks.append(Figure(drawing, alt, book.text(words.PICTURE_CAPTION)))
    blocks.append(KeyFigures(_figures(book, faced)))
    blocks += _questions(book, faced, targets)
    blocks += _open_defects(book, faced, targets)
    blocks += _changed(book, faced)
    blocks += _who(book)
    blocks += _untouched(book)
    blocks += critical(book)
    more = plain(Link(book.text(client.ALL_CAUTIONS), "cautions"))
    blocks += [
        Callout(book.text(client.CAUTIONS_TITLE), (*three_cautions(book), more), "caution"),
        Paragraph(book.writer.words(cautions.DEFERENCE)),
    ]
    lead = book.writer.words(words.INDEX_LEAD, vessel=book.results.vessel.name)
    return Page("index", book.text(words.INDEX_TITLE), ("owner", "surveyor"), tuple(blocks), lead)


def _state(book: Book) -> Callout:
    """Sealed, or open."""
    record = book.record
    entries = list(each(record.item.entries, f"{record.path}.entries"))
    still = [entry for entry in entries if entry.item.seal is None]
    if still or not entries:
        count = book.writer.cells.count(len(still), f"{record.path}.entries[seal=None].length")
        told = book.writer.several(words.OPEN, len(still), count=count)
        return Callout(book.text(words.OPEN_TITLE), (told,), "plain")
    count = book.writer.cells.count(len(entries), f"{record.path}.entries.length")
    seal = book.writer.count_of(entries[-1], "seal")
    itself = any(row.number == entries[-1].item.seal and not row.sha256 for row in record.item.seals)
    message = words.SEALED_ITSELF if itself else words.SEALED
    told = book.writer.several(message, len(entries), count=count, seal=seal)
    return Callout(book.text(words.SEALED_TITLE), (told,), "good")


def _figures(book: Book, faced: Faced) -> tuple[KeyFigure, ...]:
    writer = book.writer
    banks = list(each(faced.option.banks, f"{faced.path}.banks"))
    count = writer.cells.count(len(banks), f"{faced.path}.banks.length")
    entries = (writer.words(client.BANK_ENTRY, title=b.item.title, batteries=batteries(book, b)) for b in banks)
    figures = [
        KeyFigure(
            book.text(words.BATTERIES), writer.several(words.BANKS, len(banks), count=count), joined(entries, "; ")
        )
    ]
    figures += headline(book, faced)
    return (*figures, *_tests(book), _defects(book))


def _tests(book: Book) -> list[KeyFigure]:
    """How many tests passed; none where the record has no test."""
    tests = book.record.item.tests
    if not tests:
        return []

    def count(outcome: str) -> Words:
        found = sum(1 for test in tests if test.outcome == outcome)
        return plain(book.writer.cells.count(found, f"{book.record.path}.tests[outcome={outcome}].length"))

    every = plain(book.writer.cells.count(len(tests), f"{book.record.path}.tests.length"))
    note = book.writer.words(
        words.TESTS_NOTE, failed=count("fail"), missing=count("not_measured"), open=count("undecided")
    )
    worst = {test.outcome for test in tests}
    tone: Tone = "danger" if "fail" in worst else "caution" if worst - {"pass"} else "good"
    figure = book.writer.words(words.TESTS_OF, passed=count("pass"), all=every)
    return [KeyFigure(book.text(words.TESTS), figure, note, tone)]


def _defects(book: Book) -> KeyFigure:
    found = book.record.item.defects
    still = [defect for defect in found if not defect.mended_on]
    figure = plain(book.writer.cells.count(len(still), f"{book.record.path}.defects[mended_on=].length"))
    every = book.writer.cells.count(len(found), f"{book.record.path}.defects.length")
    note = book.writer.words(words.DEFECTS_NOTE, all=every) if found else book.writer.words(words.DEFECTS_NONE)
    bad = any(defect.severity == "danger" for defect in still)
    return KeyFigure(book.text(words.DEFECTS), figure, note, "danger" if bad else "caution" if still else "good")


def _questions(book: Book, faced: Faced, targets: Targets) -> list[Block]:
    """What a surveyor asks, each with a link to the answer."""
    writer = book.writer

    def link(title: str, target: str, anchor: str = "") -> Link:
        return Link(book.text(title), target, anchor)

    asked = [
        writer.words(words.Q_FITTED, link=link(words.Q_FITTED_LINK, "fitted")),
        writer.words(words.Q_PROTECTED[answer(book, faced)], link=link(words.Q_PROTECTED_LINK, "protection")),
    ]
    if targets.tests:
        asked.append(writer.words(words.Q_MEASURED, link=link(words.Q_MEASURED_LINK, targets.tests)))
    asked += [
        writer.words(words.Q_CHANGED, link=link(words.Q_CHANGED_LINK, "log")),
        writer.words(words.Q_UNTOUCHED, link=link(words.Q_UNTOUCHED_LINK, "index", "untouched")),
    ]
    blocks: list[Block] = [Heading(book.text(words.QUESTIONS_HEADING), 2, "questions"), Bullets(tuple(asked), True)]
    aboard = [
        (targets.emergency, words.SEE_EMERGENCY, words.EMERGENCY_LINK),
        (targets.upkeep, words.SEE_UPKEEP, words.UPKEEP_LINK),
    ]
    if any(option.option.behaviour is not None for option in book.options):
        aboard.append((BEHAVIOUR_ID, words.SEE_DAYS, words.DAYS_LINK))
    blocks += [Paragraph(writer.words(said, link=link(title, target))) for target, said, title in aboard if target]
    return blocks


def _open_defects(book: Book, faced: Faced, targets: Targets) -> list[Block]:
    """What is still to be mended: every test that failed, then every open defect, the worst first."""
    failed = [t for t in each(book.record.item.tests, f"{book.record.path}.tests") if t.item.outcome == "fail"]
    links = [test_link(book, targets, t.item.test, t.item.item, t.item.end) for t in failed]
    said = (failed_words(book, faced, test, link) for test, link in zip(failed, links, strict=True))
    told = [book.writer.words(words.OPEN_TEST, told=each_one) for each_one in said]
    still = [d for d in book.record.item.defects if not d.mended_on]
    heading = Heading(book.text(words.OPEN_DEFECTS_HEADING), 2, "open-defects")
    if not still and not told:
        return [heading, Paragraph(book.writer.words(words.OPEN_DEFECTS_NONE), "good")]
    rows = sorted(still, key=lambda d: SEVERITIES.index(d.severity))
    return [heading, Bullets((*told, *(_open_defect(book, faced, row) for row in rows)))]


def _open_defect(book: Book, faced: Faced, row: DefectRow) -> Words:
    fields: dict[str, Filled] = {
        "severity": book.text(names.SEVERITIES[row.severity]),
        "item": item_text(book, faced, row.item),
        "what": Link(row.what, "defects", f"defect.{row.id}"),
    }
    if not row.mend_by:
        return book.writer.words(words.OPEN_DEFECT, **fields)
    return book.writer.words(words.OPEN_DEFECT_BY, **fields, day=book.writer.cells.date(row.mend_by))


def _changed(book: Book, faced: Faced) -> list[Block]:
    entries = book.record.item.entries
    heading = Heading(book.text(words.CHANGED_HEADING), 2, "changed")
    log = Link(book.text(words.LOG_LINK), "log")
    see = book.writer.words(words.CHANGED_SEE, log=log)
    if len(entries) < 2:
        return [heading, Paragraph(joined((book.writer.words(words.CHANGED_NOTHING), see), " "))]
    last = entries[-1]
    title = Link(last.title, "log", f"entry.{last.number}")
    told = book.writer.words(words.CHANGED_ENTRY, date=book.writer.cells.date(last.date), by=last.by, title=title)
    runs = [plain(note) for note in last.notes]
    if last.changes:
        items = joined(path_text(book, faced, path) for path in last.changes[:MOST_CHANGES])
        runs.append(book.writer.words(words.CHANGED_WHAT, items=items))
    notes = [Bullets(tuple(runs))] if runs else []
    return [heading, Paragraph(told), *notes, Paragraph(see)]


def _who(book: Book) -> list[Block]:
    record, writer = book.record.item, book.writer
    pairs: list[tuple[str, Words]] = []
    if record.entries:
        first, last = record.entries[0], record.entries[-1]
        date = writer.cells.date(first.date)
        pairs.append((words.WHO_FITTED, writer.words(words.COVER_BY_ON, date=date, by=first.by)))
        pairs += [(words.WHO_LICENCE, plain(first.licence))] if first.licence else []
        latest = writer.words(
            words.WHO_LATEST_TEXT, date=writer.cells.date(last.date), by=last.by,
            title=Link(last.title, "log", f"entry.{last.number}"),
        )  # fmt: skip
        pairs.append((words.WHO_LATEST, latest))
    pairs.append((words.WHO_AGREED, agreed_words(book)))
    address = record_address(book.results)
    pairs += [(words.WHO_ADDRESS, plain(address))] if address else []
    facts = tuple(Fact(book.text(name), said) for name, said in pairs)
    return [Heading(book.text(words.WHO_HEADING), 2, "who"), Facts(facts)]


def agreed_words(book: Book) -> Words:
    """Who agreed to which revision, and when."""
    agreed = book.record.item.agreed
    if agreed is None:
        return book.writer.words(words.WHO_AGREED_NONE)
    date = book.writer.cells.date(agreed.date)
    return book.writer.words(words.COVER_AGREED_TEXT, date=date, by=agreed.by, revision=agreed.revision)


def _untouched(book: Book) -> list[Block]:
    typed = {name: plain(Strong(text)) for name, text in COMMANDS.items()}
    steps = tuple(book.writer.words(sentence, **typed) for sentence in words.UNTOUCHED)
    return [Heading(book.text(words.UNTOUCHED_HEADING), 2, "untouched"), Bullets(steps, numbered=True)]
