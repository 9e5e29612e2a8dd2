"""The single-line drawing of an option: circuit and results in, SVG sheets out. One sheet, more when needed."""

from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.arrange import HEIGHT_MM, WIDTH_MM, compose, place
from proposal.drawings.boxes import Style
from proposal.drawings.lettering import Lettering
from proposal.drawings.marks import marked, marks_on
from proposal.drawings.measure import Measure
from proposal.drawings.negative import Return, returns
from proposal.drawings.pages import Band, paginate
from proposal.drawings.primitives import Item
from proposal.drawings.sheet import PAGE_HEIGHT_MM, PAGE_WIDTH_MM, SheetInfo, frame, legend
from proposal.drawings.topology import plan

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import OptionResult

STYLES = (
    Style(3.4, "none"),
    Style(3.0, "none"),
    Style(2.75, "none"),
    Style(2.5, "none"),
    Style(2.5, "loads"),
    Style(2.5, "all"),
)
"""From roomy to tight."""
_ONE_BAND = (0, 1, 2, 3, 4, 5)
_MORE_BANDS = (2, 3, 4, 5)


def single_line(circuit: "Circuit", option: "OptionResult", sheet: SheetInfo) -> dict[str, bytes]:
    """Sheets of the option's single-line drawing by file name.

    Parameters: circuit, whose items are drawn; option, from which every printed value comes; sheet, words and title
    block. Returns `<prefix>-single-line.svg`, and `<prefix>-single-line-2.svg` … where one sheet doesn't hold it.
    Raises KeyError if `sheet.labels` lacks a word.
    """
    lettering = Lettering(circuit, option, sheet)
    planned = plan(circuit)
    backs = returns(circuit, planned)
    lettering.marks = marks_on(circuit, sheet.marks, _drawn(circuit, backs)) if sheet.marks else {}
    measures = [Measure(lettering, backs, style) for style in STYLES]

    def size(style: int, band: Band) -> tuple[float, float]:
        composed = compose(measures[style], band.roots, band.ties)
        return composed.width, composed.height(1.0)

    whole = Band(list(planned.roots), list(planned.ties))
    pages = paginate(whole, size, _ONE_BAND, _MORE_BANDS, (WIDTH_MM, HEIGHT_MM))
    on_page = {bar.band: number for number, page in enumerate(pages, 1) for band in page.bands for bar in band.roots}
    files = {}
    for number, page in enumerate(pages, 1):
        measure = measures[page.style]
        measure.pages = on_page
        items = place([compose(measure, band.roots, band.ties, loose=True) for band in page.bands], lettering)
        kinds = [dict(i.data).get("symbol", i.kind) for i in items]
        marks = {item.key: lettering.marks[item.key] for item in items if item.key in lettering.marks}
        shown = marked(in_order(items), marks, {mark: sheet.word(f"mark_{mark}") for mark in set(marks.values())})
        drawn = [frame(sheet, number, len(pages)), *legend(sheet, kinds, marks.values()), *shown]
        suffix = "" if number == 1 else f"-{number}"
        files[f"{emit.safe_id(sheet.prefix)}-single-line{suffix}.svg"] = emit.svg(
            drawn,
            prefix=f"{emit.safe_id(sheet.prefix)}{number}",
            size_mm=(PAGE_WIDTH_MM, PAGE_HEIGHT_MM),
            title=f"{sheet.title} {number}/{len(pages)}",
            description=_description(lettering, option, sheet),
            accent=sheet.accent,
            language=sheet.language,
        )
    return files


def _drawn(circuit: "Circuit", backs: dict[str, Return]) -> list[str]:
    """Conductors that the drawing has: all positive ones, and what stands in the negative below batteries."""
    positive = [c.key for c in circuit.conductors if c.pole == "positive"]
    return positive + [step.key for back in backs.values() for step in back.steps]


def in_order(items: list[Item]) -> list[Item]:
    """Conductors below, symbols above, bars last, so that joints look the same everywhere."""
    rank = {"joint": 0, "conductor": 1, "bus": 3, "negative_bus": 3}
    return sorted(items, key=lambda item: rank.get(item.kind, 2))


def _description(lettering: Lettering, option: "OptionResult", sheet: SheetInfo) -> str:
    batteries = ", ".join(dict.fromkeys(" ".join(lettering.battery(b.key).all()) for b in lettering.circuit.batteries))
    loads = ", ".join(" ".join(lettering.load(e.key).all()) for e in lettering.circuit.loads)
    sources = ", ".join(" ".join(lettering.source(s.key).all()) for s in lettering.circuit.sources)
    return sheet.word("description", title=option.title, batteries=batteries, sources=sources, loads=loads)
