"""One test in words: where, what passes, what was read, by whom, and the verdict."""

from proposal.book.pages.context import Book, Faced
from proposal.book.refs import Located
from proposal.book.sentences import tests as words
from proposal.book.tables import Cell, Words
from proposal.book.writer import Filled, Named, plain
from proposal.results.record_model import EarlierReading, TestRow

NAMES = {
    "V": "value_v", "A": "value_a", "K": "value_kelvin", "N·m": "value_nm", "s": "value_s", "m": "value_m",
    "ohm": "value_ohm",
}  # fmt: skip
"""A name with the unit in it, by which a figure is printed."""
SMALL = {"V": (0.1, "mv"), "A": (1.0, "ma")}
"""Bands below this are read in thousandths."""


def place_words(book: Book, faced: Faced, row: Located[TestRow]) -> Words:
    """The item and the end of it, or the whole system."""
    item = faced.items.called(row.item.item) if row.item.item else book.text(words.WHOLE)
    if row.item.designation and row.item.designation not in item:
        item = book.writer.pair(Named(row.item.designation, item))
    battery = row.item.values.get("battery")
    if isinstance(battery, str) and len(faced.option.banks) > 1:
        item = book.text(words.FROM, item=item, battery=faced.items.phrase(battery))
    if not row.item.end:
        return plain(item)
    end = words.ENDS.get(row.item.end)
    return plain(book.text(words.PLACE, item=item, end=book.text(end) if end is not None else row.item.end))


def passes_words(book: Book, row: Located[TestRow], *, expected: bool = True) -> Words:
    """The band, with the current at which it holds and the computed figure."""
    item = row.item
    band = _band(book, row, row)
    if item.expected_at_a is not None:
        at_a = book.writer.cells.number("expected_at_a", item.expected_at_a, f"{row.path}.expected_at_a")
        band = book.writer.words(words.AT, passes=band, at_a=at_a)
    figure = _figure(book, row, "expected")
    if figure is None or not expected or item.basis in ("set", "maker") or item.test == "shunt":
        return band
    beyond = item.expected is not None and item.high is not None and item.expected > item.high
    short = item.expected is not None and item.low is not None and item.expected < item.low
    message = words.BEYOND if beyond else words.SHORT if short else words.EXPECTED
    return book.writer.words(message, passes=band, expected=figure)


def _band(book: Book, row: Located[TestRow], of: Located[TestRow] | Located[EarlierReading]) -> Words:
    """What passes, or passed when an earlier reading was taken."""
    item, low, high = row.item, of.item.low, of.item.high
    figures: dict[str, Filled] = {}
    if low is not None:
        figures["low"] = _number(book, item, low, f"{of.path}.low")
    if high is not None:
        figures["high"] = _number(book, item, high, f"{of.path}.high")
    if not figures:
        return book.writer.words(words.PASSES.get(item.basis, words.PASSES["maker"]))
    shape = "band" if len(figures) > 1 else "most" if high is not None else "least"
    return book.writer.words(words.PASSES["open" if item.test == "contactor_open" else shape], **figures)


def earlier_words(book: Book, row: Located[TestRow], earlier: Located[EarlierReading]) -> Words:
    """An older reading with its verdict, and what passed then where that was something else."""
    item = earlier.item
    fields: dict[str, Filled] = {
        "read": read_words(book, row, earlier),
        "date": book.writer.cells.date(item.date),
        "outcome": book.text(words.OUTCOMES[item.outcome]),
    }
    was = (item.low, item.high)
    if row.item.expected_at_a is not None or was in ((None, None), (row.item.low, row.item.high)):
        return book.writer.words(words.EARLIER, **fields)
    return book.writer.words(words.EARLIER_BAND, **fields, band=_band(book, row, earlier))


def read_words(book: Book, row: Located[TestRow], earlier: Located[EarlierReading] | None = None) -> Words:
    """What was read, with the current that flowed; a test without a figure says yes or no. Empty: nothing yet."""
    found: Located[TestRow] | Located[EarlierReading] = row if earlier is None else earlier
    value, at_a = found.item.value, found.item.at_a
    text: Filled
    if value is not None and row.item.unit:
        text = _number(book, row.item, value, f"{found.path}.value")
        if at_a is not None:
            at = book.writer.cells.number("at_a", at_a, f"{found.path}.at_a")
            text = book.writer.words(words.READ_AT, value=text, at_a=at)
    elif found.item.passed is not None:
        text = book.text(words.SAID[found.item.passed])
    else:
        return Words(())
    if earlier is None and row.item.how:
        return book.writer.words(words.BY_PROOF, text=text, how=row.item.how)
    return plain(text)


def outcome_words(book: Book, outcome: str, wanting: str) -> Words:
    """The verdict, and what is wanting for one."""
    verdict = book.text(words.OUTCOMES[outcome])
    if not wanting:
        return plain(verdict)
    return book.writer.words(words.VERDICT, outcome=verdict, wanting=book.text(words.WANTING[wanting]))


def taken_words(book: Book, item: TestRow) -> Words:
    """When, by whom and with what a reading was taken, with its note."""
    if not item.date:
        return Words(())
    date = book.writer.cells.date(item.date)
    if item.instrument:
        taken = book.writer.words(words.TAKEN_WITH, date=date, by=item.by, instrument=item.instrument)
    else:
        taken = book.writer.words(words.TAKEN, date=date, by=item.by)
    return plain(taken, f". {item.note}") if item.note else taken


def failed_words(book: Book, faced: Faced, row: Located[TestRow], title: Filled) -> Words:
    """A test that did not pass, in a sentence; `title` as it is shown, or linked."""
    fields: dict[str, Filled] = {
        "test": title,
        "place": place_words(book, faced, row),
        "verdict": outcome_words(book, row.item.outcome, row.item.wanting),
    }
    if row.item.value is None or row.item.outcome != "fail":
        return book.writer.words(words.FAILED_DANGER, **fields)
    return book.writer.words(
        words.FAILED_FIGURE, **fields, read=read_words(book, row), passes=passes_words(book, row, expected=False)
    )


def _figure(book: Book, row: Located[TestRow], field: str) -> Cell | None:
    value: float | None = getattr(row.item, field)
    return None if value is None else _number(book, row.item, value, f"{row.path}.{field}")


def _number(book: Book, item: TestRow, value: float, ref: str) -> Cell:
    """A figure in the unit of the test; a small band is told in thousandths of it."""
    top = item.high if item.high is not None else item.expected
    below, unit = SMALL.get(item.unit, (0.0, ""))
    return book.writer.cells.number(NAMES[item.unit], value, ref, unit=unit if top is not None and top < below else "")
