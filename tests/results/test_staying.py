"""What is pinned must still be bought and fitted, unless it is there today and stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from proposal.results.evaluate import evaluate
from proposal.results.model import OptionResult
from proposal.spec.loading import load_project
from tests.recorded_project import project_with

PLACE = "    emergency_parallel: yes\n"


def option(folder: Path, pins: str = "") -> OptionResult:
    """Marram's option with a starter battery, with these pins."""
    project = project_with(folder, "marram", [])
    spec = project / "spec.yaml"
    text = spec.read_text(encoding="utf-8")
    assert text.count(PLACE) == 1
    spec.write_text(text.replace(PLACE, f"{PLACE}    pins: {{{pins}}}\n" if pins else PLACE), encoding="utf-8")
    return evaluate(load_project(project), {}, "test", sheets=False).results.options[1]


def test_a_pin_to_what_was_chosen_anyway_costs_the_same(tmp_path: Path) -> None:
    free = option(tmp_path / "free")
    fuse = next(d for d in free.devices if d.key == "loads.fridge.fuse")
    cable = next(c for c in free.conductors if c.key == "loads.fridge.positive")
    pinned = option(tmp_path / "pinned", f"loads.fridge.fuse: {fuse.part_id}, loads.fridge: {cable.part_id}")
    assert next(d for d in pinned.devices if d.key == fuse.key).pinned
    assert pinned.price == free.price
    assert [c.code for c in pinned.consents] == [c.code for c in free.consents]
    assert [c.values for c in pinned.consents] == [c.values for c in free.consents]


def test_what_stays_and_is_pinned_to_the_same_still_stays(tmp_path: Path) -> None:
    free = option(tmp_path / "free")
    same = option(tmp_path / "same", 'loads.vhf.positive: "10 AWG"')
    assert same.price == free.price


def test_what_stays_and_is_pinned_to_another_is_bought_and_fitted(tmp_path: Path) -> None:
    free = option(tmp_path / "free")
    other = option(tmp_path / "other", "loads.vhf.positive: cable_awg_8_105c")
    assert other.price.material > free.price.material
    assert other.price.labour > free.price.labour


@pytest.mark.parametrize("key", ["positive", "negative"])
def test_a_cable_that_is_pinned_keeps_what_its_insulation_is_made_of(tmp_path: Path, key: str) -> None:
    """Else the same cable would be judged as if nobody had said what it is."""
    free = option(tmp_path / "free")
    cable = next(c for c in free.conductors if c.key == f"loads.fridge.{key}")
    project = project_with(tmp_path / "pinned", "marram", [])
    spec = project / "spec.yaml"
    text = spec.read_text(encoding="utf-8").replace(PLACE, f"{PLACE}    pins: {{{cable.key}: {cable.part_id}}}\n")
    spec.write_text(text, encoding="utf-8")
    made = evaluate(load_project(project), {}, "test", sheets=False)
    assert made.circuits["dedicated"].conductor[cable.key].compound == "xlpe"
