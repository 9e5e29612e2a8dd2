"""May it be switched on: the verdict on a record's first page, with what hinders, what is open, what was accepted."""

from collections.abc import Iterator

from proposal.book.blocks import Block, Callout, Link, Words
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.record_words import item_text
from proposal.book.pages.telling import finding_title
from proposal.book.sentences import client
from proposal.book.sentences import record as words
from proposal.book.sentences import tests as test_words
from proposal.book.writer import joined
from proposal.frozen import frozen
from proposal.results.finding_model import is_danger
from proposal.results.record_model import Hindrance

MOST_HINDRANCES = 12
KINDS = ("finding", "failed_test", "defect", "condemned", "missing_test")


@frozen
class Targets:
    """Ids of the pages that not every record has, empty where the book has none."""

    tests: str = ""
    test_anchors: tuple[tuple[tuple[str, str, str], str], ...] = ()
    """Of each test by what it is, its item and its end."""
    emergency: str = ""
    upkeep: str = ""
    difference: str = ""


def first_words(book: Book) -> str:
    """What has to be done before it may be switched on, each kind of thing once; empty: nothing."""
    kinds = dict.fromkeys(h.kind for h in book.record.item.hindrances)
    return "; ".join(book.text(words.FIRST[kind]) for kind in kinds)


def energise(book: Book, faced: Faced, targets: Targets) -> list[Block]:
    """In large letters whether it may be switched on, with what has to be done first."""
    found, record = book.record.item.hindrances, book.record
    if found:
        count = book.writer.cells.count(len(found), f"{record.path}.hindrances.length")
        said = [book.writer.several(words.DO_NOT, len(found), count=count)]
        each_one = list(hindrances(book, faced, targets))
        said += each_one[:MOST_HINDRANCES]
        if len(each_one) > MOST_HINDRANCES:
            said.append(book.writer.words(words.HINDRANCES_MORE))
        return [Callout(book.text(words.DO_NOT_TITLE), tuple(said), "danger", large=True)]
    link = Link(book.text(client.FINDINGS_LINK), "findings")
    tested = any(test.danger for test in record.item.tests)
    told = book.writer.words(words.ALL_GOOD, findings=link) if tested else book.writer.words(words.ALL_GOOD_UNTESTED)
    title = book.text(words.ALL_GOOD_TITLE if tested else words.ALL_GOOD_TITLE_UNTESTED)
    return [Callout(title, (told, *_undecided(book, faced), *_left(book)), "good" if tested else "caution", large=True)]


def _undecided(book: Book, faced: Faced) -> list[Words]:
    """Checks of dangers that could not be decided: nothing was found, but nobody should read that as proof."""
    said: dict[Words, None] = {}
    for number, finding in enumerate(faced.option.findings, 1):
        if finding.severity == "danger" and finding.outcome == "undecided":
            link = Link(finding_title(book, finding), "findings", faced.anchor("finding", str(number)))
            item = item_text(book, faced, finding.item)
            said.setdefault(book.writer.words(words.UNDECIDED, what=link, item=item))
    return list(said)[:MOST_HINDRANCES]


def _left(book: Book) -> list[Words]:
    """How much is still to be mended where nothing speaks against switching it on."""
    record, writer = book.record, book.writer
    counted = (
        (words.LEFT_TESTS, "tests[outcome=fail]", sum(1 for test in record.item.tests if test.outcome == "fail")),
        (words.LEFT_DEFECTS, "defects[mended_on=]", sum(1 for defect in record.item.defects if not defect.mended_on)),
    )
    told = [
        writer.several(message, number, count=writer.cells.count(number, f"{record.path}.{which}.length"))
        for message, which, number in counted
        if number
    ]
    link = Link(book.text(words.LEFT_LINK), "index", "open-defects")
    return [writer.words(words.LEFT, link=link, what=joined(told))] if told else []


def hindrances(book: Book, faced: Faced, targets: Targets) -> Iterator[Words]:
    """Each hindrance in a sentence, what was found bad before what is only missing; one test that is missing once."""
    missing: dict[str, list[Hindrance]] = {}
    for one in sorted(book.record.item.hindrances, key=lambda h: KINDS.index(h.kind)):
        if one.kind == "missing_test":
            missing.setdefault(one.id, []).append(one)
            continue
        item = item_text(book, faced, one.item)
        yield book.writer.words(words.HINDRANCES[one.kind], item=item, what=_what(book, faced, targets, one))
    for of in missing.values():
        items = joined(dict.fromkeys(item_text(book, faced, one.item) for one in of), "; ")
        what = _what(book, faced, targets, of[0])
        yield book.writer.words(words.HINDRANCES["missing_test"], item=items, what=what)


def _what(book: Book, faced: Faced, targets: Targets, one: Hindrance) -> Link | str:
    """A hindrance in a few words, linked to where it is told in full."""
    if one.kind == "finding":
        for number, finding in enumerate(faced.option.findings, 1):
            if finding.id == one.id and finding.item == one.item and is_danger(finding):
                return Link(finding_title(book, finding), "findings", faced.anchor("finding", str(number)))
    if one.kind == "condemned":
        return Link(book.text(words.CONDEMNED), "log")
    if one.kind == "defect":
        what = next((d.what for d in book.record.item.defects if d.id == one.id), one.id)
        return Link(what, "defects", f"defect.{one.id}")
    return test_link(book, targets, one.id, one.item, one.end)


def test_link(book: Book, targets: Targets, test: str, item: str, end: str) -> Link | str:
    """A test by its title, linked to its row where the record has a page of tests."""
    title = book.text(test_words.TITLES.get(test, words.A_TEST))
    anchor = dict(targets.test_anchors).get((test, item, end), "")
    return Link(title, targets.tests, anchor) if targets.tests else title


def accepted(book: Book, faced: Faced) -> list[Block]:
    """Dangers that somebody has accepted stay on the first page."""
    said: dict[Words, None] = {}
    for number, finding in enumerate(faced.option.findings, 1):
        if is_danger(finding) and finding.accepted_by is not None:
            link = Link(finding_title(book, finding), "findings", faced.anchor("finding", str(number)))
            reason = finding.accepted_because or ""
            said.setdefault(book.writer.words(words.ACCEPTED, title=link, name=finding.accepted_by, reason=reason))
    return [Callout(book.text(words.ACCEPTED_TITLE), tuple(said), "danger")] if said else []
