"""Reading lots of materials and what is left of them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    RowMapping,
    Select,
    case,
    func,
    or_,
    select,
)

from rushlight.store.marks import plain
from rushlight.store.queries.why import why
from rushlight.store.tables import (
    delivery,
    material,
    movement,
    order_line,
    pour,
    reservation,
    sales_order,
    stock_balance,
    stock_lot,
    supplier,
)

_LEFT = func.coalesce(stock_balance.c.amount, 0).label("left")
_WORTH = func.coalesce(stock_balance.c.value, 0).label("worth")
_HERE = or_(stock_lot.c.delivery_id.is_(None), delivery.c.retired_at.is_(None))
"""Not of a delivery that was undone."""


def _entered() -> ColumnElement[int]:
    """Return what was entered, after it came, as the cost of a lot that came without one.

    A lot never changes; its cost is entered as a movement of nothing with a value. It counts
    as long as that stands, and none is ever entered that is worth nothing.
    """
    entered = (
        select(func.sum(movement.c.value))
        .where(
            movement.c.stock_lot_id == stock_lot.c.id,
            movement.c.amount == 0,
            why(movement) == "valued",
        )
        .correlate(stock_lot)
        .scalar_subquery()
    )
    return case((stock_lot.c.costed == 1, 0), else_=func.coalesce(entered, 0))


COSTED = case((stock_lot.c.costed == 1, 1), (_entered() > 0, 1), else_=0).label("costed")
"""Whether the cost of a lot is known: it came with one, or one was entered since."""
COST = (stock_lot.c.cost + _entered()).label("cost")
"""What entered the ledger as the cost of a lot [1/10 000]; it says nothing where not COSTED."""
_OWN = tuple(column for column in stock_lot.c if column.name not in {"costed", "cost"})


def _lots() -> Select[Any]:
    """Return a query of lots; its `costed` and `cost` heed a cost entered later."""
    return (
        select(
            *_OWN,
            COSTED,
            COST,
            stock_lot.c.costed.label("came_costed"),
            _LEFT,
            _WORTH,
            material.c.slug,
            material.c.name,
            material.c.role,
            material.c.measure,
            supplier.c.name.label("supplier"),
            delivery.c.retired_at.label("delivery_undone_at"),
        )
        .join(material, material.c.id == stock_lot.c.material_id)
        .outerjoin(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .outerjoin(supplier, supplier.c.id == delivery.c.supplier_id)
    )


def first_expiring(query: Select[Any]) -> Select[Any]:
    """Return a query of lots by when they expire, those without a date last, older ones first."""
    return query.order_by(
        stock_lot.c.expires_on.is_(None),
        stock_lot.c.expires_on,
        stock_lot.c.received_on,
        stock_lot.c.id,
    )


def in_hand(connection: Connection, material_id: int) -> Sequence[RowMapping]:
    """Return the lots of a material of which something is left, first expiring first."""
    # by the balances, of which few are above zero: most lots there ever were are used up
    query = _lots().where(stock_balance.c.material_id == material_id, stock_balance.c.amount > 0)
    return connection.execute(first_expiring(query)).mappings().all()


def lots(
    connection: Connection, material_id: int | None = None, *, empty: bool = False, limit: int = 500
) -> Sequence[RowMapping]:
    """Return lots, first expiring first: of one material or all, those used up too or not.

    What an undone delivery brought is left out.
    """
    # which lots first, and all that is known of them then: sorting whole rows takes far longer
    which = select(stock_lot.c.id).outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
    if not empty:
        which = which.join(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        which = which.where(stock_balance.c.amount > 0)
    if material_id is not None:
        which = which.where(stock_lot.c.material_id == material_id)
    few = first_expiring(which.where(_HERE)).limit(limit).subquery()
    query = _lots().where(stock_lot.c.id.in_(select(few.c.id)))
    return connection.execute(first_expiring(query)).mappings().all()


def lots_of_delivery(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the lots a delivery made, in the order of its lines."""
    query = _lots().where(stock_lot.c.delivery_id == number).order_by(stock_lot.c.id)
    return connection.execute(query).mappings().all()


def lot_by_code(connection: Connection, code: str) -> RowMapping | None:
    """Return one lot."""
    return connection.execute(_lots().where(stock_lot.c.code == code)).mappings().first()


def lot_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one lot by its number."""
    return connection.execute(_lots().where(stock_lot.c.id == number)).mappings().first()


def newest_lot(connection: Connection, material_id: int) -> RowMapping | None:
    """Return the lot of a material that came last, one with something left before all others.

    One whose coming was undone never came.
    """
    came = (
        select(func.sum(movement.c.amount))
        .where(
            movement.c.stock_lot_id == stock_lot.c.id,
            why(movement) == "received",
        )
        .correlate(stock_lot)
        .scalar_subquery()
    )
    query = _lots().where(stock_lot.c.material_id == material_id, func.coalesce(came, 1) != 0)
    order = (func.coalesce(stock_balance.c.amount, 0) > 0).desc(), stock_lot.c.received_on.desc()
    found = connection.execute(query.order_by(*order, stock_lot.c.id.desc()).limit(1))
    return found.mappings().first()


def next_serial(connection: Connection) -> int:
    """Return the number the next lot's code is made of; only one unit of work writes at a time."""
    last = connection.execute(select(func.max(stock_lot.c.id))).scalar()
    return int(last or 0) + 1


def reserved(connection: Connection, *, but: int | None = None) -> dict[int, int]:
    """Return what running pours hold by lot, leaving one pour out."""
    query = (
        select(reservation.c.stock_lot_id, func.sum(reservation.c.amount))
        .join(pour, pour.c.id == reservation.c.pour_id)
        .where(pour.c.state == "running", reservation.c.retired_at.is_(None))
    )
    if but is not None:
        query = query.where(pour.c.id != but)
    rows = connection.execute(query.group_by(reservation.c.stock_lot_id))
    return {int(lot): int(amount) for lot, amount in rows}


def reservations(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the lots held for a pour, in the order they are to be used."""
    query = (
        select(reservation, stock_lot.c.code)
        .join(stock_lot, stock_lot.c.id == reservation.c.stock_lot_id)
        .where(reservation.c.pour_id == number, reservation.c.retired_at.is_(None))
        .order_by(reservation.c.id)
    )
    return connection.execute(query).mappings().all()


def moves(connection: Connection, number: int, limit: int) -> Sequence[RowMapping]:
    """Return the newest movements of a lot; order: the code of the one it was packed for."""
    query = (
        select(movement, sales_order.c.code.label("order"))
        .outerjoin(order_line, order_line.c.id == movement.c.order_line_id)
        .outerjoin(sales_order, sales_order.c.id == order_line.c.sales_order_id)
        .where(movement.c.stock_lot_id == number)
    )
    return connection.execute(query.order_by(movement.c.id.desc()).limit(limit)).mappings().all()


def _deliveries() -> Select[Any]:
    of_it = stock_lot.c.delivery_id == delivery.c.id
    count = select(func.count()).where(of_it).correlate(delivery).scalar_subquery()
    total = select(func.sum(stock_lot.c.cost)).where(of_it).correlate(delivery).scalar_subquery()
    return select(
        delivery,
        supplier.c.name.label("supplier"),
        count.label("lots"),
        func.coalesce(total, 0).label("total"),
    ).join(supplier, supplier.c.id == delivery.c.supplier_id)


def deliveries(connection: Connection, limit: int) -> Sequence[RowMapping]:
    """Return the latest deliveries, those undone too, newest first."""
    query = _deliveries().order_by(delivery.c.day.desc(), delivery.c.id.desc())
    return connection.execute(query.limit(limit)).mappings().all()


def delivery_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one delivery, also one undone."""
    return connection.execute(_deliveries().where(delivery.c.id == number)).mappings().first()


def called(connection: Connection, wanted: Collection[str]) -> Sequence[RowMapping]:
    """Return the materials in use whose short name, or name in whatever case, is among these."""
    folded = sorted({plain(text) for text in wanted})
    if not folded:
        return ()
    named = or_(material.c.slug.in_(folded), material.c.plain.in_(folded))
    query = select(material).where(named, material.c.retired_at.is_(None))
    return connection.execute(query.order_by(material.c.id)).mappings().all()


def expiring(connection: Connection, last: date, limit: int) -> Sequence[RowMapping]:
    """Return the lots in hand whose date is past, or comes by a day; the earliest first."""
    order = stock_lot.c.expires_on, stock_lot.c.id
    few = (
        select(stock_lot.c.id)
        .join(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .where(stock_balance.c.amount > 0, stock_lot.c.expires_on <= last.isoformat())
        .order_by(*order)
        .limit(limit)
        .subquery()
    )
    query = _lots().where(stock_lot.c.id.in_(select(few.c.id))).order_by(*order)
    return connection.execute(query).mappings().all()


def worth(connection: Connection) -> tuple[int, int]:
    """Return what all lots in hand are worth [1/10 000], and of how many the cost is not known."""
    there = stock_balance.c.amount > 0
    total = select(func.coalesce(func.sum(stock_balance.c.value), 0)).where(there)
    unknown = (
        select(func.count())
        .select_from(stock_balance)
        .join(stock_lot, stock_lot.c.id == stock_balance.c.stock_lot_id)
        .where(there, stock_lot.c.costed == 0, COSTED == 0)
    )
    return int(connection.execute(total).scalar_one()), int(
        connection.execute(unknown).scalar_one()
    )
