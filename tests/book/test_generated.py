"""A book for every arrangement and voltage, from random but valid specs."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path
from types import ModuleType

import pytest

from proposal.book.book import make_book
from proposal.publish.proof import proof
from proposal.results.codec import plain
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from tests.generate import CELLS, PROJECTS, spec_text

QUICK = tuple(cell for number, cell in enumerate(CELLS) if number % 4 == 0)


def check(arrangement: str, volts: int, folder: Path, reader: ModuleType) -> None:
    rng = random.Random(f"book {arrangement} {volts}")  # noqa: S311 - test data
    for name in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / name, folder / name)
    text = spec_text(rng, voltage_v=volts, arrangements=(arrangement,), most_loads=8)
    (folder / "spec.yaml").write_text(text, encoding="utf-8")
    results = evaluate(load_project(folder), {}, "proposal 0.0.0").results
    book = make_book(results, ())
    proof(book, ())
    document = json.loads(json.dumps(plain(results)))
    assert list(reader.wrong_numbers(book, document)) == []
    assert list(reader.code_words(book, document)) == []
    assert list(reader.blanks(book)) == []


@pytest.mark.parametrize(("arrangement", "volts"), QUICK)
def test_some_arrangements_make_a_good_book(arrangement: str, volts: int, tmp_path: Path, reader: ModuleType) -> None:
    check(arrangement, volts, tmp_path, reader)


@pytest.mark.slow
@pytest.mark.parametrize(("arrangement", "volts"), [cell for cell in CELLS if cell not in QUICK])
def test_every_arrangement_makes_a_good_book(arrangement: str, volts: int, tmp_path: Path, reader: ModuleType) -> None:
    check(arrangement, volts, tmp_path, reader)
