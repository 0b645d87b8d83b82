"""Backups: when, where, how many; made while the workshop is open, and read back at once.

A workshop is backed up every day into the folder `backups` beside its file, and the newest 14
are kept, unless the settings say otherwise. A backup of a file is a workshop file itself; that
of a workshop on a server is an archive, into a folder that has to be named in full. A
demonstration is not backed up: it can be made again.

The name of a backup holds the time it was made (UTC) and a mark of where the workshop lies, so
that two of the same name can share a folder. Nothing without such a name is ever touched.
"""

from __future__ import annotations

import hashlib
import os
import re
import time
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

from rushlight.errors import NotFound, Refused, RushlightError, WorkshopError
from rushlight.workshop import settings
from rushlight.workshop.exchange.backup_note import Trouble, note, trouble
from rushlight.workshop.exchange.restoring import aside_name, restore
from rushlight.workshop.shop import Workshop

__all__ = [
    "Backup",
    "Trouble",
    "aside_name",
    "due",
    "folder_of",
    "listing",
    "now",
    "prune",
    "restore",
    "run_if_due",
    "trouble",
    "verify",
]

_STAMP: Final = "%Y%m%d-%H%M%S"
_LEFT_OVER: Final = 3600.0  # after which a copy that was being made is nobody's any more [s]
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup there is. at: when it was made, in the zone of the bench."""

    path: Path
    at: datetime
    bytes: int


def folder_of(shop: Workshop) -> Path:
    """Return the folder the backups go into; Refused when it is not named in full on a server."""
    folder = Path(settings.current(shop).backups.folder).expanduser()
    if folder.is_absolute():
        return folder
    if shop.store.path is None:
        raise Refused(
            "A workshop on a server is backed up into a folder that is named in full. "
            "Name one in the settings."
        )
    return shop.store.path.parent / folder


def listing(shop: Workshop) -> tuple[Backup, ...]:
    """Return the backups of this workshop, newest first."""
    found = []
    for path, text in _ours(shop, folder_of(shop), ""):
        at = datetime.strptime(text, _STAMP).replace(tzinfo=UTC)
        found.append((at, path.name, Backup(path, shop.local(at), path.stat().st_size)))
    return tuple(backup for *_, backup in sorted(found, key=lambda one: one[:2], reverse=True))


def due(shop: Workshop) -> bool:
    """Return whether it is time for a backup, by the calendar at the bench."""
    made = settings.current(shop)
    folder = Path(made.backups.folder).expanduser()
    if not made.backups.every or made.demo:
        return False
    if shop.store.path is None and not folder.is_absolute():
        return False
    # one from days ahead was made by a clock that was wrong
    newest = next((b for b in listing(shop) if b.at <= shop.now() + _DAY), None)
    return newest is None or (shop.today() - newest.at.date()).days >= made.backups.every


def now(shop: Workshop) -> Backup:
    """Make a backup, look it over, and only then give it its name.

    The workshop may be in use meanwhile. WorkshopError when it cannot be made, or is not whole.
    """
    from rushlight.store.copies import copy_checked
    from rushlight.workshop.exchange import archive

    folder = folder_of(shop)
    at = shop.now().astimezone(UTC)
    try:
        folder.mkdir(exist_ok=True)
        path = _free_name(shop, folder, at)
        making = path.with_name(f".{path.name}.{os.getpid()}.making")
        try:
            if shop.store.path is None:
                archive.write(shop, making)
                archive.check(making)
            else:
                copy_checked(shop.store, making)
            making.rename(path)
        finally:
            making.unlink(missing_ok=True)
        return Backup(path, shop.local(at), path.stat().st_size)
    except FileNotFoundError as error:
        raise NotFound(
            f"There is no folder {folder.parent}. Plug the disc in, or name another folder in the "
            "settings."
        ) from error
    except OSError as error:
        raise WorkshopError(
            f"A backup cannot be written into {folder}: {error.strerror}. Free some space, or name "
            "another folder in the settings."
        ) from error


def run_if_due(shop: Workshop) -> Backup | None:
    """Make a backup and delete old ones, when it is time; what goes wrong is noted, not raised."""
    try:
        if not due(shop):
            return None
        made = now(shop)
        prune(shop)
    except Exception as error:  # noqa: BLE001 - whatever it was: serving goes on, and she is told
        said = str(error) if isinstance(error, RushlightError) else f"It failed: {error!r}."
        note(shop, said)
        return None
    note(shop, "")
    return made


def prune(shop: Workshop) -> tuple[Path, ...]:
    """Delete all but the newest backups; return what was deleted.

    Where none of the newest is good, the newest good one stays beside them.
    """
    keep = settings.current(shop).backups.keep
    there = listing(shop)
    old = list(there[keep:])
    if old and not any(_good(backup.path) for backup in there[:keep]):
        good = next((backup for backup in old if _good(backup.path)), None)
        old = [backup for backup in old if backup is not good] if good else []
    gone = [backup.path for backup in old]
    gone += [path for path, _ in _ours(shop, folder_of(shop), ".making") if _left_over(path)]
    for path in gone:
        with suppress(FileNotFoundError):
            path.unlink()
    return tuple(gone)


def verify(path: str | Path) -> None:
    """Look a backup over, whatever kind it is; WorkshopError or BadInput says what is wrong."""
    from rushlight.store.copies import look_over
    from rushlight.workshop.exchange import archive

    if Path(path).suffix == ".zip":
        archive.check(path)
    else:
        look_over(Path(path))


def _good(path: Path) -> bool:
    try:
        verify(path)
    except RushlightError:
        return False
    return True


def _left_over(path: Path) -> bool:
    return time.time() - path.stat().st_mtime > _LEFT_OVER


def _named(shop: Workshop) -> tuple[str, str]:
    """Return how the names of its backups begin and end."""
    stem = shop.store.path.stem if shop.store.path else shop.place.split("?")[0].rpartition("/")[2]
    plain = re.sub(r"[^\w-]+", "-", stem).strip("-") or "workshop"
    mark = hashlib.sha256(shop.place.encode()).hexdigest()[:6]
    kind = "zip" if shop.store.path is None else "rushlight"
    return f"{plain}.{mark}.", f".backup.{kind}"


def _ours(shop: Workshop, folder: Path, making: str) -> list[tuple[Path, str]]:
    """Return the files in a folder that are named as ours, with the time in their names."""
    start, end = map(re.escape, _named(shop))
    name = rf"{start}(\d{{8}}-\d{{6}})Z(?:\.\d{{1,3}})?{end}"
    pattern = re.compile(rf"\.{name}\.\d+\.making" if making else name)
    if not folder.is_dir():
        return []
    matched = [(path, pattern.fullmatch(path.name)) for path in folder.iterdir()]
    return [(path, found[1]) for path, found in matched if found and path.is_file()]


def _free_name(shop: Workshop, folder: Path, at: datetime) -> Path:
    start, end = _named(shop)
    for number in range(1, 1000):
        extra = "" if number == 1 else f".{number}"
        path = folder / f"{start}{at.strftime(_STAMP)}Z{extra}{end}"
        if not path.exists():
            return path
    raise WorkshopError(f"{folder} is full of backups of this second. Move some away.")
