"""Reading what jars were sold for and what they bore, by candle, channel and month.

What they were packed in is read apart: it is booked by the line of an order, whatever lots its
jars are of, and on the day the order was sent.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Label,
    RowMapping,
    Select,
    and_,
    case,
    func,
    select,
)

from rushlight.store.queries.why import why
from rushlight.store.tables import (
    channel,
    deed,
    jar_entry,
    jar_lot,
    material,
    movement,
    order_line,
    sales_order,
    stock_lot,
)

# the lines packed in something that bore no cost, since that of its lot was not known; few lots
# of packaging are such, and their movements are sooner found than all that were ever packed
_UNCOSTED = (
    select(stock_lot.c.id)
    .join(material, material.c.id == stock_lot.c.material_id)
    .where(stock_lot.c.costed == 0, material.c.role == "packaging")
)
_PACKED_UNKNOWN = (
    select(movement.c.order_line_id)
    .where(movement.c.order_line_id.is_not(None), movement.c.stock_lot_id.in_(_UNCOSTED))
    .group_by(movement.c.order_line_id, movement.c.stock_lot_id)
    .having(func.sum(movement.c.amount) != 0, func.sum(movement.c.value) == 0)
)
_KNOWN = case((jar_entry.c.order_line_id.in_(_PACKED_UNKNOWN), 0), else_=jar_lot.c.costed)
_SOLD = (
    (-func.sum(jar_entry.c.jars)).label("jars"),
    (-func.sum(jar_entry.c.jars * order_line.c.price)).label("price"),
    (-func.sum(jar_entry.c.value)).label("cost"),
)


def _sold(first: str, last: str, *by: ColumnElement[Any] | Label[Any]) -> Select[Any]:
    """Return a query of the jars of orders that were sent, by the day they were picked.

    What came back counts against it on the day it came back.
    """
    return (
        select(*by, _KNOWN.label("known"), *_SOLD)
        .join_from(jar_entry, order_line, order_line.c.id == jar_entry.c.order_line_id)
        .join(sales_order, sales_order.c.id == order_line.c.sales_order_id)
        .join(jar_lot, jar_lot.c.id == jar_entry.c.jar_lot_id)
        .where(
            and_(jar_entry.c.day >= first, jar_entry.c.day <= last),
            sales_order.c.sent_at.is_not(None),
        )
        # what is worked out is named, for a server sees no sameness in two of its own parameters
        .group_by(*(c.name if isinstance(c, Label) else c for c in by), "known")
    )


def _packed(
    connection: Connection, first: str, last: str, *by: ColumnElement[Any], month: bool = False
) -> Sequence[RowMapping]:
    """Return what orders that were sent were packed in, by the day they were sent.

    month: by that too. A line is packed in several things: they are added up first.
    """
    line = (
        select(
            movement.c.day,
            movement.c.order_line_id,
            func.sum(movement.c.value).label("value"),
        )
        .where(
            movement.c.order_line_id.is_not(None),
            and_(movement.c.day >= first, movement.c.day <= last),
        )
        .group_by(movement.c.day, movement.c.order_line_id)
        .subquery()
    )
    columns: list[ColumnElement[Any]] = [*by]
    if month:
        columns.append(func.substr(line.c.day, 1, 7).label("month"))
    query = (
        select(*columns, (-func.sum(line.c.value)).label("cost"))
        .join_from(line, order_line, order_line.c.id == line.c.order_line_id)
        .join(sales_order, sales_order.c.id == order_line.c.sales_order_id)
        .where(sales_order.c.sent_at.is_not(None))
        .group_by(*by, *(["month"] if month else []))
        .having(func.sum(line.c.value) != 0)
    )
    return connection.execute(query).mappings().all()


def sold_by_candle(connection: Connection, first: str, last: str) -> Sequence[RowMapping]:
    """Return what was sold from a first to a last day by candle, channel and known cost."""
    query = _sold(first, last, order_line.c.candle_id, sales_order.c.channel_id)
    return connection.execute(query).mappings().all()


def sold_by_month(connection: Connection, first: str, last: str) -> Sequence[RowMapping]:
    """Return what was sold from a first to a last day by month, channel and known cost."""
    month = func.substr(jar_entry.c.day, 1, 7).label("month")
    query = _sold(first, last, month, sales_order.c.channel_id)
    return connection.execute(query).mappings().all()


def packed_by_candle(connection: Connection, first: str, last: str) -> Sequence[RowMapping]:
    """Return what jars sent from a first to a last day were packed in, by candle and channel."""
    return _packed(connection, first, last, order_line.c.candle_id, sales_order.c.channel_id)


def packed_by_month(connection: Connection, first: str, last: str) -> Sequence[RowMapping]:
    """Return what jars sent from a first to a last day were packed in, by month and channel."""
    return _packed(connection, first, last, sales_order.c.channel_id, month=True)


def went_otherwise(connection: Connection, first: str, last: str) -> Sequence[RowMapping]:
    """Return the jars given, broken and tested from a first to a last day, and their cost."""
    query = (
        select(why(jar_entry).label("why"), jar_lot.c.costed, _SOLD[0], _SOLD[2])
        .join(jar_lot, jar_lot.c.id == jar_entry.c.jar_lot_id)
        .where(
            and_(jar_entry.c.day >= first, jar_entry.c.day <= last),
            jar_entry.c.order_line_id.is_(None),
            why(jar_entry).in_(("given", "testing", "broken")),
        )
        .group_by("why", jar_lot.c.costed)
    )
    return connection.execute(query).mappings().all()


def channel_rows(connection: Connection) -> Sequence[RowMapping]:
    """Return every channel, also those out of use: what was sold there stays sold."""
    return connection.execute(select(channel).order_by(channel.c.id)).mappings().all()


def newest_deed(connection: Connection) -> int:
    """Return the number of the last thing done in the workshop, 0 before the first."""
    return int(connection.execute(select(func.max(deed.c.id))).scalar() or 0)
