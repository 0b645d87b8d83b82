"""Reading what materials were asked for and cost, and what a pour took of them."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sqlalchemy import Connection, RowMapping, case, func, or_, select

from rushlight.store.queries.why import why
from rushlight.store.tables import delivery, jar_lot, material, movement, price, stock_lot, supplier


def asked(connection: Connection, material_id: int) -> Sequence[RowMapping]:
    """Return every pack price of a material, also those out of use now, oldest first."""
    query = (
        select(price, supplier.c.name.label("supplier"), material.c.measure)
        .join(supplier, supplier.c.id == price.c.supplier_id)
        .join(material, material.c.id == price.c.material_id)
        .where(price.c.material_id == material_id)
    )
    return connection.execute(query.order_by(price.c.since, price.c.id)).mappings().all()


def landed(connection: Connection, material_id: int) -> Sequence[RowMapping]:
    """Return the lots of a material that were received and not undone, as they came."""
    stands = (
        select(func.coalesce(func.sum(movement.c.amount), 0))
        .where(movement.c.stock_lot_id == stock_lot.c.id, why(movement) == "received")
        .correlate(stock_lot)
        .scalar_subquery()
    )
    query = (
        select(
            stock_lot.c.code,
            stock_lot.c.amount,
            stock_lot.c.cost,
            stock_lot.c.costed,
            stock_lot.c.received_on,
            supplier.c.name.label("supplier"),
        )
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .outerjoin(supplier, supplier.c.id == delivery.c.supplier_id)
        .where(stock_lot.c.material_id == material_id, stock_lot.c.amount > 0, stands > 0)
    )
    order = (stock_lot.c.received_on, stock_lot.c.id)
    return connection.execute(query.order_by(*order)).mappings().all()


def prices_at(connection: Connection, owners: Collection[int], moment: str) -> Sequence[RowMapping]:
    """Return the pack prices of some materials that were in use at a moment, oldest first."""
    query = (
        select(price, material.c.slug, material.c.measure)
        .join(material, material.c.id == price.c.material_id)
        .where(
            price.c.material_id.in_(owners),
            or_(price.c.retired_at.is_(None), price.c.retired_at > moment),
        )
    )
    return connection.execute(query.order_by(price.c.since, price.c.id)).mappings().all()


def taken(connection: Connection, pour: int) -> Sequence[RowMapping]:
    """Return what a pour took, by lot: used less returned, and what of it was thrown away."""
    stood = why(movement)
    used = stood.in_(("used", "returned"))
    query = (
        select(
            movement.c.material_id,
            stock_lot.c.code,
            stock_lot.c.costed,
            (-func.sum(case((used, movement.c.amount), else_=0))).label("units"),
            (-func.sum(case((used, movement.c.value), else_=0))).label("value"),
            (-func.sum(case((used, 0), else_=movement.c.value))).label("thrown"),
        )
        .join(stock_lot, stock_lot.c.id == movement.c.stock_lot_id)
        .where(movement.c.pour_id == pour, stood.in_(("used", "returned", "scrapped")))
        .group_by(movement.c.material_id, stock_lot.c.id, stock_lot.c.code, stock_lot.c.costed)
        .order_by(stock_lot.c.id)
    )
    return connection.execute(query).mappings().all()


def jars_made(connection: Connection, pour: int) -> RowMapping | None:
    """Return the lot of jars a pour made; None where it made none."""
    query = select(jar_lot).where(jar_lot.c.pour_id == pour, jar_lot.c.retired_at.is_(None))
    return connection.execute(query).mappings().first()
