"""Marks of what is new, otherwise or removed: faultless sheets, told by shape and letter, and none without a mark."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from proposal.circuit.model import Circuit
from proposal.drawings.marks import MARKS, Mark, marks_on, scallops
from proposal.drawings.simple_picture import simple_picture
from proposal.drawings.single_line import single_line
from tests.drawings.generate import circuit_for, result_for
from tests.drawings.reader import SVG, Group, faults, read
from tests.drawings.test_simple_picture import check as readable
from tests.drawings.words import INFO, LABELS

LETTERS = {mark: LABELS[f"mark_{mark}"] for mark in MARKS}


def keys(circuit: Circuit) -> list[str]:
    found = [x.key for x in (*circuit.conductors, *circuit.devices, *circuit.buses, *circuit.loads, *circuit.sources)]
    return [*found, *(b.key for b in circuit.banks), *(c.key for c in circuit.controllers)]


def drawn_marks(seed: int, share: float, *, hostile: bool = False) -> tuple[Circuit, dict[str, Mark], dict[str, bytes]]:
    rng = random.Random(f"marks {seed}")  # noqa: S311 - test data
    circuit = circuit_for(seed, hostile=hostile)
    marks = {key: rng.choice(MARKS) for key in keys(circuit) if rng.random() < share}
    option = result_for(circuit, seed, hostile=hostile)
    files = single_line(circuit, option, replace(INFO, marks=marks))
    wrong = faults(files, circuit, option)
    assert not wrong, f"seed {seed}, share {share}: {wrong[:5]}"
    return circuit, marks, files


def clouds(files: dict[str, bytes]) -> list[tuple[str, str, Group]]:
    """(key, mark, group) of every cloud."""
    found = []
    for name, svg in files.items():
        groups = {g.id or n: g for n, g in enumerate(read(name, svg).groups)}
        root = ElementTree.fromstring(svg)  # noqa: S314 - our own output
        for element, group in zip([e for e in root if e.tag == SVG + "g"], groups.values(), strict=True):
            if element.get("data-mark"):
                found.append((element.get("data-of") or "", element.get("data-mark") or "", group))
    return found


@pytest.mark.parametrize("seed", range(12))
def test_marked_sheets_are_faultless(seed: int) -> None:
    circuit, marks, files = drawn_marks(seed, 0.25)
    assert marks
    shown = {(key, mark) for key, mark, _ in clouds(files)}
    buses = {b.key for b in circuit.buses}
    wanted = {(key, mark) for key, mark in marks.items() if key in circuit.device and key not in buses}
    assert {pair for pair in wanted if pair not in shown and circuit.device[pair[0]].pole == "positive"} == set()


@pytest.mark.parametrize("seed", [3, 17, 29])
def test_everything_marked_is_faultless_too(seed: int) -> None:
    drawn_marks(seed, 1.0)


def test_hostile_words_and_marks() -> None:
    drawn_marks(104, 0.4, hostile=True)


@pytest.mark.nightly
def test_many_marked_sheets_are_faultless() -> None:
    for seed in random.SystemRandom().sample(range(10**6), 300):
        drawn_marks(seed, random.SystemRandom().choice((0.1, 0.5, 1.0)), hostile=seed % 3 == 0)


@pytest.mark.parametrize("seed", [5, 17, 29])
def test_without_a_mark_a_sheet_is_the_same_to_the_last_byte(seed: int) -> None:
    circuit = circuit_for(seed)
    option = result_for(circuit, seed)
    usual = single_line(circuit, option, INFO)
    assert single_line(circuit, option, replace(INFO, marks={})) == usual
    assert single_line(circuit, option, replace(INFO, marks={"loads.not_here": "new"})) == usual
    assert b"halo" not in b"".join(usual.values())


def test_a_cloud_stands_round_the_words_of_its_item_with_its_letter() -> None:
    circuit = circuit_for(5)
    option = result_for(circuit, 5)
    load = circuit.loads[0].key
    for mark in MARKS:
        files = single_line(circuit, option, replace(INFO, marks={load: mark}))
        ((key, told, cloud),) = clouds(files)
        assert (key, told) == (load, mark)
        assert [w.text for w in cloud.words] == [LETTERS[mark]]
        item = next(g for n, s in files.items() for g in read(n, s).groups if g.key == load)
        xs = [p[0] for s in cloud.strokes for p in (s.a, s.b)]
        ys = [p[1] for s in cloud.strokes for p in (s.a, s.b)]
        for words in item.words:
            if not words.letter:
                assert min(xs) < words.box[0]
                assert words.box[2] < max(xs)
                assert min(ys) < words.box[1]
                assert words.box[3] < max(ys)
        dashed = any(s.dashed for s in cloud.strokes)
        assert dashed is (mark == "removed"), "what is removed has a broken cloud: not by its letter alone"
        text = b"".join(files.values()).decode()
        assert LABELS[f"legend_mark_{mark}"] in text
        assert sum(LABELS[f"legend_mark_{other}"] in text for other in MARKS) == 1, (
            "the key has the marks that are used"
        )


def test_a_mark_of_what_is_not_drawn_stands_at_what_stands_for_it() -> None:
    circuit = next(c for c in map(circuit_for, range(60)) if c.controllers and c.banks)
    positive = [c.key for c in circuit.conductors if c.pole == "positive"]
    bank = circuit.banks[0]
    strings = {b.key for b in circuit.batteries if b.bank == bank.key}
    controller = circuit.controllers[0]
    load = circuit.loads[0]
    negative = next(c for c in circuit.conductors if c.circuit == load.key and c.pole == "negative")
    marks: dict[str, Mark] = {bank.key: "changed", controller.key: "new", negative.key: "removed", "nothing": "new"}
    found = marks_on(circuit, marks, positive)
    mate = next(c.key for c in circuit.conductors if c.circuit == load.key and c.pole == "positive")
    assert found == {
        **dict.fromkeys(strings, "changed"),
        controller.contactor: "new",
        mate: "removed",
        "nothing": "new",
    }
    assert marks_on(circuit, {mate: "changed", negative.key: "removed"}, positive) == {mate: "removed"}


def test_a_cloud_bulges_outwards_and_closes() -> None:
    box = (10.0, 20.0, 30.0, 28.0)
    points = scallops(box)
    assert points[0] == points[-1]
    assert min(x for x, _ in points) == pytest.approx(10.0)
    assert max(x for x, _ in points) == pytest.approx(30.0)
    assert min(y for _, y in points) == pytest.approx(20.0)
    assert max(y for _, y in points) == pytest.approx(28.0)
    assert not any(10.7 < x < 29.3 and 20.7 < y < 27.3 for x, y in points), "nothing of it runs inside"


def test_a_missing_word_of_a_mark_is_named() -> None:
    circuit = circuit_for(5)
    labels = {k: v for k, v in LABELS.items() if k != "mark_new"}
    with pytest.raises(KeyError, match="mark_new"):
        single_line(circuit, result_for(circuit, 5), replace(INFO, labels=labels, marks={circuit.loads[0].key: "new"}))
    assert not re.search(r"mark_", "".join(LETTERS.values()))


@pytest.mark.parametrize("seed", range(20))
def test_a_picture_with_marks_stays_readable(seed: int) -> None:
    rng = random.Random(f"picture {seed}")  # noqa: S311 - test data
    circuit = circuit_for(seed, hostile=seed % 2 == 0)
    cards = [*(b.key for b in circuit.banks), *(s.key for s in circuit.sources)]
    marks: dict[str, Mark] = {key: rng.choice(MARKS) for key in cards}
    option = result_for(circuit, seed)
    plain = simple_picture(circuit, option, INFO)
    assert simple_picture(circuit, option, replace(INFO, marks={"loads.not_here": "new"})) == plain
    files = simple_picture(circuit, option, replace(INFO, marks=marks))
    readable(read("a-picture.svg", files["a-picture.svg"]))
    shown = {key: mark for key, mark, _ in clouds(files)}
    assert {b.key: marks[b.key] for b in circuit.banks}.items() <= shown.items()
    of_kind: dict[str, set[str]] = {}
    for source in circuit.sources:
        of_kind.setdefault(source.kind, set()).add(marks[source.key])
    strongest = {kind: min(found, key=("removed", "new", "changed").index) for kind, found in of_kind.items()}
    for source in circuit.sources:
        assert shown.get(source.key, strongest[source.kind]) == strongest[source.kind]
    assert any(s.key in shown for s in circuit.sources) is bool(circuit.sources)
