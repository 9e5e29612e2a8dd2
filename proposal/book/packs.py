"""Packs for a sale, the insurer, a claim of warranty: pages of the record behind a first page of their own."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from proposal.book.blocks import Block, Book, Bullets, Callout, Heading, KeyFigures, Page, Paragraph, Row
from proposal.book.choosing import only
from proposal.book.opening import context_of
from proposal.book.pages import context
from proposal.book.pages.context import Faced, table
from proposal.book.pages.findings import went
from proposal.book.pages.telling import finding_text
from proposal.book.pages.upkeep import upkeep_rows
from proposal.book.refs import each
from proposal.book.sentences import names, packs, upkeep
from proposal.book.tables import Link
from proposal.book.writer import joined, plain
from proposal.results.model import Results
from proposal.results.record_model import FittedRow

PackKind = Literal["sale", "insurer", "warranty"]

PAGES: dict[PackKind, tuple[str, ...]] = {
    "sale": (
        "fitted", "difference", "tests", "protection", "defects", "upkeep", "log", "emergency", "photos", "cautions",
    ),
    "insurer": (
        "protection", "findings", "tests", "fitted", "difference", "photos", "consents", "defects", "log", "codes",
        "upkeep", "cautions",
    ),
    "warranty": ("fitted", "parts", "tests", "ladder", "consents", "upkeep", "defects", "log", "difference"),
}  # fmt: skip
"""Pages of the record in each pack, those that it has."""

ASKED: dict[str, tuple[str, ...]] = {
    "protection": (
        "positive_unfused", "link_fused_one_end", "conductor_overloaded", "breaking_capacity_low",
        "battery_without_device", "device_voltage_low", "fault_outlasts_conductor", "solar_strings_unprotected",
        "always_on_at_risk",
    ),
    "switching": ("emergency_off_defeated", "bank_without_switch", "cut_off_darkens"),
    "securing": ("battery_loose", "terminals_crowded", "not_ignition_protected"),
    "ventilation": ("vent_small", "gas_reaches_people"),
    "batteries": ("lithium_feeds_shorted_lead", "lead_overheats", "lithium_charged_cold"),
    "mains": ("mains_unsafe",),
}  # fmt: skip
"""Checks that an insurer asks for, by what they are about."""


def make_packs(results: Results, record: Book) -> dict[PackKind, Book]:
    """All packs of a record.

    Parameters: results with their record; record, its whole book. Each pack is a book of its own with a choice of that
    one's pages, its warning and its cautions. Raises ValueError for results without a record.
    """
    if results.record is None:
        raise ValueError("packs are made of a record")
    book = context_of(results)
    return {kind: _pack(book, record, kind) for kind in PAGES}


def _pack(book: context.Book, record: Book, kind: PackKind) -> Book:
    words, vessel = packs.PACKS[kind], book.results.vessel
    pages = only(record, PAGES[kind], _first(book, record, kind))
    date = book.writer.cells.date(record.date)
    subtitle = book.text(words.subtitle, system_v=book.writer.cell(book.vessel, "system_v").text)
    cover = replace(
        pages.cover,
        subtitle=f"{book.text(words.title)}: {subtitle}",
        running=book.text(words.running, number=vessel.number, date=date),
    )
    return replace(pages, cover=cover)


def _first(book: context.Book, record: Book, kind: PackKind) -> Page:
    """Whether it may be switched on and how it stands, what the pack answers where, and what it adds of its own."""
    words, vessel = packs.PACKS[kind], book.results.vessel
    front = record.pages[0].blocks
    blocks: list[Block] = [block for block in front if isinstance(block, Callout) and block.tone != "caution"]
    blocks += [block for block in front if isinstance(block, KeyFigures)]
    blocks.append(Heading(book.text(packs.QUESTIONS), 2, "questions"))
    titles = {page.id: page.title for page in record.pages}
    asked = [
        joined((book.text(question), book.writer.words(packs.LINK, title=Link(titles[page_id], page_id))), " ")
        for page_id, question in words.questions
        if page_id in titles
    ]
    blocks.append(Bullets(tuple(asked), numbered=True))
    date = book.writer.cells.date(record.date)
    blocks.append(Paragraph(book.writer.words(packs.EXCERPT, date=date, number=vessel.number)))
    blocks += _own(book, kind)
    lead = book.writer.words(words.lead, vessel=vessel.name)
    return Page("index", book.text(words.title), ("owner", "surveyor"), tuple(blocks), lead)


def _own(book: context.Book, kind: PackKind) -> Iterator[Block]:
    (faced,) = book.options
    if kind == "insurer":
        yield from _asked(book, faced)
    elif kind == "warranty":
        yield from _serials(book, faced)
        yield from _done(book)
    else:
        yield from _banks(book, faced)
        yield from _done(book)


def _asked(book: context.Book, faced: Faced) -> Iterator[Block]:
    checks = {check.item.id: check for check in each(faced.option.checks, f"{faced.path}.checks")}
    rows = []
    for group, ids in ASKED.items():
        title = book.text(packs.GROUPS[group])
        for check_id in (check_id for check_id in ids if check_id in checks):
            check, text = checks[check_id], finding_text(check_id)
            bad = check.item.fired and check.item.severity == "danger"
            rows.append(
                Row(
                    (plain(book.text(text.passed) if text is not None else check_id), went(book, check)),
                    tone="danger" if bad else "caution" if check.item.fired or check.item.undecided else "plain",
                    group=title,
                )
            )
            title = ""
    columns = book.columns((packs.COLUMN_CHECKED, "wide"), packs.COLUMN_WENT)
    yield Heading(book.text(packs.ASKED_HEADING), 2, "asked")
    yield table(book.text(packs.ASKED_TABLE), columns, rows)


def _serials(book: context.Book, faced: Faced) -> Iterator[Block]:
    yield Heading(book.text(packs.SERIALS_HEADING), 2, "serials")
    date = book.writer.cells.date
    rows = [
        _row(row.designation, row.part_title or _title(faced, row), row.serial, row.firmware, date(row.fitted_on))
        for row in book.record.item.fitted
        if row.serial
    ]
    if not rows:
        yield Paragraph(book.writer.words(packs.SERIALS_NONE), "unknown")
        return
    columns = book.columns(
        packs.COLUMN_NO, packs.COLUMN_PART, packs.COLUMN_SERIAL, packs.COLUMN_FIRMWARE, packs.COLUMN_SINCE
    )
    yield table(book.text(packs.SERIALS_TABLE), columns, rows)


def _title(faced: Faced, row: FittedRow) -> str:
    named = faced.items.named(row.item)
    return named.title if named is not None and named.title else row.title


def _banks(book: context.Book, faced: Faced) -> Iterator[Block]:
    """The banks with the days on which their batteries were fitted, and when their capacity was last measured."""
    record = book.record.item
    read = next((row.last_on for row in record.upkeep if row.task == "capacity"), "")
    date = book.writer.cells.date
    rows = []
    for bank in each(faced.option.banks, f"{faced.path}.banks"):
        key = bank.item.key
        days = dict.fromkeys(r.fitted_on for r in record.fitted if r.item == key or r.item.startswith(f"{key}.s"))
        since = joined(date(day) for day in (days or {record.date: None}))
        rows.append(
            Row(
                (
                    plain(faced.items.phrase(key)),
                    plain(book.text(names.CHEMISTRIES[bank.item.chemistry])),
                    book.writer.one(bank, "capacity_ah"),
                    plain(bank.item.place),
                    since,
                    plain(date(read) if read else book.text(packs.NOT_READ)),
                )
            )
        )
    columns = book.columns(
        packs.COLUMN_BANK, packs.COLUMN_CHEMISTRY, (packs.COLUMN_CAPACITY, "right"), packs.COLUMN_PLACE,
        packs.COLUMN_SINCE, packs.COLUMN_CAPACITY_READ,
    )  # fmt: skip
    yield Heading(book.text(packs.BANKS_HEADING), 2, "banks")
    yield table(book.text(packs.BANKS_TABLE), columns, rows)


def _done(book: context.Book) -> Iterator[Block]:
    """What upkeep was done, when and by whom."""
    yield Heading(book.text(packs.DONE_HEADING), 2, "done")
    date = book.writer.cells.date
    done = [row.item for row in upkeep_rows(book) if row.item.last_on]
    if not done:
        yield Paragraph(book.writer.words(packs.DONE_NONE), "unknown")
        return
    rows = []
    for row in done:
        due = date(row.due_on) if row.due_on else book.text(upkeep.DONE)
        rows.append(_row(book.text(upkeep.TASKS[row.task].title), date(row.last_on), row.last_by, due))
    columns = book.columns(packs.COLUMN_TASK, packs.COLUMN_LAST, packs.COLUMN_BY, packs.COLUMN_DUE)
    yield table(book.text(packs.DONE_TABLE), columns, rows)


def _row(*texts: str) -> Row:
    return Row(tuple(plain(text) for text in texts))
