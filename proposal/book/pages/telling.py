"""A finding in words: for its row on the page and for the command line."""

from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located
from proposal.book.sentences import findings, names, surveyor
from proposal.book.sentences.finding_text import FindingText
from proposal.book.tables import Strong, Words
from proposal.book.writer import joined, plain
from proposal.frozen import frozen
from proposal.results.model import Finding

REMEMBERED = "edition"
"""What is to be found out where a limit is from memory: the figures are known, the limit is not sure."""


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


@frozen
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
    if item.refused_to is not None:
        do = joined((do, Words((Strong(_as_text(book.writer.words(surveyor.REFUSED, name=item.refused_to))),))), " ")
    where, found = _where(book, faced, item), _found(book, faced, finding)
    return Told(severity, where, found, do, book.source(item.citation))


def _as_text(words: Words) -> str:
    return "".join(part for part in words.parts if isinstance(part, str))


def _where(book: Book, faced: Faced, finding: Finding) -> Words:
    named = faced.items.named(finding.item)
    if named is None:
        return plain(finding.title or book.text(names.SECTIONS.get(finding.item, surveyor.WHOLE_OPTION)))
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
