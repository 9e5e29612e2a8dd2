"""Rows of the voltage ladder: what stands in each, in the order of reading, and which of them overlap."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import clean
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.results.model import OptionResult, RungResult

GROUPS = ("charging", "switching", "rest", "management", "loads")
OVERLAP = "settings_overlap"


@frozen
class Mark:
    """One voltage in a row [V]: with its tolerance, the two ends that cold and heat make of it, or the next at rest."""

    value_v: float
    tolerance_v: float
    low_v: float
    high_v: float
    ends_v: tuple[float, float] | None = None
    joined_v: float | None = None


@frozen
class Row:
    """A row: a heading, or an item's setting with its marks, what is said of it, and the numbers of its overlaps."""

    heading: str = ""
    key: str = ""
    title: str = ""
    setting: str = ""
    marks: tuple[Mark, ...] = ()
    said: tuple[str, ...] = ()
    overlaps: tuple[int, ...] = ()

    def bold(self, line: int) -> bool:
        """Whether a line of what is said is that of the overlap: the last one."""
        return bool(self.overlaps) and line == len(self.said) - 1


def overlaps_of(option: "OptionResult") -> list[tuple[int, dict[str, float]]]:
    """Each overlap's number with the items and voltages that it concerns, in the order of the findings."""
    found = [f for f in option.findings if f.id == OVERLAP and f.outcome == "fires"]
    made = []
    for number, finding in enumerate(found, 1):
        values = finding.values
        pairs = [(values.get(f"{end}_item"), values.get(f"{end}_v")) for end in ("lower", "upper")]
        pairs.append((finding.item, values.get("float_v")))
        made.append((number, {str(k): float(v) for k, v in pairs if isinstance(v, int | float) and k is not None}))
    return made


def rows_of(option: "OptionResult", sheet: SheetInfo, names: Mapping[str, str]) -> list[Row]:
    """Headings and rows. A bank at rest is one row; loads that bear the same voltage share one."""
    pairs = overlaps_of(option)
    rows: list[Row] = []
    for group in GROUPS:
        rungs = [r for r in option.ladder.rungs if r.group == group]
        if not rungs:
            continue
        rows.append(Row(heading=sheet.word("ladder_resting" if group == "rest" else f"ladder_{group}")))
        made = _resting(rungs, sheet, names, pairs) if group == "rest" else _settings(rungs, sheet, names, pairs)
        rows += made
    return rows


Pairs = Sequence[tuple[int, dict[str, float]]]


def _numbers(pairs: Pairs, rungs: "Sequence[RungResult]") -> tuple[int, ...]:
    """Numbers of the overlaps in which one of some rungs takes part."""
    return tuple(
        number for number, ends in pairs if any(abs(ends.get(r.item, float("inf")) - r.value_v) < 1e-9 for r in rungs)
    )


def _settings(rungs: "Sequence[RungResult]", sheet: SheetInfo, names: Mapping[str, str], pairs: Pairs) -> Iterator[Row]:
    told: set[float] = set()
    for rung in rungs:
        title = clean(names.get(rung.item, ""))
        if rung.setting == "bears":
            if rung.value_v in told:
                continue
            told.add(rung.value_v)
            alike = [r for r in rungs if r.setting == "bears" and r.value_v == rung.value_v]
            if len(alike) > 1:
                title = sheet.word("picture_more", first=title, count=str(len(alike) - 1))
        ends = (rung.cold_v, rung.hot_v) if rung.cold_v is not None and rung.hot_v is not None else None
        mark = Mark(rung.value_v, rung.tolerance_v, rung.low_v, rung.high_v, ends)
        said = [_figure(rung, sheet)]
        if ends is not None:
            cold, hot = (_volts(v, sheet) for v in ends)
            said.append(sheet.word("ladder_cold_hot", cold=cold, hot=hot))
        numbers = _numbers(pairs, [rung])
        said += [_overlap(numbers, sheet)] if numbers else []
        setting = sheet.word(f"setting_{rung.setting}")
        yield Row("", f"{rung.item}.{rung.setting}", title, setting, (mark,), tuple(said), numbers)


def _resting(rungs: "Sequence[RungResult]", sheet: SheetInfo, names: Mapping[str, str], pairs: Pairs) -> Iterator[Row]:
    for item in dict.fromkeys(r.item for r in rungs):
        own = sorted((r for r in rungs if r.item == item), key=lambda r: r.value_v)
        following = [*(r.value_v for r in own[1:]), None]
        marks = tuple(
            Mark(r.value_v, 0.0, r.value_v, r.value_v, joined_v=then) for r, then in zip(own, following, strict=True)
        )
        figures = " · ".join(_number(r.value_v, sheet) for r in own)
        numbers = _numbers(pairs, own)
        said = (sheet.word("volt", value=figures), *((_overlap(numbers, sheet),) if numbers else ()))
        title, setting = clean(names.get(item, "")), sheet.word("setting_rest")
        yield Row("", f"{item}.rest", title, setting, marks, said, numbers)


def _overlap(numbers: tuple[int, ...], sheet: SheetInfo) -> str:
    return sheet.word("ladder_overlap", numbers=", ".join(map(str, numbers)))


def _number(volts: float, sheet: SheetInfo) -> str:
    return f"{volts:.2f}".replace(".", sheet.labels["decimal_mark"])


def _volts(volts: float, sheet: SheetInfo) -> str:
    return sheet.word("volt", value=_number(volts, sheet))


def _figure(rung: "RungResult", sheet: SheetInfo) -> str:
    if rung.tolerance_v <= 0.0:
        return _volts(rung.value_v, sheet)
    return sheet.word("ladder_figure", value=_number(rung.value_v, sheet), tolerance=_number(rung.tolerance_v, sheet))
