"""`kill -9` with PostgreSQL: of a bench, and of the server itself."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from rushlight.errors import WorkshopError
from rushlight.store.place import Store, create_store
from rushlight.workshop import Workshop, candles
from rushlight.workshop.stores import jars, lots
from tests.reliability.conftest import Chance, until_killed
from tests.support import ledger_checks, postgres, steps
from tests.support.mortal import CLOCK, Mortal
from tests.support.postgres import Cluster

WRITES = 50

pytestmark = [
    pytest.mark.skipif(not hasattr(os, "fork"), reason="a bench to kill is forked"),
    pytest.mark.server,
    pytest.mark.slow,
]


@pytest.fixture
def careful() -> Iterator[Cluster]:
    """Start a server of our own that acknowledges what is in its log, to be killed."""
    with postgres.cluster(("fsync=off", "full_page_writes=on")) as started:
        yield started


@contextmanager
def _prepared(place: str | Path) -> Iterator[Store]:
    store = create_store(place, clock=lambda: CLOCK, durable=False)
    try:
        steps.prepare(store)
        yield store
    finally:
        store.close()


def _summary(store: Store) -> object:
    """Return what is in hand and what it is worth, and how the candle stands.

    Without codes of lots, which are made of numbers of rows: a server does not give out again
    the numbers of a write that was undone, and after a crash it leaves out some more.
    """
    shop = Workshop(store, lambda: CLOCK)
    stock = [(lot.material, lot.left, lot.worth) for lot in lots.listing(shop, empty=True)]
    made = [(lot.code, lot.left, lot.poured_on) for lot in jars.listing(shop, empty=True)]
    revisions = [(view.number, view.frozen_at) for view in candles.history(shop, "oar")]
    return sorted(stock), sorted(made), revisions


def _undisturbed(folder: Path) -> object:
    """Return what it comes to where nobody was killed: in a file, for it is the same."""
    with _prepared(folder / "undisturbed.rushlight") as store:
        for number in range(WRITES):
            steps.do(store, number)
        return _summary(store)


def test_a_bench_that_is_killed_leaves_whole_writes_and_no_lock(
    server: Cluster, tmp_path: Path, mortal: Mortal, chance: Chance
) -> None:
    """The next bench writes at once, and goes on where that one was stopped."""
    address = server.empty()
    there = kills = 0
    with _prepared(address) as store:
        while there < WRITES:
            acknowledged = until_killed(mortal, address, (there, WRITES), chance)
            kills += 1
            with store.unit_of_work() as connection:  # waits until the server has noticed
                there = steps.done(connection)
            assert acknowledged <= there <= acknowledged + 1
            ledger_checks.check(Workshop(store, lambda: CLOCK))
        print(f"{kills} kills.")  # noqa: T201
        assert _summary(store) == _undisturbed(tmp_path)
    server.drop(address)


def test_a_server_that_is_killed_keeps_what_it_acknowledged(
    careful: Cluster, tmp_path: Path, mortal: Mortal, chance: Chance
) -> None:
    """The bench is told that it went away; started again, it has every write that was said."""
    address = careful.empty()
    there = 0
    with _prepared(address) as store:
        for _ in range(3):
            mortal.begin("steps", address, there, WRITES)
            acknowledged, last = there, there + chance.drawn.randint(1, 15)
            while acknowledged < last:
                assert mortal.hear() == str(acknowledged)
                acknowledged += 1
            time.sleep(chance.drawn.uniform(0, 0.03))
            careful.stop(signal.SIGQUIT)  # every process of it ends on the spot, writing nothing
            told = []
            while (heard := mortal.hear()) is not None:
                if heard == str(acknowledged):
                    acknowledged += 1
                else:
                    told.append(heard)
            assert [line.split(":")[0] for line in told] == ["WorkshopError"]
            with pytest.raises(WorkshopError, match=r"cannot be reached|was stopped"):
                steps.do(store, acknowledged)
            careful.start()
            with store.reading() as connection:
                there = steps.done(connection)
            assert acknowledged <= there <= acknowledged + 1
            ledger_checks.check(Workshop(store, lambda: CLOCK))
        for number in range(there, WRITES):
            steps.do(store, number)
        assert _summary(store) == _undisturbed(tmp_path)
