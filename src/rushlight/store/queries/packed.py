"""Reading what orders were packed in.

A net amount, as everywhere: an undoing is linked to the same line of an order as what it undoes,
so that what a line was packed in is the sum of the movements linked to it.
"""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, func, select

from rushlight.store.tables import material, movement, order_line, stock_lot


def packed_in(connection: Connection, order: int) -> Sequence[RowMapping]:
    """Return the lots an order was packed in and how many pieces of each."""
    pieces = -func.sum(movement.c.amount)
    query = (
        select(material.c.slug, material.c.name, stock_lot.c.code, pieces.label("pieces"))
        .join_from(order_line, movement, movement.c.order_line_id == order_line.c.id)
        .join(stock_lot, stock_lot.c.id == movement.c.stock_lot_id)
        .join(material, material.c.id == movement.c.material_id)
        .where(order_line.c.sales_order_id == order)
        .group_by(material.c.slug, material.c.name, stock_lot.c.code, stock_lot.c.id)
        .having(pieces > 0)
        .order_by(material.c.name, stock_lot.c.id)
    )
    return connection.execute(query).mappings().all()
