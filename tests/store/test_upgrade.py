from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, text

from rushlight.errors import WorkshopError
from rushlight.store import dialect, upgrade
from rushlight.store.place import Store, open_store
from rushlight.store.tables import APPEND_ONLY, SCHEMA, metadata

Clock = Callable[[], datetime]


def _at_schema(path: Path, number: int) -> None:
    """Make a workshop as an older program left it, with a setting in it."""
    dialect.mark_file(path)
    engine = dialect.sqlite_engine(path, patience=1, foreign_keys=False)
    writing = engine.connect().execution_options(**{dialect.WRITES: True})
    with writing as connection, connection.begin():
        upgrade.upgrade(connection, number)
        connection.exec_driver_sql("INSERT INTO setting VALUES ('name', 'kept')")
    engine.dispose()


def _name(connection: Connection) -> object:
    return connection.exec_driver_sql("SELECT value FROM setting WHERE name = 'name'").scalar()


def test_migrations_make_exactly_the_tables_of_the_program(store: Store) -> None:
    """From empty to the newest, nothing differs from the tables in code."""
    with store.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_the_newest_migration_is_the_schema_of_the_program() -> None:
    """SCHEMA is the number of the last migration, and they form one line."""
    config = Config()
    config.set_main_option("script_location", "rushlight.store:migrations")
    config.set_main_option("path_separator", "os")
    assert ScriptDirectory.from_config(config).get_heads() == [f"{SCHEMA:04d}"]


def test_an_older_workshop_is_backed_up_and_brought_up(path: Path, clock: Clock) -> None:
    """What was in it is still there, in the file and in the backup."""
    _at_schema(path, 1)
    store = open_store(path, clock=clock)
    with store.reading() as connection:
        assert dialect.schema_version(connection) == SCHEMA
        assert _name(connection) == "kept"
    assert store.backup is not None
    store.close()
    raw = sqlite3.connect(store.backup)
    assert raw.execute("PRAGMA user_version").fetchone() == (1,)
    assert raw.execute("SELECT value FROM setting").fetchall() == [("kept",)]
    raw.close()


def test_the_backup_opens_as_a_workshop_again(path: Path, clock: Clock) -> None:
    """A backup put in the place of the file is brought up like the file was."""
    _at_schema(path, 1)
    first = open_store(path, clock=clock)
    first.close()
    assert first.backup is not None
    path.unlink()
    first.backup.rename(path)
    again = open_store(path, clock=clock)
    with again.reading() as connection:
        assert _name(connection) == "kept"
    again.close()


def test_a_migration_that_fails_leaves_the_file_as_it_was(
    path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The schema and the rows stay; the backup is there all the same."""
    _at_schema(path, 1)
    monkeypatch.setattr(dialect, "broken_links", lambda _: ["need"])
    with pytest.raises(WorkshopError, match="left as it was"):
        open_store(path, clock=clock)
    raw = sqlite3.connect(path)
    assert raw.execute("PRAGMA user_version").fetchone() == (1,)
    tables = {name for (name,) in raw.execute("SELECT name FROM sqlite_master")}
    assert raw.execute("SELECT value FROM setting").fetchall() == [("kept",)]
    raw.close()
    assert "weighing" not in tables
    assert len(list(path.parent.glob("*.backup.rushlight"))) == 1


def test_backups_of_one_second_get_names_of_their_own(path: Path, clock: Clock) -> None:
    """A backup never overwrites another."""
    first = upgrade.backup_name(path, 1, clock())
    first.touch()
    assert upgrade.backup_name(path, 1, clock()) != first


def _refused(connection: Connection, table: str) -> set[str]:
    """Return what the database itself is told to refuse (or to watch) of a table: by event."""
    if dialect.is_sqlite(connection):
        query = "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = :table"
        texts = connection.execute(text(query), {"table": table}).scalars()
        return {sql.split("BEFORE ")[1].split()[0] for sql in texts if "RAISE(ABORT" in sql}
    query = (
        "SELECT event_manipulation FROM information_schema.triggers "
        "WHERE event_object_table = :table AND action_timing = 'BEFORE'"
    )
    return set(connection.execute(text(query), {"table": table}).scalars())


@pytest.mark.parametrize("table", APPEND_ONLY)
def test_history_cannot_be_rewritten_even_by_hand(store: Store, table: str) -> None:
    """The database itself refuses to change or delete what is append-only."""
    with store.reading() as connection:
        assert _refused(connection, table) == {"UPDATE", "DELETE"}


@pytest.mark.parametrize("table", ["datasheet", "certificate", "attachment"])
def test_what_was_typed_of_a_sheet_never_changes(store: Store, table: str) -> None:
    """A newer row takes its place; the row itself may only be retired."""
    with store.reading() as connection:
        assert _refused(connection, table) == {"UPDATE", "DELETE"}


def test_a_workshop_of_the_bench_gets_its_labels(path: Path, clock: Clock) -> None:
    """From schema 2: what was there stays, sheets and lots can be kept."""
    _at_schema(path, 2)
    store = open_store(path, clock=clock)
    with store.reading() as connection:
        assert _name(connection) == "kept"
        for table in ("datasheet", "certificate", "attachment", "lot", "lot_mark"):
            count = connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar()  # noqa: S608  # a name of ours
            assert count == 0
    store.close()


def test_a_workshop_of_the_stores_gets_its_packing(path: Path, clock: Clock) -> None:
    """From schema 4: movements and orders stay as they were, and the ledger is still guarded."""
    _at_schema(path, 4)
    raw = sqlite3.connect(path)
    raw.executescript(
        "INSERT INTO material (id, slug, role, name, plain, measure, added_at) VALUES "
        "(7, 'carton', 'packaging', 'Carton', 'carton', 'pieces', '2026-05-01T09:00:00.000Z');"
        "INSERT INTO stock_lot (id, code, material_id, amount, cost, costed, received_on, at) "
        "VALUES (3, 'M3-5', 7, 12, 240000, 1, '2026-05-01', '2026-05-01T09:00:00.000Z');"
        "INSERT INTO movement (id, material_id, stock_lot_id, amount, value, reason, at, day) "
        "VALUES (9, 7, 3, 12, 240000, 'received', '2026-05-01T09:00:00.000Z', '2026-05-01');"
        "INSERT INTO channel (id, slug, name, kind, typed) VALUES (1, 'fair', 'Fair', 'direct', "
        "'{}');"
        "INSERT INTO sales_order (id, code, channel_id, placed_on, sent_at, at) VALUES "
        "(5, 'S5-1', 1, '2026-05-02', '2026-05-02T09:00:00.000Z', '2026-05-02T09:00:00.000Z');"
    )
    before = raw.execute("SELECT * FROM movement").fetchall()
    raw.close()
    store = open_store(path, clock=clock)
    with store.reading() as connection:
        moved = connection.exec_driver_sql("SELECT * FROM movement").all()
        assert [tuple(row[:-1]) for row in moved] == before
        assert [row.order_line_id for row in moved] == [None]
        unpacked = connection.exec_driver_sql("SELECT code, unpacked FROM sales_order").all()
        assert [tuple(row) for row in unpacked] == [("S5-1", "")]
        assert _refused(connection, "movement") == {"UPDATE", "DELETE"}
    with store.unit_of_work() as connection:
        connection.exec_driver_sql(
            "INSERT INTO movement (material_id, stock_lot_id, amount, value, reason, at, day) "
            "VALUES (7, 3, -2, -40000, 'scrapped', '2026-05-03T09:00:00.000Z', '2026-05-03')"
        )
        left = connection.exec_driver_sql("SELECT amount, value FROM stock_balance").all()
        assert [tuple(row) for row in left] == [(10, 200_000)]
    store.close()
