"""What holds for every test: no network, no stopwatch on generated examples, and tools that may be missing."""

from __future__ import annotations

import os
import shutil
import socket
from typing import Any

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line sets it, before numpy is loaded

# A busy machine must not fail a test; on CI the built-in profile also makes the examples the same on each run.
settings.register_profile("no deadline", settings(), deadline=None)
settings.load_profile("no deadline")

TOOLS = {"browser": ("chromium",), "reference": ("ngspice",)}
"""Programs that a marked test runs. Where PROPOSAL_ALL_TOOLS is set, as on CI, a missing one is an error."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """A worker that has nothing left takes from another: the slow tests stand side by side in a few folders."""
    from xdist.scheduler import WorkStealingScheduling  # noqa: PLC0415 - only where tests are distributed

    return WorkStealingScheduling(config, log)


def pytest_runtest_setup(item: pytest.Item) -> None:
    wanted = [tool for mark, tools in TOOLS.items() if item.get_closest_marker(mark) for tool in tools]
    missing = [tool for tool in wanted if not shutil.which(tool)]
    if not missing:
        return
    if os.environ.get("PROPOSAL_ALL_TOOLS"):
        pytest.fail(f"not installed: {', '.join(missing)}", pytrace=False)
    pytest.skip(f"not installed: {', '.join(missing)}")


@pytest.fixture(autouse=True, scope="session")
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Days and compiled code that tests make are kept for this run of them, by all workers, and not for the user."""
    here = tmp_path_factory.getbasetemp()
    home = (here.parent if "PYTEST_XDIST_WORKER" in os.environ else here) / "cache"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PROPOSAL_CACHE", str(home))
        yield


@pytest.fixture(autouse=True, scope="session")
def no_network() -> Any:
    """Nothing in the program or its tests talks to another machine: an attempt fails its test."""
    connect = socket.socket.connect
    connect_ex = socket.socket.connect_ex

    def refuse(here: socket.socket, address: Any) -> None:
        if here.family in {socket.AF_INET, socket.AF_INET6} and address[0] not in {"127.0.0.1", "::1", "localhost"}:
            raise AssertionError(f"a test tried to reach {address[0]}:{address[1]}")

    def guarded(here: socket.socket, address: Any) -> None:
        refuse(here, address)
        connect(here, address)

    def guarded_ex(here: socket.socket, address: Any) -> int:
        refuse(here, address)
        return connect_ex(here, address)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", guarded)
        patch.setattr(socket.socket, "connect_ex", guarded_ex)
        yield
