"""Reading pours and what happened to them at the bench."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, RowMapping, Select, and_, func, select

from rushlight.store.tables import candle, jar_lot, need, pour, reading, revision, timer, weighing

_LINE = (
    pour.c.id,
    pour.c.state,
    pour.c.planned_for,
    pour.c.jars,
    pour.c.good,
    pour.c.started_at,
    pour.c.finished_at,
    pour.c.ready_on,
    candle.c.slug,
    candle.c.name,
    revision.c.number,
    func.coalesce(jar_lot.c.code, "").label("jar_lot"),
)


def _lines(*more: Any) -> Select[Any]:
    return (
        select(*_LINE, *more)
        .join(candle, candle.c.id == pour.c.candle_id)
        .join(revision, revision.c.id == pour.c.revision_id)
        .outerjoin(jar_lot, and_(jar_lot.c.pour_id == pour.c.id, jar_lot.c.retired_at.is_(None)))
    )


def pour_lines(
    connection: Connection,
    *,
    state: str | None = None,
    slug: str | None = None,
    limit: int | None = None,
    soonest: bool = False,
) -> Sequence[RowMapping]:
    """Return pours by planned day: newest first, or soonest first."""
    query = _lines()
    if state is not None:
        query = query.where(pour.c.state == state)
    if slug is not None:
        query = query.where(candle.c.slug == slug)
    day, number = pour.c.planned_for, pour.c.id
    order = (day, number) if soonest else (day.desc(), number.desc())
    return connection.execute(query.order_by(*order).limit(limit)).mappings().all()


def ready_between(connection: Connection, first: date, last: date) -> Sequence[RowMapping]:
    """Return finished pours whose cure is over on a day from first to last."""
    query = _lines().where(
        pour.c.state == "finished",
        pour.c.ready_on >= first.isoformat(),
        pour.c.ready_on <= last.isoformat(),
    )
    return connection.execute(query.order_by(pour.c.ready_on, pour.c.id)).mappings().all()


def pour_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one pour, whole."""
    more = (
        pour.c.candle_id,
        pour.c.revision_id,
        pour.c.planned_at,
        pour.c.document,
        pour.c.batch,
        pour.c.rejected,
        pour.c.note,
        pour.c.person,
    )
    return connection.execute(_lines(*more).where(pour.c.id == number)).mappings().first()


def needs(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return what a pour takes from the stores."""
    query = select(need).where(need.c.pour_id == number).order_by(need.c.id)
    return connection.execute(query).mappings().all()


def ticks(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the last weighing entry of each line of each pot, those taken back left out."""
    last = (
        select(func.max(weighing.c.id))
        .where(weighing.c.pour_id == number)
        .group_by(weighing.c.pot, weighing.c.line)
    )
    query = select(weighing).where(weighing.c.id.in_(last), weighing.c.amount.is_not(None))
    return connection.execute(query).mappings().all()


def weighing_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one weighing entry."""
    return connection.execute(select(weighing).where(weighing.c.id == number)).mappings().first()


def readings(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the thermometer readings of a pour, in order of time."""
    query = select(reading).where(reading.c.pour_id == number, reading.c.retired_at.is_(None))
    return connection.execute(query.order_by(reading.c.at, reading.c.id)).mappings().all()


def reading_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one reading."""
    return connection.execute(select(reading).where(reading.c.id == number)).mappings().first()


def timers(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the timers of a pour by deadline."""
    query = select(timer).where(timer.c.pour_id == number, timer.c.retired_at.is_(None))
    return connection.execute(query.order_by(timer.c.deadline, timer.c.id)).mappings().all()


def timer_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one timer."""
    return connection.execute(select(timer).where(timer.c.id == number)).mappings().first()


def running_timers(connection: Connection) -> Sequence[RowMapping]:
    """Return the timers that run in running pours, by deadline."""
    query = (
        select(timer)
        .join(pour, pour.c.id == timer.c.pour_id)
        .where(
            pour.c.state == "running", timer.c.retired_at.is_(None), timer.c.stopped_at.is_(None)
        )
    )
    return connection.execute(query.order_by(timer.c.deadline)).mappings().all()
