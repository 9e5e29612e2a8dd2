"""Which figures moved: by rows that are known again, at nine digits, grouped by where they stand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.archive.moved import Moved, causes, count_values, moved, same_number

CONDUCTORS = [{"key": "loads.fridge.positive", "area_mm2": 4.0}, {"key": "loads.pump.positive", "area_mm2": 2.5}]


def results(**more: object) -> dict[str, object]:
    option = {"id": "one", "conductors": CONDUCTORS, "behaviour": {"x": 1.0}, "findings": []} | more
    return {"made_by": "proposal 1", "options": [option], "record": {"tests": [], "letter": "A"}}


def test_nothing_moved_in_equal_results_of_another_release() -> None:
    assert moved(results(), results() | {"made_by": "proposal 2"}) == ()


def test_a_value_is_told_with_its_row_and_section() -> None:
    other = [{"key": "loads.fridge.positive", "area_mm2": 6.0}, CONDUCTORS[1]]
    assert moved(results(), results(conductors=other)) == (
        Moved("option one: conductors", "options.one.conductors.loads.fridge.positive.area_mm2", 4.0, 6.0),
    )


def test_rows_are_known_again_wherever_they_stand() -> None:
    new = {"key": "loads.lamp.positive", "area_mm2": 1.5}
    assert moved(results(), results(conductors=[new, *reversed(CONDUCTORS)])) == (
        Moved("option one: conductors", "options.one.conductors.loads.lamp.positive", None, new),
    )


def test_rows_that_nothing_tells_apart_are_taken_by_their_place() -> None:
    one, other = {"options": [], "a": [{"x": 1}, {"x": 1}]}, {"options": [], "a": [{"x": 1}, {"x": 2}]}
    assert moved(one, other) == (Moved("a", "a.1.x", 1, 2),)


@pytest.mark.parametrize(
    ("old", "new"), [(1, True), (1.0, "1.0"), (None, 0.0), ({}, []), ([1], []), ("a", "b"), (True, False), (0.0, 1e-12)]
)
def test_any_other_kind_of_value_has_moved(old: object, new: object) -> None:
    assert moved({"a": old}, {"a": new}) != ()
    assert moved({"a": new}, {"a": old}) != ()


def test_what_rests_on_the_days_can_be_left_out() -> None:
    other = results(behaviour=None, findings=[{"id": "x", "item": ""}])
    assert len(moved(results(), other)) == 2
    assert moved(results(), other, days=False) == ()


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (1.23456789, 1.23456789, True), (1.23456789, 1.23456790, True), (1.23456789, 1.23456791, False),
        (99999999.9, 100000000, True), (123456789, 123456790, True), (123456789, 123456791, False),
        (0.0, 0.0, True), (0.0, 1e-300, False), (-1.5, 1.5, False), (1e-20, 1.00000001e-20, True),
    ],
)  # fmt: skip
def test_numbers_agree_at_nine_digits(one: float, other: float, same: bool) -> None:
    assert same_number(one, other) is same
    assert same_number(other, one) is same


@given(st.floats(1e-200, 1e200), st.floats(-1e-15, 1e-15))
def test_rounding_on_two_machines_never_tells_numbers_apart(value: float, noise: float) -> None:
    """The results hold nine digits; a last bit that differs before rounding moves the ninth by one at most."""
    one, other = float(f"{value:.9g}"), float(f"{value * (1 + noise):.9g}")
    assert same_number(one, other)
    assert not same_number(one, one * (1 + 5e-8))
    assert math.isfinite(one)


def test_versions_that_differ_are_the_causes() -> None:
    assert causes({"numpy": "1", "proposal": "1"}, {"proposal": "1", "numpy": "2", "pvlib": "3"}) == (
        ("numpy", "1", "2"),
        ("pvlib", "", "3"),
    )
    assert causes({"numpy": "1"}, {"numpy": "1"}) == ()


def test_values_are_counted() -> None:
    assert count_values(results()) == 9 - 1
