"""The plain picture: readable, complete, and with no number but those of the results."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from proposal.circuit.model import Circuit
from proposal.drawings.simple_picture import simple_picture
from proposal.results.evaluate import evaluate
from proposal.results.model import OptionResult
from proposal.spec.loading import load_project
from tests.drawings.generate import circuit_for, result_for
from tests.drawings.reader import MM_PER_PT, Sheet, _clips, _overlap, read
from tests.drawings.words import INFO

ROOT = Path(__file__).parents[2]
PROJECTS = sorted(p.parent.name for p in (ROOT / "projects").glob("*/spec.yaml"))


def picture(circuit: Circuit, option: OptionResult) -> Sheet:
    files = simple_picture(circuit, option, INFO)
    assert list(files) == ["a-picture.svg"]
    return read("a-picture.svg", files["a-picture.svg"])


def check(sheet: Sheet) -> None:
    words = [w for g in sheet.groups for w in g.words]
    for i, a in enumerate(words):
        assert a.letter or a.size >= 9 * MM_PER_PT, f"“{a.text}” is smaller than 9 pt"
        assert a.box[0] >= 0
        assert a.box[1] >= 0
        assert a.box[2] <= sheet.width
        assert a.box[3] <= sheet.height
        for b in words[i + 1 :]:
            assert not _overlap(a.box, b.box), f"“{a.text}” and “{b.text}” overlap"
        for group in sheet.groups:
            for stroke in group.strokes:
                assert not _clips(stroke, a.box), f"a line of {group.kind} {group.key} runs through “{a.text}”"
    assert len(sheet.ids) == len(set(sheet.ids))


@pytest.mark.parametrize("seed", range(40))
def test_generated_circuits_give_readable_pictures(seed: int) -> None:
    circuit = circuit_for(seed, hostile=seed % 2 == 0)
    check(picture(circuit, result_for(circuit, seed)))


def test_everything_that_charges_stores_and_starts_is_there() -> None:
    for seed in range(20):
        circuit = circuit_for(seed)
        sheet = picture(circuit, result_for(circuit, seed))
        keys = {g.key for g in sheet.groups}
        assert {b.key for b in circuit.banks} <= keys
        kinds = {g.kind for g in sheet.groups}
        assert {s.kind for s in circuit.sources} <= kinds
        assert ("starter" in kinds) == (circuit.starter is not None)
        joined = [g for g in sheet.groups if INFO.labels["picture_contactor"].split()[0] in g.label]
        assert len(joined) >= sum(b.through is not None for b in circuit.banks)


@pytest.mark.parametrize("name", PROJECTS)
def test_numbers_are_those_of_the_results(name: str) -> None:
    evaluated = evaluate(load_project(ROOT / "projects" / name), {}, "test")
    for option in evaluated.results.options:
        circuit = evaluated.circuits[option.id]
        sheet = picture(circuit, option)
        check(sheet)
        season = next(s for s in option.energy.seasons if s.season == option.energy.worst_season)
        known_kwh = [b.energy_wh for b in option.banks] + [season.use_wh] + [e.wh_per_day for e in season.sources]
        known_a = [s.lasting_a for s in option.sources]
        for text in (w.text for g in sheet.groups for w in g.words if not w.letter):
            for value, unit in re.findall(r"([\d.]+) (kWh|A)\b", text):
                step = 10.0 ** -len(value.partition(".")[2])
                among = known_a if unit == "A" else [wh / 1000.0 for wh in known_kwh]
                assert any(abs(float(value) - v) <= step / 2 + 1e-9 for v in among), text


def test_size_and_shape() -> None:
    circuit = circuit_for(5)
    sheet = picture(circuit, replace(result_for(circuit, 5), title="Option"))
    assert sheet.width >= 160.0
    assert 80.0 <= sheet.height <= 115.0
    assert sheet.description == "How Option works."
    for a, b in pairwise(sorted(g.strokes[0].a for g in sheet.groups if g.kind == "bus")):
        assert a[1] == b[1], "buses lie level"
