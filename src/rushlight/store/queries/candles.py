"""Reading candles and their revisions."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, func, select

from rushlight.store.tables import candle, pour, revision


def candles(connection: Connection) -> Sequence[RowMapping]:
    """Return the candles in use with their newest revision and their pours, by name."""
    newest = (
        select(revision.c.candle_id, func.max(revision.c.number).label("number"))
        .group_by(revision.c.candle_id)
        .subquery()
    )
    poured = (
        select(
            pour.c.candle_id,
            func.count().label("pours"),
            func.max(pour.c.finished_at).label("last_poured"),
        )
        .where(pour.c.state != "abandoned")
        .group_by(pour.c.candle_id)
        .subquery()
    )
    query = (
        select(
            candle.c.slug,
            candle.c.name,
            revision.c.number,
            revision.c.saved_at,
            revision.c.frozen_at,
            func.coalesce(poured.c.pours, 0).label("pours"),
            poured.c.last_poured,
        )
        .join(newest, newest.c.candle_id == candle.c.id)
        .join(
            revision,
            (revision.c.candle_id == candle.c.id) & (revision.c.number == newest.c.number),
        )
        .outerjoin(poured, poured.c.candle_id == candle.c.id)
        .where(candle.c.retired_at.is_(None))
        .order_by(func.lower(candle.c.name))
    )
    return connection.execute(query).mappings().all()


def candle_row(connection: Connection, slug: str) -> RowMapping | None:
    """Return one candle, also one out of use."""
    return connection.execute(select(candle).where(candle.c.slug == slug)).mappings().first()


def last_number(connection: Connection, candle_id: int) -> int:
    """Return the number of the newest revision."""
    query = select(func.max(revision.c.number)).where(revision.c.candle_id == candle_id)
    return int(connection.execute(query).scalar() or 0)


def revision_row(connection: Connection, candle_id: int, number: int) -> RowMapping | None:
    """Return one revision of a candle."""
    query = select(revision).where(revision.c.candle_id == candle_id, revision.c.number == number)
    return connection.execute(query).mappings().first()


def revisions(connection: Connection, candle_id: int) -> Sequence[RowMapping]:
    """Return number, document, saved_at, frozen_at of every revision, oldest first."""
    query = (
        select(revision.c.number, revision.c.document, revision.c.saved_at, revision.c.frozen_at)
        .where(revision.c.candle_id == candle_id)
        .order_by(revision.c.number)
    )
    return connection.execute(query).mappings().all()
