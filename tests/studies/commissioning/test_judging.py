"""One reading against its band: what passes, what fails by a hair, what cannot be judged and why."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.studies.commissioning import equations as eq
from proposal.studies.commissioning import kinds
from proposal.studies.commissioning.judge import judge
from proposal.studies.commissioning.result import Band, Expected, Judged, Taken

TABLE = kinds.test_kinds()


def verdict(test: Expected, /, **taken: Any) -> Judged:
    return judge(test, TABLE[test.test], Taken(**taken))


def told(test: Expected, /, **taken: Any) -> tuple[str, str]:
    found = verdict(test, **taken)
    return found.outcome, found.wanting


DROP = Expected("load_drop", "loads.x", "", "V", 0.5, eq.about(0.5, 0.2, 0.02), "calculated", {}, at_a=100.0)
CONTACT = Expected("device_drop", "x", "", "V", 0.03, eq.contact(100.0, 0.0005), "contact", {}, at_a=100.0)
FUSE = Expected("device_drop", "f", "", "V", 0.05, eq.above_at_most(0.05, 0.2), "fuse", {}, at_a=100.0)
SHARE = Expected("sharing", "banks.b.s1", "", "A", 20.0, eq.about(20.0, 0.1, 0.0), "calculated", {}, at_a=40.0)
SHUNT = Expected("shunt", "s", "", "A", 100.0, eq.about(100.0, 0.01, 0.0), "calculated", {}, at_a=100.0)
TORQUE = Expected("torque", "x", "", "N·m", None, Band(), "maker", {}, wanting="maker_figure")
JOINS = Expected("relay_joins", "r", "", "V", 13.3, eq.about(13.3, 0.0, 0.1), "set", {})
DELAY = Expected("relay_delay", "r", "", "s", None, Band(), "set", {}, wanting="relay_settings")
STARTER = Expected("starter_voltage", "engine", "", "V", 11.0, Band(9.6, None), "at_least", {})
OPEN = Expected("contactor_open", "k", "", "V", None, Band(0.1, None), "at_least", {})
HIGH = Expected("stops_high", "b", "", "V", 14.4, eq.about(14.4, 0.0, 0.1), "set", {})
WORKS = Expected("emergency_off", "", "", "", None, Band(), "works", {})
MOVES = Expected("battery_moves", "b", "", "m", None, Band(None, 0.01), "at_most", {})


def test_a_drop_at_the_current_that_was_expected() -> None:
    assert told(DROP, value=0.62, at_a=100.0) == ("pass", "")
    assert told(DROP, value=0.6201, at_a=100.0) == ("fail", "")
    assert told(DROP, value=0.38, at_a=100.0) == ("pass", "")
    assert told(DROP, value=0.3799, at_a=100.0) == ("fail", "")


def test_a_drop_grows_with_the_current() -> None:
    """At 60 of 100 A 0.3 V are expected; 20 % and 20 mV: 0.22 to 0.38 V."""
    found = verdict(DROP, value=0.38, at_a=60.0)
    assert found.outcome == "pass"
    assert found.expected == pytest.approx(0.3)
    assert (found.band.low, found.band.high) == (pytest.approx(0.22), pytest.approx(0.38))
    assert told(DROP, value=0.5, at_a=60.0) == ("fail", "")


def test_a_load_without_a_stated_current_is_taken_at_its_own() -> None:
    assert told(DROP, value=0.5) == ("pass", "")
    assert told(DROP, value=0.3) == ("fail", "")


def test_too_little_current_tells_nothing() -> None:
    """A quarter of it is enough, a hair less is not; of sharing a fifth of the capacity an hour."""
    assert told(DROP, value=0.125, at_a=25.0) == ("pass", "")
    assert told(DROP, value=0.125, at_a=24.9) == ("undecided", "more_current")
    assert told(SHARE, value=19.9, at_a=39.9) == ("undecided", "more_current")
    assert told(SHARE, value=20.0, at_a=40.0) == ("pass", "")


def test_a_contact_without_its_current_cannot_be_judged() -> None:
    """50 mV for each 100 A: 30 mV at 60 A."""
    assert told(CONTACT, value=0.03) == ("undecided", "at_current")
    assert told(CONTACT, value=0.03, at_a=60.0) == ("pass", "")
    assert told(CONTACT, value=0.0301, at_a=60.0) == ("fail", "")
    assert told(CONTACT, value=0.0, at_a=60.0) == ("pass", "")


def test_a_fuse_may_lose_a_fifth_more_than_its_maker_says() -> None:
    assert told(FUSE, value=0.06, at_a=100.0) == ("pass", "")
    assert told(FUSE, value=0.0601, at_a=100.0) == ("fail", "")
    assert told(FUSE, value=0.03, at_a=50.0) == ("pass", "")


def test_a_usual_figure_of_a_fuse_decides_nothing_until_its_maker_speaks() -> None:
    usual = Expected("device_drop", "f", "", "V", 0.05, FUSE.band, "fuse", {}, at_a=100.0, wanting="maker_drop")
    assert told(usual, value=0.9, at_a=100.0) == ("undecided", "maker_drop")
    assert told(usual, value=0.01, at_a=100.0) == ("undecided", "maker_drop")
    found = verdict(usual, value=0.072, at_a=100.0, wanted=0.06)
    assert (found.outcome, found.expected) == ("pass", 0.06)
    assert told(usual, value=0.0721, at_a=100.0, wanted=0.06) == ("fail", "")


def test_a_meter_is_held_against_the_clamp_beside_it() -> None:
    assert told(SHUNT, value=50.5, at_a=50.0) == ("pass", "")
    assert told(SHUNT, value=50.51, at_a=50.0) == ("fail", "")
    assert told(SHUNT, value=50.0) == ("undecided", "at_current")


def test_torque_is_the_makers_and_ten_per_cent() -> None:
    assert told(TORQUE, value=12.0) == ("undecided", "maker_figure")
    assert told(TORQUE, value=11.0, wanted=10.0) == ("pass", "")
    assert told(TORQUE, value=11.01, wanted=10.0) == ("fail", "")
    assert told(TORQUE, value=9.0, wanted=10.0) == ("pass", "")
    assert told(TORQUE, value=8.99, wanted=10.0) == ("fail", "")


def test_what_a_relay_is_set_to() -> None:
    assert told(JOINS, value=13.4) == ("pass", "")
    assert told(JOINS, value=13.41) == ("fail", "")
    assumed = Expected("relay_joins", "r", "", "V", 13.3, JOINS.band, "set", {}, wanting="relay_settings")
    assert told(assumed, value=13.3) == ("undecided", "relay_settings")
    found = verdict(assumed, value=13.65, wanted=13.6)
    assert found.outcome == "pass"
    assert (found.band.low, found.band.high) == (pytest.approx(13.5), pytest.approx(13.7))
    assert told(DELAY, value=10.0) == ("undecided", "relay_settings")
    assert told(DELAY, value=13.0, wanted=10.0) == ("pass", "")
    assert told(DELAY, value=13.1, wanted=10.0) == ("fail", "")


def test_a_starter_needs_what_its_maker_says() -> None:
    assert told(STARTER, value=9.6) == ("pass", "")
    assert told(STARTER, value=9.59) == ("fail", "")
    unknown = Expected("starter_voltage", "engine", "", "V", 11.0, Band(), "at_least", {}, wanting="engine_minimum")
    assert told(unknown, value=11.0) == ("undecided", "engine_minimum")
    assert told(unknown, value=9.0, wanted=9.6) == ("fail", "")
    found = verdict(unknown, value=10.0, wanted=9.6)
    assert (found.outcome, found.expected, found.band) == ("pass", 11.0, Band(9.6, None))


def test_a_limit_by_itself() -> None:
    assert told(MOVES, value=0.01) == ("pass", "")
    assert told(MOVES, value=0.0101) == ("fail", "")


def test_no_voltage_across_a_contactor_proves_nothing() -> None:
    assert told(OPEN, passed=True) == ("undecided", "how_proven")
    assert told(OPEN, passed=True, value=0.0) == ("undecided", "offset")
    assert told(OPEN, passed=True, how="by the voltage across it") == ("undecided", "offset")
    assert told(OPEN, passed=True, how="heard it click") == ("undecided", "how_proven")
    assert told(OPEN, value=0.09) == ("undecided", "offset")
    assert told(OPEN) == ("undecided", "passed")


def test_an_auxiliary_contact_or_an_offset_proves_a_contactor_open() -> None:
    assert told(OPEN, passed=True, how="By its Auxiliary contact") == ("pass", "")
    assert told(OPEN, passed=True, value=0.0, how="by the auxiliary contact") == ("pass", "")
    assert told(OPEN, passed=True, how="by voltage with one side offset by 1 V") == ("pass", "")
    assert told(OPEN, value=0.1) == ("pass", "")
    assert told(OPEN, passed=False, how="by the auxiliary contact") == ("fail", "")
    assert told(OPEN, passed=False, value=0.5) == ("fail", "")


@pytest.mark.parametrize(
    "how",
    ["by voltage without an offset", "no offset", "with no auxiliary contact", "not by its auxiliary contact",
     "by voltage, without any offset at all", "lacks an auxiliary contact"],
)  # fmt: skip
def test_a_way_that_is_denied_proves_nothing(how: str) -> None:
    assert verdict(OPEN, passed=True, how=how).outcome == "undecided"
    assert verdict(OPEN, passed=True, value=0.0, how=how).outcome == "undecided"


def test_no_voltage_across_it_with_an_offset_means_that_it_is_shut() -> None:
    assert told(OPEN, value=0.0, how="one side offset by 1 V") == ("fail", "")
    assert told(OPEN, passed=True, value=0.09, how="one side offset by 1 V") == ("fail", "")
    assert told(OPEN, passed=True, value=0.0, how="by the auxiliary contact, then with an offset") == ("fail", "")


def test_a_word_is_enough_where_there_is_no_figure() -> None:
    assert told(WORKS, passed=True) == ("pass", "")
    assert told(WORKS, passed=False) == ("fail", "")
    assert told(WORKS) == ("undecided", "passed")
    assert told(HIGH, passed=True) == ("pass", "")
    assert told(HIGH, value=14.49) == ("pass", "")
    assert told(HIGH, value=14.6, passed=True) == ("fail", "")


def test_a_word_is_not_enough_where_a_figure_is_needed() -> None:
    assert told(DROP, passed=True) == ("undecided", "value")
    assert told(DROP) == ("undecided", "value")
    assert told(DROP, passed=False) == ("fail", "")


amps = st.floats(25.0, 500.0)


@given(st.floats(0.0, 2.0), amps)
def test_a_drop_and_its_current_change_the_verdict_together(volts: float, at_a: float) -> None:
    """What passes at a current is ±20 % of 5 mΩ times it, and 20 mV: by hand, apart from the very edge."""
    low, high = 0.005 * at_a * 0.8 - 0.02, 0.005 * at_a * 1.2 + 0.02
    if min(abs(volts - low), abs(volts - high)) > 1e-6:
        assert told(DROP, value=volts, at_a=at_a)[0] == ("pass" if low < volts < high else "fail")


@given(st.floats(0.0, 1.0), amps, st.floats(1.0, 4.0))
def test_a_contact_that_passes_at_a_current_passes_with_less_lost(volts: float, at_a: float, less: float) -> None:
    if told(CONTACT, value=volts, at_a=at_a)[0] == "pass":
        assert told(CONTACT, value=volts / less, at_a=at_a)[0] == "pass"
        assert told(CONTACT, value=volts, at_a=at_a * less)[0] == "pass"


@given(
    st.sampled_from([DROP, CONTACT, FUSE, SHARE, SHUNT, TORQUE, JOINS, DELAY, STARTER, OPEN, HIGH, MOVES]),
    st.none() | st.floats(0.0, 100.0), st.none() | st.floats(0.0, 500.0), st.none() | st.booleans(),
    st.sampled_from(["", "by the auxiliary contact", "by voltage"]),
)  # fmt: skip
def test_undecided_always_says_what_is_wanting(
    wanted: Expected, value: float | None, at_a: float | None, passed: bool | None, how: str
) -> None:
    found = verdict(wanted, value=value, at_a=at_a, passed=passed, how=how)
    assert (found.outcome == "undecided") == (found.wanting != "")
    assert found.outcome != "not_measured"
    if passed is False:
        assert found.outcome == "fail"
