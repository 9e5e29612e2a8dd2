"""The commands by which days are timed do what their names say."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.benchmarks import days
from tests.benchmarks.timing import run

MARRAM = Path(__file__).parents[2] / "projects" / "marram"
LOADS = "from proposal.cli.main import main"


def test_every_pair_differs_in_the_days_alone() -> None:
    made = days.pairs((sys.executable, "-c", "program"), MARRAM, Path("out"), frozenset({0, 1}))
    for pair in made:
        verb = pair.ours[pair.ours.index(str(MARRAM)) - 1 :]
        assert [*verb, "--without-days"] == list(pair.floor)[list(pair.floor).index(str(MARRAM)) - 1 :]
    assert len({pair.name for pair in made}) == len(made)
    (promised,) = (pair for pair in made if pair.largest_ratio is not None)
    assert promised.largest_ratio == 2.5
    assert "kept" in promised.name
    assert promised.ours[:3] == promised.floor[:3]


def test_a_cold_run_has_a_store_of_its_own_that_is_gone_afterwards(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PROPOSAL_CACHE", str(tmp_path / "warm"))
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "compiled"))
    said = tmp_path / "said"
    spy = f"open({str(said)!r}, 'w').write(os.environ['PROPOSAL_CACHE'] + ' ' + os.environ.get('NUMBA_CACHE_DIR', ''))"
    for program, compiled in ((days.COLD, str(tmp_path / "compiled")), (days.FIRST, "")):
        assert program.count(LOADS) == 1
        spied = program.replace(LOADS, f"{spy}; {LOADS}")
        run((sys.executable, "-c", spied, "--version"), frozenset({0}), tmp_path)
        store, kept = said.read_text().split(" ")
        assert kept == compiled
        assert not Path(store).exists()
        assert store != str(tmp_path / "warm")
