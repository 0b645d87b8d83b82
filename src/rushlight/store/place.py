"""Where a workshop is kept: opening it, making it, reading it, writing to it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine, make_url

from rushlight.errors import NotFound, Refused, WorkshopError
from rushlight.store import dialect
from rushlight.store.header import look_at
from rushlight.store.tables import SCHEMA
from rushlight.store.trouble import plainly
from rushlight.store.upgrade import bring_up, upgrade_empty

PATIENCE = 5.0
"""How long to wait for another writer before saying so [s]."""


@dataclass(frozen=True, slots=True)
class Store:
    """An open store. place: its path or address, for messages; path: None on a server."""

    engine: Engine
    place: str
    path: Path | None
    backup: Path | None = None  # made by a migration when it was opened

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one moment of the workshop, whole."""
        with plainly(self.place), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def unit_of_work(self) -> Iterator[Connection]:
        """Give the only connection that may write now; all is kept, or nothing on an error.

        What is read inside cannot change before it is written: SQLite begins
        IMMEDIATE, a server takes a lock.
        """
        with plainly(self.place), self.engine.connect() as bare:
            connection = bare.execution_options(**{dialect.WRITES: True})
            with connection.begin():
                dialect.one_writer(connection)
                yield connection

    def copy_to(self, target: Path) -> None:
        """Copy the workshop, whole and consistent, to a file that does not exist yet."""
        if self.path is None:
            raise Refused("A workshop on a server is backed up by the server's own means.")
        if target.exists():
            raise Refused(f"{target} exists already. Choose another name for the backup.")
        with plainly(str(target)):
            dialect.copy_to(self.engine, target)

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()


def open_store(
    place: str | Path, *, clock: Callable[[], datetime], patience: float = PATIENCE
) -> Store:
    """Open what is there; an older schema is backed up and brought up to date first."""
    if "://" in str(place):
        return _open_server(str(place), clock)
    path = Path(place).absolute()
    version = look_at(path, patience=patience)
    if version > SCHEMA:
        raise WorkshopError(
            f"{path} was made by a newer Rushlight (schema {version}; this one knows {SCHEMA}). "
            "Update Rushlight to open it. Nothing was changed."
        )
    backup = None
    if version < SCHEMA:
        engine = dialect.sqlite_engine(path, patience=patience, foreign_keys=False)
        try:
            with plainly(str(path)):
                backup = bring_up(engine, path, version, now=clock())
        finally:
            engine.dispose()
    engine = dialect.sqlite_engine(path, patience=patience)
    return Store(engine, str(path), path, backup)


def create_store(
    place: str | Path,
    *,
    clock: Callable[[], datetime],
    patience: float = PATIENCE,
    durable: bool = True,
) -> Store:
    """Make a new one; it appears under its name only when it is complete."""
    if "://" in str(place):
        return _open_server(str(place), clock)
    path = Path(place).absolute()
    if path.exists():
        raise Refused(f"{path} exists already. Open it, or choose another name.")
    if not path.parent.is_dir():
        raise NotFound(f"There is no folder {path.parent}. Make it first.")
    making = path.with_name(f".{path.name}.{os.getpid()}.making")
    try:
        with plainly(str(path)):
            dialect.mark_file(making)
            engine = dialect.sqlite_engine(making, patience=patience, foreign_keys=False)
            try:
                upgrade_empty(engine)
            finally:
                engine.dispose()
            making.replace(path)
    except OSError as error:
        raise WorkshopError(
            f"{path} cannot be made: {error.strerror}. Choose a folder you may write to."
        ) from error
    finally:
        for left in (making, Path(f"{making}-wal"), Path(f"{making}-shm")):
            with suppress(OSError):
                left.unlink(missing_ok=True)
    if durable:
        return open_store(path, clock=clock, patience=patience)
    engine = dialect.sqlite_engine(path, patience=patience, durable=False)
    return Store(engine, str(path), path)


def _open_server(address: str, clock: Callable[[], datetime]) -> Store:
    url = make_url(address)
    place = url.render_as_string(hide_password=True)
    if url.get_backend_name() != "postgresql":
        raise WorkshopError(f"{place} is not an address Rushlight knows. Use postgresql://…")
    engine = dialect.server_engine(address)
    with plainly(place):
        with engine.connect() as connection:
            version = dialect.schema_version(connection)
        if version > SCHEMA:
            engine.dispose()
            raise WorkshopError(
                f"{place} was made by a newer Rushlight (schema {version}; this one knows "
                f"{SCHEMA}). Update Rushlight to open it. Nothing was changed."
            )
        bring_up(engine, None, version, now=clock())
    return Store(engine, place, None)
