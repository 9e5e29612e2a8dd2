"""Events, states and troubles of the days in words: a code and its values become a sentence."""

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Any

from proposal.book.blocks import Moment, Timeline, Tone, Words
from proposal.book.pages.context import Book
from proposal.book.pages.lived import DAY_S, Lived, entries
from proposal.book.refs import Located
from proposal.book.sentences import behaviour_events as sentences
from proposal.book.writer import Naming, joined, plain
from proposal.studies.behaviour.result import Event, Scene, Trouble

LEAST_A = 0.05
"""Less than this is nothing in a storyboard."""
ITEMS_NAMED = ("item", "bank", "relay", "source", "load")
SWITCHINGS = frozenset({"relay_joins", "relay_parts", "chatter"})
MANY = 5
"""So many switchings of one relay with nothing between them are told as one."""
WARNINGS = frozenset({"load_dark", "collapse", "chatter", "charge_blocked", "discharge_blocked", "bank_low"})


def timeline(book: Book, option: Lived, title: str, events: list[Located[Event]]) -> Timeline:
    """All events of a day, in their order; a relay's that come one upon the other as one."""
    moments = []
    for alike in _grouped(events):
        first, last = alike[0], alike[-1]
        made = moment(book, option, first)
        if len(alike) > 1:
            until = book.writer.cells.clock(last.item.time_s, f"{last.path}.time_s")
            told = book.writer.words(sentences.AGAIN_AND_AGAIN, item=option.short(first.item.item), until=until)
            made = Moment(made.time, told, plain(), "caution", count=len(alike))
        moments.append(made)
    return Timeline(option.letter, title, tuple(moments))


def _grouped(events: list[Located[Event]]) -> Iterator[list[Located[Event]]]:
    """Runs of many switchings of one relay together, every other event alone."""
    for key, run in groupby(events, key=lambda e: e.item.item if e.item.code in SWITCHINGS else None):
        alike = list(run)
        if key is not None and len(alike) >= MANY:
            yield alike
        else:
            yield from ([event] for event in alike)


def moment(book: Book, option: Lived, event: Located[Event]) -> Moment:
    """One event with its time of day and how sure it is."""
    found = event.item
    time = plain(book.writer.cells.clock(found.time_s, f"{event.path}.time_s"))
    note = plain()
    if found.margin_v is not None:
        margin = book.writer.cell(event, "margin_v")
        message = sentences.UNCERTAIN if found.uncertain else sentences.MARGIN
        note = book.writer.words(message, margin=margin)
    elif found.uncertain:
        note = book.writer.words(sentences.UNCERTAIN_PLAIN)
    tone: Tone = "unknown" if found.uncertain else "caution" if found.code in WARNINGS else "plain"
    return Moment(time, event_words(book, option, event), note, tone)


def event_words(book: Book, option: Lived, event: Located[Event]) -> Words:
    """The sentence of an event, by its cause or by the kind of its item where there is one."""
    found = event.item
    kinds = [str(found.values.get("cause", "")), _kind(option, found.item)]
    return _told(book, option, event, sentences.EVENTS, kinds, sentences.EVENT_OTHER)


def trouble_words(book: Book, option: Lived, trouble: Located[Trouble]) -> Words:
    """The sentence of a trouble."""
    kinds = [str(trouble.item.values.get("cause", ""))]
    return _told(book, option, trouble, sentences.TROUBLES, kinds, sentences.TROUBLE_OTHER)


def trouble_when(book: Book, option: Lived, trouble: Located[Trouble]) -> Words:
    """The run in which a trouble showed, and when."""
    run, seconds = trouble.item.run, trouble.item.time_s
    ref = f"{trouble.path}.time_s"
    cells = book.writer.cells
    if any(day.season == run for day in option.days.days):
        words = book.text(sentences.TROUBLE_RUN_DAY, season=option.season(run))
        return book.writer.words(sentences.TROUBLE_AT_DAY, run=words, time=cells.clock(seconds, ref))
    words = book.text(sentences.TROUBLE_RUNS.get(run, sentences.TROUBLE_RUN_OTHER))
    if run == "day":
        return book.writer.words(sentences.TROUBLE_AT_DAY, run=words, time=cells.clock(seconds, ref))
    if seconds <= 0.0:
        return plain(words)
    unit = "hours_of_s" if seconds < DAY_S else "days_of_s"
    days = cells.number("time_s", seconds, ref, unit=unit)
    return book.writer.words(sentences.TROUBLE_AFTER, run=words, days=days)


def _told(book: Book, option: Lived, at: Located[Any], told: Mapping[str, str], kinds: list[str], other: str) -> Words:
    item, code = at.item.item, at.item.code
    values = {**at.item.values, "item": item}
    if "bank" not in values:
        values["bank"] = _bank_of(option, item)
    message = next((told[f"{code}.{kind}"] for kind in kinds if f"{code}.{kind}" in told), told.get(code, other))
    return book.writer.fact(message, values, f"{at.path}.values", naming(option))


def naming(option: Lived) -> Naming:
    """Items by their title alone: lists of events are long."""

    def named(field: str, value: str) -> str | None:
        return option.short(value) if field in ITEMS_NAMED else option.faced.items.naming(field, value)

    return named


def _kind(option: Lived, item: str) -> str:
    source = next((s.kind for s in option.faced.option.sources if s.key == item), "")
    device = next((d.kind for d in option.faced.option.devices if d.key == item), "")
    return source or device


def _bank_of(option: Lived, item: str) -> str:
    """The bank that a relay joins; the item itself where it is none's."""
    return next((bank.key for bank in option.faced.option.banks if item.startswith(f"{bank.key}.")), item)


def scene_name(book: Book, scene: Scene) -> str:
    """What the state is about."""
    return book.text(sentences.SCENES.get(scene.code, sentences.SCENE_OTHER))


def scene_words(book: Book, option: Lived, scene: Located[Scene]) -> Words:
    """Who gives and who takes in one state, and what is open."""
    writer = book.writer
    runs = [writer.words(sentences.SCENE_LOADS, loads=_size(book, scene.item.loads_a, f"{scene.path}.loads_a"))]
    for number, (key, current_a) in enumerate(scene.item.sources_a):
        if current_a > LEAST_A:
            current = _size(book, current_a, f"{scene.path}.sources_a[{number}][1]")
            runs.append(writer.words(sentences.SCENE_SOURCE, item=option.short(key), current=current))
    for number, (key, current_a) in enumerate(scene.item.banks_a):
        if abs(current_a) > LEAST_A:
            message = sentences.SCENE_GIVES if current_a > 0 else sentences.SCENE_TAKES
            current = _size(book, current_a, f"{scene.path}.banks_a[{number}][1]")
            runs.append(writer.words(message, item=option.short(key), current=current))
    if scene.item.open_devices:
        opened = ", ".join(dict.fromkeys(option.short(key) for key in scene.item.open_devices))
        runs.append(writer.words(sentences.SCENE_OPEN, items=opened))
    return joined(runs, " ")


def _size(book: Book, current_a: float, ref: str) -> Words:
    """A current without its sign: the sentence says which way it flows."""
    from dataclasses import replace  # noqa: PLC0415

    cell = book.writer.cells.number("current_a", abs(current_a), ref)
    return plain(replace(cell, value=current_a))


def events_of(day: Located[Any]) -> list[Located[Event]]:
    """Events of a day with their places."""
    return list(entries(day, "events"))
