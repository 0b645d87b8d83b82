"""Look at a file before touching it: whether it is a workshop, and of which schema.

Only the first hundred bytes are read at first (the SQLite file format, section 1.3,
https://www.sqlite.org/fileformat2.html), so that a file of another program is left
exactly as it was, down to its modification time.
"""

from __future__ import annotations

import os
import sqlite3
import struct
from pathlib import Path
from typing import Final

from rushlight.errors import NotFound, WorkshopError
from rushlight.store.tables import APPLICATION_ID
from rushlight.store.trouble import trouble

_MAGIC: Final = b"SQLite format 3\x00"
_APPLICATION_ID_AT: Final = 68
_HEADER: Final = 100
_ANY_WRITE: Final = 0o222


def look_at(path: Path, *, patience: float) -> int:
    """Return the schema of the workshop in a file, or say why it is none."""
    _check_file(path)
    _check_header(path)
    return _version(path, patience)


def _check_file(path: Path) -> None:
    if not path.exists():
        raise NotFound(f"There is no file {path}. Check the name, or make a new workshop.")
    if not path.is_file():
        raise WorkshopError(f"{path} is not a file. Give the workshop file itself.")
    marked = not path.stat().st_mode & _ANY_WRITE
    if marked or not os.access(path, os.R_OK | os.W_OK):
        raise WorkshopError(
            f"{path} is read-only. Allow writing to it, or copy it to a folder of your own. "
            "Nothing was changed."
        )
    if not os.access(path.parent, os.W_OK):
        raise WorkshopError(
            f"The folder {path.parent} is read-only, and a workshop writes beside its file. "
            "Copy the file to a folder of your own. Nothing was changed."
        )


def _check_header(path: Path) -> None:
    try:
        with path.open("rb") as file:
            header = file.read(_HEADER)
    except OSError as error:
        raise WorkshopError(f"{path} cannot be read: {error.strerror}.") from error
    if len(header) < _HEADER or not header.startswith(_MAGIC):
        raise WorkshopError(
            f"{path} is not a workshop. Choose a file made by Rushlight. Nothing was changed."
        )
    (mark,) = struct.unpack_from(">I", header, _APPLICATION_ID_AT)
    if mark != APPLICATION_ID:
        raise WorkshopError(
            f"{path} belongs to another program. Choose a file made by Rushlight. "
            "Nothing was changed."
        )


def _version(path: Path, patience: float) -> int:
    """Read the schema through SQLite: the newest pages may still be in the log beside it."""
    try:
        raw = sqlite3.connect(path, timeout=patience)
        try:
            found = raw.execute("PRAGMA user_version").fetchone()
            # a damaged file shows only when its schema is read
            raw.execute("SELECT count(*) FROM sqlite_master").fetchone()
        finally:
            raw.close()
    except sqlite3.Error as error:
        told = trouble(str(path), str(error))
        raise told or WorkshopError(f"{path} cannot be read: {error}.") from error
    return int(found[0])
