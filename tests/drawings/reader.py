"""Reads a single-line sheet back from its SVG and says what is wrong with it. Knows the circuit, not the layout code.

It measures text with the font's own tables where the font is installed, so that the drawings' table is checked too.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

from proposal.circuit.model import Circuit
from proposal.drawings.text import width_mm
from proposal.results.model import OptionResult

SVG = "{http://www.w3.org/2000/svg}"
MM_PER_PT = 25.4 / 72
PIN_MM = 0.05 * MM_PER_PT
FONT_FILES = ("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf")
Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass
class Stroke:
    """One straight piece of a line with its half width."""

    a: Point
    b: Point
    half: float
    dashed: bool


@dataclass
class Words:
    """A line of text with its box."""

    text: str
    box: Box
    size: float
    letter: bool = False


@dataclass
class Group:
    """One item of the sheet."""

    kind: str
    key: str
    id: str
    designation: str
    pins: list[tuple[str, Point]]
    strokes: list[Stroke] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)

    @property
    def label(self) -> str:
        return "\n".join(w.text for w in self.words if not w.letter)


@dataclass
class Sheet:
    """A page as read."""

    name: str
    width: float
    height: float
    groups: list[Group]
    ids: list[str]
    title: str
    description: str


@lru_cache(maxsize=2)
def _font(bold: bool) -> tuple[dict[int, str], object, int] | None:
    path = Path(FONT_FILES[bold])
    if not path.exists():
        return None
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font = TTFont(str(path))
    return font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm


def measured_mm(text: str, size: float, bold: bool) -> float:
    """Width of a line by the font itself; by the drawings' table where the font or a glyph is missing."""
    font = _font(bold)
    if font is None:
        return width_mm(text, size, bold)
    cmap, hmtx, em = font
    return sum(
        hmtx[cmap[ord(c)]][0] / em * size if ord(c) in cmap else width_mm(c, size, bold)  # type: ignore[index]
        for c in text
    )


def _strokes(element: ElementTree.Element) -> Iterator[Stroke]:
    tag = element.tag.removeprefix(SVG)
    half = float(element.get("stroke-width", "0")) / 2
    dashed = element.get("stroke-dasharray") is not None
    points: list[Point] = []
    if tag == "polyline":
        points = [(float(x), float(y)) for x, y in (p.split(",") for p in element.get("points", "").split())]
    elif tag == "circle":
        cx, cy, r = (float(element.get(k, "0")) for k in ("cx", "cy", "r"))
        points = [(cx + r * math.cos(i * math.pi / 12), cy + r * math.sin(i * math.pi / 12)) for i in range(25)]
    elif tag == "path":
        n = [float(v) for v in re.findall(r"-?\d+(?:\.\d+)?", element.get("d", ""))]
        points = [(n[0], n[1]), (n[-2], n[-1])]
    for a, b in pairwise(points):
        yield Stroke(a, b, half, dashed)


def _group(element: ElementTree.Element) -> Group:
    pins = []
    for pin in (element.get("data-pins") or "").split(";"):
        if pin:
            node, x, y = pin.rsplit(" ", 2)
            pins.append((node, (float(x), float(y))))
    get = lambda name: element.get(name) or ""  # noqa: E731
    group = Group(get("class"), get("data-key"), get("id"), get("data-designation"), pins)
    for child in element:
        if child.tag == SVG + "text":
            size = float(child.get("font-size", "0"))
            x, y = float(child.get("x", "0")), float(child.get("y", "0"))
            text = child.text or ""
            width = measured_mm(text, size, child.get("font-weight") == "bold")
            group.words.append(
                Words(text, (x, y - 0.76 * size, x + width, y + 0.24 * size), size, child.get("class") == "letter")
            )
        else:
            group.strokes += list(_strokes(child))
    return group


def read(name: str, svg: bytes) -> Sheet:
    """Parse one sheet. Raises ParseError where it is no XML."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
    assert root.get("role") == "img"
    width, height = (float((root.get(k) or "").removesuffix("mm")) for k in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}", "one unit must be one mm"
    groups = [_group(child) for child in root if child.tag == SVG + "g"]
    ids = [i for e in root.iter() if (i := e.get("id"))]
    return Sheet(
        name, width, height, groups, ids, root.findtext(SVG + "title") or "", root.findtext(SVG + "desc") or ""
    )


def _overlap(a: Box, b: Box, slack: float = 0.02) -> bool:
    return a[0] < b[2] - slack and b[0] < a[2] - slack and a[1] < b[3] - slack and b[1] < a[3] - slack


def _clips(stroke: Stroke, box: Box) -> bool:
    """Whether a thick straight line touches a box (Liang–Barsky on the box grown by half the line's width)."""
    grow = stroke.half - 0.02
    x0, y0, x1, y1 = box[0] - grow, box[1] - grow, box[2] + grow, box[3] + grow
    (ax, ay), (bx, by) = stroke.a, stroke.b
    t0, t1 = 0.0, 1.0
    for p, q in ((ax - bx, ax - x0), (bx - ax, x1 - ax), (ay - by, ay - y0), (by - ay, y1 - ay)):
        if p == 0:
            if q < 0:
                return False
        elif p < 0:
            t0 = max(t0, q / p)
        else:
            t1 = min(t1, q / p)
    return t0 < t1


def _meet(s: Stroke, t: Stroke) -> Point | None:
    """A point common to two straight lines, or None; for lines along each other the middle of what they share."""
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = s.a, s.b, t.a, t.b
    if max(x1, x2) < min(x3, x4) - 1e-3 or max(x3, x4) < min(x1, x2) - 1e-3:
        return None
    if max(y1, y2) < min(y3, y4) - 1e-3 or max(y3, y4) < min(y1, y2) - 1e-3:
        return None
    d = (x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3)
    if abs(d) < 1e-9:
        if abs((x3 - x1) * (y2 - y1) - (y3 - y1) * (x2 - x1)) > 1e-3 * math.hypot(x2 - x1, y2 - y1):
            return None
        x = (max(min(x1, x2), min(x3, x4)) + min(max(x1, x2), max(x3, x4))) / 2
        y = (max(min(y1, y2), min(y3, y4)) + min(max(y1, y2), max(y3, y4))) / 2
        return x, y
    u = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / d
    v = ((x3 - x1) * (y2 - y1) - (y3 - y1) * (x2 - x1)) / d
    return (x1 + u * (x2 - x1), y1 + u * (y2 - y1)) if -1e-6 <= u <= 1 + 1e-6 and -1e-6 <= v <= 1 + 1e-6 else None


def _distance(p: Point, s: Stroke) -> float:
    (ax, ay), (bx, by) = s.a, s.b
    length = (bx - ax) ** 2 + (by - ay) ** 2
    t = 0.0 if length == 0 else max(0.0, min(1.0, ((p[0] - ax) * (bx - ax) + (p[1] - ay) * (by - ay)) / length))
    return math.hypot(p[0] - ax - t * (bx - ax), p[1] - ay - t * (by - ay))


def _near(a: Point, b: Point, mm: float = PIN_MM) -> bool:
    return math.hypot(a[0] - b[0], a[1] - b[1]) <= mm


def faults(files: dict[str, bytes], circuit: Circuit, option: OptionResult) -> list[str]:
    """Everything that is wrong with a set of sheets, by the numbered rules of their checker."""
    sheets = [read(name, svg) for name, svg in files.items()]
    found: list[str] = []
    for sheet in sheets:
        found += [
            f"{sheet.name}: {fault}"
            for fault in (*_texts(sheet), *_lines(sheet), *_ends(sheet, circuit), *_bare(sheet))
        ]
    every = [i for sheet in sheets for i in sheet.ids]
    found += [f"2 id {i} is not unique" for i in sorted({i for i in every if every.count(i) > 1})]
    return [*found, *_complete(sheets, circuit, option), *_values(sheets, circuit, option)]


def _texts(sheet: Sheet) -> Iterator[str]:
    words = [w for g in sheet.groups for w in g.words]
    for i, a in enumerate(words):
        if a.size < 7 * MM_PER_PT - 1e-6:
            yield f"2 “{a.text}” is smaller than 7 pt"
        if a.box[0] < 0 or a.box[1] < 0 or a.box[2] > sheet.width or a.box[3] > sheet.height:
            yield f"1 “{a.text}” leaves the page"
        for b in words[i + 1 :]:
            if _overlap(a.box, b.box):
                yield f"1 “{a.text}” and “{b.text}” overlap"
    for group in sheet.groups:
        for stroke in group.strokes:
            for x, y in (stroke.a, stroke.b):
                if not (0 <= x <= sheet.width and 0 <= y <= sheet.height):
                    yield f"1 a line of {group.kind} {group.key} leaves the page"


def _near_pairs(boxes: list[Box]) -> Iterator[tuple[int, int]]:
    """Pairs of boxes that touch or nearly touch, found by sweeping over x."""
    order = sorted(range(len(boxes)), key=lambda i: boxes[i][0])
    open_: list[int] = []
    for i in order:
        x0, y0, _, y1 = boxes[i]
        open_ = [j for j in open_ if boxes[j][2] >= x0 - 0.1]
        for j in open_:
            if boxes[j][1] <= y1 + 0.1 and boxes[j][3] >= y0 - 0.1:
                yield (i, j) if i < j else (j, i)
        open_.append(i)


def _around(s: Stroke) -> Box:
    return (
        min(s.a[0], s.b[0]) - s.half, min(s.a[1], s.b[1]) - s.half,
        max(s.a[0], s.b[0]) + s.half, max(s.a[1], s.b[1]) + s.half,
    )  # fmt: skip


def _lines(sheet: Sheet) -> Iterator[str]:
    strokes = [(g, s) for g in sheet.groups for s in g.strokes]
    words = [w for g in sheet.groups for w in g.words]
    boxes = [_around(s) for _, s in strokes] + [w.box for w in words]
    for i, j in sorted(_near_pairs(boxes)):
        if i >= len(strokes):
            continue
        g, s = strokes[i]
        if j >= len(strokes):
            if _clips(s, words[j - len(strokes)].box):
                yield f"3 a line of {g.kind} {g.key} runs through “{words[j - len(strokes)].text}”"
            continue
        h, t = strokes[j]
        if g is h or "halo" in (g.kind, h.kind):
            continue  # a pale ground, below everything
        if {g.kind, h.kind} == {"controller", "contactor"} and (s.dashed or t.dashed):
            continue
        at = _meet(s, t)
        if at is not None and not _joined(g, h, at):
            yield f"6 {g.kind} {g.key} crosses {h.kind} {h.key} at {at[0]:.1f}, {at[1]:.1f}"
    solid = [(g, b) for g in sheet.groups if g.kind in SOLID and (b := _bounds(g))]
    for i, (g, a) in enumerate(solid):
        for h, b in solid[i + 1 :]:
            if a[0] <= b[0] and a[1] <= b[1] and a[2] >= b[2] and a[3] >= b[3]:
                yield f"6 {h.kind} {h.key} stands on {g.kind} {g.key}"


SOLID = ("battery", "load", "source", "starter", "fuse", "switch", "shunt", "dc_dc", "contactor", "vsr")


def _bounds(group: Group) -> Box | None:
    points = [p for s in group.strokes for p in (s.a, s.b)]
    if not points:
        return None
    return (
        min(p[0] for p in points), min(p[1] for p in points), max(p[0] for p in points), max(p[1] for p in points),
    )  # fmt: skip


def _joined(g: Group, h: Group, at: Point) -> bool:
    """Whether two items may touch here: both have a pin of the same node here, or one is that node's bar or joint."""
    for node, p in g.pins:
        for other, q in h.pins:
            if node != other:
                continue
            if _near(p, at, 0.3) and _near(q, at, 0.3):
                return True
            for stretch, pin in ((g, q), (h, p)):
                if stretch.kind in ("bus", "negative_bus", "joint") and _near(pin, at, 1.0):
                    return True
    if "negative" in (g.kind, h.kind):
        mark = g if g.kind == "negative" else h
        return any(_near(p, at, 0.3) for p in (mark.strokes[0].a, mark.strokes[0].b))
    return False


def _ends(sheet: Sheet, circuit: Circuit) -> Iterator[str]:
    """Rule 5: pins lie on their own item's lines, at the nodes the circuit names, and a node is one piece of metal."""
    for group in sheet.groups:
        for node, at in group.pins:
            if not any(_distance(at, s) <= PIN_MM for s in group.strokes):
                yield f"5 a pin of {group.kind} {group.key} at {node} is not on its lines"
        if group.kind == "conductor":
            c = circuit.conductor.get(group.key)
            tips = (group.strokes[0].a, group.strokes[-1].b)
            wanted = {c.from_node, c.to_node} if c else set()
            if {n for n, _ in group.pins} != wanted:
                yield f"5 conductor {group.key} is not between the circuit's nodes"
            if not all(any(_near(tip, p) for _, p in group.pins) for tip in tips):
                yield f"5 conductor {group.key} does not end at its pins"
        if group.key in circuit.device and {n for n, _ in group.pins} != {
            circuit.device[group.key].from_node, circuit.device[group.key].to_node,
        }:  # fmt: skip
            yield f"5 device {group.key} is not between the circuit's nodes"
    yield from _connected(sheet)


def _connected(sheet: Sheet) -> Iterator[str]:
    pins = [(group, node, at) for group in sheet.groups for node, at in group.pins]
    cuts = {node for group in sheet.groups if group.kind in ("to", "from") for node, _ in group.pins}
    marks = [g.strokes[0].a for g in sheet.groups if g.kind == "negative"]
    cuts |= {node for _, node, at in pins if any(_near(at, mark) for mark in marks)}
    parent = list(range(len(pins)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    plates = ("bus", "negative_bus", "joint")
    for i, (g, node, at) in enumerate(pins):
        for j, (h, other, there) in enumerate(pins):
            if i == j or (abs(at[0] - there[0]) > 0.1 and abs(at[1] - there[1]) > 0.1):
                continue
            own = g is h and g.kind in plates
            touching = _near(at, there) or (h.kind in plates and any(_distance(at, s) <= PIN_MM for s in h.strokes))
            if (touching or own) and node == other:
                parent[root(i)] = root(j)
            elif touching and g is not h:
                yield f"5 {g.kind} {g.key} at {node} touches {h.kind} {h.key} at {other}"
    for node in sorted({node for _, node, _ in pins}):
        pieces = {root(i) for i, (_, n, _) in enumerate(pins) if n == node}
        bars = [g for g in sheet.groups if g.kind in plates[:2] and any(n == node for n, _ in g.pins)]
        named = sum(bool(g.label) for g in bars)
        if len(pieces) > max(1, named + (named < len(bars))) and node not in cuts:
            yield f"5 node {node} is drawn in {len(pieces)} pieces"


def _bare(sheet: Sheet) -> Iterator[str]:
    """Rule 9: on every bar that is drawn there is something."""
    for bar in (g for g in sheet.groups if g.kind == "bus"):
        others = [(node, at) for g in sheet.groups if g is not bar for node, at in g.pins]
        node = bar.pins[0][0]
        if not any(n == node and any(_distance(at, s) <= PIN_MM for s in bar.strokes) for n, at in others):
            yield f"9 nothing is on bus {bar.key}"


def _complete(sheets: list[Sheet], circuit: Circuit, option: OptionResult) -> Iterator[str]:
    """Rule 4: every positive conductor, every device and every end device exactly once, and nothing else."""
    drawn = [g for sheet in sheets for g in sheet.groups if g.key]
    count: dict[str, int] = {}
    for group in drawn:
        count[group.key] = count.get(group.key, 0) + 1
    once = [c.key for c in circuit.conductors if c.pole == "positive"] + [d.key for d in circuit.devices]
    once += [e.key for e in (*circuit.batteries, *circuit.loads, *circuit.sources)]
    once += [v.key for v in circuit.converters] + [c.key for c in circuit.controllers]
    once += [circuit.starter.key] if circuit.starter else []
    for key in once:
        if count.get(key, 0) != 1:
            yield f"4 {key} is drawn {count.get(key, 0)} times"
    negative = {c.key for c in circuit.conductors if c.pole == "negative"}
    buses = {b.key for b in circuit.buses}
    for key, times in count.items():
        if key in negative and times > 1:
            yield f"4 {key} is drawn {times} times"
        if key not in negative and key not in buses and key not in once:
            yield f"4 {key} is drawn but is not in the circuit"
    for key in buses - count.keys():
        yield f"4 bus {key} is not drawn"
    scheduled = {c.key for c in option.conductors}
    for group in drawn:
        if group.kind == "conductor" and group.key not in scheduled:
            yield f"4 conductor {group.key} is not scheduled"


def _number(text: str) -> list[float]:
    return [float(n) for n in re.findall(r"\d+(?:\.\d+)?", text)]


def _values(sheets: list[Sheet], circuit: Circuit, option: OptionResult) -> Iterator[str]:
    """Rule 7: what a label says is what the results say."""
    groups = {g.key: g for sheet in sheets for g in sheet.groups if g.key}
    yield from _conductor_values(groups, option)
    yield from _device_values(groups, circuit, option)


def _conductor_values(groups: dict[str, Group], option: OptionResult) -> Iterator[str]:
    for c in option.conductors:
        group = groups.get(c.key)
        if group is None:
            continue
        label = group.label.replace("\n", " ")
        head = f"{c.designation} · {round(c.length_m, 2):g} m"
        if not label.startswith(head) or c.size not in label:
            yield f"7 conductor {c.key} is labelled “{label}”, not {head} {c.size}"
        area = re.search(r"\(([\d.]+) mm²\)", label)
        if area is not None and abs(float(area.group(1)) - c.area_mm2) > 0.051:
            yield f"7 conductor {c.key} is labelled {area.group(1)} mm²"
        if group.designation != c.designation:
            yield f"7 conductor {c.key} carries the designation {group.designation}"


def _device_values(groups: dict[str, Group], circuit: Circuit, option: OptionResult) -> Iterator[str]:
    for d in option.devices:
        group = groups.get(d.key)
        if group is None or d.key in {b.key for b in circuit.buses}:
            continue
        if not group.label.startswith(d.designation):
            yield f"7 device {d.key} is labelled “{group.label}”"
        if d.key in circuit.device and d.rating_a is not None:
            rating = group.label.replace(d.designation, "", 1)
            if d.rating_a not in _number(rating):
                yield f"7 device {d.key} is labelled “{group.label}”, not {d.rating_a:g} A"
    for e in (*option.loads, *option.sources):
        group = groups.get(e.key)
        if group is not None and not group.label.startswith(f"{e.designation} · {round(e.current_a, 1):g} A"):
            yield f"7 {e.key} is labelled “{group.label}”"
    for b in circuit.batteries:
        group = groups.get(b.key)
        if group is not None and not {b.part.capacity_ah, b.part.voltage_v} <= set(_number(group.label)):
            yield f"7 battery {b.key} is labelled “{group.label}”"


def plain_faults(sheet: Sheet) -> list[str]:
    """What can be wrong with any drawing: words over words, lines through words, off the page, too small, ids twice."""
    strokes = [(g, s) for g in sheet.groups for s in g.strokes]
    words = [w for g in sheet.groups for w in g.words]
    found = list(_texts(sheet))
    boxes = [_around(s) for _, s in strokes] + [w.box for w in words]
    for i, j in sorted(_near_pairs(boxes)):
        if i < len(strokes) <= j and _clips(strokes[i][1], words[j - len(strokes)].box):
            found.append(
                f"3 a line of {strokes[i][0].kind} {strokes[i][0].key} runs through {words[j - len(strokes)].text}"
            )
    found += [f"2 id {i} is not unique" for i in sorted({i for i in sheet.ids if sheet.ids.count(i) > 1})]
    if not sheet.title or not sheet.description:
        found.append("8 it has no title or no description")
    return found
