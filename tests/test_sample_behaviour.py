"""The made-up Behaviour has every code and fits the results' JSON."""

from typing import get_args

import pytest

from proposal.results.codec import from_json, to_json
from proposal.studies.behaviour import result
from tests.sample_behaviour import marram, with_behaviour


@pytest.fixture(scope="module")
def results():
    return with_behaviour(marram())


def test_it_survives_the_json(results):
    text = to_json(results)
    assert to_json(from_json(text)) == text


def test_every_code_occurs(results):
    made = [option.behaviour for option in results.options]
    events = {e.code for one in made for day in one.days for e in day.events}
    assert events == set(get_args(result.EventCode))
    assert {t.code for one in made for t in one.troubles} == set(get_args(result.Trouble.__annotations__["code"]))
    assert {c.verdict for one in made for c in one.cranking} == set(get_args(result.Verdict))


def test_the_grid_of_the_what_if_is_whole(results):
    for option in results.options:
        grid = option.behaviour.what_if
        size = len(grid.use_factors) * len(grid.bank_factors) * len(grid.solar_factors)
        lists = (grid.autonomy_days, grid.no_charge_days, grid.engine_h_per_day, grid.starts, grid.starts_until_days)
        assert {len(values) for values in lists} == {size}
