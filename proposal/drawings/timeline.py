"""One day of an option on one axis of time: voltages, currents, charge, then relays, stages of chargers, the engine."""

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.axes import Scale
from proposal.drawings.bands import ROW_MM, STAGES, Band, Stretch, band_items, legend_items, stretches, tops
from proposal.drawings.curves import (
    END_MM,
    LOOKS,
    PLOT_MM,
    THIN,
    WIDTH_MM,
    Curve,
    Limit,
    Look,
    Panel,
    number_text,
    panel_items,
)
from proposal.drawings.event_marks import STRIP_MM, event_marks
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, clean, width_mm
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.results.model import OptionResult
    from proposal.studies.behaviour.result import Day, Event, Trace

DAY_S = 86400.0
HIGHEST_MM = 145.0
"""Of a drawing that a page of A4 takes at its own size, with the energy of the day below it."""
GAP_MM = 4.0
_SHOWN_A = 0.05
_WITHIN_V = 0.4
_FOOT_MM = 13.0


@frozen
class Lines:
    """What the traces of a run become: each quantity's curves, every item with one look in all of them."""

    voltage: tuple[Curve, ...]
    banks: tuple[Curve, ...]
    others: tuple[Curve, ...]
    charge: tuple[Curve, ...]


def day_timeline(
    day: "Day", option: "OptionResult", sheet: SheetInfo, names: Mapping[str, str], season: str
) -> dict[str, bytes]:
    """The timeline of a day by its file name, `<prefix>-day-<season>.svg`.

    Parameters: day, from which every value comes; option, whose relays' thresholds are shown; sheet, words and the
    option's colour; names, how each item is called; season, its title. The marks carry the numbers of `day.events`
    from 1 on. Raises KeyError if `sheet.labels` lacks a word.
    """
    banks = [b.key for b in option.banks]
    lines = lines_of(day.traces, day.sample_s, banks, sheet, names)
    panels = [
        Panel(sheet.word("timeline_voltage"), lines.voltage, _limits(option, lines.voltage, sheet), share=1.5),
        Panel(sheet.word("timeline_banks"), lines.banks, (), "ampere", _signs(sheet), (0.0, 0.0), 1.0),
        Panel(sheet.word("timeline_sources"), lines.others, (), "ampere", _signs(sheet), (0.0, 0.0), 1.0),
        Panel(sheet.word("timeline_charge"), lines.charge, (), "percent", None, _charge_ends(lines.charge), 0.8),
    ]
    bands = _bands(day, banks, sheet, names)
    time = Scale(0.0, DAY_S, PLOT_MM, END_MM, 3 * 3600.0)
    items, height = stacked([p for p in panels if p.curves], bands, time, sheet, STRIP_MM, clock(time, sheet))
    bottoms = [w.points[2][1] for i in items if i.kind == "axes" for w in i.wires if len(w.points) == 5]
    items += event_marks(day.events, time, max(bottoms, default=STRIP_MM), sheet)
    legend = [("closed", "timeline_closed_is"), ("open", "timeline_open_is"), ("full", "timeline_full_is"),
              ("absorption", "timeline_absorption_is"), ("float", "timeline_float_is")]  # fmt: skip
    items += legend_items(legend, height - 2.0 - ROW_MM, sheet)  # type: ignore[arg-type]
    if day.events:
        words = sheet.word("timeline_event_is")
        wide = width_mm(words, SMALLEST_MM)
        items.append(Item("legend", texts=(Text(WIDTH_MM - 1.0 - wide, height - 3.05, words, SMALLEST_MM),)))
    return drawn(f"day-{emit.safe_id(day.season)}", items, height, sheet, _description(day, lines, sheet, season))


def drawn(kind: str, items: Sequence[Item], height: float, sheet: SheetInfo, description: str) -> dict[str, bytes]:
    """A timeline as a file, its name led by the option's prefix."""
    name = f"{emit.safe_id(sheet.prefix)}-{kind}"
    data = emit.svg(
        items,
        prefix=name,
        size_mm=(WIDTH_MM, height),
        title=clean(sheet.title),
        description=description,
        accent=sheet.accent,
        language=sheet.language,
    )
    return {f"{name}.svg": data}


def lines_of(
    traces: "Sequence[Trace]", sample_s: float, banks: Sequence[str], sheet: SheetInfo, names: Mapping[str, str]
) -> Lines:
    """Curves of all traces. Items ask for a look in the order banks, then all others; a bus is thin and plain."""
    sources = dict.fromkeys(t.item for t in traces if t.quantity == "current_a" and t.item not in (*banks, "loads"))
    looks = {item: LOOKS[n % len(LOOKS)] for n, item in enumerate((*banks, *sources))}
    looks["loads"] = Look("symbol", 0.5)

    def curve(trace: "Trace", factor: float, word: str, digits: int) -> Curve:
        taken = trace.item == "loads" and trace.quantity == "current_a"
        values = [-abs(v) if taken else factor * v for v in trace.values]
        if trace.quantity == "charge_share":
            # slowly emptied, a bank gives a little more than its rated capacity: it is empty all the same
            values = [min(100.0, max(0.0, v)) if isfinite(v) else v for v in values]
        points = tuple((n * sample_s, v) for n, v in enumerate(values))
        values = [v for v in values if isfinite(v)] or [0.0]
        said = _reach(min(values), max(values), word, digits, sheet)
        name = sheet.word("timeline_loads") if trace.item == "loads" else clean(names.get(trace.item, ""))
        return Curve(f"{trace.item}.{trace.quantity}", name, said, points, looks.get(trace.item, THIN))

    def pick(quantity: str, factor: float, word: str, digits: int) -> list[tuple[str, Curve]]:
        return [(t.item, curve(t, factor, word, digits)) for t in traces if t.quantity == quantity and t.values]

    # loads take, whatever the sign that they come with
    volts = sorted(pick("voltage_v", 1.0, "volt", 2), key=lambda pair: pair[0] in banks)
    amps = pick("current_a", 1.0, "ampere", 1)
    loads = [pair for pair in amps if pair[0] == "loads"]
    others = [(item, c) for item, c in amps if item not in banks and item != "loads" and _flows(c)]
    return Lines(
        tuple(c for _, c in volts),
        tuple(c for item, c in amps if item in banks),
        tuple(c for _, c in (*others, *loads)),
        tuple(c for _, c in pick("charge_share", 100.0, "percent", 0)),
    )


def _reach(low: float, high: float, word: str, digits: int, sheet: SheetInfo) -> str:
    """From the least to the greatest value; of currents the most that is given and the most that is taken."""
    if word != "ampere":
        ends = [number_text(v, digits, sheet) for v in (low, high)]
        both = sheet.word("timeline_range", low=ends[0], high=ends[1])
        return sheet.word(word, value=both if ends[0] != ends[1] else ends[0])
    least = 0.5 * 10.0**-digits
    sides = [("timeline_gave", high)] * (high >= least) + [("timeline_took", -low)] * (-low >= least)
    said = [sheet.word(key, value=number_text(v, digits, sheet)) for key, v in sides]
    return sheet.word(word, value=" ".join(said) or number_text(0.0, digits, sheet))


def _flows(curve: Curve) -> bool:
    return any(abs(v) > _SHOWN_A for _, v in curve.points)


def _signs(sheet: SheetInfo) -> tuple[str, str]:
    return sheet.word("timeline_gives"), sheet.word("timeline_takes")


def _charge_ends(curves: Sequence[Curve]) -> tuple[float, float]:
    """From nought to full, unless all of it happens in the upper part."""
    low = min((v for c in curves for _, v in c.points if isfinite(v)), default=0.0)
    return (50.0 if low >= 55.0 else 0.0, 100.0)


def _limits(option: "OptionResult", curves: Sequence[Curve], sheet: SheetInfo) -> tuple[Limit, ...]:
    """Thresholds of relays near to what the day's voltages reach; equal ones of one relay once."""
    values = [v for c in curves for _, v in c.points if isfinite(v)]
    if not values:
        return ()
    low, high = min(values) - _WITHIN_V, max(values) + _WITHIN_V
    designations = {d.key: clean(d.designation) for d in option.devices}
    found = []
    for rung in option.ladder.rungs:
        if rung.group == "switching" and low <= rung.value_v <= high:
            value = sheet.word("volt", value=number_text(rung.value_v, 2, sheet))
            words = (designations.get(rung.item, ""), sheet.word(f"setting_{rung.setting}"), value)
            found.append(Limit(f"{rung.item}.{rung.setting}", " ".join(w for w in words if w), rung.value_v))
    return tuple(found)


def _bands(day: "Day", banks: Sequence[str], sheet: SheetInfo, names: Mapping[str, str]) -> list[Band]:
    """Relays and managements, then chargers that ever work, then the engine."""
    bands: list[Band] = []
    contact = (sheet.word("timeline_open"), sheet.word("timeline_shut"))
    letters = ("", *(sheet.word(f"timeline_stage_{n}") for n in (1, 2, 3)))
    for quantity, states, words in (("closed", ("open", "closed"), contact), ("stage", STAGES, letters)):
        group = sheet.word(f"timeline_{quantity}")
        for trace in day.traces:
            if trace.quantity != quantity or (quantity == "stage" and not any(map(round, trace.values))):
                continue
            made = stretches(trace.values, day.sample_s, states, words)
            name = clean(names.get(trace.item, ""))
            if quantity == "closed" and trace.item in banks:
                name = sheet.word("timeline_own", bank=name)
            bands.append(Band(f"{trace.item}.{quantity}", name, made, group=group))
            group = ""
    running = engine_runs(day.events)
    if running:
        hours = sheet.word("timeline_hours", value=number_text(day.engine_h, 1, sheet))
        said = tuple(Stretch(a, b, "closed") for a, b in running)
        bands.append(Band("engine", sheet.word("timeline_engine"), said, hours))
    return bands


def engine_runs(events: "Sequence[Event]") -> list[tuple[float, float]]:
    """From when to when an engine runs [s], by its events; one that is on when the day begins ran before."""
    runs: list[tuple[float, float]] = []
    on: float | None = None
    for event in events:
        if event.code == "engine_on" and on is None:
            on = event.time_s
        elif event.code == "engine_off":
            if on is not None or not runs:
                runs.append((on or 0.0, event.time_s))
            on = None
    return [*runs, (on, DAY_S)] if on is not None else runs


def clock(time: Scale, sheet: SheetInfo) -> list[tuple[float, str]]:
    """Hours along the axis."""
    return [(time.at(t), sheet.word("timeline_clock", hour=f"{round(t / 3600.0):02d}")) for t in time.ticks()]


def stacked(
    panels: Sequence[Panel], bands: Sequence[Band], time: Scale, sheet: SheetInfo, top: float,
    ticks: Sequence[tuple[float, str]], highest: float = HIGHEST_MM,
) -> tuple[list[Item], float]:  # fmt: skip
    """Panels one below the other, the axis of time, and the rows; and the height of it all with room for a legend.

    The panels share what rows and axis leave of the height, each with at least what its labels need.
    """
    fixed = top + _FOOT_MM + 6.0 + tops(bands, 0.0)[-1] + GAP_MM * max(0, len(panels) - 1)
    spare = max(0.0, highest - fixed - sum(p.least_mm for p in panels))
    parts = sum(p.share for p in panels) or 1.0
    items: list[Item] = []
    y, levels = top, []
    for panel in panels:
        bottom = y + panel.least_mm + spare * panel.share / parts
        items += panel_items(panel, time, y, bottom, sheet)
        levels.append((y, bottom))
        y = bottom + GAP_MM
    y = levels[-1][1] if levels else top
    rows = y + 6.0
    starts = tops(bands, rows)
    levels += [(start - 0.9, start - 0.2) for start in starts]
    grid = tuple(Wire(((x, a), (x, b)), 0.18, "grid") for x, _ in ticks for a, b in levels)
    texts, taken = [], 0.0
    for x, words in ticks:
        wide = width_mm(words, SMALLEST_MM)
        if x - wide / 2 > taken:
            texts.append(Text(x - wide / 2, y + 3.8, words, SMALLEST_MM))
            taken = x + wide / 2 + 1.0
    items.insert(0, Item("time", wires=grid, texts=tuple(texts)))
    items += band_items(bands, time, rows)
    return items, starts[-1] + _FOOT_MM


def _description(day: "Day", lines: Lines, sheet: SheetInfo, season: str) -> str:
    """What the day shows in a few figures: each bank's charge, the engine, how many events."""
    charge = "; ".join(f"{c.name} {c.said}" for c in lines.charge)
    volts = "; ".join(f"{c.name} {c.said}" for c in lines.voltage)
    return sheet.word(
        "timeline_description", season=season, volts=volts, charge=charge, count=str(len(day.events)),
        hours=sheet.word("timeline_hours", value=number_text(day.engine_h, 1, sheet)),
    )  # fmt: skip
