"""Any valid spec goes through every layer: it is computed, told, drawn, written into pages and ready to be set."""

from __future__ import annotations

import random
from pathlib import Path

import lxml.etree
import pytest

from proposal.book.book import make_book
from proposal.book.listing import findings_listing
from proposal.book.sheets import draw_all
from proposal.cli.project import compute
from proposal.publish.pdf import document_html
from proposal.publish.proof import proof
from proposal.results.codec import from_json, to_json
from tests.e2e.conftest import project
from tests.generate import spec_text
from tests.generate_settings import settings_text
from tests.stand_in_days import stand_in

pytestmark = pytest.mark.slow

# In 39 and 95 a bus has nothing on it but a link, which the picture once fell over.
SEEDS = (*range(12), 39, 95)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_valid_spec_passes_every_layer(seed: int, tmp_path: Path) -> None:
    passes(spec_text(random.Random(f"hunt {seed}"), most_loads=12), tmp_path)  # noqa: S311 - test data


@pytest.mark.parametrize("seed", range(20, 24))
def test_a_spec_with_settings_of_every_kind_passes_every_layer(seed: int, tmp_path: Path) -> None:
    passes(settings_text(seed, most_loads=8), tmp_path)


def passes(text: str, tmp_path: Path) -> None:
    """Computed, told, drawn, written into pages and ready to be set."""
    own = project(tmp_path / "projects", "skarn")
    (own / "spec.yaml").write_text(text, encoding="utf-8")
    made = compute(str(own), days=stand_in).evaluated
    results = made.results
    assert to_json(from_json(to_json(results))) == to_json(results)
    assert "items looked at" in findings_listing(results)
    for item in (item for option in results.options for item in option.conductors):
        # rounding of a current that is zero would name the case that decides
        assert not 0.0 < item.design_current_a < 1e-6, item.key
        assert not 0.0 < item.cranking_current_a < 1e-6, item.key
    drawings = draw_all(results, made.circuits, made.designations)
    book = make_book(results, sorted(drawings))
    proof(book, drawings)
    lxml.etree.fromstring(document_html(book, drawings).encode(), lxml.etree.HTMLParser())
    for data in drawings.values():
        lxml.etree.fromstring(data)
    for letter in "ab":
        assert f"{letter}-single-line.svg" in drawings
        assert f"{letter}-picture.svg" in drawings
    assert book.cover.title == "Something"
