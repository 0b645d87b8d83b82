"""Finding where a thread begins: by our own codes, by a pour's number, by a supplier's code."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, func, or_, select

from rushlight.store.marks import plain
from rushlight.store.tables import (
    candle,
    delivery,
    jar_lot,
    material,
    pour,
    sales_order,
    stock_lot,
    supplier,
)

LETTERS = 3
"""Letters of a supplier's code from which on a part of it is looked for too."""


def stock_lot_row(connection: Connection, code: str) -> RowMapping | None:
    """Return a lot of a material."""
    query = select(stock_lot.c.id, stock_lot.c.code).where(stock_lot.c.code == code)
    return connection.execute(query).mappings().first()


def jar_lot_row(connection: Connection, code: str) -> RowMapping | None:
    """Return a lot of jars, also one that was undone."""
    query = (
        select(
            jar_lot.c.id,
            jar_lot.c.code,
            jar_lot.c.pour_id,
            jar_lot.c.jars,
            jar_lot.c.poured_on,
            jar_lot.c.retired_at,
            candle.c.name,
        )
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .where(jar_lot.c.code == code)
    )
    return connection.execute(query).mappings().first()


def order_row(connection: Connection, code: str) -> RowMapping | None:
    """Return an order."""
    query = select(sales_order.c.id, sales_order.c.code, sales_order.c.placed_on)
    return connection.execute(query.where(sales_order.c.code == code)).mappings().first()


def pour_row(connection: Connection, number: int) -> RowMapping | None:
    """Return a pour with its candle."""
    query = (
        select(pour.c.id, pour.c.state, pour.c.planned_for, candle.c.name)
        .join(candle, candle.c.id == pour.c.candle_id)
        .where(pour.c.id == number)
    )
    return connection.execute(query).mappings().first()


def jars_of_pour(connection: Connection, number: int) -> Sequence[str]:
    """Return the codes of the lots of jars a pour made."""
    query = select(jar_lot.c.code).where(
        jar_lot.c.pour_id == number, jar_lot.c.retired_at.is_(None)
    )
    return [str(code) for code in connection.execute(query.order_by(jar_lot.c.id)).scalars()]


def supplied_as(connection: Connection, text: str, limit: int) -> Sequence[RowMapping]:
    """Return the lots a supplier called so, whatever the case; the last delivered first.

    From three letters on, also those that hold the text; the same code before a part of one.
    """
    whole = func.lower(stock_lot.c.supplier_lot) == func.lower(text)
    named = [stock_lot.c.supplier_lot == text, whole]
    if len(text) >= LETTERS:
        named.append(stock_lot.c.supplier_lot.icontains(text, autoescape=True))
    query = (
        select(
            stock_lot.c.code,
            stock_lot.c.supplier_lot,
            stock_lot.c.received_on,
            material.c.name,
            func.coalesce(supplier.c.name, "").label("supplier"),
        )
        .join(material, material.c.id == stock_lot.c.material_id)
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .outerjoin(supplier, supplier.c.id == delivery.c.supplier_id)
        .where(stock_lot.c.supplier_lot != "", or_(*named))
        .order_by(whole.desc(), stock_lot.c.received_on.desc(), stock_lot.c.id.desc())
        .limit(limit)
    )
    return connection.execute(query).mappings().all()


def same_batch(connection: Connection, number: int) -> list[int]:
    """Return a lot and all others of the same batch: material, supplier and supplier's code.

    A lot whose batch or supplier is not known is alone.
    """
    row = connection.execute(
        select(stock_lot.c.material_id, stock_lot.c.supplier_lot, delivery.c.supplier_id)
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .where(stock_lot.c.id == number)
    ).one()
    if not row.supplier_lot or row.supplier_id is None:
        return [number]
    query = (
        select(stock_lot.c.id, stock_lot.c.supplier_lot)
        .join(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .where(
            stock_lot.c.material_id == row.material_id,
            delivery.c.supplier_id == row.supplier_id,
        )
        .order_by(stock_lot.c.id)
    )
    # compared here, for not every database knows a capital Ü from a small one
    code = plain(row.supplier_lot)
    return [int(lot) for lot, named in connection.execute(query) if plain(named) == code]
