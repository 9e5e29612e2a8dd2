"""The figures that decide about an option: price, days without charge, start, what goes dark first, weight."""

from proposal.book.blocks import KeyFigure, Tone, Words
from proposal.book.pages import behaviour_figures
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.lived import Lived
from proposal.book.refs import Located, each
from proposal.book.sentences import arrangements, client, names
from proposal.book.writer import Filled, joined, plain
from proposal.results.model import AutonomyResult, BankResult, SeasonEnergy, StartResult

HOUSE = "house"
VERDICT_TONES: dict[str, Tone] = {"starts": "good", "uncertain": "caution", "fails": "danger", "unknown": "unknown"}


def arrangement_of(faced: Faced) -> arrangements.Arrangement:
    """Words for the arrangement of an option."""
    return arrangements.ARRANGEMENTS.get(faced.option.arrangement, arrangements.COMPOSED)


def house_autonomy(faced: Faced) -> Located[AutonomyResult] | None:
    """How long all banks of the house together last."""
    entries = list(each(faced.option.energy.autonomy, f"{faced.path}.energy.autonomy"))
    return next((entry for entry in entries if entry.item.bank == HOUSE), entries[0] if entries else None)


def worst_season(faced: Faced) -> Located[SeasonEnergy] | None:
    """The tightest season."""
    seasons = each(faced.option.energy.seasons, f"{faced.path}.energy.seasons")
    return next((s for s in seasons if s.item.season == faced.option.energy.worst_season), None)


def own_start(faced: Faced) -> Located[StartResult] | None:
    """The start from the engine's own bank alone."""
    return next(each(faced.option.starts, f"{faced.path}.starts"), None)


def batteries(book: Book, bank: Located[BankResult]) -> Words:
    """What a bank is made of: 2 × battery, 4 × battery in series, 2 strings of 4 × battery in series."""
    parallel, series = bank.item.parallel_count, bank.item.series_count
    message = client.STRINGS_OF_PART if parallel > 1 else client.SERIES_OF_PART
    if series == 1:
        message = client.COUNT_OF_PART
    return book.writer.words(
        message,
        count=book.writer.cell(bank, "parallel_count"),
        series=book.writer.cell(bank, "series_count"),
        part=bank.item.part_title,
    )


def bank_titles(faced: Faced, keys: tuple[str, ...]) -> Words:
    """Titles of banks, joined."""
    found = [faced.items.named(key) for key in keys]
    return joined(bank.title for bank in found if bank is not None)


def price(book: Book, faced: Faced) -> KeyFigure:
    """Total price."""
    totals = Located(faced.option.price, f"{faced.path}.price")
    unpriced = totals.item.unpriced_lines
    note = book.writer.words(client.PRICE_NOTE, tax_name=totals.item.tax_name)
    if unpriced:
        count = book.writer.cells.count(unpriced, f"{totals.path}.unpriced_lines")
        note = book.writer.several(client.PRICE_NOTE_UNPRICED, unpriced, tax_name=totals.item.tax_name, count=count)
    return KeyFigure(
        book.text(client.PRICE), book.writer.money(totals, "total"), note, "caution" if unpriced else "plain"
    )


def without_charge(book: Book, faced: Faced) -> KeyFigure | None:
    """Days that the house lasts when nothing charges."""
    entry, season = house_autonomy(faced), worst_season(faced)
    if entry is None or season is None:
        return None
    wanted = book.writer.cell(book.vessel, "wanted_days")
    counted = any(bank.role == "both" for bank in faced.option.banks) and faced.option.starts
    message = client.WITHOUT_CHARGE_NOTE_BOTH if counted else client.WITHOUT_CHARGE_NOTE
    days = entry.item.days
    tone: Tone = "plain" if days is None else "good" if days >= book.results.vessel.wanted_days else "caution"
    return KeyFigure(
        book.text(client.WITHOUT_CHARGE),
        book.writer.one(entry, "days", none=client.WITHOUT_CHARGE_NONE),
        book.writer.words(message, season=season.item.title, wanted_days=wanted),
        tone,
    )


def start(book: Book, faced: Faced) -> KeyFigure | None:
    """Whether the engine starts from its own bank, and at what voltage; None without an engine."""
    found = own_start(faced)
    if found is None:
        return None
    verdict = book.text(names.VERDICTS[found.item.verdict])
    figure = plain(verdict)
    if found.item.starter_v is not None:
        volts = book.writer.cell(found, "starter_v", digits=1)
        figure = book.writer.words(client.START_WORD_AND_VOLTS, verdict=verdict, starter_v=volts)
    banks = bank_titles(faced, found.item.fed_by)
    if not banks.parts:
        note = book.writer.words(client.START_NOTE_NOTHING)
    elif found.item.minimum_v is None:
        note = book.writer.words(client.START_NOTE_UNKNOWN, banks=banks)
    else:
        minimum = book.writer.cell(found, "minimum_v", digits=1)
        note = book.writer.words(client.START_NOTE, banks=banks, minimum_v=minimum)
    return KeyFigure(book.text(client.START), figure, note, VERDICT_TONES[found.item.verdict])


def dark(book: Book, faced: Faced) -> KeyFigure:
    """What goes dark first, and how long the critical loads alone last."""
    words = arrangement_of(faced)
    note = _reserve(book, faced)
    entry = house_autonomy(faced)
    if note is None:
        note = book.writer.words(words.dark_note)
        if entry is not None and entry.item.critical_only_days is not None:
            days = book.writer.cell(entry, "critical_only_days")
            note = joined((note, book.writer.words(client.DARK_NOTE_CRITICAL, days=days)), " ")
    return KeyFigure(book.text(client.DARK), plain(book.text(words.dark)), note)


def _reserve(book: Book, faced: Faced) -> Words | None:
    """When the lithium is used up, and how long lead alone carries on; None where the house has not both."""
    lithium, lead = None, None
    by_key = {bank.key: bank for bank in faced.option.banks}
    for entry in each(faced.option.energy.autonomy, f"{faced.path}.energy.autonomy"):
        bank = by_key.get(entry.item.bank)
        if bank is not None and entry.item.days is not None:
            lithium, lead = (entry, lead) if bank.chemistry == "lithium" else (lithium, entry)
    if lithium is None or lead is None:
        return None
    fields: dict[str, Filled] = {
        "first": book.writer.cell(lithium, "days"),
        "reserve": by_key[lead.item.bank].title,
        "then": book.writer.cell(lead, "days"),
    }
    if lead.item.critical_only_days is None:
        return book.writer.words(client.DARK_RESERVE, **fields)
    critical = book.writer.cell(lead, "critical_only_days")
    return book.writer.words(client.DARK_RESERVE_CRITICAL, **fields, critical=critical)


def weight(book: Book, faced: Faced) -> KeyFigure:
    """Mass of all batteries."""
    energy = Located(faced.option.energy, f"{faced.path}.energy")
    return KeyFigure(
        book.text(client.WEIGHT), book.writer.one(energy, "battery_mass_kg"), book.writer.words(client.WEIGHT_NOTE)
    )


def engine_time(book: Book, faced: Faced) -> KeyFigure | None:
    """Hours of engine or generator a day in the tightest season; None where nothing is missing."""
    season = worst_season(faced)
    if season is None or season.item.engine_h == 0:
        return None
    label = book.text(client.GENERATOR_TIME if season.item.made_up_by == "generator" else client.ENGINE_TIME)
    if season.item.engine_h is None:
        note = book.writer.words(client.ENGINE_TIME_NONE_NOTE, season=season.item.title)
        return KeyFigure(label, plain(book.text(client.ENGINE_TIME_NONE)), note, "caution")
    tone: Tone = "good" if season.item.engine_h <= season.item.engine_accepted_h else "caution"
    if season.item.made_up_by == "generator" and not season.item.engine_accepted_h:
        tone, note = "plain", book.writer.words(client.GENERATOR_TIME_NOTE, season=season.item.title)
    else:
        accepted = book.writer.cell(season, "engine_accepted_h")
        note = book.writer.words(client.ENGINE_TIME_NOTE, season=season.item.title, accepted=accepted)
    figure = book.writer.words(client.PER_DAY, hours=book.writer.cell(season, "engine_h"))
    return KeyFigure(label, figure, note, tone)


def days_figures(book: Book, faced: Faced) -> dict[str, KeyFigure]:
    """What the simulated days say of an option: dark, engine, start; none where they were not asked for."""
    if faced.option.behaviour is None:
        return {}
    option = Lived(faced, faced.option.behaviour)
    found = {
        "dark": behaviour_figures.dark(book, option),
        "engine": behaviour_figures.engine(book, option),
        "start": behaviour_figures.start(book, option),
    }
    return {name: figure for name, figure in found.items() if figure is not None}


def headline(book: Book, faced: Faced) -> tuple[KeyFigure, ...]:
    """The figures that decide, those that there are; what the days show stands in place of what was reckoned.

    A record names no price.
    """
    lived = days_figures(book, faced)
    charge = lived.pop("dark", None) or without_charge(book, faced)
    engine = lived.pop("engine", None) or engine_time(book, faced)
    asked = None if book.recorded else price(book, faced)
    figures = (asked, charge, start(book, faced), lived.get("start"), engine, dark(book, faced))
    return tuple(figure for figure in figures if figure is not None)
