"""Bring a workshop to the newest schema, with a backup first."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine

from rushlight.errors import WorkshopError
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
    with (
        engine.connect().execution_options(**{dialect.WRITES: True}) as connection,
        connection.begin(),
    ):
        dialect.one_writer(connection)
        # another bench may have done it while we waited for the lock
        if dialect.schema_version(connection) < target:
            upgrade(connection, target)
