"""Reading lots of finished jars, and what became of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, RowMapping, Select, func, select

from rushlight.store.queries.why import why
from rushlight.store.tables import (
    buyer,
    candle,
    channel,
    jar_balance,
    jar_entry,
    jar_lot,
    order_line,
    pour,
    revision,
    sales_order,
)


def _lots() -> Select[Any]:
    return (
        select(
            jar_lot,
            candle.c.slug,
            candle.c.name,
            revision.c.number.label("revision"),
            pour.c.person,
            func.coalesce(jar_balance.c.jars, 0).label("left"),
            func.coalesce(jar_balance.c.value, 0).label("worth"),
        )
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .join(pour, pour.c.id == jar_lot.c.pour_id)
        .join(revision, revision.c.id == pour.c.revision_id)
        .outerjoin(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
    )


def jar_lots(
    connection: Connection, slug: str | None = None, *, empty: bool = False, limit: int = 500
) -> Sequence[RowMapping]:
    """Return lots of jars, the oldest cure first: of one candle or all, empty ones too or not.

    What an undone pour made is left out.
    """
    query = _lots().where(jar_lot.c.retired_at.is_(None))
    if slug is not None:
        query = query.where(candle.c.slug == slug)
    if not empty:
        query = query.where(jar_balance.c.jars > 0)
    order = (jar_lot.c.ready_on, jar_lot.c.poured_on, jar_lot.c.id)
    return connection.execute(query.order_by(*order).limit(limit)).mappings().all()


def latest(connection: Connection, limit: int) -> Sequence[RowMapping]:
    """Return the lots of jars poured last, the newest first, those that are gone too."""
    query = _lots().where(jar_lot.c.retired_at.is_(None))
    order = (jar_lot.c.poured_on.desc(), jar_lot.c.id.desc())
    return connection.execute(query.order_by(*order).limit(limit)).mappings().all()


def by_code(connection: Connection, code: str) -> RowMapping | None:
    """Return one lot of jars, also one whose pour was undone."""
    return connection.execute(_lots().where(jar_lot.c.code == code)).mappings().first()


def by_pour(connection: Connection, number: int) -> RowMapping | None:
    """Return the lot of jars a pour made."""
    query = _lots().where(jar_lot.c.pour_id == number, jar_lot.c.retired_at.is_(None))
    return connection.execute(query).mappings().first()


def entries(connection: Connection, number: int, limit: int) -> Sequence[RowMapping]:
    """Return the newest entries of a lot of jars, with the order each is of."""
    query = (
        select(
            jar_entry,
            sales_order.c.code.label("order"),
            buyer.c.name.label("buyer"),
            channel.c.name.label("channel"),
        )
        .outerjoin(order_line, order_line.c.id == jar_entry.c.order_line_id)
        .outerjoin(sales_order, sales_order.c.id == order_line.c.sales_order_id)
        .outerjoin(buyer, buyer.c.id == sales_order.c.buyer_id)
        .outerjoin(channel, channel.c.id == sales_order.c.channel_id)
        .where(jar_entry.c.jar_lot_id == number)
        .order_by(jar_entry.c.id.desc())
    )
    return connection.execute(query.limit(limit)).mappings().all()


def went(connection: Connection, number: int) -> dict[str, int]:
    """Return the jars that left a lot by reason, less those that came back for it."""
    reason = why(jar_entry).label("why")
    query = (
        select(reason, -func.sum(jar_entry.c.jars))
        .where(jar_entry.c.jar_lot_id == number)
        .group_by(reason)
    )
    found = {str(reason): int(jars) for reason, jars in connection.execute(query)}
    return {reason: jars for reason, jars in found.items() if jars and reason != "poured"}


def sent_lines(connection: Connection, number: int, code: str) -> Sequence[RowMapping]:
    """Return what lines of an order still have of a lot of jars: jars and their cost [1/10 000]."""
    query = (
        select(
            jar_entry.c.order_line_id,
            (-func.sum(jar_entry.c.jars)).label("jars"),
            (-func.sum(jar_entry.c.value)).label("value"),
        )
        .join(order_line, order_line.c.id == jar_entry.c.order_line_id)
        .join(sales_order, sales_order.c.id == order_line.c.sales_order_id)
        .where(jar_entry.c.jar_lot_id == number, sales_order.c.code == code)
        .group_by(jar_entry.c.order_line_id)
        .having(func.sum(jar_entry.c.jars) < 0)
        .order_by(jar_entry.c.order_line_id)
    )
    return connection.execute(query).mappings().all()


def next_number(connection: Connection, day: date) -> int:
    """Return which pour of a day the next lot of jars is of; a number is never used twice."""
    codes = select(jar_lot.c.code).where(jar_lot.c.poured_on == day.isoformat())
    return 1 + max((int(c.split("-")[1]) for c in connection.execute(codes).scalars()), default=0)
