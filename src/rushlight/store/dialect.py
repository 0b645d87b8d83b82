"""All that differs between SQLite and PostgreSQL, in one place."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, create_engine, event, text

from rushlight.store.tables import APPLICATION_ID

WRITES: Final = "rushlight_writes"
"""Execution option of a connection that is going to write."""

_ONE_WRITER: Final = 0x52757368  # an advisory lock number of our own


def sqlite_engine(
    path: Path, *, patience: float, foreign_keys: bool = True, durable: bool = True
) -> Engine:
    """Return an engine on a SQLite file.

    patience [s]: how long to wait for another writer. durable: each write is on the disc
    when it is acknowledged; only a file that can be made again may do without.

    sqlite3's own handling of
    transactions is switched off, for it begins them late and never IMMEDIATE: two
    writers could then both read before either writes, and one update would be lost.
    """
    address = URL.create("sqlite", database=str(path))
    engine = create_engine(address, connect_args={"timeout": patience})

    @event.listens_for(engine, "connect")
    def _on_connect(raw: Any, _record: object) -> None:
        raw.isolation_level = None
        cursor = raw.cursor()
        cursor.execute(f"PRAGMA foreign_keys = {'ON' if foreign_keys else 'OFF'}")
        cursor.execute(f"PRAGMA synchronous = {'FULL' if durable else 'OFF'}")
        cursor.execute("PRAGMA trusted_schema = OFF")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _on_begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get(WRITES, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def server_engine(address: str) -> Engine:
    """Return an engine on a database server."""
    return create_engine(address, pool_pre_ping=True)


def is_sqlite(connection: Connection) -> bool:
    """Return whether this is a SQLite file."""
    return connection.dialect.name == "sqlite"


def one_writer(connection: Connection) -> None:
    """Let only one unit of work write at a time; SQLite's BEGIN IMMEDIATE did so already."""
    if not is_sqlite(connection):
        connection.execute(text("SELECT pg_advisory_xact_lock(:n)"), {"n": _ONE_WRITER})


def schema_version(connection: Connection) -> int:
    """Return the number of the last migration made; 0 for none."""
    if is_sqlite(connection):
        return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
    if not connection.dialect.has_table(connection, "alembic_version"):
        return 0
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return int(found) if found is not None else 0


def mark_version(connection: Connection, number: int) -> None:
    """Write the number of the last migration where it can be read without opening tables."""
    if is_sqlite(connection):
        connection.exec_driver_sql(f"PRAGMA user_version = {number:d}")


def mark_file(path: Path) -> None:
    """Mark an empty SQLite file as a workshop, before anything else is written to it."""
    import sqlite3

    raw = sqlite3.connect(path, isolation_level=None)
    try:
        raw.execute(f"PRAGMA application_id = {APPLICATION_ID:d}")
        raw.execute("PRAGMA journal_mode = WAL")
    finally:
        raw.close()


def broken_links(connection: Connection) -> list[str]:
    """Return the tables whose rows point at rows that are not there."""
    if not is_sqlite(connection):
        return []
    rows = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    return sorted({str(row[0]) for row in rows})


def copy_to(engine: Engine, target: Path) -> None:
    """Copy a SQLite workshop, whole and consistent, while others may go on writing."""
    raw = engine.raw_connection()
    try:
        raw.cursor().execute("VACUUM INTO ?", (str(target),))
    except BaseException:
        with suppress(OSError):
            target.unlink(missing_ok=True)
        raise
    finally:
        raw.close()


def append_only(table: str) -> list[str]:
    """Return, for SQLite, the statements that make a table refuse changes."""
    return [
        f"CREATE TRIGGER {table}_{what.lower()}_refused BEFORE {what} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
        for what in ("UPDATE", "DELETE")
    ]


def append_only_on_server(table: str) -> list[str]:
    """Return, for PostgreSQL, the statements that make a table refuse changes."""
    return [
        (
            f"CREATE FUNCTION {table}_refused() RETURNS trigger LANGUAGE plpgsql AS "
            f"$$ BEGIN RAISE EXCEPTION '{table} is append-only'; END $$"
        ),
        (
            f"CREATE TRIGGER {table}_refused BEFORE UPDATE OR DELETE ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION {table}_refused()"
        ),
    ]


def never_changes(table: str, columns: tuple[str, ...]) -> list[str]:
    """Return, for SQLite, the statements that keep some columns as first written."""
    named = ", ".join(columns)
    return [
        (
            f"CREATE TRIGGER {table}_kept BEFORE UPDATE OF {named} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} never changes'); END"
        ),
        (
            f"CREATE TRIGGER {table}_delete_refused BEFORE DELETE ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} never changes'); END"
        ),
    ]


def never_changes_on_server(table: str, columns: tuple[str, ...]) -> list[str]:
    """Return, for PostgreSQL, the statements that keep some columns as first written."""
    named = ", ".join(columns)
    return [
        (
            f"CREATE FUNCTION {table}_kept() RETURNS trigger LANGUAGE plpgsql AS "
            f"$$ BEGIN RAISE EXCEPTION '{table} never changes'; END $$"
        ),
        (
            f"CREATE TRIGGER {table}_kept BEFORE UPDATE OF {named} OR DELETE ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION {table}_kept()"
        ),
    ]


def guard(
    connection: Connection, *, appended: tuple[str, ...], kept: dict[str, tuple[str, ...]]
) -> None:
    """Make the database itself refuse to rewrite history."""
    lite = is_sqlite(connection)
    for table in appended:
        for statement in (append_only if lite else append_only_on_server)(table):
            connection.exec_driver_sql(statement)
    for table, columns in kept.items():
        for statement in (never_changes if lite else never_changes_on_server)(table, columns):
            connection.exec_driver_sql(statement)
