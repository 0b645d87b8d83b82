"""A file that cannot be used: the command says so in a line, and the file and its folder stay."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text
from typer.testing import CliRunner

from rushlight.cli.main import app
from rushlight.errors import WorkshopError
from rushlight.store.place import create_store, open_store
from rushlight.store.tables import SCHEMA
from tests.support import steps
from tests.support.mortal import CLOCK


def _newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA + 1}")


def _of_another_program(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("PRAGMA application_id = 0x12345678")


def _read_only(path: Path) -> None:
    path.chmod(0o444)


def _no_database(path: Path) -> None:
    path.write_text("Dear diary, today I poured twelve candles.\n" * 10, encoding="utf-8")


def _cut_off(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 2)


def _scribbled_over(path: Path) -> None:
    with path.open("r+b") as file:
        file.seek(100)
        file.write(b"\xff" * 4000)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Return a workshop with something in it, that nobody has open."""
    path = tmp_path / "bench.rushlight"
    with closing(create_store(path, clock=lambda: CLOCK, durable=False)) as store:
        steps.prepare(store)
    return path


def _folder(path: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in path.parent.iterdir()}


@pytest.mark.parametrize(
    ("spoil", "what", "remedy"),
    [
        (_newer, "made by a newer Rushlight", "Update Rushlight"),
        (_of_another_program, "belongs to another program", "Choose a file made by Rushlight"),
        (_read_only, "is read-only", "Allow writing to it, or copy it"),
        (_no_database, "is not a workshop", "Choose a file made by Rushlight"),
        (_cut_off, "is damaged", "Restore a backup"),
        (_scribbled_over, "is damaged", "Restore a backup"),
    ],
)
@pytest.mark.parametrize("words", [("open", "--no-browser"), ("sheet", "oar", "--workshop")])
def test_a_file_that_cannot_be_used_stays_as_it_is(
    bench: Path, words: tuple[str, ...], spoil: Callable[[Path], None], what: str, remedy: str
) -> None:
    """Byte for byte, and nothing is laid beside it; the command ends with a line of what to do."""
    spoil(bench)
    before = _folder(bench)
    ran = CliRunner().invoke(app, [*words, str(bench)])
    said = " ".join(ran.stderr.split())
    assert ran.exit_code == 1
    assert what in said
    assert remedy in said
    assert "Traceback" not in said
    assert _folder(bench) == before


def test_a_file_that_stops_taking_writes_loses_nothing(bench: Path) -> None:
    """SQLite is told to write no more while it is open: said so, all is there, on it goes."""
    with closing(open_store(bench, clock=lambda: CLOCK)) as store:
        steps.do(store, 0)
        with store.reading() as connection:  # one thread: the pool has one connection
            connection.execute(text("PRAGMA query_only = ON"))
        with pytest.raises(WorkshopError, match=r"cannot be written to.*Nothing was changed"):
            steps.do(store, 1)
        with store.reading() as connection:
            assert steps.done(connection) == 1
            connection.execute(text("PRAGMA query_only = OFF"))
        steps.do(store, 1)
        with store.reading() as connection:
            assert steps.done(connection) == 2
