"""The figures of the days that decide about an option, and how it stands by them."""

from decimal import Decimal

from proposal.book.blocks import KeyFigure, Tone, Words
from proposal.book.pages.context import Book, open_dangers
from proposal.book.pages.lived import Lived, entries, margin_fields, or_more, within
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.sentences import names
from proposal.book.writer import Filled, joined, plain
from proposal.frozen import frozen
from proposal.studies.behaviour.result import Day, StartOnDay

START_RANK = {"starts": 2, "uncertain": 1, "fails": 0}
START_TONES: dict[str, Tone] = {"starts": "good", "uncertain": "caution", "fails": "danger"}
ROUNDING_H = 0.05
"""Less than this over the hours that the client accepts is not told apart from them."""
CRITERIA = ("danger", "start", "dark", "engine", "lost")
"""In order of weight: what a boat must do comes before what it costs."""


LOW, MIDDLE, HIGH = 1, 10, 19
"""Places among the quantiles between which nine of ten lie, and the middle one."""


@frozen
class Standing:
    """How an option does, from 2 (surely as asked) to 0, by criterion, and what it costs."""

    option: Lived
    danger: int
    start: int
    dark: int
    engine: int
    lost: int
    cost: Decimal

    @property
    def ranks(self) -> tuple[int, ...]:
        """In order of weight."""
        return tuple(getattr(self, name) for name in CRITERIA)


def standing(book: Book, option: Lived) -> Standing:
    """How an option does."""
    energy = option.faced.option.energy
    accepted = next((s.engine_accepted_h for s in energy.seasons if s.season == hardest(option).item.season), 0.0)
    last = last_start(option)
    wanted, found = book.results.vessel.wanted_days, option.days.no_charge
    days = days_of(option)
    spread = found.uncertain_days
    dark = 2 if days is None or days - spread >= wanted else 1 if days + spread >= wanted else 0
    return Standing(
        option,
        danger=0 if open_dangers(option.faced.option) else 2,
        start=START_RANK[last.item.verdict] if last is not None else 2,
        dark=dark,
        engine=2 if accepted <= 0.0 or hardest(option).item.engine_h <= accepted + ROUNDING_H else 0,
        lost=2 if option.days.year.critical_dark_h <= 0.0 else 0,
        cost=option.faced.option.price.total,
    )


def last_start(option: Lived) -> Located[StartOnDay] | None:
    """The start after the longest time left alone; None where there is no engine or nobody asked."""
    return option.starts[-1] if option.starts else None


def hardest(option: Lived) -> Located[Day]:
    """The ordinary day on which engine or generator run longest."""
    found: Located[Day] = max(entries(option.at, "days"), key=lambda day: float(day.item.engine_h))
    return found


def _has_critical(option: Lived) -> bool:
    return any(load.critical for load in option.faced.option.loads)


def days_of(option: Lived) -> float | None:
    """Days without charge until something needed goes dark, or anything where nothing is named as needed."""
    found = option.days.no_charge
    return found.critical_dark_days if _has_critical(option) else found.first_dark_days


def dark_days(book: Book, option: Lived) -> Words:
    """The same in words."""
    name = "critical_dark_days" if _has_critical(option) else "first_dark_days"
    return or_more(book, within(option.at, "no_charge"), name)


def accepted_of(book: Book, option: Lived) -> Words:
    """Hours a day of engine that the client accepts; nothing where nobody said."""
    energy = Located(option.faced.option.energy, f"{option.faced.path}.energy")
    seasons = entries(energy, "seasons")
    found = next((s for s in seasons if s.item.season == hardest(option).item.season), None)
    if found is None or found.item.engine_accepted_h <= 0.0:
        return plain()
    return book.writer.one(found, "engine_accepted_h")


def start(book: Book, option: Lived) -> KeyFigure | None:
    """Whether the engine starts after the longest time left alone; None where nobody asked or there is no engine."""
    last = last_start(option)
    if last is None:
        return None
    verdict = book.text(names.VERDICTS[last.item.verdict])
    figure = plain(verdict)
    if last.item.starter_v is not None:
        volts = book.writer.cell(last, "starter_v", digits=1)
        figure = book.writer.words(words.START_FIGURE, verdict=verdict, starter_v=volts)
    day = book.writer.cells.number("days", last.item.day, f"{last.path}.day")
    if last.item.minimum_v is None or last.item.margin_v is None:
        note = book.writer.words(words.START_NOTE_PLAIN, day=day)
    else:
        minimum = book.writer.cell(last, "minimum_v", digits=1)
        note = book.writer.words(words.START_NOTE, day=day, minimum_v=minimum, **margin_fields(book, last))
    neglect = option.neglect
    if neglect is not None and last.item.verdict != "starts":
        until = neglect.item.starts_until_days
        cell = book.writer.cell(neglect, "starts_until_days")
        more = book.writer.words(words.START_UNTIL, until=cell) if until is not None else plain(
            book.text(words.START_NEVER)
        )  # fmt: skip
        note = joined((note, more), "; ")
    return KeyFigure(book.text(words.START), figure, note, START_TONES[last.item.verdict])


def dark(book: Book, option: Lived) -> KeyFigure:
    """Days without charge until something needed goes dark; until anything does where nothing is named as needed."""
    found = within(option.at, "no_charge")
    ranks = standing(book, option)
    critical = _has_critical(option)
    fields: dict[str, Filled] = {
        "season": option.season(found.item.season),
        "uncertain": book.writer.cell(found, "uncertain_days"),
        "wanted": book.writer.cell(book.vessel, "wanted_days"),
    }
    order = found.item.order
    if critical and found.item.first_dark_days is not None and order and not order[0].critical:
        fields |= {"load": option.short(order[0].item), "first": book.writer.cell(found, "first_dark_days")}
        note = book.writer.words(words.DARK_NOTE_FIRST, **fields)
    else:
        note = book.writer.words(words.DARK_NOTE, **fields)
    tone: Tone = ("danger", "caution", "good")[ranks.dark]
    label = book.text(words.NEEDED_DARK if critical else words.FIRST_DARK)
    return KeyFigure(label, dark_days(book, option), note, tone)


def engine(book: Book, option: Lived) -> KeyFigure:
    """Hours of engine or generator on the hardest ordinary day."""
    day = hardest(option)
    accepted = accepted_of(book, option)
    fields: dict[str, Filled] = {"season": option.season(day.item.season)}
    note = book.writer.words(words.ENGINE_NOTE_FREE, **fields)
    if accepted.parts:
        note = book.writer.words(words.ENGINE_NOTE, **fields, accepted=accepted)
    figure = book.writer.words(words.PER_DAY, hours=book.writer.cell(day, "engine_h"))
    tone: Tone = "plain" if not accepted.parts else "good" if standing(book, option).engine else "caution"
    return KeyFigure(book.text(words.ENGINE), figure, note, tone)


def nights(book: Book, option: Lived) -> KeyFigure:
    """Nights of a year with little charge left, and how that differs over the years."""
    year, years = option.year, within(option.at, "years")
    share = book.writer.cell(year, "low_share")
    spread = next((s for s in entries(years, "spreads") if s.item.quantity == "nights_low"), None)
    note = book.writer.words(words.NIGHTS_NOTE_PLAIN, share=share)
    if spread is not None:
        most = book.writer.cells.number("count", spread.item.quantiles[HIGH], f"{spread.path}.quantiles[{HIGH}]")
        count = book.writer.cells.count(years.item.count, f"{years.path}.count")
        note = book.writer.words(words.NIGHTS_NOTE, share=share, count=count, most=most)
    return KeyFigure(book.text(words.NIGHTS), book.writer.count_of(year, "nights_low"), note)
