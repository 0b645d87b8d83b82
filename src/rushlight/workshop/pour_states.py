"""How far a pour is, and what may be done with it then."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.errors import NotFound, Refused
from rushlight.workshop.pour_views import PourState

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work


def existing(connection: Connection, pour: int) -> RowMapping:
    """Return the row of a pour; NotFound."""
    from rushlight.store.queries.pours import pour_row

    row = pour_row(connection, pour)
    if row is None:
        raise NotFound(f"There is no pour {pour} in this workshop.")
    return row


def in_state(connection: Connection, pour: int, *states: PourState) -> RowMapping:
    """Return the row of a pour in one of some states; NotFound, Refused."""
    row = existing(connection, pour)
    if row["state"] not in states:
        wanted = " or ".join(states)
        raise Refused(f"This pour is {row['state']}; it would have to be {wanted}.")
    return row


def about(work: Work, row: RowMapping, said: str) -> None:
    """Say of a deed that it is about a pour, and what was done."""
    work.subject = f"pour:{row['id']}"
    work.said = said
