"""Reading finished jars in hand, for the page that shows all the stores at once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlalchemy import Connection, RowMapping, case, func, select

from rushlight.store.tables import candle, jar_balance, jar_lot, pour, revision

_IN_HAND = jar_balance.c.jars > 0


def curing(connection: Connection, first: date) -> Sequence[RowMapping]:
    """Return the lots of jars in hand whose cure ends on a day or later; the first to end first."""
    query = (
        select(
            jar_lot,
            jar_balance.c.jars.label("left"),
            jar_balance.c.value.label("worth"),
            candle.c.slug,
            candle.c.name,
            revision.c.number.label("revision"),
        )
        .join(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .join(pour, pour.c.id == jar_lot.c.pour_id)
        .join(revision, revision.c.id == pour.c.revision_id)
        .where(jar_lot.c.ready_on >= first.isoformat(), _IN_HAND)
        .order_by(jar_lot.c.ready_on, jar_lot.c.id)
    )
    return connection.execute(query).mappings().all()


def ready(connection: Connection, day: date) -> Sequence[RowMapping]:
    """Return the jars in hand that are out of cure on a day, by candle.

    uncosted: those of lots whose cost is not known.
    """
    in_hand = (
        select(
            jar_balance.c.candle_id,
            func.sum(jar_balance.c.jars).label("jars"),
            func.count().label("lots"),
            func.sum(jar_balance.c.value).label("worth"),
            func.sum(case((jar_lot.c.costed == 0, jar_balance.c.jars), else_=0)).label("uncosted"),
            func.min(jar_lot.c.ready_on).label("since"),
        )
        .join(jar_lot, jar_lot.c.id == jar_balance.c.jar_lot_id)
        .where(_IN_HAND, jar_lot.c.ready_on <= day.isoformat())
        .group_by(jar_balance.c.candle_id)
        .subquery()
    )
    query = select(in_hand, candle.c.slug, candle.c.name)
    query = query.join(candle, candle.c.id == in_hand.c.candle_id).order_by(candle.c.name)
    return connection.execute(query).mappings().all()


def worth(connection: Connection) -> tuple[int, int]:
    """Return what all jars in hand are worth [1/10 000], and of how many the cost is not known."""
    row = connection.execute(
        select(
            func.coalesce(func.sum(jar_balance.c.value), 0),
            func.coalesce(func.sum(case((jar_lot.c.costed == 0, jar_balance.c.jars), else_=0)), 0),
        )
        .join(jar_lot, jar_lot.c.id == jar_balance.c.jar_lot_id)
        .where(_IN_HAND)
    ).one()
    return int(row[0]), int(row[1])
