"""A workshop that is open: its store and its clock, handed to every verb."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rushlight.store.place import Store

Clock = Callable[[], datetime]
"""Tells the time, with its zone; handed in, so that a test can say what time it is."""


def wall_clock() -> datetime:
    """Return the time now, in this machine's zone."""
    return datetime.now().astimezone()


@dataclass(frozen=True, slots=True)
class Workshop:
    """An open workshop.

    store: where it is kept. clock: tells the time, with its zone.
    """

    store: Store
    clock: Clock

    @property
    def place(self) -> str:
        """Where the workshop is kept: the path of its file, or an address without a password."""
        return self.store.place

    def now(self) -> datetime:
        """Return the time now, with its zone."""
        return self.clock()

    def today(self) -> date:
        """Return the date at the bench."""
        return self.clock().date()

    def local(self, moment: datetime) -> datetime:
        """Return a moment in the zone of the bench, by the summer time of that day."""
        # the wall clock's zone is only what it is now: an hour off for half of the year
        zone = None if self.clock is wall_clock else self.clock().tzinfo
        return moment.astimezone(zone)

    def close(self) -> None:
        """Let go of the file."""
        self.store.close()
