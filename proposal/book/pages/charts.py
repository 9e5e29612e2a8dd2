"""Time-current charts: one for each fuse, or for several that are alike, with what it says in words."""

from proposal.book.blocks import Block, Chart, Charts, Heading, Page, Paragraph, Tone, Words
from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located
from proposal.book.sentences import charts
from proposal.book.writer import Naming, joined
from proposal.drawings import time_current
from proposal.results.model import ProtectionResult

KEY = "key-curve-lines.svg"
"""File of the key that all charts share."""
TONES: dict[str, Tone] = {"passes": "good", "fails": "caution", "undecided": "unknown"}


def page(book: Book) -> Page:
    """All charts of every option."""
    blocks: list[Block] = [Paragraph(book.writer.words(text)) for text in (charts.CHARTS_READ, charts.CHARTS_GOOD)]
    if KEY in book.drawings:
        key = Chart(KEY, book.text(charts.KEY_ALT), book.writer.words(charts.KEY_CAPTION), "key")
        blocks.append(Charts((key,)))
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
    sentence, tone = _far_end(book, faced, at)
    runs.append(sentence)
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


def _far_end(book: Book, faced: Faced, at: Located[ProtectionResult]) -> tuple[Words, Tone]:
    """Whether it opens every fault on the conductor that bears it worst in time: the ruling on it, in words."""
    number, ruling = next(((n, r) for n, r in enumerate(at.item.rulings) if r.demand == "far_end"), (0, None))
    if ruling is None:
        return book.writer.words(charts.NO_PART if at.item.part_id is None else charts.NO_FAULT), "plain"
    values = ruling.values
    if values.get("cause") == "carried":
        message = charts.CARRIED
    elif "clears_s" not in values:
        message = charts.NOT_KNOWN
    elif values["clears_s"] is None:
        message = charts.NOT_SURE
    elif (ruling.remembered or ruling.outcome) == "passes":
        message = charts.OPENS if values.get("cause") == "far_end" else charts.OPENS_NEAR
    else:
        message = charts.TOO_SLOW if values.get("cause") == "far_end" else charts.TOO_SLOW_NEAR
    sentence = book.writer.fact(message, values, f"{at.path}.rulings[{number}].values", _designation(faced))
    current_a, through_a = values.get("current_a"), values.get("through_a")
    if isinstance(current_a, float) and isinstance(through_a, float) and abs(through_a - current_a) > 0.01 * current_a:
        share = book.writer.fact(charts.THROUGH, values, f"{at.path}.rulings[{number}].values", _designation(faced))
        sentence = joined((sentence, share), " ")
    if ruling.outcome == "undecided" and ruling.wanting in charts.WANTING:
        sentence = joined((sentence, book.writer.words(charts.WANTING[ruling.wanting])), " ")
    return sentence, TONES[ruling.outcome]


def _designation(faced: Faced) -> Naming:
    """Conductors by their designation alone: the chart is small."""

    def naming(field: str, value: str) -> str | None:
        found = faced.items.named(value) if field == "conductor" else None
        return found.designation if found is not None and found.designation else faced.items.naming(field, value)

    return naming


def read_out(words: Words) -> str:
    """A run as plain text, for those who cannot see the drawing."""
    texts = (part if isinstance(part, str) else part.text for part in words.parts)
    return "".join(text if isinstance(text, str) else text.text for text in texts)
