import json
import math
from pathlib import Path

import pytest

from proposal.results.codec import from_json, plain, rounded, schema, to_json
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project

PROJECTS = Path(__file__).parents[2] / "projects"


@pytest.fixture(scope="module")
def skarn():
    return evaluate(load_project(PROJECTS / "skarn"), {}, "a test").results


def test_results_survive_their_json(skarn):
    text = to_json(skarn)
    assert to_json(from_json(text)) == text


def test_an_older_version_is_read_through_its_step(skarn):
    older = json.loads(to_json(skarn)) | {"results_version": 0}
    older["ship"] = older.pop("vessel")

    def step(made):
        made["vessel"] = made.pop("ship")
        return made | {"results_version": 1}

    assert to_json(from_json(json.dumps(older), {0: step})) == to_json(skarn)


@pytest.mark.parametrize("text", ["[]", "{}", '{"results_version": 99}', '{"results_version": "1"}'])
def test_what_is_no_results_file_is_refused(text):
    with pytest.raises(ValueError, match="results_version"):
        from_json(text)


def test_numbers_have_nine_significant_digits_and_no_minus_zero():
    assert rounded(math.pi * 1e6) == 3141592.65
    assert rounded(1.0 / 3.0) == 0.333333333
    assert math.copysign(1.0, rounded(-0.0)) == 1.0
    with pytest.raises(ValueError, match="inf"):
        plain({"x": math.inf})


def test_units_stand_in_the_names_of_all_numbers():
    units = [
        "_a",
        "_v",
        "_m",
        "_mm2",
        "_ah",
        "_wh",
        "_w",
        "_h",
        "_s",
        "_c",
        "_ohm",
        "_share",
        "_kg",
        "_days",
        "_factor",
        "_f",
        "_j",
        "_count",
        "_version",
        "_lines",
        "_day",
        "_l",
        "_years",
        "_cycles",
        "_per_month",
    ]
    bare = {
        "days", "critical_only_days", "number", "tested", "fired", "undecided", "quantity", "unit_price", "amount",
        "material", "labour", "contingency", "net", "tax", "total", "seed", "count", "steps", "switchings", "capped",
        "unsettled", "day", "nights_low", "cut_offs",
        "entry", "found_entry", "mended_entry", "seal",
        "before", "after",  # of a difference, whose unit stands in the `name` beside them
        "value_before", "value_after",
        "expected", "low", "high", "value",  # of a test, whose unit stands beside them in `unit`
    }  # fmt: skip
    for name, part in schema()["$defs"].items():
        for field, kind in part.get("properties", {}).items():
            types = {kind.get("type"), *(k.get("type") for k in kind.get("anyOf", []))}
            if types & {"number", "integer"}:
                assert field in bare or field.endswith(tuple(units)), f"{name}.{field}"
