"""Time-current charts: read back to numbers by their own ticks, readable, and every fuse on just one of them."""

import re
from dataclasses import replace
from itertools import pairwise
from math import log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.circuit.designations import assign
from proposal.drawings.axes import Frame, LogScale, apart, room, step_above, step_below
from proposal.drawings.sheet import LABEL_KEYS
from proposal.drawings.time_current import Chart, chart_name, charts_of, time_current
from proposal.drawings.time_key import curve_key
from proposal.drawings.time_lines import cut
from proposal.results.model import (
    CitationResult,
    CurveGate,
    GuardedResult,
    MustPassResult,
    NeighbourResult,
    ProtectionResult,
)
from proposal.results.protected import protection_rows
from tests.drawings.reader import MM_PER_PT, Group, Sheet, _clips, _overlap, read
from tests.drawings.words import INFO, LABELS
from tests.generate import CELLS, cell, designed

CITED = CitationResult("memory", "", "from memory")
GATES = (CurveGate(250.0, 3600.0, 9000.0), CurveGate(400.0, 9.0, 60.0), CurveGate(2000.0, 0.02, 0.08))
GUARDED = GuardedResult("w", "W1", "pvc", 35.0, 115.0, CITED, 1300.0, "b", 1300.0, 0.2, 9.5, )  # fmt: skip


def fuse(key: str = "f", **fields: object) -> ProtectionResult:
    usual = ProtectionResult(
        key, key.upper(), "Title", "part", "Class T fuse 200 A", "class_t", 200.0, 20000.0, 6400.0, 1300.0, 0.2, GATES,
        CITED, True, False, (GUARDED,), (MustPassResult("loads.winch", "inrush", 320.0, 0.4, True),), (), (), (), (),
    )  # fmt: skip
    return replace(usual, **fields)  # type: ignore[arg-type]


def drawn(chart: Chart) -> Sheet:
    return read("a.svg", time_current(chart, INFO, "a-curve-1.svg", "What it says."))


def of(rows: list[ProtectionResult]) -> Sheet:
    return drawn(charts_of(rows)[0])


def groups(sheet: Sheet, kind: str) -> list[Group]:
    return [g for g in sheet.groups if g.kind == kind]


UNITS = {"A": 1.0, "kA": 1000.0, "s": 1.0, "ms": 0.001}


class Reading:
    """Reads values off a chart as a person does: from the ticks and what is written beside them."""

    def __init__(self, sheet: Sheet) -> None:
        (axes,) = groups(sheet, "axes")
        across, along = [], []
        ticks = [s for s in axes.strokes if abs(s.a[0] - s.b[0]) + abs(s.a[1] - s.b[1]) < 1.5]
        for words in axes.words:
            value, unit = words.text.split()
            number = float(value) * UNITS[unit]
            x0, y0, x1, y1 = words.box
            if unit.endswith("A"):
                near = min((s for s in ticks if s.a[0] == s.b[0]), key=lambda s: abs(s.a[0] - (x0 + x1) / 2))
                across.append((log10(number), near.a[0]))
            else:
                near = min((s for s in ticks if s.a[1] == s.b[1]), key=lambda s: abs(s.a[1] - (y0 + y1) / 2))
                along.append((log10(number), near.a[1]))
        self.x, self.y = (self._line(points) for points in (across, along))

    @staticmethod
    def _line(points: list[tuple[float, float]]) -> tuple[float, float]:
        (low, low_mm), (high, high_mm) = points[0], points[-1]
        slope = (high_mm - low_mm) / (high - low)
        for value, place in points:
            assert place == pytest.approx(low_mm + slope * (value - low), abs=0.01), "ticks lie on one scale"
        return low_mm - slope * low, slope

    def current_a(self, x_mm: float) -> float:
        return 10.0 ** ((x_mm - self.x[0]) / self.x[1])

    def time_s(self, y_mm: float) -> float:
        return 10.0 ** ((y_mm - self.y[0]) / self.y[1])


def corners(group: Group) -> list[tuple[float, float]]:
    return [s.a for s in group.strokes] + [group.strokes[-1].b]


def test_the_gates_are_where_they_should_be() -> None:
    sheet = of([fuse()])
    reading = Reading(sheet)
    for kind, name in (("melting", "melts_after_s"), ("clearing", "clears_before_s")):
        (group,) = groups(sheet, kind)
        points = [(reading.current_a(x), reading.time_s(y)) for x, y in corners(group)]
        for gate in GATES:
            seconds = getattr(gate, name)
            assert any(
                amps == pytest.approx(gate.current_a, rel=0.01) and time == pytest.approx(seconds, rel=0.02)
                for amps, time in points
            ), (kind, gate)


def test_beyond_the_last_gate_i2t_stays_and_the_line_is_broken() -> None:
    sheet = of([fuse()])
    reading = Reading(sheet)
    (clearing,) = groups(sheet, "clearing")
    last = clearing.strokes[-1]
    assert last.dashed
    assert not any(s.dashed for s in clearing.strokes[:-1])
    for x, y in (last.a, last.b):
        assert reading.current_a(x) ** 2 * reading.time_s(y) == pytest.approx(2000.0**2 * 0.08, rel=0.02)


def test_the_conductors_line_is_k2s2_up_to_five_seconds() -> None:
    sheet = of([fuse()])
    reading = Reading(sheet)
    (line,) = groups(sheet, "harm")
    ends = [(reading.current_a(x), reading.time_s(y)) for x, y in corners(line)]
    for amps, seconds in ends:
        assert amps**2 * seconds == pytest.approx((115.0 * 35.0) ** 2, rel=0.02)
    assert max(seconds for _, seconds in ends) == pytest.approx(5.0, rel=0.01)


def test_the_conductors_line_stands_at_the_currents_of_the_fuse() -> None:
    """Of a fault that three strings feed a third flows through each fuse: the conductor is harmed sooner."""
    third = replace(GUARDED, least_fault_a=3900.0, through_fuse_a=1300.0)
    sheet = of([fuse(guarded=(third,))])
    reading = Reading(sheet)
    (line,) = groups(sheet, "harm")
    for x, y in corners(line):
        assert (3.0 * reading.current_a(x)) ** 2 * reading.time_s(y) == pytest.approx((115.0 * 35.0) ** 2, rel=0.02)


def test_faults_and_breaking_capacity_stand_upright_at_their_values() -> None:
    sheet = of([fuse()])
    reading = Reading(sheet)
    for kind, amps, words in (
        ("least", 1300.0, "min 1.3 kA"), ("highest", 6400.0, "max 6.4 kA"), ("breaking", 20000.0, "breaks 20 kA"),
    ):  # fmt: skip
        (group,) = groups(sheet, kind)
        line = group.strokes[-1]
        assert line.a[0] == line.b[0]
        assert reading.current_a(line.a[0]) == pytest.approx(amps, rel=0.01)
        assert group.label == words


def test_a_start_that_it_must_let_pass_is_a_mark() -> None:
    sheet = of([fuse()])
    reading = Reading(sheet)
    (mark,) = groups(sheet, "pass")
    xs, ys = zip(*corners(mark), strict=True)
    assert reading.current_a((min(xs) + max(xs)) / 2) == pytest.approx(320.0, rel=0.01)
    assert reading.time_s((min(ys) + max(ys)) / 2) == pytest.approx(0.4, rel=0.01)


def test_a_neighbour_stands_at_the_currents_of_the_charts_own_fuse() -> None:
    """Upstream it carries half of the current, so that its curve lies at twice its own amperes; downstream likewise."""
    own = fuse("f", upstream=(NeighbourResult("u", 0.5),), downstream=(NeighbourResult("d", 0.5),))
    rows = [own, fuse("u"), fuse("d")]
    sheet = drawn(next(c for c in charts_of(rows) if c.fuses[0].key == "f"))
    reading = Reading(sheet)
    firsts = {g.designation: reading.current_a(min(x for x, _ in corners(g))) for g in groups(sheet, "neighbour")}
    assert firsts == {"U": pytest.approx(500.0, rel=0.01), "D": pytest.approx(125.0, rel=0.01)}
    assert {g.label for g in groups(sheet, "name")} == {"U", "D"}


def test_what_is_not_known_is_not_drawn() -> None:
    unknown = of([fuse(curve=(), part_title="Limiter")])
    assert not groups(unknown, "melting")
    assert not groups(unknown, "band")
    assert "curve unknown" in groups(unknown, "title")[0].label
    clearing_only = of([fuse(curve=(CurveGate(220.0, None, None), CurveGate(400.0, None, 480.0)))])
    assert not groups(clearing_only, "melting")
    assert not groups(clearing_only, "band")
    assert groups(clearing_only, "clearing")
    bare = of([fuse(part_id=None, part_title="", rating_a=None, interrupt_a=None, curve=(), least_fault_a=None,
                    guarded=(), must_pass=())])  # fmt: skip
    assert {g.kind for g in bare.groups} == {"axes", "highest", "title"}


def test_fuses_that_are_alike_share_a_chart_of_the_hardest_case() -> None:
    before = (NeighbourResult("main", 1.0),)
    one, other = fuse("f1", upstream=before), fuse("f2", upstream=before, least_fault_a=900.0, fault_max_a=7000.0)
    thicker = fuse("f3", upstream=before, guarded=(replace(GUARDED, area_mm2=50.0),))
    main = fuse("main", downstream=(NeighbourResult("f1", 1.0),))
    charts = charts_of([main, one, other, thicker])
    assert [[f.key for f in c.fuses] for c in charts] == [["main"], ["f1", "f2"], ["f3"]]
    assert (charts[1].least_a, charts[1].highest_a, charts[1].hardest.key) == (900.0, 7000.0, "f2")


def legible(sheet: Sheet) -> None:
    words = [(g, w) for g in sheet.groups for w in g.words]
    for number, (group, a) in enumerate(words):
        assert a.size >= 7 * MM_PER_PT, f"“{a.text}” is smaller than 7 pt"
        assert a.box[0] >= 0
        assert a.box[1] >= 0
        assert a.box[2] <= sheet.width
        assert a.box[3] <= sheet.height
        for _, b in words[number + 1 :]:
            assert not _overlap(a.box, b.box), f"“{a.text}” and “{b.text}” overlap"
        for other in sheet.groups:
            for stroke in other.strokes:
                assert not _clips(stroke, a.box), f"a line of {other.kind} runs through “{a.text}” of {group.kind}"
    assert len(sheet.ids) == len(set(sheet.ids))


@pytest.mark.parametrize("which", CELLS[::4], ids=str)
def test_charts_of_generated_circuits_are_legible(which: tuple[str, int]) -> None:
    made = designed(cell(*which))
    rows = protection_rows(made, assign({}, [made.circuit]))
    charts = charts_of(rows)
    assert sorted(f.key for c in charts for f in c.fuses) == sorted(r.key for r in rows)
    for chart in charts:
        sheet = drawn(chart)
        legible(sheet)
        Reading(sheet)


amperes = st.floats(0.5, 30000.0)


@given(least=st.none() | amperes, highest=amperes, breaks=st.none() | amperes, rating=amperes, starts=amperes)
def test_any_currents_make_a_legible_chart(least, highest, breaks, rating, starts) -> None:
    gates = tuple(replace(g, current_a=g.current_a * rating / 200.0) for g in GATES)
    near = (NeighbourResult("u", 1.0), NeighbourResult("v", 0.3))
    start = MustPassResult("loads.winch", "start", starts, 8.0, False)
    own = fuse(least_fault_a=least, fault_max_a=highest, interrupt_a=breaks, rating_a=rating, curve=gates,
               upstream=near, must_pass=(start,))  # fmt: skip
    sheet = drawn(charts_of([own, fuse("u"), fuse("v", designation="F123")])[0])
    legible(sheet)
    inside = [s for g in sheet.groups if g.kind not in ("axes", "title") for s in g.strokes]
    assert all(0.0 <= x <= sheet.width and 0.0 <= y <= sheet.height for s in inside for x, y in (s.a, s.b))


def test_the_key_is_legible_and_every_word_is_used() -> None:
    class Asked(dict[str, str]):
        seen: set[str]

        def __getitem__(self, key: str) -> str:
            self.seen.add(key)
            return super().__getitem__(key)

    labels = Asked(LABELS)
    labels.seen = set()
    info = replace(INFO, labels=labels)
    sheet = read("key.svg", curve_key(info, "key-curve-lines.svg", "All lines."))
    legible(sheet)
    assert (sheet.title, sheet.description) == (LABELS["key_title"], "All lines.")
    for row in (fuse(), fuse(curve=(), part_title="", part_id=None)):
        time_current(charts_of([row])[0], info, "a-curve-1.svg", "Says.")
    wanted = {k for k in LABEL_KEYS if k.startswith(("chart_", "key_"))} | {"kiloampere", "second", "millisecond"}
    assert wanted <= labels.seen


def test_it_carries_its_words_and_no_markup_of_others() -> None:
    evil = '<script>x</script> & "'
    data = time_current(charts_of([fuse(designation=evil, part_title=evil)])[0], INFO, chart_name("a", 3), evil)
    assert b"<script" not in data
    sheet = read(chart_name("a", 3), data)
    assert sheet.description == evil
    assert re.fullmatch(r"a-curve-3\.svg", chart_name("a", 3))


# --- axes ------------------------------------------------------------------------------------------------------------


@given(value=st.floats(1e-6, 1e8))
def test_steps_enclose_a_value(value: float) -> None:
    low, high = step_below(value), step_above(value)
    assert low <= value * (1 + 1e-8)
    assert high >= value * (1 - 1e-8)
    assert high <= 2.5 * low * (1 + 1e-8)


@given(st.lists(st.tuples(st.floats(-50.0, 150.0), st.floats(1.0, 20.0)), min_size=1, max_size=5))
def test_labels_never_overlap_where_there_is_room(labels: list[tuple[float, float]]) -> None:
    wanted = sorted(labels)
    if room((w for _, w in wanted), 1.0) > 100.0:
        return
    left = apart(wanted, 0.0, 100.0, 1.0)
    assert left[0] >= -1e-9
    assert left[-1] + wanted[-1][1] <= 100.0 + 1e-9
    for (one, (_, width)), (other, _) in pairwise(zip(left, wanted, strict=True)):
        assert other >= one + width + 1.0 - 1e-9


@given(st.tuples(*[st.floats(-40.0, 140.0)] * 4))
def test_a_line_is_cut_to_the_frame(ends: tuple[float, float, float, float]) -> None:
    frame = Frame(LogScale(1.0, 10.0, 0.0, 100.0), LogScale(1.0, 10.0, 100.0, 0.0))
    a, b = ends[:2], ends[2:]
    piece = frame.inside(a, b)
    hundred = [(a[0] + t * (b[0] - a[0]) / 200, a[1] + t * (b[1] - a[1]) / 200) for t in range(201)]
    within = [p for p in hundred if all(1e-6 < v < 100.0 - 1e-6 for v in p)]
    if piece is None:
        assert not within
        return
    assert all(-1e-6 <= v <= 100.0 + 1e-6 for p in piece for v in p)
    for p in within:
        for axis in (0, 1):
            low, high = sorted(q[axis] for q in piece)
            assert low - 1e-6 <= p[axis] <= high + 1e-6


def test_a_polygon_is_cut_to_the_frame() -> None:
    frame = Frame(LogScale(1.0, 10.0, 0.0, 100.0), LogScale(1.0, 10.0, 100.0, 0.0))
    outline = cut([(-50.0, 20.0), (50.0, 20.0), (50.0, 40.0), (-50.0, 40.0)], frame)
    assert sorted(outline) == [(0.0, 20.0), (0.0, 40.0), (50.0, 20.0), (50.0, 40.0)]
    assert cut([(-50.0, 20.0), (-10.0, 20.0), (-10.0, 40.0)], frame) == []
