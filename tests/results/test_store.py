"""Kept days: a hit equals a computation, damage is mended quietly, the folder stays bounded, two may write at once."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from proposal.results.codec import to_json
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.store import FolderShelf, Shelf, remembered, stamp_of
from proposal.spec.loading import load_project
from proposal.studies.behaviour.result import Behaviour
from tests.sample_behaviour import marram, sample_behaviour

ROOT = Path(__file__).parents[2]
KEY = "a" * 64


class Simulated:
    """Stands in for the simulation, and counts; each computation differs by its seed, as none should."""

    def __init__(self) -> None:
        self.count = 0

    def __call__(self, *_: Any) -> Behaviour:
        self.count += 1
        return replace(sample_behaviour(marram().options[0]), seed=self.count, tolerance_v=0.1 + 0.2)


def _evaluated(simulated: Simulated, shelf: Shelf, stamp: str = "stamp") -> Evaluated:
    days = remembered(simulated, shelf, stamp)
    return evaluate(load_project(ROOT / "projects" / "marram"), {}, "a test", sheets=False, days=days)


def test_an_unchanged_option_is_not_computed_anew_and_gives_the_same_bytes(tmp_path: Path) -> None:
    simulated, shelf = Simulated(), FolderShelf(tmp_path / "days")
    first = _evaluated(simulated, shelf)
    assert simulated.count == 2
    second = _evaluated(simulated, shelf)
    assert simulated.count == 2
    assert second.results == first.results
    assert to_json(second.results) == to_json(first.results)
    behaviour = second.results.options[1].behaviour
    assert behaviour is not None
    assert (behaviour.seed, behaviour.tolerance_v) == (2, 0.1 + 0.2)
    _evaluated(simulated, shelf, "another program")
    assert simulated.count == 4


def test_a_damaged_or_foreign_entry_is_computed_anew_and_replaced(tmp_path: Path) -> None:
    simulated, shelf = Simulated(), FolderShelf(tmp_path)
    _evaluated(simulated, shelf)
    entries = sorted(tmp_path.iterdir())
    assert len(entries) == 2
    good = entries[0].read_bytes()
    count = simulated.count
    for spoilt in (
        b"",
        b"hello",
        good[:-1],
        good + b"x",
        good[:200] + bytes([good[200] ^ 1]) + good[201:],
        entries[1].read_bytes(),
    ):
        entries[0].write_bytes(spoilt)
        _evaluated(simulated, shelf)
        count += 1
        assert simulated.count == count
        assert len(entries[0].read_bytes()) > 1000
        _evaluated(simulated, shelf)
        assert simulated.count == count


def test_an_entry_that_is_whole_but_no_days_is_replaced_as_well(tmp_path: Path) -> None:
    simulated, shelf = Simulated(), FolderShelf(tmp_path)
    _evaluated(simulated, shelf)
    for entry in tmp_path.iterdir():
        shelf.put(entry.stem, b"well kept nonsense")
    _evaluated(simulated, shelf)
    assert simulated.count == 4
    _evaluated(simulated, shelf)
    assert simulated.count == 4


@pytest.mark.parametrize("make", [lambda p: p.write_text("a file"), lambda p: p.symlink_to("/proc/none")])
def test_a_folder_that_cannot_be_is_no_error(tmp_path: Path, make: Any) -> None:
    make(tmp_path / "days")
    simulated, shelf = Simulated(), FolderShelf(tmp_path / "days" / "deeper")
    first, second = (_evaluated(simulated, shelf) for _ in range(2))
    assert simulated.count == 4
    assert first.results.options[0].behaviour != second.results.options[0].behaviour  # really computed twice


def test_the_oldest_go_by_number_and_by_size_and_a_use_makes_young(tmp_path: Path) -> None:
    shelf = FolderShelf(tmp_path, most_entries=3, most_bytes=10_000)
    keys = [f"{n:064x}" for n in range(5)]
    for n, key in enumerate(keys[:3]):
        shelf.put(key, b"x" * 100)
        os.utime(tmp_path / f"{key}.days", (1000 + n, 1000 + n))
    assert shelf.get(keys[0]) == b"x" * 100
    shelf.put(keys[3], b"x" * 100)
    assert [shelf.get(key) is not None for key in keys] == [True, False, True, True, False]
    for n, key in enumerate((keys[0], keys[2], keys[3])):
        os.utime(tmp_path / f"{key}.days", (1000 + n, 1000 + n))
    shelf.put(keys[4], b"x" * 9_700)
    assert [shelf.get(key) is not None for key in keys] == [False, False, False, False, True]


def test_nothing_else_in_the_folder_is_touched(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    shelf = FolderShelf(tmp_path, most_entries=1)
    for n in range(3):
        shelf.put(f"{n:064x}", b"x")
    assert (tmp_path / "letter.txt").read_text() == "dear"
    assert len(list(tmp_path.iterdir())) == 2


def test_what_a_killed_run_left_goes_after_a_day(tmp_path: Path) -> None:
    left = [tmp_path / f".{KEY}.days.new-4711", tmp_path / f".{KEY}.days.lock"]
    for path in left:
        path.write_bytes(b"half")
    shelf = FolderShelf(tmp_path)
    shelf.put("b" * 64, b"x")
    assert all(path.exists() for path in left)
    for path in left:
        os.utime(path, (1000, 1000))
    shelf.put("b" * 64, b"x")
    assert not any(path.exists() for path in left)


def test_several_processes_write_and_read_one_entry_at_once(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from proposal.results.store import FolderShelf\n"
        "shelf, data = FolderShelf(Path(sys.argv[1]), most_entries=2), sys.argv[2].encode() * 20000\n"
        "for n in range(25):\n"
        "    key = f'{n % 3:064x}'\n"
        "    shelf.put(key, data)\n"
        "    got = shelf.get(key)\n"
        "    assert got is None or (len(got) == 20000 and len(set(got)) == 1), 'torn'\n"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    running = [
        subprocess.Popen(
            [sys.executable, "-c", program, str(tmp_path), letter], env=environment, stderr=subprocess.PIPE
        )
        for letter in "ab"
    ]
    for one in running:
        _, said = one.communicate(timeout=120)
        assert (one.returncode, said) == (0, b"")
    assert len([p for p in tmp_path.iterdir() if p.suffix == ".days"]) <= 2
    assert not [p for p in tmp_path.iterdir() if p.suffix != ".days"]


def test_the_stamp_follows_sources_tables_versions_and_settings_alone(tmp_path: Path) -> None:
    package = tmp_path / "proposal"
    for name in ("studies/behaviour/kernel.py", "parts/tables/lead.csv", "results/days_text.py", "book/book.py"):
        (package / name).parent.mkdir(parents=True, exist_ok=True)
        (package / name).write_text("1")
    stamp = stamp_of(package, ["numba 1"], seed=1)
    (package / "book/book.py").write_text("2")
    (package / "studies/__pycache__").mkdir()
    (package / "studies/__pycache__/kernel.nbi").write_text("compiled")
    assert stamp_of(package, ["numba 1"], seed=1) == stamp
    assert stamp_of(package, ["numba 2"], seed=1) != stamp
    assert stamp_of(package, ["numba 1"], seed=2) != stamp
    for name in ("studies/behaviour/kernel.py", "parts/tables/lead.csv", "results/days_text.py"):
        before = stamp_of(package, ["numba 1"], seed=1)
        (package / name).write_text("2")
        assert stamp_of(package, ["numba 1"], seed=1) != before, name
    before = stamp_of(package, ["numba 1"], seed=1)
    (package / "parts/tables/lead.csv").rename(package / "parts/tables/other.csv")
    assert stamp_of(package, ["numba 1"], seed=1) != before


def test_whoever_puts_many_entries_tidies_once(tmp_path: Path) -> None:
    shelf = FolderShelf(tmp_path, most_entries=2, tidies=False)
    keys = [str(n) * 64 for n in range(5)]
    for number, key in enumerate(keys):
        shelf.put(key, b"data")
        os.utime(tmp_path / f"{key}.days", (number, number))
    assert len(list(tmp_path.glob("*.days"))) == 5
    shelf.tidy()
    assert [shelf.get(key) for key in keys] == [None, None, None, b"data", b"data"]


def test_what_counts_for_a_stamp_can_be_named(tmp_path: Path) -> None:
    for name in ("in.py", "out.py"):
        (tmp_path / name).write_text("1", encoding="utf-8")
    before = stamp_of(tmp_path, [], depended_on=("in.py",))
    (tmp_path / "out.py").write_text("2", encoding="utf-8")
    assert stamp_of(tmp_path, [], depended_on=("in.py",)) == before
    (tmp_path / "in.py").write_text("2", encoding="utf-8")
    assert stamp_of(tmp_path, [], depended_on=("in.py",)) != before
