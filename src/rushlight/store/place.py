"""Where a workshop is kept: opening it, making it, reading it, writing to it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine

from rushlight.errors import NotFound, Refused, WorkshopError
from rushlight.store import dialect
from rushlight.store.header import look_at
from rushlight.store.server import create_server, is_address, open_server
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
        with (
            plainly(self.place),
            dialect.reading(self.engine) as connection,
            connection.begin(),
        ):
            yield connection

    @contextmanager
    def unit_of_work(self) -> Iterator[Connection]:
        """Give the only connection that may write now; all is kept, or nothing on an error.

        What is read inside cannot change before it is written: SQLite begins
        IMMEDIATE, a server takes a lock.
        """
        with (
            plainly(self.place),
            dialect.writing(self.engine) as connection,
            connection.begin(),
        ):
            dialect.one_writer(connection)
            yield connection

    def copy_to(self, target: Path) -> None:
        """Copy the workshop, whole and consistent, to a file that does not exist yet."""
        if self.path is None:
            raise Refused("A workshop on a server is backed up by the server's own means.")
        if target.exists():
            raise Refused(f"{target} exists already. Choose another name for the backup.")
        try:
            with plainly(str(target)):
                dialect.copy_to(self.engine, target)
        except OSError as error:
            raise WorkshopError(
                f"{target} cannot be written: {error.strerror}. Free some space, or choose "
                "another folder. The workshop itself is as it was."
            ) from error

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()


def open_store(
    place: str | Path, *, clock: Callable[[], datetime], patience: float = PATIENCE
) -> Store:
    """Open what is there; an older schema is backed up and brought up to date first."""
    if is_address(place):
        return Store(*open_server(place, clock=clock, patience=patience), None)
    path = Path(place).absolute()
    version = look_at(path, patience=patience)
    if version > SCHEMA:
        raise WorkshopError(
            f"{path} was made by a newer Rushlight (schema {version}; this one knows {SCHEMA}). "
            "Update Rushlight to open it. Nothing was changed."
        )
    dialect.write_ahead(path)
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
    make: Callable[[Engine], None] = upgrade_empty,
) -> Store:
    """Make a new one; it appears under its name only when it is complete.

    make: makes and fills the tables of the new file.
    """
    if is_address(place):
        return Store(*create_server(place, patience=patience, make=make), None)
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
                make(engine)
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
