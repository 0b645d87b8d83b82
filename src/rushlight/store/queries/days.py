"""Reading what the coming days hold: cures, orders due, pours planned, lots that expire."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlalchemy import Connection, RowMapping, func, select

from rushlight.store.tables import (
    buyer,
    candle,
    channel,
    deed,
    jar_balance,
    jar_lot,
    material,
    order_line,
    pour,
    sales_order,
    stock_balance,
    stock_lot,
)


def first_moment(connection: Connection) -> str:
    """Return when the first thing was done in the workshop, which never changes."""
    return str(connection.execute(select(deed.c.at).order_by(deed.c.id).limit(1)).scalar() or "")


def cures(connection: Connection, since: date) -> Sequence[RowMapping]:
    """Return lots of jars whose cure ends on a day or later, as far as any are in hand."""
    query = (
        select(jar_lot.c.code, jar_lot.c.ready_on, jar_balance.c.jars, candle.c.name)
        .join(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .where(
            jar_lot.c.ready_on >= since.isoformat(),
            jar_lot.c.retired_at.is_(None),
            jar_balance.c.jars > 0,
        )
    )
    return connection.execute(query.order_by(jar_lot.c.ready_on, jar_lot.c.id)).mappings().all()


def orders_due(connection: Connection) -> Sequence[RowMapping]:
    """Return open orders that have a day, with their jars."""
    query = (
        select(
            sales_order.c.id,
            sales_order.c.code,
            sales_order.c.due_on,
            channel.c.name.label("channel"),
            buyer.c.name.label("buyer"),
            func.coalesce(func.sum(order_line.c.jars), 0).label("jars"),
        )
        .join(channel, channel.c.id == sales_order.c.channel_id)
        .outerjoin(buyer, buyer.c.id == sales_order.c.buyer_id)
        .outerjoin(
            order_line,
            (order_line.c.sales_order_id == sales_order.c.id) & order_line.c.retired_at.is_(None),
        )
        .where(
            sales_order.c.due_on.is_not(None),
            sales_order.c.sent_at.is_(None),
            sales_order.c.retired_at.is_(None),
        )
        .group_by(sales_order.c.id, channel.c.name, buyer.c.name)
    )
    return (
        connection.execute(query.order_by(sales_order.c.due_on, sales_order.c.id)).mappings().all()
    )


def pours_planned(connection: Connection) -> Sequence[RowMapping]:
    """Return pours that are planned, or running."""
    query = (
        select(pour.c.id, pour.c.planned_for, pour.c.jars, candle.c.name)
        .join(candle, candle.c.id == pour.c.candle_id)
        .where(pour.c.state.in_(("planned", "running")))
    )
    return connection.execute(query.order_by(pour.c.planned_for, pour.c.id)).mappings().all()


def lots_expiring(connection: Connection, first: date, last: date) -> Sequence[RowMapping]:
    """Return lots of materials in hand whose date is from first to last."""
    query = (
        select(
            stock_lot.c.code,
            stock_lot.c.expires_on,
            stock_lot.c.date_kind,
            stock_lot.c.supplier_lot,
            stock_balance.c.amount,
            material.c.name,
            material.c.measure,
        )
        .join(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .join(material, material.c.id == stock_lot.c.material_id)
        .where(
            stock_lot.c.expires_on >= first.isoformat(),
            stock_lot.c.expires_on <= last.isoformat(),
            stock_balance.c.amount > 0,
        )
    )
    found = connection.execute(query.order_by(stock_lot.c.expires_on, stock_lot.c.id))
    return found.mappings().all()
