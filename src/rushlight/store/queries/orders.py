"""Reading orders, their lines, what was picked for them, and buyers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, RowMapping, ScalarSelect, Select, and_, func, or_, select

from rushlight.store.tables import (
    buyer,
    candle,
    channel,
    jar_balance,
    jar_entry,
    jar_lot,
    order_line,
    sales_order,
)

_OPEN = and_(sales_order.c.sent_at.is_(None), sales_order.c.retired_at.is_(None))


def _orders() -> Select[Any]:
    return (
        select(
            sales_order,
            channel.c.slug.label("channel_slug"),
            channel.c.name.label("channel"),
            func.coalesce(buyer.c.name, "").label("buyer"),
            func.coalesce(buyer.c.contact, "").label("contact"),
        )
        .join(channel, channel.c.id == sales_order.c.channel_id)
        .outerjoin(buyer, buyer.c.id == sales_order.c.buyer_id)
    )


def newest(
    connection: Connection,
    *,
    sent: bool | None = None,
    cancelled: bool | None = None,
    of: str | None = None,
    limit: int,
) -> Sequence[RowMapping]:
    """Return orders, the last placed first: all, or by whether they were sent or cancelled.

    of: the name of a buyer, as it is written.
    """
    query = _orders().order_by(sales_order.c.placed_on.desc(), sales_order.c.id.desc())
    if sent is not None:
        query = query.where(sales_order.c.sent_at.is_not(None) == sent)
    if cancelled is not None:
        query = query.where(sales_order.c.retired_at.is_not(None) == cancelled)
    if of is not None:
        query = query.where(sales_order.c.buyer_id == _buyer(of))
    return connection.execute(query.limit(limit)).mappings().all()


def _buyer(name: str) -> ScalarSelect[Any]:
    return select(buyer.c.id).where(buyer.c.name == name).limit(1).scalar_subquery()


def not_sent(connection: Connection, *, by: date | None = None) -> Sequence[RowMapping]:
    """Return the orders that are still to be sent, or those due by a day; the soonest due first."""
    query = _orders().where(_OPEN)
    if by is not None:
        query = query.where(sales_order.c.due_on <= by.isoformat())
    order = (sales_order.c.due_on.is_(None), sales_order.c.due_on, sales_order.c.placed_on)
    return connection.execute(query.order_by(*order, sales_order.c.id)).mappings().all()


def order_row(connection: Connection, code: str) -> RowMapping | None:
    """Return one order."""
    return connection.execute(_orders().where(sales_order.c.code == code)).mappings().first()


def totals(connection: Connection, orders: Sequence[int]) -> dict[int, tuple[int, int, int]]:
    """Return jars, takings [1/10 000] and jars picked of some orders."""
    found: dict[int, tuple[int, int, int]] = dict.fromkeys(orders, (0, 0, 0))
    for first in range(0, len(orders), 1000):
        some = orders[first : first + 1000]
        lines = (
            select(
                order_line.c.sales_order_id,
                func.sum(order_line.c.jars),
                func.sum(order_line.c.jars * order_line.c.price),
            )
            .where(order_line.c.sales_order_id.in_(some), order_line.c.retired_at.is_(None))
            .group_by(order_line.c.sales_order_id)
        )
        taken = (
            select(order_line.c.sales_order_id, -func.sum(jar_entry.c.jars))
            .join(jar_entry, jar_entry.c.order_line_id == order_line.c.id)
            .where(order_line.c.sales_order_id.in_(some))
            .group_by(order_line.c.sales_order_id)
        )
        picked = {int(row[0]): int(row[1]) for row in connection.execute(taken)}
        for number, jars, takings in connection.execute(lines):
            found[int(number)] = (int(jars), int(takings), picked.get(int(number), 0))
    return found


def lines(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the lines of an order with their candles, in the order they were added."""
    query = (
        select(order_line, candle.c.slug, candle.c.name)
        .join(candle, candle.c.id == order_line.c.candle_id)
        .where(order_line.c.sales_order_id == number, order_line.c.retired_at.is_(None))
        .order_by(order_line.c.id)
    )
    return connection.execute(query).mappings().all()


def picked(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return jars and their cost by line and lot of an order: picked less what came back."""
    query = (
        select(
            jar_entry.c.order_line_id,
            jar_entry.c.jar_lot_id,
            jar_lot.c.code,
            (-func.sum(jar_entry.c.jars)).label("jars"),
            (-func.sum(jar_entry.c.value)).label("value"),
        )
        .join(order_line, order_line.c.id == jar_entry.c.order_line_id)
        .join(jar_lot, jar_lot.c.id == jar_entry.c.jar_lot_id)
        .where(order_line.c.sales_order_id == number)
        .group_by(
            jar_entry.c.order_line_id,
            jar_entry.c.jar_lot_id,
            jar_lot.c.code,
            jar_lot.c.ready_on,
            jar_lot.c.poured_on,
        )
        .having(func.sum(jar_entry.c.jars) < 0)
        .order_by(
            jar_entry.c.order_line_id,
            jar_lot.c.ready_on,
            jar_lot.c.poured_on,
            jar_entry.c.jar_lot_id,
        )
    )
    return connection.execute(query).mappings().all()


def picked_by_line(connection: Connection, number: int) -> dict[int, int]:
    """Return the jars picked of an order by line."""
    found: dict[int, int] = {}
    for row in picked(connection, number):
        line = int(row["order_line_id"])
        found[line] = found.get(line, 0) + int(row["jars"])
    return found


def jars_in_hand(connection: Connection, candles: Sequence[int]) -> Sequence[RowMapping]:
    """Return the lots of jars with something in hand of some candles, the first ready first."""
    query = (
        select(
            jar_lot.c.id,
            jar_lot.c.code,
            jar_lot.c.candle_id,
            jar_lot.c.poured_on,
            jar_lot.c.ready_on,
            jar_balance.c.jars.label("left"),
        )
        .join(jar_lot, jar_lot.c.id == jar_balance.c.jar_lot_id)
        .where(
            jar_balance.c.candle_id.in_(candles),
            jar_balance.c.jars > 0,
            jar_lot.c.retired_at.is_(None),
        )
        .order_by(jar_lot.c.ready_on, jar_lot.c.poured_on, jar_lot.c.id)
    )
    return connection.execute(query).mappings().all()


def jar_lot_row(connection: Connection, code: str) -> RowMapping | None:
    """Return one lot of jars with its candle."""
    query = (
        select(jar_lot, candle.c.slug, candle.c.name)
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .where(jar_lot.c.code == code, jar_lot.c.retired_at.is_(None))
    )
    return connection.execute(query).mappings().first()


def next_order(connection: Connection) -> int:
    """Return the number the next order's code is made of."""
    return int(connection.execute(select(func.max(sales_order.c.id))).scalar() or 0) + 1


def candles(connection: Connection) -> Sequence[RowMapping]:
    """Return every candle, also those out of use."""
    query = select(candle.c.id, candle.c.slug, candle.c.name, candle.c.retired_at)
    return connection.execute(query.order_by(candle.c.id)).mappings().all()


def buyers(connection: Connection, limit: int) -> Sequence[RowMapping]:
    """Return the buyers in use by name, and those whom an order that stands names."""
    named = select(sales_order.c.buyer_id).where(
        sales_order.c.retired_at.is_(None), sales_order.c.buyer_id.is_not(None)
    )
    query = select(buyer).where(or_(buyer.c.retired_at.is_(None), buyer.c.id.in_(named)))
    return connection.execute(query.order_by(buyer.c.plain).limit(limit)).mappings().all()


def buyer_row(connection: Connection, plain: str) -> RowMapping | None:
    """Return the buyer of a name, whatever its case, also one out of use."""
    return connection.execute(select(buyer).where(buyer.c.plain == plain)).mappings().first()
