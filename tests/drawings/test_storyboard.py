"""Scenes read back from their SVG: nothing over anything else, figures, arrows and relays as in the scene."""

import random
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import hypot
from pathlib import Path
from xml.etree import ElementTree

import pytest

from proposal.circuit.model import Circuit
from proposal.drawings.live import IDLE_A, Live
from proposal.drawings.scene_words import MOST_LOADS
from proposal.drawings.storyboard import storyboard
from proposal.drawings.symbols import closed, series
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from proposal.studies.behaviour.result import BranchCurrent, Day, Scene
from tests.drawings.behaving import AUDIT, day_for, relays_of
from tests.drawings.generate import circuit_for, result_for
from tests.drawings.reader import (
    MM_PER_PT,
    SVG,
    Group,
    Sheet,
    _bare,
    _lines,
    plain_faults,
    read,
)
from tests.drawings.words import INFO
from tests.sample_behaviour import sample_behaviour

ROOT = Path(__file__).parents[2]


def scene_faults(sheet: Sheet, circuit: Circuit) -> list[str]:
    """What can be wrong with any drawing, what crosses, and what is missing or there twice."""
    return [*_lines(sheet), *_bare(sheet), *plain_faults(sheet), *missing(sheet, circuit)]


def missing(sheet: Sheet, circuit: Circuit) -> list[str]:
    """Each bank by one battery, each source, relay and DC-DC charger once, each conductor that is drawn once."""
    count = Counter(g.key for g in sheet.groups if g.key)
    wanted = [s.key for s in circuit.sources] + relays_of(circuit) + [c.key for c in circuit.converters]
    found = [f"4 {key} is drawn {count[key]} times" for key in wanted if count[key] != 1]
    for bank in circuit.banks:
        drawn = sum(count[key] for key in bank.strings)
        found += [f"4 bank {bank.key} is drawn {drawn} times"] if drawn != 1 else []
    return found + [f"4 {g.key} is drawn twice" for g in sheet.groups if g.kind == "conductor" and count[g.key] > 1]


def drawn(circuit: Circuit, day: Day, seed: int, *, hostile: bool = False) -> list[Sheet]:
    option = result_for(circuit, seed, hostile=hostile)
    return [read(name, svg) for name, svg in storyboard(circuit, option, [day], INFO).items()]


def items(sheet: Sheet, kind: str) -> dict[str, Group]:
    return {g.key: g for g in sheet.groups if g.kind == kind and g.key}


def arrow(group: Group) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """(tail, tip) of the triangle on a conductor: its three thin sides meet where they began."""
    thin = [s for s in group.strokes if s.half == pytest.approx(0.1)]
    if len(thin) != 3:
        return None
    left, tip, right = thin[0].a, thin[0].b, thin[1].b
    return ((left[0] + right[0]) / 2, (left[1] + right[1]) / 2), tip


def scene(circuit: Circuit, **changed: object) -> Scene:
    nothing = tuple(BranchCurrent(c.key, 0.0) for c in circuit.conductors)
    made = Scene("night", 10800.0, (), nothing, (), (), (), (), 0.0)
    return replace(made, **changed)  # type: ignore[arg-type]


def day_of(*scenes: Scene) -> Day:
    return Day("summer", 60.0, (), (), (), scenes, 0.0, AUDIT)


@pytest.mark.parametrize("seed", range(16))
def test_generated_scenes_are_faultless_and_true(seed: int) -> None:
    circuit = circuit_for(seed, hostile=seed % 3 == 0)
    day = day_for(circuit, seed)
    sheets = drawn(circuit, day, seed, hostile=seed % 3 == 0)
    assert len(sheets) == len(day.scenes)
    for sheet, shown in zip(sheets, day.scenes, strict=True):
        assert not scene_faults(sheet, circuit)
        check_figures(sheet, shown, circuit)
    places = [{g.key: g.pins for g in sheet.groups if g.key} for sheet in sheets]
    assert all(a == b for a, b in pairwise(places)), "all scenes share one layout"


def check_figures(sheet: Sheet, shown: Scene, circuit: Circuit) -> None:
    stated = {b.item: b.current_a for b in shown.branches}
    for key, group in items(sheet, "conductor").items():
        if key not in stated:
            continue
        amps = stated[key]
        if abs(amps) <= IDLE_A:
            assert group.label == ""
            assert arrow(group) is None
            assert all(s.dashed for s in group.strokes), "idle is not told by paleness alone"
            continue
        assert group.label == size(amps)
        assert arrow(group) is not None
    for bank in circuit.banks:
        label = next(g.label for key, g in items(sheet, "battery").items() if key in bank.strings)
        assert f"{100 * dict(shown.banks_share)[bank.key]:.0f} %" in label
        amps = dict(shown.banks_a)[bank.key]
        way = "at rest" if abs(amps) <= IDLE_A else f"{'gives' if amps > 0 else 'takes'} {size(amps)}"
        assert way in label.split("\n")
    for key, volts in shown.buses_v:
        if key in items(sheet, "bus"):
            assert f"{volts:.2f} V" in items(sheet, "bus")[key].label
    for key in relays_of(circuit):
        group = next(g for g in sheet.groups if g.key == key)
        assert group.label.split("\n")[-1].endswith("open" if key in shown.open_devices else "closed")


def size(amps: float) -> str:
    return f"{abs(amps):.{0 if abs(amps) >= 99.95 else 1}f} A"


def middle(group: Group) -> tuple[float, float]:
    points = [p for s in group.strokes for p in (s.a, s.b)]
    return sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)


@pytest.mark.parametrize("seed", range(30))
def test_arrows_point_away_from_what_gives(seed: int) -> None:
    """A bank's conductor begins at it, a source's ends at it: positive is away from the one, towards the other."""
    circuit = circuit_for(seed)
    for sign in (1.0, -1.0):
        branches = tuple(BranchCurrent(c.key, sign * 10.0) for c in circuit.conductors)
        (sheet,) = drawn(circuit, day_of(scene(circuit, branches=branches)), seed)
        seen = 0
        ends = {g.key: middle(g) for kind in ("source", "battery") for g in items(sheet, kind).values()}
        for key, group in items(sheet, "conductor").items():
            purpose, found = circuit.conductor[key].purpose, arrow(group)
            owner = next((k for k in ends if key.startswith(f"{k.removesuffix('.s1')}.")), None)
            if owner is not None and found is not None and purpose in ("source", "bank"):
                tail, tip = (hypot(p[0] - ends[owner][0], p[1] - ends[owner][1]) for p in found)
                assert (tip > tail) == (sign > 0.0 if purpose == "bank" else sign < 0.0), key
                seen += 1
        assert seen


def test_fresh_seeds_give_faultless_scenes() -> None:
    for seed in random.SystemRandom().sample(range(10**6), 5):
        circuit = circuit_for(seed)
        for sheet in drawn(circuit, day_for(circuit, seed), seed):
            assert not scene_faults(sheet, circuit), f"seed {seed}"


@pytest.mark.nightly
def test_many_fresh_seeds_give_faultless_scenes() -> None:
    for seed in random.SystemRandom().sample(range(10**6), 300):
        circuit = circuit_for(seed, hostile=seed % 3 == 0)
        for sheet in drawn(circuit, day_for(circuit, seed), seed, hostile=seed % 3 == 0):
            assert not scene_faults(sheet, circuit), f"seed {seed}"


def test_a_closed_contact_lies_on_its_axis_and_an_open_one_does_not() -> None:
    for kind in ("contactor", "driven_contactor", "vsr", "switch"):
        opened = series(kind, 12.0, 6.0)
        shut = closed(opened)
        changed = [(a, b) for a, b in zip(opened.marks, shut.marks, strict=True) if a != b]
        assert len(changed) == 1, kind
        assert all(y == 0.0 for _, y in changed[0][1].points)
        assert closed(shut) == shut
    assert closed(series("fuse", 12.0, 6.0)) == series("fuse", 12.0, 6.0)


def test_what_a_scene_leaves_out_carries_nothing() -> None:
    circuit = circuit_for(3, loads=1)
    live = Live(circuit, scene(circuit, branches=()))
    assert not any(live.flows(b.key) for b in circuit.branches)
    assert live.load_a(circuit.loads[0].key) == 0.0
    (sheet,) = drawn(circuit, day_of(scene(circuit, branches=())), 3)
    assert all(s.dashed for g in items(sheet, "conductor").values() for s in g.strokes)


def test_a_load_takes_what_its_conductor_carries() -> None:
    circuit = circuit_for(3, loads=1)
    load = circuit.loads[0]
    conductor = next(c for c in circuit.conductors if c.to_node == load.positive)
    live = Live(circuit, scene(circuit, branches=(BranchCurrent(conductor.key, 4.5),)))
    assert live.load_a(load.key) == 4.5


def test_all_loads_are_in_a_list_with_what_they_take() -> None:
    """Three loads of 5, 3 and 1 A: their sum, then each, the largest first; one that takes nothing now says so."""
    circuit = circuit_for(3, loads=3)
    a, b, c = (load.key for load in circuit.loads)
    now = tuple(BranchCurrent(k, v) for k, v in ((a, 3.0), (b, 5.0), (c, 1.0)))
    then = tuple(BranchCurrent(k, v) for k, v in ((a, 3.0), (b, 5.0), (c, 0.0)))
    sheets = drawn(circuit, day_of(scene(circuit, branches=now), scene(circuit, branches=then)), 3)
    for sheet, last in zip(sheets, ("1.0 A", "–"), strict=True):
        lines = [line for g in sheet.groups if g.kind == "loads" for line in g.label.split("\n")]
        said = sorted(line.rpartition(" ")[0] == "" or line for line in lines if not line.startswith("Loads"))
        assert len(said) == 3
        assert sum(line.endswith(("5.0 A", "3.0 A")) for line in lines if not line.startswith("Loads")) == 2
        assert any(line.endswith(last) for line in lines)


def test_many_loads_share_the_last_line() -> None:
    circuit = circuit_for(3, loads=20)
    branches = tuple(BranchCurrent(load.key, 1.0 + n) for n, load in enumerate(circuit.loads))
    (sheet,) = drawn(circuit, day_of(scene(circuit, branches=branches)), 3)
    for group in (g for g in sheet.groups if g.kind == "loads"):
        lines = group.label.split("\n")
        whole = float(lines[0].split(" ")[-2])
        parts = [float(line.split(" ")[-2]) for line in lines[1:]]
        assert sum(parts) == pytest.approx(whole, abs=0.05 * len(parts) + 0.5), "nothing is left out of the sum"
        assert len(lines) <= MOST_LOADS + 1


def test_title_says_time_and_state() -> None:
    circuit = circuit_for(2)
    (sheet,) = drawn(circuit, day_of(scene(circuit, code="dusk", time_s=64800.0 + 29 * 60.0)), 2)
    (heading,) = [g for g in sheet.groups if g.kind == "heading"]
    assert heading.label.startswith("18:29 · Dusk")
    assert "18:29 · Dusk" in sheet.title
    (sheet,) = drawn(circuit, day_of(scene(circuit, code="unheard_of")), 2)
    assert "03:00 · At this time" in sheet.title


def test_emergency_switches_are_open_unless_current_flows_through_them() -> None:
    for seed in range(60):
        circuit = circuit_for(seed)
        keys = [d.key for d in circuit.devices if d.key.endswith(".emergency")]
        if keys:
            break
    still = Live(circuit, scene(circuit))
    flowing = Live(circuit, scene(circuit, branches=(BranchCurrent(keys[0], 50.0),)))
    assert still.is_open(keys[0])
    assert not flowing.is_open(keys[0])


def test_names_and_same_bytes() -> None:
    circuit = circuit_for(9)
    option, day = result_for(circuit, 9), day_for(circuit, 9)
    files = storyboard(circuit, option, [day], INFO)
    assert list(files) == [f"a-scene-season_20_9-{n}.svg" for n in range(1, len(day.scenes) + 1)]
    assert files == storyboard(circuit, option, [day], INFO)
    assert storyboard(circuit, option, [day_of()], INFO) == {}


def test_the_sample_on_marram_fits_a_page() -> None:
    evaluated = evaluate(load_project(ROOT / "projects" / "marram"), {}, "test")
    for option in evaluated.results.options:
        circuit, info = evaluated.circuits[option.id], replace(INFO, designations=evaluated.designations)
        for name, svg in storyboard(circuit, option, sample_behaviour(option).days, info).items():
            sheet = read(name, svg)
            assert not scene_faults(sheet, circuit)
            smallest = min(w.size for g in sheet.groups for w in g.words)
            assert smallest * min(1.0, 259.0 / sheet.width) >= 7 * MM_PER_PT - 0.01, "on a page that lies it is 7 pt"


def test_planted_faults_are_seen() -> None:
    circuit = circuit_for(5)
    day = day_for(circuit, 5)
    option = result_for(circuit, 5)
    name, svg = next(iter(storyboard(circuit, option, [day], INFO).items()))
    assert not scene_faults(read(name, svg), circuit)
    sheet = read(name, svg)
    check_figures(sheet, day.scenes[0], circuit)
    stated = {b.item: b.current_a for b in day.scenes[0].branches}
    key = next(k for k, g in items(sheet, "conductor").items() if arrow(g) and abs(stated.get(k, 0.0)) > IDLE_A)
    for wrong in (
        replace(day.scenes[0], branches=(BranchCurrent(key, 2.0 * stated[key]),)),
        replace(day.scenes[0], branches=(BranchCurrent(key, 0.0),)),
        replace(day.scenes[0], banks_a=tuple((k, -a - 1.0) for k, a in day.scenes[0].banks_a)),
    ):
        with pytest.raises(AssertionError):
            check_figures(sheet, wrong, circuit)
    lost = replace(circuit, sources=(*circuit.sources, replace(circuit.sources[0], key="sources.other")))
    assert missing(sheet, lost)
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
    texts = [t for g in root.findall(SVG + "g") for t in g.findall(SVG + "text")]
    texts[-1].set("x", texts[0].get("x") or "")
    texts[-1].set("y", texts[0].get("y") or "")
    assert scene_faults(read(name, ElementTree.tostring(root)), circuit)


def test_a_dc_dc_charger_is_idle_when_its_leads_are() -> None:
    circuit = next(c for c in map(circuit_for, range(200)) if c.converters)
    key = circuit.converters[0].key
    leads = [c.key for c in circuit.conductors if c.circuit == key and c.pole == "positive"]
    assert leads
    assert not Live(circuit, scene(circuit)).converts(key)
    assert Live(circuit, scene(circuit, branches=(BranchCurrent(leads[0], 20.0),))).converts(key)
