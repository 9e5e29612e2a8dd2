from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from distributed import LocalCluster

from proposal.errors import MachineError
from proposal.results.yard_row import row_from
from proposal.yard.bundle import Bundle
from proposal.yard.gather import gather
from proposal.yard.look import Looked
from proposal.yard.row import in_chunks
from proposal.yard.work import ENDED, Workers, cluster, here, processes
from tests.yard.conftest import TODAY, add_project
from tests.yard.ending import END, rows_or_end


class Nothing:
    """A shelf that keeps nothing."""

    def get(self, _: str) -> bytes | None:
        return None

    def put(self, _: str, __: bytes) -> None:
        pass


def texts(home: Path, workers: Workers, *, stamped: bool = False) -> tuple[bytes, ...]:
    return gather(Looked(home, {}), lambda _: workers, Nothing(), TODAY, stamped=stamped).texts


@pytest.fixture(scope="module")
def five(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("five")
    for name in "abcde":
        boat = add_project(home, name)
        spec = boat / "spec.yaml"
        spec.write_text(spec.read_text(encoding="utf-8") + f"# {name}\n", encoding="utf-8")
    (home / "c" / "spec.yaml").write_text("nothing: right\n", encoding="utf-8")
    return home


@pytest.mark.slow
def test_the_same_bytes_whatever_the_number_of_processes(five: Path) -> None:
    alone = texts(five, here)
    assert len(alone) == 5
    assert texts(five, processes(2)) == alone
    assert texts(five, processes(3)) == alone


def specs(*told: bytes) -> Iterator[tuple[int, Bundle]]:
    return ((n, Bundle((("spec.yaml", spec),), (), (), ())) for n, spec in enumerate(told))


@pytest.mark.slow
@pytest.mark.parametrize("size", [1, 3])
def test_a_process_that_ends_costs_its_vessel_and_no_other(size: int) -> None:
    told = [END if n in {4, 11} else b"%d" % n for n in range(12)]
    made = {m.number: m for some in processes(2, rows_or_end)(in_chunks(specs(*told), size)) for m in some}
    assert sorted(made) == list(range(12))
    assert {n for n, m in made.items() if not m.whole} == {4, 11}
    assert all(made[n].text == told[n] for n in range(12) if n not in {4, 11})
    assert ENDED in row_from(made[4].text).problems[0].what


def test_no_vessels_are_no_work() -> None:
    assert list(here([])) == []
    assert list(processes(2, rows_or_end)([])) == []


@pytest.fixture
def scheduler() -> Iterator[Any]:
    """A cluster of two workers, in this process but reached by its address."""
    with LocalCluster(
        n_workers=2, processes=False, threads_per_worker=1, dashboard_address=None, host="127.0.0.1", protocol="tcp"
    ) as made:
        yield made.scheduler_address


@pytest.mark.slow
def test_a_cluster_gives_the_same_bytes(five: Path, scheduler: str) -> None:
    assert texts(five, cluster(scheduler), stamped=True) == texts(five, here)


@pytest.mark.slow
def test_a_cluster_with_another_program_is_refused(scheduler: str) -> None:
    bundles = ((n, Bundle((("spec.yaml", b"x"),), (), (), ())) for n in range(2))
    with pytest.raises(MachineError, match="another version"):
        list(cluster(scheduler)(in_chunks(bundles, 1, "some other program")))


@pytest.mark.nightly
def test_a_worker_that_ends_costs_its_vessel_and_no_other() -> None:
    told = [END if n == 2 else b"%d" % n for n in range(5)]
    with LocalCluster(
        n_workers=2, processes=True, threads_per_worker=1, dashboard_address=None, host="127.0.0.1", protocol="tcp"
    ) as made:
        chunks = in_chunks(specs(*told), 2)
        rows = {m.number: m for some in cluster(made.scheduler_address, rows_or_end)(chunks) for m in some}
    assert {n for n, m in rows.items() if not m.whole} == {2}
    assert all(rows[n].text == told[n] for n in range(5) if n != 2)


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense", "odd://127.0.0.1:9", "tcp://127.0.0.1:99999999"])
def test_no_cluster_is_an_error_with_advice(address: str) -> None:
    with pytest.raises(MachineError, match=r"no cluster answers.*8786"):
        list(cluster(address)(in_chunks(specs(b"x"), 1)))


def test_without_the_library_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    known = importlib.import_module

    def missing(name: str, package: str | None = None) -> Any:
        if name == "distributed":
            raise ImportError(name)
        return known(name, package)

    monkeypatch.setattr(importlib, "import_module", missing)
    with pytest.raises(MachineError, match="install proposal\\[cluster\\]"):
        cluster("tcp://127.0.0.1:8786")
