"""Which option the days speak for, and why: made from the results, in one sentence; and the figures that decide."""

from collections.abc import Sequence
from decimal import Decimal

from proposal.book.blocks import Callout, OptionFace, Tone, Words
from proposal.book.pages.behaviour_figures import (
    CRITERIA,
    Standing,
    accepted_of,
    dark,
    dark_days,
    days_of,
    engine,
    hardest,
    last_start,
    nights,
    standing,
    start,
)
from proposal.book.pages.context import Book
from proposal.book.pages.headline import arrangement_of, price
from proposal.book.pages.lived import Lived, margin_fields, within
from proposal.book.refs import Located
from proposal.book.sentences import behaviour_choice as sentences
from proposal.book.writer import Filled, joined

ALIKE_SHARE = Decimal("0.01")
"""Prices nearer than this are called the same."""


def choice(book: Book, options: Sequence[Lived]) -> Callout:
    """The answer: which option, and why."""
    standings = [standing(book, option) for option in options]
    best = min(standings, key=lambda s: (tuple(-rank for rank in s.ranks), s.cost))
    others = [s for s in standings if s is not best]
    misses, failed = _misses(book, best), 0 in best.ranks
    if not others:
        title = book.text(sentences.TITLE_ONE_BAD if failed else sentences.TITLE_ONE_GOOD)
        tone: Tone = "caution" if failed else "good"
        return Callout(title, tuple(_body(book, best, _own(book, best), misses)), tone, large=True)
    level = [s for s in others if s.ranks == best.ranks and s.cost - best.cost <= ALIKE_SHARE * best.cost]
    if len(level) == len(others):
        letters = joined((s.option.letter for s in standings), _and(book))
        clauses = [*_own(book, best), book.writer.words(sentences.PRICE, price=_price(book, best.option))]
        told = book.writer.words(sentences.EQUAL, letters=letters, clauses=_list(book, clauses))
        return Callout(book.text(sentences.TITLE_EQUAL), (told, *_mind(book, misses, clauses)), "plain", large=True)
    unsure = any(_unsure(best, other) for other in others)
    message = sentences.TITLE_LEAST_BAD if failed else sentences.TITLE_UNSURE if unsure else sentences.TITLE
    body = _body(book, best, _against(book, best, others), misses)
    if unsure:
        body.append(book.writer.words(sentences.UNSURE))
    tone = "caution" if failed or unsure else "good"
    return Callout(book.text(message, letter=best.option.letter), tuple(body), tone, large=True)


def _body(book: Book, best: Standing, clauses: list[Words], misses: list[Words]) -> list[Words]:
    option = best.option
    fields: dict[str, Filled] = {"letter": option.letter, "title": option.faced.option.title}
    return [
        book.writer.words(
            book.either(sentences.CHOICE, sentences.CHOICE_RECORD), **fields, clauses=_list(book, clauses)
        ),
        *_mind(book, misses, clauses),
    ]


def _mind(book: Book, misses: list[Words], told: list[Words]) -> list[Words]:
    """What even this option misses, if it has not been told yet."""
    new = [clause for clause in misses if clause not in told]
    return [book.writer.words(sentences.MISSES, clauses=_list(book, new))] if new else []


def _and(book: Book) -> str:
    return f" {book.text(sentences.LIST_AND)} "


def _list(book: Book, clauses: list[Words]) -> Words:
    return joined(clauses, book.text(sentences.SEPARATOR) + " ")


def _unsure(best: Standing, other: Standing) -> bool:
    """Whether the criterion that sets them apart is one of which either is not sure."""
    pair = next(((a, b) for a, b in zip(best.ranks, other.ranks, strict=True) if a != b), None)
    return pair is not None and 1 in pair


def _own(book: Book, best: Standing) -> list[Words]:
    found = (_start(book, best), _dark(book, best), _engine(book, best))
    return [clause for clause in found if clause is not None]


def _misses(book: Book, best: Standing) -> list[Words]:
    """Where even this option is not as asked."""
    found: list[Words | None] = []
    if not best.danger:
        message = book.either(sentences.DANGER, sentences.DANGER_RECORD)
        found.append(book.writer.words(message, others=_named(book, [best])))
    if best.start < 2:
        found.append(_start(book, best))
    if best.dark < 2:
        found.append(_dark(book, best))
    if not best.engine:
        found.append(_engine(book, best))
    if not best.lost:
        hours = book.writer.cell(best.option.year, "critical_dark_h")
        found.append(book.writer.words(sentences.NEEDED_LOST, hours=hours))
    return [clause for clause in found if clause is not None]


def _against(book: Book, best: Standing, others: list[Standing]) -> list[Words]:
    """What sets the best apart: each other option named by the first thing in which it does worse."""
    worse: dict[str, list[Standing]] = {}
    for other in others:
        why = next((n for n in CRITERIA if getattr(other, n) < getattr(best, n)), "")
        worse.setdefault(why, []).append(other)
    first = "start" if best.option.starts else "dark"
    own = {"start": _start, "dark": _dark, "engine": _engine}
    clauses: list[Words] = []
    for name in CRITERIA:
        told = own[name](book, best) if name in own and (name == first or name in worse) else None
        clauses += [told] if told is not None else []
        if name in worse:
            clauses.append(_worse(book, name, worse[name]))
    level = worse.get("", [])
    if level:
        message = sentences.SAME_OTHERWISE_ONE if len(level) == 1 else sentences.SAME_OTHERWISE
        clauses.append(book.writer.words(message, others=_named(book, level)))
        prices = joined(_other(book, sentences.OTHER_PRICE, s, price=_price(book, s.option)) for s in level)
        clauses.append(book.writer.words(sentences.CHEAPER, price=_price(book, best.option), others=prices))
    cheaper = [s for s in others if s.cost < best.cost]
    if cheaper:
        prices = joined(_other(book, sentences.PRICE_OF, s, price=_price(book, s.option)) for s in cheaper)
        clauses.append(book.writer.words(sentences.DEARER, price=_price(book, best.option), others=prices))
    return clauses


def _worse(book: Book, name: str, others: list[Standing]) -> Words:
    writer = book.writer
    if name == "danger":
        return writer.words(sentences.DANGER, others=_named(book, others))
    if name == "start":
        groups = (
            (sentences.OTHERS_FAIL, [s for s in others if s.start == 0]),
            (sentences.OTHERS_PERHAPS, [s for s in others if s.start == 1]),
        )
        return joined((writer.words(m, others=_named(book, g)) for m, g in groups if g), _and(book))
    if name == "dark":
        runs = (_other(book, sentences.OTHER_DARK, s, days=dark_days(book, s.option)) for s in others)
    elif name == "engine":
        hours = {s.option.letter: writer.cell(hardest(s.option), "engine_h") for s in others}
        runs = (_other(book, sentences.OTHER_ENGINE, s, hours=hours[s.option.letter]) for s in others)
    else:
        lost = {s.option.letter: writer.cell(s.option.year, "critical_dark_h") for s in others}
        runs = (_other(book, sentences.OTHER_NEEDED_LOST, s, hours=lost[s.option.letter]) for s in others)
    return joined(runs, _and(book))


def _other(book: Book, message: str, other: Standing, **fields: Filled) -> Words:
    return book.writer.words(message, other=book.text(sentences.OPTION, letter=other.option.letter), **fields)


def _named(book: Book, others: Sequence[Standing]) -> Words:
    return joined((book.text(sentences.OPTION, letter=s.option.letter) for s in others), _and(book))


def _price(book: Book, option: Lived) -> Words:
    return book.writer.money(Located(option.faced.option.price, f"{option.faced.path}.price"), "total")


def _start(book: Book, best: Standing) -> Words | None:
    last = last_start(best.option)
    if last is None:
        return None
    day = book.writer.cells.number("days", last.item.day, f"{last.path}.day")
    verdict = last.item.verdict
    if verdict == "starts" and last.item.margin_v is not None and last.item.minimum_v is not None:
        return book.writer.words(sentences.STARTS, day=day, margin=margin_fields(book, last)["margin"])
    message = {"starts": sentences.STARTS_PLAIN, "uncertain": sentences.STARTS_PERHAPS}.get(
        verdict, sentences.STARTS_NOT
    )
    return book.writer.words(message, day=day)


def _dark(book: Book, best: Standing) -> Words | None:
    found = within(best.option.at, "no_charge")
    if days_of(best.option) is None:
        return book.writer.words(sentences.DARK_MORE, days=book.writer.cell(found, "followed_days"))
    wanted = book.writer.cell(book.vessel, "wanted_days")
    message = (sentences.DARK_SHORT, sentences.DARK_UNSURE, sentences.DARK)[best.dark]
    spread = book.writer.cell(found, "uncertain_days")
    return book.writer.words(message, days=dark_days(book, best.option), wanted=wanted, uncertain=spread)


def _engine(book: Book, best: Standing) -> Words | None:
    day = hardest(best.option)
    if day.item.engine_h <= 0.0:
        return book.writer.words(sentences.ENGINE_NONE)
    hours = book.writer.cell(day, "engine_h")
    if best.engine:
        return book.writer.words(sentences.ENGINE, hours=hours)
    return book.writer.words(sentences.ENGINE_MORE, hours=hours, accepted=accepted_of(book, best.option))


def face(book: Book, option: Lived) -> OptionFace:
    """An option with the figures that decide."""
    faced = option.faced
    asked = None if book.recorded else price(book, faced)
    figures = (start(book, option), dark(book, option), engine(book, option), nights(book, option), asked)
    return OptionFace(
        faced.letter,
        faced.option.title,
        faced.option.pitch or book.text(arrangement_of(faced).name),
        faced.page,
        tuple(figure for figure in figures if figure is not None),
        (),
    )
