"""What every page needs: the results, a writer, and each option with its letter and the names of its items."""

import re
from collections.abc import Callable, Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from proposal.book.items import Items
from proposal.book.language import filled
from proposal.book.refs import Located
from proposal.book.sentences import names
from proposal.book.tables import Cell, Column, Link, Row, Table, Tone, Words
from proposal.book.writer import Writer, joined, plain
from proposal.facts import Severity
from proposal.frozen import frozen
from proposal.results.finding_model import CitationResult, Finding, is_open_danger
from proposal.results.model import OptionResult, Results, VesselResult
from proposal.results.record_model import RecordResult
from proposal.sources import SOURCES

if TYPE_CHECKING:
    from proposal.drawings.time_current import Chart

_LETTERED = re.compile(r"[^{}:]*\{letter\}: (?=.)")
"""The beginning of a title that names the option it is about, in any language that puts it so."""
SEVERITY_TONES: dict[Severity, Tone] = {"danger": "danger", "fault": "caution", "advice": "plain"}


@frozen
class Faced:
    """An option with its letter, path and item names."""

    letter: str
    option: OptionResult
    path: str
    items: Items

    @property
    def page(self) -> str:
        """Id of its own page."""
        return f"option-{self.letter.lower()}"

    @property
    def located(self) -> Located[OptionResult]:
        """The option with its path."""
        return Located(self.option, self.path)

    def anchor(self, *parts: str) -> str:
        """An anchor that is this option's own."""
        return ".".join((self.letter.lower(), *parts))

    @cached_property
    def charts(self) -> "tuple[Chart, ...]":
        """The time-current charts of its fuses."""
        from proposal.drawings.time_current import charts_of  # noqa: PLC0415 - the listing draws nothing

        return charts_of(self.option.protection)

    @cached_property
    def chart_of(self) -> dict[str, str]:
        """Anchor of the chart on which a fuse stands, by the fuse's key."""
        return {f.key: self.anchor("chart", chart.fuses[0].key) for chart in self.charts for f in chart.fuses}

    @cached_property
    def rows_with_anchor(self) -> frozenset[str]:
        """Keys of the items that have a row on the page of cables and protection."""
        conductors = frozenset(c.key for c in self.option.conductors)
        return conductors | {d.key for d in self.option.devices}


@frozen
class Book:
    """The results and the means to write pages about them."""

    results: Results
    writer: Writer
    options: tuple[Faced, ...]
    drawings: tuple[str, ...]

    @property
    def vessel(self) -> Located[VesselResult]:
        """The vessel with its path."""
        return Located(self.results.vessel, "vessel")

    @property
    def recorded(self) -> bool:
        """Whether this is the record of what was fitted, and no proposal."""
        return self.results.record is not None

    def either(self, proposed: str, recorded: str) -> str:
        """The sentence that fits: one for a proposal, one for the record of what was fitted."""
        return recorded if self.recorded else proposed

    @property
    def record(self) -> Located[RecordResult]:
        """The record with its path. Raises ValueError for a proposal, whose pages have no use for it."""
        if self.results.record is None:
            raise ValueError("these results have no record")
        return Located(self.results.record, "record")

    def drawings_of(self, faced: Faced, kind: str) -> list[str]:
        """File names of an option's drawings of a kind: the first sheet, then its continuations in order."""
        wanted = f"{faced.letter}-{kind}".lower()
        found = [n for n in self.drawings if n.lower() == f"{wanted}.svg" or n.lower().startswith(f"{wanted}-")]
        return sorted(found, key=lambda name: (len(name), name))

    def text(self, message: str, **fields: str) -> str:
        """A sentence as text: for titles and headings, whose fields are words.

        A record has one option: there a title that begins with its letter goes without it.
        """
        text = self.writer.text(message)
        if self.recorded and (begins := _LETTERED.match(text)) is not None:
            text = text[begins.end()].upper() + text[begins.end() + 1 :]
        return filled(text, fields)

    def columns(self, *titles: str | tuple[str, str]) -> tuple[Column, ...]:
        """Columns by title; a pair names the kind: `right` for numbers, `wide` for sentences."""
        made = []
        for title in titles:
            message, kind = title if isinstance(title, tuple) else (title, "")
            made.append(Column(self.writer.text(message), "right" if kind == "right" else "left", kind == "wide"))
        return tuple(made)

    def source(self, citation: CitationResult) -> Words:
        """A source in words: title, clause, and how sure it is where two sources do not agree."""
        found = SOURCES.get(citation.source)
        title = found.title if found is not None else citation.source
        status = self.writer.text(names.status(citation.status, citation.clause))
        if citation.source == "common_practice":
            parts = [status, citation.clause]
        else:
            parts = [title, citation.clause, "" if citation.status == "corroborated" else status]
        return plain("; ".join(part for part in parts if part))

    def counts(self, faced: Faced) -> Words:
        """How many dangers, faults, pieces of advice and undecided points an option has, each that there is."""
        groups = (
            (names.DANGERS, "outcome=fires&severity=danger"),
            (names.FAULTS, "outcome=fires&severity=fault"),
            (names.ADVICE, "outcome=fires&severity=advice"),
            (names.UNDECIDED_COUNT, "outcome=undecided"),
        )
        runs = []
        for words, where in groups:
            cell = self.finding_count(faced, where)
            if cell.value:
                runs.append(self.writer.several(words, int(cell.value), count=cell))
        return joined(runs)

    def finding_count(self, faced: Faced, where: str) -> Cell:
        """How many findings of an option have these texts in these fields."""
        wanted = dict(pair.split("=") for pair in where.split("&"))
        count = sum(1 for f in faced.option.findings if all(str(getattr(f, k)) == v for k, v in wanted.items()))
        return self.writer.cells.count(count, f"{faced.path}.findings[{where}].length")

    def item_link(self, faced: Faced, key: str, text: str) -> Link | str:
        """An item's name, linked to its row among cables and protection where it has one."""
        if key in faced.rows_with_anchor and text:
            return Link(text, "cables", faced.anchor(key))
        return text


def open_dangers(option: OptionResult) -> list[tuple[int, Finding]]:
    """Dangers that nobody has accepted, with their place in the list."""
    return [(n, f) for n, f in enumerate(option.findings) if is_open_danger(f)]


def table(
    caption: str, columns: tuple[Column, ...], rows: Iterable[Row], *, totals: int = 0, dense: bool = False
) -> Table:
    """A table of rows."""
    return Table(caption, columns, tuple(rows), totals, dense)


def grouped(rows: Iterable[tuple[str, Row]], make: Callable[[Row, str], Row]) -> list[Row]:
    """Rows with their group's title set on the first of each group."""
    made: list[Row] = []
    last = None
    for group, row in rows:
        made.append(make(row, group) if group != last else row)
        last = group
    return made
