"""A copy of the workshop to try an import in, so that no bench waits for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TYPE_CHECKING, Final

from rushlight.errors import WorkshopError
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from rushlight.store.deeds import Work
    from rushlight.store.rehearsed import Rehearsed

    Does = Callable[[Workshop, Work], None]

BESIDE: Final = frozenset(
    {
        *("pour.tick", "pour.untick", "pour.read", "pour.withdraw", "timer.start", "timer.stop"),
        *("work.start", "work.stop", "work.withdraw"),
    }
)
"""What is done at a bench while a pour runs, and what no import reads or writes."""
_TRIES: Final = 3


@contextmanager
def aside(shop: Workshop) -> Iterator[Workshop]:
    """Give a copy of a workshop to try things in; on a server, the workshop itself."""
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from rushlight.workshop.opening import open_workshop

    if shop.store.path is None:
        yield shop
        return
    with TemporaryDirectory(prefix="rushlight-") as folder:  # readable by its owner alone
        target = Path(folder) / "preview.rushlight"
        shop.store.copy_to(target)
        copy = open_workshop(target, clock=shop.clock)
        try:
            yield copy
        finally:
            copy.close()


def rehearsed(
    shop: Workshop, verb: str, does: Does, *, at: datetime, key: str | None = None
) -> Rehearsed | None:
    """Do a deed in a copy, and return what it wrote there; BadInput as the deed itself.

    None where it was done before, or no copy can be had, or others keep writing what it may
    rest on: then it is to be done in the workshop itself, and they have to wait.
    """
    for _ in range(_TRIES if shop.store.path is not None else 0):
        try:
            found = _once(shop, verb, does, at=at, key=key)
        except (WorkshopError, OSError):  # no room for a copy, for one
            return None
        if found is None:
            return None
        with shop.store.reading() as connection:
            if found.stands(connection, BESIDE):
                return found
    return None


def _once(
    shop: Workshop, verb: str, does: Does, *, at: datetime, key: str | None
) -> Rehearsed | None:
    from rushlight.store.deeds import deed_of
    from rushlight.store.rehearsed import read_back, standing

    with aside(shop) as copy, deed_of(copy.store, verb, at=at, key=key) as work:
        if work.first is not None:
            return None
        before = standing(work.connection)
        does(copy, work)
        return read_back(work, before)
