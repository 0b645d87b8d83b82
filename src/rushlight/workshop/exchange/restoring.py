"""Restoring: a backup becomes a workshop again, and what lay in its place is kept aside."""

from __future__ import annotations

import os
from contextlib import suppress
from datetime import UTC
from pathlib import Path
from typing import Final

from rushlight.errors import NotFound, Refused, WorkshopError
from rushlight.workshop.opening import open_workshop
from rushlight.workshop.shop import Clock, Workshop, wall_clock

_ZIP: Final = b"PK\x03\x04"


def restore(
    backup: str | Path,
    place: str | Path,
    *,
    clock: Clock = wall_clock,
    aside: Path | None = None,
) -> Workshop:
    """Make a workshop of a backup (a workshop file or an archive) and open it.

    The backup is looked over first, and left as it is. place: a new file, an empty database on
    a server, or a file that is there: that one is renamed, never deleted, to `aside` (by default
    `aside_name`). Refused while somebody has it open. WorkshopError or BadInput when the backup
    is not whole; then nothing was changed.
    """
    from rushlight.store.server import is_address
    from rushlight.workshop.exchange import archive_reader

    source = Path(backup).absolute()
    zipped = _is_zip(source)
    if is_address(place):
        if not zipped:
            raise Refused(
                "A database on a server is filled from an archive. Restore this backup to a file, "
                "export that, and restore the archive."
            )
        return archive_reader.read(source, place, clock=clock)
    path = Path(place).absolute()
    if path == source:
        raise Refused(f"{path} is the backup itself. Name the file to restore it to.")
    if not path.parent.is_dir():
        raise NotFound(f"There is no folder {path.parent}. Make it first.")
    _check_free(path)
    making = path.with_name(f".{path.name}.{os.getpid()}.restoring")
    try:
        if zipped:
            archive_reader.read(source, making, clock=clock).close()
        else:
            _copy(source, making)
        if path.exists():
            _check_free(path)
            _set_aside(path, aside or aside_name(path, clock=clock))
        making.rename(path)
    except OSError as error:
        raise WorkshopError(
            f"{path} cannot be restored: {error.strerror}. What was there is still there, or "
            "beside it under a name with “replaced” in it."
        ) from error
    finally:
        for ending in ("", "-wal", "-shm"):
            with suppress(OSError):
                Path(f"{making}{ending}").unlink(missing_ok=True)
    return open_workshop(path, clock=clock)


def aside_name(place: str | Path, *, clock: Clock = wall_clock) -> Path:
    """Return a free name beside a file, for it to be kept under when a backup takes its place."""
    path = Path(place).absolute()
    stem = f"{path.stem}.{clock().astimezone(UTC):%Y%m%d-%H%M%S}Z"
    for number in range(1, 1000):
        extra = "" if number == 1 else f".{number}"
        aside = path.with_name(f"{stem}{extra}.replaced{path.suffix}")
        if not aside.exists():
            return aside
    raise WorkshopError(f"{path.parent} is full of files that were replaced. Move some away.")


def _is_zip(source: Path) -> bool:
    try:
        with source.open("rb") as file:
            return file.read(len(_ZIP)) == _ZIP
    except FileNotFoundError as error:
        raise NotFound(f"There is no file {source}. Check the name.") from error
    except OSError as error:
        raise WorkshopError(f"{source} cannot be read: {error.strerror}.") from error


def _check_free(path: Path) -> None:
    from rushlight.store.copies import in_use

    if path.is_dir():
        raise Refused(f"{path} is a folder. Name a file.")
    if path.exists() and in_use(path):
        raise Refused(f"{path} is open in another program. Close it there first.")


def _copy(source: Path, making: Path) -> None:
    import sqlite3

    from rushlight.store.copies import copied_back

    try:
        copied_back(source, making)
    except sqlite3.Error as error:
        raise WorkshopError(f"{source} cannot be copied: {error}. Nothing was changed.") from error


def _set_aside(path: Path, aside: Path) -> None:
    from rushlight.store.copies import set_aside

    if aside.exists():
        raise Refused(f"{aside} exists already. Choose another name.")
    set_aside(path, aside)
