"""Page: the switching plan of each option, phase by phase."""

from itertools import groupby

from proposal.book.blocks import Block, Bullets, Heading, Page, Paragraph, Words
from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located, each
from proposal.book.sentences import switching_plan as words
from proposal.book.tables import Link, Strong
from proposal.book.writer import Filled, joined, plain
from proposal.results.model import SwitchingStep

MOST_NAMED = 8
"""More items than this are told by the page of cables and protection."""


def page(book: Book) -> Page:
    """For each option a numbered list for each phase."""
    blocks: list[Block] = [Paragraph(book.writer.words(words.READ))]
    for faced in book.options:
        blocks.append(Heading(book.text(words.HEADING, letter=faced.letter), 2, faced.anchor("switching")))
        steps = each(faced.option.switching, f"{faced.path}.switching")
        for phase, group in groupby(steps, key=lambda step: step.item.phase):
            blocks.append(Heading(book.text(words.PHASES[phase]), 3, faced.anchor("switching", phase)))
            blocks.append(Bullets(tuple(_step(book, faced, step) for step in group), numbered=True))
    return Page("switching", book.text(words.TITLE), ("installer",), tuple(blocks), book.writer.words(words.LEAD))


def _step(book: Book, faced: Faced, step: Located[SwitchingStep]) -> Words:
    values = {name: value for name, value in step.item.values.items() if value is not None}
    sentence = book.writer.fact(words.STEPS[step.item.code], values, f"{step.path}.values", faced.items.naming)
    named = _named(book, faced, step.item.items)
    return joined((plain(named, ": "), sentence), "") if named.parts else sentence


def _named(book: Book, faced: Faced, keys: tuple[str, ...]) -> Words:
    """What is handled: cables by their designation, everything else as in a list of devices."""
    conductors = {c.key for c in faced.option.conductors}
    runs: list[Filled] = []
    for key in keys[:MOST_NAMED]:
        found = faced.items.named(key)
        if key in conductors and found is not None:
            runs.append(Link(found.designation, "cables", faced.anchor(key)))
        else:
            runs.append(Strong(faced.items.called(key)))
    runs = list(dict.fromkeys(runs))
    if len(keys) > MOST_NAMED:
        runs.append(book.text(words.AND_MORE))
    return joined(runs)
