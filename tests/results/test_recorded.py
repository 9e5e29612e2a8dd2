"""Results of the demonstrations and of generated vessels stay what they were, unless somebody means to change them."""

import pytest

from tests.results.recorded import VESSELS, _coarse, fingerprints, recorded


@pytest.mark.parametrize("vessel", VESSELS)
def test_nothing_moved_unnoticed(vessel: str) -> None:
    """Where something should move: look at it, then write the record anew (`python -m tests.results.recorded`)."""
    then, now = recorded()[vessel], dict(fingerprints(vessel))
    moved = [section for section in {**then, **now} if then.get(section) != now.get(section)]
    assert moved == [], f"{vessel}: these sections are not what they were"


def test_the_record_knows_exactly_these_vessels() -> None:
    assert tuple(recorded()) == VESSELS


def test_a_fingerprint_sees_the_fifth_digit_and_no_noise() -> None:
    assert _coarse([1.23456, 1e-9, -2e-8, "x", None, True]) == [1.2346, 0.0, 0.0, "x", None, True]
    assert _coarse({"a": 1.2345}) != _coarse({"a": 1.2346})
