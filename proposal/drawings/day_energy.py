"""The energy of a day as a flow: what charges on the left, what uses and what is lost on the right, banks in between.

Every width is in proportion to its watt-hours. A bank hangs below the middle as a loop: what it gives leaves it to the
left and comes in on top of the sources, what it takes leaves to the right. Loops lie one within the other.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.curves import number_text
from proposal.drawings.primitives import Ink, Item, Point, Text, Wire
from proposal.drawings.ribbons import bend, corners, rectangle
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import SMALLEST_MM, clean, fit, width_mm
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.studies.behaviour.result import Day, EnergyFlow

WIDTH_MM = 172.0
"""What a page of A4 has between its margins."""
MOST_LOADS = 8
"""Loads with a line of their own; the smaller ones share one."""
_LABEL_MM, _SIZE_MM, _PITCH_MM = 38.0, 2.6, 6.4
_NODE_MM = 2.0
_LEFT_MM, _RIGHT_MM = _LABEL_MM + 3.0, WIDTH_MM - _LABEL_MM - 3.0
_MIDDLE_MM, _HUB_MM = WIDTH_MM / 2, 3.0
_TOP_MM, _FOOT_MM, _GAP_MM = 9.0, 2.0, 1.4
_BOX_MM, _BOX_HIGH_MM = 32.0, 12.0
_BESIDE_MM, _BENT_MM = 3.0, 11.0
"""Beside a box before the first loop, and between the last one and what stands outside."""
_BEND_MM = 2.5
_HIGHEST_HUB_MM, _HIGHEST_MM = 78.0, 130.0
_LEAST_WH = 0.5
_HEAD_MM = 2.2


@frozen
class Flow:
    """One line of the drawing."""

    key: str
    name: str
    energy_wh: float
    lost: bool = False


@frozen
class Loop:
    """A bank with what it gave and took."""

    key: str
    name: str
    out_wh: float
    in_wh: float


@frozen
class _Loops:
    """Where the loops of the banks stand: of each its box's top and height, and how far both its sides reach out."""

    boxes: tuple[tuple[float, float], ...]
    left: tuple[float, ...]
    right: tuple[float, ...]
    bottom: float


def day_energy(day: "Day", sheet: SheetInfo, names: Mapping[str, str], season: str) -> dict[str, bytes]:
    """The flow of a day by its file name, `<prefix>-energy-<season>.svg`; nothing where nothing flows.

    Parameters: day, from whose energy every width comes; sheet, words and the option's colour; names, how each item is
    called; season, its title. Raises KeyError if `sheet.labels` lacks a word.
    """
    sources, loads, loops = _flows(day.energy, sheet, names)
    given = sum(f.energy_wh for f in sources) + sum(b.out_wh for b in loops)
    taken = sum(f.energy_wh for f in loads) + sum(b.in_wh for b in loops)
    whole = max(given, taken)
    if whole < _LEAST_WH:
        return {}
    per_wh = _scale(whole, loops)
    high = per_wh * whole
    laid = _loops(loops, per_wh, _TOP_MM + high)
    items = [_hub(whole, high, sheet)]
    items += _side(sources, per_wh, min(laid.left, default=_MIDDLE_MM - 10.0), sheet, left=True)
    items += _side(loads, per_wh, max(laid.right, default=_MIDDLE_MM + 10.0), sheet, left=False)
    items += _banks(loops, laid, (sources, loads), per_wh, sheet)
    stacks = [_TOP_MM + _stack(flows, per_wh) for flows in (sources, loads)]
    height = max(laid.bottom, *stacks, _TOP_MM + high) + _FOOT_MM
    name = f"{emit.safe_id(sheet.prefix)}-energy-{emit.safe_id(day.season)}"
    data = emit.svg(
        items,
        prefix=name,
        size_mm=(WIDTH_MM, height),
        title=clean(sheet.title),
        description=_description(day.energy, sheet, season),
        accent=sheet.accent,
        language=sheet.language,
    )
    return {f"{name}.svg": data}


def _flows(
    energy: "Sequence[EnergyFlow]", sheet: SheetInfo, names: Mapping[str, str]
) -> tuple[list[Flow], list[Flow], list[Loop]]:
    """What comes in, what goes out with the largest loads first and losses last, and the banks."""

    def of(role: str) -> list[Flow]:
        return [
            Flow(f"{f.item}.{f.role}", _called(f.item, role, sheet, names), f.energy_wh, role == "loss")
            for f in energy
            if f.role == role and f.energy_wh >= _LEAST_WH
        ]

    loads = sorted(of("load"), key=lambda f: -f.energy_wh)
    rest = loads[MOST_LOADS - 1 :] if len(loads) > MOST_LOADS else []
    shown = loads[: len(loads) - len(rest)]
    if rest:
        words = sheet.word("energy_rest", count=str(len(rest)))
        shown.append(Flow("rest.load", words, sum(f.energy_wh for f in rest)))
    flows = {(f.item, f.role): f.energy_wh for f in energy if f.energy_wh >= _LEAST_WH}
    banks = dict.fromkeys(f.item for f in energy if f.role in ("bank_in", "bank_out"))
    loops = [
        Loop(b, clean(names.get(b, "")), flows.get((b, "bank_out"), 0.0), flows.get((b, "bank_in"), 0.0)) for b in banks
    ]
    loops = [b for b in loops if b.out_wh or b.in_wh]
    return of("source"), [*shown, *of("loss")], loops


def _called(item: str, role: str, sheet: SheetInfo, names: Mapping[str, str]) -> str:
    if role == "loss" and item in ("cables", "banks", "devices"):
        return sheet.word(f"energy_{item}")
    own = clean(names.get(item, ""))
    return sheet.word("energy_lost_in", item=own) if role == "loss" and own else own or sheet.word("energy_lost")


def _scale(whole: float, loops: Sequence[Loop]) -> float:
    """Millimetres a watt-hour: as large as height and the room beside the middle let it be."""
    sides = max(sum(b.out_wh for b in loops), sum(b.in_wh for b in loops))
    beside = _MIDDLE_MM - _LEFT_MM - _BOX_MM / 2 - _BESIDE_MM - _BENT_MM - _GAP_MM * len(loops)
    per_wh = min(_HIGHEST_HUB_MM / whole, max(6.0, beside) / sides if sides > 0.0 else float("inf"))
    while _loops(loops, per_wh, _TOP_MM + per_wh * whole).bottom > _HIGHEST_MM and per_wh * whole > 10.0:
        per_wh *= 0.95
    return per_wh


def _loops(loops: Sequence[Loop], per_wh: float, y: float) -> _Loops:
    """The first bank nearest to the middle, the others each outside and below the one before."""
    boxes, left, right = [], [], []
    y += 7.0
    a, b = _MIDDLE_MM - _BOX_MM / 2 - _BESIDE_MM, _MIDDLE_MM + _BOX_MM / 2 + _BESIDE_MM
    for loop in loops:
        high = max(_BOX_HIGH_MM, per_wh * loop.out_wh + 1.0, per_wh * loop.in_wh + 1.0)
        boxes.append((y, high))
        y += high + 3.0
        a -= per_wh * loop.out_wh + _GAP_MM
        b += per_wh * loop.in_wh + _GAP_MM
        left.append(a)
        right.append(b)
    return _Loops(tuple(boxes), tuple(left), tuple(right), y - 3.0 if loops else 0.0)


def _hub(whole: float, high: float, sheet: SheetInfo) -> Item:
    """The bar in the middle through which everything goes, with how much that is."""
    box = rectangle(_MIDDLE_MM - _HUB_MM / 2, _TOP_MM, _MIDDLE_MM + _HUB_MM / 2, _TOP_MM + high)
    words = sheet.word("energy_hub", value=_wh(whole, sheet))
    at = _MIDDLE_MM - width_mm(words, _SIZE_MM, True) / 2
    text = Text(at, _TOP_MM - 2.0, words, _SIZE_MM, True)
    return Item("hub", "hub", title=words, wires=(Wire(box, 0.3, "symbol", fill="accent"),), texts=(text,))


def _stack(flows: Sequence[Flow], per_wh: float) -> float:
    return sum(max(_PITCH_MM, per_wh * f.energy_wh + 1.0) for f in flows)


def _side(flows: Sequence[Flow], per_wh: float, merge: float, sheet: SheetInfo, *, left: bool) -> Iterator[Item]:
    """Lines between one side and the middle: in a bend up to where the loops begin, level from there."""
    slot = y = _TOP_MM
    for flow in flows:
        wide = per_wh * flow.energy_wh
        tall = max(_PITCH_MM, wide + 1.0)
        middle = y + tall / 2
        outer, inner = (middle - wide / 2, slot) if left else (slot, middle - wide / 2)
        hub = _MIDDLE_MM - _HUB_MM / 2 if left else _MIDDLE_MM + _HUB_MM / 2
        if left:
            band = bend(_LEFT_MM, merge - _GAP_MM, outer, inner, wide, (_LEFT_MM, hub))
        else:
            band = bend(merge + _GAP_MM, _RIGHT_MM, outer, inner, wide, (hub, _RIGHT_MM))
        yield _line(flow, band, middle, wide, sheet, left=left)
        slot += wide
        y += tall


def _line(flow: Flow, band: tuple[Point, ...], middle: float, wide: float, sheet: SheetInfo, *, left: bool) -> Item:
    """One line with its name and energy at its outer end; a dashed edge where it is lost."""
    energy = _wh(flow.energy_wh, sheet)
    name = fit(flow.name, _LABEL_MM - 1.5, _SIZE_MM)
    wires = [Wire(band, 0.2, "faint" if flow.lost else "curve", fill="grid" if flow.lost else "band", dashed=flow.lost)]
    x0, x1 = (_LEFT_MM - _NODE_MM, _LEFT_MM) if left else (_RIGHT_MM, _RIGHT_MM + _NODE_MM)
    texts = tuple(
        Text(x0 - 1.2 - width_mm(words, _SIZE_MM, bold) if left else x1 + 1.2, base, words, _SIZE_MM, bold)
        for words, bold, base in ((energy, True, middle - 0.5), (name, False, middle + 2.7))
    )
    box = rectangle(x0, middle - wide / 2, x1, middle + wide / 2)
    wires.append(Wire(box, 0.2, "symbol", fill="faint" if flow.lost else "symbol"))
    title = f"{flow.name} {energy}"
    data = (("wh", f"{flow.energy_wh:.6g}"),)
    return Item("flow", flow.key, title=title, wires=tuple(wires), texts=tuple(t for t in texts if t.text), data=data)


def _banks(
    loops: Sequence[Loop], laid: _Loops, sides: tuple[Sequence[Flow], Sequence[Flow]], per_wh: float, sheet: SheetInfo
) -> Iterator[Item]:
    """Each bank's box and both sides of its loop; the outermost loop meets the middle highest."""
    slots = [_TOP_MM + per_wh * sum(f.energy_wh for f in side) for side in sides]
    made: list[Item] = []
    for n in range(len(loops) - 1, -1, -1):
        loop, (top, high) = loops[n], laid.boxes[n]
        middle = top + high / 2
        for k, (role, energy, turn) in enumerate(
            (("bank_out", loop.out_wh, laid.left[n]), ("bank_in", loop.in_wh, laid.right[n]))
        ):
            wide = per_wh * energy
            if energy < _LEAST_WH:
                continue
            made.append(_half(loop, role, energy, (slots[k], middle - wide / 2), wide, turn, sheet))
            slots[k] += wide
        made.append(_box(loop, top, high, sheet))
    yield from reversed(made)


def _half(
    loop: Loop, role: str, energy: float, tops: tuple[float, float], wide: float, turn: float, sheet: SheetInfo
) -> Item:
    """Half of a loop, between the middle and a bank's box, with a head that says which way."""
    way = -1.0 if role == "bank_out" else 1.0
    hub, box = _MIDDLE_MM + way * _HUB_MM / 2, _MIDDLE_MM + way * _BOX_MM / 2
    outer = corners(((hub, tops[0]), (turn, tops[0]), (turn, tops[1] + wide), (box, tops[1] + wide)), wide + _BEND_MM)
    near = turn - way * wide
    inner = corners(((hub, tops[0] + wide), (near, tops[0] + wide), (near, tops[1]), (box, tops[1])), _BEND_MM)
    band = (*outer, *reversed(inner), outer[0])
    y = tops[1] + wide / 2
    tip = box - (_HEAD_MM + 0.6) if way < 0.0 else box + 0.2
    head = ((tip, y), (tip + _HEAD_MM, y - 1.3), (tip + _HEAD_MM, y + 1.3), (tip, y))
    wires = (Wire(band, 0.2, "curve", fill="band"), Wire(head, 0.1, "symbol", fill="symbol"))
    words = sheet.word("energy_out" if role == "bank_out" else "energy_in", bank=loop.name)
    data = (("wh", f"{energy:.6g}"),)
    return Item("flow", f"{loop.key}.{role}", title=f"{words} {_wh(energy, sheet)}", wires=wires, data=data)


def _box(loop: Loop, top: float, high: float, sheet: SheetInfo) -> Item:
    """A bank's box: its name, and what it gave and took."""
    left, right = _MIDDLE_MM - _BOX_MM / 2, _MIDDLE_MM + _BOX_MM / 2
    base = top + high / 2
    name = fit(loop.name, _BOX_MM - 2.0, _SIZE_MM, True)
    gave = sheet.word("energy_gave", value=_wh(loop.out_wh, sheet))
    took = sheet.word("energy_took", value=_wh(loop.in_wh, sheet))
    texts = (
        Text(_MIDDLE_MM - width_mm(name, _SIZE_MM, True) / 2, base - 2.3, name, _SIZE_MM, True),
        Text(_MIDDLE_MM - width_mm(gave, SMALLEST_MM) / 2, base + 1.1, gave, SMALLEST_MM),
        Text(_MIDDLE_MM - width_mm(took, SMALLEST_MM) / 2, base + 4.4, took, SMALLEST_MM),
    )  # fmt: skip
    ink: Ink = "symbol"
    box = Wire(rectangle(left, top, right, top + high), 0.35, ink, fill="paper")
    title = f"{loop.name}: {texts[1].text}, {texts[2].text}"
    return Item("bank", loop.key, title=title, wires=(box,), texts=tuple(t for t in texts if t.text))


def _wh(energy_wh: float, sheet: SheetInfo) -> str:
    return sheet.word("watt_hour", value=number_text(energy_wh, 0, sheet))


def _description(energy: "Sequence[EnergyFlow]", sheet: SheetInfo, season: str) -> str:
    sums = {role: sum(f.energy_wh for f in energy if f.role == role) for role in ("source", "load", "loss")}
    given, used, lost = (_wh(sums[role], sheet) for role in ("source", "load", "loss"))
    return sheet.word("energy_description", season=season, given=given, used=used, lost=lost)
