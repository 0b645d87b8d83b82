from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from rushlight.errors import NotFound, Refused, WorkshopError
from rushlight.store.place import Store, create_store, open_store
from rushlight.store.tables import APPLICATION_ID, SCHEMA, metadata

Clock = Callable[[], datetime]


def test_a_new_file_is_marked_and_strict_and_keeps_a_log(store: Store, path: Path) -> None:
    """It carries our application id and schema, strict tables, WAL, foreign keys on."""
    raw = sqlite3.connect(path)
    assert raw.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
    assert raw.execute("PRAGMA user_version").fetchone()[0] == SCHEMA
    assert raw.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    kinds = dict(raw.execute("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'"))
    raw.close()
    assert {name: kinds[name] for name in metadata.tables} == dict.fromkeys(metadata.tables, 1)
    with store.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert connection.exec_driver_sql("PRAGMA busy_timeout").scalar() == 5000


def test_making_one_leaves_nothing_else_behind(store: Store, path: Path) -> None:
    """The half-made file is gone; only the workshop and SQLite's own files are there."""
    names = {found.name for found in path.parent.iterdir()}
    assert names <= {path.name, f"{path.name}-wal", f"{path.name}-shm"}
    assert store.path == path


def test_making_one_over_a_file_is_refused(path: Path, clock: Clock) -> None:
    """What is there stays as it is."""
    path.write_bytes(b"mine")
    with pytest.raises(Refused, match="exists already"):
        create_store(path, clock=clock)
    assert path.read_bytes() == b"mine"


def test_a_missing_file_is_said_to_be_missing(path: Path, clock: Clock) -> None:
    """Opening makes nothing."""
    with pytest.raises(NotFound, match="no file"):
        open_store(path, clock=clock)
    assert not path.exists()


@pytest.mark.parametrize(
    "content", [b"", b"not a database at all" * 40, b"SQLite format 3\x00" + b"\x00" * 50]
)
def test_what_is_no_database_is_left_alone(path: Path, clock: Clock, content: bytes) -> None:
    """Text, an empty file and a cut-off header are refused, byte for byte unchanged."""
    path.write_bytes(content)
    with pytest.raises(WorkshopError, match="not a workshop"):
        open_store(path, clock=clock)
    assert path.read_bytes() == content


def test_a_database_of_another_program_is_left_alone(path: Path, clock: Clock) -> None:
    """It is refused by its application id, byte for byte unchanged."""
    raw = sqlite3.connect(path)
    raw.execute("CREATE TABLE theirs (x)")
    raw.commit()
    raw.close()
    before = path.read_bytes()
    with pytest.raises(WorkshopError, match="another program"):
        open_store(path, clock=clock)
    assert path.read_bytes() == before


def test_a_newer_schema_is_left_alone(store: Store, path: Path, clock: Clock) -> None:
    """The message says which schema and to update; no backup, no change."""
    store.close()
    raw = sqlite3.connect(path)
    raw.execute(f"PRAGMA user_version = {SCHEMA + 1}")
    raw.close()
    before = path.read_bytes()
    with pytest.raises(WorkshopError, match=f"schema {SCHEMA + 1}.*Update Rushlight"):
        open_store(path, clock=clock)
    assert path.read_bytes() == before
    assert not list(path.parent.glob("*.backup*"))


def test_a_read_only_file_is_said_to_be_so(store: Store, path: Path, clock: Clock) -> None:
    """A file that nobody may write to is not opened, even by an administrator."""
    store.close()
    path.chmod(0o444)
    with pytest.raises(WorkshopError, match="read-only"):
        open_store(path, clock=clock)


def test_a_folder_instead_of_a_file_is_said_to_be_one(tmp_path: Path, clock: Clock) -> None:
    """The message asks for the file itself."""
    with pytest.raises(WorkshopError, match="not a file"):
        open_store(tmp_path, clock=clock)


@pytest.mark.usefixtures("store")
def test_a_lock_that_stays_is_said_so_and_nothing_changes(path: Path, clock: Clock) -> None:
    """A writer that waited in vain says who holds it, as an error of the workshop."""
    hurried = open_store(path, clock=clock, patience=0.05)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(WorkshopError, match="another program"), hurried.unit_of_work():
        pass
    with hurried.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM deed").scalar() == 0
    other.execute("ROLLBACK")
    other.close()
    with hurried.unit_of_work() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM deed").scalar() == 0
    hurried.close()


def test_a_file_held_exclusively_cannot_be_opened(store: Store, path: Path, clock: Clock) -> None:
    """Opening waits, then says that the file is in use."""
    store.close()
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("PRAGMA locking_mode = EXCLUSIVE")
    other.execute("BEGIN EXCLUSIVE")
    with pytest.raises(WorkshopError, match="in use"):
        open_store(path, clock=clock, patience=0.05)
    other.close()


def test_damage_is_said_to_be_damage(store: Store, path: Path, clock: Clock) -> None:
    """A file overwritten behind its header is not opened; the message speaks of backups."""
    store.close()
    content = bytearray(path.read_bytes())
    content[100:4096] = b"\xff" * 3996
    path.write_bytes(content)
    with pytest.raises(WorkshopError, match=r"damaged.*backup"):
        open_store(path, clock=clock)


def test_a_copy_is_a_workshop_and_never_overwrites(store: Store, path: Path, clock: Clock) -> None:
    """A backup opens like any workshop; an existing file is not touched."""
    target = path.with_name("copy.rushlight")
    store.copy_to(target)
    copy = open_store(target, clock=clock)
    with copy.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
    copy.close()
    with pytest.raises(Refused, match="exists already"):
        store.copy_to(target)


def test_an_acknowledged_write_is_on_the_disc(path: Path, clock: Clock) -> None:
    """By default each commit waits for the disc (synchronous = FULL, which is 2)."""
    made = create_store(path, clock=clock)
    with made.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
    made.close()


def test_an_error_inside_a_unit_of_work_keeps_nothing(store: Store) -> None:
    """What was written before the error is gone."""

    def fail() -> None:
        with store.unit_of_work() as connection:
            connection.exec_driver_sql("INSERT INTO setting VALUES ('a', 'b')")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    with store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM setting").scalar() == 0


def test_a_reader_sees_one_moment(store: Store) -> None:
    """What another writes while it reads shows the next time, not half-way."""
    with store.reading() as connection:
        before = connection.exec_driver_sql("SELECT count(*) FROM setting").scalar()
        with store.unit_of_work() as writing:
            writing.exec_driver_sql("INSERT INTO setting VALUES ('a', 'b')")
        assert connection.exec_driver_sql("SELECT count(*) FROM setting").scalar() == before == 0
    with store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM setting").scalar() == 1


@pytest.mark.parametrize("address", ["mysql://here/there", "oracle://a:secret@b/c"])
def test_an_unknown_address_is_refused_without_its_password(address: str, clock: Clock) -> None:
    """Only PostgreSQL is known beside a file."""
    with pytest.raises(WorkshopError, match="postgresql") as caught:
        open_store(address, clock=clock)
    assert "secret" not in str(caught.value)
