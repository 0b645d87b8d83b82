"""All that differs between SQLite and PostgreSQL, in one place."""

from __future__ import annotations

import os
import random
import sqlite3
import time
from contextlib import closing, suppress
from pathlib import Path
from typing import Any, Final, cast

from sqlalchemy import (
    URL,
    ColumnElement,
    Connection,
    Engine,
    Table,
    Text,
    create_engine,
    event,
    func,
    select,
    text,
)

from rushlight.store.tables import APPLICATION_ID

WRITES: Final = "rushlight_writes"
"""Execution option of a connection that is going to write."""

_PATIENCE: Final = "rushlight_patience"  # execution option of an engine [ms]
_ASKS: Final = (0.001, 0.005)
"""Between two tries to begin writing [s]."""
_ONE_WRITER: Final = 0x52757368  # an advisory lock number of our own
_SILENCE: Final = 60_000
"""After how long a bench that says nothing more inside a unit of work loses it [ms]: one whose
machine went dark would otherwise keep every other from writing until the network notices."""
_CONNECTS: Final = 10
"""How long to wait for a server that does not answer [s]."""
_AGAINST_THE_RULES: Final = "USING ERRCODE = 'integrity_constraint_violation'"
"""So that what a trigger refuses is of one kind on both: an IntegrityError."""
_READS: Final = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}


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
        if connection.get_execution_options().get(WRITES, False):
            _wait_for_turn(connection, patience)
        else:
            connection.exec_driver_sql("BEGIN")

    return engine


def _wait_for_turn(connection: Connection, patience: float) -> None:
    """Begin a transaction that writes as soon as the others let it.

    SQLite's own waiting asks ever more seldom, ten times a second in the end: beside benches
    that write all the time it misses the moments between their writes, and gives up after
    five seconds although nobody held the file for long. Asking often does not.
    """
    raw = cast("sqlite3.Connection", connection.connection.dbapi_connection)
    until = time.monotonic() + patience
    raw.execute("PRAGMA busy_timeout = 0")
    try:
        while time.monotonic() < until:
            try:
                raw.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                    break
                time.sleep(random.uniform(*_ASKS))  # noqa: S311 - not in step with the others
            else:
                return
        connection.exec_driver_sql("BEGIN IMMEDIATE")  # raises what SQLAlchemy makes of it
    finally:
        raw.execute(f"PRAGMA busy_timeout = {round(patience * 1000):d}")


def server_engine(address: URL, *, patience: float) -> Engine:
    """Return an engine on a PostgreSQL server; patience [s] as for a file."""
    return create_engine(
        address,
        pool_pre_ping=True,
        execution_options={_PATIENCE: round(patience * 1000)},
        connect_args={"application_name": "rushlight", "connect_timeout": _CONNECTS},
    )


def reading(engine: Engine) -> Connection:
    """Return a connection that sees one moment, whole.

    A transaction on a SQLite file sees nothing later by itself; on a server each statement
    would, unless it is asked not to.
    """
    connection = engine.connect()
    return connection if is_sqlite(connection) else connection.execution_options(**_READS)


def writing(engine: Engine) -> Connection:
    """Return a connection that is going to write."""
    return engine.connect().execution_options(**{WRITES: True})


def is_sqlite(connection: Connection) -> bool:
    """Return whether this is a SQLite file."""
    return connection.dialect.name == "sqlite"


def one_writer(connection: Connection) -> None:
    """Let only one unit of work write at a time; SQLite's BEGIN IMMEDIATE did so already.

    The lock is asked for in a statement of its own: what follows sees all that was written
    before it was given.
    """
    if is_sqlite(connection):
        return
    patience = connection.get_execution_options().get(_PATIENCE, 0)
    connection.execute(
        text(
            "SELECT set_config('lock_timeout', :patience, true), "
            "set_config('idle_in_transaction_session_timeout', :silence, true)"
        ),
        {"patience": str(patience), "silence": str(_SILENCE)},
    )
    connection.execute(text("SELECT pg_advisory_xact_lock(:n)"), {"n": _ONE_WRITER})


def by_bytes(connection: Connection, column: ColumnElement[Any]) -> ColumnElement[Any]:
    """Return a column that sorts alike everywhere: texts by their bytes, as SQLite does."""
    if is_sqlite(connection) or not isinstance(column.type, Text):
        return column
    return column.collate("C")


def count_on(connection: Connection, table: Table) -> None:
    """Let new rows be numbered after those there are; SQLite does so by itself."""
    if is_sqlite(connection) or "id" not in table.c:
        return
    last = connection.execute(select(func.max(table.c.id))).scalar()
    connection.execute(
        select(func.setval(func.pg_get_serial_sequence(table.name, "id"), last or 1, bool(last)))
    )


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
    raw = sqlite3.connect(path, isolation_level=None)
    try:
        raw.execute(f"PRAGMA application_id = {APPLICATION_ID:d}")
        raw.execute("PRAGMA journal_mode = WAL")
    finally:
        raw.close()


def write_ahead(path: Path) -> None:
    """Let readers and writers of a file not wait for one another, from now on.

    A copy made by VACUUM INTO has a journal of the old kind, under which they do. Where
    somebody has the file open just now, it stays as it is.
    """
    raw = sqlite3.connect(path, timeout=0, isolation_level=None)
    with closing(raw), suppress(sqlite3.OperationalError):
        raw.execute("PRAGMA journal_mode = WAL")


def broken_links(connection: Connection) -> list[str]:
    """Return the tables whose rows point at rows that are not there."""
    if not is_sqlite(connection):
        return []
    rows = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    return sorted({str(row[0]) for row in rows})


def copy_to(engine: Engine, target: Path) -> None:
    """Copy a SQLite workshop, whole and consistent, while others may go on writing.

    It appears under its name only when it is whole and on the disc, so that whatever
    interrupts it leaves nothing that could be taken for a backup.
    """
    making = target.with_name(f".{target.name}.{os.getpid()}.making")
    raw = engine.raw_connection()
    try:
        making.unlink(missing_ok=True)
        raw.cursor().execute("VACUUM INTO ?", (str(making),))
        with making.open("r+b") as file:
            os.fsync(file.fileno())
        making.replace(target)
    finally:
        raw.close()
        with suppress(OSError):
            making.unlink(missing_ok=True)


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
            f"$$ BEGIN RAISE EXCEPTION '{table} is append-only' {_AGAINST_THE_RULES}; END $$"
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
            f"$$ BEGIN RAISE EXCEPTION '{table} never changes' {_AGAINST_THE_RULES}; END $$"
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


def keep_balance(  # noqa: PLR0913 - a table, its sums and whose they are
    connection: Connection,
    *,
    of: str,
    kept: str,
    lot: str,
    owned: str,
    owner: str,
    sums: tuple[str, ...],
) -> None:
    """Make the database keep, for each lot, the sums of the rows added to a ledger.

    of: the ledger. kept: the table of sums, its key called as the ledger's column `lot`.
    owned: the column that says whose lot it is; owner: the expression of it for a new row.
    """
    zeros = ", ".join("0" for _ in sums)
    first = (
        f"INSERT INTO {kept} ({lot}, {owned}, {', '.join(sums)}) "  # noqa: S608 - our own names
        f"SELECT NEW.{lot}, {owner}, {zeros} "
        f"WHERE NOT EXISTS (SELECT 1 FROM {kept} WHERE {lot} = NEW.{lot})"
    )
    added = ", ".join(f"{name} = {name} + NEW.{name}" for name in sums)
    then = f"UPDATE {kept} SET {added} WHERE {lot} = NEW.{lot}"  # noqa: S608 - our own names
    if is_sqlite(connection):
        connection.exec_driver_sql(
            f"CREATE TRIGGER {of}_balance AFTER INSERT ON {of} BEGIN {first}; {then}; END"
        )
        return
    connection.exec_driver_sql(
        f"CREATE FUNCTION {of}_balance() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN {first}; {then}; RETURN NULL; END $$"
    )
    connection.exec_driver_sql(
        f"CREATE TRIGGER {of}_balance AFTER INSERT ON {of} "
        f"FOR EACH ROW EXECUTE FUNCTION {of}_balance()"
    )
