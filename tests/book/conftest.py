from __future__ import annotations

import importlib.util
import json
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from proposal.book import blocks as b
from proposal.book.book import make_book
from proposal.book.pages.charts import KEY
from proposal.drawings.time_current import chart_name, charts_of
from proposal.results.codec import plain
from proposal.results.evaluate import evaluate
from proposal.results.model import Results
from proposal.spec.loading import load_project

PROJECTS = Path(__file__).parents[2] / "projects"
VESSELS = tuple(sorted(path.parent.name for path in PROJECTS.glob("*/spec.yaml")))


def _module(name: str) -> ModuleType:
    known = f"book_{name}"
    if known not in sys.modules:
        spec = importlib.util.spec_from_file_location(known, Path(__file__).with_name(f"{name}.py"))
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[known] = module
        spec.loader.exec_module(module)
    return sys.modules[known]


@pytest.fixture(scope="session")
def sample() -> ModuleType:
    """The hand-made results."""
    return _module("sample_results")


@pytest.fixture(scope="session")
def reader() -> ModuleType:
    """What walks through a book."""
    return _module("reading_a_book")


@pytest.fixture(scope="session", params=("sample", *VESSELS))
def results(request: pytest.FixtureRequest, sample: ModuleType) -> Results:
    """The hand-made results, then those of each demonstration vessel."""
    if request.param == "sample":
        found: Results = sample.RESULTS
        return found
    return evaluate(load_project(PROJECTS / request.param), {}, "proposal 0.0.0").results


@pytest.fixture(scope="session")
def drawings(results: Results) -> tuple[str, ...]:
    """Names of drawings as the drawing layer gives them."""
    names = []
    for number, option in enumerate(results.options):
        letter = chr(ord("a") + number)
        names += [f"{letter}-{kind}.svg" for kind in ("picture", "single-line", "single-line-2")]
        names += [chart_name(letter, n) for n, _ in enumerate(charts_of(option.protection), start=1)]
    return (*names, KEY)


@pytest.fixture(scope="session")
def book(results: Results, drawings: tuple[str, ...]) -> b.Book:
    return make_book(results, drawings)


@pytest.fixture(scope="session")
def document(results: Results) -> Any:
    """The results as a reader of the JSON gets them."""
    return json.loads(json.dumps(plain(results)))
