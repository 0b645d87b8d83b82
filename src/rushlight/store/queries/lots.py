"""Reading weighed lots."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, Select, func, select
from sqlalchemy.sql.elements import ColumnElement

from rushlight.store.tables import candle, lot, lot_mark


def lots(connection: Connection, candle_id: int | None = None) -> Sequence[RowMapping]:
    """Return the lots that stand, newest first, of one candle or of all."""
    query = _query().where(_stands())
    if candle_id is not None:
        query = query.where(lot.c.candle_id == candle_id)
    return connection.execute(query.order_by(lot.c.id.desc())).mappings().all()


def lot_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one lot, if it stands."""
    return connection.execute(_query().where(lot.c.id == number, _stands())).mappings().first()


def _query() -> Select[tuple[object, ...]]:
    return select(lot, candle.c.slug.label("candle_slug"), candle.c.name.label("candle_name")).join(
        candle, candle.c.id == lot.c.candle_id
    )


def _stands() -> ColumnElement[bool]:
    """Whether the newest mark of a lot, if it has one, says that it stands."""
    newest = (
        select(lot_mark.c.stands)
        .where(lot_mark.c.lot_id == lot.c.id)
        .order_by(lot_mark.c.id.desc())
        .limit(1)
        .correlate(lot)
        .scalar_subquery()
    )
    return func.coalesce(newest, 1) == 1
