"""The drawings of a proposal with their words: single-line sheets, picture, voltage ladder, time-current charts."""

from collections.abc import Mapping
from dataclasses import replace

from proposal.book.codes import draw_codes
from proposal.book.day_sheets import draw_days
from proposal.book.opening import context_of
from proposal.book.pages.charts import KEY, read_out, told
from proposal.book.pages.context import Book, Faced
from proposal.book.pages.difference import MARKED
from proposal.book.sentences import charts as words
from proposal.book.sentences.sheets import sheet_labels
from proposal.circuit.model import Circuit
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.simple_picture import simple_picture
from proposal.drawings.single_line import single_line
from proposal.drawings.time_current import chart_name, time_current
from proposal.drawings.time_key import curve_key
from proposal.drawings.voltage_ladder import voltage_ladder
from proposal.results.difference import marked
from proposal.results.model import OptionResult, Results

ACCENTS = ("#0b5563", "#a85a17", "#5b4a8a", "#3f6b2f", "#8a3b5b", "#5a5a5a")
"""Colour of each option in turn, the same as on its pages; the option's letter always stands beside it."""


def draw_all(results: Results, circuits: Mapping[str, Circuit], designations: Mapping[str, str]) -> dict[str, bytes]:
    """All drawings by file name, ids prefixed by sheet.

    Parameters: results; the designed circuits by option id; designations by item key.
    """
    book = context_of(results)
    files = draw_codes(results)
    for faced in book.options:
        option = faced.option
        # by the letter, as on the pages: a record has one option alone, and it need not be the first
        accent = ACCENTS[(ord(faced.letter[0]) - ord("A")) % len(ACCENTS)]
        sheet = replace(sheet_info(book, faced, designations), accent=accent)
        circuit = circuits[option.id]
        files |= single_line(circuit, option, sheet)
        files |= _marked(results, circuit, option, sheet)
        files |= simple_picture(circuit, option, sheet)
        named = {r.item: faced.items.called(r.item) for r in option.ladder.rungs}
        files |= voltage_ladder(option, sheet, named)
        files |= draw_days(faced, circuit, sheet)
        if faced.charts and KEY not in files:
            files[KEY] = curve_key(sheet, KEY, book.text(words.KEY_ALT))
        for place, chart in enumerate(faced.charts, start=1):
            name = chart_name(sheet.prefix, place)
            files[name] = time_current(chart, sheet, name, read_out(told(book, faced, chart)[0]))
    return files


def sheet_info(book: Book, faced: Faced, designations: Mapping[str, str]) -> SheetInfo:
    """What the sheets of an option say besides its circuit."""
    results, language = book.results, book.writer.language
    return SheetInfo(
        prefix=faced.letter.lower(),
        title=f"{faced.letter} · {faced.option.title}",
        vessel=results.vessel.name,
        number=results.vessel.number,
        revision=results.vessel.revision,
        date=results.record.latest_date if results.record is not None else results.vessel.date,
        labels=sheet_labels(language, book.writer.cells.decimal_mark),
        owner=results.vessel.installer,
        creator=results.survey.by,
        language=language.tag,
        designations=designations,
    )


def _marked(results: Results, circuit: Circuit, option: OptionResult, sheet: SheetInfo) -> dict[str, bytes]:
    """Of a record also the drawing with marks at what is not as proposed, where anything is."""
    found = results.record.difference if results.record is not None else None
    marks = marked(found, "after") if found is not None else {}
    if not marks:
        return {}
    return single_line(circuit, option, replace(sheet, prefix=f"{sheet.prefix}-{MARKED}", marks=marks))
