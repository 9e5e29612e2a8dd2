"""The draft of a record's entry: it loads as it stands, and what it pins is what was proposed."""

from __future__ import annotations

import datetime
import json
import random
import re
import shutil
from pathlib import Path

import pytest

from proposal.book.draft import Made, OpenDefect, hand_over, later
from proposal.book.language import Language
from proposal.book.opening import context_of
from proposal.reading import read_text
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.model import OptionResult
from proposal.spec.loading import Project, load_project
from proposal.spec.record import Entry
from proposal.spec.recorded import load_record, load_recorded
from tests.e2e.hostile import PAYLOADS, lay_out
from tests.generate import spec_text
from tests.recorded_project import evaluated

PROJECTS = Path(__file__).parents[2] / "projects"
OPTIONS = [
    (name, option)
    for name in ("marram", "skarn", "frostbit", "dunlin")
    for option in load_project(PROJECTS / name).spec.value.options
]
MADE = Made("Oda Brennig", "", datetime.date(2027, 2, 3))
HOSTILE = "a: \"b\" # {c}, [d] 'e' \\n & *f !g %h @i `j` | > - ? ]}\n--- \U0001f6a2 é"


def draft_of(evaluated: Evaluated, option: str, made: Made = MADE) -> str:
    book = context_of(evaluated.results)
    return hand_over(book, option, evaluated.circuits[option], evaluated.designations, made)


def recorded(tmp_path: Path, name: str, text: str) -> Project:
    """The project with this as its hand-over, read anew."""
    home = tmp_path / name
    shutil.copytree(PROJECTS / name, home, ignore=shutil.ignore_patterns("output", "record"))
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / shared, tmp_path / shared)
    (home / "record").mkdir()
    (home / "record" / "01-hand-over.yaml").write_text(text, encoding="utf-8")
    return load_recorded(home, load_record(home))


def sized(option: OptionResult) -> dict[str, object]:
    """What was bought and how large it is, by item."""
    found: dict[str, object] = {c.key: (c.size, c.part_id, c.ampacity_a, c.drop_v) for c in option.conductors}
    found |= {d.key: (d.part_id, d.rating_a, d.wanted_a) for d in option.devices}
    return found | {b.key: (b.part_id, b.parallel_count, b.series_count) for b in option.banks}


@pytest.mark.parametrize(("name", "option"), OPTIONS)
def test_a_draft_is_exactly_what_was_proposed(name: str, option: str, tmp_path: Path) -> None:
    proposed = load_project(PROJECTS / name)
    before = evaluate(proposed, {}, "test", sheets=False)
    project = recorded(tmp_path, name, draft_of(before, option))
    assert project.option_ids == (option,)
    after = evaluate(project, before.designations, "test", sheets=False)
    (built,) = after.results.options
    was = next(o for o in before.results.options if o.id == option)
    assert sized(built) == sized(was)
    assert all(item.pinned for item in (*built.conductors, *built.devices))
    assert built.price == was.price
    assert {(f.id, f.item, f.outcome) for f in built.findings} == {(f.id, f.item, f.outcome) for f in was.findings}
    fitted = load_record(project.folder).entries[0].value.fitted
    circuit = after.circuits[option]
    assert set(after.designations) & set(fitted) == set(fitted)
    assert {b.key for b in circuit.batteries} | {s.key for s in circuit.sources} <= set(fitted)


GENERATED = {
    "one_bank+house_and_starter": 12,
    "lead_and_lithium+lead_and_lithium_with_starter": 24,
    "lithium_with_dc_dc+composed": 48,
    "lithium_with_dc_dc+house_and_starter": 24,
    "composed+one_bank": 12,
}


@pytest.mark.parametrize("name", GENERATED)
def test_a_draft_of_any_arrangement_is_what_was_proposed(name: str, tmp_path: Path) -> None:
    draws = random.Random(f"draft {name}")  # noqa: S311 - test data
    text = spec_text(draws, arrangements=tuple(name.split("+")), voltage_v=GENERATED[name], most_loads=8)
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / shared, tmp_path / shared)
    home = tmp_path / "vessel"
    home.mkdir()
    (home / "spec.yaml").write_text(text, encoding="utf-8")
    before = evaluate(load_project(home), {}, "test")
    (home / "record").mkdir()
    for was in before.results.options:
        (home / "record" / "01-hand-over.yaml").write_text(draft_of(before, was.id), encoding="utf-8")
        after = evaluate(load_recorded(home, load_record(home)), before.designations, "test", sheets=False)
        (built,) = after.results.options
        assert sized(built) == sized(was)
        assert built.price == was.price
        assert {(f.id, f.item, f.outcome) for f in built.findings} == {(f.id, f.item, f.outcome) for f in was.findings}


def test_a_draft_takes_hostile_texts_wherever_they_stand(tmp_path: Path) -> None:
    home, _ = lay_out(tmp_path, PAYLOADS)
    before = evaluate(load_project(home), {}, "test")
    for option in before.results.options:
        entry = read_text(draft_of(before, option.id), "01-hand-over.yaml", Entry).value
        assert entry.option == option.id
        assert {c.key for c in option.conductors} <= set(entry.fitted)


EXPECTED = re.compile(r"expected (at least |at most |)([0-9.]+) (\S+)(?: to ([0-9.]+) (\S+))?")


def filled_in(line: str) -> str:
    """A line of the test sheet with a reading that lies within what its comment says, or what its maker says."""
    found = EXPECTED.search(line)
    reading = "2 s"
    if found is not None:
        way, low, unit, high, other = found.groups()
        reading = f"{float(low) * (1.01 if way == 'at least ' else 0.5)} {unit}"
        if high:
            reading = f"{(float(low) + float(high)) / 2.0} {unit}" if unit == other else f"{high} {other}"
    for name, text in (("value", f'"{reading}"'), ("wanted", f'"{reading}"'), ("passed", "yes")):
        line = line.replace(f'{name}: ""', f"{name}: {text}")
    return line[2:]


def test_a_test_sheet_filled_in_as_its_comments_say_passes(tmp_path: Path) -> None:
    proposed = load_project(PROJECTS / "marram")
    text = draft_of(evaluate(proposed, {}, "test"), "dedicated")
    lines, inside = [], False
    for line in text.splitlines():
        inside = line == "# measured:" or (inside and line.startswith("#   - {test: "))
        lines.append(filled_in(line) if inside else line)
    project = recorded(tmp_path, "marram", "\n".join(lines)).folder
    made = evaluated(project, sheets=False).results
    assert made.record is not None
    asked = [row for row in made.record.tests if row.asked]
    assert len(asked) > 50
    assert {(row.test, row.item): row.outcome for row in asked if row.outcome != "pass"} == {}
    assert not [h for h in made.record.hindrances if h.kind != "finding"]


def test_what_a_user_typed_stays_text(tmp_path: Path) -> None:
    made = Made(HOSTILE, HOSTILE, MADE.date)
    text = later(Language("en_GB"), "visit", made, (OpenDefect("leak", HOSTILE),))
    entry = read_text(text, "02-visit.yaml", Entry).value
    assert (entry.by, entry.licence, entry.kind) == (HOSTILE, HOSTILE, "visit")
    spec = tmp_path / "skarn" / "spec.yaml"
    shutil.copytree(PROJECTS / "skarn", spec.parent, ignore=shutil.ignore_patterns("output", "record"))
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / shared, tmp_path / shared)
    written = spec.read_text(encoding="utf-8")
    title = next(line for line in written.splitlines() if line.startswith("    title: "))
    quoted = json.dumps(HOSTILE, ensure_ascii=False)
    spec.write_text(written.replace(title, f"    title: {quoted}", 1), encoding="utf-8")
    project = load_project(spec.parent)
    option = next(iter(project.spec.value.options))
    assert project.spec.value.options[option].title == HOSTILE
    draft = draft_of(evaluate(project, {}, "test", sheets=False), option, made)
    entry = read_text(draft, "01-hand-over.yaml", Entry).value
    assert (entry.by, entry.option) == (HOSTILE, option)
    assert entry.fitted
    assert not entry.measured


def test_a_later_draft_names_the_defects_that_are_open() -> None:
    text = later(Language("en_GB"), "change", MADE, (OpenDefect("leak", "A leak"),))
    assert "defect: leak" in text
    assert "still open: A leak" in text
    entry = read_text(text, "02-change.yaml", Entry).value
    assert (entry.kind, entry.option, entry.fitted, entry.mended) == ("change", None, {}, ())


def test_every_commented_line_of_a_draft_can_be_taken_in() -> None:
    text = later(Language("en_GB"), "change", MADE, (OpenDefect("leak", "A leak"),))
    sections = {name for name in Entry.model_fields if f"\n# {name}:" in text}
    assert sections >= {"fitted", "changes", "measured", "photos", "defects", "mended", "accepted", "upkeep", "notes"}
    lines = [
        line[2:] if line.startswith(("#   ", *(f"# {name}:" for name in sections))) else line
        for line in text.splitlines()
    ]
    entry = read_text("\n".join(lines), "02-change.yaml", Entry).value
    assert all(getattr(entry, name) for name in sections)
