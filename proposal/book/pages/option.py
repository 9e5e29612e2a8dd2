"""Page 3: one option: its drawing, what it means in plain words, batteries, energy, autonomy, charging, start."""

from proposal.book.blocks import Block, Bullets, Figure, Heading, KeyFigures, Link, Page, Paragraph, Row, Words
from proposal.book.pages.compare import reasons
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.headline import (
    HOUSE,
    VERDICT_TONES,
    arrangement_of,
    bank_titles,
    batteries,
    headline,
    weight,
    worst_season,
)
from proposal.book.refs import Located, each
from proposal.book.sentences import client, names
from proposal.book.writer import joined, plain
from proposal.results.model import SeasonEnergy


def page(book: Book, faced: Faced) -> Page:
    """The page of one option."""
    words = arrangement_of(faced)
    blocks: list[Block] = [KeyFigures((*headline(book, faced), weight(book, faced)))]
    if faced.option.pitch and not book.recorded:
        blocks.insert(0, Paragraph(plain(faced.option.pitch)))
    blocks += _meaning(book, faced)
    blocks += _drawings(book, faced)
    blocks += _batteries(book, faced)
    blocks += _energy(book, faced)
    blocks += _autonomy(book, faced)
    blocks += _charging(book, faced)
    blocks += _starting(book, faced)
    title = book.text(
        book.either(client.OPTION_TITLE, client.OPTION_TITLE_RECORD), letter=faced.letter, title=faced.option.title
    )
    return Page(faced.page, title, ("client", "installer", "owner"), tuple(blocks), book.writer.words(words.what))


def _meaning(book: Book, faced: Faced) -> list[Block]:
    words = arrangement_of(faced)
    engine = words.engine if faced.option.starts else words.no_engine
    blocks: list[Block] = [
        Heading(book.text(client.MEANS_HEADING), 2, "means"),
        Bullets(tuple(book.writer.words(sentence) for sentence in (*words.means, *engine))),
        Heading(book.text(client.MIND_HEADING), 3, "mind"),
        Bullets(tuple(book.writer.words(sentence) for sentence in words.mind)),
    ]
    chosen = [] if book.recorded else reasons(book, faced)
    if chosen:
        blocks += [Heading(book.text(client.CHOOSE_HEADING), 3, "choose"), Bullets(tuple(chosen))]
    counts = book.counts(faced)
    link = Link(book.text(client.FINDINGS_LINK), "findings", faced.anchor("findings"))
    if counts.parts:
        blocks.append(Paragraph(book.writer.words(client.OPTION_FINDINGS, counts=counts, findings=link)))
    else:
        blocks.append(Paragraph(book.writer.words(client.OPTION_NO_FINDINGS, findings=link)))
    return blocks


def _drawings(book: Book, faced: Faced) -> list[Block]:
    found = book.drawings_of(faced, "single-line")
    blocks: list[Block] = [Heading(book.text(client.DRAWING_HEADING), 2, "drawing")]
    if not found:
        return [*blocks, Paragraph(book.writer.words(client.DRAWING_MISSING))]
    message = book.either(client.DRAWING_ALT, client.DRAWING_ALT_RECORD)
    alt = book.text(message, letter=faced.letter, title=faced.option.title)
    blocks.append(Paragraph(book.writer.words(client.DRAWING_READ)))
    first = book.text(book.either(client.DRAWING_CAPTION, client.DRAWING_CAPTION_RECORD), letter=faced.letter)
    blocks.append(Figure(found[0], alt, first, landscape=True))
    caption = book.text(
        book.either(client.DRAWING_CAPTION_MORE, client.DRAWING_CAPTION_MORE_RECORD), letter=faced.letter
    )
    return [*blocks, *(Figure(name, alt, caption, landscape=True) for name in found[1:])]


def _batteries(book: Book, faced: Faced) -> list[Block]:
    writer = book.writer
    rows = (
        Row(
            (
                plain(bank.item.title),
                batteries(book, bank),
                plain(book.text(names.ROLES[bank.item.role])),
                writer.one(bank, "capacity_ah"),
                writer.one(bank, "usable_share"),
                writer.one(bank, "temperature_share"),
                writer.one(bank, "usable_ah"),
                writer.one(bank, "mass_kg"),
                plain(bank.item.place),
            )
        )
        for bank in each(faced.option.banks, f"{faced.path}.banks")
    )
    columns = book.columns(
        client.COLUMN_BANK, client.COLUMN_BATTERIES, client.COLUMN_ROLE, (client.COLUMN_CAPACITY, "right"),
        (client.COLUMN_SHARE, "right"), (client.COLUMN_COLD, "right"), (client.COLUMN_USABLE, "right"),
        (client.COLUMN_MASS, "right"), client.COLUMN_PLACE,
    )  # fmt: skip
    return [
        Heading(book.text(client.BATTERIES_HEADING), 2, "batteries"),
        table(book.text(client.BATTERIES_TABLE), columns, rows),
        Paragraph(writer.words(client.BATTERIES_NOTE)),
    ]


def _energy(book: Book, faced: Faced) -> list[Block]:
    writer = book.writer
    seasons = list(each(faced.option.energy.seasons, f"{faced.path}.energy.seasons"))
    parts = [("use_wh", client.COLUMN_USE), ("loss_wh", client.COLUMN_LOSS)]
    optional = (
        ("sun_wh", client.COLUMN_SUN), ("wind_wh", client.COLUMN_WIND), ("shore_wh", client.COLUMN_SHORE),
        ("engine_wh", client.COLUMN_ENGINE), ("engine_h", client.COLUMN_ENGINE_H),
    )  # fmt: skip
    parts += [(name, title) for name, title in optional if any(getattr(s.item, name) for s in seasons)]
    parts.append(("balance_wh", client.COLUMN_BALANCE))
    rows = [
        Row(
            (
                plain(s.item.title),
                *(writer.one(s, name, none=client.ENGINE_NONE) for name, _ in parts),
            ),
            tone="caution" if s.item.balance_wh < -0.5 else "plain",
        )
        for s in seasons
    ]
    columns = book.columns(client.COLUMN_SEASON, *((title, "right") for _, title in parts))
    blocks: list[Block] = [
        Heading(book.text(client.ENERGY_HEADING), 2, "energy"),
        table(book.text(client.ENERGY_TABLE), columns, rows),
    ]
    worst = worst_season(faced)
    if worst is not None:
        blocks.append(Paragraph(_tightest(book, worst)))
        blocks.append(_loads(book, faced, worst))
    return blocks


def _tightest(book: Book, worst: Located[SeasonEnergy]) -> Words:
    writer, season = book.writer, worst.item
    first = writer.words(client.ENERGY_WORST, season=season.title)
    if season.engine_h == 0:
        second = writer.words(client.ENERGY_COVERED)
    elif season.engine_h is None:
        second = writer.words(client.ENERGY_NO_ENGINE)
    elif season.made_up_by == "generator" and not season.engine_accepted_h:
        second = writer.words(client.ENERGY_GENERATOR, engine_h=writer.cell(worst, "engine_h"))
    else:
        message = client.ENERGY_ENGINE if season.engine_h <= season.engine_accepted_h else client.ENERGY_ENGINE_MORE
        second = writer.words(
            message,
            engine_h=writer.cell(worst, "engine_h"),
            accepted=writer.cell(worst, "engine_accepted_h"),
            made_up_by=book.text(client.MADE_UP_BY["generator" if season.made_up_by == "generator" else "engine"]),
        )
    return joined((first, second), " ")


def _loads(book: Book, faced: Faced, worst: Located[SeasonEnergy]) -> Block:
    writer = book.writer
    loads = sorted(each(faced.option.loads, f"{faced.path}.loads"), key=lambda x: -x.item.wh_per_day)
    rows = []
    for load in loads:
        marks = [client.CRITICAL_YES] if load.item.critical else []
        marks += [client.ALWAYS_YES] if load.item.always_on else []
        rows.append(
            Row(
                (
                    plain(load.item.title),
                    plain(load.item.designation),
                    writer.one(load, "current_a"),
                    writer.one(load, "wh_per_day"),
                    joined(book.text(mark) for mark in marks),
                )
            )
        )
    columns = book.columns(
        client.COLUMN_LOAD, client.COLUMN_NO, (client.COLUMN_WHILE_ON, "right"), (client.COLUMN_PER_DAY, "right"),
        client.COLUMN_CRITICAL,
    )  # fmt: skip
    return table(book.text(client.LOADS_TABLE, season=worst.item.title), columns, rows)


def _autonomy(book: Book, faced: Faced) -> list[Block]:
    writer = book.writer
    rows = []
    entries = list(each(faced.option.energy.autonomy, f"{faced.path}.energy.autonomy"))
    if len(entries) == 2 and entries[0].item.bank == HOUSE:
        entries = entries[:1]
    for entry in entries:
        named = faced.items.named(entry.item.bank)
        title = named.title if named is not None else book.text(names.HOUSE)
        rows.append(
            Row(
                (
                    plain(title),
                    writer.one(entry, "usable_wh"),
                    writer.one(entry, "use_wh_per_day"),
                    writer.one(entry, "days", none=client.WITHOUT_CHARGE_NONE),
                    writer.one(entry, "critical_only_days", none=client.WITHOUT_CHARGE_NONE),
                )
            )
        )
    columns = book.columns(
        client.COLUMN_BANK, (client.COLUMN_USABLE, "right"), (client.COLUMN_USED_A_DAY, "right"),
        (client.COLUMN_DAYS, "right"), (client.COLUMN_CRITICAL_DAYS, "right"),
    )  # fmt: skip
    return [
        Heading(book.text(client.AUTONOMY_HEADING), 2, "autonomy"),
        table(book.text(client.AUTONOMY_TABLE), columns, rows),
    ]


def _charging(book: Book, faced: Faced) -> list[Block]:
    writer = book.writer
    rows = [
        Row(
            (
                plain(faced.items.phrase(entry.item.source)),
                writer.one(entry, "charge_ah"),
                writer.one(entry, "current_a"),
                writer.one(entry, "hours_h", none=client.CHARGE_NEVER),
            )
        )
        for entry in each(faced.option.energy.charge_times, f"{faced.path}.energy.charge_times")
    ]
    if not rows:
        return []
    columns = book.columns(
        client.COLUMN_SOURCE, (client.COLUMN_CHARGE, "right"), (client.COLUMN_CURRENT, "right"),
        (client.COLUMN_HOURS, "right"),
    )  # fmt: skip
    return [
        Heading(book.text(client.CHARGE_HEADING), 2, "charging"),
        table(book.text(client.CHARGE_TABLE), columns, rows),
    ]


def _starting(book: Book, faced: Faced) -> list[Block]:
    writer = book.writer
    heading = Heading(book.text(client.START_HEADING), 2, "starting")
    if not faced.option.starts:
        return []
    rows = [
        Row(
            (
                plain(faced.items.case(s.item.case)),
                bank_titles(faced, s.item.fed_by),
                writer.one(s, "battery_c"),
                writer.one(s, "cranking_a"),
                writer.one(s, "starter_v"),
                writer.one(s, "minimum_v", none=client.NO_MINIMUM),
                plain(book.text(names.VERDICTS[s.item.verdict])),
            ),
            tone=VERDICT_TONES[s.item.verdict],
        )
        for s in each(faced.option.starts, f"{faced.path}.starts")
    ]
    columns = book.columns(
        client.COLUMN_CASE, client.COLUMN_FED_BY, (client.COLUMN_BATTERY_C, "right"), (client.COLUMN_CRANKING, "right"),
        (client.COLUMN_STARTER_V, "right"), (client.COLUMN_NEEDS, "right"), client.COLUMN_VERDICT,
    )  # fmt: skip
    own = faced.option.starts[0].verdict
    return [
        heading,
        Paragraph(writer.words(client.START_VERDICT_WORDS[own]), VERDICT_TONES[own]),
        table(book.text(client.START_TABLE), columns, rows),
    ]
