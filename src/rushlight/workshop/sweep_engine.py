"""Where a sweep runs: processes of this machine, or the workers of a Dask scheduler.

Processes are spawned, never forked (a fork of a program with threads may hang), so a
script that sweeps keeps its work under `if __name__ == "__main__":`.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import parent_process
from multiprocessing.connection import wait
from multiprocessing.context import SpawnContext, SpawnProcess
from threading import Thread
from typing import Any

from rushlight.errors import BadInput

MOST_WORKERS = 64
ANSWERS = "5s"  # how long a scheduler is given to answer


@contextmanager
def engine(*, scheduler: str = "", workers: int | None = None) -> Iterator[Executor]:
    """Lend an Executor; what still runs when it is given back is ended at once.

    scheduler: address of a Dask scheduler ("tcp://host:8786"), whose workers need Rushlight
    installed; without one, workers [1] processes, as many as there are cores unless said.
    Raises BadInput where Dask is missing or nobody answers.
    """
    if scheduler:
        with _dask(scheduler) as executor:
            yield executor
        return
    count = _cores() if workers is None else workers
    if not 1 <= count <= MOST_WORKERS:
        raise BadInput.one(
            f"{count} processes are not possible.", f"Give 1 to {MOST_WORKERS}.", "workers"
        )
    context = _Remembering()
    pool = ProcessPoolExecutor(count, mp_context=context, initializer=_begin)
    try:
        yield pool
    finally:
        # All of them, also with nothing to do: they hold nothing that would be lost.
        for process in context.started:
            process.terminate()
        pool.shutdown(wait=True, cancel_futures=True)


class _Remembering(SpawnContext):
    """Spawns, and remembers what it spawned, so that it can be ended."""

    def __init__(self) -> None:
        super().__init__()
        self.started: list[SpawnProcess] = []

    def Process(self, *args: Any, **named: Any) -> SpawnProcess:  # type: ignore[override]  # noqa: N802 -- the name is theirs
        process = SpawnProcess(*args, **named)
        self.started.append(process)
        return process


def _begin() -> None:
    """Leave Ctrl-C to the parent, and do not outlive it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = parent_process()
    if parent is not None:
        Thread(target=_outlived, args=(parent.sentinel,), daemon=True).start()


def _outlived(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


def _cores() -> int:
    able = getattr(os, "sched_getaffinity", None)
    count = len(able(0)) if able else os.cpu_count() or 1
    return min(count, MOST_WORKERS)


@contextmanager
def _dask(address: str) -> Iterator[Executor]:
    try:
        from distributed import Client
    except ImportError as missing:
        raise BadInput.one(
            "A scheduler's address is given, and Dask is not installed.",
            'Install it with pip install "rushlight[sweep]", or leave the address out.',
            "scheduler",
        ) from missing

    class Caller(Client):
        """Closes at once when nobody answers.

        Left to the garbage collector, a client closes wherever that happens to run: inside a
        lock of Dask's own, which closing asks for again, it would wait for ever.
        """

        def start(self, **named: Any) -> None:
            try:
                super().start(**named)  # type: ignore[no-untyped-call]
            except BaseException:
                self.close()  # type: ignore[no-untyped-call]
                raise

    try:
        client = Caller(address, timeout=ANSWERS, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as bad:
        raise BadInput.one(
            f"No Dask scheduler answers at “{address[:80]}”.",
            "Check the address (tcp://host:8786), or leave it out to compute here.",
            "scheduler",
        ) from bad
    with client:
        executor = client.get_executor()  # type: ignore[no-untyped-call]
        try:
            yield executor
        finally:
            executor.shutdown(wait=False)  # cancels what is not done
