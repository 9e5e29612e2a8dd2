"""The energy flow read back from its SVG: widths in proportion, no line over another, figures true."""

import random
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from proposal.drawings.day_energy import MOST_LOADS, day_energy
from proposal.studies.behaviour.result import Day, EnergyFlow
from tests.drawings.behaving import AUDIT, day_for
from tests.drawings.generate import HOSTILE, circuit_for
from tests.drawings.reader import SVG, Group, Sheet, plain_faults, read
from tests.drawings.words import INFO
from tests.sample_behaviour import marram, sample_behaviour

WIDTH_MM = 0.006
"""Two coordinates, each rounded to 0.001 mm, at both edges."""
OVER_MM = 0.02


def day(*energy: EnergyFlow) -> Day:
    return Day("summer", 60.0, (), (), energy, (), 0.0, AUDIT)


def names(of: Day, *, hostile: bool = False) -> dict[str, str]:
    keys = dict.fromkeys(f.item for f in of.energy)
    return {key: HOSTILE[n % len(HOSTILE)] if hostile else f"Item {n}" for n, key in enumerate(keys)}


def drawn(of: Day, *, hostile: bool = False) -> Sheet:
    ((name, svg),) = day_energy(of, INFO, names(of, hostile=hostile), "Summer").items()
    return read(name, svg)


def flows(sheet: Sheet) -> dict[str, Group]:
    return {g.key: g for g in sheet.groups if g.kind == "flow"}


def cut(group: Group, x: float) -> list[tuple[float, float]]:
    """(top, bottom) of a line's outline where an upright line at x cuts it."""
    ys = []
    for s in group.strokes:
        if s.half > 0.11 or s.half < 0.09:
            continue
        (ax, ay), (bx, by) = s.a, s.b
        if min(ax, bx) < x <= max(ax, bx):
            ys.append(ay + (x - ax) / (bx - ax) * (by - ay))
    ys.sort()
    return list(zip(ys[::2], ys[1::2], strict=True))


def per_wh(sheet: Sheet) -> float:
    """Millimetres a watt-hour, by the bar in the middle and the figure above it."""
    (hub,) = [g for g in sheet.groups if g.kind == "hub"]
    ys = [s.a[1] for s in hub.strokes]
    return (max(ys) - min(ys)) / float(hub.label.split(" ")[0])


def check(sheet: Sheet, of: Day) -> None:
    assert not plain_faults(sheet)
    found = flows(sheet)
    energy = {f"{f.item}.{f.role}": f.energy_wh for f in of.energy}
    hub = max(energy_sum(of, ("source", "bank_out")), energy_sum(of, ("load", "loss", "bank_in")))
    (bar,) = [g for g in sheet.groups if g.kind == "hub"]
    scale = (max(s.a[1] for s in bar.strokes) - min(s.a[1] for s in bar.strokes)) / hub
    centre = sum(s.a[0] for s in bar.strokes[:4]) / 4
    for key, group in found.items():
        wh = energy.get(key)
        if wh is None:
            shown = {k for k in found if k.endswith(".load")}
            wh = sum(v for k, v in energy.items() if k.endswith(".load") and k not in shown and v >= 0.5)
        for x in (centre - 1.6, centre + 1.6):
            for top, bottom in cut(group, x)[:1]:
                assert bottom - top == pytest.approx(scale * wh, abs=WIDTH_MM), f"{key} in the middle"
        if not key.endswith(("bank_in", "bank_out")):
            assert f"{wh:.0f} Wh" in group.label
            ends = cut(group, 41.5) if key.endswith("source") else cut(group, sheet.width - 41.5)
            assert ends[0][1] - ends[0][0] == pytest.approx(scale * wh, abs=WIDTH_MM), f"{key} at its end"
    for n in range(1, 300):
        x = sheet.width * n / 300
        spans = sorted((top, bottom, key) for key, g in found.items() for top, bottom in cut(g, x))
        for (_, bottom, a), (top, _, b) in pairwise(spans):
            assert top >= bottom - OVER_MM, f"{a} lies over {b} at {x:.1f}"


def energy_sum(of: Day, roles: tuple[str, ...]) -> float:
    return sum(f.energy_wh for f in of.energy if f.role in roles and f.energy_wh >= 0.5)


def test_widths_are_in_proportion_by_hand() -> None:
    """1000 Wh of sun, 600 to the loads, 50 lost, 350 into the bank: three fifths of the bar go to the loads."""
    of = day(
        EnergyFlow("sun", "source", 1000.0), EnergyFlow("fridge", "load", 600.0), EnergyFlow("cables", "loss", 50.0),
        EnergyFlow("bank", "bank_in", 350.0),
    )  # fmt: skip
    sheet = drawn(of)
    check(sheet, of)
    assert per_wh(sheet) > 0.02
    top, bottom = cut(flows(sheet)["fridge.load"], sheet.width - 41.5)[0]
    assert bottom - top == pytest.approx(600.0 * per_wh(sheet), abs=WIDTH_MM)
    assert any("Lost in cables" in g.label for g in flows(sheet).values())
    (box,) = [g for g in sheet.groups if g.kind == "bank"]
    assert "gave 0 Wh" in box.label
    assert "took 350 Wh" in box.label


@pytest.mark.parametrize("seed", range(30))
def test_generated_days_are_readable_and_true(seed: int) -> None:
    of = day_for(circuit_for(seed), seed)
    if energy_sum(of, ("source", "bank_out")) < 0.5:
        assert day_energy(of, INFO, {}, "S") == {}
        return
    check(drawn(of, hostile=seed % 3 == 0), of)


def test_fresh_seeds_give_faultless_flows() -> None:
    for seed in random.SystemRandom().sample(range(10**6), 15):
        of = day_for(circuit_for(seed), seed)
        if energy_sum(of, ("source", "bank_out")) >= 0.5:
            check(drawn(of), of)


def test_the_sample_on_marram_is_faultless() -> None:
    for option in marram().options:
        for of in sample_behaviour(option).days:
            check(drawn(of), of)


def test_small_loads_share_a_line() -> None:
    loads = [EnergyFlow(f"load {n}", "load", 10.0 + n) for n in range(20)]
    of = day(EnergyFlow("sun", "source", sum(f.energy_wh for f in loads)), *loads)
    sheet = drawn(of)
    check(sheet, of)
    shown = [key for key in flows(sheet) if key.endswith(".load")]
    assert len(shown) == MOST_LOADS
    assert shown[0] == "load 19.load", "the largest first"
    assert f"{20 - MOST_LOADS + 1} smaller loads" in flows(sheet)["rest.load"].label


def test_nothing_flows_nothing_is_drawn() -> None:
    assert day_energy(day(EnergyFlow("sun", "source", 0.0)), INFO, {}, "S") == {}
    assert day_energy(day(), INFO, {}, "S") == {}


def test_same_bytes_and_hostile_names() -> None:
    of = day_for(circuit_for(4), 4)
    files = day_energy(of, INFO, names(of, hostile=True), HOSTILE[0])
    assert files == day_energy(of, INFO, names(of, hostile=True), HOSTILE[0])
    ((name, svg),) = files.items()
    assert name == "a-energy-season_20_4.svg"
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {"svg", "title", "desc", "g", "text", "polyline", "rect"}
    assert HOSTILE[0] in (root.findtext(SVG + "desc") or "")


def test_planted_faults_are_seen() -> None:
    of = sample_behaviour(marram().options[0]).days[0]
    sheet = drawn(of)
    check(sheet, of)
    fuller = replace(of, energy=(replace(of.energy[0], energy_wh=of.energy[0].energy_wh * 1.02), *of.energy[1:]))
    with pytest.raises(AssertionError):
        check(sheet, fuller)
    shifted = next(g for key, g in flows(sheet).items() if key.endswith(".load"))
    for s in shifted.strokes:
        s.a, s.b = (s.a[0], s.a[1] + 3.0), (s.b[0], s.b[1] + 3.0)
    with pytest.raises(AssertionError, match="lies over"):
        check(sheet, of)
