"""A drop that larger conductors can meet, and one that none of them can."""

import pytest

from proposal.design.drops import WORTH_SHARE, Losses
from tests.rules.conftest import Bench

RADIO = "loads.radio"


@pytest.fixture(scope="module")
def bench():
    return Bench()


def radio(bench, length_m, **spec):
    return bench.option("one", {"routes.radio.length_m": length_m, "loads.radio.current_a": 20.0, **spec})


def area_mm2(evidence, key=f"{RADIO}.positive"):
    return evidence.circuit.conductor[key].size.area_mm2


def loses(evidence, *circuits):
    """What the conductors of some circuits lose in the usual case [V]."""
    solution = evidence.design.flow.solutions["usual"]
    return sum(
        abs(solution.voltage_v[c.from_node] - solution.voltage_v[c.to_node])
        for c in evidence.circuit.conductors
        if c.circuit in circuits
    )


def test_a_run_that_no_size_mends_is_laid_as_thick_as_is_worth_it(bench):
    """It used to stay at the size of its current alone."""
    evidence = radio(bench, 80.0)
    drop = evidence.design.drops[RADIO]
    excess_v = drop.drop_v - drop.limit_v
    assert excess_v > 0.1
    for_current = next(
        s for s in evidence.family.sizes
        if evidence.family.ampacity(s, 105, 30.0, False, 2, system_v=12.0).ampacity_a >= 20.0
    )  # fmt: skip
    assert area_mm2(evidence) > 4.0 * for_current.area_mm2
    assert evidence.design.choices[f"{RADIO}.positive"].decided_by.code == "drop"
    # a further step is not worth it, or there is none
    sizes = evidence.family.sizes
    at = next(n for n, s in enumerate(sizes) if s.area_mm2 == area_mm2(evidence))
    if at + 1 < len(sizes):
        mended_v = loses(evidence, RADIO) * (1.0 - sizes[at].area_mm2 / sizes[at + 1].area_mm2)
        assert mended_v < WORTH_SHARE * excess_v * 1.02


def test_what_is_lost_elsewhere_does_not_make_a_short_cable_thick(bench):
    """A feeder that is pinned thin loses more than the limit: the radio's own cable cannot mend that."""
    pins = {
        "OPTION.pins": {"panels.panel.positive": "18 AWG", "panels.panel.negative": "18 AWG"},
        "routes.short.length_m": 60.0,
    }
    evidence = radio(bench, 0.5, **pins)
    drop = evidence.design.drops[RADIO]
    assert drop.drop_v > 4 * drop.limit_v
    assert area_mm2(evidence) < 10.0


def test_a_run_that_can_be_mended_is_mended_and_no_more(bench):
    evidence = radio(bench, 10.0)
    drop = evidence.design.drops[RADIO]
    assert 0.7 * drop.limit_v < drop.drop_v <= drop.limit_v


def test_it_ends_with_a_run_of_a_mile(bench):
    evidence = radio(bench, 1600.0)
    assert evidence.design.rounds < 60
    assert area_mm2(evidence) > area_mm2(radio(bench, 10.0))


def test_what_a_larger_conductor_loses_cools_with_its_area():
    """1 V over 10 mm² at 70 °C in a place of 30 °C: with 20 mm² the rise of 40 K falls by 2^1.2, copper 0.393 %/K."""
    lost = Losses({"way": 1.0}, {"way": 5.0}, {"way": 10.0}, {"way": 30.0}, {"way": 70.0})
    assert lost.at_area("way", 10.0) == pytest.approx(1.0)
    warm_c = 30.0 + 40.0 / 2.0**1.2
    half_v = 0.5 * (1.0 + 0.00393 * (warm_c - 20.0)) / (1.0 + 0.00393 * 50.0)
    assert lost.at_area("way", 20.0) == pytest.approx(half_v, rel=1e-9)
