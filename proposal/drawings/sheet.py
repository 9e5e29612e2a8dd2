"""A sheet: its size, frame, title block after the fields of ISO 7200, legend, and the words that come from outside."""

from collections.abc import Iterable, Mapping
from dataclasses import field, replace

from proposal.drawings.day_labels import DAY_LABELS
from proposal.drawings.marks import MARKS, TRIANGLE_WIDE_MM, Mark, triangle
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.symbols import sample
from proposal.drawings.text import LINE, SMALLEST_MM, clean, fit, wrap
from proposal.frozen import frozen

PAGE_WIDTH_MM, PAGE_HEIGHT_MM = 420.0, 297.0
"""A3 landscape, ISO 216."""
MARGIN_MM = 10.0
BAND_MM = 34.0
"""Height of the strip at the foot with legend and title block."""
TITLE_WIDTH_MM = 180.0

LABEL_KEYS: dict[str, str] = {
    "decimal_mark": "sign between whole and fraction, `.` or `,`",
    "ampere": "{value} A",
    "ampere_hour": "{value} Ah",
    "kiloampere": "{value} kA, on a chart",
    "second": "{value} s, on a chart",
    "millisecond": "{value} ms, on a chart",
    "chart_least": "the least fault current on a chart: min {value}",
    "chart_highest": "the highest: max {value}",
    "chart_breaking": "the breaking capacity: breaks {value}",
    "chart_no_part": "a chart of a fuse for which no part was found",
    "chart_no_curve": "a chart of {part}, whose time-current curve nobody knows",
    "key_title": "the title of the charts' key",
    "key_band": "key: the fuse's own band",
    "key_beyond": "key: the band beyond its gates",
    "key_harm": "key: the conductor's damage line",
    "key_pass": "key: a start or inrush",
    "key_least": "key: the least fault current",
    "key_highest": "key: the highest fault current",
    "key_breaking": "key: the breaking capacity",
    "key_neighbour": "key: fuses in series",
    "volt": "{value} V",
    "metre": "{value} m",
    "area": "{size} ({value} mm²), for a size that is not named by its area",
    "negative_size": "said where the negative conductor has another size: negative {size}",
    "string_of": "{count} × {what}, batteries in series",
    "joins": "a voltage-sensitive relay's joining voltage: {value}",
    "releases": "its releasing voltage: {value}",
    "flooded": "chemistry",
    "agm": "chemistry",
    "gel": "chemistry",
    "lithium": "chemistry",
    "bus_main": "a main bus without a title of its own",
    "bus_start": "a start bus without a title",
    "bus_panel": "a panel without a title",
    "bus_bank": "a bank's own bus",
    "bus_unswitched": "the bus ahead of a bank's switch",
    "continues_on": "a bus goes on on sheet {sheet}",
    "continues_below": "the same, further down on this sheet",
    "continued_from": "{bar}, from sheet {sheet}",
    "continued_above": "{bar}, from higher up on this sheet",
    "to_bar": "a lead that goes to {bar}, which is drawn elsewhere",
    "from_bar": "where such a lead arrives: from {bar}",
    "negative_of": "the negative bus of {bar}",
    "controller": "the contactor's controller",
    "note": "what a single-line drawing leaves out: both poles, the negative's size",
    "description": "the drawing in words; {title}, {batteries}, {sources} and {loads} are filled in",
    "owner": "title block: who answers for the drawing",
    "number": "title block: number of the document",
    "revision": "title block",
    "date": "title block: date of issue",
    "sheet": "title block: sheet and number of sheets",
    "creator": "title block: who made it",
    "approver": "title block: who approved it",
    "document_type": "title block: kind of document",
    "document_type_name": "what kind of document this is: single-line drawing",
    "legend_battery": "battery",
    "legend_fuse": "fuse or breaker",
    "legend_switch": "hand-operated isolator",
    "legend_contactor": "contactor",
    "legend_vsr": "voltage-sensitive relay",
    "legend_shunt": "shunt with its meter",
    "legend_dc_dc": "DC-DC charger",
    "legend_controller": "contactor's controller",
    "legend_load": "load",
    "legend_motor": "any motor: starter, windlass, pump",
    "legend_inverter": "inverter",
    "legend_solar": "solar array with its controller",
    "legend_alternator": "alternator",
    "legend_shore": "shore inlet with its charger",
    "legend_generator": "generator with its charger",
    "legend_wind": "wind generator with its rectifier",
    "legend_negative": "the common negative",
    "legend_reference": "a lead that goes on elsewhere in the drawing",
    "mark_new": "letter of what is new, in a triangle",
    "mark_changed": "letter of what is otherwise",
    "mark_removed": "letter of what was removed",
    "legend_mark_new": "what is new",
    "legend_mark_changed": "what is otherwise",
    "legend_mark_removed": "what was removed",
    "picture_sun": "plain picture: solar panels",
    "picture_engine": "plain picture: the engine's alternator",
    "picture_shore": "plain picture: shore power",
    "picture_generator": "plain picture: generator",
    "picture_wind": "plain picture: wind generator",
    "picture_loads": "plain picture: everything that uses power",
    "picture_starter": "plain picture: a battery starts the engine",
    "picture_description": "the picture in words; {title} is filled in",
    "picture_contactor": "what a contactor does, in a few words",
    "picture_vsr": "what a voltage-sensitive relay does, in a few words",
    "picture_dc_dc": "what a DC-DC charger does, in a few words",
    "picture_switch": "what a hand switch does, in a few words",
    "picture_conductor": "two buses joined by a conductor alone",
    "picture_to": "{link} to {bus}, where the bus is not the next one",
    "picture_energy": "{value} kWh",
    "picture_a_day": "stands below an energy: a day",
    "picture_more": "several loads in one box: {first} and {count} more",
    "ladder_charging": "voltage ladder: group of charge sources",
    "ladder_switching": "group of contactors and relays",
    "ladder_resting": "group of banks at rest",
    "ladder_management": "group of batteries' own management",
    "ladder_loads": "group of inverters and loads",
    "ladder_figure": "{value} ± {tolerance} V",
    "ladder_cold_hot": "{cold} in the cold, {hot} in the heat",
    "ladder_overlap": "this row overlaps another: overlap {numbers}",
    "ladder_set": "legend: tick where it is set",
    "ladder_tolerance": "legend: bar of the tolerance",
    "ladder_heat": "legend: line from the coldest to the hottest",
    "ladder_rest": "legend: line of a bank at rest, from low to full",
    "ladder_description": "the ladder in words: {count} settings from {low} to {high}. {finding}",
    "ladder_clear": "no two settings overlap",
    "ladder_overlaps": "{count} pairs overlap",
    "setting_absorption": "what a source charges to",
    "setting_float": "what it holds then",
    "setting_equalise": "equalising",
    "setting_restarts_below": "where it begins anew",
    "setting_opens_above": "contactor opens above",
    "setting_opens_below": "contactor opens below",
    "setting_joins": "relay joins",
    "setting_releases": "relay releases",
    "setting_rest": "at rest: low, half, full",
    "setting_cuts_above": "management ends charging",
    "setting_cuts_below": "management ends discharging",
    "setting_input_min": "gives up below",
    "setting_input_max": "bears at most",
    "setting_bears": "bears at most",
    **DAY_LABELS,
}
"""Every word or pattern that a drawing needs, with what it is for. `SheetInfo.labels` must have them all."""


@frozen
class SheetInfo:
    """What a sheet says besides the circuit. `prefix` starts each id and file name; `accent` is the option's colour."""

    prefix: str
    title: str
    vessel: str
    number: str
    revision: str
    date: str
    labels: Mapping[str, str]
    owner: str = ""
    creator: str = ""
    approver: str = ""
    accent: str = "#0b5563"
    language: str = "en"
    designations: Mapping[str, str] = field(default_factory=dict)
    """Designation by key for items that have no row in the results: battery strings, starter, controllers, chargers."""
    marks: Mapping[str, Mark] = field(default_factory=dict)
    """What is new, otherwise or removed on a single-line sheet, by key; a key that it does not have says nothing."""

    def word(self, key: str, **values: str) -> str:
        """The label `key` with its places filled in. Raises KeyError for a key that the caller did not supply."""
        text = self.labels[key]
        for name, value in values.items():
            text = text.replace("{" + name + "}", value)
        return clean(text)


def _rectangle(x0: float, y0: float, x1: float, y1: float, width_mm: float) -> Wire:
    return Wire(((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)), width_mm, "frame")


def frame(info: SheetInfo, sheet: int, sheets: int) -> Item:
    """Border, title block and note of a sheet."""
    right, bottom = PAGE_WIDTH_MM - MARGIN_MM, PAGE_HEIGHT_MM - MARGIN_MM
    top = bottom - BAND_MM
    left = right - TITLE_WIDTH_MM
    wires = [
        _rectangle(MARGIN_MM, MARGIN_MM, right, bottom, 0.7),
        Wire(((MARGIN_MM, top), (right, top)), 0.5, "frame"),
        Wire(((left, top), (left, bottom)), 0.5, "frame"),
    ]
    texts: list[Text] = []
    rows = (
        ((("owner", info.owner), 60.0), (("creator", info.creator), 40.0), (("approver", info.approver), 40.0),
         (("date", info.date), 40.0)),
        ((("document_type", info.word("document_type_name")), 60.0), (("number", info.number), 60.0),
         (("revision", info.revision), 30.0), (("sheet", f"{sheet}/{sheets}"), 30.0)),
    )  # fmt: skip
    heights = (9.5, 9.5)
    y = bottom - sum(heights)
    wires.append(Wire(((left, y), (right, y)), 0.35, "frame"))
    room = TITLE_WIDTH_MM - 6.0
    texts.append(Text(left + 3.0, top + 6.6, fit(clean(info.title), room, 4.2, True), 4.2, True, "accent"))
    texts.append(Text(left + 3.0, top + 12.0, fit(clean(info.vessel), room, 3.2), 3.2))
    for row, height in zip(rows, heights, strict=True):
        x = left
        for (label, value), width in row:
            texts.append(Text(x + 1.5, y + 3.3, fit(info.word(label), width - 3.0, SMALLEST_MM), SMALLEST_MM))
            texts.append(Text(x + 1.5, y + 7.5, fit(clean(value), width - 3.0, 3.0, True), 3.0, True))
            x += width
            if x < right - 0.1:
                wires.append(Wire(((x, y), (x, y + height)), 0.25, "frame"))
        y += height
        if y < bottom - 0.1:
            wires.append(Wire(((left, y), (right, y)), 0.25, "frame"))
    return Item("frame", wires=tuple(wires), texts=tuple(t for t in texts if t.text))


LEGEND = (
    "battery", "fuse", "switch", "contactor", "vsr", "shunt", "dc_dc", "controller", "solar", "alternator", "shore",
    "generator", "wind", "load", "inverter", "motor", "negative", "reference",
)  # fmt: skip
_AS = {"driven_contactor": "contactor", "starter": "motor"}


def legend(info: SheetInfo, kinds: Iterable[str], marks: Iterable[Mark] = ()) -> list[Item]:
    """The symbols and marks that a sheet uses, each with its meaning, and the note, in the strip at the foot."""
    used = {_AS.get(kind, kind) for kind in kinds}
    shown = [kind for kind in LEGEND if kind in used]
    there = set(marks)
    signs: list[Mark | str] = [*shown, *(mark for mark in MARKS if mark in there)]
    left, top = MARGIN_MM, PAGE_HEIGHT_MM - MARGIN_MM - BAND_MM
    room = PAGE_WIDTH_MM - 2 * MARGIN_MM - TITLE_WIDTH_MM
    items: list[Item] = []
    lines = wrap(info.word("note"), room - 6.0, SMALLEST_MM, 2)
    note_y = top + BAND_MM - 2.0 - (len(lines) - 1) * SMALLEST_MM * LINE
    notes = tuple(Text(left + 3.0, note_y + i * SMALLEST_MM * LINE, line, SMALLEST_MM) for i, line in enumerate(lines))
    items.append(Item("note", texts=notes))
    rows = 1 if len(signs) <= 6 else 2 if len(signs) <= 12 else 3
    columns = -(-len(signs) // rows) if signs else 1
    cell, pitch = (room - 4.0) / max(columns, 4), (note_y - SMALLEST_MM - 1.5 - top) / rows
    for i, kind in enumerate(signs):
        x = left + 3.0 + (i % columns) * cell
        y = top + (i // columns + 0.5) * pitch
        word = f"legend_mark_{kind}" if i >= len(shown) else f"legend_{kind}"
        words = wrap(info.word(word), cell - 14.0, SMALLEST_MM, 2)
        first = y + SMALLEST_MM * (0.36 - LINE * (len(words) - 1) / 2)
        texts = tuple(Text(x + 12.5, first + j * SMALLEST_MM * LINE, word, SMALLEST_MM) for j, word in enumerate(words))
        if i >= len(shown):
            mark: Mark = MARKS[MARKS.index(kind)]
            sign = triangle(mark, info.word(f"mark_{mark}"), (x + (9.0 - TRIANGLE_WIDE_MM) / 2, y))
            items.append(replace(sign, kind="legend", texts=(*sign.texts, *texts)))
            continue
        items.append(Item("legend", symbol=sample(kind), at=(x, y), texts=texts))
    return items
