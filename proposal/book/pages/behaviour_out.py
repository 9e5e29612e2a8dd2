"""Of the page of the days: left alone, days without charge, the lithium gone, and starting after all that."""

from collections.abc import Sequence
from dataclasses import replace

from proposal.book.blocks import Block, Figure, Heading, Moment, Paragraph, Timeline, Timelines, Tone, Words
from proposal.book.pages.charts import read_out
from proposal.book.pages.context import Book
from proposal.book.pages.lived import Figure as Of
from proposal.book.pages.lived import Lived, beside, entries, lasting, or_more, start_words, within
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.writer import Filled, joined, plain
from proposal.studies.behaviour.result import Cranking, CutOff, Dark, Emptied, Neglect

WEEK_DAYS = 7.0


def drawing(
    book: Book, option: Lived, kind: str, alt: str, caption: str, *, on_paper: bool = True, tall: bool = False
) -> list[Block]:
    """A drawing of an option where it exists, as wide as the page."""
    name = f"{option.letter}-{kind}.svg".lower()
    found = next((n for n in book.drawings if n.lower() == name), None)
    return [Figure(found, alt, caption, wide=True, on_paper=on_paper, tall=tall)] if found is not None else []


def neglect(book: Book, options: Sequence[Lived]) -> list[Block]:
    """Which battery is empty when, and whether the engine still starts."""
    asked = [option for option in options if option.neglect is not None]
    if not asked:
        return []
    left_on = list(dict.fromkeys(n.item.left_on for o in asked if (n := o.neglect) is not None))
    named = ", ".join(dict.fromkeys(asked[0].short(key) for key in left_on if key))
    read = words.NEGLECT_READ if named else words.NEGLECT_READ_PLAIN
    blocks: list[Block] = [
        Heading(book.text(words.NEGLECT_HEADING), 2, "neglect"),
        Paragraph(book.writer.words(read, left_on=named)),
    ]
    rows: list[tuple[Words, Of, str]] = [
        (plain(book.text(words.NEGLECT_EMPTY_ROW)), lambda o: _emptied(book, o, "days"), ""),
        (plain(book.text(words.NEGLECT_LOWEST_ROW)), lambda o: _emptied(book, o, "lowest_share"), ""),
        (plain(book.text(words.NEGLECT_UNTIL_ROW)), lambda o: _until(book, o), ""),
    ]
    for day in told_days(asked):
        holder = next(s for o in asked for s in o.starts if s.item.day == day)
        cell = book.writer.cells.number("", day, f"{holder.path}.day")
        rows.append((book.writer.words(words.NEGLECT_DAY_ROW, day=cell), _start_on(book, day), ""))
    table = beside(book, asked, book.text(words.NEGLECT_TABLE), rows)
    blocks += [table] if table is not None else []
    for option in options:
        if option.neglect is None:
            blocks.append(Paragraph(book.writer.words(words.NEGLECT_NONE, letter=option.letter)))
            continue
        caption = book.text(words.CAPTION_NEGLECT, letter=option.letter)
        blocks += drawing(book, option, "neglect", _neglect_alt(book, option, option.neglect), caption)
    return blocks


def told_days(options: Sequence[Lived]) -> list[float]:
    """The days of which a table tells: the first, each seventh, the last, and those on which a verdict turns."""
    found: set[float] = set()
    for option in options:
        starts = option.starts
        for n, start in enumerate(starts):
            turns = n > 0 and start.item.verdict != starts[n - 1].item.verdict
            if n in (0, len(starts) - 1) or start.item.day % WEEK_DAYS == 0 or turns:
                found.add(start.item.day)
            if turns:
                found.add(starts[n - 1].item.day)
    return sorted(found)


def _start_on(book: Book, day: float) -> Of:
    def figure(option: Lived) -> Words:
        found = next((s for s in option.starts if s.item.day == day), None)
        return start_words(book, found) if found is not None else plain()

    return figure


def _emptied(book: Book, option: Lived, name: str) -> Words:
    at = option.neglect
    if at is None:
        return plain()
    runs = []
    for emptied in entries(at, "emptied"):
        figure: Filled = _not_negative(book, emptied) if name == "lowest_share" else book.writer.one(emptied, name)
        if getattr(emptied.item, name) is None:
            figure = book.writer.words(words.NOT_EMPTY, followed=book.writer.cell(at, "followed_days"))
        runs.append(book.writer.words(words.BANK_FIGURE, bank=option.short(emptied.item.bank), figure=figure))
    return joined(runs, "; ")


def _not_negative(book: Book, at: Located[Emptied]) -> Words:
    """The least charge left; one drawn below what its chemistry calls empty has none."""
    share = at.item.lowest_share
    cell = book.writer.cells.number("lowest_share", max(0.0, share), f"{at.path}.lowest_share")
    return plain(replace(cell, value=share))


def _until(book: Book, option: Lived) -> Words:
    at = option.neglect
    if at is None or not option.starts:
        return plain()
    if at.item.starts_until_days is None:
        return plain(book.text(words.NEGLECT_UNTIL_NONE))
    return book.writer.one(at, "starts_until_days")


def _neglect_alt(book: Book, option: Lived, at: Located[Neglect]) -> str:
    runs = []
    for emptied in entries(at, "emptied"):
        bank = option.short(emptied.item.bank)
        if emptied.item.days is None:
            followed = book.writer.cell(at, "followed_days")
            runs.append(book.writer.words(words.ALT_NOT_EMPTIED, bank=bank, followed=followed))
        else:
            runs.append(book.writer.words(words.ALT_EMPTIED, bank=bank, days=book.writer.cell(emptied, "days")))
    until = at.item.starts_until_days
    if option.starts and until is not None:
        runs.append(book.writer.words(words.ALT_STARTS, days=book.writer.cell(at, "starts_until_days")))
    elif option.starts:
        runs.append(book.writer.words(words.ALT_NEVER_STARTS))
    return read_out(joined(runs, " "))


def no_charge(book: Book, options: Sequence[Lived]) -> list[Block]:
    """How long it lasts, and the order of going dark."""
    season = options[0].season(options[0].days.no_charge.season)
    blocks: list[Block] = [
        Heading(book.text(words.NO_CHARGE_HEADING), 2, "no-charge"),
        Paragraph(book.writer.words(words.NO_CHARGE_READ, season=season)),
    ]

    def figure(name: str) -> Of:
        return lambda option: or_more(book, within(option.at, "no_charge"), name)

    rows: list[tuple[Words, Of, str]] = [
        (plain(book.text(words.NO_CHARGE_FIRST_ROW)), figure("first_dark_days"), ""),
        (plain(book.text(words.NO_CHARGE_CRITICAL_ROW)), figure("critical_dark_days"), ""),
        (
            plain(book.text(words.NO_CHARGE_SPREAD_ROW)),
            lambda o: book.writer.one(within(o.at, "no_charge"), "uncertain_days"),
            "",
        ),
    ]
    table = beside(book, options, book.text(words.NO_CHARGE_TABLE), rows)
    blocks += [table] if table is not None else []
    lines = [_order(book, option) for option in options if option.days.no_charge.order]
    blocks += [Timelines(tuple(lines))] if lines else []
    for option in options:
        caption = book.text(words.CAPTION_NO_CHARGE, letter=option.letter)
        blocks += drawing(book, option, "no-charge", _no_charge_alt(book, option), caption, on_paper=False)
    return blocks


def _order(book: Book, option: Lived) -> Timeline:
    """What goes dark, one after the other."""
    moments = []
    for found in entries(within(option.at, "no_charge"), "order"):
        load = option.short(found.item.item)
        told = book.writer.words(words.NO_CHARGE_CRITICAL if found.item.critical else words.NO_CHARGE_LOAD, load=load)
        volts = book.writer.words(words.NO_CHARGE_AT, voltage=book.writer.cell(found, "voltage_v"))
        tone: Tone = "danger" if found.item.critical else "caution"
        moments.append(Moment(plain(lasting(book, found, "time_s")), told, volts, tone))
    return Timeline(option.letter, book.text(words.NO_CHARGE_ORDER, letter=option.letter), tuple(moments))


def _no_charge_alt(book: Book, option: Lived) -> str:
    at = within(option.at, "no_charge")
    runs = []
    order: list[Located[Dark]] = list(entries(at, "order"))
    if order:
        first = order[0]
        fields: dict[str, Filled] = {"load": option.short(first.item.item), "time": lasting(book, first, "time_s")}
        runs.append(book.writer.words(words.ALT_FIRST_DARK, **fields))
    else:
        runs.append(book.writer.words(words.ALT_NOTHING_DARK, followed=book.writer.cell(at, "followed_days")))
    if at.item.critical_dark_days is not None:
        runs.append(book.writer.words(words.ALT_CRITICAL_DARK, days=book.writer.cell(at, "critical_dark_days")))
    return read_out(joined(runs, " "))


def cut_offs(book: Book, options: Sequence[Lived]) -> list[Block]:
    """The lithium switches itself off at a bad moment."""
    heading = Heading(book.text(words.CUT_OFF_HEADING), 2, "cut-off")
    if not any(option.days.cut_offs for option in options):
        return []

    def row(situation: str) -> Of:
        def figure(option: Lived) -> Words:
            found = [c for c in entries(option.at, "cut_offs") if c.item.situation == situation]
            return joined((_cut_off(book, option, c) for c in found), " ")

        return figure

    rows = [(plain(book.text(title)), row(situation), "") for situation, title in words.SITUATIONS.items()]
    table = beside(book, options, book.text(words.CUT_OFF_TABLE), rows, wide=True)
    read = Paragraph(book.writer.words(words.CUT_OFF_READ))
    return [heading, read, table] if table is not None else []


def _cut_off(book: Book, option: Lived, at: Located[CutOff]) -> Words:
    item, writer = at.item, book.writer
    volts = {"before_v": writer.cell(at, "before_v"), "after_v": writer.cell(at, "after_v")}
    runs = [writer.words(words.CUT_OFF_VOLTS, bank=option.short(item.bank), **volts)]
    if item.peak_v is not None:
        peak, limit = writer.cell(at, "peak_v"), writer.cell(at, "limit_v")
        runs.append(writer.words(words.CUT_OFF_PEAK, peak_v=peak, limit_v=limit))
    if item.collapsed:
        runs.append(writer.words(words.CUT_OFF_COLLAPSED, loads=", ".join(map(option.short, item.collapsed))))
    if item.dark:
        runs.append(writer.words(words.CUT_OFF_DARK, loads=", ".join(map(option.short, item.dark))))
    elif not item.collapsed:
        runs.append(writer.words(words.CUT_OFF_ALL_ALIVE))
    if item.warned is not None:
        runs.append(plain(book.text(words.CUT_OFF_WARNED["true" if item.warned else "false"])))
    return joined(runs, " ")


def cranking(book: Book, options: Sequence[Lived]) -> list[Block]:
    """The starter's voltage after each kind of day, from each way of feeding it."""
    places: dict[tuple[str, str], None] = {}
    for option in options:
        places |= {(c.after, c.fed_by): None for c in option.days.cranking}
    if not places:
        return []
    afters = list(dict.fromkeys(after for after, _ in places))

    def row(after: str, way: str) -> Of:
        def figure(option: Lived) -> Words:
            found: list[Located[Cranking]] = [
                c for c in entries(option.at, "cranking") if (c.item.after, c.item.fed_by) == (after, way)
            ]
            return start_words(book, max(found, key=lambda c: c.item.day)) if found else plain()

        return figure

    rows = []
    for after in afters:
        title = book.text(words.AFTER[after]) if after in words.AFTER else book.text(
            words.AFTER_SEASON, season=options[0].season(after)
        )  # fmt: skip
        rows += [
            (plain(book.text(words.WAYS[way])), row(after, way), title) for way in words.WAYS if (after, way) in places
        ]
    table = beside(book, options, book.text(words.CRANKING_TABLE), rows, folded=True, dense=True)
    heading = Heading(book.text(words.CRANKING_HEADING), 2, "cranking")
    return [heading, table] if table is not None else []
