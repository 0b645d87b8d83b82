"""Copies of a workshop file: making one, looking one over, putting one in the file's place."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from sqlalchemy import func, inspect, select, table

from rushlight.errors import NotFound, WorkshopError
from rushlight.store.place import Store
from rushlight.store.tables import APPLICATION_ID, SCHEMA

_TRIES: Final = 3
_WAIT: Final = 0.5  # for someone who writes just now [s]
_BESIDE: Final = ("-wal", "-shm", "-journal")
# what every connection to a file locks while it is open: SQLite's os.h, SHARED_FIRST and _SIZE
_SHARED_FIRST: Final = 0x40000002
_SHARED_SIZE: Final = 510


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy that was looked over and found whole. rows: of each table."""

    schema: int
    rows: dict[str, int]


def copy_checked(store: Store, target: Path) -> None:
    """Copy a workshop to a new file, and look the copy over: whole, and with every row.

    Others may write meanwhile; then each table has as many rows as before, after, or between.
    """
    for _ in range(_TRIES):
        before = _rows(store)
        store.copy_to(target)
        found, after = look_over(target).rows, _rows(store)
        if found.keys() == before.keys() and all(
            min(before[name], after[name]) <= number <= max(before[name], after[name])
            for name, number in found.items()
        ):
            _to_disc(target)
            return
        target.unlink()
    raise WorkshopError(f"The copy of {store.place} does not hold every row. It was not kept.")


def _rows(store: Store) -> dict[str, int]:
    with store.reading() as connection:
        names = inspect(connection).get_table_names()
        counts = {name: select(func.count()).select_from(table(name)) for name in names}
        return {name: int(connection.execute(q).scalar_one()) for name, q in counts.items()}


def look_over(path: Path) -> Copy:
    """Return what a file holds, when it is a whole workshop of a schema that is known.

    It is opened for reading only. WorkshopError says what is wrong with it.
    """
    if not path.is_file():
        raise NotFound(f"There is no file {path}. Check the name.")
    try:
        with _reading(path) as raw:
            return _looked(path, raw)
    except sqlite3.Error as error:
        raise WorkshopError(f"{path} is damaged ({error}). Choose another backup.") from error


def _looked(path: Path, raw: sqlite3.Connection) -> Copy:
    if _one(raw, "PRAGMA application_id") != APPLICATION_ID:
        raise WorkshopError(f"{path} is not a workshop. Choose a backup made by Rushlight.")
    schema = int(str(_one(raw, "PRAGMA user_version")))
    if schema > SCHEMA:
        raise WorkshopError(
            f"{path} was made by a newer Rushlight (schema {schema}; this one knows {SCHEMA}). "
            "Update Rushlight to use it."
        )
    said = _one(raw, "PRAGMA integrity_check(1)")
    if said != "ok":
        raise WorkshopError(f"{path} is damaged ({said}). Choose another backup.")
    if raw.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise WorkshopError(f"{path} has rows that point at nothing. Choose another backup.")
    names = raw.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    counts = {}
    for (name,) in names.fetchall():
        counts[name] = int(str(_one(raw, f'SELECT count(*) FROM "{name}"')))  # noqa: S608 - as listed
    return Copy(schema, counts)


def _one(raw: sqlite3.Connection, query: str) -> object:
    return raw.execute(query).fetchone()[0]


@contextmanager
def _reading(path: Path) -> Iterator[sqlite3.Connection]:
    address = f"{path.absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(address, uri=True, timeout=_WAIT, isolation_level=None)) as raw:
        yield raw


def copied_back(backup: Path, target: Path) -> None:
    """Copy a backup, looked over, to a new file that is ready for use; look that over too."""
    wanted = look_over(backup)
    with _reading(backup) as raw:
        raw.execute("VACUUM INTO ?", (str(target),))
    if look_over(target) != wanted:
        raise WorkshopError(f"{backup} could not be copied whole. Nothing was changed.")
    _to_disc(target)


def in_use(path: Path) -> bool:
    """Return whether somebody has a workshop file open, this program included."""
    raw = sqlite3.connect(path, timeout=_WAIT, isolation_level=None)
    try:
        raw.execute("PRAGMA locking_mode = EXCLUSIVE")
        raw.execute("BEGIN EXCLUSIVE")
        raw.execute("SELECT count(*) FROM sqlite_master").fetchone()
        raw.execute("COMMIT")
    except sqlite3.OperationalError as error:
        return "locked" in str(error) or _locked(path)
    except sqlite3.DatabaseError:  # damaged, so that SQLite does not come as far as the lock
        return _locked(path)
    finally:
        raw.close()
    return False


def _locked(path: Path) -> bool:
    """Return whether another process locks the file, whatever is in it."""
    try:
        import fcntl
    except ImportError:  # Windows: there a file that is open cannot be renamed anyway
        return False
    with path.open("r+b") as file:
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, _SHARED_SIZE, _SHARED_FIRST)
        except OSError:
            return True
    return False


def set_aside(path: Path, aside: Path) -> None:
    """Rename a file that nobody has open, with what SQLite keeps beside it."""
    for ending in _BESIDE:  # these first: one left behind would be taken for the new file's
        beside = Path(f"{path}{ending}")
        if beside.exists():
            beside.rename(f"{aside}{ending}")
    path.rename(aside)


def _to_disc(path: Path) -> None:
    with path.open("r+b") as file:
        os.fsync(file.fileno())
