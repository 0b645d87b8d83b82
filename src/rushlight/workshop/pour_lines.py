"""Pours in lists."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from rushlight.workshop.pour_views import PourLine, PourState
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from sqlalchemy import RowMapping


def listing(
    shop: Workshop, *, state: PourState | None = None, slug: str | None = None, limit: int = 200
) -> tuple[PourLine, ...]:
    """Return pours, newest planned day first."""
    from rushlight.store.queries.pours import pour_lines

    with shop.store.reading() as connection:
        rows = pour_lines(connection, state=state and state.value, slug=slug, limit=limit)
    return tuple(line_of(shop, row) for row in rows)


def line_of(shop: Workshop, row: RowMapping) -> PourLine:
    """Return a row as a line."""
    from rushlight.store.marks import moment

    started, finished, ready = row["started_at"], row["finished_at"], row["ready_on"]
    return PourLine(
        id=row["id"],
        slug=row["slug"],
        candle=row["name"],
        revision=row["number"],
        state=PourState(row["state"]),
        planned_for=date.fromisoformat(row["planned_for"]),
        jars=row["jars"],
        started_at=shop.local(moment(started)) if started else None,
        finished_at=shop.local(moment(finished)) if finished else None,
        ready_on=date.fromisoformat(ready) if ready else None,
        jar_lot=row["jar_lot"],
    )
