"""Of the page of the days: sliders of use, batteries and sun over the points that were computed."""

from collections.abc import Callable, Sequence
from typing import Any

from proposal.book.blocks import (
    Block,
    Heading,
    Row,
    SliderAnswer,
    SliderAxis,
    SliderFace,
    Sliders,
    Table,
    Tone,
    Words,
)
from proposal.book.pages.context import Book, table
from proposal.book.pages.lived import Lived, within
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.sentences import names
from proposal.book.tables import Cell
from proposal.book.writer import plain
from proposal.studies.behaviour.result import WhatIf

AXES = ("use", "bank", "solar")
FACTOR_NAME = "factor_share"
Answer = tuple[str, Callable[[Located[WhatIf], int], Words], Callable[[WhatIf, int], Tone]]


def what_if(book: Book, options: Sequence[Lived]) -> list[Block]:
    """The sliders, and the table that stands in their place."""
    whole = [o for o in options if o.days.what_if.autonomy_days]
    if not whole:
        return []
    first: Located[WhatIf] = within(whole[0].at, "what_if")
    alike = [o for o in whole if all(_factors(o.days.what_if, a) == _factors(first.item, a) for a in AXES)]
    axes = tuple(_axis(book, first, name) for name in AXES)
    faces = tuple(_face(book, option) for option in alike)
    note = book.writer.words(
        words.WHAT_IF_NOTE,
        season=alike[0].season(first.item.season),
        followed=book.writer.cell(first, "followed_days"),
    )
    title = book.text(words.WHAT_IF_TITLE)
    block = Sliders("what-if", title, axes, faces, note, _table(book, alike, axes))
    return [Heading(book.text(words.WHAT_IF_HEADING), 2, "otherwise"), block]


def _factors(found: WhatIf, axis: str) -> tuple[float, ...]:
    factors: tuple[float, ...] = getattr(found, f"{axis}_factors")
    return factors


def _axis(book: Book, at: Located[WhatIf], name: str) -> SliderAxis:
    factors = _factors(at.item, name)
    cells = (
        book.writer.cells.number(FACTOR_NAME, factor, f"{at.path}.{name}_factors[{n}]")
        for n, factor in enumerate(factors)
    )
    proposed = min(range(len(factors)), key=lambda n: abs(factors[n] - 1.0))
    return SliderAxis(name, book.text(words.AXES[name]), tuple(plain(cell) for cell in cells), proposed)


def _place(found: WhatIf, positions: tuple[int, ...]) -> int:
    """Where the answers for three positions stand in the flat lists."""
    place = 0
    for axis, position in zip(AXES, positions, strict=True):
        place = place * len(_factors(found, axis)) + position
    return place


def _answers(book: Book, option: Lived) -> list[Answer]:
    """Label, figure and tone of each answer; about starting only where there is an engine to start."""

    def followed(name: str) -> Callable[[Located[WhatIf], int], Words]:
        def figure(at: Located[WhatIf], n: int) -> Words:
            value = getattr(at.item, name)[n]
            cell = book.writer.cells.number("days", value, f"{at.path}.{name}[{n}]")
            if value >= at.item.followed_days:
                return book.writer.words(words.AT_LEAST, days=cell)
            return plain(cell)

        return figure

    def hours(at: Located[WhatIf], n: int) -> Words:
        ref = f"{at.path}.engine_h_per_day[{n}]"
        return plain(book.writer.cells.number("engine_h_per_day", at.item.engine_h_per_day[n], ref))

    def until(at: Located[WhatIf], n: int) -> Words:
        value = at.item.starts_until_days[n]
        return plain(book.writer.cells.number("days", value, f"{at.path}.starts_until_days[{n}]"))

    def verdict(at: Located[WhatIf], n: int) -> Words:
        value = at.item.starts[n]
        return plain(Cell(book.text(names.VERDICTS[_verdict(value)]), value, "", 0, f"{at.path}.starts[{n}]"))

    wanted = book.results.vessel.wanted_days

    def long_enough(name: str) -> Callable[[WhatIf, int], Tone]:
        return lambda found, n: "good" if getattr(found, name)[n] >= wanted else "caution"

    found: list[Answer] = [
        (words.ANSWER_AUTONOMY, followed("autonomy_days"), long_enough("autonomy_days")),
        (words.ANSWER_NO_CHARGE, followed("no_charge_days"), long_enough("no_charge_days")),
        (words.ANSWER_ENGINE, hours, lambda _found, _n: "plain"),
    ]
    if option.starts:
        found.append((words.ANSWER_STARTS, verdict, lambda found, n: _TONES[_verdict(found.starts[n])]))
        found.append((words.ANSWER_UNTIL, until, lambda _found, _n: "plain"))
    return found


_TONES: dict[str, Tone] = {"starts": "good", "uncertain": "caution", "fails": "danger"}


def _verdict(value: float) -> str:
    return "starts" if value >= 1.0 else "fails" if value <= 0.0 else "uncertain"


def _face(book: Book, option: Lived) -> SliderFace:
    at: Located[WhatIf] = within(option.at, "what_if")
    count = len(at.item.autonomy_days)
    answers = tuple(
        SliderAnswer(
            book.text(label),
            tuple(figure(at, n) for n in range(count)),
            tuple(tone(at.item, n) for n in range(count)),
        )
        for label, figure, tone in _answers(book, option)
    )
    return SliderFace(option.letter, option.faced.option.title, answers)


def _table(book: Book, options: Sequence[Lived], axes: tuple[SliderAxis, ...]) -> Table:
    """As proposed, then one thing changed at a time."""
    labels = [label for option in options for label, _, _ in _answers(book, option)]
    columns = book.columns(words.WHAT_IF_COLUMN, *dict.fromkeys(labels))
    proposed = tuple(axis.proposed for axis in axes)
    rows: list[Row] = []
    for option in options:
        at: Located[WhatIf] = within(option.at, "what_if")
        group = book.text(words.STEPS_FACE, letter=option.letter, title=option.faced.option.title)
        rows.append(
            _row(
                book,
                option,
                at,
                plain(book.text(book.either(words.WHAT_IF_PROPOSED, words.WHAT_IF_FITTED))),
                proposed,
                columns,
                group,
            )
        )
        for number, axis in enumerate(axes):
            for position, factor in enumerate(axis.positions):
                if position == axis.proposed:
                    continue
                places = tuple(position if n == number else p for n, p in enumerate(proposed))
                title = book.writer.words(words.WHAT_IF_AXIS, axis=axis.label, factor=factor)
                rows.append(_row(book, option, at, title, places, columns, ""))
    return table(book.text(book.either(words.WHAT_IF_TABLE, words.WHAT_IF_TABLE_RECORD)), columns, rows, dense=True)


def _row(
    book: Book,
    option: Lived,
    at: Located[WhatIf],
    title: Words,
    places: tuple[int, ...],
    columns: Sequence[Any],
    group: str,
) -> Row:
    n = _place(at.item, places)
    told = {book.text(label): figure(at, n) for label, figure, _ in _answers(book, option)}
    cells = (told.get(column.title, plain(book.text(words.NONE_HERE))) for column in columns[1:])
    return Row((title, *cells), group=group)
