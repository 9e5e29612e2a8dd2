"""The real days of Marram: the same again, on one thread and on two, and blind to all that their key leaves out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from proposal.parts.catalogue import Catalogue
from proposal.results.codec import to_json
from proposal.results.days_key import _names, text_of
from proposal.results.days_text import encode
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.store import DaysOf, FolderShelf, remembered
from proposal.spec.loading import load_project
from proposal.studies.behaviour.result import Behaviour
from proposal.studies.behaviour.study import behaviour

pytestmark = pytest.mark.slow

MARRAM = Path(__file__).parents[2] / "projects" / "marram"
YEARS = 5
"""Seeded years of a build are 200; a few go the same way."""
BLANK: dict[type, Any] = {str: "blank", Decimal: Decimal(1), tuple: (), dict: {}}


def simulated(spec: Any, design: Any, family: Any, catalogue: Catalogue, *, threads: int) -> Behaviour:
    return behaviour(spec, design.circuit, family, catalogue, seed=1, threads=threads, years=YEARS)


def _evaluated(days: DaysOf) -> Evaluated:
    return evaluate(load_project(MARRAM), {}, "a test", days=days)


def test_days_are_the_same_again_computed_or_kept_on_one_thread_and_on_two(tmp_path: Path) -> None:
    threads: list[int] = []

    def on(count: int) -> DaysOf:
        def days(*option: Any) -> Behaviour:
            threads.append(count)
            return simulated(*option, threads=count)

        return remembered(days, FolderShelf(tmp_path / str(count)), "stamp")

    one, two, kept = (_evaluated(on(count)) for count in (1, 2, 1))
    assert threads == [1, 1, 2, 2]
    assert one.results == two.results == kept.results
    assert to_json(one.results) == to_json(two.results) == to_json(kept.results)
    assert (tmp_path / "1").is_dir()
    files = [{path.name: path.read_bytes() for path in (tmp_path / n).iterdir()} for n in ("1", "2")]
    assert files[0] == files[1]
    assert len(files[0]) == 2


def _blank(value: Any) -> Any:
    """A model or dataclass with nothing in the fields that the key leaves out."""
    if isinstance(value, BaseModel) or (is_dataclass(value) and not isinstance(value, type)):
        kind: Any = type(value)
        names = kind.model_fields if isinstance(value, BaseModel) else [f.name for f in fields(value) if f.compare]
        counted = _names(kind)
        changed = {}
        for name in names:
            old = getattr(value, name)
            new = _blank(old) if name in counted else BLANK.get(type(old))
            if new is not old:
                changed[name] = new
        if not changed:
            return value
        return value.model_copy(update=changed) if isinstance(value, BaseModel) else replace(value, **changed)
    if isinstance(value, tuple):
        return tuple(_blank(item) for item in value)
    if isinstance(value, Mapping):
        return {name: _blank(item) for name, item in value.items()}
    return value


def test_what_the_key_leaves_out_makes_no_difference_to_the_days() -> None:
    # None stands where the client, the document, the survey were: a simulation that looked there would fail
    compared: list[str] = []

    def days(spec: Any, design: Any, family: Any, catalogue: Catalogue) -> Behaviour:
        usual = simulated(spec, design, family, catalogue, threads=2)
        if spec.option_id == "shared":
            return usual
        bare_spec, bare_circuit = _blank(spec), _blank(design.circuit)
        assert bare_spec.spec.client is None
        assert bare_circuit.titles == ()
        bare_parts = replace(catalogue, parts=_blank(dict(catalogue.parts)))
        key_text = text_of(spec, design.circuit, family, catalogue, "")
        assert text_of(bare_spec, bare_circuit, family, bare_parts, "") == key_text
        bare = simulated(bare_spec, replace(design, circuit=bare_circuit), family, bare_parts, threads=2)
        assert encode(bare) == encode(usual)
        compared.append(spec.option_id)
        return usual

    _evaluated(days)
    assert compared == ["dedicated"]
