"""The drawings of a proposal with their words: every option's single-line sheets, picture and voltage ladder."""

from collections.abc import Mapping

from proposal.book.cells import Cells
from proposal.book.items import Items
from proposal.book.language import Language
from proposal.book.pages.context import letter_of
from proposal.book.sentences.sheets import sheet_labels
from proposal.book.writer import Writer
from proposal.circuit.model import Circuit
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.simple_picture import simple_picture
from proposal.drawings.single_line import single_line
from proposal.drawings.voltage_ladder import voltage_ladder
from proposal.results.model import Results

ACCENTS = ("#0b5563", "#a85a17", "#5b4a8a", "#3f6b2f", "#8a3b5b", "#5a5a5a")
"""Colour of each option in turn, the same as on its pages; the option's letter always stands beside it."""


def draw_all(results: Results, circuits: Mapping[str, Circuit], designations: Mapping[str, str]) -> dict[str, bytes]:
    """All drawings by file name, ids prefixed by sheet.

    Parameters: results; the designed circuits by option id; designations by item key.
    """
    language = Language(results.vessel.locale)
    cells = Cells(results.vessel.locale, results.options[0].price.currency, language)
    labels = sheet_labels(language, cells.decimal_mark)
    files: dict[str, bytes] = {}
    for number, option in enumerate(results.options):
        letter = letter_of(number)
        sheet = SheetInfo(
            prefix=letter.lower(),
            title=f"{letter} · {option.title}",
            vessel=results.vessel.name,
            number=results.vessel.number,
            revision=results.vessel.revision,
            date=results.vessel.date,
            labels=labels,
            owner=results.vessel.installer,
            creator=results.survey.by,
            accent=ACCENTS[number % len(ACCENTS)],
            language=language.tag,
            designations=designations,
        )
        circuit = circuits[option.id]
        files |= single_line(circuit, option, sheet)
        files |= simple_picture(circuit, option, sheet)
        items = Items(option, Writer(language, cells))
        files |= voltage_ladder(option, sheet, {r.item: items.called(r.item) for r in option.ladder.rungs})
    return files
