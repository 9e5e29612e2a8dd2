"""Page 6: findings of each option by severity, and every check with how it went."""

from proposal.book.blocks import Block, Heading, Link, Page, Paragraph, Row, Strong, Words
from proposal.book.pages.context import SEVERITY_TONES, Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import findings, names, surveyor
from proposal.book.writer import joined, plain
from proposal.results.model import Finding


def page(book: Book) -> Page:
    """Findings first, then the counts of all checks."""
    blocks: list[Block] = []
    for faced in book.options:
        blocks += _option(book, faced)
    for faced in book.options:
        title = book.text(surveyor.CHECKS_HEADING, letter=faced.letter)
        blocks += [Heading(title, 2, faced.anchor("checks")), _checks(book, faced)]
    codes = Link(book.text(surveyor.CODES_LINK), "codes")
    blocks.append(Paragraph(book.writer.words(surveyor.CHECKS_NOTE, codes=codes)))
    return Page(
        "findings", book.text(surveyor.FINDINGS_TITLE), ("client", "installer", "surveyor"), tuple(blocks),
        book.writer.words(surveyor.FINDINGS_LEAD),
    )  # fmt: skip


def finding_text(finding_id: str, cause: object = None) -> findings.FindingText | None:
    """Sentences of a finding, those for its cause where there are any."""
    return findings.FINDINGS.get(f"{finding_id}.{cause}") or findings.FINDINGS.get(finding_id)


def finding_title(book: Book, finding_id: str) -> str:
    """What a finding objects to, in a few words."""
    found = finding_text(finding_id)
    return book.text(found.title if found is not None else findings.UNKNOWN_CHECK)


def _option(book: Book, faced: Faced) -> list[Block]:
    title = book.text(surveyor.CABLES_OPTION, letter=faced.letter, title=faced.option.title)
    heading = Heading(title, 2, faced.anchor("findings"))
    counts = book.counts(faced)
    if not counts.parts:
        return [heading, Paragraph(book.writer.words(surveyor.FINDINGS_OPTION_NONE, letter=faced.letter), "good")]
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
    ]


def _row(book: Book, faced: Faced, finding: Located[Finding], number: int) -> Row:
    item = finding.item
    undecided = item.outcome == "undecided"
    severity = book.text(names.UNDECIDED if undecided else names.SEVERITIES[item.severity])
    do = _find_out(book, faced, finding) if undecided else _sentence(book, faced, finding, "do")
    if item.accepted_by is not None:
        accepted = book.writer.words(
            surveyor.ACCEPTED, name=item.accepted_by, reason=item.accepted_because or ""
        )
        do = joined((do, Words((Strong(_as_text(accepted)),))), " ")
    return Row(
        (
            plain(severity),
            _where(book, faced, item),
            _found(book, faced, finding),
            do,
            book.source(item.citation),
        ),
        anchor=faced.anchor("finding", str(number)),
        tone="unknown" if undecided else SEVERITY_TONES[item.severity],
    )


def _as_text(words: Words) -> str:
    return "".join(part for part in words.parts if isinstance(part, str))


def _where(book: Book, faced: Faced, finding: Finding) -> Words:
    named = faced.items.named(finding.item)
    if named is None:
        return plain(finding.title or book.text(surveyor.WHOLE_OPTION))
    designation = finding.designation or named.designation
    return joined(part for part in (book.item_link(faced, finding.item, designation), named.title) if part)


def _found(book: Book, faced: Faced, finding: Located[Finding]) -> Words:
    title = plain(Strong(book.text(_texts(finding).title)), ".")
    names_of = ("known", "happens") if finding.item.outcome == "undecided" else ("found", "limit", "happens")
    parts = [title, *(_sentence(book, faced, finding, name) for name in names_of)]
    return joined((part for part in parts if part.parts), " ")


def _texts(finding: Located[Finding]) -> findings.FindingText:
    values = finding.item.values
    found = finding_text(finding.item.id, values.get("cause") or values.get("effect"))
    return found if found is not None else findings.UNKNOWN


def _sentence(book: Book, faced: Faced, finding: Located[Finding], name: str) -> Words:
    return _fact(book, faced, finding, getattr(_texts(finding), name))


def _fact(book: Book, faced: Faced, finding: Located[Finding], message: str) -> Words:
    """A sentence with the finding's values; what does not exist or count is left out with its sentence."""
    values = {k: v for k, v in finding.item.values.items() if v is not None and not (k == "strings_out" and v == 0)}
    return book.writer.fact(message, values, f"{finding.path}.values", faced.items.naming)


def _find_out(book: Book, faced: Faced, finding: Located[Finding]) -> Words:
    code = finding.item.values.get("find_out")
    return _fact(book, faced, finding, findings.FIND_OUT.get(str(code), findings.OTHER_FIND_OUT))


def _checks(book: Book, faced: Faced) -> Block:
    rows = []
    for check in each(faced.option.checks, f"{faced.path}.checks"):
        text = finding_text(check.item.id)
        worst = check.item.fired or check.item.undecided
        rows.append(
            Row(
                (
                    plain(book.text(text.passed if text is not None else findings.UNKNOWN_CHECK)),
                    plain(book.text(names.SEVERITIES[check.item.severity])),
                    book.writer.count_of(check, "tested"),
                    book.writer.count_of(check, "fired"),
                    book.writer.count_of(check, "undecided"),
                    book.source(check.item.citation),
                ),
                tone="plain" if worst or not check.item.tested else "good",
            )
        )
    columns = book.columns(
        surveyor.COLUMN_CHECK, surveyor.COLUMN_SEVERITY, (surveyor.COLUMN_TESTED, "right"),
        (surveyor.COLUMN_FIRED, "right"), (surveyor.COLUMN_UNDECIDED, "right"), surveyor.COLUMN_SOURCE,
    )  # fmt: skip
    return table(book.text(surveyor.CHECKS_TABLE, letter=faced.letter), columns, rows, dense=True)
