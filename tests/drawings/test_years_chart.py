"""The spread of the years read back from its SVG: every quantile where its axis says, words free, figures true."""

import random
from xml.etree import ElementTree

import pytest

from proposal.drawings.years_chart import LESS_IS_WORSE, UNITS, middle, value_text, worst, years_chart
from proposal.studies.behaviour.result import Spread, Years
from tests.drawings.behaving import AUDIT, years_for
from tests.drawings.generate import HOSTILE, circuit_for
from tests.drawings.reader import SVG, Group, Sheet, plain_faults, read
from tests.drawings.words import INFO
from tests.sample_behaviour import marram, sample_behaviour

READING_MM = 0.02


def years(*spreads: Spread) -> Years:
    return Years(200, 1, 300.0, spreads, (), AUDIT)


def drawn(of: Years, *, hostile: bool = False) -> Sheet:
    keys = dict.fromkeys(s.item for s in of.spreads)
    names = {key: HOSTILE[n % len(HOSTILE)] if hostile else f"Bank {n}" for n, key in enumerate(keys)}
    ((name, svg),) = years_chart(of, INFO, names).items()
    return read(name, svg)


def strips(sheet: Sheet) -> dict[str, Group]:
    return {g.key: g for g in sheet.groups if g.kind == "spread"}


def axis_of(sheet: Sheet, strip: Group) -> tuple[float, float]:
    """Millimetres at nought and per unit, from the lines and figures of the axis on which a strip stands."""
    y = strip.strokes[0].a[1]
    (axis,) = [
        g
        for g in sheet.groups
        if g.kind == "axis" and min(s.a[1] for s in g.strokes) < y < max(s.b[1] for s in g.strokes)
    ]
    xs = sorted({s.a[0] for s in axis.strokes if s.a[0] == s.b[0]})
    by_x = {
        min(xs, key=lambda x, w=w: abs(x - (w.box[0] + w.box[2]) / 2)): float(
            w.text.split(" ")[0].replace("\u2212", "-")
        )
        for w in axis.words
    }  # type: ignore[misc]
    (x0, v0), (x1, v1) = min(by_x.items()), max(by_x.items())
    per = (x1 - x0) / (v1 - v0)
    return x0 - v0 * per, per


def check(sheet: Sheet, of: Years) -> None:
    assert not plain_faults(sheet)
    found = strips(sheet)
    assert len(found) == len(of.spreads)
    for spread in of.spreads:
        strip = found[f"{spread.quantity}.{spread.item}" if spread.item else spread.quantity]
        if not any(spread.quantiles) and not strip.strokes:
            assert "none in any year" in strip.label
            continue
        zero, per = axis_of(sheet, strip)
        factor = 100.0 if spread.quantity == "deepest_share" else 1.0
        at = [zero + per * factor * q for q in spread.quantiles]
        line, most, half, tick = strip.strokes[0], strip.strokes[1:5], strip.strokes[5:9], strip.strokes[9]
        diamond = strip.strokes[10:]
        near = pytest.approx
        assert (line.a[0], line.b[0]) == near((at[0], at[-1]), abs=READING_MM)
        assert (most[0].a[0], most[0].b[0]) == near((at[1], at[19]), abs=READING_MM)
        assert (half[0].a[0], half[0].b[0]) == near((at[5], at[15]), abs=READING_MM)
        assert tick.a[0] == near(at[10], abs=READING_MM)
        bad = 2 if spread.quantity in LESS_IS_WORSE else 18
        assert diamond[0].a[0] == near(at[bad], abs=READING_MM)
        assert value_text(spread.quantiles[10], spread.quantity, INFO) in strip.label
        assert value_text(spread.quantiles[bad], spread.quantity, INFO) in strip.label


def test_a_strip_stands_where_its_quantiles_say() -> None:
    """By hand: 0, 5 … 100 engine hours: the middle is 50, one year in ten has 90 or more, half lie from 25 to 75."""
    spread = Spread("engine_h", "", tuple(5.0 * n for n in range(21)))
    sheet = drawn(years(spread))
    check(sheet, years(spread))
    assert (middle(spread), worst(spread)) == (50.0, 90.0)
    assert "middle 50 h\n1 in 10: 90 h or worse" in strips(sheet)["engine_h"].label
    life = Spread("life_years", "bank", tuple(1.0 + 0.5 * n for n in range(21)))
    assert worst(life) == 2.0, "of a life the short ones are the bad ones"


@pytest.mark.parametrize("seed", range(12))
def test_generated_years_are_readable_and_true(seed: int) -> None:
    of = years_for(circuit_for(seed), seed)
    check(drawn(of, hostile=seed % 3 == 0), of)


def test_fresh_seeds_give_faultless_charts() -> None:
    for seed in random.SystemRandom().sample(range(10**6), 10):
        of = years_for(circuit_for(seed), seed)
        check(drawn(of), of)


def test_the_sample_on_marram_is_faultless() -> None:
    for option in marram().options:
        of = sample_behaviour(option).years
        sheet = drawn(of)
        check(sheet, of)
        assert {g.key.partition(".")[0] for g in sheet.groups if g.kind == "spread"} <= set(UNITS)


def test_what_never_happens_is_said_in_words() -> None:
    sheet = drawn(years(Spread("critical_dark_h", "", (0.0,) * 21)))
    assert not plain_faults(sheet)
    assert strips(sheet)["critical_dark_h"].label == "none in any year"
    assert years_chart(years(), INFO, {}) == {}


def test_same_bytes_and_hostile_names() -> None:
    of = years_for(circuit_for(4), 4)
    names = {s.item: HOSTILE[0] for s in of.spreads}
    files = years_chart(of, INFO, names)
    assert files == years_chart(of, INFO, names)
    ((name, svg),) = files.items()
    assert name == "a-years.svg"
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {"svg", "title", "desc", "g", "text", "polyline", "rect"}


def test_a_planted_fault_is_seen() -> None:
    of = years(Spread("engine_h", "", tuple(5.0 * n for n in range(21))))
    sheet = drawn(of)
    tick = strips(sheet)["engine_h"].strokes[9]
    tick.a = (tick.a[0] + 0.2, tick.a[1])
    with pytest.raises(AssertionError):
        check(sheet, of)
