"""A record read and laid over its spec: what counts then, and every mistake at its place in the entry's file."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.errors import MachineError, Problem, SpecError
from proposal.results.computed import computed
from proposal.results.evaluate import evaluate
from proposal.spec import recorded
from proposal.spec.loading import Project, load_project
from proposal.spec.recorded import Record, has_record, load_record, load_recorded, photo_path
from tests.recorded_project import project_with

FIRST = """\
entry_version: "1"
kind: hand_over
title: Hand-over
date: 2026-12-04
by: Oda Brennig
option: dedicated
"""
NEXT = """\
entry_version: "1"
kind: change
title: Later
date: 2027-06-01
by: Oda Brennig
"""


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    return project_with(tmp_path, "marram", [])


def write(folder: Path, *texts: str) -> None:
    (folder / "record").mkdir(exist_ok=True)
    for number, text in enumerate(texts, 1):
        (folder / "record" / f"{number:02d}-entry.yaml").write_text(text, encoding="utf-8")


def loaded(folder: Path, *texts: str) -> Project:
    write(folder, *texts)
    return load_recorded(folder, load_record(folder))


def problems(folder: Path, *texts: str) -> list[Problem]:
    with pytest.raises(SpecError) as caught:
        loaded(folder, *texts)
    return list(caught.value.problems)


def one(folder: Path, *texts: str) -> Problem:
    (problem,) = problems(folder, *texts)
    return problem


def changes(*lines: str) -> str:
    return "changes:\n" + "".join(f"  - {{{line}, because: so it is}}\n" for line in lines)


def place_of(text: str, part: str) -> tuple[int, int]:
    """Line and column, from 1, of the one place of a part in a text."""
    assert text.count(part) == 1
    before = text[: text.index(part)]
    return before.count("\n") + 1, len(before) - before.rfind("\n")


# -- what counts


def test_what_was_fitted_becomes_pins_of_the_chosen_option(boat: Path) -> None:
    text = FIRST + 'fitted:\n  loads.fridge.positive: {is: "12 AWG"}\n  loads.fridge: {serial: "7"}\n'
    project = loaded(boat, text)
    assert project.chosen == "dedicated"
    assert project.option_ids == ("dedicated",)
    assert project.spec.value.options["dedicated"].pins == {"loads.fridge.positive": "12 AWG"}
    assert project.spec.value.options["shared"].pins == {}
    loc = ("options", "dedicated", "pins", "loads.fridge.positive")
    assert project.spec.file_of(loc).endswith("01-entry.yaml")
    assert project.spec.position(loc) == place_of(text, '"12 AWG"')
    assert project.spec.file_of(("routes", "relay")).endswith("spec.yaml")


def test_the_last_entry_that_speaks_of_an_item_is_right(boat: Path) -> None:
    first = FIRST + "fitted:\n  loads.fridge.fuse: {is: cylinder_12}\n  loads.fans.fuse: {is: cylinder_8}\n"
    second = NEXT + "fitted:\n  loads.fridge.fuse: {is: cylinder_15}\n"
    third = NEXT + "fitted:\n  loads.fridge.fuse: {serial: A9}\n"
    first += changes("at: routes.windlass.length, now: 11.5 m")
    second += changes("at: routes.windlass.length, now: 12 m")
    project = loaded(boat, first, second, third)
    assert project.spec.value.options["dedicated"].pins == {
        "loads.fridge.fuse": "cylinder_15",
        "loads.fans.fuse": "cylinder_8",
    }
    assert project.spec.value.routes["windlass"].length_m == 12.0
    assert project.spec.file_of(("routes", "windlass", "length")).endswith("02-entry.yaml")


def test_an_earlier_state_stays_what_it_was(boat: Path) -> None:
    """Entries that change what an earlier one laid must not reach back into it."""
    section = "title: Galley, length: 5 m, place: saloon"
    first = FIRST + changes(f"at: routes.galley, now: {{{section}}}")
    write(boat, first, NEXT + changes("at: routes.galley.length, now: 6 m"))
    record = load_record(boat)
    assert load_recorded(boat, record).spec.value.routes["galley"].length_m == 6.0
    assert load_recorded(boat, record.until(1)).spec.value.routes["galley"].length_m == 5.0
    assert load_recorded(boat, record).spec.value.routes["galley"].length_m == 6.0


def test_the_proposal_is_what_it_was(boat: Path) -> None:
    before = load_project(boat).spec.value
    loaded(boat, FIRST + changes("at: routes.windlass.length, now: 12 m", "at: loads.fans, removed: yes"))
    assert load_project(boat).spec.value == before


def test_values_sections_and_entries_of_lists_change(boat: Path) -> None:
    text = FIRST + changes(
        "at: survey.unknown.2.find_out, now: Ask again",
        "at: survey.measured, add: {what: Standing drain, reading: 90 mA}",
        "at: loads.radio, now: {title: Radio, current: 1 A, hours: 2 h, panel: switch_panel, route: chart_table}",
        "at: loads.fans, removed: yes",
        "at: extras.7, removed: yes",
        "at: options.dedicated.banks.lithium.parallel, now: 3",
        "at: options.dedicated.settings.solar, now: {voltage: 14.1 V}",
        "at: parts.own_fuse, now: {kind: fuse, class: anl, title: A, rating: 60 A, voltage_max: 32 V, interrupt: 6 kA}",
        "at: options.dedicated.extras, add: {part: cable_labels, count: 2}",
    )
    before, after = load_project(boat).spec.value, loaded(boat, text).spec.value
    assert after.survey.unknown[1].find_out == "Ask again"
    assert after.survey.unknown[0] == before.survey.unknown[0]
    assert [m.what for m in after.survey.measured][len(before.survey.measured) :] == ["Standing drain"]
    assert after.loads["radio"].title == "Radio"
    assert "fans" not in after.loads
    assert after.extras == before.extras[:6]
    option = after.options["dedicated"]
    assert option.banks["lithium"].parallel == 3
    assert option.settings["solar"].charge_v == 14.1
    assert after.parts["own_fuse"].kind == "fuse"
    assert [e.count for e in option.extras] == [*(e.count for e in before.options["dedicated"].extras), 2]


def test_with_what_was_removed_its_pins_are_gone(boat: Path) -> None:
    pins = "\n  loads.fans: {is: 10 AWG}\n  loads.fans.fuse: {is: cylinder_8}\n  loads.fridge.fuse: {is: cylinder_15}"
    first = FIRST + f"fitted:{pins}\n" + changes("at: options.dedicated.pins, now: {loads.fans.negative: 10 AWG}")
    project = loaded(boat, first, NEXT + changes("at: loads.fans, removed: yes"))
    assert project.spec.value.options["dedicated"].pins == {"loads.fridge.fuse": "cylinder_15"}
    evaluate(project, {}, "test", sheets=False)


def test_accepted_findings_join_those_of_the_spec(boat: Path) -> None:
    own = "accepted: [{finding: voltage_drop_high, reason: own, name: Ilse Varnegg}]"
    spec = boat / "spec.yaml"
    text = spec.read_text(encoding="utf-8")
    spec.write_text(text.replace("    emergency_parallel: yes", f"    emergency_parallel: yes\n    {own}"), "utf-8")
    entry = FIRST + "accepted:\n  - {finding: lead_never_full, item: banks.lead, reason: known, name: Tomas Varnegg}\n"
    project = loaded(boat, entry)
    assert [(a.name, a.item) for a in project.spec.value.options["dedicated"].accepted] == [
        ("Ilse Varnegg", ""),
        ("Tomas Varnegg", "banks.lead"),
    ]
    assert [a.name for a in project.spec.value.options["shared"].accepted] == []


# -- mistakes, each at its place


def test_a_mistake_in_a_laid_value_is_said_in_the_entry(boat: Path) -> None:
    text = FIRST + changes("at: routes.windlass.length, now: 12 bananas")
    problem = one(boat, text)
    assert problem.file == str(boat / "record" / "01-entry.yaml")
    assert (problem.line, problem.column) == place_of(text, "12 bananas")
    assert "routes.windlass.length" in problem.what


def test_a_mistake_inside_a_laid_section_is_said_in_the_entry(boat: Path) -> None:
    text = FIRST + changes("at: routes.galley, now: {title: Galley, length: 5 m, place: attic, colour: red}")
    found = problems(boat, text)
    assert {p.file for p in found} == {str(boat / "record" / "01-entry.yaml")}
    assert {(p.line, p.column) for p in found} == {place_of(text, "attic"), place_of(text, "red")}


def test_problems_of_the_spec_and_of_entries_come_out_together(boat: Path) -> None:
    spec = boat / "spec.yaml"
    spec.write_text(spec.read_text(encoding="utf-8").replace("length: 1.6 m", "length: 1.6"), encoding="utf-8")
    found = problems(
        boat,
        FIRST + changes("at: routes.relay.length, now: x"),
        NEXT + changes("at: routes.solar.length, now: y", "at: routes.nowhere.length, now: 1 m"),
    )
    assert [Path(p.file).name for p in found] == ["spec.yaml", "01-entry.yaml", "02-entry.yaml", "02-entry.yaml"]


def test_what_is_missing_after_something_was_removed_is_said_there(boat: Path) -> None:
    text = FIRST + changes("at: routes.windlass.length, removed: yes")
    problem = one(boat, text)
    assert problem.file.endswith("01-entry.yaml")
    assert (problem.line, problem.column) == place_of(text, "yes")
    assert "needs `length`" in problem.what


PATHS = {
    "routes.windlas.length": "windlass",
    "rotues.windlass.length": "routes",
    "routes": None,
    "routes.windlass.length.more": "",
    "routes..length": "",
    ".": "",
    "survey.stays.3.fitted": "1 to 2",
    "survey.stays.0.fitted": "1 to 2",
    "survey.stays.x.fitted": "1 to 2",
    "survey.stays.٣.fitted": "1 to 2",
    "survey.stays.99999999999999999999.fitted": "1 to 2",
    "options": "options.dedicated.NAME",
    "options.dedicated": "options.dedicated.NAME",
    "options.shared.banks.lead.parallel": "options.dedicated.NAME",
    "spec_version": "a path such as",
    "client.name.x": "",
    "__class__.x": "",
    "../spec": "",
}


@pytest.mark.parametrize(("path", "allowed"), PATHS.items())
def test_a_path_that_leads_nowhere_is_said_where_it_stands(boat: Path, path: str, allowed: str | None) -> None:
    text = FIRST + changes(f"at: {path!r}, now: 1 m")
    problem = problems(boat, text)[0]
    assert problem.file.endswith("01-entry.yaml")
    if allowed is None:
        return
    assert (problem.line, problem.column) == place_of(text, repr(path))
    assert allowed in problem.allowed


def test_only_lists_grow_and_only_what_is_there_goes(boat: Path) -> None:
    for line in (
        "at: routes.windlass.length, add: 1 m",
        "at: routes.windlass, add: 1 m",
        "at: routes.mast_2, removed: yes",
        "at: survey.stays.3, removed: yes",
    ):
        text = FIRST + changes(line)
        problem = one(boat, text)
        path = line.split(",")[0].removeprefix("at: ")
        assert (problem.line, problem.column) == place_of(text, path)


@pytest.mark.parametrize(
    "says",
    ["", ", now: 1 m, add: 1 m", ", now: 1 m, removed: yes", ", removed: no", ", removed: maybe", ", now: a, add: b"],
)
def test_a_change_says_one_thing(boat: Path, says: str) -> None:
    found = problems(boat, FIRST + changes(f"at: routes.windlass.length{says}"))
    assert "a change says one thing" in found[0].what or "neither yes nor no" in found[0].what


def test_a_blank_value_is_a_mistake_and_not_a_loss(boat: Path) -> None:
    problem = one(boat, FIRST + "changes:\n  - at: routes.windlass.length\n    because: x\n    now:\n")
    assert problem.file.endswith("01-entry.yaml")
    assert "empty" in problem.what


def test_a_pin_of_an_item_that_is_none_is_said_in_the_entry(boat: Path) -> None:
    text = FIRST + "fitted:\n  loads.frigde.fuse: {is: cylinder_12}\n  loads.fridge.fuse: {is: cylinder_99}\n"
    project = loaded(boat, text)
    with pytest.raises(SpecError) as caught:
        evaluate(project, {}, "test", sheets=False)
    found = caught.value.problems
    assert {p.file for p in found} == {str(boat / "record" / "01-entry.yaml")}
    assert [(p.line, p.column) for p in found] == [place_of(text, "cylinder_12"), place_of(text, "cylinder_99")]
    assert "loads.fridge.fuse" in found[0].allowed


def test_an_acceptance_of_what_is_no_finding_is_said_in_the_entry(boat: Path) -> None:
    text = FIRST + "accepted:\n  - {finding: no_such_finding, reason: known, name: Tomas Varnegg}\n"
    project = loaded(boat, text)
    with pytest.raises(SpecError) as caught:
        evaluate(project, {}, "test", sheets=False)
    (problem,) = caught.value.problems
    assert problem.file.endswith("01-entry.yaml")
    assert (problem.line, problem.column) == place_of(text, "no_such_finding")


SPOILT = {
    "option": ("dedicated:", "dedicated: nothing\n  old:"),
    "options": ("options:", "options: nothing\nold:"),
    "pins": ("    start: starter", "    start: starter\n    pins: nothing"),
    "accepted": ("    start: starter", "    start: starter\n    accepted: nothing"),
}


@pytest.mark.parametrize(("old", "new"), SPOILT.values(), ids=SPOILT)
def test_a_spoilt_spec_is_said_and_nothing_breaks(boat: Path, old: str, new: str) -> None:
    spec = boat / "spec.yaml"
    text = spec.read_text(encoding="utf-8")
    assert old in text
    spec.write_text(text.replace(old, new, 1), encoding="utf-8")
    entry = (
        FIRST + "fitted:\n  loads.fridge.fuse: {is: cylinder_12}\n" + changes("at: routes.windlass.length, now: 1 m")
    )
    entry += "accepted:\n  - {finding: lead_never_full, reason: known, name: Tomas Varnegg}\n"
    assert any(Path(p.file).name == "spec.yaml" for p in problems(boat, entry))


def test_an_option_that_the_spec_does_not_have(boat: Path) -> None:
    problem = one(boat, FIRST.replace("dedicated", "other"))
    assert (problem.line, problem.what) == (6, "the spec has no such option")
    assert problem.allowed == "shared, dedicated"


# -- entries and their files


def test_whether_there_is_a_record(boat: Path) -> None:
    assert not has_record(boat)
    (boat / "record").mkdir()
    assert not has_record(boat)
    (boat / "record" / "seals.txt").write_text("")
    (boat / "record" / ".01-hand-over.yaml.new-12").write_text("")
    (boat / "record" / ".#01-hand-over.yaml").write_text("")
    assert not has_record(boat)
    write(boat, FIRST)
    assert has_record(boat)
    assert [e.file for e in load_record(boat).entries] == ["01-entry.yaml"]


def test_a_record_that_cannot_be_read_is_never_taken_for_none(boat: Path) -> None:
    """Else the proposal would be built in the place of what was fitted."""
    (boat / "record").symlink_to("record")
    with pytest.raises(MachineError, match="cannot read"):
        has_record(boat)
    with pytest.raises(MachineError, match="cannot read"):
        computed(boat)


def test_an_entry_has_the_sum_of_its_file(boat: Path) -> None:
    write(boat, FIRST, NEXT)
    record = load_record(boat)
    assert [(e.number, e.sha256) for e in record.entries] == [
        (n, hashlib.sha256(text.encode()).hexdigest()) for n, text in enumerate((FIRST, NEXT), 1)
    ]
    assert record.until(1).entries == record.entries[:1]
    assert (record.option_id, record.until(1).option_id) == ("dedicated", "dedicated")


@pytest.mark.parametrize(
    "names",
    [
        ("02-a.yaml",),
        ("01-a.yaml", "03-b.yaml"),
        ("01-a.yaml", "01-b.yaml"),
        ("01-a.yaml", "02-b.yml"),
        ("01-a.yaml", "02-b.YAML"),
        ("1-a.yaml",),
        ("01-A.yaml",),
        ("01-.yaml",),
        ("00-a.yaml",),
        ("01 a.yaml",),
        ("01-a.yaml", "notes.yaml"),
    ],
)
def test_entries_are_numbered_one_after_the_other(boat: Path, names: tuple[str, ...]) -> None:
    home = boat / "record"
    home.mkdir()
    for name in names:
        (home / name).write_text(FIRST if name == names[0] else NEXT, encoding="utf-8")
    assert has_record(boat)
    with pytest.raises(SpecError) as caught:
        load_record(boat)
    problem = caught.value.problems[-1]
    assert problem.file == str(home / names[-1])
    assert "not numbered" in problem.what


def test_a_hundred_entries_stand_in_their_order(boat: Path) -> None:
    home = boat / "record"
    home.mkdir()
    for number in range(1, 104):
        (home / f"{number:02d}-a.yaml").write_text(FIRST if number == 1 else NEXT, encoding="utf-8")
    record = load_record(boat)
    assert [int(e.file.split("-")[0]) for e in record.entries] == list(range(1, 104))


def test_too_many_and_too_large_entries_are_refused(boat: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(boat, FIRST + f"notes: ['{'x' * 3000}']\n" + "#" * recorded.LARGEST_ENTRY_BYTES)
    (problem,) = _record_problems(boat)
    assert "too large" in problem.what
    monkeypatch.setattr(recorded, "MOST_ENTRIES", 1)
    write(boat, FIRST, NEXT)
    (problem,) = _record_problems(boat)
    assert "too many entries" in problem.what


def _record_problems(folder: Path) -> tuple[Problem, ...]:
    with pytest.raises(SpecError) as caught:
        load_record(folder)
    return caught.value.problems


def test_an_entry_is_a_file_of_its_own(boat: Path, tmp_path: Path) -> None:
    home = boat / "record"
    home.mkdir()
    (tmp_path / "elsewhere.yaml").write_text(FIRST, encoding="utf-8")
    (home / "01-a.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    (home / "02-b.yaml").mkdir()
    os.mkfifo(home / "03-c.yaml")
    found = _record_problems(boat)
    assert [p.what for p in found] == ["is no file of its own"] * 3


LEAK = "defects: {leak: {what: wet}}\n"
ENTRIES: dict[str, tuple[Mapping[int, str], int, str]] = {
    "first is no hand-over": ({1: FIRST.replace("hand_over", "visit")}, 1, "is the hand-over"),
    "second hand-over": ({2: NEXT.replace("change", "hand_over")}, 2, "only the first entry"),
    "no option": ({1: FIRST.replace("option: dedicated\n", "")}, 1, "which option was chosen"),
    "option again": ({2: NEXT + "option: shared\n"}, 2, "chosen in the first entry"),
    "dates go back": ({2: NEXT.replace("2027-06", "2025-06")}, 2, "before the entry in front of it"),
    "another version": ({1: FIRST.replace('"1"', '"2"')}, 1, "entry_version"),
    "mended and never found": ({2: NEXT + "mended: [{defect: leak, how: so}]\n"}, 2, "no entry has such a defect"),
    "found later": ({1: FIRST + "mended: [{defect: leak, how: so}]\n", 2: NEXT + LEAK}, 1, "no entry has"),
    "found twice": ({1: FIRST + LEAK, 2: NEXT + LEAK}, 2, "an earlier entry"),
}  # fmt: skip


@pytest.mark.parametrize(("texts", "number", "what"), ENTRIES.values(), ids=ENTRIES)
def test_what_is_wrong_with_entries_is_said_in_their_files(
    boat: Path, texts: Mapping[int, str], number: int, what: str
) -> None:
    write(boat, texts.get(1, FIRST), texts.get(2, NEXT))
    (problem,) = _record_problems(boat)
    assert problem.file == str(boat / "record" / f"{number:02d}-entry.yaml")
    assert what in problem.what


def test_a_defect_is_mended_by_its_own_entry_or_a_later_one(boat: Path) -> None:
    wet = FIRST + "defects: {leak: {what: wet}, chafe: {what: worn}}\nmended: [{defect: leak, how: dried}]\n"
    write(boat, wet, NEXT + "mended: [{defect: chafe, how: bound}]\n")
    assert len(load_record(boat).entries) == 2


def test_all_problems_of_all_entries_come_at_once(boat: Path) -> None:
    write(boat, FIRST.replace("Oda Brennig", "''"), NEXT.replace("2027-06-01", "June"))
    assert [Path(p.file).name for p in _record_problems(boat)] == ["01-entry.yaml", "02-entry.yaml"]


def test_blank_fields_are_not_filled_in_yet(boat: Path) -> None:
    text = FIRST + "fitted:\n  banks.lead.s1: {serial: ''}\n  banks.starter.s1:\n    serial:\n    note: '  '\n"
    write(boat, text)
    fitted = load_record(boat).entries[0].value.fitted
    assert {(item.serial, item.note) for item in fitted.values()} == {("", "")}


# -- photos


TRICKS = [
    "..", "../photo.jpg", "../../etc/passwd", "/etc/passwd", "/photo.jpg", "a/b.jpg", "a\\b.jpg", "..\\photo.jpg",
    "C:photo.jpg", "C:\\photo.jpg", "photo.jpg/..", ".photo.jpg", "-photo.jpg", "~photo.jpg", "photo.jpg\n", "photo",
    "photo.svg", "photo.jpg.exe", "photo.jpg\x00.png", "%2e%2e%2fphoto.jpg", "phóto.jpg", "x" * 200 + ".jpg", "",
    " .jpg", "photo.jpg ", "\\\\server\\photo.jpg", "photo:stream.jpg", "$(photo).jpg", "photo*.jpg",
]  # fmt: skip


@pytest.mark.parametrize("name", TRICKS)
def test_a_photo_name_that_leads_elsewhere_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photo.jpg").write_bytes(b"outside")
    with pytest.raises(ValueError, match="not the name of a photo"):
        photo_path(tmp_path, name)


@pytest.mark.parametrize("name", [trick for trick in TRICKS if trick.strip() and trick.isprintable()])
def test_such_a_name_in_an_entry_is_said_at_its_place(boat: Path, name: str) -> None:
    quoted = "'" + name.replace("'", "''") + "'"
    text = FIRST + f"photos:\n  - {{file: {quoted}, title: A photo}}\n"
    write(boat, text)
    problem = _record_problems(boat)[0]
    assert (problem.line, problem.column) == place_of(text, quoted)
    assert "not the name of a photo" in problem.what


def test_a_photo_is_a_regular_file_in_the_folder_of_photos(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "record"
    photos = home / "photos"
    photos.mkdir(parents=True)
    (photos / "good 1.JPG").write_bytes(b"x")
    assert photo_path(home, "good 1.JPG") == photos / "good 1.JPG"
    (tmp_path / "secret.jpg").write_bytes(b"secret")
    (photos / "link.jpg").symlink_to(tmp_path / "secret.jpg")
    (photos / "broken.jpg").symlink_to("nowhere")
    (photos / "folder.jpg").mkdir()
    os.mkfifo(photos / "pipe.jpg")
    for name, says in (
        ("link.jpg", "is a link"),
        ("broken.jpg", "is a link"),
        ("folder.jpg", "there is no photo"),
        ("pipe.jpg", "there is no photo"),
        ("absent.jpg", "there is no photo"),
    ):
        with pytest.raises(ValueError, match=says):
            photo_path(home, name)
    monkeypatch.setattr(recorded, "LARGEST_PHOTO_BYTES", 0)
    with pytest.raises(ValueError, match="larger"):
        photo_path(home, "good 1.JPG")


def test_a_folder_of_photos_that_is_a_link_is_refused(tmp_path: Path) -> None:
    home, other = tmp_path / "record", tmp_path / "other"
    other.mkdir()
    (other / "a.jpg").write_bytes(b"x")
    home.mkdir()
    (home / "photos").symlink_to(other)
    with pytest.raises(ValueError, match="is a link"):
        photo_path(home, "a.jpg")


def test_a_missing_photo_is_said_in_its_entry(boat: Path) -> None:
    text = FIRST + "photos:\n  - {file: absent.jpg, title: Fuse box}\n"
    write(boat, text)
    (problem,) = _record_problems(boat)
    assert (problem.line, problem.column) == place_of(text, "absent.jpg")
    (boat / "record" / "photos").mkdir()
    (boat / "record" / "photos" / "absent.jpg").write_bytes(b"x")
    assert load_record(boat).photo_sums == {"absent.jpg": hashlib.sha256(b"x").hexdigest()}


# -- whatever is written


WORDS = ["routes", "windlass", "length", "loads", "fans", "survey", "stays", "options", "dedicated", "banks", "lithium",
         "extras", "parts", "1", "2", "9", "x", "", "pins", "engine", "title", "settings"]  # fmt: skip
VALUES = ["12 m", "x", "''", "{}", "[]", "{length: 1 m}", "{title: x}", "[a, b]", "yes", "3"]


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return project_with(tmp_path_factory.mktemp("shared"), "marram", [])


@settings(max_examples=150)
@given(
    steps=st.lists(
        st.tuples(
            st.lists(st.sampled_from(WORDS), min_size=1, max_size=5),
            st.sampled_from(["now", "add", "removed"]),
            st.sampled_from(VALUES),
        ),
        max_size=6,
    )
)
def test_no_change_does_more_than_be_refused(shared: Path, steps: list[tuple[list[str], str, str]]) -> None:
    """Any changes: the project is read, or there are problems with places in the files; the proposal stays."""
    lines = [f"at: '{'.'.join(path)}', {way}: {'yes' if way == 'removed' else value}" for path, way, value in steps]
    pins = "fitted:\n  loads.fridge.fuse: {is: cylinder_15}\n"
    write(shared, FIRST + pins + (changes(*lines) if lines else ""))
    files = {str(shared / "spec.yaml"), str(shared / "record" / "01-entry.yaml")}
    try:
        record: Record = load_record(shared)
        project = load_recorded(shared, record)
    except SpecError as error:
        for problem in error.problems:
            assert problem.file in files
            assert 1 <= problem.line <= len(Path(problem.file).read_text(encoding="utf-8").splitlines())
        return
    pinned: Any = project.spec.value.options["dedicated"].pins
    assert pinned["loads.fridge.fuse"] == "cylinder_15"
    with contextlib.suppress(SpecError):
        evaluate(project, {}, "test", sheets=False)
