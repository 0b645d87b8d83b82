"""Every deed can be undone, by a deed that makes up for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from rushlight.errors import NotFound
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from sqlalchemy import RowMapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """Something done: `said` is one line for a person."""

    id: int
    at: datetime
    verb: str
    said: str
    subject: str  # "candle:slipway", "pour:12", "material:soy"; "" when of none
    undone: bool
    undoes: int | None

    @property
    def can_undo(self) -> bool:
        """Whether it still stands; something later may rest on it, which `undo` says."""
        return not self.undone


def listing(shop: Workshop, *, limit: int = 50) -> tuple[Deed, ...]:
    """Return the latest deeds, newest first."""
    from rushlight.store.queries.others import deeds

    with shop.store.reading() as connection:
        rows = deeds(connection, limit)
    return tuple(_deed(shop, row) for row in rows)


def get(shop: Workshop, deed: int) -> Deed:
    """Return one deed; NotFound."""
    from rushlight.store.queries.others import deed_row

    with shop.store.reading() as connection:
        row = deed_row(connection, deed)
    if row is None:
        raise NotFound(f"There is no deed {deed}.")
    return _deed(shop, row)


def latest(shop: Workshop, subject: str = "") -> Deed | None:
    """Return the newest deed that still stands (about a subject, when one is named)."""
    from rushlight.store.queries.others import last_deed

    with shop.store.reading() as connection:
        row = last_deed(connection, subject)
    return None if row is None else _deed(shop, row)


def undo(shop: Workshop, deed: int, *, key: str | None = None) -> Deed:
    """Undo a deed; Refused when something later rests on it, saying what.

    Undoing an undo does the deed again.
    """
    from rushlight.store.deeds import undo_deed

    return get(shop, undo_deed(shop.store, deed, at=shop.now(), key=key))


def _deed(shop: Workshop, row: RowMapping) -> Deed:
    from rushlight.store.marks import moment

    return Deed(
        id=row["id"],
        at=shop.local(moment(row["at"])),
        verb=row["verb"],
        said=row["said"],
        subject=row["subject"],
        undone=row["undone_by"] is not None,
        undoes=row["undoes"],
    )
