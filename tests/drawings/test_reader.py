"""The reader itself: for every rule a fault is planted in a faultless sheet, and must be found under that rule."""

from collections.abc import Callable
from xml.etree import ElementTree

import pytest

from proposal.drawings.single_line import single_line
from tests.drawings.generate import circuit_for, result_for
from tests.drawings.reader import SVG, faults
from tests.drawings.words import INFO

SEED = 5
CIRCUIT = circuit_for(SEED)
OPTION = result_for(CIRCUIT, SEED)
Element = ElementTree.Element
Plant = Callable[[Element], None]


def groups(root: Element, kind: str) -> list[Element]:
    return [g for g in root.findall(SVG + "g") if g.get("class") == kind and g.get("data-key")]


def load_wire(root: Element) -> Element:
    """A conductor that leads straight down to a load."""
    return next(g for g in groups(root, "conductor") if (g.get("data-key") or "").startswith("loads."))


def points(line: Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (p.split(",") for p in (line.get("points") or "").split())]


def set_points(line: Element, made: list[tuple[float, float]]) -> None:
    line.set("points", " ".join(f"{x:.3f},{y:.3f}" for x, y in made))


def found(plant: Plant) -> set[str]:
    """Numbers of the rules under which something is found after planting a fault in the first sheet."""
    files = single_line(CIRCUIT, OPTION, INFO)
    name = next(iter(files))
    root = ElementTree.fromstring(files[name])  # noqa: S314 - our own output
    plant(root)
    files[name] = ElementTree.tostring(root)
    texts = faults(files, CIRCUIT, OPTION)
    return {t.removeprefix(f"{name}: ")[0] for t in texts}


def test_nothing_is_found_where_nothing_is_planted() -> None:
    assert found(lambda _: None) == set()


def shift_text(root: Element, dx: float, dy: float) -> None:
    text = load_wire(root).findall(SVG + "text")[-1]
    text.set("x", str(float(text.get("x", "0")) + dx))
    text.set("y", str(float(text.get("y", "0")) + dy))


def shrink(root: Element) -> None:
    load_wire(root).findall(SVG + "text")[0].set("font-size", "2.4")


def same_id(root: Element) -> None:
    first, second = groups(root, "conductor")[:2]
    second.set("id", first.get("id") or "")


def drop_conductor(root: Element) -> None:
    root.remove(load_wire(root))


def copy_conductor(root: Element) -> None:
    copy = ElementTree.fromstring(ElementTree.tostring(load_wire(root)))  # noqa: S314 - our own output
    copy.set("id", "other")
    root.append(copy)


def foreign_conductor(root: Element) -> None:
    wire = load_wire(root)
    wire.set("data-key", "loads.nobody.positive")


def short_conductor(root: Element) -> None:
    """Ends 0.03 mm, 0.085 pt, before its pin."""
    line = load_wire(root).findall(SVG + "polyline")[0]
    made = points(line)
    set_points(line, [*made[:-1], (made[-1][0], made[-1][1] - 0.03)])


def wrong_node(root: Element) -> None:
    wire = load_wire(root)
    wire.set("data-pins", (wire.get("data-pins") or "").replace("loads.", "loads.x", 1))


def swapped_devices(root: Element) -> None:
    """Two fuses carry each other's pins: each stands where the circuit doesn't want it."""
    first, second = groups(root, "fuse")[:2]
    a, b = first.get("data-key") or "", second.get("data-key") or ""
    for group, key in ((first, b), (second, a)):
        group.set("data-key", key)


def cut_node(root: Element) -> None:
    """A load with all that belongs to it stands away from its conductor."""
    load = next(g for g in groups(root, "load") if g.get("data-symbol"))
    move(load, 0.0, 1.0)


def move(group: Element, dx: float, dy: float) -> None:
    for child in group:
        if child.get("points"):
            set_points(child, [(x + dx, y + dy) for x, y in points(child)])
        for name, d in (("x", dx), ("cx", dx), ("y", dy), ("cy", dy)):
            if child.get(name):
                child.set(name, str(float(child.get(name, "0")) + d))
    moved = []
    for pin in (group.get("data-pins") or "").split(";"):
        node, x, y = pin.rsplit(" ", 2)
        moved.append(f"{node} {float(x) + dx:.3f} {float(y) + dy:.3f}")
    group.set("data-pins", ";".join(moved))


def crossing(root: Element) -> None:
    x, y = points(load_wire(root).findall(SVG + "polyline")[0])[0]
    line = ElementTree.SubElement(ElementTree.SubElement(root, SVG + "g", {"class": "joint"}), SVG + "polyline")
    line.set("stroke-width", "0.35")
    set_points(line, [(x - 1.0, y + 0.7), (x + 1.0, y + 0.7)])


def symbol_on_symbol(root: Element) -> None:
    """A switch lies on a battery, pins and all."""
    battery, switch = groups(root, "battery")[0], groups(root, "switch")[0]
    at = points(battery.findall(SVG + "polyline")[0])[0]
    from_ = points(switch.findall(SVG + "polyline")[0])[0]
    move(switch, at[0] - from_[0], at[1] - from_[1] + 4.0)


def bare_bus(root: Element) -> None:
    """A second piece of a bus, with its name, away from everything."""
    bus = groups(root, "bus")[0]
    copy = ElementTree.fromstring(ElementTree.tostring(bus))  # noqa: S314 - our own output
    copy.set("id", "other")
    move(copy, 0.0, -9.0)
    root.append(copy)


def reword(kind: str, old: str, new: str) -> Plant:
    def plant(root: Element) -> None:
        for group in groups(root, kind):
            for text in group.findall(SVG + "text"):
                if old in (text.text or ""):
                    text.text = (text.text or "").replace(old, new, 1)
                    return
        raise AssertionError(f"no {old} in any {kind}")

    return plant


@pytest.mark.parametrize(
    ("rule", "plant"),
    [
        ("1", lambda root: shift_text(root, 0.0, -2.4)),
        ("1", lambda root: shift_text(root, 400.0, 0.0)),
        ("2", shrink),
        ("2", same_id),
        ("3", lambda root: shift_text(root, -4.0, 0.0)),
        ("4", drop_conductor),
        ("4", copy_conductor),
        ("4", foreign_conductor),
        ("5", short_conductor),
        ("5", wrong_node),
        ("5", swapped_devices),
        ("5", cut_node),
        ("6", crossing),
        ("6", symbol_on_symbol),
        ("7", reword("conductor", "1.85 m", "1.58 m")),
        ("7", reword("conductor", "mm²", "mm")),
        ("7", reword("fuse", " A", "0 A")),
        ("7", reword("battery", " Ah", "0 Ah")),
        ("7", reword("load", " A", "1 A")),
        ("7", reword("conductor", "W", "V")),
        ("9", bare_bus),
    ],
)
def test_a_planted_fault_is_found(rule: str, plant: Plant) -> None:
    assert rule in found(plant)
