"""`rushlight backup` and `rushlight restore`."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli.say import say, say_json
from rushlight.cli.stores_json import Json, when
from rushlight.cli.stores_table import Shown, counted, moment, size
from rushlight.cli.workshop import opened
from rushlight.errors import BadInput, Refused, WorkshopError
from rushlight.quantity.show import METRIC
from rushlight.workshop.exchange import backups
from rushlight.workshop.exchange.backups import Backup

if TYPE_CHECKING:
    from rushlight.workshop.shop import Workshop


def run_backup(workshop: str, to: Path | None, *, listed: bool, as_json: bool) -> None:
    """Make a backup, or list those there are."""
    if listed and to is not None:
        raise BadInput.one("A list makes no backup.", "Leave out --to or --list.", "--to")
    with opened(workshop) as shop:
        if listed:
            _tell_all(backups.folder_of(shop), backups.listing(shop), as_json=as_json)
            return
        made = backups.now(shop) if to is None else _to(shop, to.absolute())
    if as_json:
        say_json(_shaped(made))
        return
    say(f"{made.path}: {size(made.bytes)}, looked over and whole.")


def _to(shop: Workshop, path: Path) -> Backup:
    """Make a backup of a name of her own; it has that name only once it was looked over."""
    from rushlight.workshop.exchange import archive
    from rushlight.workshop.opening import back_up

    if path.exists():
        raise Refused(f"{path} exists already. Choose another name for the backup.")
    making = path.with_name(f".{path.name}.{os.getpid()}.making")
    at = shop.now()
    try:
        if shop.store.path is None:
            archive.write(shop, making)
            archive.check(making)
        else:
            back_up(shop, making)
            backups.verify(making)
        making.rename(path)
        bytes_ = path.stat().st_size
    except OSError as error:
        raise WorkshopError(
            f"{path} cannot be written: {error.strerror}. Free some space, or name another folder."
        ) from error
    finally:
        making.unlink(missing_ok=True)
    return Backup(path, shop.local(at), bytes_)


def _tell_all(folder: Path, found: tuple[Backup, ...], *, as_json: bool) -> None:
    if as_json:
        say_json({"folder": str(folder), "backups": [_shaped(one) for one in found]})
        return
    say(f"{folder}: {counted(len(found), 'backup')}.")
    Shown(METRIC).rows(
        "",
        ("Made", "Size>", "File"),
        ((moment(one.at), size(one.bytes), one.path.name) for one in found),
    )


def run_restore(backup: Path, to: str, *, replace: bool, as_json: bool) -> None:
    """Make a workshop of a backup."""
    place = Path(to).absolute()
    there = place.exists() and not place.is_dir()
    if there and not replace:
        raise BadInput.one(
            "This file exists already.",
            "Name a new one; or add --replace, and it is kept aside under another name.",
            str(place),
        )
    aside = backups.aside_name(place) if there else None
    shop = backups.restore(backup, to, aside=aside)
    try:
        made = shop.place
    finally:
        shop.close()
    if as_json:
        kept = str(aside) if aside else None
        say_json({"backup": str(backup), "workshop": made, "set_aside": kept})
        return
    say(f"{made}: restored. Open it with: rushlight open {made}")
    if aside is not None:
        say(f"What was there is kept as {aside}.")


def _shaped(one: Backup) -> Json:
    return {"file": str(one.path), "made_at": when(one.at), "size_bytes": one.bytes}
