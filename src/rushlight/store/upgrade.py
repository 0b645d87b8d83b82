"""Bring a workshop to the newest schema, with a backup first."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect

from rushlight.errors import Refused, WorkshopError
from rushlight.store import dialect
from rushlight.store.tables import SCHEMA


def backup_name(path: Path, version: int, now: datetime) -> Path:
    """Return a free name beside the file for its backup before a migration."""
    stem = f"{path.stem}.schema-{version}.{now:%Y%m%d-%H%M%S}"
    for number in range(1, 1000):
        extra = "" if number == 1 else f".{number}"
        target = path.with_name(f"{stem}{extra}.backup{path.suffix}")
        if not target.exists():
            return target
    raise WorkshopError(f"{path.parent} is full of backups of {path.name}. Move some away.")


def upgrade(connection: Connection, target: int = SCHEMA) -> None:
    """Run the migrations up to a number, in the transaction of the connection."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "rushlight.store:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    command.upgrade(config, f"{target:04d}")
    broken = dialect.broken_links(connection)
    if broken:
        raise WorkshopError(
            f"Rows in {', '.join(broken)} point at rows that are missing, so the file was "
            "left as it was. Restore a backup."
        )
    dialect.mark_version(connection, target)


def upgrade_empty(engine: Engine) -> None:
    """Bring a new, empty place to the newest schema."""
    _migrate(engine, SCHEMA)


def upgrade_filled(
    engine: Engine,
    schema: int,
    fill: Callable[[Connection], None],
    check: Callable[[Connection], None],
) -> None:
    """Make a new place at a schema, fill it, bring it to the newest: all of it, or nothing.

    check: raises when what came of it does not hold together.
    """
    with dialect.writing(engine) as connection, connection.begin():
        dialect.one_writer(connection)
        if inspect(connection).get_table_names():
            raise Refused(
                "There is something in this database already. Name one that is empty. "
                "Nothing was changed."
            )
        upgrade(connection, schema)
        fill(connection)
        upgrade(connection)
        check(connection)


def bring_up(
    engine: Engine, path: Path | None, version: int, *, now: datetime, target: int = SCHEMA
) -> Path | None:
    """Bring a workshop from a version to the newest, or leave it exactly as it was.

    Returns the backup made beside the file (None on a server, which has its own,
    and for a file that is still empty).
    """
    backup = None
    if path is not None and version > 0:
        backup = backup_name(path, version, now)
        dialect.copy_to(engine, backup)
    _migrate(engine, target)
    return backup


def _migrate(engine: Engine, target: int) -> None:
    with dialect.writing(engine) as connection, connection.begin():
        dialect.one_writer(connection)
        # another bench may have done it while we waited for the lock
        if dialect.schema_version(connection) < target:
            upgrade(connection, target)
