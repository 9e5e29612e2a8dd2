"""A plain picture of an option for its owner: what charges, what stores, what uses, and how they are joined."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from proposal.drawings import emit
from proposal.drawings.icons import icon
from proposal.drawings.lettering import Lettering
from proposal.drawings.picture_marks import KEY_HIGH_MM, picture_marks
from proposal.drawings.primitives import Item, Text, Wire
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import LINE, clean, fit, width_mm, wrap
from proposal.drawings.topology import Bar, Plan, Tie, all_bars, plan
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit, Source
    from proposal.drawings.net import Step
    from proposal.results.model import OptionResult

WIDTH_MM = 160.0
_NOTE_MM = 3.2
"""9 pt is 3.18 mm: nothing is smaller."""
_EDGE_MM, _GAP_MM = 3.0, 3.0
_COLUMN_MM, _WIDEST_MM, _TIE_MM = 26.4, 44.0, 22.0
_CARD_HIGH, _BUS_Y, _STORE_Y = 32.0, 41.0, 55.0
_STARTER_Y, _STARTER_HIGH = 91.0, 14.0


@frozen
class Card:
    """A box of the picture: what it stands for, its words and its big number, and what stands on the line to it."""

    kind: str
    key: str
    title: str
    number: str = ""
    note: str = ""
    joined_by: str = ""
    below: "Card | None" = None


@frozen
class Section:
    """What is joined to one bus: charge sources above, storage and uses below."""

    node: str
    above: tuple[Card, ...]
    below: tuple[Card, ...]


def simple_picture(circuit: "Circuit", option: "OptionResult", sheet: SheetInfo) -> dict[str, bytes]:
    """The picture by its file name, `<prefix>-picture.svg`.

    Parameters: circuit and option as for the single-line drawing; sheet, words and the option's colour. Numbers are
    those of the results. Raises KeyError if `sheet.labels` lacks a word.
    """
    lettering = Lettering(circuit, option, sheet)
    planned = plan(circuit)
    ties = _ties(planned.ties)
    sections = _sections(lettering, option, planned, Counter(end for t, _ in ties for end in (t.left, t.right)))
    count = sum(max(len(s.above), len(s.below), 1) for s in sections)
    spare = WIDTH_MM - 2 * _EDGE_MM - _TIE_MM * (len(sections) - 1)
    column = min(_WIDEST_MM, max(_COLUMN_MM, spare / max(1, count)))
    used = column * count + _TIE_MM * (len(sections) - 1)
    width = max(WIDTH_MM, used + 2 * _EDGE_MM)
    x = (width - used) / 2
    items: list[Item] = []
    spans: dict[str, tuple[float, float]] = {}
    numbers = [c.number for s in sections for c in (*s.above, *s.below) if c.number]
    room = column - _GAP_MM - 2.0
    big = next((s for s in (6.4, 5.4, 4.6) if all(width_mm(n, s, True) <= room for n in numbers)), 3.8)
    for section in sections:
        wide = column * max(len(section.above), len(section.below), 1)
        spans[section.node] = (x, x + wide)
        items += _section(section, x, wide, column, big)
        x += wide + _TIE_MM
    for tie, kinds in ties:
        if tie.left not in spans or tie.right not in spans:
            continue
        items.append(_between(spans[tie.left][1], spans[tie.right][0], kinds, sheet))
    prefix = f"{emit.safe_id(sheet.prefix)}-picture"
    starts = any(card.below is not None for section in sections for card in section.below)
    height = (_STARTER_Y + _STARTER_HIGH if starts else _STORE_Y + _CARD_HIGH) + _EDGE_MM
    signs = picture_marks(circuit, items, sheet, height)
    if signs:
        items += signs
        height += KEY_HIGH_MM
    drawing = emit.svg(
        items,
        prefix=prefix,
        size_mm=(width, height),
        title=clean(sheet.title),
        description=sheet.word("picture_description", title=option.title),
        accent=sheet.accent,
        language=sheet.language,
    )
    return {f"{prefix}.svg": drawing}


def _roots(planned: Plan) -> dict[str, Bar]:
    """Root bar by the key of every bus below it."""
    return {bar.key: root for root in planned.roots for bar in all_bars([root]) if bar.key}


def _sections(lettering: Lettering, option: "OptionResult", planned: Plan, joined: Mapping[str, int]) -> list[Section]:
    """One for each bus; a bus with nothing on it only where it passes on from one neighbour to the other."""
    circuit = lettering.circuit
    roots = _roots(planned)
    house = next((bar for bar in planned.roots if bar.side == "house"), planned.roots[0])
    made = []
    for root in planned.roots:
        sources = [s for s in circuit.sources if roots.get(s.bus) is root]
        stores = [_store(lettering, option, bank.key) for bank in circuit.banks if roots.get(bank.bus) is root]
        uses = [e for e in circuit.loads if roots.get(e.bus) is root]
        below = list(stores)
        if root is house:
            below.append(Card("loads", "", lettering.info.word("picture_loads"), *_use(lettering, option)))
        elif uses:
            below.append(Card("loads", uses[0].key, _together(lettering, [e.title for e in uses])))
        below += [_elsewhere(lettering, mark) for mark in _marks(planned, root)]
        above = tuple(_source(lettering, option, kind, sources) for kind in dict.fromkeys(s.kind for s in sources))
        if above or below or joined.get(root.node, 0) > 1:
            made.append(Section(root.node, above, tuple(below)))
    return made


def _together(lettering: Lettering, titles: list[str]) -> str:
    first = clean(titles[0])
    if len(titles) == 1:
        return first
    return lettering.info.word("picture_more", first=first, count=str(len(titles) - 1))


def _use(lettering: Lettering, option: "OptionResult") -> tuple[str, str]:
    season = next((s for s in option.energy.seasons if s.season == option.energy.worst_season), None)
    return ("", "") if season is None else (_kwh(lettering, season.use_wh), lettering.info.word("picture_a_day"))


def _kwh(lettering: Lettering, energy_wh: float) -> str:
    value = lettering.number(energy_wh / 1000.0, 1 if energy_wh >= 1000.0 else 2, fixed=True)
    return lettering.info.word("picture_energy", value=value)


def _source(lettering: Lettering, option: "OptionResult", kind: str, sources: "list[Source]") -> Card:
    """All sources of one kind on one bus; a number only where there is one of them."""
    words = {"solar": "sun", "alternator": "engine"}
    alike = [s for s in sources if s.kind == kind]
    number, note = "", ""
    if len(alike) == 1:
        season = next((s for s in option.energy.seasons if s.season == option.energy.worst_season), None)
        daily = next((e.wh_per_day for e in season.sources if e.key == alike[0].key), 0.0) if season else 0.0
        number = _kwh(lettering, daily) if daily > 0 else lettering.amps(alike[0].lasting_a)
        note = lettering.info.word("picture_a_day") if daily > 0 else ""
    return Card(kind, alike[0].key, lettering.info.word(f"picture_{words.get(kind, kind)}"), number, note)


def _store(lettering: Lettering, option: "OptionResult", key: str) -> Card:
    bank = next(b for b in lettering.circuit.banks if b.key == key)
    result = next((b for b in option.banks if b.key == key), None)
    number = "" if result is None else _kwh(lettering, result.energy_wh)
    starter = lettering.circuit.starter
    starts = None
    if starter is not None and starter.bus == key:
        starts = Card("starter", starter.key, lettering.info.word("picture_starter"))
    joined_by = lettering.info.word("picture_contactor") if bank.through else ""
    return Card("battery", key, clean(bank.title), number, "", joined_by, starts)


def _marks(planned: Plan, root: Bar) -> list[tuple[str, str]]:
    """Walks from this root that end at a bus which is not its neighbour: what stands in them, and the far node."""
    return [(_kind(c.steps), c.end.key) for c in root.down if c.end.kind == "to" and c.end.key in _nodes(planned)]


def _nodes(planned: Plan) -> set[str]:
    return {bar.node for bar in planned.roots}


def _elsewhere(lettering: Lettering, mark: tuple[str, str]) -> Card:
    link = lettering.info.word(f"picture_{mark[0]}")
    return Card("link", "", lettering.info.word("picture_to", link=link, bus=lettering.bar_at(mark[1])))


def _kind(steps: "Iterable[Step]") -> str:
    kinds = [s.kind for s in steps]
    return next((k for k in ("vsr", "dc_dc", "contactor", "switch") if k in kinds), "conductor")


def _ties(ties: Iterable[Tie]) -> list[tuple[Tie, str]]:
    """The first tie between two buses and what it is."""
    first: dict[tuple[str, str], Tie] = {}
    for tie in ties:
        first.setdefault((tie.left, tie.right), tie)
    return [(tie, _kind(tie.steps)) for tie in first.values()]


def _section(section: Section, x: float, wide: float, column: float, big: float) -> list[Item]:
    bar = Wire(((x + 2.0, _BUS_Y), (x + wide - 2.0, _BUS_Y)), 1.6, "accent")
    items = [Item("bus", wires=(bar,))]
    for cards, top in ((section.above, _EDGE_MM), (section.below, _STORE_Y)):
        start = x + (wide - column * len(cards)) / 2
        for i, card in enumerate(cards):
            left = start + i * column + _GAP_MM / 2
            middle = left + (column - _GAP_MM) / 2
            items += _lead(card, middle, top, column)
            items.append(_card(card, left, top, column - _GAP_MM, big))
            if card.below is not None:
                link = Wire(((middle, _STORE_Y + _CARD_HIGH), (middle, _STARTER_Y)), 0.8, "accent")
                items.append(Item("link", wires=(link,)))
                items.append(_card(card.below, left, _STARTER_Y, column - _GAP_MM, big, _STARTER_HIGH))
    return items


def _lead(card: Card, x: float, top: float, column: float) -> list[Item]:
    """The line between a card and its bus, and what joins them."""
    above = top < _BUS_Y
    ends = ((x, top + _CARD_HIGH), (x, _BUS_Y - 0.8)) if above else ((x, _BUS_Y + 0.8), (x, top))
    if not card.joined_by:
        return [Item("link", wires=(Wire(ends, 0.8, "accent"),))]
    lines = wrap(card.joined_by, column - _GAP_MM - 2.0, _NOTE_MM, 2)
    tall = len(lines) * _NOTE_MM * LINE + 1.6
    y = (_BUS_Y + 0.8 + top) / 2 - tall / 2
    leads = (Wire((ends[0], (x, y)), 0.8, "accent"), Wire(((x, y + tall), ends[1]), 0.8, "accent"))
    pill = _pill(lines, x, y, max(width_mm(line, _NOTE_MM) for line in lines) + 3.0, tall)
    return [Item("link", wires=(*leads, *pill.wires), texts=pill.texts)]


def _pill(lines: tuple[str, ...], x: float, y: float, wide: float, tall: float) -> Item:
    """Words in a frame, centred on x."""
    left = x - wide / 2
    outline = ((left, y), (left + wide, y), (left + wide, y + tall), (left, y + tall), (left, y))
    first = y + 0.8 + _NOTE_MM * (LINE / 2 + 0.36)
    texts = tuple(
        Text(x - width_mm(line, _NOTE_MM) / 2, first + i * _NOTE_MM * LINE, line, _NOTE_MM)
        for i, line in enumerate(lines)
    )
    return Item("link", wires=(Wire(outline, 0.5, "accent"),), texts=texts)


def _between(x0: float, x1: float, kind: str, sheet: SheetInfo) -> Item:
    """The joint of two buses, in words on the line between them."""
    wide = x1 - x0 - 1.0
    lines = wrap(sheet.word(f"picture_{kind}"), wide - 2.0, _NOTE_MM, 4)
    tall = len(lines) * _NOTE_MM * LINE + 1.6
    pill = _pill(lines, (x0 + x1) / 2, _BUS_Y - tall / 2, wide, tall)
    left, right = Wire(((x0 - 2.0, _BUS_Y), (x0 + 0.5, _BUS_Y)), 0.8, "accent"), x1 - 0.5
    return Item(
        "tie", wires=(*pill.wires, left, Wire(((right, _BUS_Y), (x1 + 2.0, _BUS_Y)), 0.8, "accent")), texts=pill.texts
    )


def _card(card: Card, left: float, top: float, wide: float, big: float, high: float = _CARD_HIGH) -> Item:
    """A box: picture, words, big number and what it counts, one below the other; side by side where it is low."""
    size = 3.6 if wide < 27.0 else 4.2
    corners = ((left, top), (left + wide, top), (left + wide, top + high), (left, top + high), (left, top))
    low = high < _CARD_HIGH
    pictured = card.kind != "link"
    at = (left + 5.6, top + high / 2) if low else (left + wide / 2, top + 5.4)
    room = wide - (11.5 if low else 3.0)
    lines = wrap(card.title, room, size, 3 if low else 2)
    if low and len(lines) * size * LINE > high - 1.0:
        size = _NOTE_MM
        lines = wrap(card.title, room, size, 3)
    middle = left + (10.5 + room / 2 if low else wide / 2)
    centre = top + (15.8 if pictured and not low else high / 2)
    texts = _centred(lines, middle, centre, size)
    if card.number:
        below = top + high - 5.6
        number = fit(card.number, wide - 2.0, big, True)
        texts.append(Text(left + (wide - width_mm(number, big, True)) / 2, below, number, big, True))
        note = fit(card.note, wide - 2.0, _NOTE_MM)
        if note:
            texts.append(Text(left + (wide - width_mm(note, _NOTE_MM)) / 2, top + high - 1.5, note, _NOTE_MM))
    return Item(
        card.kind if pictured else "reference",
        card.key,
        title=" · ".join(t for t in (card.title, " ".join((card.number, card.note)).strip()) if t),
        symbol=icon(card.kind) if pictured else None,
        at=at,
        ink="accent",
        wires=(Wire(corners, 0.5, "frame", tinted=True),),
        texts=tuple(texts),
    )


def _centred(lines: tuple[str, ...], x: float, y: float, size: float) -> list[Text]:
    first = y - (len(lines) - 1) * size * LINE / 2 + 0.36 * size
    return [Text(x - width_mm(t, size) / 2, first + i * size * LINE, t, size) for i, t in enumerate(lines)]
