"""Time-current charts: one for each fuse, or for several that are alike, with what it says in words."""

from proposal.book.blocks import Block, Chart, Charts, Figure, Heading, Page, Paragraph, Tone, Words
from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located
from proposal.book.sentences import charts
from proposal.book.writer import Filled, joined
from proposal.drawings import time_current
from proposal.results.model import GuardedResult, ProtectionResult

KEY = "key-curves.svg"
"""File of the key that all charts share."""


def page(book: Book) -> Page:
    """All charts of every option."""
    blocks: list[Block] = [Paragraph(book.writer.words(text)) for text in (charts.CHARTS_READ, charts.CHARTS_GOOD)]
    if KEY in book.drawings:
        blocks.append(Figure(KEY, book.text(charts.KEY_ALT), book.text(charts.KEY_CAPTION)))
    for faced in book.options:
        heading = book.text(charts.CHARTS_HEADING, letter=faced.letter, title=faced.option.title)
        blocks.append(Heading(heading, 2, faced.anchor("charts")))
        made = tuple(_charts(book, faced))
        none = Paragraph(book.writer.words(charts.CHARTS_NONE, letter=faced.letter))
        blocks.append(Charts(made) if made else none)
    title = book.text(charts.CHARTS_TITLE)
    return Page("charts", title, ("installer", "surveyor"), tuple(blocks), book.writer.words(charts.CHARTS_LEAD))


def _charts(book: Book, faced: Faced) -> list[Chart]:
    made = []
    for number, chart in enumerate(faced.charts, start=1):
        name = time_current.chart_name(faced.letter.lower(), number)
        if name in book.drawings:
            words, tone = told(book, faced, chart)
            made.append(Chart(name, read_out(words), words, faced.chart_of[chart.fuses[0].key], tone))
    return made


def told(book: Book, faced: Faced, chart: time_current.Chart) -> tuple[Words, Tone]:
    """What a chart says, in words, and how good that is."""
    row = chart.hardest
    at = Located(row, f"{faced.path}.protection[{faced.option.protection.index(row)}]")
    writer = book.writer
    runs = [writer.words(charts.ONE, fuses=", ".join(f.designation for f in chart.fuses))]
    sentence, tone = _far_end(book, at)
    runs.append(sentence)
    if row.remembered and row.curve:
        runs.append(writer.words(charts.REMEMBERED))
    for number, passing in enumerate(row.must_pass):
        here = Located(passing, f"{at.path}.must_pass[{number}]")
        runs.append(
            writer.words(
                charts.MUST_PASS,
                item=faced.items.phrase(passing.item),
                current=writer.cell(here, "current_a"),
                duration=writer.cell(here, "duration_s"),
            )
        )
    if len(chart.fuses) > 1:
        runs.append(writer.words(charts.ALIKE, first=row.designation))
    return joined(runs, " "), tone


def _far_end(book: Book, at: Located[ProtectionResult]) -> tuple[Words, Tone]:
    """Whether it opens the least short circuit at the far end before the conductor that bears it worst is harmed."""
    row, writer = at.item, book.writer
    seen = [n for n, g in enumerate(row.guarded) if g.through_fuse_a is not None]
    if not seen:
        return writer.words(charts.NO_FAULT), "plain"
    number = max(seen, key=lambda n: _burden(row.guarded[n]))
    guarded = Located(row.guarded[number], f"{at.path}.guarded[{number}]")
    item = guarded.item
    fields: dict[str, Filled] = {
        "conductor": item.designation,
        "current": writer.cell(guarded, "through_fuse_a"),
        "stands": writer.cell(guarded, "stands_s"),
    }
    if not row.curve:
        return writer.words(charts.NOT_KNOWN, **fields), "unknown"
    if item.clears_s is None:
        return writer.words(charts.NOT_SURE, **fields), "unknown"
    fields["clears"] = writer.cell(guarded, "clears_s")
    in_time = item.stands_s is None or item.clears_s <= item.stands_s
    tone: Tone = "unknown" if row.remembered else "good" if in_time else "caution"
    return writer.words(charts.OPENS if in_time else charts.TOO_SLOW, **fields), tone


def _burden(guarded: GuardedResult) -> float:
    """Time that it may last over the time that the conductor stands; most where that is not known."""
    if guarded.clears_s is None:
        return float("inf")
    return guarded.clears_s / guarded.stands_s if guarded.stands_s else 0.0


def read_out(words: Words) -> str:
    """A run as plain text, for those who cannot see the drawing."""
    texts = (part if isinstance(part, str) else part.text for part in words.parts)
    return "".join(text if isinstance(text, str) else text.text for text in texts)
