"""Labels for wires, devices and batteries with what was really fitted: texts alone, laid out in `publish/`."""

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from proposal.book.opening import context_of
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.emergency import EMERGENCY_CODE, RECORD_CODE
from proposal.book.pages.emergency_steps import record_address
from proposal.book.refs import Located, each
from proposal.book.sentences import labels as words
from proposal.book.sentences import names
from proposal.drawings.text import clean
from proposal.frozen import frozen
from proposal.results.model import BankResult, ConductorResult, DeviceResult, Results
from proposal.results.record_model import FittedRow

LabelKind = Literal["wire", "device", "battery"]
AT_BATTERY = frozenset({"bank", "string", "starter"})
"""Purposes of conductors that may lie between a battery and its first fuse."""


@frozen
class Label:
    """One label: a heading that is read from afar, lines below it, and a warning; or a code with its words."""

    kind: LabelKind
    heading: str
    lines: tuple[str, ...]
    warning: str = ""
    drawing: str = ""


@frozen
class LabelBook:
    """All labels of a vessel, with the title of each kind's sheets, and what stands in the margin of every sheet."""

    title: str
    running: str
    language: str
    date: str
    sheets: tuple[tuple[LabelKind, str], ...]
    labels: tuple[Label, ...]


def label_book(results: Results) -> LabelBook:
    """Two labels for each wire, one for each device, one for each battery, and the codes for their box."""
    book = context_of(results)
    faced = book.options[0]
    made = [label for part in (_wires, _devices, _batteries) for label in sorted(part(book, faced), key=_order)]
    made += _codes(book)
    record, vessel = results.record, results.vessel
    date = record.latest_date if record is not None else vessel.date
    running = book.text(words.RUNNING, vessel=vessel.name, number=vessel.number, date=book.writer.cells.date(date))
    sheets: tuple[tuple[LabelKind, str], ...] = (
        ("wire", book.text(words.WIRES)), ("device", book.text(words.DEVICES)), ("battery", book.text(words.BATTERIES)),
    )  # fmt: skip
    tag = book.writer.language.tag
    return LabelBook(book.text(words.TITLE), clean(running), tag, date, sheets, tuple(made))


def _order(label: Label) -> tuple[str, int]:
    """By designation: its letters, then its number. Labels of one designation stay as they are."""
    found = re.match(r"(\D*)(\d{0,9})", label.heading)
    letters, number = found.groups() if found is not None else (label.heading, "")
    return letters, int(number or 0)


def _label(kind: LabelKind, heading: str, *lines: str, warning: str = "", drawing: str = "") -> Label:
    kept = tuple(line for line in (clean(line) for line in lines) if line)
    return Label(kind, clean(heading), kept, warning, drawing)


def _wires(book: Book, faced: Faced) -> Iterator[Label]:
    fuses = {d.item.key: d for d in each(faced.option.devices, f"{faced.path}.devices")}
    guards = _guards(faced)
    for wire in faced.option.conductors:
        guarding = ", ".join(_fuse(book, fuses[key]) for key in _fuses_of(wire, guards) if key in fuses)
        guarded = book.text(words.WIRE_FUSE, fuses=guarding) if guarding else ""
        if not guarding and wire.pole == "positive":
            guarded = book.text(words.WIRE_NO_FUSE)
        named = faced.items.named(wire.key)
        title = named.title if named is not None else wire.title
        ends = (wire.from_designation, wire.to_designation)
        for here, there in (ends, ends[::-1]):
            way = book.text(words.WIRE_WAY, here=here, there=there) if here and there else here or there
            yield _label("wire", _heading(wire), way, title, wire.size, guarded)


def _guards(faced: Faced) -> dict[str, tuple[str, ...]]:
    """The fuses by the conductor whose faults they have to open, as the page on protection tells them."""
    found: dict[str, tuple[str, ...]] = {}
    for fuse in faced.option.protection:
        for guarded in fuse.guarded:
            found[guarded.conductor] = (*found.get(guarded.conductor, ()), fuse.key)
    return found


def _fuses_of(wire: ConductorResult, guards: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """What guards a wire; nothing where a battery feeds it ahead of its first fuse, though that fuse ends it."""
    if wire.key in guards or wire.purpose in AT_BATTERY:
        return guards.get(wire.key, ())
    return wire.fuses


def _heading(wire: ConductorResult) -> str:
    return f"{wire.designation} {names.POLE_SIGNS[wire.pole]}"


def _fuse(book: Book, fuse: Located[DeviceResult]) -> str:
    rating = book.writer.cell(fuse, "rating_a").text if fuse.item.rating_a is not None else ""
    return book.text(words.FUSE, designation=fuse.item.designation, rating_a=rating).strip()


def _devices(book: Book, faced: Faced) -> Iterator[Label]:
    wires = {c.key: c.designation for c in faced.option.conductors}
    for device in each(faced.option.devices, f"{faced.path}.devices"):
        item = device.item
        named = faced.items.named(item.key)
        kind = book.text(names.DEVICE_KINDS.get(item.kind, names.UNNAMED))
        title = named.title if named is not None else item.title
        what = book.text(words.DEVICE_WHAT, kind=kind, title=title) if title and title != kind else kind
        guarded = ", ".join(wires.get(key, key) for key in item.guards)
        yield _label(
            "device",
            item.designation,
            what,
            _rating(book, device),
            _breaking(book, device),
            book.text(words.DEVICE_GUARDS, items=guarded) if guarded else "",
            book.text(words.DEVICE_SAME, part=item.part_title) if item.part_title else "",
            _serial(book, _said(book, item.key)),
        )


def _rating(book: Book, device: Located[DeviceResult]) -> str:
    if device.item.rating_a is None:
        return ""
    rating = book.writer.cell(device, "rating_a").text
    if device.item.voltage_max_v is None:
        return rating
    return book.text(words.DEVICE_RATING, rating_a=rating, voltage_max_v=book.writer.cell(device, "voltage_max_v").text)


def _breaking(book: Book, device: Located[DeviceResult]) -> str:
    """What a fuse can break beside what may flow; of the others the fault current alone."""
    if device.item.fault_a is None:
        return ""
    fault = book.writer.cell(device, "fault_a").text
    if device.item.interrupt_a is None:
        return book.text(words.DEVICE_FAULT, fault_a=fault)
    return book.text(words.DEVICE_BREAKS, interrupt_a=book.writer.cell(device, "interrupt_a").text, fault_a=fault)


def _batteries(book: Book, faced: Faced) -> Iterator[Label]:
    through = {d.key.rpartition(".")[0]: d.designation for d in faced.option.devices if d.kind == "contactor"}
    for bank in faced.option.banks:
        strings = [_string(faced, bank, number) for number in range(1, bank.parallel_count + 1)]
        for number, (key, designation) in enumerate(strings, 1):
            others = ", ".join(name for other, name in strings if other != key)
            said = _said(book, key) or _said(book, bank.key)
            yield _label(
                "battery",
                designation,
                _place(book, bank, number),
                book.text(names.CHEMISTRIES[bank.chemistry]),
                bank.part_title,
                _serial(book, said),
                _fitted(book, said),
                book.text(words.BATTERY_PARALLEL, others=others) if others else "",
                book.text(words.BATTERY_SERIES, count=str(bank.series_count)) if bank.series_count > 1 else "",
                book.text(words.BATTERY_CONTACTOR, items=through[bank.key]) if bank.key in through else "",
                warning=book.text(words.BATTERY_FIRST),
            )


def _place(book: Book, bank: BankResult, number: int) -> str:
    if bank.parallel_count == 1:
        return bank.title
    return book.text(words.BATTERY_WHAT, bank=bank.title, place=str(number), count=str(bank.parallel_count))


def _string(faced: Faced, bank: BankResult, number: int) -> tuple[str, str]:
    """Key and designation of one string; the designation is read from a conductor that begins at its post."""
    if bank.parallel_count == 1:
        return bank.key, bank.designation
    key = f"{bank.key}.s{number}"
    if number == 1:
        return key, bank.designation
    own = (c.from_designation for c in faced.option.conductors if c.circuit == key and c.pole == "positive")
    return key, next(own, f"{bank.designation} / {number}")


def _said(book: Book, key: str) -> FittedRow | None:
    """What the record says of an item; None where it says nothing."""
    record = book.results.record
    rows = record.fitted if record is not None else ()
    return next((row for row in rows if row.item == key), None)


def _serial(book: Book, said: FittedRow | None) -> str:
    return book.text(words.SERIAL, serial=said.serial) if said is not None and said.serial else ""


def _fitted(book: Book, said: FittedRow | None) -> str:
    record = book.results.record
    day = said.fitted_on if said is not None else record.date if record is not None else ""
    return book.text(words.BATTERY_FITTED, date=book.writer.cells.date(day)) if day else ""


def _codes(book: Book) -> Iterator[Label]:
    if book.results.record is not None:
        yield Label("battery", book.text(words.CODE), (), drawing=EMERGENCY_CODE)
        if address := record_address(book.results):
            yield Label("battery", book.text(words.RECORD_CODE), (address,), drawing=RECORD_CODE)
