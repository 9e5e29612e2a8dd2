from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest

import proposal.yard.row
from proposal.cli.main import main
from proposal.errors import MachineError
from proposal.results.computed import computed
from proposal.results.yard_row import row_from, row_of, row_text
from proposal.spec.seals import SEALS_FILE
from proposal.yard.bundle import read_bundle
from proposal.yard.row import Chunk, Made, in_chunks, rows_of
from tests.yard.conftest import HAND_OVER, PROJECTS, Rows, add_project, add_record, options_of


def chunk_of(*folders: Path) -> Chunk:
    (chunk,) = in_chunks(((n, read_bundle(folder, {})) for n, folder in enumerate(folders)), 99)
    return chunk


def made_of(folder: Path) -> Made:
    (made,) = rows_of(chunk_of(folder))
    return made


def test_a_row_is_what_the_project_evaluates_to(home: Path) -> None:
    row = row_from(made_of(home / "alpha").text)
    evaluated = computed(home / "alpha", sheets=False).evaluated
    assert row_text(row) == row_text(row_of(evaluated))
    results = evaluated.results
    assert (row.name, row.status, row.chosen) == (results.vessel.name, "proposal", "")
    assert [(o.letter, o.price) for o in row.options] == [
        (letter, o.price.total) for letter, o in zip("AB", results.options, strict=True)
    ]


def test_a_record_makes_it_fitted_and_one_without_tests_is_not_energised(rows: Rows, home: Path) -> None:
    row = rows(home)["bravo"]
    assert (row.status, row.chosen, row.entries_count) == ("do_not_energise", "A", 1)
    assert row.hindrances_count == sum(t.outcome == "missing" for t in row.tests) > 0
    assert all(part.fitted for part in row.parts)
    assert {task.task for task in row.upkeep}
    assert all(task.due_on == "" or task.due_on > "2026-06-01" for task in row.upkeep)


def test_mistakes_are_told_from_the_projects_own_folder(rows: Rows, home: Path) -> None:
    row = rows(home)["wrong"]
    assert row.status == "mistakes"
    assert row.problems[0].file == "spec.yaml"
    assert tempfile.gettempdir() not in repr(row)


def test_mistakes_of_shared_files_are_told_as_above(tmp_path: Path, rows: Rows) -> None:
    add_project(tmp_path / "v", "boat")
    (tmp_path / "v" / "prices.yaml").write_text("price_book_version: '1'\ncurrency: [\n", encoding="utf-8")
    (problem,) = rows(tmp_path / "v")["boat"].problems
    assert problem.file == "../prices.yaml"


def test_a_missing_installer_is_a_mistake(tmp_path: Path, rows: Rows) -> None:
    add_project(tmp_path / "v", "boat")
    (tmp_path / "v" / "installer.yaml").unlink()
    (problem,) = rows(tmp_path / "v")["boat"].problems
    assert "'../installer.yaml'" in problem.what


def test_no_more_problems_are_told_than_a_row_has_place_for(tmp_path: Path, rows: Rows) -> None:
    boat = add_project(tmp_path / "v", "boat")
    (boat / "spec.yaml").write_text("".join(f"odd_{n}: 1\n" for n in range(20)), encoding="utf-8")
    row = rows(tmp_path / "v")["boat"]
    assert len(row.problems) == 5
    assert row.more_problems >= 15


def test_a_photo_that_is_missing_is_a_mistake_and_one_that_is_there_is_none(tmp_path: Path, rows: Rows) -> None:
    boat = add_project(tmp_path / "v", "boat")
    entry = add_record(boat, options_of(boat)[0])
    with entry.open("a", encoding="utf-8") as stream:
        stream.write("photos:\n  - {file: box.jpg, title: The box}\n")
    row = rows(tmp_path / "v")["boat"]
    assert row.status == "mistakes"
    assert row.problems[0].file == "record/01-hand-over.yaml"
    (boat / "record" / "photos").mkdir()
    (boat / "record" / "photos" / "box.jpg").write_bytes(b"whatever it shows")
    assert rows(tmp_path / "v")["boat"].status == "do_not_energise"


def test_a_ledger_of_seals_that_is_wrong_is_a_mistake(tmp_path: Path, rows: Rows) -> None:
    boat = add_project(tmp_path / "v", "boat")
    add_record(boat, options_of(boat)[0])
    (boat / "record" / SEALS_FILE).write_text("one two\n", encoding="utf-8")
    assert rows(tmp_path / "v")["boat"].problems[0].file == "record/seals.txt"


def test_archives_without_a_project_are_a_row(tmp_path: Path, rows: Rows) -> None:
    for name, archive in (("gone", "boat-2.zip"), ("condemned", "boat-1-DO-NOT-ENERGISE.zip")):
        (tmp_path / "v" / name / "sealed").mkdir(parents=True)
        (tmp_path / "v" / name / "sealed" / archive).write_bytes(b"")
    found = rows(tmp_path / "v")
    assert (found["gone"].status, found["gone"].archives) == ("sealed", ("boat-2.zip",))
    assert found["condemned"].status == "do_not_energise"


def test_what_the_program_fails_at_is_told_and_not_kept(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*_: Any, **__: Any) -> Any:
        raise ZeroDivisionError("nothing to divide by")

    monkeypatch.setattr(proposal.yard.row, "computed", failing)
    made = made_of(home / "alpha")
    row = row_from(made.text)
    assert not made.whole
    assert row.status == "mistakes"
    assert "ZeroDivisionError: nothing to divide by" in row.problems[0].what


def test_nothing_of_one_vessel_is_left_for_the_next(home: Path) -> None:
    alone = made_of(home / "alpha")
    _, after = rows_of(chunk_of(home / "bravo", home / "alpha"))
    assert after.text == alone.text


def test_no_scratch_is_left(home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "scratch").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "scratch"))
    made_of(home / "wrong")
    assert list((tmp_path / "scratch").iterdir()) == []


@pytest.mark.parametrize("name", ["../evil.yaml", "record/../../evil.yaml", "/evil.yaml", "record//x.yaml"])
def test_a_name_that_leads_out_of_the_scratch_folder_writes_nothing(home: Path, name: str) -> None:
    chunk = chunk_of(home / "alpha")
    (task,) = chunk.tasks
    own = proposal.yard.row.Bundle(((name, b"evil"), *task.own.files), (), (), ())
    (made,) = rows_of(Chunk((proposal.yard.row.Task(0, own, task.shared),), chunk.shared))
    assert not made.whole
    assert "is not a path inside the folder" in row_from(made.text).problems[0].what


def test_another_program_is_refused(home: Path) -> None:
    chunk = chunk_of(home / "alpha")
    with pytest.raises(MachineError, match="another version"):
        rows_of(Chunk(chunk.tasks, chunk.shared, "some other program"))


def test_vessels_are_told_in_chunks_with_what_they_share_once(home: Path) -> None:
    bundle = read_bundle(home / "alpha", {})
    chunks = list(in_chunks(((n, bundle) for n in range(5)), 2))
    assert [[task.number for task in chunk.tasks] for chunk in chunks] == [[0, 1], [2, 3], [4]]
    assert all(len(chunk.shared) == 2 for chunk in chunks)


@pytest.fixture(scope="module")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project with a record, sealed as a folder and then, with one more entry, as a zip, by the real command."""
    boat = add_project(tmp_path_factory.mktemp("sealed"), "boat")
    add_record(boat, options_of(boat)[0])
    command = ["seal", str(boat), "--without-days", "--without-pages", "--do-not-energise"]
    assert main(command) == 0
    second = HAND_OVER.replace("hand_over", "visit").replace("option: {option}\n", "")
    (boat / "record" / "02-visit.yaml").write_text(second, encoding="utf-8")
    assert main([*command, "--zip"]) == 0
    return boat


def test_seals_are_told_with_the_version_that_made_them(rows: Rows, sealed: Path) -> None:
    row = rows(sealed.parent)["boat"]
    assert [(s.number, s.entries_count, s.do_not_energise, s.archive) for s in row.seals] == [
        (1, 1, True, True), (2, 2, True, True),
    ]  # fmt: skip
    assert {s.made_by for s in row.seals} == {row.made_by}
    assert len(row.archives) == 2
    assert (row.status, row.entries_count) == ("do_not_energise", 2)


def test_archives_alone_tell_the_vessel(rows: Rows, sealed: Path, tmp_path: Path) -> None:
    shutil.copytree(sealed / "sealed", tmp_path / "v" / "kept" / "sealed")
    row = rows(tmp_path / "v")["kept"]
    whole = rows(sealed.parent)["boat"]
    assert (row.name, row.number, row.revision) == (whole.name, whole.number, whole.revision)
    assert row.seals == whole.seals
    assert (row.status, row.entries_count, row.parts) == ("do_not_energise", 2, ())


def test_an_archive_that_is_gone_is_missed(rows: Rows, sealed: Path, tmp_path: Path) -> None:
    boat = tmp_path / "v" / "boat"
    shutil.copytree(sealed, boat)
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(sealed.parent / shared, tmp_path / "v")
    (zipped,) = (boat / "sealed").glob("*.zip")
    zipped.unlink()
    row = rows(tmp_path / "v")["boat"]
    assert [(s.archive, bool(s.made_by)) for s in row.seals] == [(True, True), (False, False)]


@pytest.mark.parametrize("harm", [b"", b"PK", b"\0" * 5000, b"not a zip at all"])
def test_a_damaged_archive_says_nothing(rows: Rows, sealed: Path, tmp_path: Path, harm: bytes) -> None:
    (tmp_path / "v" / "kept" / "sealed").mkdir(parents=True)
    (zipped,) = (sealed / "sealed").glob("*.zip")
    (tmp_path / "v" / "kept" / "sealed" / zipped.name).write_bytes(zipped.read_bytes()[:200] + harm)
    row = rows(tmp_path / "v")["kept"]
    assert (row.name, row.seals, row.archives) == ("", (), (zipped.name,))
    assert row.status == "do_not_energise"


def test_leaving_out_the_change_log_changes_nothing_else(tmp_path: Path) -> None:
    boat = add_project(tmp_path / "v", "boat", "marram")
    shutil.copytree(PROJECTS / "marram" / "record", boat / "record")
    row = row_from(made_of(boat).text)
    whole = computed(boat, sheets=False)
    assert whole.record is not None
    count = len(whole.record.entries)
    assert count >= 3
    assert row_text(row) == row_text(row_of(whole.evaluated, entries_count=count))


@pytest.mark.slow
def test_a_record_is_sealed_until_its_next_entry(tmp_path: Path) -> None:
    boat = add_project(tmp_path / "v", "boat", "marram")
    shutil.copytree(PROJECTS / "marram" / "record", boat / "record")
    assert main(["seal", str(boat), "--without-days", "--without-pages"]) == 0
    row = row_from(made_of(boat).text)
    count = row.entries_count
    assert (row.status, row.hindrances_count) == ("sealed", 0)
    assert [(s.entries_count, s.archive) for s in row.seals] == [(count, True)]
    later = (
        HAND_OVER.replace("hand_over", "visit").replace("option: {option}\n", "").replace("2026-06-01", "2029-06-01")
    )
    (boat / "record" / f"{count + 1:02d}-visit.yaml").write_text(later, encoding="utf-8")
    assert row_from(made_of(boat).text).status == "fitted"
