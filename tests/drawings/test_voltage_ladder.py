"""The voltage ladder, read back from its SVG: every number from its place on the axis, nothing over anything else."""

import random
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from proposal.drawings.voltage_ladder import voltage_ladder
from proposal.results.evaluate import evaluate
from proposal.results.model import CitationResult, Finding, LadderResult, OptionResult, RungResult
from proposal.spec.loading import load_project
from tests.drawings.generate import circuit_for, result_for
from tests.drawings.reader import MM_PER_PT, Group, Sheet, _clips, _overlap, read
from tests.drawings.words import INFO

ROOT = Path(__file__).parents[2]
PROJECTS = sorted(p.parent.name for p in (ROOT / "projects").glob("*/spec.yaml"))
CITED = CitationResult("common_practice", "", "common practice")
READING_MM = 0.02


def rung(item: str, group: Any, setting: str, value_v: float, tolerance_v: float = 0.1, **changed: Any) -> RungResult:
    ends = [v for v in (changed.get("cold_v"), changed.get("hot_v")) if v is not None]
    reaches = (value_v, *ends)
    made = RungResult(
        item, group, setting, value_v, tolerance_v, False, min(reaches) - tolerance_v, max(reaches) + tolerance_v, None,
        None, None, CITED,
    )  # fmt: skip
    return replace(made, **changed)


def option(rungs: list[RungResult], findings: tuple[Finding, ...] = ()) -> OptionResult:
    made = result_for(circuit_for(1))
    return replace(made, ladder=LadderResult(tuple(rungs), (), ()), findings=findings)


def drawn(of: OptionResult, names: dict[str, str] | None = None) -> list[Sheet]:
    called = names or {r.item: r.item for r in of.ladder.rungs}
    return [read(name, svg) for name, svg in voltage_ladder(of, INFO, called).items()]


def check(sheet: Sheet) -> None:
    words = [w for g in sheet.groups for w in g.words]
    for i, a in enumerate(words):
        assert a.size >= 7 * MM_PER_PT - 1e-6, f"“{a.text}” is smaller than 7 pt"
        assert a.box[0] >= 0
        assert a.box[1] >= 0
        assert a.box[2] <= sheet.width
        assert a.box[3] <= sheet.height
        for b in words[i + 1 :]:
            assert not _overlap(a.box, b.box), f"“{a.text}” and “{b.text}” overlap"
        for group in sheet.groups:
            for stroke in group.strokes:
                assert not _clips(stroke, a.box), f"a line of {group.kind} {group.key} runs through “{a.text}”"
    assert len(sheet.ids) == len(set(sheet.ids))


def scale(sheet: Sheet) -> tuple[float, float]:
    """Millimetres at 0 V and per volt, from the axis' own lines and the words above them."""
    (axis,) = [g for g in sheet.groups if g.kind == "axis"]
    lines = sorted({round(s.a[0], 3) for s in axis.strokes})
    volts = sorted({float(w.text.removesuffix(" V")) for w in axis.words})
    assert len(lines) == len(volts) >= 3
    per_v = (lines[-1] - lines[0]) / (volts[-1] - volts[0])
    for x, v in zip(lines, volts, strict=True):
        assert x == pytest.approx(lines[0] + (v - volts[0]) * per_v, abs=READING_MM)
    return lines[0] - volts[0] * per_v, per_v


def ticks_v(sheet: Sheet, group: Group) -> list[float]:
    """Voltages at which a row has its ticks: upright lines of 3.8 mm."""
    zero, per_v = scale(sheet)
    upright = [s for s in group.strokes if abs(s.a[0] - s.b[0]) < 1e-6 and abs(abs(s.a[1] - s.b[1]) - 3.8) < 0.01]
    return sorted((s.a[0] - zero) / per_v for s in upright)


def bars_v(sheet: Sheet, group: Group, half_mm: float) -> list[tuple[float, float]]:
    zero, per_v = scale(sheet)
    flat = [s for s in group.strokes if abs(s.a[1] - s.b[1]) < 1e-6 and s.half == pytest.approx(half_mm)]
    return [tuple(sorted(((s.a[0] - zero) / per_v, (s.b[0] - zero) / per_v))) for s in flat]


def rows(sheet: Sheet) -> dict[str, Group]:
    return {g.key: g for g in sheet.groups if g.kind == "rung"}


def test_every_number_is_where_it_says() -> None:
    """By hand: 14.2 ± 0.05 V, −24 mV/K from 25 °C: 14.56 V at 10 °C, 13.84 V at 40 °C; rest 11.9, 12.3, 12.8 V."""
    rests = [
        rung("b", "rest", name, v, 0.0) for name, v in (("rest_full", 12.8), ("rest_half", 12.3), ("rest_low", 11.9))
    ]
    solar = rung("s", "charging", "absorption", 14.2, 0.05, cold_v=14.56, hot_v=13.84)
    (sheet,) = drawn(option([solar, *rests]))
    check(sheet)
    found = rows(sheet)
    near = READING_MM / scale(sheet)[1]
    assert ticks_v(sheet, found["s.absorption"]) == pytest.approx([14.2], abs=near)
    assert bars_v(sheet, found["s.absorption"], 1.2)[0] == pytest.approx((14.15, 14.25), abs=near)
    assert bars_v(sheet, found["s.absorption"], 0.25)[0] == pytest.approx((13.84, 14.56), abs=near)
    assert ticks_v(sheet, found["b.rest"]) == pytest.approx([11.9, 12.3, 12.8], abs=near)
    assert "14.20 ± 0.05 V" in found["s.absorption"].label
    assert "14.56 V cold, 13.84 V hot" in found["s.absorption"].label


@pytest.mark.parametrize("seed", range(25))
def test_generated_ladders_are_readable_and_true(seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311 - test data
    scale_v = rng.choice((1, 2, 4))
    settings = [
        ("charging", "absorption"), ("charging", "float"), ("switching", "opens_above"), ("switching", "joins"),
        ("management", "cuts_above"), ("management", "cuts_below"), ("loads", "input_max"), ("loads", "bears"),
    ]  # fmt: skip
    made = []
    for number in range(rng.randint(1, 60)):
        group, setting = rng.choice(settings)
        value_v = rng.uniform(10, 16) * scale_v
        cold_v, hot_v = value_v + rng.uniform(0, 1), value_v - rng.uniform(0, 1)
        ends = {"cold_v": cold_v, "hot_v": hot_v} if rng.random() < 0.3 else {}
        name = f"item {number} " + "Wg" * rng.randint(0, 40)
        made.append(rung(name, group, setting, value_v, rng.choice((0.0, 0.05, 0.2)), **ends))
    sheets = drawn(option(made))
    found: dict[str, list[float]] = {}
    for sheet in sheets:
        check(sheet)
        assert sheet.height <= 180
        near = READING_MM / scale(sheet)[1]
        for key, group in rows(sheet).items():
            found[key] = ticks_v(sheet, group)
            printed = float(re.search(r"\d+\.\d\d", group.words[1].text)[0])  # type: ignore[index]
            assert found[key] == pytest.approx([printed], abs=near + 0.005)
    for one in made:
        assert f"{one.item}.{one.setting}" in found or one.setting == "bears"


def overlap(number: int, lower: RungResult, upper: RungResult) -> Finding:
    values = {"cause": "opens_in_charge", "lower_item": lower.item, "lower_v": lower.value_v, "upper_item": upper.item,
              "upper_v": upper.value_v}  # fmt: skip
    return Finding(
        "settings_overlap", 55, "fault", "fires", upper.item, "", str(number), "", values, CITED, None, None, None
    )


def test_an_overlap_is_marked_by_shape_number_and_word() -> None:
    charge, opens, other = (
        rung("s", "charging", "absorption", 14.4), rung("k", "switching", "opens_above", 14.4),
        rung("k", "switching", "opens_below", 12.0),
    )  # fmt: skip
    (clear,) = drawn(option([charge, opens, other]))
    assert [g.kind for g in clear.groups].count("overlap") == 0
    assert clear.description.endswith("Clear.")
    (sheet,) = drawn(option([charge, opens, other], (overlap(1, charge, opens),)))
    check(sheet)
    assert [g.kind for g in sheet.groups].count("overlap") == 2
    said = {key: group.label for key, group in rows(sheet).items()}
    assert "overlap 1" in said["s.absorption"]
    assert "overlap 1" in said["k.opens_above"]
    assert "overlap" not in said["k.opens_below"]
    assert sheet.description.endswith("1 overlaps.")


@pytest.mark.parametrize("project", PROJECTS)
def test_ladders_of_the_demonstration_vessels(project: str) -> None:
    results = evaluate(load_project(ROOT / "projects" / project), {}, "test").results
    for each in results.options:
        for sheet in drawn(each, {r.item: f"{r.item} (G1)" for r in each.ladder.rungs}):
            check(sheet)
            assert len(rows(sheet)) >= 4


def test_a_planted_fault_is_seen() -> None:
    """The reader of this test is not blind: a tick moved by 0.1 V, a text over another."""
    (svg,) = voltage_ladder(option([rung("s", "charging", "absorption", 14.2)]), INFO, {"s": "S"}).values()
    sheet = read("x", svg)
    (tick,) = ticks_v(sheet, rows(sheet)["s.absorption"])
    moved = re.sub(rb'(class="rung".*?<polyline points="[^"]*"[^>]*/><polyline points=")([\d.]+),([\d.]+) ([\d.]+),',
                   lambda m: m[1] + b"120,%s 120," % m[3], svg, count=1, flags=re.S)  # fmt: skip
    assert moved != svg
    spoilt = read("x", moved)
    assert abs(ticks_v(spoilt, rows(spoilt)["s.absorption"])[0] - tick) > 0.1


def test_nothing_to_draw() -> None:
    assert voltage_ladder(option([]), INFO, {}) == {}


def test_same_input_same_bytes() -> None:
    of = option([rung("s", "charging", "absorption", 14.2), rung("k", "switching", "joins", 13.3)])
    assert voltage_ladder(of, INFO, {"s": "S"}) == voltage_ladder(of, INFO, {"s": "S"})


def test_hostile_names_are_encoded() -> None:
    of = option([rung("s", "charging", "absorption", 14.2)])
    (sheet,) = drawn(of, {"s": '<script>"&$</script>'})
    check(sheet)
    assert '<script>"&$</script>' in rows(sheet)["s.absorption"].label
