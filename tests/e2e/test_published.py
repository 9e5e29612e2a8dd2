"""The reader of printed numbers itself: it must see a number that is off by one in its last digit."""

from __future__ import annotations

import pytest

from tests.e2e.published import agrees, squeeze


@pytest.mark.parametrize(
    ("text", "value", "ref", "wrong"),
    [
        ("67.4\u00a0mm²", 67.43, "area_mm2", 67.46),
        ("5,394\u00a0A", 5393.6, "fault_from_a", 5393.4),
        ("2.87\u00a0mΩ", 0.00287, "resistance_20c_ohm", 0.00288),
        ("9.6\u00a0%", 0.0955, "loop_drop_share", 0.0966),
        ("11\u00a0m", 11.0, "length_m", 11.1),
        ("4.2\u00a0m", 4.2, "length_m", 4.23),
        ("-25\u00a0°C", -25.0, "place_c", 25.0),
        ("1.2\u00a0days", 1.22, "days", 1.3),
        ("18.0\u00a0h", 0.75, "critical_only_days", 18.0),
        ("1.3E-9\u00a0A", 1.3e-9, "kirchhoff_a", 1.3e-8),
        ("€14,603.48", "14603.48", "total", "14603.49"),
        ("1.3\u00a0m", "1.3", "quantity", "1.4"),
        ("2/0 AWG", "2/0 AWG", "size", "1/0 AWG"),
        ("12 AWG", "12 AWG", "size", "10 AWG"),
        ("– not known", None, "rating_a", 0.0),
        ("0\u00a0A", 0.0, "current_a", None),
    ],
)
def test_the_printed_number_agrees_with_its_value_only(text: str, value: object, ref: str, wrong: object) -> None:
    assert agrees(text, value, ref)
    assert not agrees(text, wrong, ref)


def test_text_is_compared_without_white_space_and_ligatures() -> None:
    assert squeeze("e\ufb03cient \u00a0way\n") == "efficientway"
