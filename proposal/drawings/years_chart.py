"""How the seeded years turn out: a strip for each quantity from its quantiles, with the middle and the worst tenth."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.axes import Scale
from proposal.drawings.curves import digits_of, number_text
from proposal.drawings.primitives import Ink, Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import LINE, SMALLEST_MM, clean, fit, width_mm, wrap

if TYPE_CHECKING:
    from proposal.studies.behaviour.result import Spread, Years

WIDTH_MM = 172.0
"""What a page of A4 has between its margins."""
_LEFT_MM, _PLOT_MM, _END_MM, _SAID_MM = 1.0, 44.0, 124.0, 131.0
_TOP_MM, _HEAD_MM, _ROW_MM, _AXIS_MM, _GAP_MM, _FOOT_MM = 1.0, 4.6, 6.3, 4.2, 0.8, 11.5
_SIZE_MM = 2.6
_MARK_MM = 1.3
UNITS = {
    "engine_h": "years_hours",
    "generator_h": "years_hours",
    "nights_low": "years_nights",
    "dark_h": "years_hours",
    "critical_dark_h": "years_hours",
    "full_charges_per_month": "years_count",
    "equivalent_cycles": "years_count",
    "deepest_share": "percent",
    "life_years": "years_years",
}
"""By quantity, in the order in which they are drawn, the label key of a value."""
LESS_IS_WORSE = frozenset({"full_charges_per_month", "life_years"})
_TENTH = 2
"""The place of the tenth among 21 quantiles."""


def years_chart(years: "Years", sheet: SheetInfo, names: Mapping[str, str]) -> dict[str, bytes]:
    """The chart by its file name, `<prefix>-years.svg`; nothing where no quantity was followed.

    Parameters: years, whose quantiles are drawn; sheet, words and the option's colour; names, how each bank is called.
    Raises KeyError if `sheet.labels` lacks a word.
    """
    if not any(s.quantiles for s in years.spreads):
        return {}
    items: list[Item] = []
    said: list[str] = []
    y = _TOP_MM
    for quantity in UNITS:
        spreads = [s for s in years.spreads if s.quantity == quantity and s.quantiles]
        if spreads:
            made, y = _group(spreads, y, sheet, names)
            items += made
            said += [_found(s, sheet, names) for s in spreads]
    items += _legend(y + 3.0, sheet)
    name = f"{emit.safe_id(sheet.prefix)}-years"
    words = sheet.word("years_description", count=str(years.count), findings="; ".join(said))
    data = emit.svg(
        items,
        prefix=name,
        size_mm=(WIDTH_MM, y + _FOOT_MM),
        title=clean(sheet.title),
        description=words,
        accent=sheet.accent,
        language=sheet.language,
    )
    return {f"{name}.svg": data}


def middle(spread: "Spread") -> float:
    """The median."""
    return spread.quantiles[len(spread.quantiles) // 2]


def worst(spread: "Spread") -> float:
    """What one year in ten reaches or exceeds on the bad side."""
    return spread.quantiles[_TENTH if spread.quantity in LESS_IS_WORSE else -1 - _TENTH]


def value_text(value: float, quantity: str, sheet: SheetInfo) -> str:
    """A value with its unit: shares in percent, from ten on without decimals."""
    shown = 100.0 * value if quantity == "deepest_share" else value
    digits = 0 if abs(shown) >= 9.95 or abs(shown) < 0.05 or quantity == "deepest_share" else 1
    return sheet.word(UNITS[quantity], value=number_text(shown, digits, sheet))


def _group(
    spreads: "Sequence[Spread]", y: float, sheet: SheetInfo, names: Mapping[str, str]
) -> tuple[list[Item], float]:
    """A quantity: its title, a strip for each item, and one axis for them all.

    A quantity of the whole option has its title before its one strip.
    """
    quantity = spreads[0].quantity
    alone = len(spreads) == 1 and not spreads[0].item
    title = sheet.word(f"years_{quantity}")
    if alone:
        lines = wrap(title, _PLOT_MM - _LEFT_MM - 6.0, _SIZE_MM, 2, True)
        first = y + _ROW_MM / 2 + 0.36 * _SIZE_MM - (len(lines) - 1) * _SIZE_MM * LINE / 2
        texts = [Text(_LEFT_MM, first + n * _SIZE_MM * LINE, line, _SIZE_MM, True) for n, line in enumerate(lines)]
    else:
        texts = [Text(_LEFT_MM, y + 3.4, fit(title, _END_MM - _LEFT_MM, _SIZE_MM, True), _SIZE_MM, True)]
        y += _HEAD_MM
    items = [Item("heading", texts=tuple(texts))]
    factor = 100.0 if quantity == "deepest_share" else 1.0
    most = factor * max(s.quantiles[-1] for s in spreads)
    least = factor * min(s.quantiles[0] for s in spreads)
    if most <= 0.0 and least >= 0.0:
        items += [_never(s, y + n * _ROW_MM, sheet, names) for n, s in enumerate(spreads)]
        return items, y + _ROW_MM * len(spreads) + _GAP_MM
    scale = Scale.around(min(0.0, least), most, (_PLOT_MM, _END_MM), 6)
    bottom = y + _ROW_MM * len(spreads)
    items.append(_axis(scale, y, bottom, sheet, UNITS[quantity]))
    items += [_strip(s, scale, factor, y + n * _ROW_MM, sheet, names) for n, s in enumerate(spreads)]
    return items, bottom + _AXIS_MM + _GAP_MM


def _axis(scale: Scale, top: float, bottom: float, sheet: SheetInfo, unit: str) -> Item:
    digits = digits_of(scale.step)
    wires, texts, taken = [], [], 0.0
    for tick in scale.ticks():
        x = scale.at(tick)
        wires.append(Wire(((x, top), (x, bottom)), 0.18, "grid"))
        words = sheet.word(unit, value=number_text(tick, digits, sheet))
        wide = width_mm(words, SMALLEST_MM)
        if x - wide / 2 > taken:
            texts.append(Text(x - wide / 2, bottom + 3.2, words, SMALLEST_MM))
            taken = x + wide / 2 + 1.5
    wires.append(Wire(((scale.start_mm, bottom), (scale.end_mm, bottom)), 0.25, "frame"))
    return Item("axis", wires=tuple(wires), texts=tuple(texts))


def _called(spread: "Spread", names: Mapping[str, str]) -> str:
    return clean(names.get(spread.item, "")) if spread.item else ""


def _name(spread: "Spread", base: float, names: Mapping[str, str]) -> tuple[Text, ...]:
    name = fit(_called(spread, names), _PLOT_MM - _LEFT_MM - 6.0, _SIZE_MM)
    return (Text(_LEFT_MM + 2.0, base, name, _SIZE_MM),) if name else ()


def _never(spread: "Spread", y: float, sheet: SheetInfo, names: Mapping[str, str]) -> Item:
    base = y + _ROW_MM / 2 + 0.36 * _SIZE_MM
    texts = (*_name(spread, base, names), Text(_PLOT_MM, base, sheet.word("years_never"), _SIZE_MM))
    return Item("spread", _key(spread), title=_called(spread, names), texts=texts)


def _key(spread: "Spread") -> str:
    return f"{spread.quantity}.{spread.item}" if spread.item else spread.quantity


def _strip(spread: "Spread", scale: Scale, factor: float, y: float, sheet: SheetInfo, names: Mapping[str, str]) -> Item:
    """All years as a line, nine tenths as a pale box, half of them as a dark one, the middle and the worst tenth."""
    at = [scale.at(factor * q) for q in spread.quantiles]
    last = len(at) - 1
    centre = y + _ROW_MM / 2
    x0, x1 = at[round(0.05 * last)], at[round(0.95 * last)]
    h0, h1 = at[round(0.25 * last)], at[round(0.75 * last)]
    wires = [*_marks(at[0], at[-1], (x0, x1), (h0, h1), scale.at(factor * middle(spread)), centre)]
    wires.append(_diamond(scale.at(factor * worst(spread)), centre))
    said = _said(spread, sheet)
    room = WIDTH_MM - 0.5 - _SAID_MM
    beside = [
        Text(_SAID_MM, centre + (n - 0.14) * _SIZE_MM * LINE, fit(line, room, _SIZE_MM), _SIZE_MM)
        for n, line in enumerate(said)
    ]
    texts = (*_name(spread, centre + 0.36 * _SIZE_MM, names), *beside)
    data = (("median", f"{middle(spread):.6g}"), ("worst", f"{worst(spread):.6g}"))
    title = " · ".join(t for t in (_called(spread, names), *said) if t)
    return Item("spread", _key(spread), title=title, wires=tuple(wires), texts=texts, data=data)


def _marks(
    a: float, b: float, most: tuple[float, float], half: tuple[float, float], middle_x: float, y: float
) -> list[Wire]:
    return [
        Wire(((a, y), (b, y)), 0.3, "symbol"),
        _box(*most, y, 1.3, "band"),
        _box(*half, y, 1.9, "deep"),
        Wire(((middle_x, y - 2.6), (middle_x, y + 2.6)), 0.9, "symbol"),
    ]


def _box(x0: float, x1: float, y: float, half: float, fill: Ink) -> Wire:
    points = ((x0, y - half), (x1, y - half), (x1, y + half), (x0, y + half), (x0, y - half))
    return Wire(points, 0.2, "symbol", fill=fill)


def _diamond(x: float, y: float) -> Wire:
    r = _MARK_MM
    return Wire(((x, y - r), (x + r, y), (x, y + r), (x - r, y), (x, y - r)), 0.35, "symbol", fill="paper")


def _said(spread: "Spread", sheet: SheetInfo) -> tuple[str, str]:
    """The middle and the worst tenth in words."""
    quantity = spread.quantity
    median = sheet.word("years_median", value=value_text(middle(spread), quantity, sheet))
    return median, sheet.word("years_worst", value=value_text(worst(spread), quantity, sheet))


def _found(spread: "Spread", sheet: SheetInfo, names: Mapping[str, str]) -> str:
    head = " · ".join(t for t in (sheet.word(f"years_{spread.quantity}"), _called(spread, names)) if t)
    return (
        f"{head}: {', '.join(_said(spread, sheet))}"
        if any(spread.quantiles)
        else f"{head}: {sheet.word('years_never')}"
    )


def _legend(y: float, sheet: SheetInfo) -> list[Item]:
    """What line, boxes, tick and diamond mean."""
    samples = (
        ("years_strip_is", [Wire(((0.0, y), (8.0, y)), 0.3, "symbol")]),
        ("years_most_is", [_box(0.0, 8.0, y, 1.3, "band")]),
        ("years_half_is", [_box(0.0, 8.0, y, 1.9, "deep")]),
        ("years_median_is", [Wire(((4.0, y - 2.6), (4.0, y + 2.6)), 0.9, "symbol")]),
        ("years_worst_is", [_diamond(4.0, y)]),
    )
    items: list[Item] = []
    x, down = _LEFT_MM, 0.0
    for key, wires in samples:
        words = sheet.word(key)
        if x > _LEFT_MM and x + 10.0 + width_mm(words, SMALLEST_MM) > WIDTH_MM:
            x, y, down = _LEFT_MM, y + 5.5, 5.5
        moved = []
        for w in wires:
            points = tuple((x + a, b + down) for a, b in w.points)
            moved.append(Wire(points, w.width_mm, w.ink, fill=w.fill))
        text = Text(x + 9.5, y + 0.36 * SMALLEST_MM, words, SMALLEST_MM)
        items.append(Item("legend", wires=tuple(moved), texts=(text,)))
        x += 15.0 + width_mm(words, SMALLEST_MM)
    return items
