"""Page 5: schedules of cables and protection, fault currents, joining currents."""

from proposal.book.blocks import Block, Heading, Link, Page, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.faults import fault_blocks
from proposal.book.pages.in_time import in_time, to_chart
from proposal.book.pages.switching import switching_blocks
from proposal.book.refs import Located, each
from proposal.book.sentences import names, reasons, surveyor
from proposal.book.writer import joined, plain
from proposal.facts import Reason
from proposal.results.model import ConductorResult, DeviceResult

LEAST_CRANKING_A = 1.0
"""Less than this through a conductor while cranking is not worth a word."""


def page(book: Book) -> Page:
    """Every conductor and device of every option."""
    blocks: list[Block] = [Paragraph(book.writer.words(surveyor.CABLES_BASIS))]
    for faced in book.options:
        blocks += [_heading(book, faced, surveyor.LAY_HEADING, "conductors"), _lay(book, faced), _why(book, faced)]
        blocks += [_heading(book, faced, surveyor.FUSES_HEADING, "fuses"), _fuses(book, faced)]
        blocks += in_time(book, faced)
        blocks += [_heading(book, faced, surveyor.DEVICES_HEADING, "devices"), _devices(book, faced)]
        blocks += [_heading(book, faced, surveyor.FAULTS_HEADING, "faults"), *fault_blocks(book, faced)]
        blocks += switching_blocks(book, faced)
    lead = book.writer.words(
        surveyor.CABLES_LEAD,
        system_v=book.writer.cell(book.vessel, "system_v"),
        rules=book.results.vessel.rule_family_title,
    )
    return Page("cables", book.text(surveyor.CABLES_TITLE), ("installer", "surveyor"), tuple(blocks), lead)


def reason_words(book: Book, faced: Faced, kind: str, reason: Reason, path: str) -> Words:
    """A reason in words. `kind`: conductor, device or rejected."""
    words = {"conductor": reasons.CONDUCTORS, "device": reasons.DEVICES, "rejected": reasons.REJECTED}[kind]
    message = words.get(reason.code, reasons.OTHER)
    if reason.code == "pinned":
        message = book.either(message, reasons.AS_FITTED)
    return book.writer.fact(message, reason.values, f"{path}.values", faced.items.naming)


def size_cell(book: Book, conductor: Located[ConductorResult]) -> Words:
    """Size as the family names it, with its area where that says more."""
    size = book.writer.cell(conductor, "size")
    if "mm" in conductor.item.size:
        return plain(size)
    return joined((size, book.writer.cell(conductor, "area_mm2")), " · ")


def _heading(book: Book, faced: Faced, message: str, anchor: str) -> Heading:
    return Heading(book.text(message, letter=faced.letter), 2, faced.anchor(anchor))


def _lay(book: Book, faced: Faced) -> Block:
    writer = book.writer
    rows = []
    for c in each(faced.option.conductors, f"{faced.path}.conductors"):
        found = faced.items.named(c.item.key)
        rows.append(
            Row(
                (
                    plain(c.item.designation),
                    plain(found.title if found is not None else c.item.title),
                    plain(names.POLE_SIGNS[c.item.pole]),
                    plain(c.item.from_designation),
                    plain(c.item.to_designation),
                    size_cell(book, c),
                    writer.one(c, "length_m"),
                    writer.words(surveyor.WITH_PLACE, place=c.item.place, place_c=writer.cell(c, "place_c")),
                    writer.one(c, "bundled_count"),
                ),
                anchor=faced.anchor(c.item.key),
            )
        )
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_CIRCUIT, surveyor.COLUMN_POLE, surveyor.COLUMN_FROM, surveyor.COLUMN_TO,
        surveyor.COLUMN_SIZE, (surveyor.COLUMN_LENGTH, "right"), surveyor.COLUMN_PLACE,
        (surveyor.COLUMN_TOGETHER, "right"),
    )  # fmt: skip
    return table(
        book.text(book.either(surveyor.LAY_TABLE, surveyor.LAY_TABLE_RECORD), letter=faced.letter),
        columns,
        rows,
        dense=True,
    )


def _why(book: Book, faced: Faced) -> Block:
    writer = book.writer
    rows = []
    for c in each(faced.option.conductors, f"{faced.path}.conductors"):
        lost = plain()
        if c.item.loop_drop_share is not None:
            shares = [writer.cell(c, "loop_drop_share")]
            shares += [writer.cell(c, "drop_limit_share")] if c.item.drop_limit_share is not None else []
            lost = joined(shares, " / ")
        rows.append(
            Row(
                (
                    plain(c.item.designation),
                    _currents(book, c),
                    plain(faced.items.case(c.item.design_case)),
                    writer.one(c, "ampacity_a"),
                    lost,
                    joined((writer.cell(c, "fault_from_a"), writer.cell(c, "fault_to_a")), " / "),
                    _links(faced, c.item.fuses),
                    reason_words(book, faced, "conductor", c.item.decided_by, f"{c.path}.decided_by"),
                )
            )
        )
    columns = book.columns(
        surveyor.COLUMN_NO, (surveyor.COLUMN_CURRENT, "right"), surveyor.COLUMN_WHEN,
        (surveyor.COLUMN_CARRIES, "right"), (surveyor.COLUMN_LOST_LIMIT, "right"), (surveyor.COLUMN_FAULT, "right"),
        surveyor.COLUMN_FUSES, surveyor.COLUMN_DECIDED,
    )  # fmt: skip
    return table(book.text(surveyor.WHY_TABLE, letter=faced.letter), columns, rows, dense=True)


def _currents(book: Book, c: Located[ConductorResult]) -> Words:
    """The largest lasting current, and what flows for the seconds of a start where that is more."""
    lasting = book.writer.cell(c, "design_current_a")
    if c.item.cranking_current_a <= max(c.item.design_current_a, LEAST_CRANKING_A):
        return plain(lasting)
    cranking = book.writer.cell(c, "cranking_current_a")
    return book.writer.words(surveyor.LASTING_AND_CRANKING, lasting=lasting, cranking=cranking)


def _links(faced: Faced, keys: tuple[str, ...]) -> Words:
    """Designations of items, each linked to its row."""
    runs = []
    for key in keys:
        found = faced.items.named(key)
        if found is not None and found.designation:
            row = key in faced.rows_with_anchor
            runs.append(Link(found.designation, "cables", faced.anchor(key)) if row else found.designation)
    return joined(runs)


def _fuses(book: Book, faced: Faced) -> Block:
    rows = [_fuse(book, faced, d) for d in each(faced.option.devices, f"{faced.path}.devices") if d.item.kind == "fuse"]
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_CIRCUIT, surveyor.COLUMN_PART, (surveyor.COLUMN_RATING, "right"),
        (surveyor.COLUMN_ALLOWED, "right"), (surveyor.COLUMN_FAULT_BREAKS, "right"),
        (surveyor.COLUMN_UP_TO, "right"), (surveyor.COLUMN_DISTANCE_MOST, "right"), surveyor.COLUMN_GUARDS,
    )  # fmt: skip
    return table(book.text(surveyor.FUSES_TABLE, letter=faced.letter), columns, rows, dense=True)


def _fuse(book: Book, faced: Faced, d: Located[DeviceResult]) -> Row:
    writer = book.writer
    named = faced.items.named(d.item.key)
    allowed = plain()
    if d.item.smallest_a is not None and d.item.largest_a is not None:
        smallest, largest = writer.cell(d, "smallest_a"), writer.cell(d, "largest_a")
        allowed = writer.words(surveyor.FROM_TO, smallest=smallest, largest=largest)
    breaks = [writer.cell(d, "fault_a")]
    breaks += [writer.cell(d, "interrupt_a")] if d.item.interrupt_a is not None else []
    distance = plain()
    if d.item.distance_m is not None and d.item.distance_limit_m is not None:
        distance = joined((writer.cell(d, "distance_m"), writer.cell(d, "distance_limit_m")), " / ")
    return Row(
        (
            plain(to_chart(book, faced, d.item.key, d.item.designation)),
            plain(named.title if named is not None else d.item.title),
            plain(d.item.part_title or book.text(surveyor.NO_PART)),
            writer.one(d, "rating_a", none=surveyor.NO_PART),
            allowed,
            joined(breaks, " / "),
            writer.one(d, "voltage_max_v", none=surveyor.NOT_STATED),
            distance,
            _links(faced, d.item.guards),
        ),
        anchor=faced.anchor(d.item.key),
        tone="plain" if d.item.part_id is not None else "caution",
    )


def _devices(book: Book, faced: Faced) -> Block:
    writer = book.writer
    rows = []
    for d in each(faced.option.devices, f"{faced.path}.devices"):
        if d.item.kind == "fuse":
            continue
        named = faced.items.named(d.item.key)
        rows.append(
            Row(
                (
                    plain(d.item.designation),
                    plain(named.title if named is not None else d.item.title),
                    plain(book.text(names.DEVICE_KINDS.get(d.item.kind, names.UNNAMED))),
                    plain(d.item.part_title or book.text(surveyor.NO_PART)),
                    writer.one(d, "rating_a", none=surveyor.NO_PART),
                    writer.one(d, "wanted_a"),
                    plain(faced.items.case(d.item.wanted_case)),
                    writer.one(d, "fault_a", none=names.UNNAMED) if d.item.fault_a is not None else plain(),
                    reason_words(book, faced, "device", d.item.decided_by, f"{d.path}.decided_by"),
                ),
                anchor=faced.anchor(d.item.key),
                tone="plain" if d.item.part_id is not None else "caution",
            )
        )
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_CIRCUIT, surveyor.COLUMN_KIND, surveyor.COLUMN_PART,
        (surveyor.COLUMN_RATING, "right"), (surveyor.COLUMN_NEEDED, "right"), surveyor.COLUMN_WHEN,
        (surveyor.COLUMN_FAULT_HERE, "right"), surveyor.COLUMN_DECIDED,
    )  # fmt: skip
    return table(book.text(surveyor.DEVICES_TABLE, letter=faced.letter), columns, rows, dense=True)
