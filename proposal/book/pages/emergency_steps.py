"""What has to be done in an emergency, from the switching plan: the steps that page, card and code have in common."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from urllib.parse import quote

from proposal.book.pages.context import Book, Faced
from proposal.book.sentences import emergency as words
from proposal.book.sentences import names
from proposal.drawings.text import clean
from proposal.frozen import frozen
from proposal.results.model import OptionResult, Results
from proposal.results.record_model import EmergencyOffRow

MOST_BYTES = 900
"""Of the text in the code: more makes its squares too small to be read from a worn label."""
MOST_SIGNS = 48
"""Of a name in that text."""
LEFT_OUT = frozenset({"inverters_off", "loads_off", "prove_open", "prove_open_offset", "prove_side_dead"})
"""Steps of the plan that an emergency has no time for."""
_NUMBER_FIELD = "{number}"


@frozen
class CutOff:
    """One step: its code among the words of the emergency card, and the keys of what is handled."""

    code: str
    items: tuple[str, ...]
    title: str = ""


def cut_off(option: OptionResult, off: EmergencyOffRow | None) -> tuple[CutOff, ...]:
    """How to cut everything off: what charges first, then the emergency-off, then each switch as the plan has it.

    Contactors that open when the emergency-off breaks their coil are no step of their own then; latching ones stay
    closed without power, and are.
    """
    return tuple(_steps(option, off))


def _steps(option: OptionResult, off: EmergencyOffRow | None) -> Iterator[CutOff]:
    plan = [step for step in option.switching if step.phase in ("stop", "part") and step.code not in LEFT_OUT]
    yield from (CutOff(step.code, step.items) for step in plan if step.phase == "stop")
    pressed = None if off is None else _pressed(option, off)
    if pressed is not None:
        yield pressed
    opened = pressed.items if pressed is not None and pressed.code == "off_coil" else ()
    for step in plan:
        if step.phase == "part" and not (step.code == "open_contactor" and set(step.items) <= set(opened)):
            yield CutOff(step.code, step.items)


def _pressed(option: OptionResult, off: EmergencyOffRow) -> CutOff:
    """What the emergency-off does: opens for certain, only asks, or leaves a latching contactor as it is."""
    if off.acts == "hand_switch":
        return CutOff("off_hand_switch", (), off.title)
    contactors = tuple(d.key for d in option.devices if d.kind == "contactor")
    if off.acts == "signal":
        return CutOff("off_signal" if contactors else "off_signal_alone", contactors, off.title)
    unpowered = {row.key: row.unpowered for row in option.switched}
    open_up = tuple(key for key in contactors if unpowered.get(key) == "opens")
    if open_up:
        return CutOff("off_coil", open_up, off.title)
    return CutOff("off_stays" if contactors else "off_alone", contactors, off.title)


def emergency_text(book: Book) -> str:
    """The card as plain text for a code on the battery box, one thing a line, at most `MOST_BYTES` of UTF-8.

    Where that is too little the least important lines go first, the steps never: at last they lose the names.
    """
    return _fitted(_Short(book, book.options[0]))


def record_address(results: Results) -> str:
    """Where the record lies on the web, with the proposal's number in its place; empty where there is no address."""
    given = results.record.record_address if results.record is not None else ""
    return given.replace(_NUMBER_FIELD, quote(results.vessel.number, safe=""))


@frozen
class _Short:
    """Makes the lines of the short form."""

    book: Book
    faced: Faced

    @property
    def steps(self) -> tuple[CutOff, ...]:
        """All steps."""
        record = self.book.results.record
        return cut_off(self.faced.option, record.emergency_off if record is not None else None)

    def line(self, message: str, **fields: str) -> str:
        """A sentence whose names are short."""
        return self.book.text(message, **{name: clipped(text) for name, text in fields.items()})

    def named(self) -> list[str]:
        """Each step with the title of what is handled."""
        return [self._step(step, [self._pair(key) for key in step.items]) for step in self.steps]

    def designated(self) -> list[str]:
        """Steps of one kind in one line, with designations alone."""
        lines = []
        for code, group in groupby(self.steps, key=lambda step: step.code):
            steps = list(group)
            keys = [key for step in steps for key in step.items]
            lines.append(self._step(CutOff(code, (), steps[0].title), [self._designation(key) for key in keys]))
        return lines

    def bare(self) -> list[str]:
        """Each kind of step once, without names."""
        return [self.book.text(words.SHORT_STEPS[code][1]) for code in dict.fromkeys(s.code for s in self.steps)]

    def _step(self, step: CutOff, handled: list[str]) -> str:
        fields = {"items": ", ".join(handled), "title": clipped(step.title)}
        return self.book.text(words.SHORT_STEPS[step.code][0], **fields)

    def _pair(self, key: str) -> str:
        found = self.faced.items.named(key)
        if found is None:
            return clipped(key)
        return " ".join(part for part in (clean(found.designation), clipped(found.title)) if part)

    def _designation(self, key: str) -> str:
        found = self.faced.items.named(key)
        return clipped(found.designation or found.title) if found is not None else clipped(key)


def _fitted(short: _Short) -> str:
    """The steps with as many names as there is room for, and the other lines by weight as long as they fit."""
    told = ""
    for steps in (short.named(), short.designated(), short.bare()):
        lines = [(place, (weight, clean(line))) for place, (weight, line) in enumerate(_lines(short, steps))]
        kept = {place: line for place, (weight, line) in lines if not weight}
        for place, (_, line) in sorted(lines, key=lambda entry: entry[1][0]):
            more = {**kept, place: line}
            kept = more if line and _size(more) <= MOST_BYTES else kept
        told = "\n".join(kept[place] for place in sorted(kept))
        if _size(kept) <= MOST_BYTES:
            break
    return told


def _size(kept: Mapping[int, str]) -> int:
    return len("\n".join(kept.values()).encode())


def _lines(short: _Short, steps: list[str]) -> Iterator[tuple[int, str]]:
    """Each line with how easily it is spared: 0 never, the largest first."""
    book, option = short.book, short.faced.option
    vessel, record = book.results.vessel, book.results.record
    chemistries = {bank.chemistry for bank in option.banks}
    kinds = {source.kind for source in option.sources}
    line = short.line
    system_v = book.writer.cell(book.vessel, "system_v").text
    yield 0, line(words.SHORT_HEAD, vessel=vessel.name, system_v=system_v)
    yield 1, line(words.SHORT_PEOPLE)
    yield 0, line(words.SHORT_ORDER)
    for number, step in enumerate(steps, 1):
        yield 0, f"{number} {step}"
    alive = ", ".join(clipped(x.title) for x in option.loads if x.always_on)
    yield 5, book.text(words.SHORT_ALIVE, loads=alive) if alive else line(words.SHORT_POSTS)
    yield 6, book.text(words.SHORT_BATTERIES, banks="; ".join(_banks(short)))
    yield 4, line(words.SHORT_LITHIUM) if "lithium" in chemistries else ""
    yield 8, line(words.SHORT_LEAD) if chemistries - {"lithium"} else ""
    yield 9, line(words.SHORT_FLOOD) if vessel.kind == "boat" else ""
    yield 3, line(words.SHORT_NEVER_ALTERNATOR) if "alternator" in kinds else ""
    yield 10, line(words.SHORT_NEVER_SOLAR) if "solar" in kinds else ""
    yield 7, line(words.SHORT_NEVER_BACK)
    telephone = record.telephone if record is not None else ""
    reached = clipped(clean(telephone) or vessel.installer_contact, 2 * MOST_SIGNS)
    yield 2, book.text(words.SHORT_CALL, installer=clipped(vessel.installer), telephone=reached)
    date = record.latest_date if record is not None else vessel.date
    yield 11, line(words.SHORT_CARD, number=vessel.number, revision=vessel.revision, date=date)


def _banks(short: _Short) -> Iterator[str]:
    """The banks by the places where they stand."""
    book, faced = short.book, short.faced
    by_place: dict[str, list[str]] = {}
    for number, bank in enumerate(faced.option.banks):
        chemistry = book.text(names.CHEMISTRIES[bank.chemistry])
        capacity = book.writer.cells.number("capacity_ah", bank.capacity_ah, f"{faced.path}.banks[{number}]").text
        told = f"{bank.designation} {chemistry} {capacity}"
        by_place.setdefault(clipped(bank.place), []).append(told)
    for place, told_here in by_place.items():
        yield book.text(words.SHORT_PLACE, place=place, banks=", ".join(told_here))


def clipped(text: str, most: int = MOST_SIGNS) -> str:
    """The beginning of a name, with an ellipsis where it goes on."""
    told = clean(text)
    return told if len(told) <= most else f"{told[: most - 1].rstrip()}…"
