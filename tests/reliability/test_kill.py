"""`kill -9` at random moments: what was acknowledged is there, and nothing by halves.

What this can show: the order of writing, the write-ahead log and the undoing of what was not
finished, for the operating system keeps what a killed program handed to it. What it cannot
show is a power cut, in which that is lost too; against it each commit waits for the disc
(`synchronous = FULL`, checked in tests/store/test_place.py), and a backup is flushed before it
gets its name.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from contextlib import closing, suppress
from pathlib import Path

import pytest
from sqlalchemy import NullPool, create_engine, text

from rushlight.store.place import Store, create_store, open_store
from rushlight.workshop import Workshop
from tests.reliability.conftest import Chance, until_killed
from tests.support import ledger_checks, steps
from tests.support.mortal import CLOCK, Mortal

WRITES = 300
LIVES = 16
BESIDE = ("", "-wal")

pytestmark = [
    pytest.mark.skipif(not hasattr(os, "fork"), reason="a bench to kill is forked"),
    pytest.mark.slow,
]


def _whole(path: Path) -> None:
    """Check a file as SQLite checks it."""
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert raw.execute("PRAGMA foreign_key_check").fetchall() == []


def _as_it_lies(path: Path, folder: Path) -> Path:
    """Copy what a killed bench left, log and all, so that looking at it mends nothing there."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for ending in BESIDE:
        with suppress(FileNotFoundError):
            shutil.copyfile(f"{path}{ending}", folder / f"{path.name}{ending}")
    return folder / path.name


def _found(path: Path) -> tuple[int, str]:
    """Return how many writes a file holds, and the fingerprint of its rows."""
    engine = create_engine(f"sqlite:///{path}", poolclass=NullPool)
    with engine.connect() as connection:
        return steps.done(connection), steps.digest(connection)


def _look(store: Store) -> tuple[int, str]:
    """Return the same by way of a bench that is still there, and check the file from there.

    A write that was in the log, whole, but not yet in the index that benches share, is not one
    to whoever is there; it would be to one that comes when all others are gone. Nobody was told
    of it, so that both are right: but a copy of the files would not show what is so.
    """
    with store.reading() as connection:
        assert connection.execute(text("PRAGMA integrity_check")).all() == [("ok",)]
        assert connection.execute(text("PRAGMA foreign_key_check")).all() == []
        return steps.done(connection), steps.digest(connection)


def _lines(path: Path) -> list[str]:
    """Return every table and row of a file of any schema, as SQL."""
    with closing(sqlite3.connect(path)) as raw:
        return list(raw.iterdump())


def test_three_hundred_writes_survive_being_killed(
    tmp_path: Path, mortal: Mortal, chance: Chance
) -> None:
    """After each kill the file is that of a bench that was never killed, so many writes on.

    A write that was under way may be there, whole; sent again by its key, it is there once.
    """
    path = tmp_path / "bench.rushlight"
    store = create_store(path, clock=lambda: CLOCK)
    steps.prepare(store)
    store.close()
    seen: dict[int, str] = {}
    there = kills = under_way = 0
    while there < WRITES:
        if chance.drawn.random() < 0.5:
            with closing(open_store(path, clock=lambda: CLOCK)) as other:
                _look(other)  # from now on it has the file open, and keeps the log from folding
                acknowledged = until_killed(mortal, path, (there, WRITES), chance)
                there, now = _look(other)
        else:
            acknowledged = until_killed(mortal, path, (there, WRITES), chance)
            left = _as_it_lies(path, tmp_path / "left")
            _whole(left)
            there, now = _found(left)
        kills += 1
        assert acknowledged <= there <= acknowledged + 1
        assert seen.setdefault(there, now) == now
        under_way += there - acknowledged
    print(f"{kills} kills, {under_way} writes kept that nobody was told of.")  # noqa: T201
    assert kills >= 20
    _same_as_undisturbed(tmp_path / "undisturbed.rushlight", seen)


def _same_as_undisturbed(path: Path, seen: dict[int, str]) -> None:
    """Check that a bench nobody killed has the same rows after the same number of writes."""
    store = create_store(path, clock=lambda: CLOCK, durable=False)
    steps.prepare(store)
    for number in range(WRITES + 1):
        if number in seen:
            with store.reading() as connection:
                assert steps.digest(connection) == seen[number]
        if number < WRITES:
            steps.do(store, number)
    ledger_checks.check(Workshop(store, lambda: CLOCK))
    store.close()


def _moment(chance: Chance, number: int, took: float) -> float:
    """Return when to kill the so-manieth: by chance, and yet spread over all it takes [s]."""
    return 1.1 * took * (number + chance.drawn.random()) / LIVES


def test_a_migration_that_is_killed_leaves_the_old_or_the_new(
    tmp_path: Path, old: Path, mortal: Mortal, chance: Chance
) -> None:
    """Never something between; each backup under its name is the old workshop, whole."""
    before = _lines(old)
    new = Path(shutil.copyfile(old, tmp_path / "new.rushlight"))
    began = time.monotonic()
    mortal.begin("open", new)
    assert mortal.hear() == "opened"
    took = time.monotonic() - began
    after = _lines(new)
    came: dict[str, int] = {"old": 0, "new": 0}
    for number in range(LIVES):
        path = tmp_path / str(number) / "bench.rushlight"
        path.parent.mkdir()
        shutil.copyfile(old, path)
        mortal.begin("open", path)
        time.sleep(_moment(chance, number, took))
        mortal.kill()
        told = mortal.hear()
        left = _as_it_lies(path, tmp_path / "left")
        _whole(left)
        lines = _lines(left)
        came["new" if lines == after else "old"] += 1
        assert lines == after if told == "opened" else lines in (before, after)
        for backup in path.parent.glob("*.backup.rushlight"):
            _whole(backup)
            assert sorted(_lines(backup)) == sorted(before)  # in an order of its own
        open_store(path, clock=lambda: CLOCK).close()
        assert _lines(path) == after
        _whole(path)
    print(f"Killed while migrating: {came}.")  # noqa: T201
    assert came["old"] > 0


def test_a_backup_that_is_killed_is_whole_or_not_there(
    tmp_path: Path, mortal: Mortal, chance: Chance
) -> None:
    """And the workshop is as it was."""
    path = tmp_path / "bench.rushlight"
    store = create_store(path, clock=lambda: CLOCK, durable=False)
    steps.prepare(store)
    for number in range(10):
        steps.do(store, number)
    with store.unit_of_work() as connection:
        connection.execute(
            text(
                "INSERT INTO attachment (material_id, name, media, size, digest, content, at) "
                "VALUES (1, 'a.pdf', 'application/pdf', 1, '', zeroblob(3000000), '')"
            )
        )
    store.close()
    rows = _found(path)
    began = time.monotonic()
    mortal.begin("backup", path, tmp_path / "first.rushlight")
    assert mortal.hear() == "copied"
    took = time.monotonic() - began
    assert _found(tmp_path / "first.rushlight") == rows
    came = {"whole": 0, "not there": 0}
    for number in range(LIVES):
        target = tmp_path / f"{number}.backup.rushlight"
        mortal.begin("backup", path, target)
        time.sleep(_moment(chance, number, took))
        mortal.kill()
        told = mortal.hear()
        assert told in {None, "copied"}
        assert target.exists() or told is None
        came["whole" if target.exists() else "not there"] += 1
        if target.exists():
            _whole(target)
            assert _found(target) == rows
        left = _as_it_lies(path, tmp_path / "left")
        _whole(left)
        assert _found(left) == rows
    print(f"Killed while copying: {came}.")  # noqa: T201
    assert came["not there"] > 0
