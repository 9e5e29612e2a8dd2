"""The draft of a record's next entry: a file that loads as it stands, every item and test laid out to be filled in."""

import datetime
import json
import math
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Literal

from proposal.book.language import Language, filled
from proposal.book.pages.context import Book, Faced
from proposal.book.sentences import draft as words
from proposal.circuit.model import Battery, Bus, Circuit, Conductor, SeriesDevice
from proposal.frozen import frozen
from proposal.reading.tree import clip
from proposal.results.record_model import TestRow
from proposal.spec.record import ENTRY_VERSION

SCHEMA = "../../record.schema.json"
_KEY = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)*")
_WORD = re.compile(r"[a-z][a-z]+(?:_[a-z0-9]+)+")

MAKERS = ("maker_figure", "maker_drop", "engine_minimum", "relay_settings", "hot_current")
"""What a test may lack that its reading can state under `wanted`."""
EXPECTED = {
    (True, True): words.EXPECTED_BETWEEN,
    (True, False): words.EXPECTED_LEAST,
    (False, True): words.EXPECTED_MOST,
    (False, False): words.EXPECTED_YES,
}
"""What passes, by whether there is a lowest and a highest figure."""
LONG_RUN_M = 2.0
"""From this length on the draft asks where a conductor really runs."""

Kind = Literal["change", "visit"]


@frozen
class Made:
    """Who makes the entry, and when."""

    by: str
    licence: str
    date: datetime.date


@frozen
class OpenDefect:
    """A defect of earlier entries that nobody mended yet."""

    name: str
    what: str


def hand_over(book: Book, option_id: str, circuit: Circuit, designations: dict[str, str], made: Made) -> str:
    """The first entry of an option: every item as designed, the test sheet, and places for all else.

    Parameters: book of the proposed results; circuit of the option as designed; designations by key.
    Raises StopIteration where the book has no such option.
    """
    faced = next(f for f in book.options if f.option.id == option_id)
    vessel, language = book.results.vessel, book.writer.language
    lines = _head(language, words.HAND_OVER, "hand_over", words.HAND_OVER_TITLE, made)
    lines += [f"option: {option_id}  # {_comment(faced.letter, faced.option.title)}", ""]
    lines += _told(language, words.AGREED)
    agreed = {"by": _text(vessel.client), "date": made.date.isoformat(), "revision": _text(vessel.revision)}
    lines += [f"# agreed: {_inline(agreed)}", ""]
    lines += [*_told(language, words.TURNED_DOWN), "# turned_down:"]
    because = _text(book.text(words.EXAMPLES["because"]))
    for other in book.options:
        if other.option.id != option_id:
            lines.append(f"#   {other.option.id}: {because}  # {_comment(other.letter, other.option.title)}")
    lines += ["", *_told(language, words.FITTED), "fitted:", *_fitted(book, faced, circuit, designations), ""]
    lines += _changes(language, words.CHANGES)
    lines += [*_told(language, words.MEASURED), "# measured:", *_tests(language, faced.option.tests), ""]
    return "\n".join([*lines, *_rest(language, made, ())]) + "\n"


def later(
    language: Language,
    kind: Kind,
    made: Made,
    open_defects: Sequence[OpenDefect] = (),
    again: Sequence[TestRow] = (),
) -> str:
    """A later entry: a short skeleton, in which nothing stands yet but what it is.

    `again`: tests that the vessel has not passed, to be made now.
    """
    title = words.CHANGE_TITLE if kind == "change" else words.VISIT_TITLE
    lines = [*_head(language, words.LATER, kind, title, made), ""]
    because = _text(language.text(words.EXAMPLES["because"]))
    lines += [*_told(language, words.FITTED_LATER), "# fitted:"]
    lines += [f'#   loads.bilge_pump.fuse: {{is: part_name, serial: "", because: {because}}}', ""]
    lines += _changes(language, words.CHANGES)
    lines += [*_told(language, words.MEASURED_LATER), "# measured:"]
    lines += [*_tests(language, again), '#   - {test: standing_drain, value: "90 mA", instrument: ""}', ""]
    return "\n".join([*lines, *_rest(language, made, open_defects)]) + "\n"


def _head(language: Language, told: Iterable[str], kind: str, title: str, made: Made) -> list[str]:
    lines = [f"# yaml-language-server: $schema={SCHEMA}", *_told(language, told), f'entry_version: "{ENTRY_VERSION}"']
    lines += [f"kind: {kind}", f"title: {_text(language.text(title))}", f"date: {made.date.isoformat()}"]
    lines.append(f"by: {_text(made.by)}")
    return [*lines, f"licence: {_text(made.licence)}"] if made.licence else lines


def _changes(language: Language, told: Iterable[str]) -> list[str]:
    because = _text(language.text(words.EXAMPLES["length"]))
    example = f'#   - {{at: routes.NAME.length, now: "3.4 m", because: {because}}}'
    return [*_told(language, told), "# changes:", example, ""]


def _rest(language: Language, made: Made, open_defects: Sequence[OpenDefect]) -> Iterator[str]:
    """What every entry ends with: photos, defects, what was mended, accepted and kept up, notes."""
    example = {name: _text(language.text(text)) for name, text in words.EXAMPLES.items()}
    yield from _told(language, words.PHOTOS)
    yield "# photos:"
    yield f"#   - {{file: fuse-box.jpg, title: {example['photo']}, item: panels.NAME, hidden: no}}"
    yield ""
    yield from _told(language, words.DEFECTS)
    yield "# defects:"
    yield f'#   a_name: {{what: {example["defect"]}, severity: fault, mend_by: {made.date.isoformat()}, by: ""}}'
    yield ""
    yield from _told(language, words.MENDED)
    yield "# mended:"
    for defect in open_defects:
        still = _comment(filled(language.text(words.OPEN_DEFECT), {"what": defect.what}))
        yield f"#   - {{defect: {defect.name}, how: {example['mended']}}}  # {still}"
    if not open_defects:
        yield f"#   - {{defect: a_name, how: {example['mended']}}}"
    yield ""
    yield from _told(language, words.ACCEPTED)
    yield "# accepted:"
    accepted = {"finding": "its_name", "item": "panels.NAME", "name": _text(made.by), "reason": example["accepted"]}
    yield f"#   - {_inline(accepted)}"
    yield ""
    yield from _told(language, words.UPKEEP)
    yield "# upkeep:"
    yield "#   - {task: retorque}"
    yield ""
    yield from _told(language, words.NOTES)
    yield "# notes:"
    yield f"#   - {example['note']}"


def _fitted(book: Book, faced: Faced, circuit: Circuit, designations: dict[str, str]) -> Iterator[str]:
    """Every item of the circuit by kind, with what it is, its designation and its title."""
    option = faced.option
    parts = {d.key: d.part_title for d in option.devices} | {b.key: b.part_title for b in option.banks}

    def line(key: str, fields: dict[str, str], *more: str) -> str:
        named = faced.items.named(key)
        said = _comment(designations.get(key, ""), named.title if named else "", *more)
        return f"  {_key(key)}: {_inline(fields)}" + (f"  # {said}" if said else "")

    def group(title: str, lines: Iterable[str]) -> list[str]:
        found = list(lines)
        return [f"  # {book.text(title)}", *found] if found else []

    def pinned(item: Conductor | SeriesDevice | Bus, fields: dict[str, str], *more: str) -> str:
        is_ = _is(item)
        if not is_:
            return line(item.key, fields, *more, book.text(words.NO_PART))
        return line(item.key, {"is": _plain(is_)} | fields, *more)

    def battery(item: Battery) -> str:
        return line(item.key, {"serial": '""'}, parts.get(item.bank, ""))

    def device(item: SeriesDevice | Bus) -> str:
        noted = isinstance(item, SeriesDevice) and item.kind in ("contactor", "vsr", "shunt")
        return pinned(item, {"serial": '""'} if noted else {}, parts.get(item.key, ""))

    def conductor(item: Conductor) -> str:
        size = str(item.size) if item.part_id is not None and item.size is not None else ""
        run = {"route_as_run": '""'} if item.pole == "positive" and item.length_m >= LONG_RUN_M else {}
        return pinned(item, run, size, f"{item.length_m:g} m")

    def end(key: str) -> str:
        return line(key, {"serial": '""'})

    fuses = [d for d in circuit.devices if d.kind == "fuse"]
    yield from group(words.BATTERIES, map(battery, circuit.batteries))
    chargers = [*(s.key for s in circuit.sources), *(c.key for c in circuit.converters)]
    yield from group(words.SOURCES, map(end, chargers))
    yield from group(words.CONTROLLERS, (end(c.key) for c in circuit.controllers))
    yield from group(words.PROTECTION, map(device, fuses))
    yield from group(words.SWITCHING, (device(d) for d in circuit.devices if d.kind != "fuse"))
    yield from group(words.BARS, map(device, circuit.buses))
    yield from group(words.CABLES, map(conductor, circuit.conductors))
    starter = [circuit.starter.key] if circuit.starter is not None else []
    yield from group(words.LOADS, (end(key) for key in (*(x.key for x in circuit.loads), *starter)))


def _tests(language: Language, rows: Iterable[TestRow]) -> Iterator[str]:
    """A line for each test that this vessel needs, with what passes beside it."""
    for row in rows:
        if not row.asked:
            continue
        fields = {"test": row.test}
        fields |= {name: _key(key) for name, key in (("item", row.item), ("end", row.end)) if key}
        fields |= {"value": '""'} if row.unit else {"passed": '""'}
        if row.expected_at_a is not None:
            fields["at"] = _text(_shown(row.expected_at_a, "A"))
        if row.wanting in MAKERS:
            fields["wanted"] = '""'
        said = [row.designation, row.title, _band(language, row)]
        said += [language.text(words.OF_A_DANGER)] if row.danger else []
        yield f"#   - {_inline(fields)}  # {_comment(*said)}"


def _band(language: Language, row: TestRow) -> str:
    """What passes, in words; figures are rounded inwards, so that what they let pass does pass."""
    low, high = row.low, row.high
    fields = {}
    if low is not None:
        fields["low"] = _shown(low, row.unit, math.ceil, high)
    if high is not None:
        fields["high"] = _shown(high, row.unit, math.floor)
    message = EXPECTED[low is not None, high is not None]
    return filled(language.text(words.EXPECTED_MAKER if row.wanting in MAKERS else message), fields)


def _shown(value: float, unit: str, rounded: Callable[[float], float] = round, beside: float | None = None) -> str:
    """A figure of three digits as a reading is written, small ones (or `beside` a small one) by the thousandth."""
    larger = abs(value if beside is None else beside)
    small = {"V": "mV", "m": "mm", "A": "mA"}.get(unit) if 0.0 < larger < 1.0 else None
    scaled = value * 1000.0 if small is not None else value
    step = 10.0 ** (math.floor(math.log10(abs(scaled))) - 2) if scaled else 1.0
    # nine digits first: 0.1 * 1000 must not be rounded up to the next step
    return f"{rounded(float(f'{scaled / step:.9g}')) * step:.6g} {small or unit}"


def _is(item: Conductor | SeriesDevice | Bus) -> str:
    """What makes the item the same pin again: its part, else its size; empty where neither was found."""
    if item.part_id is not None:
        return item.part_id
    return str(item.size) if isinstance(item, Conductor) and item.size is not None else ""


def _told(language: Language, sentences: Iterable[str]) -> list[str]:
    return [f"# {language.text(sentence)}" for sentence in sentences]


def _comment(*parts: str) -> str:
    """A comment of several parts, on one line whatever stands in them."""
    return " · ".join(clip(part) for part in parts if part)


def _inline(fields: dict[str, str]) -> str:
    return "{" + ", ".join(f"{name}: {value}" for name, value in fields.items()) + "}"


def _text(text: str) -> str:
    """A text as YAML takes it, in double quotes: what JSON writes is YAML as well."""
    return json.dumps(text, ensure_ascii=False)


def _plain(text: str) -> str:
    """A part's name or a size, without quotes where it cannot be mistaken."""
    return text if _WORD.fullmatch(text) else _text(text)


def _key(key: str) -> str:
    return key if _KEY.fullmatch(key) else _text(key)
