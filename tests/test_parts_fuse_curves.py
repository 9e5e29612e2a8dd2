"""Time-current curves: the published gates, what lies between and beyond them, and curves that a price book may bring.

The gates of ISO 8820-3 and -5 and of UL 248-15 are from memory; those of UL 248-14 and -9 are corroborated.
"""

import csv
import itertools
import math
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from proposal.errors import SpecError
from proposal.parts.fuse_curves import Gate, TimeCurve, time_curve
from proposal.reading import read, read_text
from proposal.sources import Citation
from proposal.spec.pricebook import FusePart, PriceBook

with (Path(__file__).parent / "truth" / "fuse_time_limits.csv").open(encoding="utf-8", newline="") as stream:
    PUBLISHED = list(csv.DictReader(stream))
CLASSES = {
    "blade type C and F": ("blade", 15.0),
    "blade type E (maxi)": ("maxi_blade", 60.0),
    "strip SF30 (midi)": ("midi", 100.0),
    "strip SF51 (mega)": ("mega", 300.0),
    "Class T 0-30 A": ("class_t", 30.0),
    "Class T 31-60 A": ("class_t", 40.0),
    "Class T 61-100 A": ("class_t", 80.0),
    "Class T 101-200 A": ("class_t", 150.0),
    "Class T 201-400 A": ("class_t", 400.0),
    "Class T 401-600 A": ("class_t", 500.0),
    "Class T 601-1200 A": ("class_t", 800.0),
    "UL 248-14 supplementary 0-30 A (model row)": ("supplementary", 10.0),
    "Class K <=200 A (model row)": ("class_k", 100.0),
    "Class K 201-600 A (model row)": ("class_k", 400.0),
    "Class K <=600 A (model row)": ("class_k", 400.0),
}


def fuse(fuse_class: str, rating_a: float, curve: tuple[tuple[str, str, str], ...] = ()) -> FusePart:
    gates = [{"current": a, "melts_after": m, "clears_before": c} for a, m, c in curve]
    return FusePart.model_validate(
        {"kind": "fuse", "title": "F", "class": fuse_class, "rating": f"{rating_a} A", "voltage_max": "32 V",
         "interrupt": "2000 A", "curve": gates}
    )  # fmt: skip


def curve_of(fuse_class: str, rating_a: float) -> TimeCurve:
    found = time_curve(fuse(fuse_class, rating_a))
    assert found is not None
    return found


def gate_as_printed(row: dict[str, str]) -> None:
    fuse_class, rating_a = CLASSES[row["class"]]
    curve = curve_of(fuse_class, rating_a)
    current_a = float(row["multiple_of_rating"]) * rating_a
    if row["min_s"] == "carry":
        assert curve.melting_s(current_a) == math.inf
    elif row["min_s"]:
        assert curve.melting_s(current_a) == pytest.approx(float(row["min_s"]), rel=1e-9)
    if row["max_s"].replace(".", "").isdigit():
        assert curve.clearing_s(current_a) == pytest.approx(float(row["max_s"]), rel=1e-9)
    else:
        assert curve.clearing_s(current_a) == math.inf
    assert curve.remembered is (row["status"] == "from memory")
    assert not curve.from_maker


def gate_name(row: dict[str, str]) -> str:
    return f"{row['class']} at {row['multiple_of_rating']}"


@pytest.mark.parametrize("row", [row for row in PUBLISHED if row["status"] != "from memory"], ids=gate_name)
def test_every_published_gate_is_on_the_curve_of_its_class(row: dict[str, str]) -> None:
    gate_as_printed(row)


@pytest.mark.parametrize("row", [row for row in PUBLISHED if row["status"] == "from memory"], ids=gate_name)
def test_from_memory_every_published_gate_is_on_the_curve_of_its_class(row: dict[str, str]) -> None:
    gate_as_printed(row)


def test_every_published_class_is_asked() -> None:
    assert {row["class"] for row in PUBLISHED} == set(CLASSES)


def test_what_no_table_tells_is_not_made_up() -> None:
    for fuse_class in ("anl", "nh_bolt", "cylinder", "thermal_breaker", "dc_breaker", "terminal_cube"):
        assert time_curve(fuse(fuse_class, 60.0)) is None
    assert time_curve(fuse("blade", 41.0)) is None  # above every rating of its class
    class_t = curve_of("class_t", 100.0)
    assert not class_t.tells_melting
    assert class_t.melting_s(110.0) == math.inf  # it carries 1.1 times its rating
    assert class_t.melting_s(111.0) == 0.0  # and nobody says what it stands above
    assert class_t.melting_a(1.0) is None
    assert class_t.carried_a == pytest.approx(110.0)
    class_k = curve_of("class_k", 100.0)
    assert not class_k.tells_clearing
    assert class_k.clearing_a(1.0) is None


def test_between_gates_it_is_straight_in_log_log() -> None:
    """Halfway in log current, halfway in log time: t = √(t₁·t₂) at I = √(I₁·I₂)."""
    curve = curve_of("mega", 200.0)
    middle_a = 200.0 * math.sqrt(3.5 * 6.0)
    assert curve.melting_s(middle_a) == pytest.approx(math.sqrt(0.3 * 0.1))
    assert curve.clearing_s(middle_a) == pytest.approx(math.sqrt(5.0 * 1.0))
    assert not curve.beyond_gates(middle_a)


def test_beyond_the_last_gate_its_i2t_stays_and_is_marked() -> None:
    curve = curve_of("mega", 200.0)
    assert curve.clearing_s(2400.0) == pytest.approx(1.0 / 4.0)
    assert curve.melting_s(2400.0) == pytest.approx(0.1 / 4.0)
    assert curve.beyond_gates(2400.0)
    assert not curve.beyond_gates(1200.0)
    assert curve.clearing_a(0.25) == pytest.approx(2400.0)


def test_below_the_first_gate_it_never_opens() -> None:
    curve = curve_of("blade", 10.0)
    assert curve.melting_s(10.9) == math.inf
    assert curve.clearing_s(13.4) == math.inf
    assert curve.melting_a(1e9) == pytest.approx(11.0)
    assert curve.clearing_a(1e9) == pytest.approx(13.5)


def test_a_makers_curve_goes_before_its_class() -> None:
    curve = time_curve(fuse("mega", 200.0, (("300 A", "100 s", "400 s"), ("1.2 kA", "50 ms", "200 ms"))))
    assert curve is not None
    assert curve.from_maker
    assert not curve.remembered
    assert curve.clearing_s(1200.0) == pytest.approx(0.2)
    assert curve.clearing_s(299.0) == math.inf


gate_lists = st.lists(st.tuples(*[st.floats(1.01, 8.0) for _ in range(3)]), min_size=1, max_size=8)


def fallen(steps: list[tuple[float, float, float]]) -> TimeCurve:
    """A curve with rising currents and falling times, melting before clearing."""
    current_a, melts_s, clears_s, gates = 10.0, 1e4, 2e4, []
    for more, less, less_still in steps:
        current_a, melts_s = current_a * more, melts_s / less
        clears_s = max(melts_s, clears_s / less_still)
        gates.append(Gate(current_a, melts_s, clears_s))
    return TimeCurve(tuple(gates), Citation("maker_sheets", "", "corroborated"), from_maker=True)


@given(steps=gate_lists, one=st.floats(1.0, 1e6), other=st.floats(1.0, 1e6))
def test_more_current_is_never_slower_and_melting_comes_first(steps, one, other) -> None:
    curve = fallen(steps)
    low_a, high_a = sorted((one, other))
    assert curve.melting_s(low_a) >= curve.melting_s(high_a) * (1 - 1e-9)
    assert curve.clearing_s(low_a) >= curve.clearing_s(high_a) * (1 - 1e-9)
    assert curve.melting_s(one) <= curve.clearing_s(one) * (1 + 1e-9)


@given(steps=gate_lists, time_s=st.floats(1e-6, 1e6))
def test_the_current_for_a_time_is_the_time_for_a_current_turned_round(steps, time_s) -> None:
    curve = fallen(steps)
    melting_a, clearing_a = curve.melting_a(time_s), curve.clearing_a(time_s)
    assert melting_a is not None
    assert clearing_a is not None
    assert melting_a <= clearing_a * (1 + 1e-9)
    for amps, seconds in ((melting_a, curve.melting_s), (clearing_a, curve.clearing_s)):
        assert seconds(amps * (1 + 1e-6)) <= time_s * (1 + 1e-4)
        below = seconds(amps * (1 - 1e-6))
        assume(math.isfinite(below))
        assert below >= time_s * (1 - 1e-4)


BOOK = """price_book_version: '1'
currency: EUR
parts:
  f: {{kind: fuse, title: F, class: mega, rating: 200 A, voltage_max: 32 V, interrupt: 2 kA, curve: [{gates}]}}
"""


@pytest.mark.parametrize(
    ("gates", "at", "what"),
    [
        ((("300 A", "9 s", "20 s"), ("300 A", "1 s", "2 s")), "300 A", "rising current"),
        ((("300 A", "9 s", "20 s"), ("400 A", "10 s", "20 s")), "10 s", "melts no later"),
        ((("300 A", "9 s", "20 s"), ("400 A", "1 s", "21 s")), "21 s", "clears no later"),
        ((("300 A", "9 s", "8.9 s"),), "8.9 s", "cleared before it has melted"),
        ((("300 A", "0 s", "20 s"),), "0 s", "needs a time"),
        ((("0 A", "9 s", "20 s"),), "0 A", "needs a current"),
    ],
)
def test_a_curve_that_no_fuse_can_have_is_refused_where_it_stands(gates, at, what) -> None:
    text = BOOK.format(gates=", ".join(f"{{current: {a}, melts_after: {m}, clears_before: {c}}}" for a, m, c in gates))
    with pytest.raises(SpecError) as refused:
        read_text(text, "prices.yaml", PriceBook)
    (problem,) = refused.value.problems
    assert what in problem.what
    assert problem.line == 4
    assert text.splitlines()[3][problem.column - 1 :].startswith(at)


def test_a_curve_that_a_fuse_can_have_is_taken() -> None:
    gates = (
        "{current: 300 A, melts_after: 9 s, clears_before: 9 s}, {current: 400 A, melts_after: 9 s, clears_before: 9 s}"
    )
    part = read_text(BOOK.format(gates=gates), "prices.yaml", PriceBook).value.parts["f"]
    assert isinstance(part, FusePart)
    assert [point.current_a for point in part.curve] == [300.0, 400.0]


def test_curves_of_the_demonstration_book_keep_what_their_class_is_known_for() -> None:
    """Invented curves: each gate of the class that is a promise of every maker holds on them too."""
    prices = Path(__file__).parents[1] / "projects" / "prices.yaml"
    book = read(prices, PriceBook).value
    fuses = [part for part in book.parts.values() if isinstance(part, FusePart) and part.curve]
    assert {part.fuse_class for part in fuses} == {"blade", "class_t", "cylinder", "mega", "midi", "terminal_cube"}
    for part in fuses:
        own = time_curve(part)
        assert own is not None
        assert own.from_maker
        assert "curve" in part.source
        if part.fuse_class in ("cylinder", "terminal_cube"):
            continue  # no published gates to hold them against
        for gate in curve_of(part.fuse_class, part.rating_a).gates:
            if gate.clears_before_s is not None:
                assert own.clearing_s(gate.current_a) <= gate.clears_before_s, (part.title, gate)
            if gate.melts_after_s is not None:
                assert own.melting_s(gate.current_a) >= gate.melts_after_s, (part.title, gate)
    assert len(fuses) >= 2
    assert all(a.melts_after_s < b.melts_after_s for part in fuses for b, a in itertools.pairwise(part.curve))
