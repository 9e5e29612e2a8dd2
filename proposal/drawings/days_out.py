"""Days without charge and a boat left alone: voltages and charge over days, and until when each thing still works."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from proposal.drawings.axes import Scale, step_above
from proposal.drawings.bands import ROW_MM, Band, State, Stretch, legend_items
from proposal.drawings.curves import END_MM, PLOT_MM, Panel, number_text
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import clean
from proposal.drawings.timeline import DAY_S, drawn, lines_of, stacked

if TYPE_CHECKING:
    from proposal.results.model import OptionResult
    from proposal.studies.behaviour.result import Dark, Neglect, NoCharge, StartOnDay, Trace

MOST_DARK = 10
"""Loads with a row of their own; those that go dark later are counted in one."""
_TOP_MM, _HIGHEST_MM = 2.0, 120.0
_VERDICTS: dict[str, State] = {"starts": "surely", "uncertain": "perhaps", "fails": "off"}


def no_charge_timeline(
    run: "NoCharge", option: "OptionResult", sheet: SheetInfo, names: Mapping[str, str]
) -> dict[str, bytes]:
    """`<prefix>-no-charge.svg`: nothing charges, ordinary use; when each load goes dark.

    Parameters as for `timeline.day_timeline`. Raises KeyError if `sheet.labels` lacks a word.
    """
    bands = _dark(run.order, run.followed_days, sheet, names)
    first = _until(run.first_dark_days, run.followed_days, sheet)
    critical = _until(run.critical_dark_days, run.followed_days, sheet)
    said = sheet.word("no_charge_description", first=first, critical=critical)
    legend: list[tuple[State, str]] = [("surely", "out_works"), ("off", "out_dark")] if bands else []
    return _drawn("no-charge", run.traces, run.sample_s, run.followed_days, bands, legend, said, option, sheet, names)


def neglect_timeline(
    run: "Neglect", option: "OptionResult", sheet: SheetInfo, names: Mapping[str, str]
) -> dict[str, bytes]:
    """`<prefix>-neglect.svg`: a load left on and nobody aboard; which bank is empty when, until when the engine starts.

    Parameters as for `timeline.day_timeline`. Raises KeyError if `sheet.labels` lacks a word.
    """
    bands, end = [], run.followed_days
    engine = _engine(run.starts_until_days, end, sheet)
    if run.starts:
        bands.append(Band("engine", sheet.word("out_engine"), _starts(run.starts, end), engine, bold=True))
    empty = []
    for each in run.emptied:
        name = clean(names.get(each.bank, ""))
        lowest = sheet.word("percent", value=number_text(100.0 * each.lowest_share, 0, sheet))
        when = (
            sheet.word("out_not_empty", share=lowest)
            if each.days is None
            else sheet.word("out_empty_on", day=_day(each.days, sheet))
        )
        empty.append(f"{name} {when}")
        bands.append(Band(f"{each.bank}.empty", name, _works(each.days, end), when))
    dark = [e for e in run.events if e.code == "load_dark"]
    bands += _rows([(e.item, e.time_s / DAY_S, "") for e in dark], end, sheet, names)
    said = sheet.word("neglect_description", engine=engine, empty="; ".join(empty))
    legend: list[tuple[State, str]] = [("surely", "out_surely"), ("perhaps", "out_perhaps"), ("off", "out_no_more")]
    return _drawn("neglect", run.traces, run.sample_s, end, bands, legend, said, option, sheet, names)


def _drawn(
    kind: str, traces: "Sequence[Trace]", sample_s: float, days: float, bands: Sequence[Band],
    legend: "Sequence[tuple[State, str]]", said: str, option: "OptionResult", sheet: SheetInfo,
    names: Mapping[str, str],
) -> dict[str, bytes]:  # fmt: skip
    lines = lines_of(traces, sample_s, [b.key for b in option.banks], sheet, names)
    panels = [
        Panel(sheet.word("timeline_voltage"), lines.voltage, share=1.2),
        Panel(sheet.word("timeline_charge"), lines.charge, (), "percent", None, (0.0, 100.0)),
    ]
    time = Scale(0.0, max(days, 1e-3) * DAY_S, PLOT_MM, END_MM, step_above(max(days, 1e-3) / 10.0) * DAY_S)
    items, height = stacked(
        [p for p in panels if p.curves], bands, time, sheet, _TOP_MM, _ticks(time, sheet), _HIGHEST_MM
    )
    items += legend_items(legend, height - 2.0 - ROW_MM, sheet)
    return drawn(kind, items, height, sheet, said)


def _ticks(time: Scale, sheet: SheetInfo) -> list[tuple[float, str]]:
    return [(time.at(t), sheet.word("out_day", day=_day(t / DAY_S, sheet))) for t in time.ticks()]


def _day(days: float, sheet: SheetInfo) -> str:
    """Days with one decimal, none where it says nothing."""
    return number_text(days, 0 if abs(days - round(days)) < 0.05 else 1, sheet)


def _until(days: float | None, followed: float, sheet: SheetInfo) -> str:
    if days is None or days >= followed:
        return sheet.word("out_beyond", day=_day(followed, sheet))
    return sheet.word("out_day", day=_day(days, sheet))


def _engine(days: float | None, followed: float, sheet: SheetInfo) -> str:
    if days is None:
        return sheet.word("out_never")
    return sheet.word("out_all" if days >= followed else "out_starts_until", day=_day(min(days, followed), sheet))


def _works(days: float | None, end: float) -> tuple[Stretch, ...]:
    """Works until a day, and no more from then on."""
    if days is None or days >= end:
        return (Stretch(0.0, end * DAY_S, "surely"),)
    return (Stretch(0.0, days * DAY_S, "surely"), Stretch(days * DAY_S, end * DAY_S, "off"))


def _starts(starts: "Sequence[StartOnDay]", end: float) -> tuple[Stretch, ...]:
    """Each verdict holds until the next day that was tried; a start by the emergency switch does not count."""
    own: dict[float, StartOnDay] = {}
    for start in starts:
        if start.fed_by != "emergency":
            own.setdefault(start.day, start)
    days = [d for n, d in enumerate(sorted(own)) if n == 0 or own[d].verdict != own[sorted(own)[n - 1]].verdict]
    ends = [*days[1:], end]
    return tuple(
        Stretch(day * DAY_S, until * DAY_S, _VERDICTS[own[day].verdict]) for day, until in zip(days, ends, strict=True)
    )


def _dark(order: "Sequence[Dark]", end: float, sheet: SheetInfo, names: Mapping[str, str]) -> list[Band]:
    """Loads in the order in which they go dark; those needed for safety say so."""
    rows = [(d.item, d.time_s / DAY_S, sheet.word("out_critical") if d.critical else "") for d in order]
    return _rows(rows, end, sheet, names)


def _rows(rows: Sequence[tuple[str, float, str]], end: float, sheet: SheetInfo, names: Mapping[str, str]) -> list[Band]:
    bands = []
    shown = rows if len(rows) <= MOST_DARK else rows[: MOST_DARK - 1]
    for item, days, word in shown:
        said = " · ".join(t for t in (sheet.word("out_dark_on", day=_day(days, sheet)), word) if t)
        bands.append(Band(f"{item}.dark", clean(names.get(item, "")), _works(days, end), said, bold=bool(word)))
    rest = rows[len(shown) :]
    if rest:
        name = sheet.word("out_more", count=str(len(rest)))
        last = max(days for _, days, _ in rest)
        said = sheet.word("out_dark_by", day=_day(last, sheet))
        bands.append(Band("rest.dark", name, _works(min(days for _, days, _ in rest), end), said))
    return bands
