"""Pages: fuses under fault current, findings by kind, upkeep that is due, failed tests and defects, mistakes."""

from collections.abc import Iterable, Iterator

from proposal.book.blocks import Block, Page, Paragraph
from proposal.book.pages.context import SEVERITY_TONES
from proposal.book.pages.telling import finding_text
from proposal.book.pages.yard_context import Berth, YardBook, names_of
from proposal.book.sentences import findings, names, tests, upkeep
from proposal.book.sentences import yard as words
from proposal.book.tables import Column, Row, Words
from proposal.book.writer import Part, plain
from proposal.facts import SEVERITIES
from proposal.frozen import frozen
from proposal.results.yard_model import YardFinding, YardFuse, YardProblem, YardTest, YardUpkeep

SOON_DAYS = 90
"""Upkeep due so many days ahead is told. Common practice: a season."""


def pages(book: YardBook) -> Iterator[Page]:
    """In the order in which somebody has to come."""
    yield _page(
        book, "fuses", words.FUSES_TITLE, plain(book.text(words.FUSES_LEAD)), words.FUSES_TABLE, words.FUSES_NONE,
        book.columns(
            words.COLUMN_VESSEL, words.COLUMN_FUSE, words.COLUMN_PART, (words.COLUMN_BREAKS, "right"),
            (words.COLUMN_FAULT, "right"), words.COLUMN_STATUS, words.COLUMN_IS,
        ),
        _fuses(book),
    )  # fmt: skip
    yield _page(
        book, "findings", words.FINDINGS_TITLE, plain(book.text(words.FINDINGS_LEAD)), words.FINDINGS_TABLE,
        words.FINDINGS_NONE,
        book.columns(
            words.COLUMN_FINDING, words.COLUMN_SEVERITY, (words.COLUMN_FIRES, "wide"), (words.COLUMN_UNDECIDED, "wide"),
            (words.COLUMN_ACCEPTED, "wide"),
        ),
        _findings(book),
    )  # fmt: skip
    within = book.writer.cells.number("within_days", float(SOON_DAYS), "").text
    lead = plain(book.text(words.UPKEEP_LEAD, today=book.date(book.yard.today), within_days=within))
    yield _page(
        book, "upkeep", words.UPKEEP_TITLE, lead, words.UPKEEP_TABLE, words.UPKEEP_NONE,
        book.columns(
            words.COLUMN_DUE, words.COLUMN_VESSEL, words.COLUMN_TASK, words.COLUMN_ITEMS, words.COLUMN_LAST
        ),
        _upkeep(book), Paragraph(plain(book.text(words.UPKEEP_MORE))),
    )  # fmt: skip
    yield _page(
        book, "open", words.OPEN_TITLE, plain(book.text(words.OPEN_LEAD)), words.OPEN_TABLE, words.OPEN_NONE,
        book.columns(words.COLUMN_VESSEL, (words.COLUMN_WHAT, "wide"), words.COLUMN_SEVERITY, words.COLUMN_BY),
        _open(book),
    )  # fmt: skip
    yield _page(
        book, "mistakes", words.MISTAKES_TITLE, plain(book.text(words.MISTAKES_LEAD)), words.MISTAKES_TABLE,
        words.MISTAKES_NONE,
        book.columns(
            words.COLUMN_FOLDER, words.COLUMN_PLACE, (words.COLUMN_WRONG, "wide"), (words.COLUMN_RIGHT, "wide")
        ),
        _mistakes(book),
    )  # fmt: skip


def _page(
    book: YardBook,
    page_id: str,
    title: str,
    lead: Words,
    caption: str,
    nothing: str,
    columns: tuple[Column, ...],
    rows: Iterable[Row],
    *after: Block,
) -> Page:
    found = tuple(rows)
    blocks: tuple[Block, ...] = (Paragraph(plain(book.text(nothing)), "good"),)
    if found:
        blocks = (book.table(book.text(caption), columns, found),)
    return Page(page_id, book.text(title), ("installer", "surveyor"), (*blocks, *after), lead)


def _fuses(book: YardBook) -> Iterator[Row]:
    """Fitted ones first, those that are under before those of which nothing is stated, the worst first."""
    found = [(b, n, f) for b in book.berths for n, f in enumerate(b.row.fuses)]

    def grave(entry: tuple[Berth, int, YardFuse]) -> tuple[bool, bool, float, int, int]:
        berth, number, fuse = entry
        return fuse.stands != "under", not berth.row.chosen, -fuse.fault_a, berth.number, number

    for berth, number, fuse in sorted(found, key=grave):
        path, cells = f"{berth.path}.fuses[{number}]", book.writer.cells
        name = f"{fuse.designation} {fuse.title}".strip() or fuse.item
        under = fuse.stands == "under"
        is_there = words.IS_FITTED if berth.row.chosen else words.IS_PROPOSED
        yield Row(
            (
                berth.link,
                plain(name),
                plain(fuse.part_title or fuse.part),
                Words((cells.number("interrupt_a", fuse.interrupt_a, f"{path}.interrupt_a"),)),
                Words((cells.number("fault_a", fuse.fault_a, f"{path}.fault_a"),)),
                plain(book.text(words.UNDER if under else words.UNKNOWN)),
                plain(book.text(is_there, letter=fuse.option)),
            ),
            tone="danger" if under else "unknown",
        )


@frozen
class _Kind:
    first: YardFinding
    fires: list[str]
    undecided: list[str]
    accepted: list[str]


def _findings(book: YardBook) -> Iterator[Row]:
    kinds: dict[tuple[str, str], _Kind] = {}
    for berth in book.berths:
        for finding in berth.row.findings:
            kind = kinds.setdefault((finding.id, finding.cause), _Kind(finding, [], [], []))
            told = kind.undecided if finding.outcome == "undecided" else kind.fires
            told = kind.accepted if finding.accepted_by else told
            if not told or told[-1] != berth.called:
                told.append(berth.called)
    for _, kind in sorted(
        kinds.items(), key=lambda p: (SEVERITIES.index(p[1].first.severity), p[1].first.number, p[0])
    ):
        text = finding_text(kind.first.id, kind.first.cause)
        title = book.text(text.title if text is not None else findings.UNKNOWN_CHECK)
        cells = (
            plain(title),
            plain(book.text(names.SEVERITIES[kind.first.severity])),
            names_of(book, kind.fires),
            names_of(book, kind.undecided),
            names_of(book, kind.accepted),
        )
        yield Row(cells, tone=SEVERITY_TONES[kind.first.severity] if kind.fires else "plain")


def _upkeep(book: YardBook) -> Iterator[Row]:
    end, today = book.until(SOON_DAYS), book.yard.today
    due = [(t.due_on, b.number, n, t) for b in book.berths for n, t in enumerate(b.row.upkeep) if t.due_on]
    for day, number, _, task in sorted(due, key=lambda entry: entry[:3]):
        if day > end:
            return
        late = day < today
        date = book.text(words.IS_OVERDUE, date=book.date(day)) if late else book.date(day)
        cells = (
            plain(date),
            book.berths[number].link,
            plain(task_title(book, task)),
            plain(" ".join(task.items)),
            plain(book.date(task.last_on) or book.text(words.NEVER)),
        )
        yield Row(cells, tone="caution" if late else "plain")


def task_title(book: YardBook, task: YardUpkeep) -> str:
    """A task in a few words."""
    text = upkeep.TASKS.get(task.task)
    return book.text(text.title) if text is not None else task.task


def _open(book: YardBook) -> Iterator[Row]:
    for berth in book.berths:
        for test in berth.row.tests:
            if test.outcome == "fail":
                item = " ".join(text for text in (test.designation, test.title) if text)
                told = book.text(words.TEST_FAILED, test=_title(book, test), item=item or book.text(words.WHOLE_SYSTEM))
                yield Row((berth.link, plain(told), plain(), plain()), tone="danger")
        if missing := _missing(book, berth):
            told = book.text(words.TESTS_MISSING, tests=missing)
            yield Row((berth.link, plain(told), plain(), plain()), tone="unknown")
        for defect in berth.row.defects:
            where: list[Part] = [f" ({defect.designation})"] if defect.designation else []
            severity = book.text(names.SEVERITIES[defect.severity])
            what = plain(book.text(words.DEFECT, what=defect.what), *where)
            cells = (berth.link, what, plain(severity), plain(book.date(defect.mend_by)))
            yield Row(cells, tone=SEVERITY_TONES[defect.severity])


def _missing(book: YardBook, berth: Berth) -> str:
    """Tests of dangers that nobody made: each kind once, with the designations of what it is of."""
    items: dict[str, list[str]] = {}
    for test in berth.row.tests:
        if test.outcome == "missing":
            of = items.setdefault(_title(book, test), [])
            if test.designation and test.designation not in of:
                of.append(test.designation)
    return "; ".join(
        book.text(words.TEST_AT, test=title, items=" ".join(of)) if of else title for title, of in items.items()
    )


def _title(book: YardBook, test: YardTest) -> str:
    return book.text(tests.TITLES[test.test]) if test.test in tests.TITLES else test.test


def _mistakes(book: YardBook) -> Iterator[Row]:
    for berth in book.berths:
        for problem in berth.row.problems:
            yield Row((plain(berth.vessel.path), plain(_place(book, problem)), *_wrong(problem)), tone="unknown")
        if berth.row.more_problems:
            more = book.several(words.MISTAKES_MORE, berth.row.more_problems)
            yield Row((plain(berth.vessel.path), plain(), plain(more), plain()), tone="unknown")
    for path, why in book.yard.unread:
        yield Row((plain(path), plain(), plain(book.text(words.UNREAD, why=why)), plain()), tone="unknown")


def _place(book: YardBook, problem: YardProblem) -> str:
    return book.text(words.PLACE, file=problem.file, line=str(problem.line), column=str(problem.column))


def _wrong(problem: YardProblem) -> tuple[Words, Words]:
    written = f" ({problem.written})" if problem.written else ""
    return plain(problem.what + written), plain(problem.allowed)
