"""How strings share: the solved network against Kirchhoff's laws written out for a chain, and one string out."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.studies.flow.cases import flow_cases, is_cranking
from proposal.studies.sharing.equations import TAKE_OFFS, chain_shares, largest_link_ohm, spread_of
from proposal.studies.sharing.result import Sharing, StringOut
from proposal.studies.sharing.study import sharing, strings_out
from tests.circuit.test_chains import with_chain
from tests.generate import CELLS, Built, cell, designed

EACH = pytest.mark.parametrize("take_off", TAKE_OFFS)
ohms = st.floats(1e-5, 1e-2)


def shared(built: Built) -> tuple[Sharing, ...]:
    made = designed(built)
    cases = {c.id: c for c in flow_cases(made.circuit) if not is_cranking(c.id)}
    return sharing(made.circuit, built.family, cases, made.flow)


def outs_of(built: Built, row: Sharing) -> tuple[StringOut, ...]:
    made = designed(built)
    cases = {c.id: c for c in flow_cases(made.circuit) if not is_cranking(c.id)}
    return strings_out(made.circuit, built.family, cases, made.flow, row)


def lithium(built: Built) -> Sharing:
    return next(s for s in shared(built) if s.bank == "banks.lithium")


def test_two_batteries_tapped_at_one_end_by_hand() -> None:
    """R and R + 2·R_l in parallel: shares as their conductances."""
    first, second = chain_shares(2, 4e-3, 2e-4, "same_end")
    assert first / second == pytest.approx(4.4 / 4.0, rel=1e-12)


@given(ohms, ohms)
def test_two_batteries_tapped_at_both_ends_share_evenly(battery_ohm: float, link_ohm: float) -> None:
    assert chain_shares(2, battery_ohm, link_ohm, "both_ends") == pytest.approx((0.5, 0.5), rel=1e-9)


@settings(max_examples=100)
@given(st.integers(2, 24), ohms, ohms)
def test_shares_add_up_and_fall_from_a_single_end_and_mirror_from_both(
    count: int, battery_ohm: float, link_ohm: float
) -> None:
    one, both = (chain_shares(count, battery_ohm, link_ohm, take_off) for take_off in TAKE_OFFS)
    assert sum(one) == pytest.approx(1.0, rel=1e-9)
    assert all(a >= b - 1e-12 for a, b in pairwise(one))
    assert both == pytest.approx(both[::-1], rel=1e-6, abs=1e-9)


@EACH
def test_the_link_that_is_named_spreads_just_so(take_off: str) -> None:
    ohm = largest_link_ohm(5, 4e-3, take_off, 0.1)
    shares = chain_shares(5, 4e-3, ohm, take_off)
    assert spread_of(tuple(1.0 / s for s in shares)) == pytest.approx(0.1, rel=1e-9)


def test_even_paths_do_not_spread() -> None:
    assert spread_of((2.0, 2.0, 2.0)) == 0.0
    assert spread_of((1.0, 3.0)) == pytest.approx(0.5)


@EACH
@pytest.mark.parametrize("fused", ["no", "yes"])
def test_the_solved_network_shares_as_kirchhoff_written_out(take_off: str, fused: str) -> None:
    built = with_chain(4, take_off, fused)
    made = designed(built)
    found = lithium(built)
    one = made.circuit.battery["banks.lithium.s1"]
    link = made.circuit.conductor["banks.lithium.s2.link_positive"]
    fuse_ohm = made.circuit.device["banks.lithium.s1.fuse"].part.resistance_ohm if fused == "yes" else 0.0
    battery_ohm = one.series_count * one.part.resistance_ohm + (fuse_ohm or (4e-4 if fused == "yes" else 0.0))
    link_ohm = built.family.resistance_20c_ohm_per_m(link.size).value * link.length_m
    expected = chain_shares(4, battery_ohm, link_ohm, take_off)
    assert [s.share for s in found.strings] == pytest.approx(expected, rel=1e-6)
    assert found.spread == pytest.approx(getattr(found.chain, take_off), rel=1e-6)


@pytest.mark.parametrize(("arrangement", "volts"), CELLS)
def test_what_holds_for_every_bank(arrangement: str, volts: int) -> None:
    built = cell(arrangement, volts)
    flow = designed(built).flow
    banks = [b for b in built.circuit.banks if len(b.strings) > 1]
    rows = shared(built)
    assert [s.bank for s in rows] == [b.key for b in banks]
    for row, bank in zip(rows, banks, strict=True):
        assert sum(s.share for s in row.strings) == pytest.approx(1.0, rel=1e-9)
        assert row.spread >= -1e-9
        assert (row.chain is not None) is bank.chained
        for string in row.strings:
            assert string.usual_a == flow.solutions["usual"].given_a.get(string.key, 0.0)
            assert string.most_a >= string.usual_a - 1e-9
        if not bank.chained:
            assert row.spread == pytest.approx(0.0, abs=1e-6)
            assert {out.key for out in outs_of(built, row)} == {bank.strings[0]}


def test_with_one_of_two_out_the_other_gives_what_both_gave() -> None:
    built = with_chain(2, "both_ends")
    found = lithium(built)
    usual = next(out for out in outs_of(built, found) if out.case == "usual")
    both_a = sum(s.usual_a for s in found.strings)
    # loads of constant power draw a little more at the lower voltage, and the lead bank beside it gives a little
    assert usual.current_a == pytest.approx(both_a, rel=0.05)
    assert usual.dark == ()
    assert usual.voltage_v is not None
