"""Of the page of the days: troubles, what was assumed, and how all of it was computed."""

from collections.abc import Sequence

from proposal.book.blocks import Block, Heading, Paragraph, Row, Words
from proposal.book.pages.behaviour_told import naming, trouble_when, trouble_words
from proposal.book.pages.context import Book, table
from proposal.book.pages.lived import Figure, Lived, beside, entries, within
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.sentences import behaviour_assumed as assumed_words
from proposal.book.tables import Table
from proposal.book.writer import joined, plain
from proposal.results.model import CitationResult
from proposal.studies.behaviour.result import DayAssumption


def troubles(book: Book, options: Sequence[Lived]) -> list[Block]:
    """Everything that is not as it should be, told of each option."""
    heading = Heading(book.text(words.TROUBLES_HEADING), 2, "troubles")
    rows = []
    for option in options:
        for trouble in entries(option.at, "troubles"):
            cells = (
                plain(option.letter),
                trouble_words(book, option, trouble),
                trouble_when(book, option, trouble),
            )
            rows.append(Row(cells, tone="caution"))
    if not rows:
        return [heading, Paragraph(book.writer.words(words.TROUBLES_NONE), "good")]
    columns = book.columns(words.COLUMN_OPTION, (words.COLUMN_TROUBLE, "wide"), words.COLUMN_WHEN)
    return [heading, table(book.text(words.TROUBLES_TABLE), columns, rows)]


def assumed(book: Book, options: Sequence[Lived]) -> list[Block]:
    """What the days rest on, each figure once, with the options that it belongs to."""
    told: dict[tuple[str, str], tuple[list[str], Words, Words]] = {}
    for option in options:
        for entry in entries(option.at, "assumptions"):
            sentence, source = _assumed(book, option, entry), _source(book, entry.item)
            key = (_read(sentence), _read(source))
            told.setdefault(key, ([], sentence, source))[0].append(option.letter)
    if not told:
        return []
    rows = [
        Row((sentence, plain(", ".join(dict.fromkeys(letters))), source)) for letters, sentence, source in told.values()
    ]
    columns = book.columns((words.COLUMN_ASSUMED, "wide"), words.COLUMN_OPTION, (words.COLUMN_SOURCE, "wide"))
    made = table(book.text(words.ASSUMED_TABLE), columns, rows, dense=True)
    folded = Table(made.caption, made.columns, made.rows, 0, made.dense, folded=True)
    heading = Heading(book.text(words.ASSUMED_HEADING), 2, "assumed")
    return [heading, Paragraph(book.writer.words(words.ASSUMED_READ)), folded]


def _read(run: Words) -> str:
    return "".join(part if isinstance(part, str) else str(part.text) for part in run.parts)


def _assumed(book: Book, option: Lived, at: Located[DayAssumption]) -> Words:
    item = at.item.item
    message = assumed_words.ASSUMED.get(at.item.code, assumed_words.ASSUMED_OTHER)

    def named(field: str, value: str) -> str | None:
        if field != "item":
            return naming(option)(field, value)
        if not value or option.faced.items.named(value) is None:
            return book.text(assumed_words.LOADS if value == "loads" else assumed_words.EVERYTHING)
        return option.short(value)

    return book.writer.fact(message, {**at.item.values, "item": item}, f"{at.path}.values", named)


def _source(book: Book, found: DayAssumption) -> Words:
    return book.source(CitationResult(found.source, found.clause, found.status))


def computed(book: Book, options: Sequence[Lived]) -> list[Block]:
    """Step, seed, tolerance and how well the books close."""
    writer = book.writer

    def own(name: str) -> Figure:
        return lambda option: writer.one(option.at, name)

    def count(path: str, name: str) -> Figure:
        return lambda option: writer.count_of(within(option.at, path), name)

    def audit(name: str) -> Figure:
        def figure(option: Lived) -> Words:
            at = within(option.year, "audit")
            value = getattr(at.item, name)
            if isinstance(value, int):
                return writer.count_of(at, name)
            return plain(writer.cells.tiny("factor", value, f"{at.path}.{name}"))

        return figure

    rows: list[tuple[Words, Figure, str]] = [
        (plain(book.text(words.COMPUTED_STEP_ROW)), own("step_s"), ""),
        (plain(book.text(words.COMPUTED_YEARS_STEP_ROW)), lambda o: writer.one(within(o.at, "years"), "step_s"), ""),
        (plain(book.text(words.COMPUTED_COUNT_ROW)), count("years", "count"), ""),
        (plain(book.text(words.COMPUTED_SEED_ROW)), lambda o: writer.count_of(o.at, "seed"), ""),
        (plain(book.text(words.COMPUTED_TOLERANCE_ROW)), own("tolerance_v"), ""),
        (plain(book.text(words.COMPUTED_CHARGE_ROW)), audit("charge_error_share"), ""),
        (plain(book.text(words.COMPUTED_ENERGY_ROW)), audit("energy_error_share"), ""),
        (plain(book.text(words.COMPUTED_SWITCHINGS_ROW)), audit("switchings"), ""),
        (plain(book.text(words.COMPUTED_CAPPED_ROW)), audit("capped"), ""),
        (plain(book.text(words.COMPUTED_UNSETTLED_ROW)), audit("unsettled"), ""),
    ]
    rows.append((plain(book.text(words.COMPUTED_ERROR_ROW)), lambda o: _errors(book, o), ""))
    made = beside(book, options, book.text(words.COMPUTED_TABLE), rows, folded=True, dense=True)
    heading = Heading(book.text(words.COMPUTED_HEADING), 2, "computed")
    read = Paragraph(book.writer.words(words.COMPUTED_READ))
    return [heading, read, made] if made is not None else [heading, read]


def _errors(book: Book, option: Lived) -> Words:
    """What the longer step makes of each quantity."""
    runs = []
    for n, (name, error_share) in enumerate(option.days.years.step_error):
        cell = book.writer.cells.number("error_share", error_share, f"{option.at.path}.years.step_error[{n}][1]")
        if name in words.QUANTITIES_ALONE:
            quantity = book.text(words.QUANTITIES_ALONE[name])
            runs.append(book.writer.words(words.COMPUTED_ERROR, quantity=quantity, error=cell))
    return joined(runs, "; ")
