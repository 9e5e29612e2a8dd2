"""Page: what happens when one thing fails, by what is seen: also the guide to finding faults."""

from itertools import groupby

from proposal.book.blocks import Block, Heading, Page, Paragraph, Row, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import failures as words
from proposal.book.sentences import names
from proposal.book.tables import Link, Strong
from proposal.book.writer import Filled, joined, plain
from proposal.results.model import BusChangeResult, FailureResult

CHANGED_V = 0.05
"""Less than this no reader of a meter takes for a change."""


def page(book: Book) -> Page:
    """For each option one table by symptom."""
    blocks: list[Block] = [Paragraph(book.writer.words(words.READ))]
    for faced in book.options:
        blocks.append(Heading(book.text(words.HEADING, letter=faced.letter), 2, faced.anchor("failures")))
        located = each(faced.option.failures, f"{faced.path}.failures")
        for symptom, group in groupby(located, key=lambda f: f.item.symptom):
            blocks += _symptom(book, faced, symptom, list(group))
    return Page(
        "failures", book.text(words.TITLE), ("installer", "owner", "surveyor"), tuple(blocks),
        book.writer.words(words.LEAD),
    )  # fmt: skip


def _symptom(book: Book, faced: Faced, symptom: str, found: list[Located[FailureResult]]) -> list[Block]:
    own = [f for f in found if f.item.cause == "load_circuit"]
    shared = [f for f in found if f.item.cause != "load_circuit"]
    title = book.text(words.SYMPTOMS[symptom])
    blocks: list[Block] = [Heading(title, 3, faced.anchor("failures", symptom))]
    if shared:
        caption = book.text(words.TABLE, letter=faced.letter, symptom=title[:1].lower() + title[1:])
        blocks.append(_table(book, faced, caption, shared))
    if own:
        devices = {d.key for d in faced.option.devices}
        rows = [_own(faced, failure.item, devices) for failure in own]
        columns = book.columns(words.COLUMN_LOAD, words.COLUMN_FUSE, words.COLUMN_CABLES)
        caption = book.text(words.OWN_TABLE, letter=faced.letter)
        blocks += [Paragraph(book.writer.words(words.OWN_DO)), table(caption, columns, rows)]
    return blocks


def _own(faced: Faced, failure: FailureResult, devices: set[str]) -> Row:
    """A load's own circuit: its fuses and switches, then its cables."""
    fuses = tuple(key for key in failure.items if key in devices)
    cables = tuple(key for key in failure.items if key not in devices)
    return Row((plain(faced.items.called(failure.item)), _listed(faced, fuses), _listed(faced, cables)))


def _listed(faced: Faced, keys: tuple[str, ...]) -> Words:
    """Designations of items, each linked to its row among cables and protection."""
    runs: list[Filled] = []
    for key in keys:
        found = faced.items.named(key)
        if found is not None and found.designation:
            row = key in faced.rows_with_anchor
            runs.append(Link(found.designation, "cables", faced.anchor(key)) if row else found.designation)
    return joined(dict.fromkeys(runs))


def _table(book: Book, faced: Faced, caption: str, found: list[Located[FailureResult]]) -> Block:
    rows = [
        Row((_cause(book, faced, f.item), _seen(book, faced, f), _do(book, faced, f.item)))
        for f in found
    ]  # fmt: skip
    columns = book.columns((words.COLUMN_CAUSE, "wide"), (words.COLUMN_SEEN, "wide"), (words.COLUMN_DO, "wide"))
    return table(caption, columns, rows)


def _cause(book: Book, faced: Faced, failure: FailureResult) -> Words:
    title = book.text(words.CAUSES[failure.cause], item=faced.items.called(failure.item))
    strings = {f"{bank.key}.s{n}" for bank in faced.option.banks for n in range(1, bank.parallel_count + 1)}
    managed = any(key in strings for key in failure.items)
    listed = _listed(faced, tuple(k for k in failure.items if k not in strings and k != failure.item))
    parts: list[Filled] = [plain(Strong(title), ".")]
    if listed.parts:
        parts.append(book.writer.words(words.ANY_OF, items=listed))
    if managed and failure.cause in ("bank_off", "string_out"):
        parts.append(book.text(words.MANAGED if _lithium(faced, failure.item) else words.ITSELF))
    elif failure.item in failure.items:
        parts.append(book.text(words.ITSELF))
    return joined(parts, " ")


def _lithium(faced: Faced, key: str) -> bool:
    return any(bank.key == key and bank.chemistry == "lithium" for bank in faced.option.banks)


def _seen(book: Book, faced: Faced, failure: Located[FailureResult]) -> Words:
    """What is dark, what a meter shows, whether the engine starts, what still charges: what is not as before."""
    item, writer = failure.item, book.writer
    parts: list[Filled] = []
    if item.dead:
        parts.append(writer.words(words.DARK, loads=_dark(book, faced, item)))
    parts += [_bus(book, faced, bus) for bus in each(item.buses, f"{failure.path}.buses")]
    if item.low:
        parts.append(writer.words(words.LOW, loads=_titles(faced, item.low)))
    usual_v = next((s.starter_v for s in faced.option.starts), None)
    if faced.option.starts and (item.starter_v != usual_v or item.symptom == "start_lost"):
        parts.append(writer.words(words.ENGINE, verdict=_engine(book, failure)))
    if item.buses:
        parts.append(writer.words(words.CHARGING, sources=_charging(book, faced, failure)))
    return joined(parts, " ") if parts else plain(book.text(words.AS_BEFORE))


def _bus(book: Book, faced: Faced, bus: Located[BusChangeResult]) -> Words:
    before, after, charging = bus.item.before_v, bus.item.after_v, bus.item.charging_v
    if after is None:
        message = words.BUS_NEVER if charging is None else words.BUS_DEAD
    elif charging is None:
        message = words.BUS_NO_CHARGE
    else:
        message = words.BUS_SAME if before is not None and abs(after - before) < CHANGED_V else words.BUS
    named = faced.items.named(bus.item.bus)
    fields: dict[str, Filled] = {name: book.writer.cell(bus, name) for name in ("before_v", "after_v", "charging_v")}
    return book.writer.words(message, bus=named.title if named is not None else "", **fields)


def _titles(faced: Faced, keys: tuple[str, ...]) -> str:
    found = (faced.items.named(key) for key in keys)
    return ", ".join(named.title for named in found if named is not None)


def _dark(book: Book, faced: Faced, failure: FailureResult) -> Words:
    alive = tuple(x.key for x in faced.option.loads if x.key not in failure.dead)
    if not alive:
        return plain(book.text(words.ALL))
    if len(alive) < len(failure.dead):
        return book.writer.words(words.ALL_BUT, loads=_titles(faced, alive))
    return plain(_titles(faced, failure.dead))


def _engine(book: Book, failure: Located[FailureResult]) -> Words:
    item, writer = failure.item, book.writer
    verdict = book.text(names.VERDICTS[item.start]) if item.start else ""
    if item.starter_v is None:
        parts = [plain(book.text(words.NO_START))]
    else:
        parts = [writer.words(words.STARTER, verdict=verdict, starter_v=writer.cell(failure, "starter_v"))]
    if item.emergency_start and item.start != "starts":
        verdict = book.text(names.VERDICTS[item.emergency_start])
        volts = writer.cell(failure, "emergency_v")
        parts.append(writer.words(words.EMERGENCY, verdict=verdict, emergency_v=volts))
    return joined(parts, "; ")


def _charging(book: Book, faced: Faced, failure: Located[FailureResult]) -> Words:
    runs = []
    for source in each(failure.item.charging, f"{failure.path}.charging"):
        named = faced.items.named(source.item.key)
        title = named.title if named is not None else ""
        runs.append(book.writer.words(words.CHARGES, source=title, current_a=book.writer.cell(source, "current_a")))
    if not runs:
        return plain(book.text(words.CHARGES_NOTHING))
    banks = _titles(faced, tuple(b.key for b in failure.item.charged))
    return joined((joined(runs), book.writer.words(words.INTO, banks=banks)) if banks else runs, " ")


def _do(book: Book, faced: Faced, failure: FailureResult) -> Words:
    kind = next((s.kind for s in faced.option.sources if s.key == failure.item), "")
    kind = "lithium" if _lithium(faced, failure.item) else kind
    kind = "contactor" if any(key.endswith(".contactor") for key in failure.items) else kind
    message = words.DO.get(f"{failure.cause}.{kind}", words.DO[failure.cause])
    parts: list[Filled] = []
    if failure.stranded:
        parts.append(book.writer.words(words.STRANDED, sources=_titles(faced, failure.stranded)))
    parts.append(book.text(message))
    if failure.banks_off:
        warned = [faced.items.called(key) for key in failure.warned_by]
        parts.append(
            book.writer.words(words.WARNED, items=", ".join(warned)) if warned else book.text(words.NOT_WARNED)
        )
    return joined(parts, " ")
