"""Page: the emergency card, which is printed by itself as well."""

from collections.abc import Iterator

from proposal.book.blocks import Block, Bullets, Callout, Fact, Facts, Figure, Heading, Page, Paragraph, Words
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.emergency_steps import CutOff, cut_off, record_address
from proposal.book.refs import each
from proposal.book.sentences import emergency as words
from proposal.book.sentences import names
from proposal.book.tables import Strong
from proposal.book.writer import joined, plain

PAGE_ID = "emergency"
EMERGENCY_CODE = "emergency-code.svg"
RECORD_CODE = "record-code.svg"


def page(book: Book) -> Page:
    """How to cut everything off, what stays alive, what can happen, what never to do, whom to call.

    Of a book about a record: the option is the one that was fitted.
    """
    return Page(PAGE_ID, book.text(words.TITLE), ("owner",), tuple(_blocks(book)), book.writer.words(words.LEAD))


def _blocks(book: Book) -> Iterator[Block]:
    faced, write = book.options[0], book.writer.words
    yield Callout(book.text(words.PEOPLE_TITLE), tuple(write(text) for text in words.PEOPLE), "danger")
    yield Heading(book.text(words.ORDER_HEADING), 2, "order")
    record = book.results.record
    steps = cut_off(faced.option, record.emergency_off if record is not None else None)
    yield Bullets(tuple(_step(book, faced, step) for step in steps), numbered=True)
    yield Heading(book.text(words.ALIVE_HEADING), 2, "alive")
    yield Paragraph(_alive(book, faced))
    yield Paragraph(write(words.POSTS))
    yield Heading(book.text(words.DANGERS_HEADING), 2, "dangers")
    yield Bullets(tuple(_dangers(book, faced)))
    yield Heading(book.text(words.NEVER_HEADING), 2, "never")
    yield Bullets(tuple(_never(book, faced)))
    yield Heading(book.text(words.WHAT_HEADING), 2, "what")
    yield Facts(tuple(_facts(book, faced)))
    if EMERGENCY_CODE in book.drawings:
        yield Figure(EMERGENCY_CODE, book.text(words.CODE_ALT), book.text(words.CODE_CAPTION))
    if RECORD_CODE in book.drawings:
        caption = book.text(words.RECORD_CODE_CAPTION, address=record_address(book.results))
        yield Figure(RECORD_CODE, book.text(words.RECORD_CODE_ALT), caption)


def _step(book: Book, faced: Faced, step: CutOff) -> Words:
    items = joined(Strong(faced.items.called(key)) for key in step.items)
    return book.writer.words(words.STEPS[step.code], items=items, title=Strong(step.title))


def _alive(book: Book, faced: Faced) -> Words:
    """What goes on running with every switch open, and from which bank."""
    option = faced.option
    alive = [x for x in option.loads if x.always_on]
    if not alive:
        return book.writer.words(words.ALIVE_NOTHING)
    told = next((s.values.get("bank") for s in option.switching if s.code == "keep_alive"), None)
    bank = faced.items.phrase(str(told)) if told else book.text(names.UNNAMED)
    loads = joined(Strong(faced.items.phrase(x.key)) for x in alive)
    return book.writer.words(words.ALIVE, bank=bank, loads=loads)


def _dangers(book: Book, faced: Faced) -> Iterator[Words]:
    banks = faced.option.banks

    def of(*chemistries: str) -> Words:
        return joined(faced.items.phrase(bank.key) for bank in banks if bank.chemistry in chemistries)

    lithium, lead, vented = of("lithium"), of("flooded", "agm", "gel"), of("flooded")
    for message, named in (
        (words.FIRE_LITHIUM, lithium), (words.FIRE_LEAD, lead), (words.GAS, lead), (words.ACID, vented),
    ):  # fmt: skip
        if named.parts:
            yield book.writer.words(message, banks=named)
    if book.results.vessel.kind == "boat":
        pumps = any(x.always_on for x in faced.option.loads)
        yield book.writer.words(words.FLOOD if pumps else words.FLOOD_NO_PUMP)


def _never(book: Book, faced: Faced) -> Iterator[Words]:
    write, option = book.writer.words, faced.option
    kinds = {source.kind for source in option.sources}
    contactors = joined(faced.items.called(d.key) for d in option.devices if d.kind == "contactor")
    for kind, message in (
        ("alternator", words.NEVER_ALTERNATOR), ("solar", words.NEVER_SOLAR), ("wind", words.NEVER_WIND),
    ):  # fmt: skip
        if kind in kinds:
            yield write(message)
    if contactors.parts:
        yield write(words.NEVER_BRIDGE, items=contactors)
    elif any(bank.chemistry == "lithium" for bank in option.banks):
        yield write(words.NEVER_OWN)
    yield from (write(message) for message in (words.NEVER_FUSE, words.NEVER_TOOL, words.NEVER_BACK))


def _facts(book: Book, faced: Faced) -> Iterator[Fact]:
    vessel, record, writer = book.results.vessel, book.results.record, book.writer
    system = writer.words(words.SYSTEM_TEXT, vessel=vessel.name, system_v=writer.cell(book.vessel, "system_v"))
    yield Fact(book.text(words.SYSTEM), system)
    for bank in each(faced.option.banks, f"{faced.path}.banks"):
        told = writer.words(
            words.BANK_TEXT,
            chemistry=book.text(names.CHEMISTRIES[bank.item.chemistry]),
            capacity_ah=writer.cell(bank, "capacity_ah"),
            place=bank.item.place,
        )
        yield Fact(faced.items.phrase(bank.item.key), told)
    if book.results.limits.mains_aboard:
        yield Fact(book.text(words.MAINS), writer.words(words.MAINS_TEXT))
    telephone = record.telephone if record is not None else ""
    reached = [text for text in (telephone, vessel.installer_contact) if text]
    yield Fact(book.text(words.CALL), joined((plain(Strong(vessel.installer)), *reached), ", "))
    date = writer.cells.date(record.latest_date if record is not None else vessel.date)
    fields = {"number": vessel.number, "revision": vessel.revision, "date": date}
    yield Fact(book.text(words.CARD), writer.words(words.CARD_TEXT, **fields))
