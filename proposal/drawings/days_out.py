"""Days without charge and a boat left alone: voltages and charge over days, and until when each thing still works."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil
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

MOST_DARK = 8
"""Rows of loads that go dark; those that do so later are counted in one."""
_TOP_MM, _HIGHEST_MM = 2.0, 120.0
_VERDICTS: dict[str, State] = {"starts": "surely", "uncertain": "perhaps", "fails": "off"}


def no_charge_timeline(
    run: "NoCharge", option: "OptionResult", sheet: SheetInfo, names: Mapping[str, str]
) -> dict[str, bytes]:
    """`<prefix>-no-charge.svg`: nothing charges, ordinary use; when each load goes dark.

    Parameters as for `timeline.day_timeline`. Raises KeyError if `sheet.labels` lacks a word.
    """
    end = _seen_days([d.time_s / DAY_S for d in run.order], run.followed_days)
    bands = _dark(run.order, end, sheet, names)
    first = _until(run.first_dark_days, run.followed_days, sheet)
    critical = _until(run.critical_dark_days, run.followed_days, sheet)
    said = sheet.word("no_charge_description", first=first, critical=critical)
    legend: list[tuple[State, str]] = [("surely", "out_works"), ("off", "out_dark")] if bands else []
    return _drawn("no-charge", run.traces, run.sample_s, end, bands, legend, said, option, sheet, names)


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
    count = int(days * DAY_S / sample_s + 1e-6) + 1
    shown = [replace(trace, values=trace.values[:count]) for trace in traces]
    lines = lines_of(shown, sample_s, [b.key for b in option.banks], sheet, names)
    panels = [
        Panel(sheet.word("timeline_voltage"), lines.voltage, share=1.2, floor_mm=26.0),
        Panel(sheet.word("timeline_charge"), lines.charge, (), "percent", None, (0.0, 100.0), floor_mm=26.0),
    ]
    time = Scale(0.0, max(days, 1e-3) * DAY_S, PLOT_MM, END_MM, step_above(max(days, 1e-3) / 10.0) * DAY_S)
    items, height = stacked(
        [p for p in panels if p.curves], bands, time, sheet, _TOP_MM, _ticks(time, sheet), _HIGHEST_MM
    )
    height -= ROW_MM
    items += legend_items(legend, height - 2.0, sheet)
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
    """Between tried days of one verdict it holds, between others it is open; the emergency switch does not count."""
    own: dict[float, StartOnDay] = {}
    for start in starts:
        if start.fed_by != "emergency":
            own.setdefault(start.day, start)
    days = sorted(own)
    made: list[Stretch] = []
    for day, until in zip(days, [*days[1:], max(end, days[-1])] if days else [], strict=True):
        verdict = own[day].verdict
        state = _VERDICTS[verdict] if until not in own or own[until].verdict == verdict else "perhaps"
        if made and made[-1].state == state:
            made[-1] = replace(made[-1], end=until * DAY_S)
        else:
            made.append(Stretch(day * DAY_S, until * DAY_S, state))
    return tuple(made)


def _dark(order: "Sequence[Dark]", end: float, sheet: SheetInfo, names: Mapping[str, str]) -> list[Band]:
    """Loads in the order in which they go dark; those needed for safety say so."""
    rows = [(d.item, d.time_s / DAY_S, sheet.word("out_critical") if d.critical else "") for d in order]
    return _rows(rows, end, sheet, names)


def _seen_days(dark: Sequence[float], followed: float) -> float:
    """So many days are drawn: half as long again as it takes until most of what goes dark is dark."""
    if not dark:
        return followed
    late = sorted(dark)[min(len(dark) - 1, int(0.9 * len(dark)))]
    return min(followed, max(1.0, ceil(1.5 * late)))


def _rows(rows: Sequence[tuple[str, float, str]], end: float, sheet: SheetInfo, names: Mapping[str, str]) -> list[Band]:
    """What goes dark when; loads that do so at the same time and matter alike share a row."""
    groups: dict[tuple[str, str], list[tuple[str, float]]] = {}
    for item, days, word in rows:
        groups.setdefault((_day(days, sheet), word), []).append((item, days))
    made = list(groups.items())
    shown = made if len(made) <= MOST_DARK else made[: MOST_DARK - 1]
    bands = []
    for (day, word), loads in shown:
        said = " · ".join(t for t in (sheet.word("out_dark_on", day=day), word) if t)
        name = clean(names.get(loads[0][0], ""))
        if len(loads) > 1:
            name = sheet.word("picture_more", first=name, count=str(len(loads) - 1))
        bands.append(Band(f"{loads[0][0]}.dark", name, _works(loads[0][1], end), said, bold=bool(word)))
    rest = [load for _, loads in made[len(shown) :] for load in loads]
    if rest:
        name = sheet.word("out_more", count=str(len(rest)))
        said = sheet.word("out_dark_by", day=_day(max(days for _, days in rest), sheet))
        bands.append(Band("rest.dark", name, _works(min(days for _, days in rest), end), said))
    return bands
