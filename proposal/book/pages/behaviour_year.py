"""Of the page of the days: recharging, care of the batteries, a year, many years, and what all that costs."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from proposal.book.blocks import Block, Heading, Paragraph, Words
from proposal.book.pages.behaviour_figures import HIGH, LOW, MIDDLE
from proposal.book.pages.behaviour_out import drawing
from proposal.book.pages.charts import read_out
from proposal.book.pages.context import Book
from proposal.book.pages.lived import Figure, Lived, beside, entries, within
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.writer import Filled, joined, plain
from proposal.studies.behaviour.result import Recharge, Spread

DIGITS = {"nights_low": 0, "equivalent_cycles": 0, "life_years": 1, "full_charges_per_month": 1, "deepest_share": 0}
"""Digits of quantities whose unit does not say how many; the rest by their unit."""
Rows = list[tuple[Words, Figure, str]]


def recharge(book: Book, options: Sequence[Lived]) -> list[Block]:
    """Hours of each source from two depths, how hot it gets, and what part of its rating it is asked for."""
    places: dict[tuple[str, int], None] = {}
    for option in options:
        places |= {place: None for place, _ in _recharges(option)}
    if not places:
        return []
    rows: Rows = []
    for source, number in places:
        holder = next(o for o in options if any(p == (source, number) for p, _ in _recharges(o)))
        message = words.RECHARGE_DEEP if number else words.RECHARGE_MORNING
        title = plain(book.text(message, source=holder.short(source)))
        rows.append((title, _recharge(book, (source, number)), ""))
    table = beside(book, options, book.text(words.RECHARGE_TABLE), rows, folded=True, dense=True)
    heading = Heading(book.text(words.RECHARGE_HEADING), 2, "recharge")
    return [heading, table] if table is not None else []


def _recharges(option: Lived) -> list[tuple[tuple[str, int], Located[Recharge]]]:
    """Each with its source and its place among those of that source: first the ordinary morning, then the depth."""
    seen: dict[str, int] = {}
    found = []
    for entry in entries(option.at, "recharge"):
        number = seen.get(entry.item.source, 0)
        seen[entry.item.source] = number + 1
        found.append(((entry.item.source, number), entry))
    return found


def _recharge(book: Book, place: tuple[str, int]) -> Figure:
    def figure(option: Lived) -> Words:
        found = next((entry for where, entry in _recharges(option) if where == place), None)
        if found is None:
            return plain()
        cell = book.writer.cell
        hours: Filled = cell(found, "hours_h")
        if found.item.hours_h is None:
            hours = book.writer.words(words.RECHARGE_NEVER, followed=cell(found, "followed_h"))
        fields: dict[str, Filled] = {name: cell(found, name) for name in ("from_share", "mean_share", "peak_share")}
        if found.item.hottest_c is None:
            return book.writer.words(words.RECHARGE_CELL, hours=hours, **fields)
        return book.writer.words(words.RECHARGE_CELL_HOT, hours=hours, **fields, hottest_c=cell(found, "hottest_c"))

    return figure


def _of_banks(book: Book, name: str, make: Callable[[Lived, Located[Any]], Filled]) -> Figure:
    """A figure of each bank of one list of the year, with the bank's title."""

    def figure(option: Lived) -> Words:
        banks = entries(option.year, name)
        return joined(
            (
                book.writer.words(words.BANK_FIGURE, bank=option.short(bank.item.bank), figure=make(option, bank))
                for bank in banks
            ),
            "; ",
        )

    return figure


def _field(book: Book, name: str) -> Callable[[Lived, Located[Any]], Filled]:
    return lambda _, at: book.writer.one(at, name, digits=DIGITS.get(name))


def care(book: Book, options: Sequence[Lived]) -> list[Block]:
    """Whether lead gets full often enough, and how long lithium stands full."""

    def cut_offs(_: Lived, at: Located[Any]) -> Words:
        count = book.writer.cells.count(at.item.cut_offs, f"{at.path}.cut_offs")
        return book.writer.several(words.TIMES, at.item.cut_offs, count=count)

    rows: Rows = [
        (plain(book.text(title)), _of_banks(book, kind, make), "")
        for title, kind, make in (
            (words.FULL_ROW, "lead", _field(book, "full_charges_per_month")),
            (words.LONGEST_ROW, "lead", _field(book, "longest_without_full_days")),
            (words.SULPHATED_ROW, "lead", _field(book, "sulphated_share")),
            (words.WATER_ROW, "lead", _field(book, "water_l")),
            (words.LEAD_LOWEST_ROW, "lead", _field(book, "lowest_share")),
            (words.HIGH_ROW, "lithium", _field(book, "high_h")),
            (words.HIGH_WARM_ROW, "lithium", _field(book, "high_warm_h")),
            (words.CUT_OFFS_ROW, "lithium", cut_offs),
            (words.LITHIUM_LOWEST_ROW, "lithium", _field(book, "lowest_share")),
        )
    ]
    rows.insert(1, (plain(book.text(words.FEWEST_ROW)), lambda o: _fewest(book, o), ""))
    table = beside(book, options, book.text(words.CARE_TABLE), rows, folded=True, dense=True)
    heading = Heading(book.text(words.CARE_HEADING), 2, "care")
    return [heading, Paragraph(book.writer.words(words.CARE_READ)), table] if table is not None else []


def _fewest(book: Book, option: Lived) -> Words:
    """Full charges of each lead bank in the month that had fewest."""
    lead = {entry.bank for entry in option.days.year.lead}
    runs = []
    for number, (bank, counts) in enumerate(option.days.year.monthly_full):
        if bank in lead and counts:
            month = min(range(len(counts)), key=counts.__getitem__)
            ref = f"{option.year.path}.monthly_full[{number}][1][{month}]"
            figure = book.writer.cells.count(counts[month], ref)
            runs.append(book.writer.words(words.BANK_FIGURE, bank=option.short(bank), figure=figure))
    return joined(runs, "; ")


def year(book: Book, options: Sequence[Lived]) -> list[Block]:
    """One ordinary year, then how the seeded years differ."""
    first = within(options[0].at, "years")
    count = book.writer.cells.count(first.item.count, f"{first.path}.count")
    blocks: list[Block] = [
        Heading(book.text(words.YEAR_HEADING), 2, "year"),
        Paragraph(book.writer.words(words.YEAR_READ, count=count)),
    ]
    blocks += _charts(book, options, on_paper=False)
    table = beside(book, options, book.text(words.YEAR_TABLE), _year_rows(book), dense=True)
    return [*blocks, table] if table is not None else blocks


def spreads(book: Book, options: Sequence[Lived]) -> list[Block]:
    """How every quantity falls over the seeded years."""
    at = within(options[0].at, "years")
    caption = book.text(words.YEARS_TABLE, count=book.writer.cells.count(at.item.count, at.path).text)
    table = beside(book, options, caption, _spread_rows(book, options), folded=True, dense=True)
    if table is None:
        return []
    return [Heading(book.text(words.SPREADS_HEADING), 2, "spreads"), *_charts(book, options), table]


def _charts(book: Book, options: Sequence[Lived], *, on_paper: bool = True) -> list[Block]:
    blocks: list[Block] = []
    for option in options:
        caption = book.text(words.CAPTION_YEARS, letter=option.letter)
        blocks += drawing(book, option, "years", _years_alt(book, option), caption, on_paper=on_paper)
    return blocks


def _year_rows(book: Book) -> Rows:
    def own(name: str, unit: str = "") -> Figure:
        return lambda option: book.writer.one(option.year, name, unit=unit)

    def depth(name: str) -> Figure:
        return _of_banks(book, "banks", _field(book, name))

    def life(option: Lived) -> Words:
        runs = (
            book.writer.words(
                words.LIFE,
                bank=option.short(bank.item.bank),
                years=book.writer.cell(bank, "life_years", digits=1),
                by=book.text(words.LIFE_BY[bank.item.life_by]),
            )
            for bank in entries(option.year, "banks")
        )
        return joined(runs, "; ")

    found: tuple[tuple[str, Figure], ...] = (
        (words.YEAR_ENGINE_ROW, own("engine_h")),
        (words.YEAR_GENERATOR_ROW, own("generator_h")),
        (words.YEAR_NIGHTS_ROW, lambda o: book.writer.count_of(o.year, "nights_low")),
        (words.YEAR_DARK_ROW, own("dark_h")),
        (words.YEAR_CRITICAL_ROW, own("critical_dark_h")),
        (words.YEAR_SUN_ROW, own("solar_wh", "kwh")),
        (words.YEAR_UNUSED_ROW, own("unused_solar_wh", "kwh")),
        (words.YEAR_LOADS_ROW, own("loads_wh", "kwh")),
        (words.YEAR_CYCLES_ROW, depth("equivalent_cycles")),
        (words.YEAR_DEPTH_ROW, depth("mean_depth_share")),
        (words.YEAR_DEEPEST_ROW, depth("deepest_share")),
        (words.YEAR_LIFE_ROW, life),
    )
    return [(plain(book.text(title)), figure, "") for title, figure in found]


def _spread_rows(book: Book, options: Sequence[Lived]) -> Rows:
    """A row for each quantity; a bank's quantity is told for each bank of an option."""
    rows: Rows = []
    quantities = dict.fromkeys(s.quantity for option in options for s in option.days.years.spreads)
    for quantity in quantities:
        title = book.text(words.QUANTITIES[quantity])
        rows.append((plain(title), _spreads(book, quantity), ""))
    return rows


def _spreads(book: Book, quantity: str) -> Figure:
    def figure(option: Lived) -> Words:
        found = (s for s in entries(within(option.at, "years"), "spreads") if s.item.quantity == quantity)
        runs = []
        for spread in found:
            told = spread_words(book, spread)
            bank = option.short(spread.item.item) if spread.item.item else ""
            runs.append(book.writer.words(words.BANK_FIGURE, bank=bank, figure=told) if bank else told)
        return joined(runs, "; ")

    return figure


def spread_words(book: Book, spread: Located[Spread]) -> Words:
    """The middle year, and between what nine of ten lie."""
    values, digits = spread.item.quantiles, DIGITS.get(spread.item.quantity)
    low, middle, high = (
        book.writer.cells.number(spread.item.quantity, values[n], f"{spread.path}.quantiles[{n}]", digits=digits)
        for n in (LOW, MIDDLE, HIGH)
    )
    if low.text == high.text:
        return book.writer.words(words.SPREAD_SAME, middle=middle)
    return book.writer.words(words.SPREAD, low=low, middle=middle, high=high)


def _years_alt(book: Book, option: Lived) -> str:
    spreads: Iterable[Located[Spread]] = entries(within(option.at, "years"), "spreads")
    spread = next((s for s in spreads if s.item.quantity == "engine_h"), None)
    if spread is None:
        return book.text(words.ALT_YEARS_PLAIN, letter=option.letter)
    texts = {
        name: book.writer.cells.number("engine_h", spread.item.quantiles[n], spread.path).text
        for name, n in (("low", LOW), ("middle", MIDDLE), ("high", HIGH))
    }
    return read_out(plain(book.text(words.ALT_YEARS, letter=option.letter, **texts)))


def cost(book: Book, options: Sequence[Lived]) -> list[Block]:
    """What each option costs over the years, where that was computed."""
    costed = [o for o in options if o.faced.option.ten_years is not None]
    if not costed:
        return []

    def at(option: Lived) -> Located[Any]:
        return Located(option.faced.option.ten_years, f"{option.faced.path}.ten_years")

    def money(name: str) -> Figure:
        def figure(option: Lived) -> Words:
            if option.faced.option.ten_years is None:
                return plain()
            low, usual, high = (book.writer.money(at(option), f"{name}_{end}") for end in ("low", "usual", "high"))
            if read_out(low) == read_out(high):
                return usual
            return book.writer.words(words.SPREAD, low=low, middle=usual, high=high)

        return figure

    def times(option: Lived) -> Words:
        runs = []
        for bank in entries(at(option), "banks") if option.faced.option.ten_years is not None else ():
            low, usual, high = (book.writer.count_of(bank, f"{end}_count") for end in ("low", "usual", "high"))
            alike = bank.item.low_count == bank.item.high_count
            figure = usual if alike else book.writer.words(words.SPREAD, low=low, middle=usual, high=high)
            runs.append(book.writer.words(words.BANK_FIGURE, bank=option.short(bank.item.bank), figure=figure))
        return joined(runs, "; ")

    rows: Rows = [
        (
            plain(book.text(words.COST_TODAY_ROW)),
            lambda o: book.writer.money(at(o), "today") if o.faced.option.ten_years is not None else plain(),
            "",
        ),
        (plain(book.text(words.COST_BATTERIES_ROW)), money("replacements"), ""),
        (plain(book.text(words.COST_TIMES_ROW)), times, ""),
        (plain(book.text(words.COST_RUNNING_ROW)), money("running"), ""),
        (plain(book.text(words.COST_TOTAL_ROW)), money("total"), ""),
    ]
    years = book.writer.cells.number("", at(costed[0]).item.horizon_years, f"{at(costed[0]).path}.horizon_years")
    codes = dict.fromkeys(u.code for o in costed for u in at(o).item.unstated)
    unstated = [book.text(words.UNSTATED_WORDS[code]) for code in codes]
    message = words.COST_READ if unstated else words.COST_READ_ALL
    read = book.writer.words(message, years=years, unstated=", ".join(unstated))
    table = beside(book, costed, book.text(words.COST_TABLE), rows)
    heading = Heading(book.text(words.COST_HEADING), 2, "cost")
    return [heading, Paragraph(read), table] if table is not None else []
