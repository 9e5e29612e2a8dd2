"""Page 2: the options side by side."""

from collections.abc import Callable

from proposal.book.blocks import Block, Column, Heading, OptionFace, Page, Paragraph, Row, SideBySide, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.headline import (
    arrangement_of,
    batteries,
    days_figures,
    headline,
    house_autonomy,
    own_start,
    weight,
)
from proposal.book.pages.lived import lived
from proposal.book.refs import Located, each
from proposal.book.sentences import behaviour, client
from proposal.book.writer import joined, plain

Figure = Callable[[Faced], Words]


def page(book: Book) -> Page:
    """Faces of the options with their reasons, and a table of what differs."""
    faces = tuple(
        OptionFace(
            faced.letter,
            faced.option.title,
            faced.option.pitch or book.text(arrangement_of(faced).name),
            faced.page,
            (*headline(book, faced), weight(book, faced)),
            tuple(reasons(book, faced)),
        )
        for faced in book.options
    )
    blocks: list[Block] = [SideBySide(faces)]
    rows, same = [], []
    for title, figure in _figures(book):
        cells = [figure(faced) for faced in book.options]
        if len({reading(cell) for cell in cells}) > 1:
            rows.append(Row((plain(title), *cells)))
        elif any(cell.parts for cell in cells):
            same.append(title)
    letters = (Column(book.text(client.OPTION_COLUMN, letter=faced.letter)) for faced in book.options)
    columns = (Column(book.text(client.QUESTION_COLUMN)), *letters)
    if rows:
        blocks += [
            Heading(book.text(client.COMPARE_HEADING), 2, "differs"),
            table(book.text(client.COMPARE_TABLE), columns, rows),
        ]
    if same and len(book.options) > 1:
        message = client.COMPARE_SAME if len(book.options) == 2 else client.COMPARE_SAME_MANY
        blocks.append(Paragraph(book.writer.words(message, rows=joined(same, "; "))))
    return Page(
        "compare", book.text(client.COMPARE_TITLE), ("client",), tuple(blocks), book.writer.words(client.COMPARE_LEAD)
    )


def reading(words: Words) -> str:
    """A run as it is read."""
    return "".join(
        part if isinstance(part, str) else part.text if isinstance(part.text, str) else part.text.text
        for part in words.parts
    )


def reasons(book: Book, faced: Faced) -> list[Words]:
    """For whom an option is the right one: the installer's own reasons, then those that the results bear out."""
    found = [plain(reason) for reason in faced.option.choose_if]
    others = [other for other in book.options if other is not faced]
    if not others:
        return found
    totals = Located(faced.option.price, f"{faced.path}.price")
    if all(totals.item.total < o.option.price.total for o in others) and not totals.item.unpriced_lines:
        found.append(book.writer.words(client.CHOOSE_CHEAPER, price=book.writer.money(totals, "total")))
    entry = house_autonomy(faced)
    if entry is not None and _most(_days(faced), [_days(o) for o in others], 1.02):
        found.append(book.writer.words(client.CHOOSE_LONGER, days=book.writer.cell(entry, "days")))
    mass = faced.option.energy.battery_mass_kg
    if mass > 0 and _most(1.0 / mass, [1.0 / max(o.option.energy.battery_mass_kg, 1e-9) for o in others], 1.05):
        energy = Located(faced.option.energy, f"{faced.path}.energy")
        found.append(book.writer.words(client.CHOOSE_LIGHTER, mass=book.writer.cell(energy, "battery_mass_kg")))
    if _own_starter(faced) and not any(_own_starter(o) for o in others):
        found.append(book.writer.words(client.CHOOSE_START))
    start = own_start(faced)
    if start is not None and _most(_volts(faced), [_volts(o) for o in others], 1.005):
        volts = book.writer.cell(start, "starter_v", digits=1)
        found.append(book.writer.words(client.CHOOSE_STRONGER_START, starter_v=volts))
    if _untroubled(faced) and not any(_untroubled(o) for o in others):
        found.append(book.writer.words(client.CHOOSE_SAFER))
    return found


def _most(own: float | None, others: list[float | None], margin: float) -> bool:
    """Whether a figure is larger than each other one by a margin that a reader would notice."""
    return own is not None and all(other is not None and own > other * margin for other in others)


def _days(faced: Faced) -> float | None:
    entry = house_autonomy(faced)
    return entry.item.days if entry is not None else None


def _volts(faced: Faced) -> float | None:
    start = own_start(faced)
    return start.item.starter_v if start is not None else None


def _own_starter(faced: Faced) -> bool:
    return any(bank.role == "start" for bank in faced.option.banks)


def _untroubled(faced: Faced) -> bool:
    return not any(f.severity in ("danger", "fault") and f.outcome == "fires" for f in faced.option.findings)


def _figures(book: Book) -> list[tuple[str, Figure]]:
    """Rows of the comparison: title, and the figure of an option (empty where it has none)."""
    writer = book.writer
    tax_name = book.options[0].option.price.tax_name

    def totals(name: str) -> Figure:
        return lambda f: writer.money(Located(f.option.price, f"{f.path}.price"), name)

    def energy(name: str) -> Figure:
        return lambda f: writer.one(Located(f.option.energy, f"{f.path}.energy"), name)

    def autonomy(name: str) -> Figure:
        def figure(f: Faced) -> Words:
            entry = house_autonomy(f)
            return writer.one(entry, name) if entry is not None else plain()

        return figure

    def count(where: str) -> Figure:
        return lambda f: plain(book.finding_count(f, where))

    rows: list[tuple[str, Figure]] = [
        (book.text(client.ARRANGEMENT_ROW), lambda f: plain(book.text(arrangement_of(f).name))),
        (book.text(client.BANKS_ROW), lambda f: _banks(book, f)),
        (book.text(client.PRICE_ROW, tax_name=tax_name), totals("total")),
        (book.text(client.MATERIAL_ROW), totals("material")),
        (book.text(client.LABOUR_ROW), totals("labour")),
        (book.text(client.USABLE_ROW), autonomy("usable_wh")),
        (book.text(client.DAYS_ROW), autonomy("days")),
        (book.text(client.CRITICAL_DAYS_ROW), autonomy("critical_only_days")),
    ]
    if lived(book):
        rows += [
            (book.text(behaviour.START), lambda f: _day_figure(book, f, "start")),
            (book.text(behaviour.NEEDED_DARK), lambda f: _day_figure(book, f, "dark")),
            (book.text(behaviour.ENGINE), lambda f: _day_figure(book, f, "engine")),
        ]
    for number, season in enumerate(book.options[0].option.energy.seasons):
        rows.append((book.text(client.BALANCE_ROW, season=season.title), _season(book, number, "balance_wh")))
        rows.append((book.text(client.ENGINE_ROW, season=season.title), _season(book, number, "engine_h")))
    for case in dict.fromkeys(s.case for f in book.options for s in f.option.starts):
        words = book.options[0].items.case(case)
        rows.append((book.text(client.START_ROW, case=words), _start(book, case)))
    rows += [
        (book.text(client.DARK_ROW), lambda f: plain(book.text(arrangement_of(f).dark))),
        (book.text(client.MASS_ROW), energy("battery_mass_kg")),
        (book.text(client.DRAIN_ROW), energy("standing_drain_a")),
        (book.text(client.FAULT_CURRENT_ROW), lambda f: _largest(book, f, "faults", "current_a")),
        (book.text(client.JOIN_ROW), lambda f: _largest(book, f, "joins", "current_a")),
        (book.text(client.DANGERS_ROW), count("outcome=fires&severity=danger")),
        (book.text(client.FAULTS_ROW), count("outcome=fires&severity=fault")),
        (book.text(client.UNDECIDED_ROW), count("outcome=undecided")),
    ]
    return rows


def _day_figure(book: Book, faced: Faced, name: str) -> Words:
    """A figure of the simulated days."""
    found = days_figures(book, faced).get(name)
    return found.figure if found is not None else plain()


def _banks(book: Book, faced: Faced) -> Words:
    banks = each(faced.option.banks, f"{faced.path}.banks")
    entries = (
        book.writer.words(client.BANK_ENTRY, title=bank.item.title, batteries=batteries(book, bank)) for bank in banks
    )
    return joined(entries, "; ")


def _season(book: Book, number: int, name: str) -> Figure:
    def figure(faced: Faced) -> Words:
        seasons = list(each(faced.option.energy.seasons, f"{faced.path}.energy.seasons"))
        return book.writer.one(seasons[number], name) if number < len(seasons) else plain()

    return figure


def _start(book: Book, case: str) -> Figure:
    def figure(faced: Faced) -> Words:
        found = next((s for s in each(faced.option.starts, f"{faced.path}.starts") if s.item.case == case), None)
        return book.writer.one(found, "starter_v") if found is not None else plain()

    return figure


def _largest(book: Book, faced: Faced, entries: str, name: str) -> Words:
    found = list(each(getattr(faced.option, entries), f"{faced.path}.{entries}"))
    if not found:
        return plain()
    return book.writer.one(max(found, key=lambda entry: float(getattr(entry.item, name))), name)
