"""What is fitted: every item that the record names, what is not as proposed, what was turned down; parts to reorder."""

from collections.abc import Collection, Iterator
from dataclasses import replace

from proposal.book.blocks import Block, Heading, Link, Page, Paragraph, Row, Words
from proposal.book.cells import EN_DASH
from proposal.book.pages import price
from proposal.book.pages.cables import size_cell
from proposal.book.pages.context import Book, Faced, grouped, table
from proposal.book.pages.headline import batteries
from proposal.book.pages.record_words import dated, file_text, item_words, path_text, value_text
from proposal.book.pages.tests_told import read_words
from proposal.book.refs import Located, each
from proposal.book.sentences import names
from proposal.book.sentences import record as words
from proposal.book.writer import joined, plain
from proposal.frozen import frozen
from proposal.results.record_model import DeviationRow, FittedRow, TestRow

MATERIAL = ("battery", "cable", "protection", "switching", "charging", "other")
"""Groups of price lines that are things."""


def page(book: Book, faced: Faced, difference: str = "") -> Page:
    """Everything fitted by kind; deviations with their reason; options turned down.

    `difference`: the page that sets proposal and as built side by side, where the book has one.
    """
    cables = Link(book.text(words.CABLES_LINK), "cables")
    blocks: list[Block] = [Paragraph(book.writer.words(words.FITTED_READ, cables=cables))]
    blocks += _deviations(book, faced, difference)
    blocks += _fitted(book, faced)
    blocks += _turned_down(book)
    title, lead = book.text(words.FITTED_TITLE), book.writer.words(words.FITTED_LEAD)
    return Page("fitted", title, ("owner", "surveyor", "installer"), tuple(blocks), lead)


def _fitted(book: Book, faced: Faced) -> list[Block]:
    """A table for each kind of item: all that there are, with what the record says of each."""
    record = book.record
    said = {row.item.item: row for row in each(record.item.fitted, f"{record.path}.fitted")}
    torques: dict[str, list[Located[TestRow]]] = {}
    for test in each(record.item.tests, f"{record.path}.tests"):
        if test.item.test == "torque":
            torques.setdefault(test.item.item, []).append(test)
    known = dict(_items(book, faced, said))
    blocks: list[Block] = []
    for kind, heading in words.KINDS.items():
        keys = [key for key, item in known.items() if item.kind == kind]
        keys += [key for key, row in said.items() if key not in known and row.item.kind == kind]
        if not keys:
            continue
        made = [_row(book, faced, key, known.get(key), said.get(key), torques.get(key, [])) for key in keys]
        titles = [
            words.COLUMN_NO, words.COLUMN_WHAT, words.COLUMN_PART, words.COLUMN_SERIAL, words.COLUMN_SETTINGS,
            words.COLUMN_TORQUE, words.COLUMN_ROUTE, words.COLUMN_NOTE, words.COLUMN_WHEN,
        ]  # fmt: skip
        # a column that says nothing of this kind is left out
        kept = [n for n in range(len(titles)) if n in (0, 1, 2) or any(row.cells[n].parts for row in made)]
        columns = book.columns(*(titles[n] for n in kept))
        made = [replace(row, cells=tuple(row.cells[n] for n in kept)) for row in made]
        blocks += [
            Heading(book.text(heading), 2, f"fitted.{kind}"),
            table(book.text(words.KIND_TABLES[kind]), columns, made, dense=True),
        ]
    return blocks


@frozen
class _Item:
    """What the results know of an item, whether or not the record says something of it."""

    kind: str
    designation: str
    what: Words
    part: Words


def _items(book: Book, faced: Faced, said: Collection[str]) -> Iterator[tuple[str, _Item]]:
    """Every battery that the record names, else its bank; every source, device, conductor and load."""
    option, nothing = faced.option, plain()
    for bank in each(option.banks, f"{faced.path}.banks"):
        what = book.writer.words(words.BANK_AT, title=bank.item.title, place=bank.item.place)
        own = [key for key in said if key.startswith(f"{bank.item.key}.s") and _bank(key) == bank.item.key]
        if len(own) < bank.item.parallel_count or bank.item.key in said:
            # of several batteries each has a number of its own
            designation = bank.item.designation if bank.item.parallel_count == 1 else ""
            yield bank.item.key, _Item("battery", designation, what, batteries(book, bank))
        yield from ((key, _Item("battery", "", what, nothing)) for key in own)
    for source in option.sources:
        yield source.key, _Item("source", source.designation, plain(source.title), nothing)
    for device in option.devices:
        named = faced.items.named(device.key)
        what = plain(named.title if named is not None else device.title)
        yield device.key, _Item("device", device.designation, what, plain(device.part_title))
    for at in each(option.conductors, f"{faced.path}.conductors"):
        conductor, named = at.item, faced.items.named(at.item.key)
        what = book.writer.words(
            words.CONDUCTOR_BETWEEN,
            title=named.title if named is not None else conductor.title,
            pole=names.POLE_SIGNS[conductor.pole],
            start=conductor.from_designation,
            end=conductor.to_designation,
        )
        yield conductor.key, _Item("conductor", conductor.designation, what, size_cell(book, at))
    for load in option.loads:
        yield load.key, _Item("load", load.designation, plain(load.title), nothing)


def _bank(key: str) -> str:
    """The bank that a battery belongs to, by its key."""
    return ".".join(key.split(".")[:2])


def _row(
    book: Book,
    faced: Faced,
    key: str,
    item: _Item | None,
    at: Located[FittedRow] | None,
    torques: list[Located[TestRow]],
) -> Row:
    """One item; `item` is what the results know of it, `at` what the record says."""
    row = at.item if at is not None else _SILENT
    named = faced.items.named(key)
    designation = row.designation or (item.designation if item is not None else "")
    what = item.what if item is not None else plain(row.title or (named.title if named is not None else ""))
    part = plain(row.part_title or file_text(row.part))
    if item is not None and (not part.parts or item.kind == "conductor"):
        part = item.part
    known = [book.text(words.SERIAL, serial=row.serial)] if row.serial else []
    known += [book.text(words.FIRMWARE, firmware=row.firmware)] if row.firmware else []
    settings = (book.text(words.SETTING, name=name.replace("_", " "), value=value) for name, value in row.settings)
    when = dated(book, at, row.fitted_on) if at is not None else plain(book.text(words.NOT_RECORDED))
    return Row(
        (
            plain(book.item_link(faced, key, designation) or EN_DASH),
            what if what.parts else plain(book.text(names.UNNAMED)),
            part if part.parts else plain(book.text(words.NO_PART)),
            joined(known),
            joined(settings, "; "),
            joined(_torque(book, test) for test in torques),
            plain(row.route_as_run),
            plain(row.note),
            when,
        ),
        anchor=faced.anchor("fitted", key),
    )


_SILENT = FittedRow("", "", "", "other", "", "", "", "", (), "", "", "", 0)
"""What the record says of an item that no entry names."""


def _torque(book: Book, at: Located[TestRow]) -> Words:
    """What a joint was tightened to, with its end where an item has several."""
    read = read_words(book, at)
    read = read if read.parts else plain(book.text(words.NOT_TIGHTENED))
    return joined((plain(at.item.end), read), ": ") if at.item.end else read


def _deviations(book: Book, faced: Faced, difference: str) -> list[Block]:
    heading = Heading(book.text(words.DEVIATIONS_HEADING), 2, "deviations")
    at = list(each(book.record.item.deviations, f"{book.record.path}.deviations"))
    if not at:
        return [heading, Paragraph(book.writer.words(words.DEVIATIONS_NONE), "good")]
    columns = book.columns(
        words.COLUMN_WHAT, words.COLUMN_PROPOSED, words.COLUMN_FITTED, (words.COLUMN_BECAUSE, "wide"),
        (words.COLUMN_ENTRY, "right"),
    )  # fmt: skip
    made = table(book.text(words.DEVIATIONS_TABLE), columns, (_deviation(book, faced, row) for row in at))
    blocks: list[Block] = [heading, made]
    if difference:
        link = Link(book.text(words.DIFFERENCE_LINK), difference)
        blocks.append(Paragraph(book.writer.words(words.DEVIATIONS_SEE, difference=link)))
    return blocks


def _deviation(book: Book, faced: Faced, at: Located[DeviationRow]) -> Row:
    row = at.item
    where = plain(path_text(book, faced, row.at))
    if row.kind == "part":
        where = item_words(book, faced, row.at, row.designation, row.title)
    nothing = book.text(words.NOTHING_THERE)
    return Row(
        (
            where,
            plain(row.proposed_title or value_text(book, row.proposed) or nothing),
            plain(row.fitted_title or value_text(book, row.fitted) or nothing),
            plain(row.because or book.text(words.NO_REASON)),
            book.writer.count_of(at, "entry"),
        ),
        tone="plain" if row.because else "caution",
    )


def _turned_down(book: Book) -> list[Block]:
    heading = Heading(book.text(words.TURNED_DOWN_HEADING), 2, "turned-down")
    rows = [
        Row(
            (plain(row.letter), plain(row.title), plain(row.because or book.text(words.NO_REASON))),
            tone="plain" if row.because else "caution",
        )
        for row in book.record.item.turned_down
    ]
    if not rows:
        return [heading, Paragraph(book.writer.words(words.TURNED_DOWN_NONE))]
    columns = book.columns(words.COLUMN_OPTION, words.COLUMN_WHAT, (words.COLUMN_BECAUSE, "wide"))
    return [heading, table(book.text(words.TURNED_DOWN_TABLE), columns, rows)]


def parts(book: Book, faced: Faced) -> tuple[Page, ...]:
    """Material without prices: they were agreed for one day, and the next owner has no use for them."""
    lines = [
        line for line in each(faced.option.price_lines, f"{faced.path}.price_lines") if line.item.group in MATERIAL
    ]
    if not lines:
        return ()
    rows = grouped(
        ((book.text(names.GROUPS[line.item.group]), price.material(book, faced, line)) for line in lines),
        lambda row, group: replace(row, group=group),
    )
    columns = book.columns(*price.MATERIAL_COLUMNS)
    blocks: tuple[Block, ...] = (
        Paragraph(book.writer.words(words.PARTS_NO_PRICE)),
        table(book.text(words.PARTS_TABLE), columns, rows, dense=True),
    )
    title, lead = book.text(words.PARTS_TITLE), book.writer.words(words.PARTS_LEAD)
    return (Page("parts", title, ("owner", "installer"), blocks, lead),)
