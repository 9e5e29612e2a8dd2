"""The findings as plain text, for the command line."""

import textwrap

from proposal.book.language import msg
from proposal.book.opening import context_of
from proposal.book.pages import record_verdict
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.telling import finding_text, told
from proposal.book.refs import each
from proposal.book.sentences import record, surveyor
from proposal.book.tables import Cell, Link, Strong, Words
from proposal.results.model import Results

WIDTH = 100
DO = msg("What to do:")
SOURCE = msg("Source:")
PLACE = msg("In the spec:")
ACCEPTS = msg("Accepted by {name} for {item}: {title}. {stands}")
RECORDED = msg("As fitted, by the record up to entry {entries} of {date}. Tests passed: {passed} of {tests}.")
CHECKS = msg("{tested} items looked at by {checks} checks; {fired} findings, {undecided} undecided.")


def findings_listing(results: Results) -> str:
    """All findings of all options: severity, where, what was found and the limit, what to do, the source."""
    book = context_of(results)
    lines = _recorded(book)
    for faced in book.options:
        lines += [book.text(surveyor.CABLES_OPTION, letter=faced.letter, title=faced.option.title), ""]
        for finding in each(faced.option.findings, f"{faced.path}.findings"):
            words = told(book, faced, finding)
            lines += _wrapped(f"{words.severity.upper()} · {as_text(words.where)}: {as_text(words.found)}", "  ")
            if words.do.parts:
                lines += _wrapped(f"{book.text(DO)} {as_text(words.do)}", "      ")
            lines += _wrapped(f"{book.text(SOURCE)} {as_text(words.source)}", "      ")
            lines += [*_wrapped(f"{book.text(PLACE)} {finding.item.where}", "      "), ""]
        lines += _acceptances(book, faced)
        checks = faced.option.checks
        counts = book.text(
            CHECKS,
            tested=str(sum(c.tested for c in checks)),
            checks=str(len(checks)),
            fired=str(sum(c.fired for c in checks)),
            undecided=str(sum(c.undecided for c in checks)),
        )
        lines += [f"  {counts}", ""]
    return "\n".join(lines)


def _recorded(book: Book) -> list[str]:
    """State of the record before its findings: how far it goes, its tests, and what speaks against switching it on."""
    found = book.results.record
    if found is None:
        return []
    said = book.text(
        RECORDED,
        entries=str(len(found.entries)),
        date=book.writer.cells.date(found.latest_date),
        passed=str(sum(1 for test in found.tests if test.outcome == "pass")),
        tests=str(len(found.tests)),
    )
    return [said, *hindrances_listing(book.results), ""]


def hindrances_listing(results: Results) -> list[str]:
    """What speaks against switching a recorded system on, a line for each, under a heading; empty: nothing does."""
    hindrances = results.record.hindrances if results.record is not None else ()
    if not hindrances:
        return []
    book = context_of(results)
    (faced,) = book.options
    count = book.writer.cells.count(len(hindrances), f"{book.record.path}.hindrances.length")
    lines = [as_text(book.writer.several(record.DO_NOT, len(hindrances), count=count))]
    for told_of in record_verdict.hindrances(book, faced, record_verdict.Targets()):
        lines += _wrapped(as_text(told_of), "  ")
    return lines


def _acceptances(book: Book, faced: Faced) -> list[str]:
    """Entries by which somebody accepts what was not found or what nobody can accept; the others stand at findings."""
    lines = []
    for entry in faced.option.acceptances:
        if entry.outcome == "accepted":
            continue
        text = finding_text(entry.finding)
        title = book.text(text.title) if text is not None else entry.finding
        item = faced.items.phrase(entry.item) if entry.item else book.text(surveyor.WHOLE_OPTION)
        stands = book.text(surveyor.ACCEPTANCE_STANDS[entry.outcome])
        lines += [*_wrapped(book.text(ACCEPTS, name=entry.name, title=title, item=item, stands=stands), "  "), ""]
    return lines


def as_text(words: Words) -> str:
    """A run of words as plain text."""
    return "".join(_piece(part) for part in words.parts)


def _piece(part: str | Cell | Strong | Link) -> str:
    inner = part.text if isinstance(part, Cell | Strong | Link) else part
    return inner.text if isinstance(inner, Cell) else inner


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ", break_long_words=False)
