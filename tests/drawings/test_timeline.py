"""Timelines read back from their SVG: every curve is where its samples are, every mark at its time, words are free."""

import random
import re
from dataclasses import replace
from itertools import pairwise
from math import isfinite, isnan, nan
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.drawings.bands import stretches
from proposal.drawings.curves import thinned
from proposal.drawings.days_out import MOST_DARK, neglect_timeline, no_charge_timeline
from proposal.drawings.timeline import day_timeline, engine_runs
from proposal.results.model import CitationResult, LadderResult, OptionResult, RungResult
from proposal.studies.behaviour.result import Dark, Day, Event, StartOnDay, Trace
from tests.drawings.behaving import AUDIT, DAY_S, day_for, neglect_for, no_charge_for
from tests.drawings.generate import HOSTILE, circuit_for, result_for
from tests.drawings.reader import SVG, Group, Sheet, plain_faults, read
from tests.drawings.words import INFO
from tests.sample_behaviour import marram, sample_behaviour

READING_MM = 0.06
"""Half of a thinned curve's freedom, and rounding to 0.001 mm."""
CITED = CitationResult("common_practice", "", "common practice")


def called(option: OptionResult, hostile: bool = False) -> dict[str, str]:
    keys = [x.key for x in (*option.banks, *option.loads, *option.sources, *option.devices)]
    return {key: HOSTILE[n % len(HOSTILE)] if hostile else f"Item {n} (X{n})" for n, key in enumerate(keys)}


def one(files: dict[str, bytes]) -> Sheet:
    ((name, svg),) = files.items()
    return read(name, svg)


def drawn(day: Day, option: OptionResult, *, hostile: bool = False) -> Sheet:
    return one(day_timeline(day, option, INFO, called(option, hostile), "Summer"))


def axes(sheet: Sheet) -> list[tuple[float, float, float, float, float, float]]:
    """(left, right, top, bottom, low, high) of every panel: its border, and the values at its first and last tick."""
    found = []
    for group in (g for g in sheet.groups if g.kind == "axes"):
        xs = [x for s in group.strokes for x in (s.a[0], s.b[0])]
        ys = [y for s in group.strokes for y in (s.a[1], s.b[1])]
        ticks = [w for w in group.words if re.match(r"[\u2212\d]", w.text)]
        by_height = sorted(ticks, key=lambda w: w.box[1])
        high, low = (number(by_height[k].text) for k in (0, -1))
        found.append((min(xs), max(xs), min(ys), max(ys), low, high))
    return found


def number(text: str) -> float:
    return float(re.match(r"\u2212?[\d.]+", text)[0].replace("\u2212", "-"))  # type: ignore[index]


def group(sheet: Sheet, key: str) -> Group:
    (found,) = [g for g in sheet.groups if g.key == key and g.kind in ("curve", "band", "event")]
    return found


def level_at(strokes: Group, x: float) -> list[float]:
    """Heights at which a curve stands at a place."""
    found = []
    for s in strokes.strokes:
        if s.a[0] - 1e-3 <= x <= s.b[0] + 1e-3:
            share = (x - s.a[0]) / (s.b[0] - s.a[0]) if s.b[0] > s.a[0] else 0.0
            found.append(s.a[1] + min(1.0, max(0.0, share)) * (s.b[1] - s.a[1]))
    return found


def simple(traces: tuple[Trace, ...], events: tuple[Event, ...] = (), engine_h: float = 0.0) -> Day:
    return Day("summer", 3600.0, traces, events, (), (), engine_h, AUDIT)


def test_a_voltage_stands_where_its_axis_says() -> None:
    """By hand: 12.0 V at midnight rising by 0.1 V an hour to 14.4 V."""
    option = result_for(circuit_for(1))
    bank = option.banks[0].key
    values = tuple(12.0 + 0.1 * n for n in range(25))
    sheet = drawn(simple((Trace(bank, "voltage_v", values),)), option)
    assert not plain_faults(sheet)
    ((left, right, top, bottom, low, high),) = axes(sheet)
    curve = group(sheet, f"{bank}.voltage_v")
    for hour, volts in enumerate(values):
        x = left + (right - left) * hour / 24.0
        y = bottom - (volts - low) / (high - low) * (bottom - top)
        assert level_at(curve, x)[0] == pytest.approx(y, abs=READING_MM)
    (name,) = [g for g in sheet.groups if g.kind == "name"]
    assert name.label.endswith(" 12.00–14.40 V")


@pytest.mark.parametrize("seed", range(12))
def test_generated_days_are_readable_and_true(seed: int) -> None:
    circuit = circuit_for(seed)
    option = result_for(circuit, seed)
    day = day_for(circuit, seed)
    sheet = drawn(day, option, hostile=seed % 2 == 1)
    assert not plain_faults(sheet)
    frames = axes(sheet)
    assert len({frame[:2] for frame in frames}) == 1, "all panels share one axis of time"
    rng = random.Random(seed)  # noqa: S311 - test data
    panel = {"voltage_v": 0, "charge_share": len(frames) - 1}
    for trace in day.traces:
        if trace.quantity not in panel:
            continue
        left, right, top, bottom, low, high = frames[panel[trace.quantity]]
        curve = group(sheet, f"{trace.item}.{trace.quantity}")
        for n in rng.sample(range(len(trace.values)), 20):
            x = left + (right - left) * n * day.sample_s / DAY_S
            value = trace.values[n] * (100.0 if trace.quantity == "charge_share" else 1.0)
            y = bottom - (value - low) / (high - low) * (bottom - top)
            levels = level_at(curve, x)
            assert isnan(value) or min(abs(y - level) for level in levels) <= READING_MM


def test_fresh_seeds_give_faultless_timelines() -> None:
    for seed in random.SystemRandom().sample(range(10**6), 4):
        circuit = circuit_for(seed)
        option = result_for(circuit, seed)
        names = called(option, hostile=True)
        for sheet in (
            drawn(day_for(circuit, seed), option, hostile=True),
            one(no_charge_timeline(no_charge_for(circuit, seed), option, INFO, names)),
            one(neglect_timeline(neglect_for(circuit, seed), option, INFO, names)),
        ):
            assert not plain_faults(sheet), f"seed {seed}"


@pytest.mark.parametrize("seed", range(8))
def test_days_without_charge_and_neglect_are_readable(seed: int) -> None:
    circuit = circuit_for(seed)
    option = result_for(circuit, seed)
    names = called(option)
    run = no_charge_for(circuit, seed)
    sheet = one(no_charge_timeline(run, option, INFO, names))
    assert not plain_faults(sheet)
    rows = [g for g in sheet.groups if g.kind == "band"]
    together = {(f"{d.time_s / DAY_S:.1f}".removesuffix(".0"), d.critical) for d in run.order}
    assert len(rows) == min(len(together), MOST_DARK)
    assert not plain_faults(one(neglect_timeline(neglect_for(circuit, seed), option, INFO, names)))


def test_the_sample_on_marram_is_faultless() -> None:
    for option in marram().options:
        behaviour = sample_behaviour(option)
        names = called(option)
        for day in behaviour.days:
            assert not plain_faults(one(day_timeline(day, option, INFO, names, day.season)))
        assert not plain_faults(one(no_charge_timeline(behaviour.no_charge, option, INFO, names)))
        assert behaviour.neglect is not None
        assert not plain_faults(one(neglect_timeline(behaviour.neglect, option, INFO, names)))


def test_every_event_has_its_number_at_its_time() -> None:
    option = result_for(circuit_for(1))
    bank = option.banks[0].key
    times = (1.5, 8.0, 8.01, 8.02, 23.9)
    events = tuple(Event(t * 3600.0, "bank_low", bank, {}, None, n == 1) for n, t in enumerate(times))
    sheet = drawn(simple((Trace(bank, "voltage_v", (12.0, 13.0) * 12),), events), option)
    assert not plain_faults(sheet)
    left, right = axes(sheet)[0][:2]
    for n, hours in enumerate(times, 1):
        mark = group(sheet, f"event.{n}")
        assert mark.label == str(n)
        down = [s for s in mark.strokes if abs(s.a[0] - s.b[0]) < 1e-3 and abs(s.a[1] - s.b[1]) > 20.0]
        assert down[0].a[0] == pytest.approx(left + (right - left) * hours / 24.0, abs=0.01)
        outline = [s for s in mark.strokes if s not in down][1:]
        assert all(s.dashed == (n == 2) for s in outline), "an uncertain event is told by its outline"


def test_too_many_events_share_marks_and_none_is_lost() -> None:
    option = result_for(circuit_for(1))
    bank = option.banks[0].key
    events = tuple(Event(n * 400.0, "chatter", bank, {}) for n in range(200))
    sheet = drawn(simple((Trace(bank, "voltage_v", (12.0, 13.0) * 12),), events), option)
    assert not plain_faults(sheet)
    numbers: list[int] = []
    for mark in (g for g in sheet.groups if g.kind == "event"):
        first, _, last = mark.label.partition("–")
        numbers += range(int(first), int(last or first) + 1)
    assert numbers == list(range(1, 201))


def test_states_are_told_by_height_and_words_not_by_colour() -> None:
    option = result_for(circuit_for(1))
    source = option.sources[0].key
    stages = (0.0,) * 6 + (1.0,) * 6 + (2.0,) * 6 + (3.0,) * 6
    sheet = drawn(simple((Trace(source, "stage", stages), Trace("loads", "current_a", (1.0,) * 24))), option)
    assert not plain_faults(sheet)
    band = group(sheet, f"{source}.stage")
    assert [w.text for w in band.words][:3] == ["B", "A", "F"]
    heights = []
    for hour in (9.1, 15.1, 21.1):
        left, right = axes(sheet)[0][:2]
        x = left + (right - left) * hour / 24.0
        level = [
            s for s in band.strokes if abs(s.a[1] - s.b[1]) < 1e-6 and min(s.a[0], s.b[0]) <= x <= max(s.a[0], s.b[0])
        ]
        heights.append(max(s.a[1] for s in level) - min(s.a[1] for s in level))
    assert heights == sorted(heights, reverse=True)
    assert len(set(heights)) == 3
    upright = [s for s in band.strokes if abs(s.a[0] - s.b[0]) < 1e-6 and s.half == pytest.approx(0.09)]
    assert len(upright) > 10, "absorption is hatched"


def test_a_bank_that_takes_stands_below_nought() -> None:
    option = result_for(circuit_for(1))
    bank = option.banks[0].key
    sheet = drawn(
        simple((Trace(bank, "current_a", (-20.0,) * 12 + (5.0,) * 13), Trace("loads", "current_a", (7.0,) * 25))),
        option,
    )
    assert not plain_faults(sheet)
    labels = [g.label for g in sheet.groups if g.kind == "name"]
    assert labels[0].endswith(" ↑ 5.0 ↓ 20.0 A")
    assert labels[1] == "All loads ↓ 7.0 A"
    assert any("gives" in w.text for g in sheet.groups if g.kind == "axes" for w in g.words)


def test_thresholds_of_relays_near_the_day_s_voltages_are_shown() -> None:
    made = result_for(circuit_for(1))
    relay, bank = made.devices[0], made.banks[0].key

    def rung(setting: str, volts: float) -> RungResult:
        return RungResult(relay.key, "switching", setting, volts, 0.1, False, volts, volts, None, None, None, CITED)

    option = replace(made, ladder=LadderResult((rung("joins", 13.3), rung("opens_above", 30.0)), (), ()))
    sheet = drawn(simple((Trace(bank, "voltage_v", (12.8, 13.6) * 12),)), option)
    assert not plain_faults(sheet)
    (limit,) = [g for g in sheet.groups if g.kind == "limit"]
    top, bottom, low, high = axes(sheet)[0][2:]
    y = bottom - (13.3 - low) / (high - low) * (bottom - top)
    assert limit.strokes[0].a[1] == pytest.approx(y, abs=0.01)
    assert any(w.text == f"{relay.designation} joins 13.30 V" for g in sheet.groups for w in g.words)


def test_the_engine_starts_until_the_day_that_is_stated() -> None:
    circuit = circuit_for(3)
    option = result_for(circuit, 3)
    verdicts = ("starts", "starts", "uncertain", "fails")
    starts = tuple(StartOnDay(7.0 * n, 11.0, 9.0, 2.0, v, "own_bank") for n, v in enumerate(verdicts))  # type: ignore[arg-type]
    run = replace(neglect_for(circuit, 3), followed_days=28.0, starts=starts, starts_until_days=7.0)
    sheet = one(neglect_timeline(run, option, INFO, called(option)))
    assert not plain_faults(sheet)
    row = group(sheet, "engine")
    assert "surely until day 7" in row.label
    left, right = axes(sheet)[0][:2]
    edges = {
        round((s.a[0] - left) / (right - left) * 28.0, 1)
        for s in row.strokes
        if abs(s.a[0] - s.b[0]) < 1e-6 and s.half > 0.1
    }
    assert edges == {0.0, 7.0, 21.0}, "surely to day 7, open until it surely fails on day 21"
    assert (
        "on no day"
        in group(one(neglect_timeline(replace(run, starts_until_days=None), option, INFO, {})), "engine").label
    )


def test_a_load_goes_dark_on_its_day() -> None:
    circuit = circuit_for(3)
    option = result_for(circuit, 3)
    load = option.loads[0].key
    run = replace(no_charge_for(circuit, 3), followed_days=10.0, order=(Dark(load, 3.25 * DAY_S, True, 11.0),))
    sheet = one(no_charge_timeline(run, option, INFO, called(option)))
    assert group(sheet, f"{load}.dark").label.endswith("dark on day 3.2 · for safety")


def test_loads_that_go_dark_together_share_a_row() -> None:
    circuit = circuit_for(3, loads=3)
    option = result_for(circuit, 3)
    a, b, c = (load.key for load in option.loads)
    order = (Dark(a, 2.0 * DAY_S, False, 11.0), Dark(b, 2.01 * DAY_S, False, 11.0), Dark(c, 2.01 * DAY_S, True, 11.0))
    run = replace(no_charge_for(circuit, 3), followed_days=10.0, order=order)
    rows = [g for g in one(no_charge_timeline(run, option, INFO, called(option))).groups if g.kind == "band"]
    assert len(rows) == 2
    assert "and 1 more" in rows[0].label
    assert rows[1].label.endswith("for safety")


def test_a_bank_emptied_beyond_its_rated_capacity_is_empty() -> None:
    option = result_for(circuit_for(1))
    bank = option.banks[0].key
    sheet = drawn(simple((Trace(bank, "charge_share", (0.5,) * 12 + (-0.03,) * 13),)), option)
    assert not plain_faults(sheet)
    assert axes(sheet)[0][4] == 0.0
    assert any(g.label.endswith("0–50 %") for g in sheet.groups if g.kind == "name")


def test_the_engine_runs_as_its_events_say() -> None:
    on, off = (lambda t: Event(t, "engine_on", "s", {})), (lambda t: Event(t, "engine_off", "s", {}))
    assert engine_runs((on(10.0), off(20.0), on(30.0))) == [(10.0, 20.0), (30.0, DAY_S)]
    assert engine_runs((off(20.0),)) == [(0.0, 20.0)]
    assert engine_runs(()) == []


@given(st.lists(st.floats(-50.0, 50.0) | st.just(7.0), min_size=1, max_size=80))
def test_no_sample_lies_further_from_a_thinned_curve_than_allowed(values: list[float]) -> None:
    points = [(0.3 * n, v) for n, v in enumerate(values)]
    kept = thinned(points, 0.05)
    assert kept[0] == points[0]
    assert kept[-1] == points[-1]
    assert set(kept) <= set(points)
    for a, b in pairwise(kept):
        for x, y in points:
            if a[0] <= x <= b[0]:
                assert abs(a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1]) - y) <= 0.05 + 1e-9


@given(st.lists(st.sampled_from((0.0, 1.0, 2.0, 3.0)), min_size=1, max_size=50))
def test_stretches_say_the_same_as_the_samples(values: list[float]) -> None:
    states = ("off", "full", "absorption", "float")
    made = stretches(values, 60.0, states, ("", "B", "A", "F"))
    assert [s.state for s in made for _ in range(round((s.end - s.start) / 60.0))] == [states[int(v)] for v in values]
    assert all(a.end == b.start for a, b in pairwise(made))


def test_what_is_missing_leaves_a_gap() -> None:
    option = result_for(circuit_for(1))
    bank = option.banks[0].key
    values = (12.0,) * 8 + (nan,) * 8 + (13.0,) * 9
    sheet = drawn(simple((Trace(bank, "voltage_v", values),)), option)
    left, right = axes(sheet)[0][:2]
    assert isfinite(left)
    assert not level_at(group(sheet, f"{bank}.voltage_v"), left + (right - left) * 12.0 / 24.0)
    assert not plain_faults(drawn(simple((Trace(bank, "voltage_v", (nan,) * 25),)), option))
    assert not plain_faults(drawn(simple(()), option))


def test_same_input_same_bytes() -> None:
    circuit = circuit_for(7)
    option = result_for(circuit, 7)
    day = day_for(circuit, 7)
    assert day_timeline(day, option, INFO, called(option), "S") == day_timeline(day, option, INFO, called(option), "S")


def test_hostile_names_stay_words() -> None:
    circuit = circuit_for(7)
    option = result_for(circuit, 7)
    ((_, svg),) = day_timeline(day_for(circuit, 7), option, INFO, called(option, hostile=True), HOSTILE[0]).items()
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {"svg", "title", "desc", "g", "text", "polyline", "rect"}
    assert HOSTILE[0] in (root.findtext(SVG + "desc") or "")


PLANTS = {
    "1": lambda t: (t[1].set("x", t[0].get("x")), t[1].set("y", t[0].get("y"))),
    "2": lambda t: t[0].set("font-size", "2.4"),
    "3": lambda t: t[-1].set("y", "30"),
}


@pytest.mark.parametrize("rule", sorted(PLANTS))
def test_a_planted_fault_is_seen(rule: str) -> None:
    option = marram().options[0]
    ((name, svg),) = day_timeline(sample_behaviour(option).days[0], option, INFO, called(option), "S").items()
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
    texts = [t for g in root.findall(SVG + "g") if g.get("class") in ("axes", "name") for t in g.findall(SVG + "text")]
    if rule == "3":
        texts[-1].set("x", "100")
    PLANTS[rule](texts)
    assert rule in {fault[0] for fault in plain_faults(read(name, ElementTree.tostring(root)))}
