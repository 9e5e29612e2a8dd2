"""Page 6: findings of each option by severity, and every check with how it went."""

from proposal.book.blocks import Block, Column, Heading, Link, Page, Paragraph, Row, Tone, Words
from proposal.book.pages.context import SEVERITY_TONES, Book, Faced, table
from proposal.book.pages.telling import finding_text, told
from proposal.book.refs import Located, each
from proposal.book.sentences import findings, names, surveyor
from proposal.book.writer import plain
from proposal.results.model import CheckResult, Finding


def page(book: Book) -> Page:
    """Findings first, then the counts of all checks."""
    blocks: list[Block] = []
    for faced in book.options:
        blocks += _option(book, faced)
    blocks += [Heading(book.text(surveyor.CHECKS_HEADING), 2, "checks"), _checks(book)]
    codes = Link(book.text(surveyor.CODES_LINK), "codes")
    blocks.append(Paragraph(book.writer.words(surveyor.CHECKS_NOTE, codes=codes)))
    return Page(
        "findings", book.text(surveyor.FINDINGS_TITLE), ("client", "installer", "surveyor"), tuple(blocks),
        book.writer.words(surveyor.FINDINGS_LEAD),
    )  # fmt: skip


def _option(book: Book, faced: Faced) -> list[Block]:
    title = book.text(surveyor.CABLES_OPTION, letter=faced.letter, title=faced.option.title)
    heading = Heading(title, 2, faced.anchor("findings"))
    counts, acceptances = book.counts(faced), _acceptances(book, faced)
    if not counts.parts:
        return [
            heading,
            Paragraph(book.writer.words(surveyor.FINDINGS_OPTION_NONE, letter=faced.letter), "good"),
            *acceptances,
        ]
    located = list(each(faced.option.findings, f"{faced.path}.findings"))
    rows = [_row(book, faced, finding, number) for number, finding in enumerate(located, 1)]
    columns = book.columns(
        surveyor.COLUMN_SEVERITY, surveyor.COLUMN_WHERE, (surveyor.COLUMN_FOUND, "wide"),
        (surveyor.COLUMN_DO, "wide"), surveyor.COLUMN_SOURCE,
    )  # fmt: skip
    summary = book.writer.words(surveyor.FINDINGS_COUNTS, counts=counts)
    return [
        heading,
        Paragraph(summary),
        table(book.text(surveyor.FINDINGS_TABLE, letter=faced.letter), columns, rows),
        *acceptances,
    ]


def _acceptances(book: Book, faced: Faced) -> list[Block]:
    """Who accepts what and why, and what becomes of it."""
    entries = faced.option.acceptances
    rows = []
    for entry in entries:
        text = finding_text(entry.finding)
        title = plain(book.text(text.title)) if text is not None else plain(entry.finding)
        item = plain(faced.items.phrase(entry.item)) if entry.item else plain(book.text(surveyor.WHOLE_OPTION))
        stands = plain(book.text(surveyor.ACCEPTANCE_STANDS[entry.outcome]))
        tone: Tone = "danger" if entry.outcome == "refused" else "plain"
        rows.append(Row((title, item, plain(entry.name), plain(entry.reason), stands), tone=tone))
    columns = book.columns(
        surveyor.COLUMN_CHECK, surveyor.COLUMN_WHERE, surveyor.COLUMN_BY, (surveyor.COLUMN_REASON, "wide"),
        surveyor.COLUMN_STANDS,
    )  # fmt: skip
    return [table(book.text(surveyor.ACCEPTANCES_TABLE, letter=faced.letter), columns, rows)] if rows else []


def _row(book: Book, faced: Faced, finding: Located[Finding], number: int) -> Row:
    item, words = finding.item, told(book, faced, finding)
    return Row(
        (plain(words.severity), words.where, words.found, words.do, words.source),
        anchor=faced.anchor("finding", str(number)),
        tone="unknown" if item.outcome == "undecided" else SEVERITY_TONES[item.severity],
    )


def _checks(book: Book) -> Block:
    """Every check with how it went in each option: tested, not met, undecided."""
    by_option = [{check.item.id: check for check in each(f.option.checks, f"{f.path}.checks")} for f in book.options]
    first = {check_id: check.item for checks in reversed(by_option) for check_id, check in checks.items()}
    rows = []
    for check_id, one in first.items():
        text = finding_text(check_id)
        own = [checks[check_id] for checks in by_option if check_id in checks]
        number = next(checks[check_id] for checks in by_option if check_id in checks)
        good = all(not c.item.fired and not c.item.undecided for c in own) and any(c.item.tested for c in own)
        rows.append(
            Row(
                (
                    book.writer.count_of(number, "number"),
                    plain(book.text(text.passed if text is not None else findings.UNKNOWN_CHECK)),
                    plain(book.text(names.SEVERITIES[one.severity])),
                    *(went(book, checks.get(check_id)) for checks in by_option),
                    book.source(one.citation),
                ),
                tone="good" if good else "plain",
            )
        )
    title = book.either(surveyor.COLUMN_OPTION, surveyor.COLUMN_AS_FITTED)
    letters = (Column(book.text(title, letter=f.letter)) for f in book.options)
    number_column, check, severity, source = book.columns(
        (surveyor.COLUMN_NUMBER, "right"),
        (surveyor.COLUMN_CHECK, "wide"),
        surveyor.COLUMN_SEVERITY,
        surveyor.COLUMN_SOURCE,
    )
    return table(book.text(surveyor.CHECKS_TABLE), (number_column, check, severity, *letters, source), rows, dense=True)


def went(book: Book, check: Located[CheckResult] | None) -> Words:
    """How a check went in one option."""
    if check is None:
        return plain()
    writer = book.writer
    fields = {name: writer.count_of(check, name) for name in ("tested", "fired", "undecided")}
    if not check.item.tested:
        return writer.words(surveyor.CHECK_NOTHING)
    if not check.item.fired and not check.item.undecided:
        return writer.words(surveyor.CHECK_GOOD, **fields)
    return writer.words(surveyor.CHECK_NOT_MET, **fields)
