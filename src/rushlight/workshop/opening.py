"""Opening and making a workshop."""

from __future__ import annotations

from pathlib import Path

from rushlight.workshop.shop import Clock, Workshop, wall_clock


def open_workshop(place: str | Path, *, clock: Clock = wall_clock) -> Workshop:
    """Open the workshop kept in a file (or at a database address).

    An older file is backed up beside itself and brought up to date first.
    Raises NotFound when there is no such file, WorkshopError when it cannot be used.
    """
    from rushlight.store.place import open_store

    return Workshop(open_store(place, clock=clock), clock)


def create_workshop(
    place: str | Path, *, clock: Clock = wall_clock, durable: bool = True
) -> Workshop:
    """Make a new, empty workshop; Refused when something is already there.

    durable: False only for a file that can be made again, such as a demonstration.
    """
    from rushlight.store.place import create_store

    return Workshop(create_store(place, clock=clock, durable=durable), clock)


def shown(place: str | Path) -> str:
    """Return a place as it may be printed: an address without its password."""
    from rushlight.store.server import shown as without_password

    return without_password(place)


def back_up(shop: Workshop, target: str | Path) -> Path:
    """Copy the workshop, whole and consistent, to a new file; it may be in use meanwhile.

    Refused when the file exists.
    """
    path = Path(target).absolute()
    shop.store.copy_to(path)
    return path
