"""Each figure that is assumed of a battery in the days has its sentence, and the sentence has its figures."""

import typing

import pytest

from proposal.book.language import fields_of
from proposal.book.sentences.behaviour_assumed import ASSUMED
from proposal.parts.dynamics_assumed import assumptions
from proposal.spec.pricebook import BatteryPart, Chemistry


@pytest.mark.parametrize("kind", typing.get_args(Chemistry))
def test_what_is_assumed_of_batteries_has_words(kind: str) -> None:
    volts = "12.8 V" if kind == "lithium" else "12 V"
    part = BatteryPart.model_validate(
        {"kind": "battery", "title": "B", "chemistry": kind, "voltage": volts, "capacity": "100 Ah", "heated": "yes"}
    )
    for code, values, _ in assumptions(part):
        assert set(fields_of(ASSUMED[code])) - {"item"} <= set(values), code
