from __future__ import annotations

import json
import os
import shutil
import threading
import time
from pathlib import Path
from typing import Any

import pytest

import proposal.publish.site
import proposal.yard.bundle
import proposal.yard.look
import proposal.yard.row
from proposal.errors import SpecError
from proposal.results.computed import Computed, computed
from proposal.yard.index import Indexed, index
from tests.yard.conftest import TODAY, add_project


@pytest.fixture(autouse=True)
def bare_site(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages have their own tests: here one in their place."""

    def render(book: Any, _: Any, extra: dict[str, bytes], **__: Any) -> dict[str, bytes]:
        return {"index.html": repr(book).encode()} | extra

    monkeypatch.setattr(proposal.publish.site, "render_site", render)


@pytest.fixture(autouse=True)
def computed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What one test computed of the same bytes is not computed for another; what is counted are rows that are made."""
    monkeypatch.setattr(proposal.yard.row, "computed", remembered)


def remembered(folder: Path, **more: Any) -> Computed:
    files = [*sorted(folder.parent.glob("*.yaml")), *sorted(p for p in folder.rglob("*") if p.is_file())]
    key = tuple((p.relative_to(folder.parent).as_posix(), p.read_bytes()) for p in files)
    if key not in KNOWN:
        try:
            KNOWN[key] = computed(folder, **more)
        except SpecError as error:
            KNOWN[key] = error
    found = KNOWN[key]
    if isinstance(found, SpecError):
        raise found
    return found


@pytest.fixture(autouse=True)
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if all files had been written long ago."""
    monkeypatch.setattr(proposal.yard.look, "now_ns", lambda: time.time_ns() + 10 * proposal.yard.bundle.RACY_NS)


KNOWN: dict[Any, Computed | SpecError] = {}


class Yard:
    """A yard and its cache."""

    def __init__(self, home: Path, cache: Path) -> None:
        self.home = home
        self.cache = cache

    def run(self, **more: Any) -> Indexed:
        more = {"today": TODAY, "out": None, "jobs": 1} | more
        return index(self.home, more.pop("out"), more.pop("today"), self.cache, **more)

    def rows(self) -> dict[str, Any]:
        made = json.loads((self.home / "yard" / "yard.json").read_text(encoding="utf-8"))
        return {vessel["path"]: vessel["row"] for vessel in made["vessels"]}

    def written(self) -> dict[str, tuple[int, int]]:
        return {p.name: (p.stat().st_ino, p.stat().st_mtime_ns) for p in (self.home / "yard").iterdir()}


@pytest.fixture
def yard(home: Path, tmp_path: Path) -> Yard:
    return Yard(home, tmp_path / "cache")


def rename(project: Path, name: str) -> None:
    spec = project / "spec.yaml"
    text = spec.read_text(encoding="utf-8")
    spec.write_text(text.replace("name: Skarn", f"name: {name}", 1), encoding="utf-8")
    assert f"name: {name}" in spec.read_text(encoding="utf-8")


def no_reading(*_: Any) -> Any:
    raise AssertionError("a file was read")


def test_nothing_changed_is_not_read_and_not_written(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    first = yard.run()
    assert (first.vessels_count, first.made_count) == (3, 3)
    before = yard.written()
    monkeypatch.setattr(proposal.yard.look, "read_bundle", no_reading)
    again = yard.run()
    assert (again.vessels_count, again.made_count, again.yard) == (3, 0, None)
    assert yard.written() == before


def test_one_change_makes_one_row(yard: Yard) -> None:
    yard.run()
    before = yard.rows()
    rename(yard.home / "alpha", "Renamed")
    assert yard.run().made_count == 1
    after = yard.rows()
    assert after.pop("alpha")["name"] == "Renamed"
    before.pop("alpha")
    assert after == before


def test_what_comes_back_is_known_still(yard: Yard) -> None:
    spec = yard.home / "alpha" / "spec.yaml"
    was = spec.read_bytes()
    yard.run()
    rename(yard.home / "alpha", "Renamed")
    yard.run()
    spec.write_bytes(was)
    assert yard.run().made_count == 0
    assert yard.rows()["alpha"]["name"] == "Skarn"


def test_a_vessel_that_moves_is_not_computed_and_stands_where_it_is(yard: Yard) -> None:
    yard.run()
    (yard.home / "north").mkdir()
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(yard.home / shared, yard.home / "north")
    (yard.home / "alpha").rename(yard.home / "north" / "zulu")
    assert yard.run().made_count == 0
    assert sorted(yard.rows()) == ["bravo", "north/zulu", "wrong"]


def test_a_vessel_that_is_gone_has_no_row_and_two_alike_have_two(yard: Yard) -> None:
    yard.run()
    shutil.rmtree(yard.home / "wrong")
    add_project(yard.home, "twin")
    assert yard.run().made_count == 0
    rows = yard.rows()
    assert sorted(rows) == ["alpha", "bravo", "twin"]
    assert rows["twin"] == rows["alpha"]


def test_vessels_alike_are_computed_once(yard: Yard) -> None:
    for name in ("twin", "triplet"):
        add_project(yard.home, name)
    assert yard.run().made_count == 3
    rows = yard.rows()
    assert rows["twin"] == rows["triplet"] == rows["alpha"]


def test_one_of_two_alike_that_changes_while_it_waits_is_told_apart(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_project(yard.home, "twin")
    yard.run()
    shutil.rmtree(yard.cache / "yard")
    bundle = proposal.yard.look.Looked.bundle

    def changing(looked: Any, path: str) -> Any:
        if path == "alpha":
            rename(yard.home / "alpha", "Changed")
        return bundle(looked, path)

    monkeypatch.setattr(proposal.yard.look.Looked, "bundle", changing)
    yard.run(today="2027-01-01")
    rows = yard.rows()
    assert (rows["alpha"]["name"], rows["twin"]["name"]) == ("Changed", "Skarn")


def test_a_mended_mistake_becomes_a_vessel(yard: Yard) -> None:
    yard.run()
    shutil.rmtree(yard.home / "wrong")
    add_project(yard.home, "wrong")
    rename(yard.home / "wrong", "Mended")
    yard.run()
    assert yard.rows()["wrong"]["status"] == "proposal"


def test_the_price_book_of_all_changes_all(yard: Yard) -> None:
    yard.run()
    with (yard.home / "prices.yaml").open("a", encoding="utf-8") as stream:
        stream.write("# read\n")
    assert yard.run().made_count == 3


def test_another_day_is_written_and_nothing_computed(yard: Yard) -> None:
    yard.run()
    made = yard.run(today="2027-11-26")
    assert made.made_count == 0
    assert made.yard is not None
    assert json.loads((yard.home / "yard" / "yard.json").read_text())["today"] == "2027-11-26"
    assert "bravo,Skarn" in (yard.home / "yard" / "upkeep.csv").read_text()
    assert ",yes\r\n" in (yard.home / "yard" / "upkeep.csv").read_bytes().decode()


@pytest.mark.parametrize("harm", ["removed", "changed", "more", "all"])
def test_an_index_that_somebody_touched_is_written_anew(yard: Yard, harm: str) -> None:
    yard.run()
    out = yard.home / "yard"
    whole = {p.name: p.read_bytes() for p in out.iterdir()}
    if harm == "removed":
        (out / "parts.csv").unlink()
    elif harm == "changed":
        (out / "parts.csv").write_bytes(b"other")
    elif harm == "more":
        (out / "stranger.txt").write_bytes(b"")
    else:
        shutil.rmtree(out)
    assert yard.run().made_count == 0
    assert {p.name: p.read_bytes() for p in out.iterdir()} == whole


def test_another_program_computes_all_anew(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    yard.run()
    for module in ("gather", "look", "row"):
        monkeypatch.setattr(f"proposal.yard.{module}.row_stamp", lambda: "a later program")
    assert yard.run().made_count == 3


@pytest.mark.parametrize("harm", [b"", b"{", b"0" * 64 + b"\n{}"])
def test_a_damaged_memory_is_no_memory(yard: Yard, harm: bytes) -> None:
    yard.run()
    (file,) = (yard.cache / "yards").glob("*.json")
    file.write_bytes(harm)
    assert yard.run().made_count == 0


def test_a_damaged_row_is_made_anew(yard: Yard) -> None:
    yard.run()
    whole = yard.rows()
    kept = sorted((yard.cache / "yard").glob("*.days"))
    assert len(kept) == 3
    for path in kept:
        data = bytearray(path.read_bytes())
        data[-5] ^= 1
        path.write_bytes(bytes(data))
    shutil.rmtree(yard.home / "yard")
    assert yard.run().made_count == 3
    assert yard.rows() == whole


def test_a_file_written_a_moment_ago_is_read_again_and_then_trusted(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = time.time_ns
    monkeypatch.setattr(proposal.yard.look, "now_ns", now)
    yard.run()
    read: list[str] = []
    reading = proposal.yard.look.read_bundle

    def counted(folder: Path, known: Any) -> Any:
        read.append(folder.name)
        return reading(folder, known)

    monkeypatch.setattr(proposal.yard.look, "read_bundle", counted)
    assert yard.run().made_count == 0
    assert sorted(read) == ["alpha", "bravo", "wrong"]
    monkeypatch.setattr(proposal.yard.look, "now_ns", lambda: now() + 10 * proposal.yard.bundle.RACY_NS)
    yard.run()
    read.clear()
    assert yard.run().yard is None
    assert read == []


def test_a_change_that_hides_in_the_same_tick_is_seen(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """Same size, same times, same number of the file: what a clock too coarse would show."""
    monkeypatch.setattr(proposal.yard.look, "now_ns", time.time_ns)
    glance: Any = proposal.yard.look.glance
    first: dict[str, Any] = {}

    def blind(folder: str, *rest: Any) -> Any:
        return first.setdefault(folder, glance(folder, *rest))

    yard.run()
    monkeypatch.setattr(proposal.yard.look, "glance", blind)
    yard.run()
    rename(yard.home / "alpha", "Skarm")
    yard.run()
    assert yard.rows()["alpha"]["name"] == "Skarm"


def test_a_row_at_which_the_program_failed_is_tried_again(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*_: Any, **__: Any) -> Any:
        raise ZeroDivisionError

    with monkeypatch.context() as patch:
        patch.setattr("proposal.yard.row.computed", failing)
        yard.run()
        assert {row["status"] for row in yard.rows().values()} == {"mistakes"}
    assert yard.run().made_count == 3
    assert yard.rows()["alpha"]["status"] == "proposal"
    assert yard.run().yard is None


def test_an_index_elsewhere_inside_is_no_project_next_time(yard: Yard) -> None:
    yard.run(out=yard.home / "lists" / "mine")
    assert yard.run(out=yard.home / "lists" / "mine").yard is None
    assert not (yard.home / "yard").exists()


def test_an_empty_folder_has_an_index_too(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    made = Yard(tmp_path / "empty", tmp_path / "cache").run()
    assert made.vessels_count == 0
    assert (tmp_path / "empty" / "yard" / "vessels.csv").read_bytes().count(b"\r\n") == 1


def test_a_cache_that_cannot_be_written_costs_time_alone(yard: Yard, tmp_path: Path) -> None:
    (tmp_path / "cache").write_bytes(b"a file in its place")
    assert yard.run().made_count == 3
    assert yard.run().made_count == 3


def test_two_runs_at_once_do_no_harm(yard: Yard) -> None:
    failed: list[BaseException] = []

    def one(day: str) -> None:
        try:
            yard.run(today=day)
        except BaseException as error:
            failed.append(error)

    days = ("2026-11-26", "2027-11-26")
    threads = [threading.Thread(target=one, args=(day,)) for day in days]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    made = json.loads((yard.home / "yard" / "yard.json").read_text())
    assert made["today"] in days
    assert len(made["vessels"]) == 3
    assert not [name for name in os.listdir(yard.home) if name.startswith(".yard.")]


@pytest.mark.parametrize("name", ["=cmd|' /C calc'!A0", 'a,b "c"', "<b>x</b>", "ünïcode ☂", "new\nline", "caf\udce9"])
def test_a_folder_may_have_any_name(tmp_path: Path, name: str) -> None:
    yard = Yard(tmp_path / "home", tmp_path / "cache")
    add_project(yard.home, name)
    assert yard.run().made_count == 1
    (path,) = yard.rows()
    assert path == (name if name != "caf\udce9" else "caf\\xe9")
    assert yard.run().yard is None
