"""Page 1: the proposal in two minutes."""

from proposal.book.blocks import (
    Block,
    Bullets,
    Callout,
    Figure,
    Heading,
    KeyFigures,
    Link,
    Page,
    Paragraph,
    Signature,
    Strong,
    Words,
)
from proposal.book.pages.behaviour_choice import choice
from proposal.book.pages.context import Book, Faced, open_dangers
from proposal.book.pages.headline import headline, weight
from proposal.book.pages.lived import lived
from proposal.book.pages.telling import finding_title
from proposal.book.sentences import behaviour, cautions, client, consents, names
from proposal.book.writer import joined, plain
from proposal.results.finding_model import is_danger

MOST_TITLES = 3


def page(book: Book) -> Page:
    """The first page: dangers first, one picture and the deciding figures of each option, cautions, what to decide."""
    several = len(book.options) > 1
    blocks: list[Block] = [*_dangers(book)]
    for faced in book.options:
        blocks += _option(book, faced)
    if options := lived(book):
        link = Link(book.text(behaviour.LINK), "behaviour")
        answer = Strong(choice(book, options).title)
        blocks.append(Paragraph(book.writer.words(behaviour.SEE, choice=answer, link=link)))
    blocks += critical(book)
    blocks += [
        Callout(
            book.text(client.CAUTIONS_TITLE),
            (*three_cautions(book), plain(Link(book.text(client.ALL_CAUTIONS), "cautions"))),
            "caution",
        ),
        Heading(book.text(client.DECIDE), 2, "decide"),
        Bullets(tuple(_decisions(book)), numbered=True),
        Paragraph(book.writer.words(cautions.DEFERENCE)),
        Signature(
            (book.results.vessel.client, book.results.vessel.installer),
            book.text(
                client.SIGN if several else client.SIGN_ONE,
                number=book.results.vessel.number,
                revision=book.results.vessel.revision,
                date=book.writer.cells.date(book.results.vessel.date),
            ),
        ),
    ]
    lead = book.writer.words(client.INDEX_LEAD if several else client.INDEX_LEAD_ONE, vessel=book.results.vessel.name)
    return Page("index", book.text(client.INDEX_TITLE), ("client",), tuple(blocks), lead)


def three_cautions(book: Book) -> tuple[Words, ...]:
    """The three cautions of the first page; the last depends on whether lead and lithium are joined."""
    kinds = [{bank.chemistry == "lithium" for bank in faced.option.banks} for faced in book.options]
    last = cautions.CONSENT if any(len(found) > 1 for found in kinds) else cautions.LITHIUM_ALONE
    return tuple(caution_words(book, c, short=True) for c in (*cautions.FIRST_PAGE[:2], last))


def caution_words(book: Book, caution: cautions.Caution, *, short: bool = False) -> Words:
    """A caution with its first words emphasised; `short` for the first page."""
    text = caution.short if short and caution.short else caution.text
    return plain(Strong(book.text(caution.title)), " ", book.text(text))


def _dangers(book: Book) -> list[Block]:
    runs = []
    for faced in book.options:
        dangers = open_dangers(faced.option)
        if not dangers:
            continue
        titles = list(dict.fromkeys(finding_title(book, finding) for _, finding in dangers))
        places = {finding_title(book, finding): number for number, finding in reversed(dangers)}
        links = joined(
            Link(title, "findings", faced.anchor("finding", str(places[title] + 1))) for title in titles[:MOST_TITLES]
        )
        if len(titles) > MOST_TITLES:
            links = book.writer.words(client.DANGER_TITLES_MORE, titles=links)
        count = _danger_count(book, faced, len(dangers))
        runs.append(book.writer.words(client.DANGER_OF_OPTION, letter=faced.letter, count=count, titles=links))
    accepted, refused = _by_name(book)
    if runs:
        return [Callout(book.text(client.DANGER_TITLE), (*runs, *refused, *accepted), "danger")]
    if accepted:
        return [Callout(book.text(client.DANGER_ACCEPTED_TITLE), tuple(accepted), "danger")]
    link = Link(book.text(client.FINDINGS_LINK), "findings")
    message = client.NO_DANGER if len(book.options) > 1 else client.NO_DANGER_ONE
    return [Callout(book.text(client.NO_DANGER_TITLE), (book.writer.words(message, findings=link),), "good")]


def _by_name(book: Book) -> tuple[list[Words], list[Words]]:
    """Dangers that somebody has accepted, and those that somebody wants to accept and nobody can, each told once."""
    accepted: dict[Words, None] = {}
    refused: dict[Words, None] = {}
    for faced in book.options:
        for number, finding in enumerate(faced.option.findings):
            if not is_danger(finding):
                continue
            link = Link(finding_title(book, finding), "findings", faced.anchor("finding", str(number + 1)))
            if finding.accepted_by is not None:
                fields = {"name": finding.accepted_by, "reason": finding.accepted_because or ""}
                words = book.writer.words(client.DANGER_ACCEPTED, letter=faced.letter, title=link, **fields)
                accepted.setdefault(words)
            elif finding.refused_to is not None:
                fields = {"name": finding.refused_to}
                refused.setdefault(book.writer.words(client.DANGER_REFUSED, letter=faced.letter, title=link, **fields))
    return list(accepted), list(refused)


def _danger_count(book: Book, faced: Faced, count: int) -> Words:
    where = "outcome=fires&severity=danger&accepted_by=None"
    cell = book.writer.cells.count(count, f"{faced.path}.findings[{where}].length")
    return book.writer.several(names.DANGERS, count, count=cell)


def _option(book: Book, faced: Faced) -> list[Block]:
    title = book.text(client.OPTION_HEADING, letter=faced.letter, title=faced.option.title)
    blocks: list[Block] = [Heading(title, 2, faced.anchor("option"))]
    if faced.option.pitch:
        blocks.append(Paragraph(plain(faced.option.pitch)))
    for drawing in book.drawings_of(faced, "picture"):
        alt = book.text(client.PICTURE_ALT, letter=faced.letter, title=faced.option.title)
        blocks.append(Figure(drawing, alt, book.text(client.PICTURE_CAPTION, letter=faced.letter)))
    blocks.append(KeyFigures((*headline(book, faced), weight(book, faced))))
    link = Link(book.text(client.OPTION_COLUMN, letter=faced.letter), faced.page)
    blocks.append(Paragraph(book.writer.words(client.READ_OPTION, option=link)))
    return blocks


def critical(book: Book) -> list[Block]:
    """What must not go dark, and what is always on."""
    loads = book.options[0].option.loads
    named = joined(load.title for load in loads if load.critical)
    always = joined(load.title for load in loads if load.always_on)
    runs = [book.writer.words(client.CRITICAL, loads=named) if named.parts else book.writer.words(client.CRITICAL_NONE)]
    if always.parts:
        runs.append(book.writer.words(client.ALWAYS_ON, loads=always))
    return [Heading(book.text(client.CRITICAL_HEADING), 2, "critical"), *(Paragraph(run) for run in runs)]


def _decisions(book: Book) -> list[Words]:
    vessel = book.results.vessel
    options = joined(
        (Link(book.text(client.OPTION_NAME, letter=f.letter, title=f.option.title), f.page) for f in book.options),
        book.text(client.OR),
    )
    if len(book.options) > 1:
        compare = Link(book.text(client.SIDE_BY_SIDE), "compare")
        decisions = [book.writer.words(client.DECIDE_OPTION, options=options, compare=compare)]
    else:
        decisions = [book.writer.words(client.DECIDE_ONE, options=options)]
    for faced in book.options:
        counts = book.counts(faced)
        if counts.parts:
            link = Link(book.text(client.FINDINGS_LINK), "findings", faced.anchor("findings"))
            decisions.append(
                book.writer.words(client.DECIDE_FINDINGS, letter=faced.letter, counts=counts, findings=link)
            )
    if book.results.survey.unknown:
        points = joined((what for what, _ in book.results.survey.unknown), "; ")
        link = Link(book.text(client.NUMBERS_LINK), "numbers", "unknown")
        decisions.append(book.writer.words(client.DECIDE_UNKNOWN, points=points, numbers=link))
    if any(entry.state != "there" for faced in book.options for entry in faced.option.consents):
        link = Link(book.text(consents.LINK), "consents")
        decisions.append(book.writer.words(client.DECIDE_CONSENT, consents=link))
    if vessel.installer_terms:
        link = Link(book.text(client.PRICE_LINK), "price", "terms")
        decisions.append(book.writer.words(client.DECIDE_TERMS, terms=link))
    valid = book.writer.cell(book.vessel, "valid_days")
    date = book.writer.cells.date(vessel.date)
    decisions.append(book.writer.words(client.DECIDE_VALID, valid_days=valid, date=date))
    return decisions
