"""Following lots: from a lot of a material to jars and orders, and from jars back to lots.

Everything is a net amount: what was drawn and wholly given back, or undone, did not go there.
An undoing carries the reason of what it undoes, so that a sum by that reason is what stands.
Each question is one statement over sets, whatever the number of pours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import (
    Connection,
    Row,
    RowMapping,
    Select,
    case,
    func,
    select,
)

from rushlight.store.queries.why import why
from rushlight.store.tables import (
    buyer,
    candle,
    channel,
    delivery,
    jar_balance,
    jar_entry,
    jar_lot,
    material,
    movement,
    order_line,
    pour,
    reservation,
    revision,
    sales_order,
    stock_balance,
    stock_lot,
    supplier,
)

_DRAWN = why(movement).in_(("used", "returned"))
_PACKED = movement.c.order_line_id.is_not(None)
_WHY = why(jar_entry).label("why")


@dataclass(frozen=True, slots=True)
class Scope:
    """Which pours and which lots of jars are looked at, as queries of their numbers.

    lots: only these lots of materials; None: all that the pours used. order: only what of the
    jars went to this order; None: wherever they went.
    """

    pours: Select[Any]
    jars: Select[Any]
    lots: tuple[int, ...] | None = None
    order: int | None = None


def from_lots(lots: Sequence[int]) -> Scope:
    """Return all that was made with some lots of materials."""
    pours = (
        select(movement.c.pour_id)
        .where(movement.c.stock_lot_id.in_(lots), movement.c.pour_id.is_not(None), _DRAWN)
        .group_by(movement.c.pour_id, movement.c.stock_lot_id)
        .having(func.sum(movement.c.amount) < 0)
    )
    return Scope(pours, _made_by(pours), lots=tuple(lots))


def from_pour(number: int) -> Scope:
    """Return a pour, what went into it and what it made."""
    pours = select(pour.c.id).where(pour.c.id == number)
    return Scope(pours, _made_by(pours))


def from_jars(number: int) -> Scope:
    """Return the jars of one lot, what went into them and where they went."""
    chosen = jar_lot.c.id == number
    return Scope(select(jar_lot.c.pour_id).where(chosen), select(jar_lot.c.id).where(chosen))


def from_order(number: int) -> Scope:
    """Return what went to an order, and what went into that."""
    jars = (
        select(jar_entry.c.jar_lot_id)
        .join(order_line, order_line.c.id == jar_entry.c.order_line_id)
        .where(order_line.c.sales_order_id == number)
        .group_by(jar_entry.c.jar_lot_id, jar_entry.c.order_line_id)
        .having(func.sum(jar_entry.c.jars) < 0)
    )
    pours = select(jar_lot.c.pour_id).where(jar_lot.c.id.in_(jars))
    return Scope(pours, jars, order=number)


def _made_by(pours: Select[Any]) -> Select[Any]:
    return select(jar_lot.c.id).where(jar_lot.c.pour_id.in_(pours), jar_lot.c.retired_at.is_(None))


def drawn(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return how much each pour used of each lot [mg or pieces], what came back taken off."""
    query = select(
        movement.c.pour_id, movement.c.stock_lot_id, (-func.sum(movement.c.amount)).label("amount")
    ).where(movement.c.pour_id.in_(scope.pours), _DRAWN)
    if scope.lots is not None:
        query = query.where(movement.c.stock_lot_id.in_(scope.lots))
    query = (
        query.group_by(movement.c.pour_id, movement.c.stock_lot_id)
        .having(func.sum(movement.c.amount) < 0)
        .order_by(movement.c.pour_id, movement.c.stock_lot_id)
    )
    return connection.execute(query).mappings().all()


def packed(connection: Connection, scope: Scope) -> Sequence[Row[*tuple[Any, ...]]]:
    """Return how many pieces of each lot each line of an order was packed in, and on what day.

    Of lots looked at: all they were packed into. Else: what the jars looked at were sent in, of
    which the line may have had jars of other lots as well.
    """
    query = (
        select(
            movement.c.order_line_id,
            movement.c.stock_lot_id,
            (-func.sum(movement.c.amount)).label("pieces"),
            func.max(case((movement.c.amount < 0, movement.c.day))).label("day"),
        )
        .where(_PACKED)
        .group_by(movement.c.order_line_id, movement.c.stock_lot_id)
        .having(func.sum(movement.c.amount) < 0)
        .order_by(movement.c.order_line_id, movement.c.stock_lot_id)
    )
    if scope.lots is not None:
        query = query.where(movement.c.stock_lot_id.in_(scope.lots))
    else:
        query = query.where(movement.c.order_line_id.in_(_lines(scope)))
    return connection.execute(query).all()


def jars_on(connection: Connection, lines: Sequence[int]) -> Sequence[Row[*tuple[Any, ...]]]:
    """Return the lots of jars that some lines of orders have, and how many of each."""
    found: list[Row[*tuple[Any, ...]]] = []
    query = (
        select(
            jar_entry.c.order_line_id,
            jar_lot.c.code,
            (-func.sum(jar_entry.c.jars)).label("jars"),
        )
        .join(jar_lot, jar_lot.c.id == jar_entry.c.jar_lot_id)
        .group_by(jar_entry.c.order_line_id, jar_lot.c.code, jar_lot.c.id)
        .having(func.sum(jar_entry.c.jars) < 0)
        .order_by(jar_lot.c.id)
    )
    for first in range(0, len(lines), 1000):
        some = query.where(jar_entry.c.order_line_id.in_(lines[first : first + 1000]))
        found += connection.execute(some).all()
    return found


def stock_lots(connection: Connection, numbers: Sequence[int]) -> Sequence[RowMapping]:
    """Return lots of materials with what they are and who delivered them."""
    query = (
        select(
            stock_lot,
            func.coalesce(stock_balance.c.amount, 0).label("left"),
            material.c.slug,
            material.c.name,
            material.c.role,
            material.c.measure,
            delivery.c.day,
            delivery.c.reference,
            func.coalesce(supplier.c.name, "").label("supplier"),
            supplier.c.id.label("supplier_id"),
        )
        .join(material, material.c.id == stock_lot.c.material_id)
        .outerjoin(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .outerjoin(supplier, supplier.c.id == delivery.c.supplier_id)
    )
    found: list[RowMapping] = []
    for first in range(0, len(numbers), 1000):
        some = query.where(stock_lot.c.id.in_(numbers[first : first + 1000]))
        found += connection.execute(some.order_by(stock_lot.c.id)).mappings()
    return found


def pours(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return the pours with their candles, the first poured first."""
    query = (
        select(
            pour.c.id,
            pour.c.state,
            pour.c.planned_for,
            pour.c.started_at,
            pour.c.finished_at,
            pour.c.good,
            pour.c.rejected,
            pour.c.person,
            pour.c.note,
            candle.c.slug,
            candle.c.name,
            revision.c.number,
        )
        .join(candle, candle.c.id == pour.c.candle_id)
        .join(revision, revision.c.id == pour.c.revision_id)
        .where(pour.c.id.in_(scope.pours))
        .order_by(pour.c.started_at, pour.c.id)
    )
    return connection.execute(query).mappings().all()


def jar_lots(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return the lots of jars with what is in hand of each, the first poured first."""
    query = (
        select(jar_lot, func.coalesce(jar_balance.c.jars, 0).label("left"))
        .outerjoin(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
        .where(jar_lot.c.id.in_(scope.jars))
        .order_by(jar_lot.c.poured_on, jar_lot.c.id)
    )
    return connection.execute(query).mappings().all()


def went(connection: Connection, scope: Scope) -> Sequence[Row[*tuple[Any, ...]]]:
    """Return where jars went: lot, line of an order, reason, how many net, and day.

    Add up what is told of a line for several reasons. day: when the first of them went.
    """
    query = (
        select(
            jar_entry.c.jar_lot_id,
            jar_entry.c.order_line_id,
            _WHY,
            (-func.sum(jar_entry.c.jars)).label("jars"),
            func.min(case((jar_entry.c.jars < 0, jar_entry.c.day))).label("day"),
        )
        .where(jar_entry.c.jar_lot_id.in_(scope.jars))
        .group_by(jar_entry.c.jar_lot_id, jar_entry.c.order_line_id, _WHY)
    )
    if scope.order is not None:
        ours = select(order_line.c.id).where(order_line.c.sales_order_id == scope.order)
        query = query.where(jar_entry.c.order_line_id.in_(ours))
    return connection.execute(query).all()


def _lines(scope: Scope) -> Select[Any]:
    """Return a query of the lines of orders that jars went to."""
    if scope.order is not None:
        return select(order_line.c.id).where(order_line.c.sales_order_id == scope.order)
    return select(jar_entry.c.order_line_id).where(
        jar_entry.c.jar_lot_id.in_(scope.jars), jar_entry.c.order_line_id.is_not(None)
    )


def lines_of(connection: Connection, scope: Scope) -> Sequence[Row[*tuple[Any, ...]]]:
    """Return the lines of orders that jars went to, with order, channel and buyer.

    Of lots looked at, also the lines that were packed in them.
    """
    chosen = order_line.c.id.in_(_lines(scope))
    if scope.lots is not None:
        theirs = select(movement.c.order_line_id).where(
            movement.c.stock_lot_id.in_(scope.lots), _PACKED
        )
        chosen = order_line.c.id.in_(_lines(scope).union(theirs))
    query = (
        select(
            order_line.c.id,
            candle.c.name.label("candle"),
            sales_order.c.id.label("order_id"),
            sales_order.c.code,
            sales_order.c.placed_on,
            sales_order.c.sent_at,
            sales_order.c.buyer_id,
            channel.c.name.label("channel"),
            func.coalesce(buyer.c.name, "").label("buyer"),
            func.coalesce(buyer.c.contact, "").label("contact"),
        )
        .join(candle, candle.c.id == order_line.c.candle_id)
        .join(sales_order, sales_order.c.id == order_line.c.sales_order_id)
        .join(channel, channel.c.id == sales_order.c.channel_id)
        .outerjoin(buyer, buyer.c.id == sales_order.c.buyer_id)
        .where(chosen)
    )
    return connection.execute(query).all()


def held_by(connection: Connection, lots: Sequence[int]) -> Sequence[int]:
    """Return the running pours that hold some lots of materials."""
    query = (
        select(pour.c.id)
        .join(reservation, reservation.c.pour_id == pour.c.id)
        .where(
            reservation.c.stock_lot_id.in_(lots),
            reservation.c.retired_at.is_(None),
            pour.c.state == "running",
        )
        .distinct()
        .order_by(pour.c.id)
    )
    return [int(number) for number in connection.execute(query).scalars()]
