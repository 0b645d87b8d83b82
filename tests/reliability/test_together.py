"""Several benches at one workshop: no update is lost, and no lock shows that is let go in time."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from rushlight.errors import WorkshopError
from rushlight.store.place import PATIENCE, Store, open_store
from rushlight.workshop import Workshop, settings
from tests.support import ledger_checks, sharing, steps
from tests.support.homes import Home
from tests.support.mortal import CLOCK, Mortal

THREADS, PROCESSES, TIMES = 4, 2, 6
HELD = 3.0  # seconds, of the five that a bench waits

pytestmark = [
    pytest.mark.skipif(not hasattr(os, "fork"), reason="the other benches are forked"),
    pytest.mark.slow,
]


@pytest.fixture
def place(home: Home) -> str | Path:
    """Return where a workshop is that was fitted out; each write waits for the disc."""
    return home.filled("fitted out", _fit_out)


def _fit_out(place: str | Path) -> None:
    from rushlight.store.place import create_store

    store = create_store(place, clock=lambda: CLOCK)
    steps.prepare(store)
    store.close()


@pytest.fixture
def store(place: str | Path) -> Iterator[Store]:
    """Open the workshop as this bench does."""
    opened = open_store(place, clock=lambda: CLOCK)
    yield opened
    opened.close()


def _at_once(works: list[Callable[[], None]]) -> list[str]:
    """Do all of it in threads that start together; return what went wrong."""
    wrong: list[str] = []
    barrier = threading.Barrier(len(works))

    def run(work: Callable[[], None]) -> None:
        barrier.wait()
        try:
            work()
        except Exception as error:  # noqa: BLE001 - reported by the test
            wrong.append(f"{type(error).__name__}: {error}")

    threads = [threading.Thread(target=run, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return wrong


def test_four_threads_and_two_processes_lose_no_update(place: str | Path, store: Store) -> None:
    """Six benches count, receive and revise: all is there, once, in one line; nobody is refused."""
    names = [f"thread {n}" for n in range(THREADS)] + [f"process {n}" for n in range(PROCESSES)]
    with ExitStack() as stack:
        others = [stack.enter_context(Mortal()) for _ in range(PROCESSES)]
        for name, other in zip(names[THREADS:], others, strict=True):
            other.begin("share", place, name, TIMES)
        wrong = _at_once(
            [lambda name=name: sharing.share(store, name, TIMES) for name in names[:THREADS]]  # type: ignore[misc]
        )
        assert [other.hear() for other in others] == ["shared"] * PROCESSES
    assert wrong == []
    sharing.check(store, names, TIMES)
    ledger_checks.check(Workshop(store, lambda: CLOCK))


def test_a_lock_of_three_seconds_shows_to_nobody(
    place: str | Path, store: Store, mortal: Mortal
) -> None:
    """Another process holds it; a write waits and goes through, a reader does not even wait."""
    shop = Workshop(store, lambda: CLOCK)
    mortal.begin("hold", place, HELD)
    assert mortal.hear() == "holding"
    began = time.monotonic()
    assert settings.current(shop).demo is False
    assert time.monotonic() - began < HELD / 2
    sharing.share(store, "waiting", 1)
    waited = time.monotonic() - began
    assert mortal.hear() == "let go"
    assert waited > HELD * 0.9
    sharing.check(store, ["waiting"], 1)


@pytest.mark.once  # of a server: tests/store/test_server.py, with a bench of less patience
def test_a_lock_that_stays_is_said_after_five_seconds(
    place: str | Path, store: Store, mortal: Mortal
) -> None:
    """The message says that another holds it; nothing was written, and later it can be."""
    mortal.begin("hold", place, 60)
    assert mortal.hear() == "holding"
    began = time.monotonic()
    with pytest.raises(WorkshopError, match=r"another program that does not let go") as caught:
        sharing.share(store, "in vain", 1)
    assert time.monotonic() - began >= PATIENCE * 0.9
    assert "try again. Nothing was changed" in str(caught.value)
    mortal.kill()
    assert mortal.hear() is None
    with store.reading() as connection:
        assert steps.done(connection) == 0
    sharing.share(store, "afterwards", 1)
    sharing.check(store, ["afterwards"], 1)
