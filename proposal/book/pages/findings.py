"""Page 6: findings of each option by severity, and every check with how it went."""

from dataclasses import dataclass

from proposal.book.blocks import Block, Column, Heading, Link, Page, Paragraph, Row, Strong, Words
from proposal.book.pages.context import SEVERITY_TONES, Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import findings, names, surveyor
from proposal.book.sentences.finding_text import FindingText
from proposal.book.writer import joined, plain
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


def finding_text(finding_id: str, cause: object = None) -> FindingText | None:
    """Sentences of a finding, those for its cause where there are any."""
    return findings.FINDINGS.get(f"{finding_id}.{cause}") or findings.FINDINGS.get(finding_id)


def texts_of(finding: Finding) -> FindingText:
    """Sentences of a finding by its cause."""
    found = finding_text(finding.id, finding.values.get("cause") or finding.values.get("effect"))
    return found if found is not None else findings.UNKNOWN


def finding_title(book: Book, finding: Finding) -> str:
    """What a finding objects to, in a few words."""
    return book.text(texts_of(finding).title)


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


REMEMBERED = "edition"
"""What is to be found out where a limit is from memory: the figures are known, the limit is not sure."""


@dataclass(frozen=True, slots=True)
class Told:
    """A finding in words: how grave, where, what was found with its limit and consequence, what to do, its source."""

    severity: str
    where: Words
    found: Words
    do: Words
    source: Words


def told(book: Book, faced: Faced, finding: Located[Finding]) -> Told:
    """The words of a finding, for its row on the page and for the command line."""
    item = finding.item
    undecided = item.outcome == "undecided"
    severity = book.text(names.UNDECIDED if undecided else names.SEVERITIES[item.severity])
    do = _find_out(book, faced, finding) if undecided else _sentence(book, faced, finding, "do")
    if item.accepted_by is not None:
        accepted = book.writer.words(surveyor.ACCEPTED, name=item.accepted_by, reason=item.accepted_because or "")
        do = joined((do, Words((Strong(_as_text(accepted)),))), " ")
    where, found = _where(book, faced, item), _found(book, faced, finding)
    return Told(severity, where, found, do, book.source(item.citation))


def _row(book: Book, faced: Faced, finding: Located[Finding], number: int) -> Row:
    item, words = finding.item, told(book, faced, finding)
    return Row(
        (plain(words.severity), words.where, words.found, words.do, words.source),
        anchor=faced.anchor("finding", str(number)),
        tone="unknown" if item.outcome == "undecided" else SEVERITY_TONES[item.severity],
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
    title = finding_title(book, finding.item)
    if finding.item.outcome == "undecided":
        title = book.text(findings.NOT_DECIDED, title=title)
        happens = _sentence(book, faced, finding, "happens")
        happens = book.writer.words(findings.IF_SO, happens=happens) if happens.parts else happens
        remembered = finding.item.values.get("find_out") == REMEMBERED
        known = ("found", "limit") if remembered else ("known",)
        parts = [*(_sentence(book, faced, finding, name) for name in known), happens]
    else:
        parts = [_sentence(book, faced, finding, name) for name in ("found", "limit", "happens")]
    return joined((part for part in (plain(Strong(title), "."), *parts) if part.parts), " ")


def _sentence(book: Book, faced: Faced, finding: Located[Finding], name: str) -> Words:
    return _fact(book, faced, finding, getattr(texts_of(finding.item), name))


def _fact(book: Book, faced: Faced, finding: Located[Finding], message: str) -> Words:
    """A sentence with the finding's values; what does not exist or count is left out with its sentence."""
    values = {k: v for k, v in finding.item.values.items() if v is not None and not (k == "strings_out" and v == 0)}
    return book.writer.fact(message, values, f"{finding.path}.values", faced.items.naming)


def _find_out(book: Book, faced: Faced, finding: Located[Finding]) -> Words:
    code = finding.item.values.get("find_out")
    return _fact(book, faced, finding, findings.FIND_OUT.get(str(code), findings.OTHER_FIND_OUT))


def _checks(book: Book) -> Block:
    """Every check with how it went in each option: tested, not met, undecided."""
    by_option = [
        {check.item.id: check for check in each(f.option.checks, f"{f.path}.checks")} for f in book.options
    ]
    first = {check_id: check.item for checks in reversed(by_option) for check_id, check in checks.items()}
    rows = []
    for check_id, one in first.items():
        text = finding_text(check_id)
        own = [checks[check_id] for checks in by_option if check_id in checks]
        good = all(not c.item.fired and not c.item.undecided for c in own) and any(c.item.tested for c in own)
        rows.append(
            Row(
                (
                    plain(book.text(text.passed if text is not None else findings.UNKNOWN_CHECK)),
                    plain(book.text(names.SEVERITIES[one.severity])),
                    *(_went(book, checks.get(check_id)) for checks in by_option),
                    book.source(one.citation),
                ),
                tone="good" if good else "plain",
            )
        )
    letters = (Column(book.text(surveyor.COLUMN_OPTION, letter=f.letter)) for f in book.options)
    check, severity, source = book.columns(
        (surveyor.COLUMN_CHECK, "wide"), surveyor.COLUMN_SEVERITY, surveyor.COLUMN_SOURCE
    )
    return table(book.text(surveyor.CHECKS_TABLE), (check, severity, *letters, source), rows, dense=True)


def _went(book: Book, check: Located[CheckResult] | None) -> Words:
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
