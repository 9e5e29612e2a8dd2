"""Who makes the rows: this process, several of them, or a cluster. All call one pure function: the same bytes."""

import contextlib
import importlib
import multiprocessing
import os
import signal
import socket
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from typing import Any

from proposal.errors import MachineError
from proposal.yard.row import Chunk, Made, Task, crashed, rows_of

Workers = Callable[[Iterable[Chunk]], Iterator[list[Made]]]
"""Makes the rows of chunks; they come in any order."""

MOST_JOBS = 64
AHEAD = 2
"""Chunks that are handed out for each process: one is worked at, the next waits, and few are lost with a process."""
ENDED = "its process ended"
CONNECT_S = 15
IN_PROCESS = "inproc://"


def here(chunks: Iterable[Chunk]) -> Iterator[list[Made]]:
    """One after the other in this process."""
    return map(rows_of, chunks)


def usable_processors() -> int:
    """How many processes can run at once."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1


def processes(jobs: int, function: Callable[[Chunk], list[Made]] = rows_of) -> Workers:
    """As many processes of this machine. One that ends at a vessel costs that vessel's row and no other."""

    def make(chunks: Iterable[Chunk]) -> Iterator[list[Made]]:
        waiting = iter(chunks)
        while True:
            suspects: list[Chunk] = []
            yield from _until_broken(waiting, min(jobs, MOST_JOBS), function, suspects)
            if not suspects:
                return
            yield from (_alone(task, chunk, function) for chunk in suspects for task in chunk.tasks)

    return make


def _until_broken(
    waiting: Iterator[Chunk], jobs: int, function: Callable[[Chunk], list[Made]], suspects: list[Chunk]
) -> Iterator[list[Made]]:
    """The rows of chunks until there are no more, or a process ended: then `suspects` are those that were under way."""
    with _pool(jobs) as pool:
        under_way: dict[Future[list[Made]], Chunk] = {}
        more = True
        while True:
            while more and not suspects and len(under_way) < AHEAD * jobs:
                chunk = next(waiting, None)
                if chunk is None:
                    more = False
                else:
                    _submit(pool, function, chunk, under_way, suspects)
            if not under_way:
                return
            done, _ = wait(under_way, return_when=FIRST_COMPLETED)
            for future in done:
                chunk = under_way.pop(future)
                try:
                    made = future.result()
                except BrokenProcessPool:
                    suspects.append(chunk)
                else:
                    yield made


def _submit(
    pool: ProcessPoolExecutor,
    function: Callable[[Chunk], list[Made]],
    chunk: Chunk,
    under_way: dict[Future[list[Made]], Chunk],
    suspects: list[Chunk],
) -> None:
    try:
        under_way[pool.submit(function, chunk)] = chunk
    except BrokenProcessPool:
        suspects.append(chunk)


def _alone(task: Task, chunk: Chunk, function: Callable[[Chunk], list[Made]]) -> list[Made]:
    """The row of one vessel in a process of its own."""
    with _pool(1) as pool:
        try:
            return pool.submit(function, Chunk((task,), chunk.shared, chunk.stamp)).result()
        except BrokenProcessPool:
            return [crashed(task, ENDED)]


@contextlib.contextmanager
def _pool(jobs: int) -> Iterator[ProcessPoolExecutor]:
    """New processes that begin clean; what is not begun is given up when the work is left."""
    context: Any = multiprocessing.get_context("forkserver" if sys.platform == "linux" else "spawn")
    if sys.platform == "linux":
        context.set_forkserver_preload([rows_of.__module__])
    pool = ProcessPoolExecutor(jobs, mp_context=context, initializer=_leave_to_parent)
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _leave_to_parent() -> None:
    """Ctrl-C reaches every process of a terminal: the one that was started by hand ends the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def cluster(address: str, function: Callable[[Chunk], list[Made]] = rows_of) -> Workers:
    """The workers of a Dask cluster, by the address of its scheduler.

    Raises MachineError where the library is not installed, nothing answers, or the workers run another program.
    """
    try:
        distributed: Any = importlib.import_module("distributed")  # optional and heavy
    except ImportError as error:
        raise MachineError(
            "a cluster needs the library `distributed`, which is not installed", "install proposal[cluster]"
        ) from error

    def make(chunks: Iterable[Chunk]) -> Iterator[list[Made]]:
        with _reached(distributed, address) as client:
            tasks = {}
            arriving = distributed.as_completed(loop=client.loop)
            for chunk in chunks:
                future = client.submit(function, chunk, pure=False)
                tasks[future.key] = chunk
                arriving.add(future)
            for future in arriving:
                chunk = tasks.pop(future.key)
                yield _result(future, chunk, lambda c: client.submit(function, c, pure=False), distributed.KilledWorker)
                future.release()

    return make


def _result(future: Any, chunk: Chunk, again: Callable[[Chunk], Any], killed: type[Exception]) -> list[Made]:
    """The rows of a chunk; where its worker ended (`killed`), each vessel again by itself."""
    try:
        made: list[Made] = future.result()
        return made
    except killed:
        if len(chunk.tasks) == 1:
            return [crashed(chunk.tasks[0], ENDED)]
    except MachineError:
        raise
    except Exception as error:  # a worker hands back whatever broke there, of any kind
        what = f"the cluster could not do it: {type(error).__name__}: {error}"
        raise MachineError(what, "install this program on its workers, and see what they log") from error
    made = []
    for task in chunk.tasks:
        alone = Chunk((task,), chunk.shared, chunk.stamp)
        made += _result(again(alone), alone, again, killed)
    return made


@contextlib.contextmanager
def _reached(distributed: Any, address: str) -> Iterator[Any]:
    """A client of a scheduler. Whether anything listens there is tried first: a client that fails lingers."""
    try:
        if not address.startswith(IN_PROCESS):
            host, port = distributed.comm.get_address_host_port(address)
            socket.create_connection((host, port), timeout=CONNECT_S).close()
        client = distributed.Client(address, timeout=CONNECT_S, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        advice = "give the address that the scheduler printed, for example tcp://127.0.0.1:8786"
        raise MachineError(f"no cluster answers at {address}: {error}", advice) from error
    with client:
        yield client
