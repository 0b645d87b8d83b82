"""Backups on schedule, beside whatever else the program does."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread
from typing import Final

from rushlight.workshop.exchange.backups import run_if_due
from rushlight.workshop.shop import Workshop

_HOUR: Final = 3600.0
_PATIENCE: Final = 5.0  # how long the end waits for a backup that is being made [s]


@contextmanager
def backed_up(shop: Workshop, *, every: float = _HOUR) -> Iterator[None]:
    """Back the workshop up whenever it is due, looked at now and then every so often [s].

    It is a thread of its own, which nobody waits for: a backup that is being made when the
    program ends is given up, and the next start makes it.
    """
    ended = Event()

    def keep() -> None:
        while not ended.is_set():
            run_if_due(shop)
            ended.wait(every)

    thread = Thread(target=keep, name="backups", daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(_PATIENCE)
